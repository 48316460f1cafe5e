//! That an item is with the crew of a job, seen from another job that wants it.

use serde::Serialize;
use time::{Date, Duration, OffsetDateTime};

use super::{Issue, Job, JobId, Zone, fitness::Elsewhere};

/// With which job's crew an item is. It stays theirs until it is counted back, whenever their job was to end.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct WithCrew {
    /// The job whose kit it went out with.
    pub job: JobId,
    /// What that is called.
    pub title: String,
    /// Who took it.
    pub taken_by: String,
    /// Since when.
    #[serde(with = "time::serde::rfc3339")]
    pub since: OffsetDateTime,
    /// When that job ends, as it is planned.
    #[serde(with = "time::serde::rfc3339")]
    pub ends_at: OffsetDateTime,
    /// Whether that is over.
    pub is_late: bool,
}

impl WithCrew {
    /// What an issue that is out took with it, as it stands at a moment.
    pub fn of(issue: &Issue, now: OffsetDateTime) -> Self {
        Self {
            job: issue.job.id,
            title: issue.job.title.clone(),
            taken_by: issue.to.name.clone(),
            since: issue.at,
            ends_at: issue.job.ends_at,
            is_late: issue.job.ends_at < now,
        }
    }

    /// The time for which it keeps the item from another job: from the issue until its own job ends, and while it is not
    /// counted back until now at least. A job that begins after that may plan with it.
    pub fn keeps_from(&self, job: &Job, now: OffsetDateTime) -> Option<Elsewhere> {
        let until = self.away_until(now);
        (job.id != self.job && job.starts_at < until && self.since < job.ends_at).then(|| {
            Elsewhere {
                title: self.title.clone(),
                starts_at: self.since,
                ends_at: until,
                who: self.taken_by.clone(),
                is_out: true,
            }
        })
    }

    /// Until when it is away at least: its job's end, or now where that is over and nobody counted it back.
    fn away_until(&self, now: OffsetDateTime) -> OffsetDateTime {
        now.max(self.ends_at)
    }

    /// The days on which it is away, as far as is known now: the first and the last.
    pub fn days_away(&self, now: OffsetDateTime, zone: &Zone) -> (Date, Date) {
        // A job that ends at midnight leaves the day that begins then.
        let last = self.ends_at - Duration::NANOSECOND;
        (zone.day(self.since), zone.day(last.max(now)))
    }

    /// What whoever plans with it must know.
    pub fn caution(&self, zone: &Zone) -> String {
        let ends = zone.words(self.ends_at);
        let ends = if self.is_late {
            format!("was to end on {ends}")
        } else {
            format!("ends on {ends}")
        };
        format!(
            "It is with the crew of \"{}\", taken by {}; that job {ends}. It must be counted back before this kit is issued.",
            self.title, self.taken_by
        )
    }
}
