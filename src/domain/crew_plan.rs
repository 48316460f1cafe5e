//! Who does what on a job: roles with counts, the people named to them, and what of that does not go together.
//!
//! The roles that are offered, and those that one person does not hold together, are data, each with its source. A job
//! may change all of it; what is said against a plan is a warning, never a refusal.

mod draft;

use std::sync::LazyLock;

pub use draft::{CrewPlanDraft, DutyDraft};
use serde::{Deserialize, Serialize};

use super::{Cited, CrewPlanId, Job, JobId, LoadCase, Names, PersonId, Told, fold};
use crate::rigging::Mass;

/// The most roles of a plan.
pub const MOST_DUTIES: usize = 30;
/// The role of those who pull.
const HAUL: &str = "haul";
/// The most people of one role, and the highest count.
const MOST_PEOPLE: usize = 30;

/// A role of the starting set.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CrewRole {
    /// Its key.
    pub key: String,
    /// Its name.
    pub title: String,
    /// How many, to begin with.
    pub count: u8,
    /// What it does.
    pub does: String,
}

/// Two roles that one person does not hold together.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Apart {
    /// Their keys.
    pub roles: [String; 2],
    /// Why.
    pub why: String,
    /// Where it is from.
    pub from: Cited,
}

/// The sheet that comes with the program.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CrewSheet {
    /// The starting set.
    pub role: Vec<CrewRole>,
    /// What does not go together.
    pub apart: Vec<Apart>,
}

/// The sheet, read once.
pub fn crew_sheet() -> &'static CrewSheet {
    static SHEET: LazyLock<CrewSheet> = LazyLock::new(|| {
        toml::from_str(include_str!("crew_plan/role.toml"))
            .expect("a test reads the sheet that comes with the program")
    });
    &SHEET
}

/// Who does what on a job.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct CrewPlan {
    /// Its id; each change of a plan is one of its own.
    pub id: CrewPlanId,
    /// The job.
    pub job: JobId,
    /// For which load.
    pub case: LoadCase,
    /// The roles.
    pub duties: Vec<Duty>,
}

/// A role on a job.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Duty {
    /// The key of the starting set; none is a role of the team's own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub role: Option<String>,
    /// Its name.
    pub title: String,
    /// How many are planned.
    pub count: u8,
    /// Who.
    pub people: Vec<Named>,
}

/// Somebody who is named to a role.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Named {
    /// The person of the team, if it is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub person: Option<PersonId>,
    /// The name.
    pub name: String,
}

impl Named {
    fn is(&self, other: &Self) -> bool {
        match (self.person, other.person) {
            (Some(one), Some(other)) => one == other,
            _ => fold(&self.name) == fold(&other.name),
        }
    }
}

/// What is to be said of a plan.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct CrewWarning {
    /// The sentence.
    pub sentence: String,
    /// Where the rule behind it is from; none where it is a sum.
    pub from: Option<Cited>,
}

/// What a plan is held against.
#[derive(Clone, Copy, Debug)]
pub struct CrewNeed<'a> {
    /// The job.
    pub job: &'a Job,
    /// The mass of its load.
    pub mass: Mass,
    /// What one person with kit counts.
    pub person: Mass,
    /// How many haul, where the verdict says it.
    pub haulers: Option<u32>,
}

impl CrewPlan {
    /// What speaks against the plan: roles that are not filled, people in roles that do not go together, a load that
    /// is not the planned one.
    pub fn warnings(&self, need: &CrewNeed<'_>) -> Vec<CrewWarning> {
        let mut all = self.together();
        all.extend(self.case(need));
        all.extend(self.load(need));
        all.extend(self.haulers(need));
        all.extend(self.unfilled());
        all
    }

    fn duty(&self, role: &str) -> impl Iterator<Item = &Duty> {
        let duties = self.duties.iter();
        duties.filter(move |duty| duty.role.as_deref() == Some(role))
    }

    fn together(&self) -> Vec<CrewWarning> {
        let mut all = Vec::new();
        for apart in &crew_sheet().apart {
            let [one, other] = &apart.roles;
            for (first, second) in self
                .duty(one)
                .flat_map(|first| self.duty(other).map(move |second| (first, second)))
            {
                let twice = first.people.iter();
                let twice = twice.filter(|who| second.people.iter().any(|other| who.is(other)));
                all.extend(twice.map(|who| CrewWarning {
                    sentence: format!(
                        "{} is named as {} and as {}. {}",
                        who.name, first.title, second.title, apart.why
                    ),
                    from: Some(apart.from.clone()),
                }));
            }
        }
        all
    }

    fn case(&self, need: &CrewNeed<'_>) -> Option<CrewWarning> {
        let of_job = need.job.case?;
        (of_job != self.case).then(|| CrewWarning {
            sentence: format!(
                "The crew is planned for {}, and the job for {}: change one of them.",
                self.case.word(),
                of_job.word()
            ),
            from: None,
        })
    }

    fn load(&self, need: &CrewNeed<'_>) -> Option<CrewWarning> {
        let asked = need.person.kilograms() * f64::from(self.case.people());
        let mass = need.mass.kilograms();
        // A hair of rounding is no lack.
        (mass < asked * (1.0 - 1e-9)).then(|| CrewWarning {
            sentence: format!(
                "The crew is planned for {}, which the rulebook counts with {asked:.0} kg, and the load of the job is {} ({mass:.0} kg). Change the load, so that the verdict counts all of it.",
                self.case.word(),
                need.job.load
            ),
            from: None,
        })
    }

    fn haulers(&self, need: &CrewNeed<'_>) -> Option<CrewWarning> {
        let haulers = need.haulers?;
        let planned: u32 = self.duty(HAUL).map(|duty| u32::from(duty.count)).sum();
        (planned <= haulers).then(|| CrewWarning {
            sentence: format!(
                "The verdict asks for {haulers} to haul, and {planned} are planned: plan one more than that, as a spare."
            ),
            from: Some(Cited::new("crewing of a raise or lower", super::Known::Practice)),
        })
    }

    fn unfilled(&self) -> Vec<CrewWarning> {
        let short = self.duties.iter().filter_map(|duty| {
            let (named, count) = (duty.people.len(), usize::from(duty.count));
            (named != count).then(|| CrewWarning {
                sentence: format!("{}: {count} planned, {named} named.", duty.title),
                from: None,
            })
        });
        short.collect()
    }

    /// The plan in words.
    pub(super) fn told(&self, names: &Names) -> Told {
        let filled = self.duties.iter().filter(|duty| !duty.people.is_empty());
        let filled: Vec<String> = filled
            .map(|duty| {
                let people: Vec<&str> = duty.people.iter().map(|who| who.name.as_str()).collect();
                format!("{}: {}", duty.title, people.join(", "))
            })
            .collect();
        Told::new(format!(
            "Crew of the job {} planned for {}",
            names.of(self.job.0),
            self.case.word()
        ))
        .why(filled.join("; "))
    }

    /// The plan as it would be typed.
    pub fn draft(&self) -> CrewPlanDraft {
        let duties = self.duties.iter().map(|duty| DutyDraft {
            role: duty.role.clone().unwrap_or_default(),
            title: duty.title.clone(),
            count: duty.count.to_string(),
            people: lines(duty.people.iter().map(|who| who.name.as_str())),
        });
        CrewPlanDraft {
            seen: self.id.to_string(),
            case: self.case.key().to_owned(),
            duties: duties.collect(),
        }
    }
}

fn lines<'a>(names: impl Iterator<Item = &'a str>) -> String {
    names.collect::<Vec<_>>().join("\n")
}
