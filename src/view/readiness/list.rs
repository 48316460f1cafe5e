//! The plans that the team works by, each with its sets; and the form for another plan.

use askama::Template;

use super::{
    super::{
        Shell,
        form::{Choices, Form},
        job::{BY_LOAD, cases},
        part::{Cautions, Empty, SectionNav},
        trend,
    },
    breaks, counted_sets, plan_words, sets,
    show::unpin,
};
use crate::domain::{
    Deed, FieldErrors, PinId,
    ready::{Counted, PinnedSets, ReadinessDraft, Ready, StandingSets},
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
    /// Where it is taken down, of one that is pinned.
    unpin: Option<String>,
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
            first: breaks(counted).unwrap_or_else(|| lasting(counted).to_owned()),
            unpin: None,
        }
    }

    /// A pinned plan with its answer, or why there is none.
    fn of_pin(pinned: &PinnedSets) -> Self {
        let pin = &pinned.pin;
        let row = match &pinned.ready {
            Ok(ready) => Self::new(ready),
            Err(wrong) => {
                let why: Vec<&str> = wrong.0.iter().map(|one| one.message.as_str()).collect();
                Self {
                    rig: pin.rig.clone(),
                    href: String::new(),
                    plan: pin.words(),
                    job: None,
                    today: "not counted".to_owned(),
                    first: why.join(" "),
                    unpin: None,
                }
            }
        };
        Self {
            href: format!("/readiness/sets?pin={}", pin.id),
            unpin: Some(unpin(pin.id)),
            ..row
        }
    }
}

/// That the number stays as it is.
fn lasting(counted: &Counted) -> &'static str {
    match counted.sets.steps.first() {
        Some(today) if today.sets > 0 => "As many throughout the next two years.",
        _ => "Nor on a day of the next two years, as things stand.",
    }
}

/// The page.
#[derive(Template)]
#[template(path = "readiness/list.html")]
pub struct ReadinessList {
    /// The frame.
    pub shell: Shell,
    nav: SectionNav,
    pinned: Vec<PlanRow>,
    rows: Vec<PlanRow>,
    more: bool,
    empty: Empty,
    form: Form,
    draft: ReadinessDraft,
    rigs: Choices,
    rulebooks: Choices,
    cases: Choices,
    /// Where a plan is pinned, for who may.
    pin: Option<String>,
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
        let by_load = (String::new(), BY_LOAD.to_owned());
        Self {
            pin: shell
                .may(Deed::PlanJob)
                .then(|| format!("/readiness/pins?id={}", PinId::new())),
            shell,
            nav: trend::nav("/readiness"),
            pinned: standing.pinned.iter().map(PlanRow::of_pin).collect(),
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
            cases: std::iter::once(by_load).chain(cases()).collect(),
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
            unpin: None,
        };
        let pinned = PlanRow {
            unpin: Some("/readiness/pins/1/remove".to_owned()),
            ..row.clone()
        };
        let standing = StandingSets {
            pinned: Vec::new(),
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
        full.pinned = vec![pinned];
        vec![page(&FieldErrors::default()), full]
    }
}
