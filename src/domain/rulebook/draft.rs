//! A team's own rulebook as it is typed in.

use std::collections::BTreeMap;
use std::slice::{from_mut, from_ref};

use serde::{Deserialize, Serialize};

use super::fault::Faults;
use super::named::{ARREST, FACTOR, PERSON};
use super::own::{check_own, numbers};
use super::{Loosened, Numbered, Rulebook, check, looser, rulebook, shipped};
use crate::domain::{Cited, FieldErrors, Known};

/// A team's own rulebook as typed in: a whole sheet, or the numbers that the team sets otherwise.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct RulebookDraft {
    /// A whole sheet; where it is there, all else is passed over.
    pub sheet: String,
    /// The short name that jobs and addresses use.
    pub key: String,
    /// The name in plain words.
    pub title: String,
    /// The key of the rulebook that it is based on.
    pub based_on: String,
    /// The numbers by the name of their rule; one that is empty stays as it is.
    pub numbers: BTreeMap<String, String>,
    /// Why a number is what it is, by the name of its rule; must be there where less is asked.
    pub reasons: BTreeMap<String, String>,
}

impl RulebookDraft {
    /// The rulebook that was typed in; `before` is the version that it is to follow.
    ///
    /// # Errors
    /// Every field that does not hold; under `sheet` every fault of a sheet.
    pub fn check(&self, before: Option<&Rulebook>) -> Result<Rulebook, FieldErrors> {
        let book = if self.sheet.trim().is_empty() {
            self.of_numbers(before)?
        } else {
            Rulebook::parse_own(&self.sheet).map_err(|error| {
                let mut wrong = FieldErrors::default();
                for fault in error.faults {
                    wrong.add("sheet", "sheet", fault.to_string());
                }
                wrong
            })?
        };
        match before.filter(|before| before.key() != book.key()) {
            None => Ok(book),
            Some(before) => Err(FieldErrors::one(
                self.field_of_key(),
                "choice",
                format!(
                    "A rulebook keeps its key, {}; add another one as {}.",
                    before.key(),
                    book.key()
                ),
            )),
        }
    }

