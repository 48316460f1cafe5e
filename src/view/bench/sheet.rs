//! One item on the bench: what it is, what is looked at, and the verdicts.

use askama::Template;
use time::Date;

use super::super::{
    examination::{CriterionRow, Subject, life_over, markings, rows},
    form::{Choices, Form},
    item::ItemRow,
    part::{Tone, html_parts},
    past::{kind_word, verdict_word},
    words,
};
use super::Sitting;
use crate::domain::{
    Examination, ExaminationDraft, FieldErrors, LARGEST_UPLOAD, MOST_FILES, Store, date::write_day,
    fitness::interval_of, size_words,
};

/// What is told of an item beside what an examination needs.
pub struct Laid<'a> {
    /// Where it lives.
    pub store: Option<&'a Store>,
    /// The codes on it, as they were scanned.
    pub codes: &'a [String],
    /// Its last examination.
    pub last: Option<&'a Examination>,
    /// Today, for the team.
    pub today: Date,
}

/// The sheet of one item.
#[derive(Clone, Debug, Template)]
#[template(path = "bench/sheet.html")]
pub struct BenchSheet {
    form: Form,
    action: String,
    id: String,
    row: ItemRow,
    serial: String,
    codes: String,
    last: String,
    /// That its life is over; empty where it is not.
    life: String,
    /// What stands on its record since it was last found fit.
    since: Vec<String>,
    seen: String,
    interval: String,
    rows: Vec<CriterionRow>,
    list: String,
    list_href: String,
    edition: String,
    markings: Choices,
    thorough: bool,
    /// Whether what is seldom written stands open.
    open: bool,
    /// Whether nothing is wrong, so that the page begins at the item.
    fresh: bool,
    draft: ExaminationDraft,
}

html_parts!(BenchSheet);

impl BenchSheet {
    /// The sheet with what was typed; `action` is where it is sent.
    pub fn new(
        subject: &Subject<'_>,
        laid: &Laid<'_>,
        (sitting, action): (&Sitting, String),
        draft: &ExaminationDraft,
        wrong: &FieldErrors,
    ) -> Self {
        let item = subject.item;
        let form = Form::new(wrong);
        let (months, rule) = interval_of(item, subject.model, subject.rulebook);
        let seldom = ["findings", "markings_readable", "next_due_on"];
        let typed = [
            &draft.findings,
            &draft.markings_readable,
            &draft.next_due_on,
        ];
        let written = typed.iter().any(|text| !text.is_empty());
        Self {
            open: written || seldom.iter().any(|name| wrong.on(name).next().is_some()),
            fresh: wrong.is_empty(),
            rows: rows(&form, subject, draft),
            form,
            action,
            id: item.id.to_string(),
            row: ItemRow::new(
                item,
                subject.model,
                laid.store,
                (subject.rulebook, laid.today),
            ),
            serial: item.serial.clone().unwrap_or_default(),
            codes: laid.codes.join("\n"),
            last: last_words(laid.last, laid.today),
            life: life_over(subject, laid.today),
            since: subject.since.to_vec(),
            seen: item.state_mark(),
            interval: format!(
                "Empty is the longest that the rules allow: {}.",
                words::every(months, &rule)
            ),
            list: subject.list.edition.words(),
            list_href: format!("/checklists/{}", subject.list.edition.kind.key()),
            edition: subject.list.edition.to_string(),
            markings: markings(item, &draft.markings_readable),
            thorough: sitting.is_thorough(),
            draft: draft.clone(),
        }
    }
}

/// What a photo on the bench may be.
fn photo_limits() -> String {
    format!(
        "JPEG, PNG or WebP; at most {MOST_FILES}, each of at most {}. Say of each what it shows: a verdict is taken once all are told. They are kept on this device with what is written, and sent behind the record.",
        size_words(LARGEST_UPLOAD)
    )
}

/// The last examination in words.
fn last_words(last: Option<&Examination>, today: Date) -> String {
    last.map_or_else(
        || "Never examined before.".to_owned(),
        |one| {
            format!(
                "Last: {}, {} ({}), {}.",
                kind_word(one.kind),
                write_day(one.on),
                words::from_today(one.on, today),
                verdict_word(one.verdict)
            )
        },
    )
}

/// The sheets of a list with the list itself, for a page that keeps them.
#[derive(Template)]
#[template(path = "bench/sheets.html")]
pub struct Sheets {
    /// The list; none where single items were asked for.
    pub list: Option<super::BenchList>,
    /// The sheet of each.
    pub sheets: Vec<BenchSheet>,
}
