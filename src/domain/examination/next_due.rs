//! When the next thorough examination is due: as typed, and never later than the rules and the defects allow.

use time::Date;

use super::{ExaminationBasis, ExaminationDraft};
use crate::domain::{
    ExaminationKind, FieldErrors, Verdict,
    date::{add_months, in_reach, read_day, write_day},
    rating::optional,
};

/// What one examination says by which the next is due.
#[derive(Clone, Copy)]
pub(super) struct Examined {
    pub(super) kind: Option<ExaminationKind>,
    pub(super) verdict: Option<Verdict>,
    pub(super) on: Option<Date>,
    /// The day by which a defect could become a danger.
    pub(super) danger_by: Option<Date>,
}

impl ExaminationDraft {
    /// The next due day: what was typed, but never later than the interval allows, nor than a defect could become a
    /// danger.
    pub(super) fn next_due(
        &self,
        examined: Examined,
        basis: &ExaminationBasis<'_>,
        wrong: &mut FieldErrors,
    ) -> Option<Date> {
        let typed = optional(&self.next_due_on, |text| {
            wrong.keep("next_due_on", "date", read_day(text).and_then(in_reach))
        });
        if examined.verdict != Some(Verdict::Fit) || !examined.kind?.is_thorough() {
            if typed.is_some() {
                wrong.add("next_due_on", "choice", "Only a thorough examination that ends in fit sets the next due day; leave this empty.");
            }
            return None;
        }
        let on = examined.on?;
        let allowed = add_months(on, basis.interval_months);
        let latest = examined.danger_by.map_or(allowed, |by| by.min(allowed));
        let Some(day) = typed else {
            return Some(latest);
        };
        let sentence = if day <= on {
            format!(
                "The next one must be after this one, {}, not {}.",
                write_day(on),
                write_day(day)
            )
        } else if day > allowed {
            format!(
                "The rules allow {} months, until {}, not {}.",
                basis.interval_months,
                write_day(allowed),
                write_day(day)
            )
        } else if day > latest {
            format!(
                "A defect could become a danger by {}, so that the next one is due by then, not {}.",
                write_day(latest),
                write_day(day)
            )
        } else {
            return Some(day);
        };
        wrong.add("next_due_on", "range", sentence);
        None
    }
}
