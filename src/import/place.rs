//! Where among the answers a question is answered.

use super::field::Field;
use super::question::Question;

impl Question {
    /// The keys below which an answer to it stands among [`Answers`](super::Answers): `["decimal"]`, `["words", "kind", "biner"]`.
    /// Where it asks of several models at once, one place for each.
    pub fn places(&self) -> Vec<Vec<String>> {
        let one = |keys: &[&str]| vec![keys.iter().map(|key| (*key).to_owned()).collect()];
        match self {
            Self::Heading { heading, .. } => one(&["headings", heading]),
            Self::DateOrder { .. } => one(&["dates"]),
            Self::DecimalMark { .. } => one(&["decimal"]),
            Self::LessThanDay { .. } => one(&["less_than_day"]),
            Self::Ranges { .. } => one(&["ranges"]),
            Self::Numbered { .. } => one(&["numbered"]),
            Self::Restricted { .. } => one(&["restricted"]),
            Self::Unit { heading, .. } => one(&["units", heading]),
            Self::Word { field, word, .. } => one(&["words", &field.key(), word]),
            Self::Differs { model, field, .. } => one(&["agreed", model, &field.key()]),
            Self::LoadOf { model, .. } => one(&["words", &Field::RatedLoad.key(), model]),
            Self::RopeEnd {
                models, missing, ..
            } => models
                .iter()
                .flat_map(|model| one(&["models", model, &missing.key()]))
                .collect(),
            Self::Life { model, field, .. } => one(&["models", model, &field.key()]),
            Self::Examiner { name, .. } if name.is_empty() => {
                one(&["silent", &Field::Examiner.key()])
            }
            Self::Examiner { name, .. } => one(&["words", &Field::Examiner.key(), name]),
            Self::Silent { field, .. } => one(&["silent", &field.key()]),
        }
    }
}
