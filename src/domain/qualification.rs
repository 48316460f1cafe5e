//! Who is competent to examine what, from when and until when.
//!
//! "Competent" is what EN 365 and 29 CFR 1910.140(b) call it: somebody who knows the gear and the maker's
//! advice, finds and rates defects, and may act on them. Who that is, the team says; this register only keeps
//! what it said, and holds every thorough examination against it.

mod held;

use serde::{Deserialize, Serialize};
use time::Date;

use super::date::{in_reach, iso, read_day, write_day};
use super::rating::optional;
use super::{FieldErrors, Kind, PersonId, QualificationId};

/// Whose qualification it is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Holder {
    /// A person of the team.
    Person(PersonId),
    /// Somebody from outside, who has no account.
    Outside {
        /// The name, as it stands under an examination.
        name: String,
        /// The body or firm; may be empty.
        body: String,
    },
}

/// That somebody is competent to examine gear.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Qualification {
    /// Its id.
    pub id: QualificationId,
    /// Whose it is.
    pub holder: Holder,
    /// For which kinds of gear; none named is all.
    pub kinds: Vec<Kind>,
    /// The first day on which it holds.
    #[serde(with = "iso")]
    pub from: Date,
    /// The last day on which it holds; none is until it is ended.
    #[serde(with = "iso::option")]
    pub until: Option<Date>,
    /// Why the team holds the person competent: training, paper, years of practice.
    pub evidence: String,
    /// The address of whoever holds it, in several lines, for the report of a thorough examination; empty where nobody
    /// said. It is personal like the name of somebody from outside, so it is sealed like that
    /// ([`places`](super::sealed_name::places)) and goes with the name. Firm and evidence stand in the ledger as they are.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub address: String,
    /// How it was ended, if it was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ended: Option<Ended>,
}

/// How a qualification was ended before its time.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Ended {
    /// The last day on which it held.
    #[serde(with = "iso")]
    pub on: Date,
    /// Why.
    pub reason: String,
}

/// That a qualification was ended.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct QualificationEnd {
    /// The qualification.
    pub qualification: QualificationId,
    /// How.
    pub ended: Ended,
}

/// What the address of whoever holds a qualification is from then on; it is sealed as the one of the qualification is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct QualificationAddress {
    /// The qualification.
    pub qualification: QualificationId,
    /// The address, in several lines.
    pub address: String,
}

impl Qualification {
    /// The records whose history it belongs to: its own, and that of the person of the team.
    pub(super) fn subjects(&self) -> Vec<uuid::Uuid> {
        match self.holder {
            Holder::Person(person) => vec![self.id.0, person.0],
            Holder::Outside { .. } => vec![self.id.0],
        }
    }

    /// The last day on which it holds, if it has one.
    pub fn last_day(&self) -> Option<Date> {
        match (&self.ended, self.until) {
            (Some(ended), Some(until)) => Some(ended.on.min(until)),
            (Some(ended), None) => Some(ended.on),
            (None, until) => until,
        }
    }

    /// Whether it is for gear of this kind.
    pub fn is_for(&self, kind: Kind) -> bool {
        self.kinds.is_empty() || self.kinds.contains(&kind)
    }

    /// Whether it holds on a day.
    pub fn holds_on(&self, day: Date) -> bool {
        self.from <= day && self.last_day().is_none_or(|last| day <= last)
    }

    /// Whether a text is the name of whoever holds it with the body or firm behind it: "S. Wragge (Fennimoor)".
    fn is_with_firm(&self, named: &str) -> bool {
        let Holder::Outside { name, body } = &self.holder else {
            return false;
        };
        let words = |text: &str| -> Vec<String> {
            let words = text.split(|c: char| !c.is_alphanumeric());
            let words = words.filter(|word| !word.is_empty());
            words.map(str::to_lowercase).collect()
        };
        !body.is_empty() && words(named) == words(&format!("{name} {body}"))
    }

