//! What was looked at, in words.

use super::{Names, Told};
use crate::domain::date::write_day;
use crate::domain::{Examination, Finding};

/// An examination in words.
pub(super) fn examined(examination: &Examination, names: &Names) -> Told {
    let due = examination
        .next_due_on
        .map(|day| format!(", next due {}", write_day(day)))
        .unwrap_or_default();
    let markings = match examination.markings_readable {
        Some(true) => ", markings can be read",
        Some(false) => ", markings cannot be read",
        None => "",
    };
    let listed = examination.checklist.map(|list| {
        let count = |outcome| examination.answered(outcome).count();
        let (failed, watched) = (count(Finding::Fail), count(Finding::Watch));
        format!(", by the list {list}: {failed} failed, {watched} to watch")
    });
    let listed = listed.unwrap_or_default();
    Told::new(format!(
        "{} of {} by {}: {}{markings}{due}{listed}",
        examination.kind.word(),
        names.of(examination.item.0),
        examination.examiner,
        examination.verdict.word(),
    ))
    .why(examination.findings.as_str())
    .on(examination.on)
}
