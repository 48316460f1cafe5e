//! What is asked of a list, for programs.

use serde::Serialize;
use utoipa::ToSchema;

use crate::import::{Question, Rehearsal};

/// Something that is asked of a list.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct AskedJson {
    /// The question.
    sentence: String,
    /// Whether it must be answered before anything is taken in.
    needed: bool,
    /// Where its answer stands: the keys below which it is written into the answers, such as `["words", "kind", "biner"]`;
    /// of several models one for each.
    places: Vec<Vec<String>>,
    /// The answers that can be chosen from; none where a value is typed. A number may be typed beside them.
    choices: Vec<ChoiceJson>,
}

/// An answer that can be chosen.
#[derive(Serialize, ToSchema)]
struct ChoiceJson {
    /// What is written.
    value: String,
    /// What it says.
    words: String,
}

impl AskedJson {
    /// All of what is asked: first what is needed.
    pub(super) fn all(rehearsal: &Rehearsal) -> Vec<Self> {
        let asked = rehearsal.questions.iter().chain(&rehearsal.open);
        asked.map(Self::new).collect()
    }

    fn new(question: &Question) -> Self {
        let choices = question.choices().into_iter();
        Self {
            sentence: question.sentence(),
            needed: question.is_needed(),
            places: question.places(),
            choices: choices
                .map(|(value, words)| ChoiceJson { value, words })
                .collect(),
        }
    }
}
