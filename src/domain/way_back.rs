//! What stands between an item in quarantine and its return: what did not find it fit, and who asked.

use serde::{Deserialize, Serialize};
use time::Date;

use super::date::{iso, write_day};
use super::state::reason;
use super::{Examination, Item, ItemId, LONGEST_NOTE, PersonId, QualificationId, Verdict};

/// A competent person asked for an item's return from quarantine.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct ReturnAsked {
    /// The item.
    pub item: ItemId,
    /// Who asked, and so does not confirm.
    pub by: PersonId,
    /// Why it may be used again.
    pub reason: String,
    /// The day on which that was found.
    #[serde(with = "iso")]
    pub on: Date,
    /// The qualification of whoever examined it, where an examination asked: its holder does not confirm either.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub qualification: Option<QualificationId>,
}

impl ReturnAsked {
    /// What an examination asks that found the item fit.
    pub(super) fn by_look(examination: &Examination) -> Self {
        Self {
            item: examination.item,
            by: examination.recorded_by,
            reason: reason(examination),
            on: examination.on,
            qualification: examination.qualification,
        }
    }
}

/// What did not find an item fit, and was answered by nothing since.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Unanswered {
    /// The newest thorough examination, by its day and then by the order of the record, where it did not find it fit.
    pub thorough: Option<Examination>,
    /// The looks before or after use since the newest thorough examination that did not find it fit, the last one first.
    pub looks: Vec<Examination>,
}

impl Unanswered {
    /// Of an item whose newest thorough examination this is. `past` are its last examinations, the last done first.
    pub fn new(newest_thorough: Option<Examination>, past: &[Examination]) -> Self {
        let since = past.iter().take_while(|one| !one.kind.is_thorough());
        let failed = since.filter(|one| one.verdict != Verdict::Fit);
        Self {
            looks: failed.cloned().collect(),
            thorough: newest_thorough.filter(|one| one.verdict != Verdict::Fit),
        }
    }

    /// Why no reason brings the item back, in one sentence; none where one may.
    pub fn refusal(&self) -> Option<String> {
        let failed = self.thorough.as_ref()?;
        let (what, on) = (failed.in_short(), write_day(failed.on));
        Some(format!(
            "The newest thorough examination did not find it fit: {what}. No reason lifts that. Once it is repaired, or the \
             doubt is cleared, a thorough examination on {on} or later has to find it fit."
        ))
    }

    /// What whoever returns the item has to answer, a sentence each: looks that did not find it fit, beside the one that its
    /// state tells of already.
    pub fn in_words(&self, item: &Item) -> Vec<String> {
        let others = self.looks.iter().filter(|one| !item.is_aside_by(one));
        let words = others.map(|one| format!("A look did not find it fit: {}.", one.in_short()));
        words.collect()
    }
}

impl Examination {
    /// The same, with the newest thorough examination on record where that is of a later day and did not find the item fit:
    /// then this one brings nothing back.
    #[must_use]
    pub fn behind(mut self, newest_thorough: Option<&Self>) -> Self {
        let later = newest_thorough.filter(|newest| newest.on > self.on);
        let failed = later.filter(|newest| newest.verdict != Verdict::Fit);
        if self.kind.is_thorough() && self.verdict == Verdict::Fit {
            self.outdone_by = failed.map(|newest| newest.id);
        }
        self
    }

    /// What it was and what it found, in short: "periodic examination on 2026-01-10 by A. Brook: sheath cut".
    fn in_short(&self) -> String {
        let (kind, on) = (self.kind.word().to_lowercase(), write_day(self.on));
        let found: String = self.findings.chars().take(200).collect();
        let found = found.replace('\n', " ");
        let found = found.trim_end_matches('.');
        format!("{kind} on {on} by {}: {found}", self.examiner)
    }
}

impl Item {
    /// Whether it was this look that put it aside.
    fn is_aside_by(&self, look: &Examination) -> bool {
        let why: String = reason(look).chars().take(LONGEST_NOTE).collect();
        self.state_reason == why
    }

    /// The item after a notice was closed for it. Whoever asked for its return did not know of the notice.
    #[must_use]
    pub fn notice_closed(mut self) -> Self {
        if self.return_asked.take().is_some() {
            self.revision += 1;
        }
        self
    }
}
