//! Changing the kind of a model: what it does first, then the reason.

use askama::Template;

use super::super::{
    Shell,
    form::{Choices, Form},
    part::{Answer, Tone},
};
use crate::domain::{FieldErrors, Kind, Model, ModelKindDraft};

/// The page.
#[derive(Template)]
#[template(path = "model/kind_change.html")]
pub struct KindChange {
    /// The frame.
    pub shell: Shell,
    form: Form,
    model: String,
    title: String,
    is: &'static str,
    revision: u32,
    kinds: Choices,
    draft: ModelKindDraft,
    /// What it does, once a kind is chosen.
    pub told: Option<KindTold>,
}

/// What becomes of the model and its items as ones of the chosen kind.
pub struct KindTold {
    /// In one sentence.
    pub answer: Answer,
    /// Why it may not be, each with where it is put right.
    pub against: Vec<(String, Option<String>)>,
    /// What it does, a sentence each.
    pub effects: Vec<String>,
    /// The words of the button; none where it may not be.
    pub button: Option<String>,
}

impl KindTold {
    /// Told of a model that becomes one of `to`.
    pub fn new(
        (model, to): (&Model, Kind),
        effects: Vec<String>,
        against: Vec<(String, Option<String>)>,
    ) -> Self {
        let words = format!("From {} to {}", model.kind.word(), to.word());
        let may = against.is_empty();
        let answer = if may {
            Answer::new(Tone::Watch, words)
                .why("Nothing contradicts it. Read what it does, and write why.")
        } else {
            Answer::new(Tone::Stop, format!("{words}: not as it stands"))
        };
        Self {
            answer,
            effects,
            button: may.then(|| format!("Make it {}", to.one())),
            against,
        }
    }
}

impl KindChange {
    /// The page of a model with what was typed.
    pub fn new(
        shell: Shell,
        model: &Model,
        draft: ModelKindDraft,
        wrong: &FieldErrors,
        told: Option<KindTold>,
    ) -> Self {
        let others = Kind::ALL.iter().filter(|kind| **kind != model.kind);
        let mut kinds: Choices = others
            .map(|kind| (kind.key().to_owned(), kind.word().to_owned()))
            .collect();
        kinds.insert(0, (String::new(), "Choose".to_owned()));
        Self {
            shell,
            form: Form::new(wrong),
            model: format!("/models/{}", model.id),
            title: model.title(),
            is: model.kind.word(),
            revision: model.revision,
            kinds,
            draft,
            told,
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::super::{PROBE, gear};
        let model = gear::model();
        let draft = || ModelKindDraft {
            kind: "litter".to_owned(),
            reason: PROBE.to_owned(),
        };
        let sheet = |wrong: &FieldErrors, told| {
            Self::new(Shell::sample("Kind"), &model, draft(), wrong, told)
        };
        let nothing = FieldErrors::default();
        let may = KindTold::new((&model, Kind::Litter), vec![PROBE.to_owned()], Vec::new());
        let reasons = vec![
            (PROBE.to_owned(), Some("/jobs/1".to_owned())),
            (PROBE.to_owned(), None),
        ];
        let not = KindTold::new((&model, Kind::Litter), Vec::new(), reasons);
        vec![
            sheet(&nothing, None),
            sheet(&FieldErrors::one("reason", "required", PROBE), Some(may)),
            sheet(&nothing, Some(not)),
        ]
    }
}
