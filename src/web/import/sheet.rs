//! A rehearsal as its page shows it.

use uuid::Uuid;

use super::{
    foretold::{self, Given, Looker},
    said,
    typed::{Fields, Typed},
};
use crate::{
    deed::import::ImportFile,
    domain::FieldErrors,
    import::{ColumnUse, Fate, Field, Question, Rehearsal, Target},
    view::{
        Shell, form,
        import::{Asked, ColumnLine, ErrorLine, RehearsalSheet, RowLine},
        part::{Answer, Badge, Facts, Tone},
        words::count,
    },
};

/// How many rows and how many errors a page shows.
const ROWS: usize = 50;
const ERRORS: usize = 200;

pub(super) type Choices = Vec<(String, String)>;

pub(super) fn sheet(
    shell: Shell,
    id: Uuid,
    (file, rehearsal): (&ImportFile, &Rehearsal),
    (wrong, typed): (&FieldErrors, &Typed),
    looker: Looker<'_>,
) -> RehearsalSheet {
    let form = form::Form::new(wrong);
    let fields = Fields { form: &form, typed };
    let mut given = Given::new(fields, &file.answers);
    let foretold = rehearsal.foretold.as_ref();
    let foretold = foretold
        .filter(|foretold| foretold.in_service > 0)
        .map(|told| foretold::foretold(told, &mut given, looker));
    let mut said = said::said(fields, rehearsal, &file.answers, looker);
    said.extend(given.said());
    let why = rehearsal.foretold.as_ref();
    let why = why.and_then(|told| told.sentence()).unwrap_or_default();
    let tone = match (rehearsal.is_ready(), rehearsal.errors.is_empty()) {
        (true, _) => Tone::Fit,
        (false, true) => Tone::Hold,
        (false, false) => Tone::Stop,
    };
    let errors = rehearsal.errors.iter().take(ERRORS).map(|error| ErrorLine {
        place: error.place(),
        message: error.message.clone(),
    });
    let remarks = rehearsal.remarks.iter().map(|remark| {
        let rows = count(remark.rows, "row", "rows");
        format!(
            "{} ({rows}, first: row {})",
            remark.sentence, remark.first_row
        )
    });
    let models = rehearsal
        .new_models
        .iter()
        .take(ERRORS)
        .map(|(title, items)| format!("Model {title}: {}", count(*items, "item", "items")));
    let stores = rehearsal
        .new_stores
        .iter()
        .map(|name| format!("Store {name}"));
    RehearsalSheet {
        shell,
        id: id.to_string(),
        file: file.name.clone(),
        answer: Answer::new(tone, rehearsal.sentence()).why(why),
        ready: rehearsal.is_ready(),
        take: format!("Take in {}", count(rehearsal.items(), "item", "items")),
        facts: facts(rehearsal),
        asked: asked(fields, rehearsal),
        foretold,
        said,
        columns: columns(fields, rehearsal),
        columns_open: !rehearsal.questions.is_empty()
            || rehearsal.columns_in_doubt()
            || !wrong.is_empty(),
        form,
        errors: errors.collect(),
        more_errors: more(rehearsal.errors.len(), ERRORS, "errors"),
        remarks: remarks.collect(),
        news: stores.chain(models).collect(),
        rows: rehearsal.rows.iter().take(ROWS).map(row).collect(),
        more_rows: more(rehearsal.rows.len(), ROWS, "rows"),
    }
}

fn more(all: usize, shown: usize, what: &str) -> String {
    match all.saturating_sub(shown) {
        0 => String::new(),
        rest => format!("{rest} more {what} are not shown."),
    }
}

fn facts(rehearsal: &Rehearsal) -> Facts {
    let rows = rehearsal.tally();
    let come_in = if rehearsal.is_ready() {
        "Rows that come in"
    } else {
        "Rows that would come in"
    };
    let mut facts = Facts::default()
        .and(come_in, rows.come_in.to_string())
        .and("Rows that wait for an answer", rows.wait.to_string())
        .and("Rows that are refused", rows.refused.to_string())
        .and("Rows left out", rows.left_out.to_string());
    let waiting = rehearsal.without_unit();
    if !waiting.is_empty() {
        facts = facts.and("Columns that wait for a unit", waiting.join("; "));
    }
    facts
        .and("Read as", rehearsal.read_as.clone())
        .and("Headings", format!("in row {}", rehearsal.headings.row))
        .wide()
}

