//! Whose a qualification is, and what became of it since.

use time::Date;

use super::{Competence, Holder, Qualification};
use crate::domain::{PersonId, QualificationId, date::write_day};

impl Competence {
    /// Whether a qualification is this person's, or somebody's of the same name.
    pub fn is_held_by(&self, id: QualificationId, (person, name): (PersonId, &str)) -> bool {
        let mut all = self.qualifications.iter();
        let one = all.find(|one| one.id == id);
        one.is_some_and(|one| {
            one.holder == Holder::Person(person)
                || self.name_of(one).to_lowercase() == name.to_lowercase()
        })
    }
}

impl Qualification {
    /// That it was ended as of a day before this one, on which something was examined by it, in words; none where it was not.
    pub fn ended_before(&self, day: Date) -> Option<String> {
        let ended = self.ended.as_ref().filter(|ended| ended.on < day)?;
        let (on, why) = (write_day(ended.on), ended.reason.trim_end_matches('.'));
        Some(format!(
            "the qualification was ended as of {on} since then, a day before this examination: {why}"
        ))
    }
}
