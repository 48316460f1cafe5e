//! A step between the states of an item: why, and on which day.

use askama::Template;

use super::{
    super::{
        Shell,
        form::{Choices, Form},
    },
    show_answer::asked_in_words,
};
use crate::domain::{FieldErrors, Item, ItemStep, RetiredFor, Unanswered};

/// Asks for the reason.
#[derive(Template)]
#[template(path = "item/step.html")]
pub struct StepForm {
    /// The frame.
    pub shell: Shell,
    form: Form,
    href: String,
    mark: String,
    step: ItemStep,
    reason: String,
    on: String,
    retired_for: String,
    /// What whoever returns it has to know, a sentence each.
    beside: Vec<String>,
}

/// What was typed.
#[derive(Clone, Copy, Debug, Default)]
pub struct TypedStep<'a> {
    /// The reason.
    pub reason: &'a str,
    /// The day.
    pub on: &'a str,
    /// For what it is retired.
    pub retired_for: &'a str,
}

impl StepForm {
    /// The form with what was typed.
    pub fn new(
        shell: Shell,
        item: &Item,
        step: ItemStep,
        typed: TypedStep<'_>,
        wrong: &FieldErrors,
    ) -> Self {
        Self {
            shell,
            form: Form::new(wrong),
            href: format!("/items/{}", item.id),
            mark: item.mark.clone(),
            step,
            reason: typed.reason.to_owned(),
            on: typed.on.to_owned(),
            retired_for: typed.retired_for.to_owned(),
            beside: Vec::new(),
        }
    }

    /// The same for a return, with what was answered by nothing and who asked for it, by name.
    #[must_use]
    pub fn beside(mut self, item: &Item, unanswered: &Unanswered, asked_by: &str) -> Self {
        if self.step == ItemStep::ReturnToService {
            let asked = item.return_asked.as_ref();
            self.beside = vec![format!(
                "It is out of use because: {}.",
                item.state_reason.trim_end_matches('.')
            )];
            self.beside.extend(unanswered.in_words(item));
            self.beside
                .extend(asked.map(|asked| asked_in_words(asked, asked_by)));
        }
        self
    }

    fn is_retired(&self) -> bool {
        self.step == ItemStep::Retire
    }

    fn reasons(&self) -> Choices {
        let none = (String::new(), "not said".to_owned());
        let reasons = RetiredFor::CHOSEN.map(|one| (one.key().to_owned(), one.word().to_owned()));
        std::iter::once(none).chain(reasons).collect()
    }

    fn style(&self) -> &'static str {
        match self.step {
            ItemStep::Retire => "grave",
            _ => "main",
        }
    }

    fn says(&self) -> &'static str {
        match self.step {
            ItemStep::Quarantine => {
                "It is out of use from now on, on every job, until somebody competent decides."
            }
            ItemStep::ReturnToService => {
                "It may be chosen again, if nothing else speaks against it. Somebody competent for it returns it: say who looked, and what was found."
            }
            ItemStep::ReportMissing => {
                "It cannot be chosen. Once it is found it goes to quarantine, and an after-event examination has to find it fit before it is used."
            }
            ItemStep::Retire => {
                "This cannot be undone: a retired item never returns. Its record and history stay."
            }
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::super::{PROBE, gear};
        let wrong = FieldErrors::one("reason", "required", PROBE);
        ItemStep::ALL
            .map(|step| {
                let shell = Shell::sample(step.word());
                let typed = TypedStep {
                    reason: PROBE,
                    on: PROBE,
                    retired_for: PROBE,
                };
                let item = gear::item();
                let nothing = Unanswered::default();
                Self::new(shell, &item, step, typed, &wrong).beside(&item, &nothing, PROBE)
            })
            .into()
    }
}
