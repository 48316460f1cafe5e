//! Fields that were sent empty though the list waits for them.

use super::{
    agreed,
    maker::{self, MAKER_IS},
    restricted::RESTRICTED,
    typed::Typed,
};
use crate::{
    domain::FieldErrors,
    import::{Column, ColumnUse, Field, MakerIs, Question, Rehearsal},
};

/// What is still asked and was sent empty, under the names of the fields that ask for it now.
pub(super) fn missing(rehearsal: &Rehearsal, typed: &Typed) -> FieldErrors {
    let mut missing = FieldErrors::default();
    let columns = rehearsal.headings.columns.iter();
    for column in columns.filter(|column| matches!(column.becomes, ColumnUse::Unknown(_))) {
        if is_the_same(column, typed) && typed.left_empty(&format!("column-{}", column.index)) {
            add(&mut missing, format!("column-{}", column.index), CHOOSE);
        }
    }
    for (number, question) in rehearsal.questions.iter().enumerate() {
        match question {
            Question::Word { field, word, .. } => {
                word_of((number, *field, word), typed, &mut missing);
            }
            Question::Differs { model, field, .. } => {
                if let Some(name) = agreed::left_empty(typed, (number, model, *field)) {
                    add(&mut missing, name, CHOOSE);
                }
            }
            Question::Examiner { name, .. } if !name.is_empty() => {
                word_of((number, Field::Examiner, name), typed, &mut missing);
            }
            Question::Silent { names, .. }
                if !names.is_empty() && typed.text(MAKER_IS) == MakerIs::Each.key() =>
            {
                for name in names.iter().map(|name| maker::field(name)) {
                    if typed.left_empty(&name) {
                        add(&mut missing, name, WRITE);
                    }
                }
            }
            other => {
                let Some(name) = name_of(other, typed) else {
                    continue;
                };
                if typed.left_empty(&name) {
                    let is_line = question.choices().is_empty() && name != MAKER_IS;
                    add(&mut missing, name, if is_line { WRITE } else { CHOOSE });
                }
            }
        }
    }
    missing
}

const CHOOSE: &str = "Choose one: the list waits for it.";
const WRITE: &str =
    "This must not be empty: the list waits for it. Write what holds for these rows.";

fn add(missing: &mut FieldErrors, name: String, why: &str) {
    missing.add(name, "required", why.to_owned());
}

/// Whether the column that was sent under this number is this one.
fn is_the_same(column: &Column, typed: &Typed) -> bool {
    typed.text(&format!("heading-{}", column.index)) == column.heading.trim()
}

/// Questions about words are numbered anew with each answer.
fn word_of((number, field, word): (usize, Field, &str), typed: &Typed, missing: &mut FieldErrors) {
    let sent = typed.number_of(field, word);
    if sent.is_some_and(|sent| typed.left_empty(&format!("meaning-{sent}"))) {
        add(missing, format!("meaning-{number}"), CHOOSE);
    }
}

/// The name of the field that answers a question.
fn name_of(question: &Question, typed: &Typed) -> Option<String> {
    Some(match question {
        Question::DateOrder { .. } => "dates".to_owned(),
        Question::DecimalMark { .. } => "decimal".to_owned(),
        Question::LessThanDay { .. } => "less-than-day".to_owned(),
        Question::Ranges { .. } => "ranges".to_owned(),
        Question::Numbered { .. } => "numbered".to_owned(),
        Question::Restricted { .. } => RESTRICTED.to_owned(),
        Question::Unit { column, .. } => format!("unit-{column}"),
        Question::Examiner { .. } => format!("silent-{}", Field::Examiner.key()),
        Question::Silent { names, .. }
            if !names.is_empty() && typed.text(MAKER_IS) != MakerIs::One.key() =>
        {
            MAKER_IS.to_owned()
        }
        Question::Silent { field, .. } => format!("silent-{}", field.key()),
        _ => return None,
    })
}
