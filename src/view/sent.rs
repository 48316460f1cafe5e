//! What was typed into a form that had made its record already: it is not lost, and may make a record of its own.

use std::collections::HashMap;

use askama::Template;

use super::{
    Shell,
    part::{Answer, Facts, Tone},
};
use crate::domain::Names;

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
    /// The page; `action` is where it makes a record of its own, `fields` are what was typed, each under the name of its field,
    /// `names` those of the records that they name by id, and `asks` what is asked under each key of a list. What was typed as a
    /// password is neither shown nor sent again.
    pub fn new(
        shell: Shell,
        why: &str,
        action: String,
        mut fields: Vec<(String, String)>,
        (names, asks): (&Names, &HashMap<String, String>),
    ) -> Self {
        fields.retain(|(name, _)| !name.contains("password"));
        let filled = fields.iter().filter(|(_, text)| !text.trim().is_empty());
        let typed = filled.fold(Facts::default(), |typed, (name, text)| {
            let text = named(text, names).unwrap_or(text);
            typed.and(told(name, (names, asks)), text)
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
        vec![Self::new(
            shell,
            PROBE,
            "/items".to_owned(),
            fields.into(),
            (&Names::default(), &HashMap::new()),
        )]
    }
}

/// The name of what an id stands for.
fn named<'a>(text: &str, names: &'a Names) -> Option<&'a str> {
    let id = text.trim().parse().ok()?;
    names.records.get(&id).map(String::as_str)
}

/// The name of a field as it is told: `answers[sheath][note]` is "Answers, the sheath is whole, note".
fn told(name: &str, (names, asks): (&Names, &HashMap<String, String>)) -> String {
    let parts = name.split(['[', ']']).filter(|part| !part.is_empty());
    let parts = parts.map(|part| {
        let name = asks.get(part).map(String::as_str);
        let name = name.or_else(|| named(part, names)).map(str::to_owned);
        name.unwrap_or_else(|| part.replace(['_', '-'], " "))
    });
    let mut words = parts.collect::<Vec<_>>().join(", ");
    if let Some(first) = words.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    words
}
