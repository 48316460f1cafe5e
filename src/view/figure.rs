//! The picture of a rig on a page, for a desk and for a phone, with what its signs mean.

use std::sync::LazyLock;

use askama::Template;

use super::{
    drawing::{self, Drawing, Fit, Sight},
    part::{SectionNav, html_parts},
    words,
};
use crate::{
    domain::{KitList, Picture, Units},
    rigging::{Assessment, Force, Forces, Outfit, Phase, Rig, solve},
};

/// A picture of a rig with its caption.
#[derive(Clone, Debug, Template)]
#[template(path = "part/figure.html")]
pub struct RigFigure {
    /// What it is, for the frame that it can be moved in.
    pub label: String,
    /// The phases that can be looked at, if there are several.
    pub phases: Option<SectionNav>,
    /// For a desk and for paper.
    pub wide: Drawing,
    /// For a phone.
    pub narrow: Drawing,
    /// What the numbers and the arrows are.
    pub caption: Vec<String>,
}

html_parts!(RigFigure, Drawing);

/// The load that shares are shares of.
static LOAD: LazyLock<Force> =
    LazyLock::new(|| Force::from_kilonewtons(1.0).expect("a force inside its limits"));

/// The forces of a rig where nothing rubs, under a load of one kilonewton.
pub fn ideal(rig: &Rig) -> Option<Forces> {
    solve(rig, &Outfit::default(), *LOAD, Phase::Frictionless).ok()
}

/// A force of [`ideal`] as a share of the load.
pub fn share(force: Force) -> String {
    words::share(force.newtons() / LOAD.newtons())
}

impl RigFigure {
    /// A rig where nothing rubs, with every pull as a share of the load.
    pub fn ideal(rig: &Rig) -> Self {
        let forces = ideal(rig);
        let sight = Sight {
            rig,
            forces: forces.as_ref(),
            assessment: None,
            words: &share,
        };
        Self::new(
            &sight,
            "Numbers at the strands: the pull in that part of the rope where nothing rubs, as a share of the load.",
        )
    }

    /// A rig in one phase of a verdict. `here` is the address of the page.
    pub fn in_phase(
        rig: &Rig,
        assessment: &Assessment,
        phase: Phase,
        units: Units,
        here: &str,
    ) -> Self {
        let words = |force: Force| words::force(force, units);
        let sight = Sight {
            rig,
            forces: assessment.forces(phase),
            assessment: Some(assessment),
            words: &words,
        };
        let link = |phase: Phase| format!("{here}?phase={}", phase.key());
        let phases = assessment.phases.iter().map(|forces| {
            let phase = forces.phase;
            (capital(phase.words()), link(phase))
        });
        let figure = Self::new(
            &sight,
            "Numbers at the strands and at the load: the likely force. Factors and limits: against the highest that the range of friction gives, in this phase. All forces with their range stand in the tables.",
        );
        Self {
            phases: Some(SectionNav {
                label: "Phase of the drawing".to_owned(),
                links: phases.collect(),
                here: link(phase),
            }),
            ..figure
        }
    }

    /// A figure to test pages with.
    pub(super) fn sample() -> Self {
        let figure = Self::ideal(&crate::rigging::shipped()[0]);
        Self {
            label: super::PROBE.to_owned(),
            caption: vec![super::PROBE.to_owned()],
            ..figure
        }
    }

    fn new(sight: &Sight, numbers: &str) -> Self {
        let wide = drawing::draw(sight, Fit::Wide, "rig-wide");
        let narrow = drawing::draw(sight, Fit::Narrow, "rig-narrow");
        let phase = sight.forces.map(|forces| forces.phase);
        let mut caption = vec![numbers.to_owned()];
        match drawing::way(sight.rig, phase) {
            Some(way) => caption.push(format!(
                "Arrows: how the rope runs {}; a strand without one stands still.",
                way.words()
            )),
            None => caption.push("Nothing moves.".to_owned()),
        }
        caption.push("Numbers of positions: as in the table of positions.".to_owned());
        caption.push("Dashed: slack.".to_owned());
        caption.push("Not to scale, but for angles and the sag of a line.".to_owned());
        Self {
            label: wide.title.clone(),
            phases: None,
            wide,
            narrow,
            caption,
        }
    }
}

/// The picture of a rig in a list.
pub fn small(rig: &Rig) -> Drawing {
    let sight = Sight {
        rig,
        forces: None,
        assessment: None,
        words: &share,
    };
    drawing::draw(&sight, Fit::Small, &format!("rig-{}", rig.key()))
}

/// The same words with a capital.
fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// The rig of a kit list for paper: in the phase of its weakest link, or where nothing rubs while it has no numbers.
pub fn on_paper(list: &KitList, units: Units) -> Option<Picture> {
    let rig = list.rig.as_ref();
    let assessment = list.verdict.assessment.as_ref();
    let weakest = assessment.and_then(|assessment| assessment.weakest.as_ref());
    let phase = weakest.map_or(Phase::Frictionless, |weakest| weakest.phase);
    let ideal = ideal(rig);
    let words: &dyn Fn(Force) -> String = match assessment {
        Some(_) => &|force: Force| words::force(force, units),
        None => &share,
    };
    let sight = Sight {
        rig,
        forces: match assessment {
            Some(assessment) => assessment.forces(phase),
            None => ideal.as_ref(),
        },
        assessment,
        words,
    };
    Some(drawing::draw(&sight, Fit::Wide, "rig-paper").on_paper())
}
