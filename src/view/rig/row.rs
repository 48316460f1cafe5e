//! The rows of the editor: fields that come several times, with buttons to add, remove and move them.

use askama::Template;

use crate::view::{
    form::{Field, Form, id_of},
    part::{Tone, html_parts},
};

/// Rows of one kind, and the button that adds one.
#[derive(Clone, Debug, Template)]
#[template(path = "rig/rows.html")]
pub(super) struct Rows {
    id: String,
    legend: String,
    hint: &'static str,
    each: Vec<Row>,
    /// What is wrong with the list as a whole.
    wrong: Vec<String>,
    add: Act,
}

/// One row: its fields, and a list of rows inside it if it has one.
#[derive(Clone, Debug)]
pub(super) struct Row {
    id: String,
    legend: String,
    fields: Vec<Field>,
    /// What is wrong with the row as a whole.
    wrong: Vec<String>,
    acts: Vec<Act>,
    inner: Option<Rows>,
}

/// A button that does something with a row.
#[derive(Clone, Debug)]
struct Act {
    /// What is sent: `up body[1]`.
    value: String,
    /// Its word.
    words: String,
    /// Its word and which row, for those who hear it.
    label: String,
    /// Where the page is opened after it.
    to: String,
}

/// A list of the form that is being built.
pub(super) struct RowsOf<'a> {
    form: &'a Form,
    action: &'a str,
    list: String,
    noun: &'static str,
}

impl<'a> RowsOf<'a> {
    /// The rows of `list`, such as `rope[0][path]`, each of which is a `noun`.
    pub(super) fn new(
        form: &'a Form,
        action: &'a str,
        list: impl Into<String>,
        noun: &'static str,
    ) -> Self {
        Self {
            form,
            action,
            list: list.into(),
            noun,
        }
    }

    /// The name of a field of a row.
    pub(super) fn name(&self, at: usize, part: &str) -> String {
        format!("{}[{at}][{part}]", self.list)
    }

    /// The list with its rows: for each what it is called, its fields and the list in it.
    pub(super) fn rows(
        &self,
        legend: &str,
        hint: &'static str,
        rows: Vec<(String, Vec<Field>, Option<Rows>)>,
    ) -> Rows {
        let count = rows.len();
        let rows = rows.into_iter().enumerate();
        let rows = rows.map(|(at, (called, fields, inner))| {
            let row = format!("{}[{at}]", self.list);
            let number = at + 1;
            let legend = match called.trim() {
                "" => format!("{} {number}", capital(self.noun)),
                called => format!("{} {number}: {called}", capital(self.noun)),
            };
            Row {
                id: id_of(&row),
                legend,
                fields,
                wrong: self.form.wrong_at(&row),
                acts: self.acts(at, count),
                inner,
            }
        });
        Rows {
            id: id_of(&self.list),
            legend: legend.to_owned(),
            hint,
            each: rows.collect(),
            wrong: self.form.wrong_at(&self.list),
            add: self.act(
                format!("add {}", self.list),
                format!("Add {}", self.noun),
                String::new(),
                &format!("{}[{count}]", self.list),
            ),
        }
    }

    fn acts(&self, at: usize, count: usize) -> Vec<Act> {
        let list = &self.list;
        let of = |verb: &str, words: &str, to: &str| {
            let label = format!("{words}: {} {}", self.noun, at + 1);
            self.act(format!("{verb} {list}[{at}]"), words.to_owned(), label, to)
        };
        let up = (at > 0).then(|| of("up", "Up", &format!("{list}[{}]", at - 1)));
        let down = (at + 1 < count).then(|| of("down", "Down", &format!("{list}[{}]", at + 1)));
        let remove = of("remove", "Remove", list);
        [up, down, Some(remove)].into_iter().flatten().collect()
    }

    fn act(&self, value: String, words: String, label: String, to: &str) -> Act {
        Act {
            value,
            words,
            label,
            to: format!("{}#{}", self.action, id_of(to)),
        }
    }
}

/// A word with a capital letter in front.
fn capital(word: &str) -> String {
    let mut letters = word.chars();
    let first = letters.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(letters).collect()
}

html_parts!(Rows);
