//! What was typed into a form that had made its record already: it is not lost, and may make a record of its own.

use askama::Template;

use super::{
    Shell,
    part::{Answer, Facts, Tone},
};

/// What was typed, to be sent as another record or to be copied.
#[derive(Template)]
#[template(path = "sent.html")]
pub struct SentBefore {
    /// The frame.
    pub shell: Shell,
    answer: Answer,
    action: String,
    typed: Facts,
    fields: Vec<(String, String)>,
}

impl SentBefore {
    /// The page; `action` is where it makes a record of its own, `fields` are what was typed, each under the name of its field.
    /// What was typed as a password is neither shown nor sent again.
    pub fn new(shell: Shell, why: &str, action: String, mut fields: Vec<(String, String)>) -> Self {
        fields.retain(|(name, _)| !name.contains("password"));
        let filled = fields.iter().filter(|(_, text)| !text.trim().is_empty());
        let typed = filled.fold(Facts::default(), |typed, (name, text)| {
            typed.and(told(name), text.as_str())
        });
        Self {
            answer: Answer::new(Tone::Stop, shell.title.clone()).why(why),
            shell,
            action,
            typed,
            fields,
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::PROBE;
        let fields = [("note", PROBE), ("answers[sheath][note]", PROBE)];
        let fields = fields.map(|(name, text)| (name.to_owned(), text.to_owned()));
        let shell = Shell::sample("Not recorded");
        vec![Self::new(shell, PROBE, "/items".to_owned(), fields.into())]
    }
}

/// The name of a field as it is told: `answers[sheath][note]` is "answers, sheath, note".
fn told(name: &str) -> String {
    let parts = name.replace(']', "").replace('[', ", ").replace('_', " ");
    let mut words = parts.trim_end_matches(", ").to_owned();
    if let Some(first) = words.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    words
}
