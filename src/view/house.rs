//! The first page of a new house.

use askama::Template;

use super::{
    Shell,
    form::{Choices, Form},
};

/// Makes the team and its first administrator.
#[derive(Template)]
#[template(path = "house/welcome.html")]
pub struct Welcome {
    /// The frame.
    pub shell: Shell,
    /// What was wrong.
    pub form: Form,
    /// What was typed: the code.
    pub code: String,
    /// What was typed: the team's name.
    pub team: String,
    /// What was chosen: the rulebook's key.
    pub rulebook: String,
    /// The rulebooks.
    pub rulebooks: Choices,
    /// What each of them is for.
    pub which: super::rulebook::WhichRulebook,
    /// What was chosen: the name of the time zone.
    pub time_zone: String,
    /// What was typed: the person's name.
    pub name: String,
    /// What was typed: the sign-in name.
    pub sign_in: String,
    /// Whether the first person is held competent to examine.
    pub competent: bool,
    /// What was typed: since when.
    pub competent_since: String,
    /// What was typed: why.
    pub evidence: String,
}

impl Welcome {
    fn zones(&self) -> Choices {
        let mut zones = super::team::zones(&self.time_zone);
        zones.retain(|(name, _)| !name.is_empty());
        zones.insert(0, (String::new(), "Choose a time zone".to_owned()));
        zones
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::PROBE;
        use crate::domain::FieldErrors;
        vec![Self {
            shell: Shell::for_stranger("Welcome"),
            form: Form::new(&FieldErrors::one("code", "wrong", PROBE)),
            code: PROBE.to_owned(),
            team: PROBE.to_owned(),
            rulebook: PROBE.to_owned(),
            rulebooks: super::rulebook::choices(&[]),
            which: super::rulebook::WhichRulebook::new(&[]),
            time_zone: PROBE.to_owned(),
            name: PROBE.to_owned(),
            sign_in: PROBE.to_owned(),
            competent: true,
            competent_since: PROBE.to_owned(),
            evidence: PROBE.to_owned(),
        }]
    }
}
