//! Why an item that an examination found fit is not back in service, and what brings it back.

use super::date::write_day;
use super::{Examination, Item, ItemState, Verdict};

impl Item {
    /// What it still waits for after an examination that found it fit; none where it is in service, or was not found fit.
    pub fn still_waits_for(&self, done: &Examination) -> Option<String> {
        if done.verdict != Verdict::Fit || self.state != ItemState::Quarantined {
            return None;
        }
        let why = match self.event_hold {
            _ if done.outdone_by.is_some() => {
                "a thorough examination of a later day did not find it fit, and one of that day or later has to".to_owned()
            }
            _ if self.return_asked.is_some() => {
                "another competent person has to confirm its return".to_owned()
            }
            Some(hold) if !hold.examined => format!(
                "something happened to it, and an after-event examination on {} or later has to find it fit first",
                write_day(hold.since)
            ),
            Some(_) => {
                "somebody competent has to return it to service, on its page, with the reason".to_owned()
            }
            None if !done.kind.is_thorough() => {
                "a look before or after use brings nothing back; a thorough examination does, or somebody competent with a \
                 reason"
                    .to_owned()
            }
            None => "it was put there after the day of this examination".to_owned(),
        };
        Some(format!("It stays in quarantine: {why}."))
    }
}
