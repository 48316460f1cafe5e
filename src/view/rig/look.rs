//! What a rig comes to, or what is wrong with it: the answer to a look at it, below its page and its editor.

use askama::Template;

use super::advantage;
use crate::{
    domain::FieldErrors,
    rigging::Rig,
    view::{
        figure::RigFigure,
        form::id_of,
        part::{Answer, Facts, Tone, html_parts},
        words,
    },
};

/// The answer to a look. It is a part of a page, and what a program of the page asks for anew while somebody types.
#[derive(Clone, Debug, Template)]
#[template(path = "rig/look.html")]
pub struct Look {
    /// Whether it is one, in words.
    pub answer: Answer,
    /// What is wrong: where it is on the page, and the sentence.
    pub wrong: Vec<(String, String)>,
    /// How the rope runs; nothing while something is wrong.
    pub figure: Option<RigFigure>,
    /// Strands and advantage; nothing while something is wrong.
    pub facts: Facts,
    /// The pull in every part of the rope.
    pub parts: Vec<ShareRow>,
}

/// One part of a rope and its pull.
#[derive(Clone, Debug)]
pub struct ShareRow {
    /// The rope.
    pub rope: String,
    /// From what to what it runs.
    pub part: String,
    /// Its tension without friction as a share of the load.
    pub share: String,
}

impl Look {
    /// What a rig comes to.
    pub fn at(rig: &Rig) -> Self {
        let outline = match rig.outline() {
            Ok(outline) => outline,
            Err(error) => {
                return Self::wrong(&FieldErrors::one("sheet", "bounds", error.to_string()));
            }
        };
        let title = |key: &str| rig.position(key).map_or("", |position| position.title());
        let parts = outline.parts.iter().map(|part| ShareRow {
            rope: title(&part.rope).to_owned(),
            part: format!("{} to {}", part.from, part.to),
            share: words::share(part.share),
        });
        let strands = words::count(outline.strands_at_load, "strand", "strands");
        let gain = advantage(rig);
        Self {
            answer: Answer::new(Tone::Fit, format!("{strands} at the load, {gain}"))
                .why("Without friction. With it the hand pulls more to raise and less to lower."),
            wrong: Vec::new(),
            figure: Some(RigFigure::ideal(rig)),
            facts: Facts::default()
                .wide()
                .and("Strands at the load", outline.strands_at_load.to_string())
                .and("Load over hand force without friction", gain)
                .and("Parts of rope", outline.parts.len().to_string())
                .and("Positions", outline.needs.len().to_string()),
            parts: parts.collect(),
        }
    }

    /// What is wrong with what was typed.
    pub fn wrong(wrong: &FieldErrors) -> Self {
        let lines = wrong.0.iter();
        let lines = lines.map(|error| (format!("#{}", id_of(&error.field)), error.message.clone()));
        let lines: Vec<_> = lines.collect();
        let count = words::count(lines.len(), "thing", "things");
        Self {
            answer: Answer::new(Tone::Hold, format!("No rig yet: {count} to mend")),
            wrong: lines,
            figure: None,
            facts: Facts::default(),
            parts: Vec::new(),
        }
    }
}

html_parts!(Look);
