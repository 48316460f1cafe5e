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
            link("Competent people", "/competence"),
            link("Outside auditors", "/guests"),
            link("Name, rulebook, employer", "/team"),
            link("Webhooks", "/team/webhooks"),
            link("What goes out", "/team/outgoing"),
        ],
        here: here.to_owned(),
    }
}

/// Whether one competent person returns gear from quarantine, or two.
pub fn yes_no_choices() -> Choices {
    [
        ("no", "one competent person, with a reason"),
        ("yes", "one asks and another one confirms"),
    ]
    .map(|(key, word)| (key.to_owned(), word.to_owned()))
    .into()
}

/// The time zones that can be chosen, `kept` among them.
pub fn zones(kept: &str) -> Choices {
    let names = Zone::names().iter();
    let names: Choices = names.map(|name| (name.clone(), name.clone())).collect();
    keeping(names, kept)
}

/// What is settled for the team: its name, rulebook, time zone, employer and the like.
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
    /// What was chosen: whether a second person confirms a return from quarantine.
    pub return_by_two: String,
    /// One person or two.
    pub twos: Choices,
    /// The mark of the team as it was shown first.
    pub seen: String,
    /// The rulebooks.
    pub rulebooks: Choices,
    /// What each of them is for.
    pub which: super::rulebook::WhichRulebook,
    /// The time zones.
    pub zones: Choices,
    /// What was typed: name and address of the employer.
    pub employer: String,
    /// What was typed: the address of the premises.
    pub premises: String,
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
            return_by_two: "yes".to_owned(),
            twos: yes_no_choices(),
            seen: PROBE.to_owned(),
            rulebooks: super::rulebook::choices(&[]),
            which: super::rulebook::WhichRulebook::new(&[]),
            zones: zones(PROBE),
            employer: PROBE.to_owned(),
            premises: PROBE.to_owned(),
        }]
    }
}
