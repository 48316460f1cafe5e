//! A rule on one line, with its source.

use crate::{
    domain::Cited,
    view::part::{Badge, Tone},
};

/// A source with its labels: one from memory is marked wherever it shows.
pub struct Source {
    /// Title, edition, clause.
    pub text: String,
    /// Whether it is law, and how it is known.
    pub badges: Vec<Badge>,
    /// What other sources say, and where a team asks less.
    pub notes: Vec<String>,
}

impl From<&Cited> for Source {
    fn from(cited: &Cited) -> Self {
        let tone = if cited.known.from_memory() {
            Tone::Watch
        } else {
            Tone::Note
        };
        let law = cited.law.then(|| Badge::new(Tone::Hold, "law"));
        let known = Badge::new(tone, cited.known.label());
        let disagrees = cited.disagrees.as_ref();
        let disagrees = disagrees.map(|other| format!("Sources disagree: {other}."));
        let looser = cited.looser.as_ref();
        let looser = looser.map(|looser| format!("This is {looser}."));
        Self {
            text: cited.source.clone(),
            badges: law.into_iter().chain([known]).collect(),
            notes: looser.into_iter().chain(disagrees).collect(),
        }
    }
}

/// One line: what is asked, of what, how much, and where it is from.
pub struct RuleLine {
    /// Of what.
    pub of: String,
    /// How much.
    pub value: String,
    /// Where it is from.
    pub source: Source,
}

impl RuleLine {
    /// A line of a rule.
    pub fn new(of: impl Into<String>, value: impl Into<String>, from: &Cited) -> Self {
        Self {
            of: of.into(),
            value: value.into(),
            source: from.into(),
        }
    }
}

/// A line to test with.
pub(super) fn sample() -> RuleLine {
    use crate::{domain::Known, view::PROBE};
    let cited = Cited {
        law: true,
        disagrees: Some(PROBE.to_owned()),
        looser: Some(PROBE.to_owned()),
        ..Cited::new(PROBE, Known::MemoryLow)
    };
    RuleLine::new(PROBE, PROBE, &cited)
}
