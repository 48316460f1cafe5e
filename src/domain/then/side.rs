//! Two pasts side by side, fact by fact, each difference with the entries that made it.

use std::collections::HashMap;

use time::Date;

use super::Fold;
use crate::domain::{Change, Entry, Zone};

/// A fact of a record, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fact {
    /// What it is; no two facts of a record are called alike.
    pub title: String,
    /// Its value.
    pub value: String,
}

impl Fact {
    /// A fact.
    pub fn new(title: impl Into<String>, value: impl Into<String>) -> Self {
        Self {
            title: title.into(),
            value: value.into(),
        }
    }
}

/// A fact by both clocks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Side {
    /// What it is.
    pub title: String,
    /// As it was known then; none where it was not known.
    pub then: Option<String>,
    /// As it is known now; none where it was not so.
    pub now: Option<String>,
    /// The entries that were recorded later and changed it, the last of which made it what it is now; none where both
    /// are the same.
    pub by: Vec<u64>,
}

impl Side {
    /// Whether the two differ.
    pub fn differs(&self) -> bool {
        self.then != self.now
    }
}

/// The facts by both clocks. `entries` are all of them, in order; `facts` tells those of a past, in the order in which
/// they are shown. What is recorded later stands behind all that was known then, so that the second past is the first and
/// what came late: an entry made a difference where the facts changed with it. Both pasts are left as the entries made them.
pub fn side_by_side<F: Fold>(
    (then, now): &mut (F, F),
    entries: &[Entry<Change>],
    (on, zone): (Date, &Zone),
    facts: impl Fn(&F) -> Vec<Fact>,
) -> Vec<Side> {
    let mut by: HashMap<String, Vec<u64>> = HashMap::new();
    let mut before: Option<Vec<Fact>> = None;
    for entry in entries {
        then.apply(entry);
        if entry.recorded_on(zone) <= on {
            now.apply(entry);
            continue;
        }
        let was = before.take().unwrap_or_else(|| facts(now));
        now.apply(entry);
        let is = facts(now);
        for title in changed(&was, &is) {
            by.entry(title).or_default().push(entry.seq);
        }
        before = Some(is);
    }
    let (then, now) = (facts(then), facts(now));
    let gone = then
        .iter()
        .filter(|fact| value(&now, &fact.title).is_none());
    let titles = now.iter().chain(gone).map(|fact| fact.title.clone());
    let sides = titles.map(|title| {
        let (then, now) = (value(&then, &title), value(&now, &title));
        let by = if then == now {
            Vec::new()
        } else {
            by.remove(&title).unwrap_or_default()
        };
        Side {
            title,
            then,
            now,
            by,
        }
    });
    sides.collect()
}

fn value(facts: &[Fact], title: &str) -> Option<String> {
    let mut facts = facts.iter();
    facts
        .find(|fact| fact.title == title)
        .map(|fact| fact.value.clone())
}

/// The facts that are there in one alone, or not the same in both.
fn changed(was: &[Fact], is: &[Fact]) -> Vec<String> {
    let other = |one: &[Fact], fact: &Fact| !one.contains(fact);
    let came = is.iter().filter(|fact| other(was, fact));
    let went = was.iter().filter(|fact| value(is, &fact.title).is_none());
    came.chain(went).map(|fact| fact.title.clone()).collect()
}