    /// The kinds in words: "ropes and cords" are "rope, cord".
    pub fn kinds_words(&self) -> String {
        if self.kinds.is_empty() {
            return "every kind of gear".to_owned();
        }
        let words: Vec<&str> = self.kinds.iter().map(|kind| kind.word()).collect();
        words.join(", ")
    }

    /// Its days in words.
    pub fn days_words(&self) -> String {
        let from = write_day(self.from);
        match self.last_day() {
            Some(last) => format!("from {from} until {}, that day included", write_day(last)),
            None => format!("from {from} on"),
        }
    }

    /// The same after it was ended.
    #[must_use]
    pub fn ended(mut self, ended: Ended) -> Self {
        self.ended = Some(ended);
        self
    }
}

/// A qualification as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct QualificationDraft {
    /// The id of a person of the team; empty for somebody from outside.
    pub person: String,
    /// The name of somebody from outside.
    pub name: String,
    /// The body or firm of somebody from outside.
    pub body: String,
    /// The keys of the kinds with commas between; empty is all.
    pub kinds: String,
    /// The first day; empty is today.
    pub from: String,
    /// The last day; empty is until it is ended.
    pub until: String,
    /// Why the team holds the person competent.
    pub evidence: String,
    /// The address of the person, in several lines; may be empty.
    pub address: String,
}

impl QualificationDraft {
    /// The qualification that was typed in. Whether there is such a person is for the deed to say.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn check(&self, id: QualificationId, today: Date) -> Result<Qualification, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let holder = self.holder(&mut wrong);
        let kinds = self.kinds(&mut wrong);
        let day = |field: &str, text: &str, wrong: &mut FieldErrors| {
            optional(text, |text| {
                wrong.keep(field, "date", read_day(text).and_then(in_reach))
            })
        };
        let from = day("from", &self.from, &mut wrong).unwrap_or(today);
        let until = day("until", &self.until, &mut wrong);
        if let Some(until) = until
            && until < from
        {
            let from = write_day(from);
            let sentence = format!("The last day must not be before the first, {from}.");
            wrong.add("until", "range", sentence);
        }
        let evidence = wrong.note("evidence", &self.evidence);
        if evidence.is_empty() {
            let sentence =
                "Write why: training, paper, years of practice. It is kept in the history.";
            wrong.add("evidence", "required", sentence);
        }
        let address = wrong.address("address", &self.address);
        match holder {
            Some(holder) if wrong.is_empty() => Ok(Qualification {
                id,
                holder,
                kinds,
                from,
                until,
                evidence,
                address,
                ended: None,
            }),
            _ => Err(wrong),
        }
    }

    fn holder(&self, wrong: &mut FieldErrors) -> Option<Holder> {
        let outside = !self.name.trim().is_empty() || !self.body.trim().is_empty();
        let typed = self.person.trim();
        if typed.is_empty() {
            let name = wrong.line("name", &self.name);
            let body = wrong.optional_line("body", &self.body);
            return Some(Holder::Outside {
                name,
                body: body.unwrap_or_default(),
            });
        }
        if outside {
            let sentence = "Choose a person of the team or name somebody from outside, not both.";
            wrong.add("name", "choice", sentence);
        }
        let person = typed.parse().ok().map(Holder::Person);
        if person.is_none() {
            wrong.add("person", "choice", "Choose a person from the list.");
        }
        person
    }

    fn kinds(&self, wrong: &mut FieldErrors) -> Vec<Kind> {
        let mut kinds = Vec::new();
        for text in self.kinds.split(',').map(str::trim) {
            match Kind::from_word(text) {
                _ if text.is_empty() => {}
                Some(kind) if kinds.contains(&kind) => {}
                Some(kind) => kinds.push(kind),
                None => {
                    let given: String = text.chars().take(60).collect();
                    let sentence = format!("There is no kind of gear \"{given}\".");
                    wrong.add("kinds", "choice", sentence);
                }
            }
        }
        kinds
    }
}

/// What a team knows of who is competent.
#[derive(Clone, Debug, Default)]
pub struct Competence {
    /// The people of the team, by name.
    pub people: Vec<(PersonId, String)>,
    /// All qualifications, those that are over among them.
    pub qualifications: Vec<Qualification>,
}

