//! A step between the states of an item: why, and on which day.

use askama::Template;

use super::super::{Shell, form::Form};
use crate::domain::{FieldErrors, Item, ItemStep};

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
}

impl StepForm {
    /// The form with what was typed: the reason and the day.
    pub fn new(
        shell: Shell,
        item: &Item,
        step: ItemStep,
        (reason, on): (&str, &str),
        wrong: &FieldErrors,
    ) -> Self {
        Self {
            shell,
            form: Form::new(wrong),
            href: format!("/items/{}", item.id),
            mark: item.mark.clone(),
            step,
            reason: reason.to_owned(),
            on: on.to_owned(),
        }
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
                "It cannot be chosen. Once it is found it goes to quarantine, and is examined before it is used."
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
                Self::new(shell, &gear::item(), step, (PROBE, PROBE), &wrong)
            })
            .into()
    }
}