fn row(row: &crate::import::RowFate) -> RowLine {
    let fate = match row.fate {
        Fate::NewModel => Badge::new(Tone::Fit, "New item of a new model"),
        Fate::KnownModel => Badge::new(Tone::Fit, "New item of a known model"),
        Fate::LeftOut => Badge::new(Tone::Out, "Left out"),
        Fate::Wrong(errors) => Badge::new(Tone::Stop, count(errors, "error", "errors")),
        Fate::ModelWrong => Badge::new(Tone::Stop, "Its model has errors"),
        Fate::Asked => Badge::new(Tone::Hold, "Waits for an answer"),
    };
    RowLine {
        row: row.row,
        mark: row.mark.clone(),
        title: row.title.clone(),
        store: row.store.clone(),
        fate,
    }
}

/// With a first line that chooses nothing.
pub(super) fn open(mut choices: Choices) -> Choices {
    choices.insert(0, (String::new(), "Choose".to_owned()));
    choices
}

/// What is asked, but for headings, which are asked where their column stands.
fn asked(form: Fields<'_>, rehearsal: &Rehearsal) -> Vec<Asked> {
    let mut asked = Vec::new();
    for (number, question) in rehearsal.questions.iter().enumerate() {
        let choices = question.choices();
        let sentence = question.sentence();
        let plain = |field| Asked {
            field,
            hidden: Vec::new(),
        };
        match question {
            Question::Heading { .. } => {}
            Question::DateOrder { .. } => {
                asked.push(plain(form.choice("dates", &sentence, "", open(choices))));
            }
            Question::DecimalMark { .. } => {
                asked.push(plain(form.choice("decimal", &sentence, "", open(choices))));
            }
            Question::Unit { column, .. } => {
                asked.push(plain(unit(form, *column, &sentence, ("", choices))));
            }
            Question::Word { field, word, .. } => {
                asked.push(meaning(
                    form,
                    number,
                    (*field, word),
                    &sentence,
                    ("", choices),
                ));
            }
            Question::Silent { field, .. } => {
                asked.push(plain(silent(form, *field, &sentence, ("", choices))));
            }
        }
    }
    asked
}

pub(super) fn meaning(
    form: Fields<'_>,
    number: usize,
    (field, word): (Field, &str),
    label: &str,
    (value, choices): (&str, Choices),
) -> Asked {
    let name = format!("meaning-{number}");
    Asked {
        field: form.choice(&name, label, value, open(choices)),
        hidden: vec![
            (format!("field-{number}"), field.key()),
            (format!("word-{number}"), word.to_owned()),
        ],
    }
}

/// The heading is sent along where the column stands.
pub(super) fn unit(
    form: Fields<'_>,
    column: usize,
    label: &str,
    (value, choices): (&str, Choices),
) -> form::Field {
    form.choice(&format!("unit-{column}"), label, value, open(choices))
}

pub(super) fn silent(
    form: Fields<'_>,
    field: Field,
    label: &str,
    (value, choices): (&str, Choices),
) -> form::Field {
    let name = format!("silent-{}", field.key());
    if choices.is_empty() {
        form.line(&name, label, value)
    } else {
        form.choice(&name, label, value, open(choices))
    }
}

fn columns(form: Fields<'_>, rehearsal: &Rehearsal) -> Vec<ColumnLine> {
    let mut choices: Choices = vec![
        (Target::InNote.key(), "Keep it in the note".to_owned()),
        (Target::LeaveOut.key(), "Leave it out".to_owned()),
    ];
    choices.extend(
        Field::all()
            .into_iter()
            .map(|field| (field.key(), field.label())),
    );
    let waiting = rehearsal.without_unit();
    let columns = rehearsal.headings.columns.iter();
    let line = |column: &crate::import::Column| {
        let (value, hint) = match &column.becomes {
            ColumnUse::Field(field) => (field.key(), String::new()),
            ColumnUse::InNote => (Target::InNote.key(), String::new()),
            ColumnUse::LeftOut => (Target::LeaveOut.key(), String::new()),
            ColumnUse::Unknown(likely) => {
                let likely: Vec<String> = likely.iter().map(|field| field.label()).collect();
                let hint = if likely.is_empty() {
                    String::new()
                } else {
                    format!(" Perhaps: {}.", likely.join("; "))
                };
                (String::new(), format!(" Say what it is.{hint}"))
            }
        };
        let label = format!("{}: {}", column.letters(), column.heading);
        let example = if column.example.is_empty() {
            "Nothing stands in it.".to_owned()
        } else {
            format!("Such as \"{}\".", column.example)
        };
        let waits = if waiting.contains(&column.heading.as_str()) {
            " Its numbers wait for a unit."
        } else {
            ""
        };
        let name = format!("column-{}", column.index);
        let choices = if value.is_empty() {
            open(choices.clone())
        } else {
            choices.clone()
        };
        ColumnLine {
            heading: column.heading.clone(),
            heading_name: format!("heading-{}", column.index),
            field: form
                .choice(&name, &label, &value, choices)
                .hint(&format!("{example}{hint}{waits}")),
        }
    };
    columns.map(line).collect()
}
