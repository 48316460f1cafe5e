//! What is said once for all items of a model, as the page of a rehearsal asks for it.

use super::{
    asked::{open, plain},
    typed::Fields,
};
use crate::{
    domain::FieldErrors,
    import::{Answers, Field, ReadIn, read_in, usual_unit},
    view::{form, import::Asked},
};

/// The field that says for the whole page where things were read.
pub(super) const SOURCE: &str = "source";

/// Numbers the fields of models in the order in which they stand on the page.
pub(super) struct Given<'a> {
    pub(super) fields: Fields<'a>,
    pub(super) answers: &'a Answers,
    /// What was said and does not hold.
    pub(super) faulty: &'a FieldErrors,
    /// Model and field of each that is on the page.
    shown: Vec<(String, String)>,
}

impl<'a> Given<'a> {
    pub(super) fn new(fields: Fields<'a>, answers: &'a Answers, faulty: &'a FieldErrors) -> Self {
        Self {
            fields,
            answers,
            faulty,
            shown: Vec::new(),
        }
    }

    /// Whether anything on the page needs a source.
    pub(super) fn is_asked(&self) -> bool {
        !self.shown.is_empty() || !self.answers.models.is_empty()
    }

    /// Asks once for the page where what is written on it was read.
    pub(super) fn source(&self) -> form::Field {
        let value = self.answers.source.map_or("", ReadIn::key);
        let untraced = match self.untraced() {
            0 => None,
            1 => Some(
                "Say where you read it: until then the value that you wrote does not apply."
                    .to_owned(),
            ),
            values => Some(format!(
                "Say where you read it: until then the {values} values that you wrote do not apply."
            )),
        };
        let label = "Where you read what you write here";
        let read = ReadIn::ALL.iter().copied();
        let choices = words(read.filter(|read| *read != ReadIn::Assumed), "Choose");
        self.fields
            .choice(SOURCE, label, value, choices)
            .may()
            .hint("Asked once for all of it. Where a single value was read elsewhere, say so below under \"What you said\".")
            .told(untraced)
    }

    /// How many values of models nobody has said where they were read.
    fn untraced(&self) -> usize {
        let is_untraced = |title: &str, key: &str| {
            self.answers.source.is_none() && self.own_source(title, key).is_none()
        };
        let said = self.answers.models.iter();
        let said = said.flat_map(|(title, fields)| fields.keys().map(move |key| (title, key)));
        said.filter(|(title, key)| is_untraced(title, key)).count()
    }

    /// Where what was said of a field of a model was read, if not where the rest was.
    fn own_source(&self, title: &str, key: &str) -> Option<ReadIn> {
        self.answers.sources.get(title)?.get(key).copied()
    }

    /// Why what was said of a field of a model does not hold.
    fn faults(&self, title: &str, key: &str) -> Vec<String> {
        let names = [
            Some(format!("models[{title}][{key}]")),
            // What has no source at all is told once for the page.
            (self.answers.source.is_some() || self.own_source(title, key).is_some())
                .then(|| format!("sources[{title}][{key}]")),
        ];
        let names = names.into_iter().flatten();
        let told = names.flat_map(|name| {
            let told = self.faulty.on(&name).map(str::to_owned);
            told.collect::<Vec<_>>()
        });
        told.collect()
    }

    /// Asks for a field of models that share the answer, with where it was read if that is not where the rest was.
    pub(super) fn ask(&mut self, (titles, field): (&[&str], Field), label: &str) -> Vec<Asked> {
        let title = titles.first().copied().unwrap_or_default();
        let own = self.own_source(title, &field.key()).is_some();
        self.ask_with((titles, field), label, own)
    }

    fn ask_with(
        &mut self,
        (titles, field): (&[&str], Field),
        label: &str,
        with_source: bool,
    ) -> Vec<Asked> {
        let (number, key) = (self.shown.len(), field.key());
        let title = titles.first().copied().unwrap_or_default();
        let said = self.answers.models.get(title);
        let said = said.and_then(|fields| fields.get(&key));
        let name = format!("given-{number}");
        let value = said.map_or("", String::as_str);
        let asked = match choices(field) {
            Some(choices) => self.fields.choice(&name, label, value, choices).may(),
            None => self.fields.line(&name, label, value),
        };
        let asked = match usual_unit(field) {
            Some(unit) => asked.unit(unit),
            None => asked,
        };
        let asked = asked.told(self.faults(title, &key));
        let shown = titles
            .iter()
            .map(|title| ((*title).to_owned(), key.clone()));
        self.shown.extend(shown);
        let by = if with_source {
            format!("source-{number}")
        } else {
            SOURCE.to_owned()
        };
        let mut all = vec![Asked {
            hidden: vec![
                (format!("model-{number}"), titles.join("\n")),
                (format!("of-{number}"), key.clone()),
                (format!("by-{number}"), by.clone()),
            ],
            ..plain(asked)
        }];
        if with_source {
            let read = self.own_source(title, &key).map_or("", ReadIn::key);
            let label = format!("{label}: where it was read");
            let choices = words(read_in(field), "Where the rest was read");
            all.push(plain(self.fields.choice(&by, &label, read, choices).may()));
        }
        all
    }

    /// Asks for what is assumed of all these models where nobody can read it; what is written of one of them stands over
    /// it.
    pub(super) fn assume(&mut self, (titles, field): (&[&str], Field), label: &str) -> Asked {
        let (number, key) = (self.shown.len(), field.key());
        // It takes a number and is no field of a model: each model has its own.
        self.shown.push((String::new(), key.clone()));
        let by = format!("source-{number}");
        let hidden = [
            (format!("model-{number}"), titles.join("\n")),
            (format!("of-{number}"), key),
            (format!("by-{number}"), by.clone()),
            (by, ReadIn::Assumed.key().to_owned()),
        ];
        let asked = self.fields.line(&format!("given-{number}"), label, "");
        Asked {
            hidden: hidden.into(),
            ..plain(asked)
        }
    }

    /// What was said of models and is asked no more, each with the model and the field.
    pub(super) fn said(&mut self) -> Vec<(String, String, Asked)> {
        let mut said = Vec::new();
        for (title, fields) in &self.answers.models {
            for key in fields.keys() {
                let mut shown = self.shown.iter();
                let shown = shown.any(|(of, field)| of == title && field == key);
                if let Some(field) = Field::from_key(key).filter(|_| !shown) {
                    let label = format!("{title}: {}", field.label());
                    let asked = self.ask_with((&[title], field), &label, true);
                    let asked = asked.into_iter();
                    said.extend(asked.map(|asked| (title.clone(), key.clone(), asked)));
                }
            }
        }
        said
    }
}

/// Where something can have been read, behind a first line that chooses none.
fn words(read: impl Iterator<Item = ReadIn>, none: &str) -> form::Choices {
    let read = read.map(|read| (read.key().to_owned(), read.words().to_owned()));
    [(String::new(), none.to_owned())]
        .into_iter()
        .chain(read)
        .collect()
}

/// What can be chosen for a field of a model; none where it is written.
fn choices(field: Field) -> Option<form::Choices> {
    let words = field.choices();
    let words = words.iter().map(|word| (word.clone(), word.clone()));
    (!field.choices().is_empty()).then(|| open(words.collect()))
}
