//! The fields of a form for what is written down about a kind: made from the kind's attributes.

use std::collections::BTreeMap;

use super::form::{Choices, Field, Form};
use crate::domain::{Attribute, Kind, Takes, Value, Where, confirmation_of};

/// One field for each attribute of the kind that is kept there.
pub fn fields(form: &Form, kind: Kind, on: Where, typed: &BTreeMap<String, String>) -> Vec<Field> {
    kind.attributes()
        .iter()
        .filter(|attribute| attribute.on == on)
        .filter_map(|attribute| match confirmation_of(attribute.key) {
            Some(of) => confirmation(form, kind, (of, attribute.key), typed),
            None => Some(field(form, attribute, typed)),
        })
        .collect()
}

/// Asked only of what such gear hardly ever has, and again where another such value is written.
fn confirmation(
    form: &Form,
    kind: Kind,
    (of, by): (&str, &str),
    typed: &BTreeMap<String, String>,
) -> Option<Field> {
    let value = kind.doubted(of, typed)?;
    let so = match value {
        Value::Length(_) => "it is really so long",
        _ => "it is really so",
    };
    let label = format!("{value} is no slip: {so}");
    let is_confirmed = kind.is_confirmed(of, typed, &value);
    Some(form.tick_of(&name(by), &label, &value.to_string(), is_confirmed))
}

/// What was typed under a name that the kind does not have: kept, so that nothing is lost.
pub fn strays(
    form: &Form,
    kind: Option<Kind>,
    on: Where,
    typed: &BTreeMap<String, String>,
) -> Vec<Field> {
    let known = |key: &str| {
        kind.and_then(|kind| kind.attribute(key))
            .is_some_and(|attribute| attribute.on == on)
    };
    typed
        .iter()
        .filter(|(key, text)| !known(key) && !text.trim().is_empty())
        .map(|(key, text)| form.line(&name(key), key, text))
        .collect()
}

fn name(key: &str) -> String {
    format!("attributes[{key}]")
}

fn field(form: &Form, attribute: &Attribute, typed: &BTreeMap<String, String>) -> Field {
    let text = typed.get(attribute.key).map_or("", String::as_str);
    let name = name(attribute.key);
    let label = attribute.label;
    let hint = match (attribute.takes, attribute.usual_length_unit().symbol()) {
        (Takes::Length, "m") if attribute.key == "length" && attribute.on == Where::Item => {
            "How long it is today, with its unit, such as 60 m or 200 ft: kits are chosen by it, so it is shorter once an end was cut off or it shrank."
        }
        (Takes::Length, "m") => "With its unit, such as 60 m or 200 ft.",
        (Takes::Length, _) => "With its unit, such as 11 mm or 1/2 in as 0.5 in.",
        (Takes::Mass, _) => "With its unit, such as 50 kg or 110 lb.",
        (Takes::Force, _) => "With its unit, such as 12 kN or 2700 lbf.",
        (Takes::Count, _) => "A whole number.",
        (Takes::Share, _) => {
            "From 0.1 to 1, such as 0.92; or in per cent: 92 and 92 % are both read as 0.92."
        }
        _ => "",
    };
    match attribute.takes {
        Takes::YesNo => form.choice(&name, label, text, offered(text, &["yes", "no"])),
        Takes::Choice(words) => form.choice(&name, label, text, offered(text, words)),
        Takes::Text => form.line(&name, label, text),
        Takes::Length
        | Takes::Mass
        | Takes::Force
        | Takes::Count
        | Takes::Number
        | Takes::Share => form.number(&name, label, text).hint(hint),
    }
}

/// The words, with "not known" before them, and behind them what was typed if it is none of them.
pub fn offered(typed: &str, words: &[&str]) -> Choices {
    let mut choices = vec![(String::new(), "not known".to_owned())];
    choices.extend(
        words
            .iter()
            .map(|word| ((*word).to_owned(), word.replace('-', " "))),
    );
    keeping(choices, typed)
}

/// The choices, and behind them what was typed if it is none of them: nothing typed is lost.
pub fn keeping(mut choices: Choices, typed: &str) -> Choices {
    if !choices.iter().any(|(key, _)| key == typed) {
        choices.push((typed.to_owned(), typed.to_owned()));
    }
    choices
}

/// What was typed, each under its attribute's words.
pub fn lines(kind: Option<Kind>, typed: &BTreeMap<String, String>) -> Vec<(String, String)> {
    let label = |key: &str| {
        kind.and_then(|kind| kind.attribute(key))
            .map_or(key, |attribute| attribute.label)
            .to_owned()
    };
    typed
        .iter()
        .map(|(key, text)| (label(key), text.clone()))
        .collect()
}
