//! What can be answered to a question about a file.

use super::answer::{
    Answers, DateOrder, DecimalMark, LessThanDay, Numbered, Ranges, ReadIn, Restricted,
};
use super::doubted_figure;
use super::field::Field;
use super::heading::shortened;
use super::question::Question;
use super::{
    differs_asked, examiner, figures_asked, made_of, model_asked, standard, state_asked,
    strength_cell, unit,
};
use crate::domain::{ItemState, Kind, RatingSource, Verdict};

impl Question {
    /// The answers that can be chosen from, as the words for programs and for people; none where text is typed.
    pub fn choices(&self) -> Vec<(String, String)> {
        let pair = |key: &str, words: &str| (key.to_owned(), words.to_owned());
        match self {
            Self::Heading { .. } => {
                let fields = Field::all()
                    .into_iter()
                    .map(|field| (field.key(), field.label()));
                no_field().into_iter().chain(fields).collect()
            }
            Self::DateOrder { .. } => DateOrder::choices(),
            Self::DecimalMark { .. } => DecimalMark::choices(),
            Self::LessThanDay { .. } => LessThanDay::choices(),
            Self::Ranges { .. } => Ranges::choices(),
            Self::Numbered { .. } => Numbered::choices(),
            Self::Restricted { .. } => Restricted::choices(),
            Self::Unit { units, .. } => units
                .iter()
                .map(|unit| pair(unit.sign(), unit.words()))
                .collect(),
            Self::Word { field, word, .. } => self.choices_of_word(*field, word),
            Self::Silent {
                field: Field::State,
                ..
            } => state_asked::choices(),
            Self::RopeEnd { .. } | Self::Life { .. } => Vec::new(),
            Self::Differs {
                said,
                has_cautious,
                register,
                is_there,
                ..
            } => {
                let register = (register.as_deref(), *is_there);
                differs_asked::choices(said, *has_cautious, register)
            }
            Self::LoadOf { standards, .. } => model_asked::load_choices(standards),
            Self::Examiner { alike, others, .. } => examiner::whose(alike.iter().chain(others)),
            Self::Silent {
                field: Field::Examiner,
                earlier: Some(earlier),
                ..
            } => examiner::whose([&earlier.value].into_iter()),
            Self::Silent { field, .. } => self.choices_of(*field),
        }
    }

    /// What a word of a field can mean.
    fn choices_of_word(&self, field: Field, word: &str) -> Vec<(String, String)> {
        match field {
            Field::Standard => standard::choices(word),
            Field::Material => made_of::choices(),
            Field::Figures => figures_asked::choices(),
            Field::Strength(..) | Field::RatedLoad => strength_cell::choices(word),
            field if doubted_figure::is_figure(field) => {
                doubted_figure::choices_of_attribute(field, word)
            }
            field => self.choices_of(field),
        }
    }

    /// Says that something was answered to what is asked still.
    pub(super) fn refuse(&mut self, answers: &Answers) {
        match self {
            Self::Word {
                field,
                word,
                refused,
                ..
            } => *refused = answers.word(*field, word).map(str::to_owned),
            Self::Differs {
                model,
                field,
                refused,
                ..
            } => *refused = answers.agreed(model, *field).map(str::to_owned),
            Self::Silent {
                field,
                earlier: None,
                refused,
                ..
            } => *refused = answers.silent(*field).map(str::to_owned),
            _ => {}
        }
    }

    /// That what was answered is no answer, and which there are; nothing where nothing was.
    pub(super) fn refused_words(&self) -> String {
        let (Self::Word {
            refused: Some(refused),
            ..
        }
        | Self::Differs {
            refused: Some(refused),
            ..
        }
        | Self::Silent {
            refused: Some(refused),
            ..
        }) = self
        else {
            return String::new();
        };
        let answers = self.answers_in_words();
        format!(
            "\"{}\" is no answer to this: say {answers}. ",
            shortened(refused)
        )
    }

    /// What can be answered, as the words for programs: "22.5 kN, 225 kN, in-note, or another value with its unit".
    pub fn answers_in_words(&self) -> String {
        let mut keys: Vec<String> = self.choices().into_iter().map(|(key, _)| key).collect();
        if let Self::Word { field, .. } = self
            && doubted_figure::is_figure(*field)
        {
            let unit = if unit::is_share(*field) {
                ""
            } else {
                " with its unit"
            };
            keys.push(format!("another value{unit}"));
        }
        match keys.as_slice() {
            [] => "what it means".to_owned(),
            [one] => one.clone(),
            [front @ .., last] => format!("{} or {last}", front.join(", ")),
        }
    }

    /// The answers for a word of a field, or where the file says nothing of it.
    fn choices_of(&self, field: Field) -> Vec<(String, String)> {
        let pair = |key: &str, words: &str| (key.to_owned(), words.to_owned());
        let mut choices = match field {
            Field::Kind => Kind::ALL
                .iter()
                .map(|kind| pair(kind.key(), kind.word()))
                .collect(),
            Field::State => ItemState::ALL
                .map(|state| pair(state.key(), state.word()))
                .to_vec(),
            Field::Verdict => Verdict::ALL
                .map(|verdict| pair(verdict.key(), verdict.key()))
                .to_vec(),
            field => of_model(field),
        };
        if matches!(
            self,
            Self::Word {
                field: Field::Kind,
                ..
            }
        ) {
            choices.push(pair(super::answer::LEAVE_OUT, "Leave these rows out"));
        }
        choices
    }
}

/// What can be said once for all models of which the list is silent; nothing where it is typed.
fn of_model(field: Field) -> Vec<(String, String)> {
    let pair = |key: &str, words: &str| (key.to_owned(), words.to_owned());
    match field {
        Field::LifeSupport => vec![
            pair(
                "yes",
                "Yes: its maker allows each of them for holding people",
            ),
            pair("no", "No: none of them is for holding people"),
        ],
        Field::StrengthSource => RatingSource::ALL
            .map(|source| pair(source.key(), strength_source(source)))
            .to_vec(),
        _ => Vec::new(),
    }
}

/// Whether something can be said of that at all: what only some words answer is answered by one of them.
pub(super) fn can_be_said(field: Field, said: &str) -> bool {
    let choices = of_model(field);
    choices.is_empty() || choices.iter().any(|(key, _)| key == said)
}

/// Where strengths were read, for people.
fn strength_source(source: RatingSource) -> &'static str {
    ReadIn::from_key(source.key()).map_or(source.key(), ReadIn::words)
}

/// What a column can become beside a field.
pub(super) fn no_field() -> [(String, String); 2] {
    [
        ("in-note", "Keep it in the note"),
        ("leave-out", "Leave it out"),
    ]
    .map(|(key, words)| (key.to_owned(), words.to_owned()))
}
