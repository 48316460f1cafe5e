//! Until when a record has to be kept at least, with the rules that say so folded below.

use askama::Template;

use super::part::{Facts, html_parts};
use crate::domain::retention::Kept;

/// A line that opens.
#[derive(Clone, Debug, Template)]
#[template(path = "part/kept_until.html")]
pub struct KeptUntil {
    words: String,
    /// Of which paper, until when, and where that is from.
    rules: Vec<[String; 3]>,
    rulebook: String,
}

impl KeptUntil {
    /// The rules of a rulebook that bind a record, the longest first.
    pub fn new(rulebook: impl Into<String>, kept: &[Kept]) -> Self {
        let rules = kept.iter().map(|kept| {
            let (until, from) = (kept.until.words(), kept.rule.from.to_string());
            [kept.rule.of.clone(), until, from]
        });
        Self {
            words: kept.first().map_or_else(
                || "Kept: the rulebook sets no time".to_owned(),
                |longest| format!("Kept at least until {}", longest.until.words()),
            ),
            rules: rules.collect(),
            rulebook: rulebook.into(),
        }
    }

    /// The facts with the longest in a line.
    #[must_use]
    pub fn told_in(&self, facts: Facts) -> Facts {
        let name = "Kept at least until";
        match self.rules.first() {
            None => facts.and_from(name, "the rulebook sets no time", "nothing is ever removed"),
            Some([of, until, from]) => facts.and_from(
                name,
                until,
                format!("{of}; {from}. Nothing is removed then"),
            ),
        }
    }

    /// One to test with.
    pub fn sample() -> Self {
        let typed = || super::PROBE.to_owned();
        Self {
            words: typed(),
            rules: vec![[typed(), typed(), typed()]],
            rulebook: typed(),
        }
    }
}

html_parts!(KeptUntil);
