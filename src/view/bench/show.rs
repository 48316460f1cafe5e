//! The page of the bench.

use askama::Template;
use time::Date;

use super::super::{
    Shell,
    form::{Choices, Field, Form},
    item::ItemRow,
    part::{Answer, Tone, html_parts},
    words,
};
use super::{BenchSheet, Sitting, fields};
use crate::domain::{Competence, Examination, FieldErrors, ItemId, date::write_day};

/// One item of the list that is worked through.
#[derive(Clone, Debug)]
pub struct BenchRow {
    /// Its id.
    pub id: ItemId,
    /// Where it is opened.
    pub open: String,
    /// What it is.
    pub row: ItemRow,
    /// What was found in this sitting; empty where it was not looked at yet.
    pub done: String,
}

impl BenchRow {
    /// An item of the list, with its examinations, the last done first. What counts as done is a look of this sitting;
    /// or, `since` a day, any thorough one.
    pub fn new(
        id: ItemId,
        (row, open): (ItemRow, String),
        past: &[Examination],
        (sitting, since): (&Sitting, Option<Date>),
    ) -> Self {
        let counts = |one: &&Examination| match since {
            Some(since) => one.kind.is_thorough() && one.on >= since,
            None => one.kind.key() == sitting.look && sitting.began_by(one.on),
        };
        let now = past.iter().find(counts);
        let done = now.map(|one| format!("{}, {}", one.verdict.word(), write_day(one.on)));
        Self {
            id,
            open,
            row,
            done: done.unwrap_or_default(),
        }
    }
}

/// The list that is worked through.
#[derive(Clone, Debug, Template)]
#[template(path = "bench/list.html")]
pub struct BenchList {
    /// What it is a list of.
    pub title: String,
    /// Its items.
    pub rows: Vec<BenchRow>,
    /// What was asked for, for a page that keeps it.
    pub query: String,
    /// The page without the list.
    pub leave: String,
}

html_parts!(BenchList);

impl BenchList {
    fn progress(&self) -> String {
        let done = self.rows.iter().filter(|row| !row.done.is_empty()).count();
        format!(
            "{done} of {} looked at.",
            words::count(self.rows.len(), "item", "items")
        )
    }
}

/// What a list can be chosen by.
#[derive(Clone, Debug, Default)]
pub struct Chooser {
    /// The stores.
    pub stores: Choices,
    /// The jobs that are planned.
    pub jobs: Choices,
    /// The kinds of gear.
    pub kinds: Choices,
    /// What was chosen: store, job, kind.
    pub chosen: [String; 3],
}

/// The page.
#[derive(Template)]
#[template(path = "bench/show.html")]
pub struct Bench {
    /// The frame.
    pub shell: Shell,
    form: Form,
    wrong: bool,
    sitting: Sitting,
    fields: Vec<Field>,
    /// Whether the sitting stands open.
    open: bool,
    /// Whether nobody could be named as the examiner of a thorough look.
    nobody: bool,
    today: String,
    /// What was scanned.
    pub code: String,
    /// What a code led to, if it led to no single item.
    pub answer: Option<Answer>,
    /// Where photos go on what was recorded just now: address and words.
    pub photos: Option<(String, String)>,
    /// Among which items somebody has to choose: address and words.
    pub several: Choices,
    /// What is asked for beside the sitting, kept when the form is sent.
    pub kept: Vec<(String, String)>,
    /// The item that is open.
    pub sheet: Option<BenchSheet>,
    /// The list.
    pub list: Option<BenchList>,
    /// What a list can be chosen by.
    pub chooser: Chooser,
}

impl Bench {
    /// A bench with nothing on it.
    pub fn new(
        shell: Shell,
        sitting: &Sitting,
        (competence, may_thorough): (&Competence, bool),
        today: Date,
        wrong: &FieldErrors,
    ) -> Self {
        let form = Form::new(wrong).failed("Nothing was opened");
        let set = ["look", "on", "examiner", "place"];
        Self {
            shell,
            fields: fields(&form, sitting, (competence, may_thorough)),
            open: set.iter().any(|name| wrong.on(name).next().is_some()),
            form,
            wrong: !wrong.is_empty(),
            sitting: sitting.clone(),
            nobody: may_thorough && competence.is_empty(),
            today: write_day(today),
            code: String::new(),
            answer: None,
            photos: None,
            several: Choices::new(),
            kept: Vec::new(),
            sheet: None,
            list: None,
            chooser: Chooser::default(),
        }
    }

    /// Whether what was asked for does not hold.
    pub fn is_wrong(&self) -> bool {
        self.wrong
    }

    /// The scripts that a page of the bench runs on top of those of every page.
    fn scripts(&self) -> impl Iterator<Item = String> {
        ["scan", "sheet", "photo", "missed", "taken", "tally", "tray"]
            .map(|name| super::super::asset::asset_url(&format!("bench/{name}.js")))
            .into_iter()
    }
}
