//! What becomes of items whose remarks restrict them: one answer for all, and another for single words.

use std::collections::BTreeSet;

use super::{
    asked::open,
    typed::{Fields, Typed},
};
use crate::{
    domain::fold,
    import::{Answers, Field, Rehearsal, Restricted, Restricting},
    view::import::{Asked, AskedFold},
};

/// The name of the choice for all.
pub(super) const RESTRICTED: &str = "restricted";
/// How the names begin of the choices for single words.
const PREFIX: &str = "words-mean[";

/// What was said of single words.
pub(super) fn sent(typed: &Typed, answers: &mut Answers) {
    for (text, value) in typed.numbered(PREFIX) {
        let Some(text) = text.strip_suffix(']') else {
            continue;
        };
        let words = answers.words.entry(Field::Note.key()).or_default();
        words.insert(text.to_owned(), value.to_owned());
    }
}

/// Asks what becomes of all of them; that they are held is proposed. Each of the texts may be answered otherwise.
pub(super) fn ask(
    form: Fields<'_>,
    (rehearsal, answers): (&Rehearsal, &Answers),
    label: &str,
) -> Asked {
    let value = answers.restricted.unwrap_or(Restricted::Quarantine);
    let choice = form.choice(RESTRICTED, label, value.key(), open(Restricted::choices()));
    let mut seen = BTreeSet::new();
    let texts = rehearsal.restricting.iter();
    let texts: Vec<&Restricting> = texts.filter(|one| seen.insert(fold(&one.text))).collect();
    let is_own = texts.iter().any(|one| one.said.is_some());
    let fields = texts.into_iter().map(|one| {
        let mut choices = Restricted::choices();
        choices.insert(0, (String::new(), "As for all of them".to_owned()));
        let marks = rehearsal.restricting.iter();
        let marks = marks.filter(|other| fold(&other.text) == fold(&one.text));
        let marks: Vec<&str> = marks.map(|one| one.mark.as_str()).collect();
        let label = format!("{}: \"{}\"", marks.join(", "), one.text);
        let said = one.said.map_or("", Restricted::key);
        form.choice(&format!("{PREFIX}{}]", one.text), &label, said, choices)
            .may()
    });
    Asked {
        fold: Some(AskedFold {
            summary: "Say it otherwise for some of these words".to_owned(),
            open: is_own,
            fields: fields.collect(),
        }),
        hidden: Vec::new(),
        field: choice.hint(
            "What is for training only, or waits for an answer, belongs in quarantine: no job takes it until somebody lets it out, with a reason. The words stay in the item's note.",
        ),
    }
}
