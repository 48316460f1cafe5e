//! The item that fills a position whose candidates are looked at, and the others as they would be without it.

use super::position::CandidateRow;
use crate::{
    domain::{Candidate, ItemId, KitEntry, KitList, RefusalCode},
    view::part::{Answer, Badge, Empty, Tone},
};

/// The item that fills a position.
pub struct InPlace {
    id: ItemId,
    /// Its mark.
    pub mark: String,
    /// That it is here, and what to do to have another; in place of an answer about the rest.
    pub answer: Answer,
    /// Where its line is taken off.
    pub remove: String,
}

impl InPlace {
    /// What fills the position of this key; none where nothing does.
    pub fn of(list: &KitList, key: &str) -> Option<Self> {
        list.at(key).map(|entry| Self::new(list, entry))
    }

    fn new(list: &KitList, entry: &KitEntry) -> Self {
        let mark = entry.item.mark.clone();
        let (tone, words) = match entry.refusals.len() {
            0 => (Tone::Fit, format!("{mark} is here")),
            _ => (Tone::Stop, format!("{mark} is here, and is refused")),
        };
        Self {
            id: entry.item.id,
            answer: Answer::new(tone, words).why("To have another here, take it off first."),
            remove: format!("/jobs/{}/kit/{}/remove", list.job.id, entry.line.id),
            mark,
        }
    }

    /// The other candidates, without what is against them only because the position is filled.
    pub fn others(&self, candidates: &[Candidate]) -> Vec<Candidate> {
        let others = candidates.iter();
        let others = others.filter(|candidate| candidate.item.id != self.id);
        let others = others.cloned().map(|mut other| {
            other
                .refusals
                .retain(|refusal| refusal.code != RefusalCode::PositionFilled);
            other
        });
        others.collect()
    }

    /// A row of the others as it stands while this one is here.
    pub(super) fn holds_up(&self, row: &mut CandidateRow) {
        if row.may_go {
            row.may_go = false;
            row.waits_for.clone_from(&self.mark);
            row.state = Badge::new(Tone::Watch, format!("may go once {} is off", self.mark));
        }
    }

    /// What is said where there is no other.
    pub fn no_other(&self) -> Empty {
        Empty::new(
            format!("Nothing but {} was found for this position.", self.mark),
            "Look for other words, or add what is not in the register.",
        )
    }

    /// One to test with.
    pub(super) fn sample() -> Self {
        use crate::view::PROBE;
        Self {
            id: ItemId(uuid::Uuid::nil()),
            mark: PROBE.to_owned(),
            answer: Answer::new(Tone::Fit, PROBE).why(PROBE),
            remove: "/jobs/1/kit/1/remove".to_owned(),
        }
    }
}
