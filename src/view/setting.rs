//! One's own account: how one likes to see things, the password, where one is signed in.

use askama::Template;

use super::{
    Shell,
    form::{Choices, Form},
    part::{Badge, SectionNav, Tone},
};

/// The pages of one's own account.
pub fn nav(here: &str) -> SectionNav {
    let link = |words: &str, href: &str| (words.to_owned(), href.to_owned());
    SectionNav {
        label: "My account".to_owned(),
        links: vec![
            link("How I see things", "/settings"),
            link("Password", "/settings/password"),
            link("Where I am signed in", "/settings/sessions"),
            link("Tokens for machines", "/settings/tokens"),
            link("Calendars", "/settings/calendars"),
            link("Letters", "/settings/letters"),
        ],
        here: here.to_owned(),
    }
}

/// Units and theme.
#[derive(Template)]
#[template(path = "setting/show.html")]
pub struct Settings {
    /// The frame.
    pub shell: Shell,
    /// The neighbours.
    pub nav: SectionNav,
    /// What was wrong.
    pub form: Form,
    /// The units' key.
    pub units: String,
    /// The theme's key.
    pub theme: String,
    /// The units that can be chosen.
    pub unit_choices: Choices,
    /// The themes that can be chosen.
    pub theme_choices: Choices,
}

impl Settings {
    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        vec![Self {
            shell: Shell::sample("My account"),
            nav: nav("/settings"),
            form: Form::default(),
            units: "us".to_owned(),
            theme: "dark".to_owned(),
            unit_choices: unit_choices(),
            theme_choices: theme_choices(),
        }]
    }
}

/// The units that can be chosen.
pub fn unit_choices() -> Choices {
    choices(&[("metric", "kN, mm, m, kg"), ("us", "lbf, in, ft, lb")])
}

/// The themes that can be chosen.
pub fn theme_choices() -> Choices {
    choices(&[
        ("system", "As this device says"),
        ("light", "Light"),
        ("dark", "Dark"),
    ])
}

fn choices(pairs: &[(&str, &str)]) -> Choices {
    pairs
        .iter()
        .map(|(key, word)| ((*key).to_owned(), (*word).to_owned()))
        .collect()
}

/// A new password for oneself.
#[derive(Template)]
#[template(path = "setting/password.html")]
pub struct ChangePassword {
    /// The frame.
    pub shell: Shell,
    /// The neighbours.
    pub nav: SectionNav,
    /// What was wrong.
    pub form: Form,
    /// The sign-in name, for the browser's own list of passwords.
    pub sign_in: String,
}

impl ChangePassword {
    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::PROBE;
        use crate::domain::FieldErrors;
        vec![Self {
            shell: Shell::sample("Password"),
            nav: nav("/settings/password"),
            form: Form::new(&FieldErrors::one("current", "wrong", PROBE)),
            sign_in: PROBE.to_owned(),
        }]
    }
}

/// Where one is signed in.
#[derive(Template)]
#[template(path = "setting/sessions.html")]
pub struct Sessions {
    /// The frame.
    pub shell: Shell,
    /// The neighbours.
    pub nav: SectionNav,
    /// The sessions, the newest first.
    pub rows: Vec<SessionLine>,
}

/// One session.
pub struct SessionLine {
    /// What the form sends to end it.
    pub key: String,
    /// The browser it was opened with; empty if that was not noted.
    pub browser: String,
    /// When it was opened.
    pub since: String,
    /// When somebody last came with it.
    pub seen: String,
    /// Until when it holds without a visit.
    pub until: String,
    /// Whether it is the one that shows this page.
    pub here: bool,
}

impl SessionLine {
    /// That it is the one that shows this page.
    fn this_one(&self) -> Badge {
        Badge::new(Tone::Note, "this one")
    }
}

impl Sessions {
    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        let line = |key: &str, browser: &str, here| SessionLine {
            key: key.to_owned(),
            browser: browser.to_owned(),
            seen: "2026-03-02 17:05 UTC".to_owned(),
            since: "2026-03-01 09:30 UTC".to_owned(),
            until: "2026-03-15 09:30 UTC".to_owned(),
            here,
        };
        vec![Self {
            shell: Shell::sample("Where I am signed in"),
            nav: nav("/settings/sessions"),
            rows: vec![line("a", super::PROBE, true), line("b", "", false)],
        }]
    }
}
