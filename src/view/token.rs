//! Tokens for machines.

use askama::Template;

use super::{
    Shell,
    form::{Choices, Form},
    part::{Badge, SectionNav},
    setting::nav,
};

/// The tokens, and a form for a new one.
#[derive(Template)]
#[template(path = "token/list.html")]
pub struct Tokens {
    /// The frame.
    pub shell: Shell,
    /// The neighbours.
    pub nav: SectionNav,
    /// The tokens, the newest first.
    pub rows: Vec<TokenLine>,
    /// What was wrong.
    pub form: Form,
    /// What was typed: the label.
    pub label: String,
    /// What was typed: the role's key.
    pub role: String,
    /// What was typed: how many days.
    pub days: String,
    /// The roles that may be chosen.
    pub roles: Choices,
    /// The secret of the token that was just made; shown here and never again.
    pub secret: Option<String>,
}

/// One token.
pub struct TokenLine {
    /// Its id.
    pub id: String,
    /// What it is for.
    pub label: String,
    /// The role.
    pub role: &'static str,
    /// Who made it.
    pub maker: String,
    /// When it was made.
    pub made: String,
    /// When it ends.
    pub ends: String,
    /// How it stands.
    pub state: Badge,
    /// Whether it can be revoked.
    pub live: bool,
}

impl Tokens {
    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::{PROBE, part::Tone};
        use crate::domain::FieldErrors;
        let line = |id: &str, live| TokenLine {
            id: id.to_owned(),
            label: PROBE.to_owned(),
            role: "crew",
            maker: PROBE.to_owned(),
            made: "2026-03-01".to_owned(),
            ends: "2026-06-01".to_owned(),
            state: Badge::new(Tone::Fit, "Works"),
            live,
        };
        let page = |rows, wrong: &FieldErrors, secret| Self {
            shell: Shell::sample("Tokens for machines"),
            nav: nav("/settings/tokens"),
            rows,
            form: Form::new(wrong),
            label: PROBE.to_owned(),
            role: "crew".to_owned(),
            days: PROBE.to_owned(),
            roles: vec![("crew".to_owned(), "crew".to_owned())],
            secret,
        };
        vec![
            page(Vec::new(), &FieldErrors::one("days", "range", PROBE), None),
            page(
                vec![line("a", true), line("b", false)],
                &FieldErrors::default(),
                Some(PROBE.to_owned()),
            ),
        ]
    }
}
