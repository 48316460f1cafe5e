//! What should not be on a job and is: what is recalled, and what is out of service while with a crew.

use std::collections::HashSet;

use super::{Coming, Today};
use crate::domain::{Job, Zone};
use crate::view::{
    part::{Answer, Tone},
    words,
};

/// How many lines of what is recalled are shown before the rest is asked for.
pub(super) const RECALLS: usize = 10;

/// An item on a job that should not be there.
pub struct OnJob {
    /// Its mark.
    pub mark: String,
    /// The job.
    pub job: Job,
    /// Why it should not.
    pub why: String,
    /// Whether it is with the job's crew now.
    pub is_out: bool,
}

/// That something is recalled while it is on a job, before anything else is said.
pub(super) fn recalled(today: &Today<'_>) -> Option<Answer> {
    // An item on several lists is one item.
    let recalled = today.recalled.iter();
    let marks: HashSet<&str> = recalled.map(|one| one.mark.as_str()).collect();
    let count = marks.len();
    (count > 0).then(|| {
        Answer::new(
            Tone::Stop,
            format!(
                "Recalled while on a job: {}",
                words::count(count, "item", "items")
            ),
        )
        .why("An open safety notice covers it: stop using it at once, and take it off the job.")
    })
}

/// That something with a crew is out of service.
pub(super) fn unfit(today: &Today<'_>) -> Option<Answer> {
    let count = today.unfit.len();
    (count > 0).then(|| {
        Answer::new(
            Tone::Stop,
            format!(
                "Out of service while with a crew: {}",
                words::count(count, "item", "items")
            ),
        )
        .why("It was fit when it was issued. Tell the crew at once to stop using it.")
    })
}

/// The line of what is recalled, with when the job is.
pub(super) fn recall(on: &OnJob, zone: &Zone) -> Coming {
    let (from, until) = (zone.words(on.job.starts_at), zone.words(on.job.ends_at));
    let now = if on.is_out { "with its crew now; " } else { "" };
    Coming {
        when: format!("{now}job from {from} to {until}; {}", on.why),
        ..line(on)
    }
}

/// The line of one.
pub(super) fn line(on: &OnJob) -> Coming {
    Coming {
        title: format!("{} on {}", on.mark, on.job.title),
        href: Some(format!("/jobs/{}", on.job.id)),
        when: on.why.clone(),
        stop: None,
    }
}
