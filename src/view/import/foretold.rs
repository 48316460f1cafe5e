//! What jobs will say of the items of a list, and what is asked of it first.

use askama::Template;

use super::Asked;
use crate::view::{
    PROBE,
    form::{Field, Form},
    part::{Answer, Tone, html_parts},
};

/// What jobs will say of the items that would come in, or ask for beside while something has to be answered first.
pub struct ForetoldSheet {
    /// The answer in one sentence; none while it hangs on what has to be answered first.
    pub answer: Option<Answer>,
    /// By which rulebook.
    pub rulebook: String,
    /// That some come in out of service; may be empty.
    pub out: String,
    /// That some of what was said does not hold; may be empty.
    pub faulty: String,
    /// What is asked of models and may stay open, as far as it is asked first.
    pub open: Vec<Asked>,
    /// Asks where all of it was read; none where nothing is written.
    pub source: Option<Field>,
    /// What is asked first, what opens most positions of the shipped rigs before the others.
    pub first: Vec<ForetoldLine>,
    /// What else is asked; folded away.
    pub rest: Option<ForetoldRest>,
}

impl ForetoldSheet {
    /// The words above what is asked first.
    pub(super) fn first_words(&self) -> String {
        let rigs = crate::rigging::shipped().len();
        let rest = match &self.rest {
            Some(_) => " The rest can wait: it is folded away below.",
            None => "",
        };
        format!(
            "Without these, positions of the {rigs} rigs of the program stay empty that nothing else of this list fills. What opens most of them stands first.{rest}"
        )
    }

    /// What to test with.
    pub(super) fn sample(form: &Form, is_clear: bool) -> Self {
        let probe = || PROBE.to_owned();
        Self {
            answer: is_clear.then(|| Answer::new(Tone::Note, PROBE).why(PROBE)),
            rulebook: probe(),
            out: probe(),
            faulty: probe(),
            open: vec![Asked {
                field: form.line("given-1", PROBE, PROBE).told([probe()]),
                hidden: vec![(probe(), probe())],
                fold: None,
            }],
            source: Some(
                form.choice("source", PROBE, PROBE, vec![(probe(), probe())])
                    .may(),
            ),
            first: vec![reason(form, "seen")],
            rest: Some(ForetoldRest {
                fields: 2,
                open: is_clear,
                asked: vec![Asked {
                    field: form.line("given-2", PROBE, PROBE),
                    hidden: Vec::new(),
                    fold: None,
                }],
                lines: vec![reason(form, "given-0")],
            }),
        }
    }
}

/// What can be said later: with what is asked first the list fills the same positions without it.
#[derive(Default)]
pub struct ForetoldRest {
    /// How many fields it has.
    pub fields: usize,
    /// Whether it is in sight at once: something in it is wrong.
    pub open: bool,
    /// What of models may stay open.
    pub asked: Vec<Asked>,
    /// What jobs and single positions of rigs ask beside.
    pub lines: Vec<ForetoldLine>,
}

/// Something that stands against some items on every job, or at single positions of rigs.
#[derive(Template)]
#[template(path = "import/reason.html")]
pub struct ForetoldLine {
    /// What it is.
    pub sentence: String,
    /// How many items.
    pub items: String,
    /// Whether its fields are in sight at once: one answer is for all of its items.
    pub open: bool,
    /// How many items, and their rows.
    pub rows: String,
    /// What to do about it.
    pub to_do: String,
    /// Where that is done once the items are in.
    pub ways: Vec<(String, String)>,
    /// The rule with its source; may be empty.
    pub rule: String,
    /// What one answer mends.
    pub asked: Vec<Asked>,
    /// Models that are mended elsewhere, each with where, if the register has it.
    pub models: Vec<(String, Option<String>)>,
}

html_parts!(ForetoldLine);

fn reason(form: &Form, name: &str) -> ForetoldLine {
    let probe = || PROBE.to_owned();
    ForetoldLine {
        sentence: probe(),
        items: probe(),
        open: name == "seen",
        rows: probe(),
        to_do: probe(),
        ways: vec![(probe(), "/bench".to_owned())],
        rule: probe(),
        asked: vec![Asked {
            field: form.line(name, PROBE, PROBE).hint(PROBE),
            hidden: vec![(probe(), probe())],
            fold: None,
        }],
        models: vec![
            (probe(), Some("/models/0/edit".to_owned())),
            (probe(), None),
        ],
    }
}
