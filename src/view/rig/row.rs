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
    /// Whether it is folded away below its name, and what is in it.
    fold: Option<Fold>,
}

/// What is folded away: its name, and whether it stands open.
#[derive(Clone, Debug)]
struct Fold {
    words: String,
    is_open: bool,
}

/// One row: its fields, and a list of rows inside it if it has one.
#[derive(Clone, Debug)]
pub(super) struct Row {
    id: String,
    legend: String,
    fields: Vec<Field>,
    /// Fields that few change, and their names.
    folded: Option<(Fold, Vec<Field>)>,
    /// Whether something is wrong in it.
    is_wrong: bool,
    /// What it is called; empty is that it is new.
    called: String,
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
                folded: None,
                is_wrong: self.form.is_wrong_in(&row),
                called: called.trim().to_owned(),
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
            fold: None,
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

impl Rows {
    /// Folded away below its name and what its rows are called; open where something is wrong in it, and where rows
    /// of the sheet are still without a name.
    pub(super) fn folded(mut self, is_open: bool) -> Self {
        let called: Vec<&str> = self.each.iter().map(|row| row.called.as_str()).collect();
        let called: Vec<&str> = called
            .into_iter()
            .filter(|called| !called.is_empty())
            .collect();
        let words = match (self.each.len(), called.as_slice()) {
            (0, _) => format!("{}: none", self.legend),
            (n, []) => format!("{}: {n}", self.legend),
            (_, called) => format!("{}: {}", self.legend, called.join(", ")),
        };
        let is_wrong = !self.wrong.is_empty() || self.each.iter().any(|row| row.is_wrong);
        let is_open = is_wrong || (is_open && !self.each.is_empty());
        self.fold = Some(Fold { words, is_open });
        self
    }

    /// Of each row the fields behind the first so many folded away under these words.
    pub(super) fn folding(mut self, first: usize, words: &str) -> Self {
        for row in &mut self.each {
            let fields = row.fields.split_off(first.min(row.fields.len()));
            let fold = Fold {
                words: words.to_owned(),
                is_open: row.is_wrong || row.called.is_empty(),
            };
            row.folded = Some((fold, fields));
        }
        self
    }

    /// Opens it where it is the list with this name, or the one that has it inside: `rope[0][path]` is in `rope`; and
    /// the row of this name.
    pub(super) fn open_at(&mut self, touched: &str) {
        let list = touched.split('[').next().unwrap_or(touched);
        if let Some(fold) = self.fold.as_mut().filter(|_| self.id == id_of(list)) {
            fold.is_open = true;
        }
        let row = id_of(touched);
        for (fold, _) in self
            .each
            .iter_mut()
            .filter(|one| one.id == row)
            .filter_map(|one| one.folded.as_mut())
        {
            fold.is_open = true;
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
