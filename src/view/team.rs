//! The team itself.

use askama::Template;

use super::{
    Shell,
    attribute::keeping,
    form::{Choices, Form},
    part::SectionNav,
};
use crate::domain::Zone;

/// The pages about the team.
pub fn nav(here: &str) -> SectionNav {
    let link = |words: &str, href: &str| (words.to_owned(), href.to_owned());
    SectionNav {
        label: "About the team".to_owned(),
        links: vec![
            link("People", "/people"),
            link("Name, rulebook, time zone", "/team"),
        ],
        here: here.to_owned(),
    }
}

/// The time zones that can be chosen, `kept` among them.
pub fn zones(kept: &str) -> Choices {
    let names = Zone::names().iter();
    let names: Choices = names.map(|name| (name.clone(), name.clone())).collect();
    keeping(names, kept)
}

/// The team's name, rulebook and time zone.
#[derive(Template)]
#[template(path = "team/show.html")]
pub struct ShowTeam {
    /// The frame.
    pub shell: Shell,
    /// The neighbours.
    pub nav: SectionNav,
    /// What was wrong.
    pub form: Form,
    /// What was typed: the name.
    pub name: String,
    /// What was typed: the rulebook's key.
    pub rulebook: String,
    /// What was typed: the name of the time zone.
    pub time_zone: String,
    /// The mark of the team as it was shown first.
    pub seen: String,
    /// The rulebooks.
    pub rulebooks: Choices,
    /// The time zones.
    pub zones: Choices,
}

impl ShowTeam {
    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::PROBE;
        use crate::domain::FieldErrors;
        vec![Self {
            shell: Shell::sample("The team"),
            nav: nav("/team"),
            form: Form::new(&FieldErrors::one("rulebook", "choice", PROBE)),
            name: PROBE.to_owned(),
            rulebook: PROBE.to_owned(),
            time_zone: PROBE.to_owned(),
            seen: PROBE.to_owned(),
            rulebooks: super::rulebook::choices(&[]),
            zones: zones(PROBE),
        }]
    }
}
