//! What is written down of gear and is hardly ever so: asked about and never refused. Whoever says that it is so is believed,
//! and that it was said is kept beside it.

use std::collections::BTreeMap;

use super::{Attributes, Value};
use crate::domain::field::ticked;
use crate::domain::rating::doubt::Doubt;
use crate::domain::{FieldErrors, Kind};

/// The key of the length of gear, of the item or of its model.
pub const LENGTH: &str = "length";
/// The key of the length of a rope when it was new.
pub const LENGTH_NEW: &str = "length-new";
/// The key of the efficiency of a sheave.
const EFFICIENCY: &str = "efficiency";

/// The keys of what is asked about, each with the key under which it is kept that it was confirmed: the value once more.
const CONFIRMED: [(&str, &str); 3] = [
    (LENGTH, "length-confirmed"),
    (LENGTH_NEW, "length-new-confirmed"),
    (EFFICIENCY, "efficiency-confirmed"),
];

/// The key under which it is kept that what stands under a key was confirmed; none where nothing is asked about it.
pub fn confirmed_by(key: &str) -> Option<&'static str> {
    let mut all = CONFIRMED.iter();
    all.find(|(of, _)| *of == key).map(|(_, by)| *by)
}

/// The key of what is confirmed under a key.
pub fn confirmation_of(by: &str) -> Option<&'static str> {
    let mut all = CONFIRMED.iter();
    all.find(|(_, one)| *one == by).map(|(of, _)| *of)
}

impl Kind {
    /// Why it is asked about what is written down of such gear under a key; none where it may well be so.
    pub fn doubts(self, key: &str, value: &Value) -> Option<Doubt> {
        match (key, value) {
            (LENGTH | LENGTH_NEW, Value::Length(length)) => self.doubts_length(*length),
            (EFFICIENCY, Value::Number(share)) if *share >= 1.0 => Some(Doubt::slip(
                "Every sheave takes something of a pull: without friction, hauling takes more and an anchor gets more than is reckoned."
                    .to_owned(),
            )),
            _ => None,
        }
    }

    /// What is typed under a key, where it is asked about.
    pub fn doubted(self, key: &str, typed: &BTreeMap<String, String>) -> Option<Value> {
        let value = self.attribute(key)?.read(typed.get(key)?).ok()?;
        self.doubts(key, &value).map(|_| value)
    }

    /// Whether it is said that just this value is so: yes, or the value once more.
    pub fn is_confirmed(self, key: &str, typed: &BTreeMap<String, String>, value: &Value) -> bool {
        let said = confirmed_by(key).and_then(|by| typed.get(by));
        let said = said.map_or("", String::as_str);
        let same = || {
            let attribute = self.attribute(key);
            attribute.is_some_and(|one| one.read(said).as_ref() == Ok(value))
        };
        ticked(said).unwrap_or_else(same)
    }

    /// Confirms what is typed, for whoever has asked about it already.
    pub fn confirm(self, typed: &mut BTreeMap<String, String>) {
        for (key, by) in CONFIRMED {
            if let Some(value) = self.doubted(key, typed) {
                typed.insert(by.to_owned(), value.to_string());
            }
        }
    }
}

impl Attributes {
    /// What was confirmed of what stands under a key.
    pub fn confirmed(&self, key: &str) -> Option<&Value> {
        self.0.get(confirmed_by(key)?)
    }

    /// Forgets that what stands under a key was confirmed: it is another now.
    pub(in crate::domain) fn no_longer_confirmed(&mut self, key: &str) {
        if let Some(by) = confirmed_by(key) {
            self.0.remove(by);
        }
    }

    /// Asks about what such gear hardly ever has, where nobody said that it is so; that it was said is kept.
    pub(super) fn ask(
        &mut self,
        kind: Kind,
        typed: &BTreeMap<String, String>,
        wrong: &mut FieldErrors,
    ) {
        for (key, by) in CONFIRMED {
            let Some(value) = self.0.get(key).cloned() else {
                continue;
            };
            let Some(doubt) = kind.doubts(key, &value) else {
                continue;
            };
            if kind.is_confirmed(key, typed, &value) {
                self.0.insert(by.to_owned(), value);
                continue;
            }
            let given = value.to_string();
            let question = format!(
                "Is it really {given}? {} {}, or confirm that it is {given}.",
                doubt.why(),
                doubt.instead(&given)
            );
            let beside = format!("\"{by}\": \"{given}\"");
            wrong.ask(format!("attributes[{key}]"), question, beside);
        }
    }
}
