//! A rehearsal as its page shows it.

use std::collections::BTreeMap;

use uuid::Uuid;

use super::{
    Sent,
    asked::{Known, asked, columns},
    foretold,
    given::Given,
    rows::{self, Part},
    said,
    seen::Looker,
    typed::Fields,
};
use crate::{
    deed::import::ImportFile,
    import::{Answers, Fate, Rehearsal, RemarkKind, RowError},
    view::{
        Shell, form,
        import::{ErrorLine, RehearsalSheet, TakenOverSheet},
        part::{Answer, Facts, Tone},
        words::count,
    },
};

/// How many errors a page shows together.
const ERRORS: usize = 200;

pub(super) fn sheet(
    shell: Shell,
    id: Uuid,
    (file, rehearsal): (&ImportFile, &Rehearsal),
    sent: &Sent,
    (looker, part): (Looker<'_>, &Part),
) -> RehearsalSheet {
    let mut form = form::Form::new(&sent.wrong);
    if sent.is_kept {
        form = form.failed("Your answers are kept, and the list waits for more");
    }
    let is_wrong = !sent.wrong.is_empty() && !sent.is_kept;
    let fields = Fields {
        form: &form,
        typed: &sent.typed,
    };
    let mut given = Given::new(fields, &file.answers, &rehearsal.faulty);
    let mut errors = errors(rehearsal);
    let more_errors = more(errors.len(), ERRORS, "errors");
    errors.truncate(ERRORS);
    let asked = asked(fields, (rehearsal, &file.answers), looker);
    let foretold = foretold::foretold(rehearsal, &mut given, looker);
    let said = said::said(&mut given, rehearsal, file, looker);
    RehearsalSheet {
        shell,
        id: id.to_string(),
        file: file.name.clone(),
        answer: answer(rehearsal),
        ready: rehearsal.is_ready(),
        take: take(rehearsal),
        facts: facts(rehearsal),
        asked,
        foretold,
        said_open: is_wrong || said.is_wrong(),
        said: said.own,
        taken_over: file.taken_over.as_ref().map(|over| TakenOverSheet {
            sentence: format!(
                "Taken from the last answers for a list with the same headings: those of {} for \"{}\", {}.",
                over.by, over.file, over.on
            ),
            said: said.taken_over,
        }),
        update: update(fields, rehearsal, &file.answers),
        left_out: left_out(id, file, rehearsal),
        columns: columns(fields, rehearsal, Known::Yes),
        columns_open: rehearsal.columns_clash() || rehearsal.misread_column() || is_wrong,
        form,
        errors,
        more_errors,
        look_at: remarks(rehearsal, |kind| kind == RemarkKind::LookAt),
        remarks: remarks(rehearsal, |kind| kind != RemarkKind::LookAt),
        news: news(rehearsal),
        rows: rows::rows(rehearsal, part),
    }
}

/// What would come of it, and what jobs would say of that.
fn answer(rehearsal: &Rehearsal) -> Answer {
    let told = rehearsal.foretold.as_ref();
    let tone = match (rehearsal.is_ready(), rehearsal.errors.is_empty()) {
        (true, _) => Tone::Fit,
        (false, true) => Tone::Hold,
        (false, false) => Tone::Stop,
    };
    // What jobs say holds nothing up, and is told once it is clear what comes in.
    let why = told.filter(|_| rehearsal.is_ready());
    let why = why.and_then(|told| told.sentence());
    let why = why.map(|why| format!("{why} That can be done once they are in."));
    Answer::new(tone, rehearsal.sentence()).why(why.unwrap_or_default())
}

/// What is wrong; what is the same in many rows of a column stands once, with how many they are.
fn errors(rehearsal: &Rehearsal) -> Vec<ErrorLine> {
    let mut alike: Vec<(&RowError, Vec<u32>)> = Vec::new();
    let mut at = BTreeMap::new();
    for error in &rehearsal.errors {
        let place = *at
            .entry((&error.column, &error.message))
            .or_insert_with(|| {
                alike.push((error, Vec::new()));
                alike.len() - 1
            });
        alike[place].1.push(error.row);
    }
    let line = |(error, rows): (&RowError, Vec<u32>)| ErrorLine {
        place: match rows.len() {
            1 => error.place(),
            all => format!("{all} rows alike, first: {}", error.place()),
        },
        message: error.message.clone(),
    };
    alike.into_iter().map(line).collect()
}

fn remarks(rehearsal: &Rehearsal, of: impl Fn(RemarkKind) -> bool) -> Vec<String> {
    let remarks = rehearsal.remarks.iter();
    let remarks = remarks.filter(|remark| of(remark.kind)).map(|remark| {
        let rows = count(remark.rows, "row", "rows");
        format!(
            "{} ({rows}, first: row {})",
            remark.sentence, remark.first_row
        )
    });
    remarks.collect()
}

/// What will be new in the register beside the items.
fn news(rehearsal: &Rehearsal) -> Vec<String> {
    let stores = rehearsal.new_stores.iter();
    let stores = stores.map(|name| format!("Store {name}"));
    let models = rehearsal.new_models.iter().take(ERRORS);
    let models =
        models.map(|(title, items)| format!("Model {title}: {}", count(*items, "item", "items")));
    stores.chain(models).collect()
}

/// The words on the button.
fn take(rehearsal: &Rehearsal) -> String {
    let rows = rehearsal.tally();
    let updated = count(rows.updated, "item", "items");
    match (rows.come_in, rows.updated) {
        (0, _) => format!("Update {updated}"),
        (come_in, 0) => format!("Take in {}", count(come_in, "item", "items")),
        (come_in, _) => format!(
            "Take in {}, update {updated}",
            count(come_in, "item", "items")
        ),
    }
}

/// Asks what becomes of items that are there already, if there are some.
fn update(form: Fields<'_>, rehearsal: &Rehearsal, answers: &Answers) -> Option<form::Field> {
    let there = rehearsal.rows.iter();
    let there = there.filter(|row| {
        matches!(row.fate, Fate::Same | Fate::Differs | Fate::Updated) || !row.differs.is_empty()
    });
    let (mut all, mut differ) = (0, 0);
    for row in there {
        all += 1;
        differ += usize::from(!row.differs.is_empty());
    }
    let label = match all {
        0 => return None,
        1 => "1 item of this list is in the register already".to_owned(),
        all => format!("{all} items of this list are in the register already"),
    };
    let value = if answers.update { "yes" } else { "no" };
    let update = format!("Update those of which the list says something otherwise ({differ})");
    let choices = [("no", "Leave them as they are"), ("yes", &update)];
    let choices = choices.map(|(key, words)| (key.to_owned(), words.to_owned()));
    let field = form.choice("update", &label, value, choices.into());
    Some(field.hint("Each is told below, among the rows that are there already. Where the list says nothing, nothing changes; what an item is, its state and its examinations are not changed by a list. Of an item in service with a remark that may restrict its use it is asked whether it goes to quarantine."))
}

/// How many rows were chosen to be left out, and where they can be had.
fn left_out(id: Uuid, file: &ImportFile, rehearsal: &Rehearsal) -> Option<(String, String)> {
    let chosen = file.answers.left_out.len();
    let others = match rehearsal.tally().left_out.saturating_sub(chosen) {
        0 => String::new(),
        1 => {
            " 1 more is no gear, by your answer or as a title or total; it is not kept.".to_owned()
        }
        more => format!(
            " {more} more are no gear, by your answers or as titles and totals; they are not kept."
        ),
    };
    let words = match chosen {
        0 => return None,
        1 => {
            "1 row was chosen to be left out. It waits as a list of its own once this one is taken in.".to_owned()
        }
        rows => format!(
            "{rows} rows were chosen to be left out. They wait as a list of their own once this one is taken in."
        ),
    };
    Some((words + &others, format!("/import/{id}/left-out.csv")))
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
        "Items that come in"
    } else {
        "Items that would come in"
    };
    let mut facts = Facts::default()
        .and(come_in, rows.come_in.to_string())
        .and("Rows that wait for an answer", rows.wait.to_string())
        .and("Rows that are refused", rows.refused.to_string())
        .and("Rows left out", rows.left_out.to_string());
    if rows.there + rows.updated > 0 {
        facts = facts
            .and("Items that are there already", rows.there.to_string())
            .and("Items that are updated", rows.updated.to_string());
    }
    let mut remarks = rehearsal.remarks.iter();
    if let Some(fit) = remarks.find(|one| one.kind == RemarkKind::TakenAsFit) {
        let words = format!("{}. {}", count(fit.rows, "row", "rows"), fit.sentence);
        facts = facts.and("Last inspections taken as passed", words);
    }
    let waiting = rehearsal.without_unit();
    if !waiting.is_empty() {
        facts = facts.and("Columns that wait for a unit", waiting.join("; "));
    }
    facts
        .and("Read as", rehearsal.read_as.clone())
        .and("Headings", format!("in row {}", rehearsal.headings.row))
        .wide()
}
