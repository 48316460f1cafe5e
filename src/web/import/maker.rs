//! Who the maker is where a list has no column for it: one for all rows, or the first word of each model's name.

use super::{
    asked::{open, plain, silent},
    said::Said,
    typed::Fields,
};
use crate::{
    deed::import::ImportFile,
    import::{Answers, Field, MakerIs, Question, Rehearsal},
    view::import::Asked,
};

/// The name of the choice.
pub(super) const MAKER_IS: &str = "maker-is";
/// How many names the question shows.
const SHOWN: usize = 3;

/// Asks who the maker is of models whose names may begin with it.
pub(super) fn ask(form: Fields<'_>, question: &Question, answers: &Answers) -> Vec<Asked> {
    let Question::Silent {
        rows,
        names,
        earlier,
        ..
    } = question
    else {
        return Vec::new();
    };
    let value = answers.maker_is.map_or("", MakerIs::key);
    let choice = form.choice(
        MAKER_IS,
        &question.sentence(),
        value,
        open(MakerIs::choices()),
    );
    let shown: Vec<String> = names
        .iter()
        .take(SHOWN)
        .map(|name| format!("\"{name}\""))
        .collect();
    let more = match names.len().saturating_sub(SHOWN) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    let hint = format!(
        "Their models are {}{more}. Where the first word is the maker, what is behind it becomes the name.",
        shown.join(", ")
    );
    let value = earlier.as_ref().map_or("", |earlier| &earlier.value);
    let label = "If it is one maker for all of them: which";
    let mut one = silent(form, Field::Maker, label, (value, Some(*rows), Vec::new()));
    one.field = one.field.may();
    vec![plain(choice.hint(&hint)), one]
}

/// Whether it is asked so.
fn is_asked(rehearsal: &Rehearsal) -> bool {
    let mut questions = rehearsal.questions.iter();
    questions.any(|one| matches!(one, Question::Silent { names, .. } if !names.is_empty()))
}

/// What was answered, where it is not asked again.
pub(super) fn said(form: Fields<'_>, rehearsal: &Rehearsal, file: &ImportFile, said: &mut Said) {
    if let Some(maker_is) = file.answers.maker_is.filter(|_| !is_asked(rehearsal)) {
        let label = "The maker, where the list has none, is";
        let asked = form.choice(MAKER_IS, label, maker_is.key(), open(MakerIs::choices()));
        said.put(plain(asked), file, |answers| answers.maker_is);
    }
}
