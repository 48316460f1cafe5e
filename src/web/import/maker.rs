//! Who the maker is where a list has no column for it: the first word of each model's name, who is said for each name, or
//! one for all rows.

use std::collections::{BTreeMap, BTreeSet};

use super::{
    asked::{open, plain, silent},
    said::Said,
    typed::{Fields, Typed},
};
use crate::{
    deed::import::ImportFile,
    import::{Answers, Field, MakerIs, Question, Rehearsal, maker_guess},
    view::import::{Asked, AskedFold},
};

/// The name of the choice.
pub(super) const MAKER_IS: &str = "maker-is";
/// How the names begin of the fields for the maker of each name.
const PREFIX: &str = "its-maker[";
/// How many names are asked one by one.
const MOST: usize = 100;

/// The name of the field for the maker of a name.
pub(super) fn field(name: &str) -> String {
    format!("{PREFIX}{name}]")
}

/// The makers that were sent for each name; none where it is not said so.
pub(super) fn sent(typed: &Typed) -> BTreeMap<String, String> {
    if typed.text(MAKER_IS) != MakerIs::Each.key() {
        return BTreeMap::new();
    }
    let sent = typed.numbered(PREFIX);
    let sent = sent.filter_map(|(name, maker)| {
        let name = name.strip_suffix(']')?;
        Some((name.to_owned(), maker.to_owned()))
    });
    sent.collect()
}

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
    let names: BTreeSet<&str> = names.iter().map(String::as_str).collect();
    let choices = open(choices(names.len()));
    let choice = form
        .choice(MAKER_IS, &question.sentence(), value, choices)
        .hint("A maker that stands in front of a model's name is taken off the name.");
    let value = earlier.as_ref().map_or("", |earlier| &earlier.value);
    let label = "If it is one maker for all of them: which";
    let mut one = silent(form, Field::Maker, label, (value, Some(*rows), Vec::new()));
    one.field = one.field.may();
    let all = Asked {
        fold: fold(form, names, answers, true),
        ..plain(choice)
    };
    vec![all, one]
}

/// The choices, where so many names are without a maker.
fn choices(names: usize) -> Vec<(String, String)> {
    let mut choices = MakerIs::choices();
    choices.retain(|(key, _)| names <= MOST || *key != MakerIs::Each.key());
    choices
}

/// A field for the maker of each name, with what was said of it, else with its first word, for a person to look at.
fn fold<'a>(
    form: Fields<'_>,
    mut names: BTreeSet<&'a str>,
    answers: &'a Answers,
    open: bool,
) -> Option<AskedFold> {
    names.extend(answers.makers.keys().map(String::as_str));
    if names.is_empty() || names.len() > MOST {
        return None;
    }
    let line = |name: &str| {
        let said = answers.makers.get(name).map(String::as_str);
        let value = said.unwrap_or_else(|| maker_guess(name));
        form.line(&field(name), &format!("Maker of \"{name}\""), value)
            .must()
    };
    Some(AskedFold {
        summary: format!(
            "The maker of each model ({}): the first word of its name stands there, mend what is wrong",
            names.len()
        ),
        open,
        fields: names.iter().map(|name| line(name)).collect(),
    })
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
        let choices = open(choices(file.answers.makers.len()));
        let asked = Asked {
            fold: fold(form, BTreeSet::new(), &file.answers, false),
            ..plain(form.choice(MAKER_IS, label, maker_is.key(), choices))
        };
        said.put(asked, file, |answers| {
            Some((answers.maker_is?, answers.makers.clone()))
        });
    }
}
