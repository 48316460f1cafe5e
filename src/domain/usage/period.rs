//! On which days something was used, and how many hours there are in them.

use time::{Date, Duration};

use super::UsageDraft;
use crate::domain::date::write_day;
use crate::domain::item::past_day;
use crate::domain::{FieldErrors, Job, UsageSums, counted};

/// The minutes of a day.
const DAY: i64 = 24 * 60;

impl UsageDraft {
    /// The first of the days of an entry, where it is about several.
    pub(super) fn first_day(
        &self,
        (on, today): (Option<Date>, Date),
        wrong: &mut FieldErrors,
    ) -> Option<Date> {
        let since = past_day(wrong, "since", &self.since, today)?;
        if let Some(on) = on.filter(|on| since > *on) {
            let (since, on) = (write_day(since), write_day(on));
            let sentence =
                format!("The first day must not be after the last, {on}, as {since} is.");
            wrong.add("since", "range", sentence);
        }
        Some(since)
    }

    /// Refuses more hours than there are in the days of an entry: those from the first one on that is written, else those
    /// from the begin of the job on, else its one day.
    pub(super) fn in_hours_of(
        &self,
        amount: UsageSums,
        (since, on): (Option<Date>, Date),
        job: Option<&Job>,
        wrong: &mut FieldErrors,
    ) {
        // The job may begin on the day before, by the clocks of the team.
        let of_job = || job.map(|job| job.starts_at.date() - Duration::DAY);
        let first = since.or_else(of_job).unwrap_or(on).min(on);
        let days = (on - first).whole_days() + 1;
        if i64::from(amount.minutes) > days * DAY {
            let sentence = format!(
                "{} hours are more than there are in {}, 24 each. Write the hours of that time alone; for use of several days \
                 together write the first of them too.",
                amount.hours(),
                counted(days, "day", "days")
            );
            wrong.add("hours", "range", sentence);
        }
    }
}
