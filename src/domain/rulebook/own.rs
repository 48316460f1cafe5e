//! A team's own rulebook: one that comes with the program, and what the team sets otherwise.
//!
//! Every version is kept. A job names the version that it was planned under, so that what was decided
//! by it stays explainable.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::fault::Faults;
use super::named::{ARREST, CATCH, DEPTH, FACTOR, IDENTITY, LIMIT, Named, PERSON};
use super::{Numbered, Rulebook, RulebookError, rulebook, shipped};
use crate::domain::{Cited, Edition, RulebookId};

/// A version of a team's own rulebook.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct TeamRulebook {
    /// Its id, the same in every version.
    pub id: RulebookId,
    /// Counts the versions, from 1.
    pub revision: u32,
    /// What it asks.
    pub book: Rulebook,
}

impl TeamRulebook {
    /// What a job names: the key with the version, `valley@3`.
    pub fn edition(&self) -> Edition<'_> {
        Edition {
            key: self.book.key(),
            version: Some(self.revision),
        }
    }
}

/// Keys that addresses need for themselves.
const TAKEN_KEYS: [&str; 3] = ["new", "sheet", "check"];

/// The sheets that are taken, in bytes.
pub const LARGEST_SHEET: usize = 256 * 1024;

impl Rulebook {
    /// Reads a team's own rulebook from its sheet.
    ///
    /// # Errors
    /// Every fault of the sheet, with its line.
    pub fn parse_own(sheet: &str) -> Result<Self, RulebookError> {
        let mut faults = Faults::default();
        if sheet.len() > LARGEST_SHEET {
            let (most, given) = (LARGEST_SHEET / 1024, sheet.len() / 1024);
            let sentence = format!("Keep a sheet to {most} KiB; {given} were given.");
            faults.of_text(None, sentence);
            return Err(faults.into_error());
        }
        let own = Self::read(sheet, shipped(), &mut faults);
        if let Some(own) = &own {
            check_own(own, &mut faults);
        }
        own.filter(|_| faults.is_empty())
            .ok_or_else(|| faults.into_error())
    }

    /// The sheet of this rulebook, as it can be read again.
    ///
    /// # Panics
    /// Never: what was read from a sheet can be written as one.
    pub fn sheet(&self) -> String {
        let mut plain = self.clone();
        for rule in plain.numbers_mut() {
            rule.cited_mut().looser = None;
        }
        for asked in &mut plain.approvals {
            asked.from.looser = None;
        }
        plain.identity.from.looser = None;
        for entry in &mut plain.looser {
            entry.sentence.clear();
        }
        toml::to_string(&plain).expect("what was read from a sheet can be written as one")
    }

    /// Takes over what its base says of an arrest since, unless it does without on purpose: a version of
    /// before has no word on it.
    pub(super) fn learn(&mut self, base: &Self) {
        let without = self.looser.iter().any(|one| one.drop && one.rule == ARREST);
        if self.arrest.is_none() && !without {
            self.arrest.clone_from(&base.arrest);
        }
    }

    /// The shipped rulebook that it is based on, if it is there.
    pub fn base(&self) -> Option<&'static Self> {
        rulebook(self.based_on()?)
    }

    /// The numbers that differ from those of the base: what of, the number here, the number there.
    pub fn set_otherwise(&self, base: &Self) -> Vec<(String, String, String)> {
        let mut all = Vec::new();
        let there: BTreeMap<String, &dyn Numbered> = numbers(base);
        for own in self.numbers() {
            let was = there.get(&own.rule()).map(|was| was.amount());
            if was != Some(own.amount()) {
                let was = was.map_or_else(|| "nothing".to_owned(), |was| was.to_string());
                all.push((own.of(), own.amount().to_string(), was));
            }
        }
        let here = numbers(self);
        for (name, was) in there {
            if !here.contains_key(&name) {
                all.push((was.of(), "nothing".to_owned(), was.amount().to_string()));
            }
        }
        all
    }
}

/// The numbers of a rulebook by the names of their rules.
pub(super) fn numbers(book: &Rulebook) -> BTreeMap<String, &dyn Numbered> {
    let all = book.numbers().into_iter();
    all.map(|number| (number.rule(), number)).collect()
}

/// What a team's own rulebook must hold beside what every rulebook does.
pub(super) fn check_own(own: &Rulebook, faults: &mut Faults) {
    let keys: Vec<&str> = shipped().iter().map(Rulebook::key).collect();
    if keys.contains(&own.key()) || TAKEN_KEYS.contains(&own.key()) {
        let sentence = format!("Choose another key: \"{}\" is taken.", own.key());
        faults.at("key", sentence);
    }
    let Some(base) = own.base() else {
        faults.at(
            "based_on",
            format!(
                "Name the rulebook that it is based on: {}.",
                keys.join(", ")
            ),
        );
        return;
    };
    let there = base.laws();
    for (name, rule) in own.laws() {
        if there.get(&name) != Some(&rule) {
            let sentence = format!(
                "\"{}\" does not say this as law: take law = true out, and say where it is from.",
                base.title()
            );
            faults.of(&name, "from.law", sentence);
        }
    }
}

impl Rulebook {
    /// The rules that are law by their names, each as it is written.
    fn laws(&self) -> BTreeMap<String, String> {
        let mut laws = BTreeMap::new();
        let mut add = |name: String, cited: &Cited, rule: Result<String, serde_json::Error>| {
            if cited.law {
                laws.insert(name, rule.unwrap_or_default());
            }
        };
        macro_rules! add {
            ($($list:ident)+) => {$(
                for rule in &self.$list {
                    add(rule.name(), &rule.from, serde_json::to_string(rule));
                }
            )+};
        }
        add!(intervals lives looks retentions approvals minimums further bounds told);
        let depth = self.depth.iter();
        for rule in depth {
            add(DEPTH.to_owned(), &rule.from, serde_json::to_string(rule));
        }
        let arrest = self.arrest.iter();
        for rule in arrest {
            add(ARREST.to_owned(), &rule.from, serde_json::to_string(rule));
        }
        let catch = self.catch.iter();
        for rule in catch {
            add(CATCH.to_owned(), &rule.from, serde_json::to_string(rule));
        }
        let (factor, person) = (&self.factor, &self.person);
        add(
            FACTOR.to_owned(),
            &factor.from,
            serde_json::to_string(factor),
        );
        add(
            PERSON.to_owned(),
            &person.from,
            serde_json::to_string(person),
        );
        let (limit, identity) = (&self.limit, &self.identity);
        add(LIMIT.to_owned(), &limit.from, serde_json::to_string(limit));
        add(
            IDENTITY.to_owned(),
            &identity.from,
            serde_json::to_string(identity),
        );
        laws
    }
}