/// Somebody who examined: the name, and which qualifications are theirs.
#[derive(Clone, Debug)]
pub struct Examiner<'a> {
    /// The name that stands under the examination.
    pub name: String,
    held: Vec<&'a Qualification>,
}

impl Competence {
    /// The name of whoever holds a qualification.
    pub fn name_of<'a>(&'a self, qualification: &'a Qualification) -> &'a str {
        match &qualification.holder {
            Holder::Outside { name, .. } => name,
            Holder::Person(id) => {
                let mut people = self.people.iter();
                people
                    .find(|(person, _)| person == id)
                    .map_or("", |(_, name)| name)
            }
        }
    }

    /// Whoever is named; an empty name is the recorder's. Of two people with one name both are meant.
    pub fn examiner(&self, named: &str, recorder: (PersonId, &str)) -> Examiner<'_> {
        let named = named.trim();
        let all = self.qualifications.iter();
        if named.is_empty() {
            let mine = Holder::Person(recorder.0);
            return Examiner {
                name: recorder.1.to_owned(),
                held: all.filter(|one| one.holder == mine).collect(),
            };
        }
        let folded = named.to_lowercase();
        let theirs = |one: &&Qualification| {
            self.name_of(one).to_lowercase() == folded || one.is_with_firm(named)
        };
        let held: Vec<&Qualification> = all.filter(theirs).collect();
        // The name as it is known, whatever its case was typed in.
        let known = held.first().map(|one| self.name_of(one));
        Examiner {
            name: known.unwrap_or(named).to_owned(),
            held,
        }
    }

    /// Whether it is known of anybody at all that they are competent.
    pub fn is_empty(&self) -> bool {
        self.qualifications.is_empty()
    }

    /// The names of everybody who is or was competent, each once.
    pub fn names(&self) -> Vec<&str> {
        let all = self.qualifications.iter();
        let mut names: Vec<&str> = all.map(|one| self.name_of(one)).collect();
        names.sort_unstable();
        names.dedup();
        names
    }

    /// The names of everybody who may examine a kind on a day, each once.
    pub fn who(&self, kind: Kind, on: Date) -> Vec<&str> {
        let all = self.qualifications.iter();
        let covered = all.filter(|one| one.is_for(kind) && one.holds_on(on));
        let mut names: Vec<&str> = covered.map(|one| self.name_of(one)).collect();
        names.sort_unstable();
        names.dedup();
        names
    }
}

impl Examiner<'_> {
    /// Whether this person is or was ever recorded as competent.
    pub fn is_known(&self) -> bool {
        !self.held.is_empty()
    }

    /// The qualification by which this person may examine a kind of gear on a day.
    ///
    /// # Errors
    /// A sentence that says why there is none, and what to do.
    pub fn covered(&self, kind: Kind, on: Date) -> Result<QualificationId, String> {
        let name = &self.name;
        if self.held.is_empty() {
            return Err(format!(
                "{name} is not recorded as competent to examine. Name somebody who is, or have the \
                 qualification recorded under Competent people."
            ));
        }
        let of_kind: Vec<_> = self.held.iter().filter(|one| one.is_for(kind)).collect();
        if let Some(one) = of_kind.iter().find(|one| one.holds_on(on)) {
            return Ok(one.id);
        }
        let gear = kind.one();
        let Some(last) = of_kind.iter().max_by_key(|one| one.last_day()) else {
            let kinds: Vec<String> = self.held.iter().map(|one| one.kinds_words()).collect();
            return Err(format!(
                "{name}'s qualification is not for {gear}: it is for {}.",
                kinds.join(", ")
            ));
        };
        let over = last.last_day().filter(|last| *last < on);
        Err(match over {
            Some(day) => format!(
                "{name}'s qualification for {gear} ended on {}, before {}.",
                write_day(day),
                write_day(on)
            ),
            None => format!(
                "{name}'s qualification for {gear} begins on {}, after {}.",
                write_day(last.from),
                write_day(on)
            ),
        })
    }
}
