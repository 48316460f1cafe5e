//! The form in which a job is planned.

use askama::Template;

use crate::{
    domain::{JobDraft, OwnRig},
    rigging,
    view::{
        Shell,
        form::{Choices, Form},
        part::Tone,
        rulebook::choices,
    },
};

/// What a plan may choose from.
pub struct PlanChoices {
    /// The rulebooks.
    pub rulebooks: Choices,
    /// The rigs.
    pub rigs: Choices,
}

impl PlanChoices {
    /// These rulebooks; and the rigs that come with the program, with the team's own in their newest
    /// version. What a job was planned with is offered too, though there is a newer one or it was withdrawn.
    pub fn new(own: &[OwnRig], planned: &str, rulebooks: Choices) -> Self {
        let nothing = || (String::new(), "Choose …".to_owned());
        let mut rigs: Choices = vec![nothing()];
        rigs.extend(own.iter().map(|rig| {
            let words = format!("{} (own, version {})", rig.title, rig.revision);
            (rig.edition().to_string(), words)
        }));
        let shipped = rigging::shipped().iter();
        rigs.extend(shipped.map(|rig| (rig.key().to_owned(), rig.title().to_owned())));
        if !rigs.iter().any(|(key, _)| key == planned) {
            rigs.push((planned.to_owned(), format!("{planned}, as it was planned")));
        }
        Self {
            rulebooks: std::iter::once(nothing()).chain(rulebooks).collect(),
            rigs,
        }
    }
}

/// Plans a job, or changes its plan.
#[derive(Template)]
#[template(path = "job/plan.html")]
pub struct JobForm {
    /// The frame.
    pub shell: Shell,
    /// What was wrong.
    pub form: Form,
    /// What was typed.
    pub draft: JobDraft,
    /// What may be chosen.
    pub choices: PlanChoices,
    /// Where it is sent.
    pub action: String,
    /// The words on the button.
    pub button: &'static str,
    /// A sentence on top where somebody else has saved first.
    pub stale: Option<String>,
}

impl JobForm {
    /// The label of a time: the zone whose clocks it is read from stands beside it.
    fn label(&self, word: &str) -> String {
        format!("{word} ({})", self.shell.zone)
    }

    /// Whether a box is ticked, from what was sent for it.
    pub fn ticked(&self, sent: &str) -> bool {
        matches!(sent, "yes" | "on" | "true")
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use crate::{domain::FieldErrors, view::PROBE};
        let typed = JobDraft {
            title: PROBE.to_owned(),
            place: PROBE.to_owned(),
            depth: PROBE.to_owned(),
            note: PROBE.to_owned(),
            ..JobDraft::default()
        };
        let wrong = FieldErrors::one("depth", "unit", PROBE);
        [
            (JobDraft::default(), FieldErrors::default()),
            (typed, wrong),
        ]
        .into_iter()
        .map(|(draft, wrong)| Self {
            shell: Shell::sample("Plan a job"),
            form: Form::new(&wrong),
            draft,
            choices: PlanChoices::new(&[], PROBE, choices(&[])),
            action: "/jobs".to_owned(),
            button: "Plan the job",
            stale: Some(PROBE.to_owned()),
        })
        .collect()
    }
}
