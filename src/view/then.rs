//! What an item, a job or a store was on a day in the past, by two clocks side by side.

use askama::Template;

use super::{
    Shell,
    file_choice::FileChoice,
    form::{Field, Form},
    part::{Answer, Pager, Tone},
    question::RowsTable,
    words,
};
use crate::domain::{
    FieldErrors,
    question::{Column, Row},
};

/// The page.
#[derive(Template)]
#[template(path = "then/show.html")]
pub struct ThenSheet {
    /// The frame.
    pub shell: Shell,
    of: Of,
    form: Form,
    on: Field,
    told: Option<Told>,
}

/// Whose past it is.
#[derive(Clone, Debug)]
pub struct Of {
    /// The address of the record.
    pub href: String,
    /// The address of its past.
    pub base: String,
    /// Its name.
    pub name: String,
}

impl Of {
    /// The record at this address.
    pub fn new(href: String, name: String) -> Self {
        Self {
            base: format!("{href}/then"),
            href,
            name,
        }
    }
}

/// A past as the page tells it.
struct Told {
    answer: Answer,
    table: RowsTable,
    file: FileChoice,
    pager: Pager,
}

/// A past to be shown.
pub struct Shown<'a> {
    /// What it was, in a sentence.
    pub answer: &'a str,
    /// How many of how many differ.
    pub why: &'a str,
    /// Whether nothing differs.
    pub is_same: bool,
    /// The columns.
    pub columns: &'a [Column],
    /// The rows of the page.
    pub rows: &'a [Row],
    /// The same to take along.
    pub file: FileChoice,
    /// The ways from this page to the others.
    pub pager: Pager,
}

impl ThenSheet {
    /// The page; without a past it asks for a day alone.
    pub fn new(
        shell: Shell,
        of: Of,
        on: &str,
        shown: Option<Shown<'_>>,
        wrong: &FieldErrors,
    ) -> Self {
        let form = Form::new(wrong).failed("No day was looked at");
        let on = form.typed("date", "on", "On", on).hint("Empty is today.");
        let told = shown.map(|shown| Told {
            answer: Answer::new(
                if shown.is_same {
                    Tone::Note
                } else {
                    Tone::Watch
                },
                shown.answer,
            )
            .why(shown.why),
            table: RowsTable::new(&shell.title, shown.columns, shown.rows, &shell.zone),
            file: shown.file,
            pager: Pager {
                shown: words::count(shown.rows.len(), "row", "rows"),
                ..shown.pager
            },
        });
        Self {
            shell,
            of,
            form,
            on,
            told,
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::PROBE;
        use crate::domain::question::Cell;
        let of = || Of::new("/items/1".to_owned(), PROBE.to_owned());
        let columns = [
            Column::new("fact", "Fact"),
            Column::new("then", "As it was known then"),
        ];
        let row = Row {
            place: PROBE.to_owned(),
            cells: vec![Cell::Text(PROBE.to_owned()), Cell::Nothing],
        };
        let shown = |is_same| Shown {
            answer: PROBE,
            why: PROBE,
            is_same,
            columns: &columns,
            rows: std::slice::from_ref(&row),
            file: FileChoice::sample(),
            pager: Pager::default(),
        };
        let page = |shown, wrong: &FieldErrors| {
            Self::new(Shell::sample("As it was"), of(), PROBE, shown, wrong)
        };
        vec![
            page(Some(shown(true)), &FieldErrors::default()),
            page(Some(shown(false)), &FieldErrors::default()),
            page(None, &FieldErrors::one("on", "date", PROBE)),
        ]
    }
}