    /// The field in which the key was typed.
    pub fn field_of_key(&self) -> &'static str {
        if self.sheet.trim().is_empty() {
            "key"
        } else {
            "sheet"
        }
    }

    /// The rulebook with the numbers that were typed.
    fn of_numbers(&self, before: Option<&Rulebook>) -> Result<Rulebook, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let key = wrong.line("key", &self.key);
        let title = wrong.line("title", &self.title);
        let base = rulebook(self.based_on.trim());
        let Some(base) = base else {
            let keys: Vec<&str> = shipped().iter().map(Rulebook::key).collect();
            let sentence = format!(
                "Choose the rulebook that it is based on ({}), not \"{}\".",
                keys.join(", "),
                self.based_on.trim()
            );
            wrong.add("based_on", "choice", sentence);
            return Err(wrong);
        };
        // What lies over another rulebook now begins anew from that.
        let before = before.filter(|before| before.based_on() == Some(base.key()));
        let mut own = before.unwrap_or(base).clone();
        (own.key, own.title) = (key, title);
        own.based_on = Some(base.key().to_owned());
        own.learn(base);
        self.put(&mut own, base, &mut wrong);
        self.reason(&mut own, base, &mut wrong);
        let mut faults = Faults::default();
        check::check(&own, &mut faults);
        check_own(&own, &mut faults);
        for fault in faults.into_error().faults {
            let place = fault.place.split(", ").next().unwrap_or_default();
            let field = if own.numbers().iter().any(|number| number.rule() == place) {
                format!("numbers[{place}]")
            } else {
                place.to_owned()
            };
            if wrong.on(&field).next().is_none() {
                wrong.add(field, "range", fault.sentence);
            }
        }
        wrong.or(|| own)
    }

    /// Puts the typed numbers into the rulebook; one that is the base's again is from where the base has
    /// it.
    fn put(&self, own: &mut Rulebook, base: &Rulebook, wrong: &mut FieldErrors) {
        let there = numbers(base);
        let title = own.title.clone();
        let mut unknown: Vec<&String> = self.numbers.keys().collect();
        for number in own.numbers_mut() {
            let name = number.rule();
            unknown.retain(|other| **other != name);
            let typed = self.numbers.get(&name).map_or("", |text| text.trim());
            if typed.is_empty() {
                continue;
            }
            let field = format!("numbers[{name}]");
            let read = number.amount().read_like(typed);
            let Some(amount) = wrong.keep(&field, "number", read) else {
                continue;
            };
            let was = there.get(&name).copied();
            let same = was.filter(|was| was.amount() == amount);
            if amount == number.amount() && (same.is_some() || self.reason_for(&name).is_none()) {
                continue;
            }
            if !number.put(amount) {
                let sentence = format!("{amount} is outside what may stand here.");
                wrong.add(&field, "range", sentence);
                continue;
            }
            *number.cited_mut() = match same {
                Some(was) => was.cited().clone(),
                None => self.set_by_team(&title, &name, was),
            };
        }
        self.explain(own, base);
        for name in unknown {
            let field = format!("numbers[{name}]");
            wrong.add(field, "choice", "There is no such number; take it out.");
        }
    }

    /// Numbers that are the base's again stand as there, with the reason and the printed pair; those of the
    /// team's own have its reason.
    fn explain(&self, own: &mut Rulebook, base: &Rulebook) {
        let ours = |name: &str| {
            self.reason_for(name)
                .unwrap_or("Set by the team.")
                .to_owned()
        };
        // A reason that was written before stays until another one is.
        let anew =
            |name: &str, kept: &str, there: &str| self.reason_for(name).is_some() || kept == there;
        let (factor, there) = (&mut own.factor, &base.factor);
        if factor.value != there.value && anew(FACTOR, &factor.reason, &there.reason) {
            factor.reason = ours(FACTOR);
        }
        let (person, there) = (&mut own.person, &base.person);
        if person.mass != there.mass && anew(PERSON, &person.reason, &there.reason) {
            person.reason = ours(PERSON);
        }
        restore(from_mut(&mut own.factor), from_ref(&base.factor));
        restore(from_mut(&mut own.person), from_ref(&base.person));
        restore(&mut own.minimums, &base.minimums);
        restore(&mut own.further, &base.further);
        restore(&mut own.bounds, &base.bounds);
        restore(own.depth.as_mut_slice(), base.depth.as_slice());
        restore(own.arrest.as_mut_slice(), base.arrest.as_slice());
        if let (Some(rule), Some(there)) = (&mut own.arrest, &base.arrest)
            && rule.at_most != there.at_most
            && anew(ARREST, &rule.reason, &there.reason)
        {
            rule.reason = ours(ARREST);
        }
    }

    /// Where a number of the team's own is from.
    fn set_by_team(&self, title: &str, name: &str, was: Option<&dyn Numbered>) -> Cited {
        let instead =
            was.map(|was| format!(", instead of {} ({})", was.amount(), was.cited().source));
        let reason = self.reason_for(name).map(|reason| format!(": {reason}"));
        Cited::new(
            format!(
                "set by the team in \"{title}\"{}{}",
                instead.unwrap_or_default(),
                reason.unwrap_or_default()
            ),
            Known::Setting,
        )
    }

    fn reason_for(&self, name: &str) -> Option<&str> {
        let reason = self.reasons.get(name).map(|text| text.trim());
        reason.filter(|reason| !reason.is_empty())
    }

    /// Ties the typed reasons to the rules that ask less, and names those that have none.
    fn reason(&self, own: &mut Rulebook, base: &Rulebook, wrong: &mut FieldErrors) {
        let found = looser::less(own, base);
        let mut entries = Vec::new();
        for one in &found {
            if let Some(sentence) = one.forbidden() {
                wrong.add(format!("numbers[{}]", one.rule), "law", sentence);
                continue;
            }
            let field = format!("reasons[{}]", one.rule);
            let kept = own.looser.iter().find(|entry| entry.rule == one.rule);
            let reason = match self.reason_for(&one.rule) {
                Some(typed) => wrong.reason(&field, typed),
                // A form that does not show the rule does not take its reason away.
                None if !self.reasons.contains_key(&one.rule) => {
                    kept.map(|entry| entry.reason.clone()).unwrap_or_default()
                }
                None => String::new(),
            };
            if reason.is_empty() && wrong.on(&field).next().is_none() {
                let sentence = format!("{}. Write the reason, or ask as much.", one.sentence(base));
                wrong.add(&field, "required", sentence);
            }
            entries.push(Loosened {
                rule: one.rule.clone(),
                reason: reason.replace(['\r', '\n', '\t'], " "),
                drop: kept.is_some_and(|entry| entry.drop),
                sentence: String::new(),
            });
        }
        own.looser = entries;
        looser::tell(own, base, &found);
    }
}

/// Puts the rules of the base in place of those that have its number and its source.
fn restore<T: Numbered + Clone>(own: &mut [T], base: &[T]) {
    for rule in own {
        let was = base.iter().find(|was| was.rule() == rule.rule());
        let same = was.filter(|was| was.amount() == rule.amount() && was.cited() == rule.cited());
        if let Some(was) = same {
            *rule = was.clone();
        }
    }
}
