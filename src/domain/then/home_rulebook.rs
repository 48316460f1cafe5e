//! By which rulebook a team went on which day, as its entries tell.

use time::Date;

use super::{BesideThen, Fold, Reckoning};
use crate::domain::{
    Change, Entry, Zone,
    date::write_day,
    rulebook::{Rulebook, shipped},
};

/// A rulebook that bound a team from a day on.
#[derive(Clone, Debug)]
pub struct Bound {
    /// The day on which it was recorded; the earliest day of all for the first one, which binds what was done before
    /// anything was recorded too.
    pub from: Date,
    /// The rulebook; one that comes with the program is read as this program has it.
    pub rulebook: Rulebook,
    /// Its title and version.
    pub words: String,
}

/// The rulebooks that a team went by, one after another; never none.
#[derive(Clone, Debug)]
pub struct HomeRulebooks {
    bound: Vec<Bound>,
}

impl HomeRulebooks {
    /// Reads them from the entries of [`RULEBOOK_KINDS`](super::RULEBOOK_KINDS), in their order. A change binds from the
    /// day of `zone` on which it was recorded; of several on one day the last one.
    pub fn read<'a>(entries: impl IntoIterator<Item = &'a Entry<Change>>, zone: &Zone) -> Self {
        let mut beside = BesideThen::new(Date::MAX, Reckoning::Now, zone.clone());
        let mut all = Self { bound: Vec::new() };
        for entry in entries {
            beside.apply(entry);
            let words = beside.rulebook_words();
            let differs = |last: &Bound| last.rulebook != *beside.rulebook() || last.words != words;
            if all.bound.last().is_none_or(differs) {
                all.take(entry.recorded_on(zone), beside.rulebook().clone(), words);
            }
        }
        match all.bound.first_mut() {
            Some(first) => first.from = Date::MIN,
            None => all.take(
                Date::MIN,
                shipped()[0].clone(),
                shipped()[0].title().to_owned(),
            ),
        }
        all
    }

    fn take(&mut self, from: Date, rulebook: Rulebook, words: String) {
        self.bound.retain(|earlier| earlier.from < from);
        self.bound.push(Bound {
            from,
            rulebook,
            words,
        });
    }

    /// All of them, the first one first.
    pub fn all(&self) -> &[Bound] {
        &self.bound
    }

    /// The one that bound on a day.
    pub fn on(&self, day: Date) -> &Bound {
        let later = self.bound.iter().rev().find(|one| one.from <= day);
        later.unwrap_or(&self.bound[0])
    }

    /// All of them in words: "A; since 2026-03-01 B".
    pub fn words(&self) -> String {
        let told = self.bound.iter().enumerate().map(|(at, one)| match at {
            0 => one.words.clone(),
            _ => format!("since {} {}", write_day(one.from), one.words),
        });
        told.collect::<Vec<_>>().join("; ")
    }
}
