//! Which interval bound an item on which day.

use time::Date;

use super::HomeRulebooks;
use crate::domain::{Cited, Item, Model, fitness::interval_of};

/// An interval that bound from a day on.
#[derive(Clone, Debug)]
pub struct IntervalThen {
    /// The day; the earliest of all for the first one.
    pub from: Date,
    /// The months.
    pub months: u16,
    /// The rule that set them.
    pub rule: Cited,
    /// The rulebook that the team went by.
    pub rulebook: String,
}

/// A model as it was recorded, each time with the day; never none.
pub type ModelVersions = Vec<(Date, Model)>;

/// The version of a model that was on record on a day; before it was recorded the first one.
pub fn version_on(versions: &[(Date, Model)], day: Date) -> Option<&Model> {
    let later = versions.iter().rev().find(|(from, _)| *from <= day);
    later.or(versions.first()).map(|(_, model)| model)
}

/// The intervals that bound an item, one after another: of the rulebook that the team went by, or of the maker as its model
/// was recorded, whichever was shorter. What is on record of arduous use counts for every day.
pub fn intervals_then(
    item: &Item,
    versions: &[(Date, Model)],
    rulebooks: &HomeRulebooks,
) -> Vec<IntervalThen> {
    let days = rulebooks.all().iter().map(|bound| bound.from);
    let recorded = versions.iter().skip(1).map(|(from, _)| *from);
    let mut days: Vec<Date> = days.chain(recorded).collect();
    days.sort_unstable();
    days.dedup();
    let mut all: Vec<IntervalThen> = Vec::new();
    for from in days {
        let Some(model) = version_on(versions, from) else {
            continue;
        };
        let bound = rulebooks.on(from);
        let (months, rule) = interval_of(item, model, &bound.rulebook);
        let is_other = |last: &IntervalThen| {
            (last.months, &last.rule, &last.rulebook) != (months, &rule, &bound.words)
        };
        if all.last().is_none_or(is_other) {
            all.push(IntervalThen {
                from,
                months,
                rule,
                rulebook: bound.words.clone(),
            });
        }
    }
    all
}
