//! The plans that the team works by, each with its sets; and the form for another plan.

use askama::Template;

use super::{
    super::{
        Shell,
        form::{Choices, Form},
        part::{Cautions, Empty, SectionNav},
        trend,
    },
    breaks, counted_sets, plan_words, sets,
};
use crate::domain::{
    FieldErrors,
    ready::{ReadinessDraft, Ready, StandingSets},
};

/// One plan with its sets.
#[derive(Clone, Debug)]
pub struct PlanRow {
    rig: String,
    href: String,
    plan: String,
    job: Option<(String, String)>,
    today: String,
    first: String,
}

impl PlanRow {
    /// A plan with its answer.
    pub fn new(ready: &Ready) -> Self {
        let of = ready.of.as_ref();
        let counted = &ready.readiness;
        Self {
            rig: ready.rig.title().to_owned(),
            href: of.map_or_else(String::new, |job| format!("/readiness/sets?job={}", job.id)),
            plan: plan_words(ready),
            job: of.map(|job| (job.title.clone(), format!("/jobs/{}", job.id))),
            today: counted
                .sets
                .steps
                .first()
                .map_or_else(|| sets(0), counted_sets),
            first: breaks(counted)
                .unwrap_or_else(|| "As many throughout the next two years.".to_owned()),
        }
    }
}

/// The page.
#[derive(Template)]
#[template(path = "readiness/list.html")]
pub struct ReadinessList {
    /// The frame.
    pub shell: Shell,
    nav: SectionNav,
    rows: Vec<PlanRow>,
    more: bool,
    empty: Empty,
    form: Form,
    draft: ReadinessDraft,
    rigs: Choices,
    rulebooks: Choices,
    cautions: Cautions,
}

impl ReadinessList {
    /// The page with a form for another plan.
    pub fn new(
        shell: Shell,
        standing: &StandingSets,
        draft: ReadinessDraft,
        (rigs, rulebooks): (Choices, Choices),
        wrong: &FieldErrors,
    ) -> Self {
        Self {
            shell,
            nav: trend::nav("/readiness"),
            rows: standing.plans.iter().map(PlanRow::new).collect(),
            more: standing.more,
            empty: Empty::new(
                "No job says yet what sets are needed.",
                "Sets are counted for the plans of your jobs, or for a plan that you write below.",
            ),
            form: Form::new(wrong),
            draft,
            rigs,
            rulebooks,
            cautions: Cautions::of_mechanics(),
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::super::PROBE;
        let row = PlanRow {
            rig: PROBE.to_owned(),
            href: "/readiness/sets".to_owned(),
            plan: PROBE.to_owned(),
            job: Some((PROBE.to_owned(), "/jobs/1".to_owned())),
            today: sets(2),
            first: PROBE.to_owned(),
        };
        let standing = StandingSets {
            plans: Vec::new(),
            more: true,
        };
        let draft = ReadinessDraft {
            depth: PROBE.to_owned(),
            load: PROBE.to_owned(),
            ..ReadinessDraft::default()
        };
        let choices = || (vec![("one".to_owned(), PROBE.to_owned())], Choices::new());
        let page = |wrong: &FieldErrors| {
            let shell = Shell::sample("Complete sets");
            Self::new(shell, &standing, draft.clone(), choices(), wrong)
        };
        let mut full = page(&FieldErrors::one("depth", "unit", PROBE));
        full.rows = vec![row];
        vec![page(&FieldErrors::default()), full]
    }
}
