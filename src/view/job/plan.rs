//! The form in which a job is planned.

use askama::Template;

use crate::{
    domain::{JobDraft, LoadCase, OwnRig, Store, ticked},
    rigging,
    view::{
        Shell,
        form::{Choices, Form},
        rulebook::WhichRulebook,
        stale::{Lines, Stale},
    },
};

/// What it is planned for where no case is chosen.
pub(in crate::view) const BY_LOAD: &str = "as the load says";

/// The cases to choose from.
pub(in crate::view) fn cases() -> impl Iterator<Item = (String, String)> {
    let cases = LoadCase::ALL.iter();
    cases.map(|case| (case.key().to_owned(), case.word().to_owned()))
}

/// What a plan may choose from.
pub struct PlanChoices {
    /// The rulebooks.
    pub rulebooks: Choices,
    /// What each of them is for.
    pub which: WhichRulebook,
    /// Why the rulebook stands there that does; empty where it was chosen.
    pub why: String,
    /// The rigs.
    pub rigs: Choices,
    /// The stores that a kit may be taken from first.
    pub stores: Choices,
}

impl PlanChoices {
    /// These rulebooks; and the rigs that come with the program, with the team's own in their newest
    /// version. What a job was planned with is offered too, though there is a newer one or it was withdrawn.
    pub fn new(
        own: &[OwnRig],
        planned: &str,
        (rulebooks, which): (Choices, WhichRulebook),
    ) -> Self {
        let nothing = || (String::new(), "Choose …".to_owned());
        let mut rigs: Choices = vec![nothing()];
        rigs.extend(own.iter().map(|rig| {
            let belay = rig.rig().map(|rig| format!("; {}", rig.belay_words()));
            let words = format!(
                "{} (own, version {}{})",
                rig.title,
                rig.revision,
                belay.unwrap_or_default()
            );
            (rig.edition().to_string(), words)
        }));
        let shipped = rigging::shipped().iter();
        rigs.extend(shipped.map(|rig| {
            let words = format!("{} ({})", rig.title(), rig.belay_words());
            (rig.key().to_owned(), words)
        }));
        if !rigs.iter().any(|(key, _)| key == planned) {
            rigs.push((planned.to_owned(), format!("{planned}, as it was planned")));
        }
        Self {
            rulebooks: std::iter::once(nothing()).chain(rulebooks).collect(),
            which,
            why: String::new(),
            rigs,
            stores: vec![(String::new(), "Wherever it lies".to_owned())],
        }
    }

    /// The same with the stores of the team.
    #[must_use]
    pub fn with_stores(mut self, stores: &[Store]) -> Self {
        let stores = stores.iter();
        self.stores
            .extend(stores.map(|store| (store.id.to_string(), store.name.clone())));
        self
    }

    /// The name of a store that was chosen.
    fn store(&self, chosen: &str) -> String {
        let found = self.stores.iter().find(|(id, _)| id == chosen);
        found.map_or_else(|| chosen.to_owned(), |(_, name)| name.clone())
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
    /// The page of the job; empty for one that is new.
    pub back: String,
    /// Where it is sent.
    pub action: String,
    /// The words on the button.
    pub button: &'static str,
    /// What somebody else has saved first, beside what was typed.
    pub stale: Option<Stale>,
    /// Whether the part on what may go wrong was asked for and stands open.
    pub opens_catch: bool,
}

impl JobForm {
    /// The same with what is stored now beside what was typed.
    #[must_use]
    pub fn beside(mut self, stored: &JobDraft) -> Self {
        let all = |draft: &JobDraft| {
            let mut lines = lines(draft);
            let first = self.choices.store(&draft.first_from);
            lines.push(("Take from first".to_owned(), first));
            lines
        };
        self.stale = Some(Stale::between(all(&self.draft), all(stored)));
        self
    }

    /// The label of a time: the zone whose clocks it is read from stands beside it.
    fn label(&self, word: &str) -> String {
        format!("{word} ({})", self.shell.zone)
    }

    /// What a rulebook is, and why this one stands there.
    fn rulebook_hint(&self) -> String {
        let what = "Which minimum strengths, approvals and intervals apply.";
        format!("{what} {}", self.choices.why).trim_end().to_owned()
    }

    fn cases() -> Choices {
        let by_load = (String::new(), BY_LOAD.to_owned());
        std::iter::once(by_load).chain(cases()).collect()
    }

    /// Whether a box is ticked, from what was sent for it.
    pub fn ticked(&self, sent: &str) -> bool {
        ticked(sent) == Some(true)
    }

    /// Whether something of what may go wrong is planned or typed wrong, so that it is in sight; most jobs leave it out.
    fn minds_what_may_go_wrong(&self) -> bool {
        let draft = &self.draft;
        let fields = [
            ("stuck_pull", &draft.stuck_pull),
            ("catch_slack", &draft.catch_slack),
            ("catch_rope", &draft.catch_rope),
            ("exceptional_factor", &draft.exceptional_factor),
            ("line_planned", &draft.line_planned),
        ];
        let mut fields = fields.iter();
        self.opens_catch
            || fields.any(|(name, text)| !text.is_empty() || !self.form.wrong_at(name).is_empty())
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use crate::{domain::FieldErrors, view::PROBE};
        let typed = JobDraft {
            title: PROBE.to_owned(),
            place: PROBE.to_owned(),
            depth: PROBE.to_owned(),
            hazards: PROBE.to_owned(),
            edge: PROBE.to_owned(),
            anchors: PROBE.to_owned(),
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
            choices: PlanChoices::new(
                &[],
                PROBE,
                (crate::view::rulebook::choices(&[]), WhichRulebook::new(&[])),
            ),
            back: "/jobs/1".to_owned(),
            action: "/jobs".to_owned(),
            button: "Plan the job",
            stale: None,
            opens_catch: false,
            draft,
        })
        .map(|form| form.beside(&JobDraft::default()))
        .collect()
    }
}

/// A draft as lines to compare.
fn lines(draft: &JobDraft) -> Lines {
    [
        ("What is to be done", &draft.title),
        ("Where", &draft.place),
        ("From", &draft.starts_at),
        ("Until", &draft.ends_at),
        ("Hazards", &draft.hazards),
        ("Edge", &draft.edge),
        ("Anchors", &draft.anchors),
        ("Anything else", &draft.note),
        ("Planned for", &draft.case),
        ("Load", &draft.load),
        ("Depth", &draft.depth),
        ("Rig", &draft.rig),
        ("Rulebook", &draft.rulebook),
        ("The rope may get wet", &draft.wet),
        ("Own harnesses, not of this register", &draft.own_harness),
        ("From the edge up to where the rig hangs", &draft.head_gap),
        (
            "Height that pulleys and connectors take",
            &draft.block_length,
        ),
        ("Rope kept at the hand", &draft.tail),
        ("Rope in knots", &draft.knots),
        ("Pull of one hauler", &draft.pull_each),
        ("Stroke of a travelling pulley", &draft.throw),
        ("Distance between anchors", &draft.between_anchors),
        ("Girth of the anchor", &draft.anchor_girth),
        ("Rope through the hands in a second", &draft.hand_speed),
        ("Pull of the whole crew on a stuck load", &draft.stuck_pull),
        ("Drop before the belay is tight", &draft.catch_slack),
        ("Belay rope from the device to the load", &draft.catch_rope),
        ("Factor for these two", &draft.exceptional_factor),
        ("The line across a span is planned", &draft.line_planned),
    ]
    .map(|(name, text)| (name.to_owned(), text.clone()))
    .into()
}
