//! The start.

use askama::Template;

use super::Shell;

/// Where one can go.
#[derive(Template)]
#[template(path = "home.html")]
pub struct Home {
    /// The frame.
    pub shell: Shell,
}

impl Home {
    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        vec![Self {
            shell: Shell::sample("Start"),
        }]
    }
}
