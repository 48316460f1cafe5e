//! The form in which a job is planned.

use askama::Template;

use crate::{
    domain::{JobDraft, OwnRig},
    rigging,
    view::{
        Shell,
        form::{Choices, Form},
        rulebook::choices,
        stale::{Lines, Stale},
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

/// Where what was typed differs from the plan that somebody else has saved meanwhile.
pub fn differences(typed: &JobDraft, stored: &JobDraft) -> Stale {
    Stale::between(lines(typed), lines(stored))
}

/// The plan as lines, each under its label.
fn lines(draft: &JobDraft) -> Lines {
    let line = |label: &str, text: &str| (label.to_owned(), text.to_owned());
    vec![
        line("What is to be done", &draft.title),
        line("Where", &draft.place),
        line("From", &draft.starts_at),
        line("Until", &draft.ends_at),
        line("Hazards, edges, anchors", &draft.note),
        line("Load", &draft.load),
        line("Depth", &draft.depth),
        line("Rig", &draft.rig),
        line("Rulebook", &draft.rulebook),
        line("The rope may get wet", &draft.wet),
        line("From the edge up to where the rig hangs", &draft.head_gap),
        line(
            "Height that pulleys and connectors take",
            &draft.block_length,
        ),
        line("Rope kept at the hand", &draft.tail),
        line("Rope in knots", &draft.knots),
        line("Pull of one hauler", &draft.pull_each),
        line("Stroke of a travelling pulley", &draft.throw),
        line("Distance between anchors", &draft.between_anchors),
    ]
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
    /// What somebody else has saved meanwhile.
    pub stale: Option<Stale>,
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
            choices: PlanChoices::new(&[], PROBE, choices(&[])),
            action: "/jobs".to_owned(),
            button: "Plan the job",
            stale: Some(differences(&JobDraft::default(), &draft)),
            draft,
        })
        .collect()
    }
}
