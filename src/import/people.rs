//! Whether gear of a kind may hold people, where that is not as it was said for all.

use super::answer::Answers;
use crate::domain::{FieldErrors, Kind, fold};

/// The words of an answer.
const WORDS: [&str; 2] = ["yes", "no"];

impl Answers {
    /// What was said of a kind, where the file says nothing.
    pub(super) fn people(&self, kind: Kind) -> Option<&'static str> {
        let mut said = self.people.iter();
        let (_, said) = said.find(|(key, _)| Kind::from_word(&fold(key)) == Some(kind))?;
        WORDS.into_iter().find(|word| *word == fold(said))
    }

    /// Notes what of it is no kind of gear, or neither yes nor no.
    pub(super) fn check_people(&self, wrong: &mut FieldErrors) {
        for (key, said) in &self.people {
            let name = format!("people[{key}]");
            if Kind::from_word(&fold(key)).is_none() {
                wrong.add(name, "choice", format!("\"{key}\" is no kind of gear."));
            } else if !WORDS.contains(&fold(said).as_str()) {
                wrong.add(name, "choice", format!("Say yes or no, not \"{said}\"."));
            }
        }
    }
}
