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
    /// Where one may go from here, each with its words.
    pub ways: Vec<(String, String)>,
}

/// Where one may go from a page on which nothing is: to the page that one came from, the section that was asked for, and
/// the start.
pub fn ways(shell: &Shell, came_from: Option<String>) -> Vec<(String, String)> {
    let back = came_from.map(|to| (to, "Back to where you came from".to_owned()));
    let section = shell.section.filter(|section| shell.may(section.needs()));
    let section = section.map(|section| (section.href().to_owned(), section.word().to_owned()));
    let start = ("/".to_owned(), "Go to the start".to_owned());
    back.into_iter().chain(section).chain([start]).collect()
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
                ways: ways(&Shell::sample("Items"), Some(PROBE.to_owned())),
            },
            Self {
                shell: Shell::for_stranger("Something went wrong"),
                answer: Answer::new(Tone::Stop, "Something went wrong on our side."),
                details: Vec::new(),
                incident: Some("7F3K-Q2MD".to_owned()),
                ways: ways(&Shell::for_stranger("Start"), None),
            },
        ]
    }
}
