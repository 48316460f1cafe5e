//! Who does what on a job.

use askama::Template;

use super::{
    Shell,
    form::{Choices, Field, Form},
    job::job_nav,
    part::{Answer, SectionNav, Tone},
    words,
};
use crate::domain::{
    CrewPlan, CrewPlanDraft, CrewPlanId, CrewWarning, Deed, DutyDraft, FieldErrors, Job, LoadCase,
    Person, able, crew_sheet,
};

/// How many empty rows stand below the roles, for roles of the team's own.
const EMPTY_ROWS: usize = 3;

/// A role of the plan that stands.
pub struct DutyRow {
    title: String,
    does: &'static str,
    count: String,
    people: String,
}

/// The page.
#[derive(Template)]
#[template(path = "crew_plan/show.html")]
pub struct ShowCrewPlan {
    /// The frame.
    pub shell: Shell,
    answer: Answer,
    nav: SectionNav,
    warnings: Vec<(String, String)>,
    rows: Vec<DutyRow>,
    form: Form,
    action: String,
    draft: CrewPlanDraft,
    team: String,
    haulers: String,
    may_plan: bool,
}

/// What the page is made of.
#[derive(Clone, Copy)]
pub struct CrewOf<'a> {
    /// The job.
    pub job: &'a Job,
    /// The plan that stands, if there is one.
    pub plan: Option<&'a CrewPlan>,
    /// What speaks against it.
    pub warnings: &'a [CrewWarning],
    /// How many haul, where the verdict says it.
    pub haulers: Option<u32>,
    /// The team.
    pub people: &'a [Person],
}

impl ShowCrewPlan {
    /// The page with what was typed; `id` is that of the plan that it makes.
    pub fn new(
        shell: Shell,
        id: CrewPlanId,
        crew: CrewOf<'_>,
        (draft, wrong): (&CrewPlanDraft, &FieldErrors),
    ) -> Self {
        let mut draft = draft.clone();
        let kept = draft
            .duties
            .iter()
            .rposition(|duty| *duty != DutyDraft::default());
        draft.duties.truncate(kept.map_or(0, |last| last + 1));
        let empty = std::iter::repeat_n(DutyDraft::default(), EMPTY_ROWS);
        draft.duties.extend(empty);
        let team: Vec<&str> = able(crew.people)
            .iter()
            .map(|one| one.name.as_str())
            .collect();
        let warnings = crew.warnings.iter();
        Self {
            answer: stands(crew.plan, crew.warnings.len()),
            nav: job_nav(crew.job, "/crew"),
            warnings: warnings
                .map(|one| {
                    let from = one.from.as_ref().map(ToString::to_string);
                    (one.sentence.clone(), from.unwrap_or_default())
                })
                .collect(),
            rows: crew.plan.map(rows).unwrap_or_default(),
            form: Form::new(wrong),
            action: format!("/jobs/{}/crew?id={id}", crew.job.id),
            draft,
            team: team.join(", "),
            haulers: crew.haulers.map_or_else(String::new, |haulers| {
                let people = usize::try_from(haulers).unwrap_or(usize::MAX);
                format!(
                    "The verdict asks for {} to haul.",
                    words::count(people, "person", "people")
                )
            }),
            may_plan: crew.job.state.must_be_planned().is_ok() && shell.may(Deed::PlanJob),
            shell,
        }
    }

    fn cases() -> Choices {
        let cases = LoadCase::ALL.iter();
        cases
            .map(|case| (case.key().to_owned(), case.word().to_owned()))
            .collect()
    }

    fn case_field(&self) -> Field {
        self.form
            .choice("case", "Planned for", &self.draft.case, Self::cases())
    }

    /// The roles as they are typed, each with the number of its row.
    fn duties(&self) -> impl Iterator<Item = (usize, &DutyDraft)> {
        self.draft.duties.iter().enumerate()
    }

    /// What a row is called.
    fn name_of(&self, at: usize, duty: &DutyDraft) -> String {
        match duty.title.trim() {
            "" => format!("Role {}", at + 1),
            title => title.to_owned(),
        }
    }

    fn fields_of(&self, at: usize, duty: &DutyDraft) -> Vec<Field> {
        let name = |field: &str| format!("duties[{at}][{field}]");
        let of = self.name_of(at, duty);
        vec![
            self.form.line(
                &name("title"),
                &format!("Name of the role {}", at + 1),
                &duty.title,
            ),
            self.form
                .number(&name("count"), &format!("How many: {of}"), &duty.count),
            self.form
                .note(&name("people"), &format!("Who: {of}"), &duty.people)
                .rows(2),
        ]
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::{PROBE, gear};
        use crate::domain::{Cited, Duty, Known, Named};
        let job = gear::job();
        let plan = CrewPlan {
            id: CrewPlanId(uuid::Uuid::nil()),
            job: job.id,
            case: LoadCase::Rescue,
            duties: vec![Duty {
                role: Some("belay".to_owned()),
                title: PROBE.to_owned(),
                count: 2,
                people: vec![Named {
                    person: None,
                    name: PROBE.to_owned(),
                }],
            }],
        };
        let warning = CrewWarning {
            sentence: PROBE.to_owned(),
            from: Some(Cited::new(PROBE, Known::Practice)),
        };
        let mut wrong = FieldErrors::one("duties[0][count]", "number", PROBE);
        wrong.add("duties", "range", PROBE);
        wrong.add("seen", "stale", PROBE);
        let page = |plan: Option<&CrewPlan>, draft: &CrewPlanDraft, wrong: &FieldErrors| {
            let crew = CrewOf {
                job: &job,
                plan,
                warnings: std::slice::from_ref(&warning),
                haulers: Some(2),
                people: &[gear::person()],
            };
            let id = CrewPlanId(uuid::Uuid::nil());
            Self::new(Shell::sample("Crew"), id, crew, (draft, wrong))
        };
        vec![
            page(Some(&plan), &plan.draft(), &wrong),
            page(
                None,
                &CrewPlanDraft::starting(&job, None),
                &FieldErrors::default(),
            ),
        ]
    }
}

fn stands(plan: Option<&CrewPlan>, warnings: usize) -> Answer {
    match (plan, warnings) {
        (None, _) => Answer::new(Tone::Note, "No crew is planned yet").why(
            "The roles below are a starting set: change counts, take roles out, add your own.",
        ),
        (Some(_), 0) => Answer::new(Tone::Fit, "Every role is filled"),
        (Some(_), n) => Answer::new(
            Tone::Watch,
            format!(
                "The crew has {}",
                words::count(n, "open point", "open points")
            ),
        )
        .why("They are warnings: whoever leads decides."),
    }
}

fn rows(plan: &CrewPlan) -> Vec<DutyRow> {
    let duties = plan.duties.iter();
    duties
        .map(|duty| {
            let mut roles = crew_sheet().role.iter();
            let role = roles.find(|role| Some(&role.key) == duty.role.as_ref());
            let people: Vec<&str> = duty.people.iter().map(|who| who.name.as_str()).collect();
            DutyRow {
                title: duty.title.clone(),
                does: role.map_or("", |role| role.does.as_str()),
                count: duty.count.to_string(),
                people: if people.is_empty() {
                    "nobody yet".to_owned()
                } else {
                    people.join(", ")
                },
            }
        })
        .collect()
}
