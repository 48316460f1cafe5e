//! The course of a notice in words.

use crate::domain::{NoticeEdit, NoticeStep, NoticeTurn, Zone};

/// A step of it.
pub(super) struct CourseRow {
    pub at: String,
    pub words: &'static str,
    pub reason: String,
    pub edits: Vec<String>,
    pub by: String,
    pub seq: u64,
}

impl CourseRow {
    /// A step that somebody of this name took.
    pub fn new(step: &NoticeStep, by: &str, zone: &Zone) -> Self {
        Self {
            at: zone.words(step.at),
            words: match &step.turn {
                NoticeTurn::Opened => "Opened",
                turn @ NoticeTurn::Corrected { .. } if turn.opens_again() => {
                    "Corrected, and open again for all that it was closed for, since something else is to be done"
                }
                NoticeTurn::Corrected { .. } => "Corrected",
                NoticeTurn::Withdrawn { .. } => "Withdrawn",
            },
            reason: step.turn.reason().unwrap_or_default().to_owned(),
            edits: step.turn.edits().iter().map(NoticeEdit::in_words).collect(),
            by: by.to_owned(),
            seq: step.seq,
        }
    }
}

/// Steps to test with.
pub(super) fn samples() -> Vec<(NoticeStep, String)> {
    use super::super::{PROBE, gear};
    let before = gear::notice();
    let after = crate::domain::Notice {
        action: format!("{PROBE} again"),
        lots: Vec::new(),
        ..before.clone()
    };
    let reason = || PROBE.to_owned();
    let turns = [
        NoticeTurn::Opened,
        NoticeTurn::Corrected {
            edits: before.edits(&after),
            reason: reason(),
        },
        NoticeTurn::Withdrawn { reason: reason() },
    ];
    let steps = (1..).zip(turns).map(|(seq, turn)| {
        let step = NoticeStep {
            seq,
            at: gear::TODAY.midnight().assume_utc(),
            by: gear::person().id,
            turn,
        };
        (step, PROBE.to_owned())
    });
    steps.collect()
}
