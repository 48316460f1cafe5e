//! Nothing happens to an item before it is made.

use time::Date;

use super::date::{read_day, write_day};
use super::{Change, FieldErrors, Item, ItemDraft, Made, Zone};

/// The earliest that the record says of an item.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FirstRecorded {
    /// The day.
    pub on: Date,
    /// What was on it, in words: "Examination".
    pub what: &'static str,
}

impl FirstRecorded {
    /// What a change says, where it says a day itself: when something is written down tells nothing of when it was made.
    pub fn by(change: &Change, zone: &Zone) -> Option<Self> {
        let mut kinds = Change::KINDS.iter();
        let what = kinds.find(|(kind, _)| *kind == change.kind())?.1;
        change.done_on(zone).map(|on| Self { on, what })
    }

    /// What a change says of the day on which an item was in somebody's hands: that it was examined or used, or that something
    /// happened to it.
    pub fn in_hands(change: &Change, zone: &Zone) -> Option<Self> {
        match change {
            Change::ExaminationRecorded(_) | Change::UsageLogged(_) | Change::EventReported(_) => {
                Self::by(change, zone)
            }
            _ => None,
        }
    }

    /// The earlier of two.
    pub fn earlier(one: Option<Self>, other: Option<Self>) -> Option<Self> {
        let both = one.into_iter().chain(other);
        both.min_by_key(|first| first.on)
    }
}

impl Item {
    /// Refuses what was typed where its day, typed in `field`, is before the earliest on which the item can have been
    /// made; whatever else is wrong is kept. Where it is not known when it was made, every day holds, and so does a field
    /// that is empty.
    ///
    /// # Errors
    /// What was wrong before, and the day.
    pub fn in_its_time<T>(
        &self,
        field: &str,
        typed: &str,
        checked: Result<T, FieldErrors>,
    ) -> Result<T, FieldErrors> {
        let (Some(made), Ok(on)) = (self.made, read_day(typed)) else {
            return checked;
        };
        let earliest = made.cautious_day();
        if on >= earliest {
            return checked;
        }
        let sentence = format!(
            "{} was made {}, so nothing happened to it before {}, as on {}. Mend the day, or the date made on its record.",
            self.mark,
            told(made),
            write_day(earliest),
            write_day(on)
        );
        let mut wrong = checked.err().unwrap_or_default();
        wrong.add(field, "range", sentence);
        Err(wrong)
    }
}

impl Item {
    /// Refuses the day of a cut where the whole rope was in somebody's hands after it; `last` is when that was last.
    ///
    /// # Errors
    /// The day, with what is on record after it.
    pub fn whole_until(&self, on: Date, last: Option<&FirstRecorded>) -> Result<(), FieldErrors> {
        let Some(last) = last.filter(|last| last.on > on) else {
            return Ok(());
        };
        let sentence = format!(
            "The record of {} goes on after {}: on {} it has \"{}\", so it was whole then. Write a day that is not before \
             that one.",
            self.mark,
            write_day(on),
            write_day(last.on),
            last.what
        );
        Err(FieldErrors::one("on", "range", sentence))
    }

    /// What the record speaks against of the date made and the first use that a draft gives this item anew: a date made
    /// after the earliest on record, and a first use after one that is shown. What the draft leaves as it is stays.
    pub fn told_against(&self, draft: &ItemDraft, first: Option<&FirstRecorded>) -> FieldErrors {
        let mut wrong = FieldErrors::default();
        if let (Some(made), Some(first)) = (self.made_anew(draft), first)
            && made.cautious_day() > first.on
        {
            let sentence = format!(
                "The record of {} begins before it would have been made {}: on {} it has \"{}\". Write a date made that is \
                 not after that day, or none where it is not known.",
                self.mark,
                told(made),
                write_day(first.on),
                first.what
            );
            wrong.add("made", "range", sentence);
        }
        let used = anew(&draft.first_used_on, self.first_used_on);
        if let (Some(used), Some(shown)) = (used, self.use_shown)
            && used.cautious_day() > shown.on
        {
            let sentence = format!(
                "The first use was not {used}: {} shows that {} was in use on {}. Write a day that is not after that one, or \
                 none where it is not known.",
                shown.by.word(),
                self.mark,
                write_day(shown.on)
            );
            wrong.add("first_used_on", "range", sentence);
        }
        wrong
    }

    /// The date made that a draft gives this item, where that is another one.
    pub fn made_anew(&self, draft: &ItemDraft) -> Option<Made> {
        anew(&draft.made, self.made)
    }
}

/// What was typed, where it is a date and another one than before.
fn anew(text: &str, before: Option<Made>) -> Option<Made> {
    let given = Made::read(text).ok();
    given.filter(|given| Some(*given) != before)
}

/// The date made behind "was made".
fn told(made: Made) -> String {
    match made {
        Made::Day(_) => format!("on {made}"),
        Made::Month(..) | Made::Year(_) => format!("in {made}"),
    }
}
