//! The form that withdraws a rig or a rulebook of the team's own, or takes it up again.

use askama::Template;

use super::{form::Form, part::html_parts};

/// The form, with what was typed into it.
#[derive(Template)]
#[template(path = "part/offer.html")]
pub struct Offer {
    /// What it is: a rig or a rulebook.
    pub what: &'static str,
    /// Whether it is withdrawn now.
    pub withdrawn: bool,
    /// The address of its page.
    pub page: String,
    /// What was wrong.
    pub form: Form,
    /// The reason that was typed.
    pub reason: String,
}

html_parts!(Offer);

impl Offer {
    /// An empty form about the rig or rulebook whose page is at this address.
    pub fn new(what: &'static str, withdrawn: bool, page: impl Into<String>) -> Self {
        Self {
            what,
            withdrawn,
            page: page.into(),
            form: Form::default(),
            reason: String::new(),
        }
    }

    /// The same with a reason that was typed, and what is wrong with it.
    pub fn with(&mut self, reason: String, form: Form) {
        self.reason = reason;
        self.form = form;
    }

    /// Forms to test with.
    pub fn samples() -> [Self; 2] {
        use super::PROBE;
        use crate::domain::FieldErrors;
        [true, false].map(|withdrawn| {
            let mut offer = Self::new("rig", withdrawn, "/rigs/x");
            let wrong = FieldErrors::one("reason", "required", PROBE);
            offer.with(PROBE.to_owned(), Form::new(&wrong));
            offer
        })
    }
}
