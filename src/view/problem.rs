//! The page of everything that could not be done.

use askama::Template;

use super::{Shell, part::Answer};

/// Says what was wrong and what to do.
#[derive(Template)]
#[template(path = "problem.html")]
pub struct ProblemPage {
    /// The frame.
    pub shell: Shell,
    /// What was wrong.
    pub answer: Answer,
    /// Every sentence that belongs to it.
    pub details: Vec<String>,
    /// The number of the incident, if our side failed.
    pub incident: Option<String>,
}

impl ProblemPage {
    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::{PROBE, part::Tone};
        vec![
            Self {
                shell: Shell::sample("There is no such item"),
                answer: Answer::new(Tone::Note, "There is no such item.").why(PROBE),
                details: vec![PROBE.to_owned()],
                incident: None,
            },
            Self {
                shell: Shell::for_stranger("Something went wrong"),
                answer: Answer::new(Tone::Stop, "Something went wrong on our side."),
                details: Vec::new(),
                incident: Some("7F3K-Q2MD".to_owned()),
            },
        ]
    }
}
