//! What holds where rows of one model say several things of it: asked once a model and field, shown once it is answered.

use super::{
    asked::{Choices, open, plain},
    typed::{Fields, Typed},
};
use crate::{
    domain::fold,
    import::{Answers, Field, Question},
    view::import::Asked,
};

/// The names of the fields: what holds, of which model, and of which field of it.
const PREFIX: &str = "agreed-";
const MODEL: &str = "differs-model-";
const FIELD: &str = "differs-field-";

/// Asks which of the things holds; the one that asks the most caution stands there, where there is one.
pub(super) fn ask(form: Fields<'_>, number: usize, question: &Question) -> Option<Asked> {
    let Question::Differs {
        model,
        field,
        said,
        has_cautious,
        ..
    } = question
    else {
        return None;
    };
    let first = said.first().filter(|_| *has_cautious);
    let value = first.map_or("", |(text, _)| text.as_str());
    let choices = match value {
        "" => open(question.choices()),
        _ => question.choices(),
    };
    Some(one(
        form,
        &number.to_string(),
        (model, *field),
        (&question.sentence(), value, choices),
    ))
}

/// What was answered before, each to be asked again.
pub(super) fn said(form: Fields<'_>, answers: &Answers) -> Vec<(String, Field, Asked)> {
    let all = answers.agreed.iter().flat_map(|(model, fields)| {
        let fields = fields
            .iter()
            .filter_map(|(key, text)| Some((Field::from_key(key)?, text)));
        fields.map(move |(field, text)| (model, field, text))
    });
    let shown = all.enumerate().map(|(at, (model, field, text))| {
        let label = format!("{} of {model}", field.label());
        let words = match text.as_str() {
            "register" => "as the register has it".to_owned(),
            "apart" => "a model of its own for each".to_owned(),
            "leave-out" => "rows that say otherwise are left out".to_owned(),
            value => value.to_owned(),
        };
        let choices = vec![
            (text.clone(), words),
            (String::new(), "Ask again".to_owned()),
        ];
        let asked = one(
            form,
            &format!("said-{at}"),
            (model, field),
            (&label, text, choices),
        );
        (model.clone(), field, asked)
    });
    shown.collect()
}

fn one(
    form: Fields<'_>,
    number: &str,
    (model, field): (&str, Field),
    (label, value, choices): (&str, &str, Choices),
) -> Asked {
    Asked {
        hidden: vec![
            (format!("{MODEL}{number}"), model.to_owned()),
            (format!("{FIELD}{number}"), field.key()),
        ],
        ..plain(form.choice(&format!("{PREFIX}{number}"), label, value, choices))
    }
}

/// What was sent of it.
pub(super) fn sent(typed: &Typed, answers: &mut Answers) {
    for (number, text) in typed.numbered(PREFIX) {
        let model = typed.text(&format!("{MODEL}{number}"));
        let field = typed.text(&format!("{FIELD}{number}"));
        if !model.is_empty() && Field::from_key(field).is_some() {
            let fields = answers.agreed.entry(model.to_owned()).or_default();
            // What is answered anew stands before what was said.
            let field = fields.entry(field.to_owned());
            field.or_insert_with(|| text.to_owned());
        }
    }
}

/// The field that was sent empty for this question, under the number that it has now.
pub(super) fn left_empty(
    typed: &Typed,
    (number, model, field): (usize, &str, Field),
) -> Option<String> {
    let mut sent = typed.numbered(MODEL);
    let of = |at: &str| typed.text(&format!("{FIELD}{at}")) == field.key();
    let (at, _) = sent.find(|(at, sent)| fold(sent) == fold(model) && of(at))?;
    typed
        .left_empty(&format!("{PREFIX}{at}"))
        .then(|| format!("{PREFIX}{number}"))
}
