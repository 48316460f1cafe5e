//! Recording an examination.

use askama::Template;

use super::{
    Shell, attribute,
    form::{Choices, Form},
    past::{kind_word, verdict_word},
    words,
};
use crate::domain::{
    ExaminationDraft, ExaminationId, ExaminationKind, FieldErrors, Item, Model, Verdict,
    fitness::interval_months, rulebook::Rulebook,
};

/// The form.
#[derive(Template)]
#[template(path = "examination/new.html")]
pub struct NewExamination {
    /// The frame.
    pub shell: Shell,
    form: Form,
    href: String,
    action: String,
    mark: String,
    model: String,
    interval: String,
    kinds: Choices,
    verdicts: Choices,
    markings: Choices,
    draft: ExaminationDraft,
}

/// Which examination of what.
pub struct Subject<'a> {
    /// The id that was made when the form was opened.
    pub id: ExaminationId,
    /// The item.
    pub item: &'a Item,
    /// Its model.
    pub model: &'a Model,
    /// The rulebook of the team.
    pub rulebook: &'a Rulebook,
    /// Whether this person may record thorough ones.
    pub thorough: bool,
}

impl NewExamination {
    /// The form with what was typed.
    pub fn new(
        shell: Shell,
        subject: &Subject<'_>,
        draft: &ExaminationDraft,
        wrong: &FieldErrors,
    ) -> Self {
        let href = format!("/items/{}", subject.item.id);
        let (months, rule) = interval_months(subject.model, subject.rulebook);
        let kinds = ExaminationKind::ALL.into_iter();
        let mut kinds: Choices = kinds
            .filter(|kind| subject.thorough || !kind.is_thorough())
            .map(|kind| (kind.key().to_owned(), kind_word(kind).to_owned()))
            .collect();
        kinds.insert(0, (String::new(), "Choose".to_owned()));
        let mut verdicts: Choices = Verdict::ALL
            .map(|verdict| (verdict.key().to_owned(), verdict_word(verdict).to_owned()))
            .into();
        verdicts.insert(0, (String::new(), "Choose".to_owned()));
        Self {
            shell,
            form: Form::new(wrong),
            action: format!("{href}/examinations?id={}", subject.id),
            href,
            mark: subject.item.mark.clone(),
            model: subject.model.title(),
            interval: format!(
                "Empty is the longest that the rules allow: {}.",
                words::every(months, &rule)
            ),
            kinds: attribute::keeping(kinds, &draft.kind),
            verdicts: attribute::keeping(verdicts, &draft.verdict),
            markings: markings(subject.item, &draft.markings_readable),
            draft: draft.clone(),
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::{PROBE, gear};
        let draft = ExaminationDraft {
            kind: PROBE.to_owned(),
            on: PROBE.to_owned(),
            examiner: PROBE.to_owned(),
            findings: PROBE.to_owned(),
            verdict: PROBE.to_owned(),
            next_due_on: PROBE.to_owned(),
            markings_readable: PROBE.to_owned(),
        };
        let wrong = FieldErrors::one("findings", "required", PROBE);
        let (item, model) = (gear::item(), gear::model());
        let page = |thorough| {
            let subject = Subject {
                id: gear::examination().id,
                item: &item,
                model: &model,
                rulebook: gear::rulebook(),
                thorough,
            };
            Self::new(Shell::sample("Examination"), &subject, &draft, &wrong)
        };
        vec![page(true), page(false)]
    }
}

/// Whether the markings can be read, with what is known of it so far.
fn markings(item: &Item, typed: &str) -> Choices {
    let so_far = match item.markings_readable {
        Some(true) => "Not looked at now; they could be read before",
        Some(false) => "Not looked at now; they could not be read before",
        None => "Not looked at; nobody has noted it yet",
    };
    let choices = [("", so_far), ("yes", "Yes"), ("no", "No")];
    let choices = choices.map(|(key, words)| (key.to_owned(), words.to_owned()));
    attribute::keeping(choices.into(), typed)
}
