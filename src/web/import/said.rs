//! What was answered before, as the page of a rehearsal shows it.

use super::{
    foretold::{Looker, seen},
    sheet::{Choices, meaning, open, silent, unit},
    typed::Fields,
};
use crate::{
    import::{Answers, Field, Offer, Question, Rehearsal, Unit},
    view::import::Asked,
};

/// What was answered before; each can be changed or taken back.
pub(super) fn said(
    form: Fields<'_>,
    rehearsal: &Rehearsal,
    answers: &Answers,
    looker: Looker<'_>,
) -> Vec<Asked> {
    let mut said = Vec::new();
    let plain = |field| Asked {
        field,
        hidden: Vec::new(),
    };
    if rehearsal.sheets.len() > 1 {
        let sheets = rehearsal.sheets.iter();
        let sheets: Choices = sheets.map(|sheet| (sheet.clone(), sheet.clone())).collect();
        let sheet = rehearsal.sheet.clone().unwrap_or_default();
        said.push(plain(form.choice(
            "sheet",
            "Sheet of the workbook",
            &sheet,
            sheets,
        )));
    }
    said.extend(said_of_writing(form, answers));
    said.extend(said_of_units(form, rehearsal));
    said.extend(said_of_words(form, answers, rehearsal.questions.len()));
    said.extend(said_of_silence(form, answers));
    for (of, as_said) in &answers.seen {
        let asked = rehearsal.foretold.iter().flat_map(|told| &told.reasons);
        let mut asked = asked.filter(|reason| reason.offer == Offer::Seen(*of));
        if asked.next().is_none() {
            let rows = rehearsal.items();
            said.extend(seen(form, *of, Some(as_said), (rows, looker)));
        }
    }
    said
}

/// How days and numbers were said to be written.
fn said_of_writing(form: Fields<'_>, answers: &Answers) -> Vec<Asked> {
    let mut said = Vec::new();
    let plain = |field| Asked {
        field,
        hidden: Vec::new(),
    };
    let nothing = || (Vec::new(), 1, String::new());
    if let Some(order) = answers.dates {
        let (headings, row, example) = nothing();
        let choices = Question::DateOrder {
            headings,
            row,
            example,
        }
        .choices();
        said.push(plain(form.choice(
            "dates",
            "Days are written",
            order.key(),
            open(choices),
        )));
    }
    if let Some(mark) = answers.decimal {
        let (headings, row, example) = nothing();
        let choices = Question::DecimalMark {
            headings,
            row,
            example,
        }
        .choices();
        said.push(plain(form.choice(
            "decimal",
            "The decimal mark is",
            mark.key(),
            open(choices),
        )));
    }
    said
}

/// In which units numbers were said to be; what does not fit its column any more is asked anew.
fn said_of_units(form: Fields<'_>, rehearsal: &Rehearsal) -> Vec<Asked> {
    let asked = rehearsal.without_unit();
    let columns = rehearsal.headings.columns.iter();
    let said = columns.filter(|column| !asked.contains(&column.heading.as_str()));
    let line = |column: &crate::import::Column| {
        let (said, field) = (column.said_unit?, column.field()?);
        let label = format!("The numbers under \"{}\" are in", column.heading);
        let units = Unit::of(field).into_iter();
        let choices = units.map(|unit| (unit.sign().to_owned(), unit.words().to_owned()));
        let choices = choices.collect();
        Some(Asked {
            field: unit(form, column.index, &label, (said.sign(), choices)),
            hidden: Vec::new(),
        })
    };
    said.filter_map(line).collect()
}

/// What words were said to mean; their fields are numbered from `number`.
fn said_of_words(form: Fields<'_>, answers: &Answers, mut number: usize) -> Vec<Asked> {
    let mut said = Vec::new();
    for (key, words) in &answers.words {
        let Some(field) = Field::from_key(key) else {
            continue;
        };
        for (word, value) in words {
            let question = Question::Word {
                field,
                word: word.clone(),
                rows: 0,
                first_row: 0,
            };
            let label = format!("\"{word}\" means");
            said.push(meaning(
                form,
                number,
                (field, word),
                &label,
                (value, question.choices()),
            ));
            number += 1;
        }
    }
    said
}

/// What was said to hold where the list says nothing.
fn said_of_silence(form: Fields<'_>, answers: &Answers) -> Vec<Asked> {
    let mut said = Vec::new();
    let plain = |field| Asked {
        field,
        hidden: Vec::new(),
    };
    for (key, value) in &answers.silent {
        let Some(field) = Field::from_key(key) else {
            continue;
        };
        let question = Question::Silent {
            field,
            rows: 0,
            first_row: 0,
        };
        let label = format!("Where the list says nothing: {}", field.label());
        said.push(plain(silent(
            form,
            field,
            &label,
            (value, question.choices()),
        )));
    }
    said
}
