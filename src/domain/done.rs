//! The two clocks of an entry: the day on which it was recorded, and the day on which it says that it was done.

use time::Date;

use super::{Change, Entry, Zone};

/// The kinds of changes that say themselves on which day they were done.
pub const DATED: &[&str] = &[
    "examination-recorded",
    "event-reported",
    "usage-logged",
    "item-stepped",
    "return-asked",
    "rope-cut",
    "bag-checked",
    "kit-issued",
    "kit-returned",
    "function-check-signed",
    "notice-opened",
    "qualification-recorded",
    "qualification-ended",
];

impl Change {
    /// The day on which it says that it was done, on the clocks of `zone`; none where it says none, and was done as it
    /// was recorded.
    pub fn done_on(&self, zone: &Zone) -> Option<Date> {
        match self {
            Self::ExaminationRecorded(one) => Some(one.on),
            Self::EventReported(one) => Some(one.on),
            Self::UsageLogged(one) => Some(one.on),
            Self::ItemStepped(one) => Some(one.on),
            Self::ReturnAsked(one) => Some(one.on),
            Self::RopeCut(one) => Some(one.on),
            Self::BagChecked(one) => Some(one.on),
            Self::KitIssued(one) => Some(zone.day(one.at)),
            Self::KitReturned(one) => Some(zone.day(one.at)),
            Self::FunctionCheckSigned(one) => Some(zone.day(one.at)),
            Self::NoticeOpened(one) => Some(one.issued_on),
            Self::QualificationRecorded(one) => Some(one.from),
            Self::QualificationEnded(one) => Some(one.ended.on),
            _ => None,
        }
    }
}

impl Entry<Change> {
    /// The day on which it was recorded.
    pub fn recorded_on(&self, zone: &Zone) -> Date {
        zone.day(self.recorded_at)
    }

    /// The day on which it was done: the one that it says, else the one on which it was recorded. Nothing was done after
    /// it was recorded: where the team has changed its clocks since, the day of recording holds.
    pub fn done_on(&self, zone: &Zone) -> Date {
        let recorded = self.recorded_on(zone);
        let said = self.change.done_on(zone);
        said.map_or(recorded, |said| said.min(recorded))
    }
}
