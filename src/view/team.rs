//! The team itself.

use askama::Template;

use super::{
    Shell,
    form::{Choices, Form},
    part::SectionNav,
};
use crate::domain::rulebook;

/// The pages about the team.
pub fn nav(here: &str) -> SectionNav {
    let link = |words: &str, href: &str| (words.to_owned(), href.to_owned());
    SectionNav {
        label: "About the team".to_owned(),
        links: vec![
            link("People", "/people"),
            link("Name and rulebook", "/team"),
        ],
        here: here.to_owned(),
    }
}

/// The rulebooks that can be chosen.
pub fn rulebooks() -> Choices {
    let shipped = rulebook::shipped().iter();
    shipped
        .map(|book| (book.key().to_owned(), book.title().to_owned()))
        .collect()
}

/// The team's name and rulebook.
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
    /// The mark of the team as it was shown first.
    pub seen: String,
    /// The rulebooks.
    pub rulebooks: Choices,
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
            seen: PROBE.to_owned(),
            rulebooks: rulebooks(),
        }]
    }
}
