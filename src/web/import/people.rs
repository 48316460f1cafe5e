//! Asks of each kind of gear whether it may hold people, where a list has several: one answer stands for all of them, and
//! a kind that differs has its own.

use super::typed::Fields;
use crate::{
    domain::Kind,
    import::{Answers, Rehearsal},
    view::import::AskedFold,
};

/// The name of the field of a kind.
pub(super) fn name(kind: Kind) -> String {
    format!("{PREFIX}{}]", kind.word())
}

/// How these names begin.
pub(super) const PREFIX: &str = "people[";

/// A choice for each kind, folded away while none differs; none where the list has one kind only.
pub(super) fn fold(
    form: Fields<'_>,
    rehearsal: &Rehearsal,
    answers: &Answers,
) -> Option<AskedFold> {
    let kinds = &rehearsal.people;
    if kinds.len() < 2 && answers.people.is_empty() {
        return None;
    }
    let fields = kinds.iter().map(|(kind, rows)| {
        let said = answers.people.get(kind.word());
        let choices = [
            ("", "As for all of it"),
            ("yes", "Yes, it may hold people"),
            ("no", "No, it is for other use"),
        ];
        let choices = choices.map(|(key, words)| (key.to_owned(), words.to_owned()));
        let label = format!("May hold people: {} ({rows})", kind.word());
        let value = said.map_or("", String::as_str);
        form.choice(&name(*kind), &label, value, choices.into())
            .may()
    });
    Some(AskedFold {
        summary: match answers.people.len() {
            0 => "Say it otherwise for a kind of gear".to_owned(),
            said => format!("Said for a kind of its own ({said})"),
        },
        open: !answers.people.is_empty(),
        fields: fields.collect(),
    })
}
