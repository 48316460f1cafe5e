//! Signing in.

use askama::Template;

use super::{Shell, form::Form, part::Tone};

/// Asks for the sign-in name and the password.
#[derive(Template)]
#[template(path = "session/new.html")]
pub struct SignIn {
    /// The frame.
    pub shell: Shell,
    /// What was wrong.
    pub form: Form,
    /// The name that was typed.
    pub sign_in: String,
    /// Where to go afterwards, a path of this server.
    pub to: String,
    /// Whether a form was sent after the session had ended, so that what was typed was not stored.
    pub lost: bool,
}

impl SignIn {
    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::PROBE;
        use crate::domain::FieldErrors;
        let wrong = FieldErrors::one("sign_in", "wrong", PROBE);
        vec![
            Self {
                shell: Shell::for_stranger("Sign in"),
                form: Form::default(),
                sign_in: String::new(),
                to: "/".to_owned(),
                lost: false,
            },
            Self {
                shell: Shell::for_stranger("Sign in"),
                form: Form::new(&wrong),
                sign_in: PROBE.to_owned(),
                to: PROBE.to_owned(),
                lost: true,
            },
        ]
    }
}
