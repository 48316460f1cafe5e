//! A crew plan as it is typed in.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::{CrewPlan, CrewRole, Duty, HAUL, MOST_DUTIES, MOST_PEOPLE, Named, crew_sheet};
use crate::domain::{
    CrewPlanId, FieldErrors, Job, JobId, LONGEST_LINE, Load, LoadCase, Person, fold,
};

/// A role as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct DutyDraft {
    /// The key of the starting set; empty is a role of the team's own.
    pub role: String,
    /// Its name; empty leaves the role out.
    pub title: String,
    /// How many.
    pub count: String,
    /// Names, one a line; one that is a person's of the team is that person.
    pub people: String,
}

/// A plan as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct CrewPlanDraft {
    /// The id of the plan that was seen; empty where there was none.
    pub seen: String,
    /// `one-person`, `two-persons` or `rescue`.
    pub case: String,
    /// The roles.
    pub duties: Vec<DutyDraft>,
}

impl CrewPlanDraft {
    /// What a plan begins with: the starting set, nobody named yet; where the verdict says how many haul, one more than
    /// that.
    pub fn starting(job: &Job, haulers: Option<u32>) -> Self {
        let roles = crew_sheet().role.iter();
        let by_load = match job.load {
            Load::Persons(count) if count > 1 => LoadCase::TwoPersons,
            _ => LoadCase::OnePerson,
        };
        let case = job.case.unwrap_or(by_load);
        let most = u32::try_from(MOST_PEOPLE).unwrap_or(u32::MAX);
        let hauling = haulers.map(|haulers| haulers.saturating_add(1).min(most));
        let count = |role: &CrewRole| match hauling {
            Some(hauling) if role.key == HAUL => hauling.to_string(),
            _ => role.count.to_string(),
        };
        Self {
            seen: String::new(),
            case: case.key().to_owned(),
            duties: roles
                .map(|role| DutyDraft {
                    role: role.key.clone(),
                    title: role.title.clone(),
                    count: count(role),
                    people: String::new(),
                })
                .collect(),
        }
    }

    /// The plan that was typed in. `there` is the plan that stands.
    ///
    /// # Errors
    /// Every field that does not hold, and `seen` where somebody else changed the plan in between.
    pub fn check(
        &self,
        id: CrewPlanId,
        job: JobId,
        there: Option<&CrewPlan>,
        people: &[Person],
    ) -> Result<CrewPlan, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let seen = self.seen.trim().parse::<Uuid>().ok();
        if seen != there.map(|plan| plan.id.0) {
            let words = "Somebody else changed the crew in between. Open the page again beside this one and take over what is new.";
            wrong.add("seen", "stale", words);
        }
        let case = LoadCase::from_key(&self.case);
        if case.is_none() {
            let words = "Choose one person, two people at once, or a rescue.";
            wrong.add("case", "choice", words);
        }
        if self.duties.len() > MOST_DUTIES {
            let words = format!(
                "A crew has {MOST_DUTIES} roles at most; {} were given.",
                self.duties.len()
            );
            wrong.add("duties", "range", words);
        }
        let duties = self.duties.iter().take(MOST_DUTIES).enumerate();
        let duties = duties.filter_map(|(at, duty)| duty.check(at, people, &mut wrong));
        let duties: Vec<Duty> = duties.collect();
        if duties.is_empty() && wrong.is_empty() {
            wrong.add("duties", "required", "Keep at least one role.");
        }
        match case {
            Some(case) if wrong.is_empty() => Ok(CrewPlan {
                id,
                job,
                case,
                duties,
            }),
            _ => Err(wrong),
        }
    }
}

impl DutyDraft {
    fn check(&self, at: usize, people: &[Person], wrong: &mut FieldErrors) -> Option<Duty> {
        let field = |name: &str| format!("duties[{at}][{name}]");
        let names: Vec<&str> = self
            .people
            .lines()
            .map(str::trim)
            .filter(|name| !name.is_empty())
            .collect();
        if self.title.trim().is_empty() {
            if !names.is_empty() {
                wrong.add(
                    field("title"),
                    "required",
                    "Write the name of the role, or take its people out.",
                );
            }
            return None;
        }
        let title = wrong.line(&field("title"), &self.title);
        let count = self.counted(&field("count"), wrong);
        let role = self.role.trim();
        let known = crew_sheet().role.iter().any(|one| one.key == role);
        if !role.is_empty() && !known {
            let given: String = role.chars().take(40).collect();
            wrong.add(
                field("title"),
                "choice",
                format!("There is no role \"{given}\" in the starting set."),
            );
        }
        let named = named(&names, people, &field("people"), wrong);
        Some(Duty {
            role: known.then(|| role.to_owned()),
            title,
            count,
            people: named,
        })
    }

    fn counted(&self, field: &str, wrong: &mut FieldErrors) -> u8 {
        match self.count.trim().parse::<u8>() {
            Ok(count) if usize::from(count) <= MOST_PEOPLE => count,
            _ => {
                let given: String = self.count.trim().chars().take(40).collect();
                let words =
                    format!("Write a whole number from 0 to {MOST_PEOPLE}, not \"{given}\".");
                wrong.add(field, "number", words);
                0
            }
        }
    }
}

/// The people of these names: those of the team as they are, others as they are written.
fn named(names: &[&str], people: &[Person], field: &str, wrong: &mut FieldErrors) -> Vec<Named> {
    let odd =
        |name: &&str| name.chars().count() > LONGEST_LINE || name.chars().any(char::is_control);
    if names.len() > MOST_PEOPLE || names.iter().any(odd) {
        let words = format!(
            "Write {MOST_PEOPLE} names at most, one a line, each of {LONGEST_LINE} characters at most."
        );
        wrong.add(field, "long", words);
    }
    let named = names.iter().map(|name| {
        let known = people
            .iter()
            .find(|person| fold(&person.name) == fold(name));
        Named {
            person: known.map(|person| person.id),
            name: known.map_or_else(|| (*name).to_owned(), |person| person.name.clone()),
        }
    });
    named.collect()
}
