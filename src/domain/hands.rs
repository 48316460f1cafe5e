//! The two people of an issue: who hands out and who takes.

use serde::{Deserialize, Serialize};

use super::{Deed, FieldErrors, Person, PersonId, Signer};

/// Who hands out and who takes, as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct IssueDraft {
    /// The id of who hands out; empty is whoever sends this.
    pub by: String,
    /// The id of who takes.
    pub to: String,
}

/// Who hands out and who takes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hands {
    /// Who hands out.
    pub by: Signer,
    /// Who takes.
    pub to: Signer,
    /// Whether they are one person, since the team has nobody else.
    pub alone: bool,
}

impl IssueDraft {
    /// The two people. They must be two, unless nobody else in the team could be the other.
    ///
    /// # Errors
    /// Both fields, where they do not name somebody of the team who may take part in a job.
    pub fn check(&self, sender: PersonId, people: &[Person]) -> Result<Hands, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let there = able(people);
        let read = |field: &str, text: &str, wrong: &mut FieldErrors| {
            let found = text.trim().parse::<PersonId>().ok();
            let found = found.and_then(|id| there.iter().find(|person| person.id == id));
            if found.is_none() {
                let words = "Choose somebody from the list: an active person of the team who may plan jobs.";
                wrong.add(field, "choice", words);
            }
            found.copied()
        };
        let by = match self.by.trim() {
            "" => read("by", &sender.to_string(), &mut wrong),
            by => read("by", by, &mut wrong),
        };
        let to = read("to", &self.to, &mut wrong);
        let (Some(by), Some(to)) = (by, to) else {
            return Err(wrong);
        };
        let alone = by.id == to.id;
        if alone && there.len() > 1 {
            let words = format!(
                "{} cannot hand out to themselves: two people look at what leaves. Choose who takes it.",
                by.name
            );
            wrong.add("to", "same", words);
        }
        wrong.or(|| Hands {
            by: by.into(),
            to: to.into(),
            alone,
        })
    }
}

/// Who may take part in a job.
pub fn able(people: &[Person]) -> Vec<&Person> {
    let people = people.iter();
    let able = people.filter(|person| person.active && person.role.may(Deed::PlanJob));
    able.collect()
}
