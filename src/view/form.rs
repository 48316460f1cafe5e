//! Ties a field of a form to its label, its hint and its errors.
//!
//! ```text
//! {{ form.line("serial", "Serial", draft.serial).hint("As it is marked on the item.").must() }}
//! {{ form.line("strength", "Strength", draft.strength).unit("kN") }}
//! {{ form.choice("role", "Role", draft.role, roles).must() }}
//! {{ form.note("reason", "Reason", draft.reason).must() }}
//! {{ form.tick("sure", "I have looked at the item", draft.sure) }}
//! ```
//!
//! What was typed stays, each error is read with its own field, and the first of them has the cursor.
//! The summary of all that is wrong stands above the fields and calls each by its label, which is
//! written below it. So a page on which something is wrong is written twice; the second time its
//! labels are known.

mod attribute;
mod written;

use std::borrow::Borrow;
use std::collections::BTreeSet;

use super::{
    part::html_parts,
    summary::{Labels, Summary},
};
use crate::domain::{FieldErrors, nested};

/// A form that is being shown, with what was wrong in it.
#[derive(Clone, Debug, Default)]
pub struct Form {
    wrong: FieldErrors,
    /// What did not happen because of it; empty is that nothing was saved.
    failed: &'static str,
    labels: Labels,
    /// What the names of its fields stand below; empty is nothing.
    below: String,
}

/// A key and its word.
pub type Choices = Vec<(String, String)>;

/// Choices below the heading of their group; without a heading they stand alone.
pub type Groups = Vec<(String, Choices)>;

impl Form {
    /// A form in which `wrong` was found; a new form has nothing wrong.
    pub fn new(wrong: &FieldErrors) -> Self {
        Self {
            wrong: wrong.clone(),
            failed: "",
            labels: Labels::default(),
            below: String::new(),
        }
    }

    /// The same form for a part of it: the names of its fields stand below `prefix`.
    #[must_use]
    pub fn below(&self, prefix: &str) -> Self {
        Self {
            below: prefix.to_owned(),
            ..self.clone()
        }
    }

    /// The same form where something else did not happen than that it was saved: "You are not signed in".
    #[must_use]
    pub fn failed(mut self, failed: &'static str) -> Self {
        self.failed = failed;
        self
    }

    /// Whether something is wrong with what has this name, or with anything in it.
    pub(super) fn is_wrong_in(&self, name: &str) -> bool {
        let mut fields = self.wrong.0.iter().map(|error| error.field.as_str());
        fields.any(|field| {
            field
                .strip_prefix(name)
                .is_some_and(|rest| rest.is_empty() || rest.starts_with('['))
        })
    }

    /// One line of text.
    pub fn line(&self, name: &str, label: &str, value: &str) -> Field {
        self.field(Kind::Line("text"), name, label, value)
    }

    /// One line of a certain kind that the browser knows: `date`, `search`, `datetime-local`.
    pub fn typed(&self, kind: &'static str, name: &str, label: &str, value: &str) -> Field {
        self.field(Kind::Line(kind), name, label, value)
    }

    /// A number as people write it: with point or comma, so the browser is not asked to judge it.
    pub fn number(&self, name: &str, label: &str, value: &str) -> Field {
        self.line(name, label, value)
            .attribute(" inputmode=\"decimal\"")
    }

    /// A password; what was typed is not given back.
    pub fn password(&self, name: &str, label: &str, purpose: &'static str) -> Field {
        let mut field = self.field(Kind::Line("password"), name, label, "");
        field.keeps_value = false;
        field.autocomplete(purpose)
    }

    /// Several lines of text.
    pub fn note(&self, name: &str, label: &str, value: &str) -> Field {
        self.field(Kind::Note, name, label, value)
    }

    /// One of several.
    pub fn choice(
        &self,
        name: &str,
        label: &str,
        value: &str,
        choices: impl Borrow<Choices>,
    ) -> Field {
        self.field(Kind::Choice(choices.borrow().clone()), name, label, value)
            .must()
    }

    /// One of a few, each in sight; none is chosen before somebody chooses.
    pub fn radios(
        &self,
        name: &str,
        label: &str,
        value: &str,
        choices: impl Borrow<Choices>,
    ) -> Field {
        self.field(Kind::Radios(choices.borrow().clone()), name, label, value)
    }

    /// One of many, in groups.
    pub fn grouped(&self, name: &str, label: &str, value: &str, groups: Groups) -> Field {
        self.field(Kind::Grouped(groups), name, label, value).must()
    }

    /// Yes or no; the form sends `yes` or nothing.
    pub fn tick(&self, name: &str, label: &str, ticked: impl Borrow<bool>) -> Field {
        self.field(
            Kind::Tick,
            name,
            label,
            if *ticked.borrow() { "yes" } else { "" },
        )
    }

    /// Yes of just this text: the form sends it, or nothing.
    pub fn tick_of(&self, name: &str, label: &str, of: &str, ticked: impl Borrow<bool>) -> Field {
        let mut field = self.tick(name, label, ticked);
        of.clone_into(&mut field.sends);
        field
    }

    /// A file.
    pub fn file(&self, name: &str, label: &str) -> Field {
        let mut field = self.field(Kind::Line("file"), name, label, "");
        field.keeps_value = false;
        field
    }

    /// All that is wrong, on top of the form; nothing if nothing is.
    pub fn summary(&self) -> Summary {
        Summary {
            failed: match self.failed {
                "" => "Nothing was saved",
                failed => failed,
            },
            lines: self
                .wrong
                .0
                .iter()
                .map(|error| (format!("#{}", id_of(&error.field)), self.labels.said(error)))
                .collect(),
            mends: self.wrong.0.iter().find_map(|error| mends(&error.code)),
        }
    }

    /// Whether anything in it is wrong.
    pub fn is_wrong(&self) -> bool {
        !self.wrong.is_empty()
    }

    /// What is wrong with a part of the form that is no field: a row, a list.
    pub fn wrong_at(&self, name: &str) -> Vec<String> {
        self.wrong.on(name).map(str::to_owned).collect()
    }

    fn field(&self, kind: Kind, name: &str, label: &str, value: &str) -> Field {
        let name = &match self.below.as_str() {
            "" => name.to_owned(),
            below => nested(below, name),
        };
        let messages = self.wrong_at(name);
        if !messages.is_empty() {
            self.labels.note(name, label);
        }
        let first = self.wrong.0.first();
        let first = first.is_some_and(|error| error.field == *name);
        Field {
            kind,
            id: id_of(name),
            name: name.clone(),
            label: label.to_owned(),
            value: value.to_owned(),
            hint: String::new(),
            unit: String::new(),
            attributes: String::new(),
            messages,
            must: false,
            may: "may be empty",
            wide: false,
            only: String::new(),
            first,
            keeps_value: true,
            sends: "yes".to_owned(),
            rows: 4,
        }
    }
}

/// The page on which what a code says is mended, if it is another one than the form's.
fn mends(code: &str) -> Option<(&'static str, &'static str)> {
    match code {
        "competence" => Some(("/competence", "Competent people")),
        _ => None,
    }
}

/// The id of the field called `name`; `ratings[0].value` is `f-ratings-0-value`.
pub(super) fn id_of(name: &str) -> String {
    let mut id = String::from("f");
    for part in name.split(|c: char| !c.is_ascii_alphanumeric() && c != '_') {
        if !part.is_empty() {
            id.push('-');
            id.push_str(part);
        }
    }
    id
}

#[derive(Clone, Debug, PartialEq, Eq)]
enum Kind {
    Line(&'static str),
    Note,
    Choice(Choices),
    Radios(Choices),
    Grouped(Groups),
    Tick,
}

/// A label, a hint, an input and its errors.
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a mark of its own, set by a method of its own name"
)]
#[derive(Clone, Debug)]
pub struct Field {
    kind: Kind,
    id: String,
    name: String,
    label: String,
    value: String,
    hint: String,
    unit: String,
    /// Written as they stand; only from names and words of this file and its callers' code.
    attributes: String,
    messages: Vec<String>,
    must: bool,
    /// What is said where it need not be filled.
    may: &'static str,
    wide: bool,
    /// The marks of what the field belongs to, for the style; only from words of code.
    only: String,
    first: bool,
    keeps_value: bool,
    /// What a ticked box sends.
    sends: String,
    rows: u8,
}

impl Field {
    /// Says below the label what to write.
    #[must_use]
    pub fn hint(mut self, hint: &str) -> Self {
        hint.clone_into(&mut self.hint);
        self
    }

    /// Says below the label what to write only where no field before it did; `told` has what was said.
    #[must_use]
    pub fn hint_once(mut self, told: &mut BTreeSet<String>) -> Self {
        if !self.hint.is_empty() && !told.insert(self.hint.clone()) {
            self.hint.clear();
        }
        self
    }

    /// Must not be left empty. The server checks; the browser is not asked to, so that all
    /// fields are named at once.
    #[must_use]
    pub fn must(mut self) -> Self {
        self.must = true;
        self
    }

    /// Has the cursor when the page is opened.
    #[must_use]
    pub fn focused(mut self) -> Self {
        self.first = true;
        self
    }

    /// Leaves the cursor alone though something is wrong with it: the form is shown for its looks.
    #[must_use]
    pub fn unfocused(mut self) -> Self {
        self.first = false;
        self
    }

    /// Must be there only where something else is answered in a certain way, which these words say: "needed for a fail".
    #[must_use]
    pub fn needed(mut self, words: &'static str) -> Self {
        self.may = words;
        self
    }

    /// May be left as it is, though it is a choice.
    #[must_use]
    pub fn may(mut self) -> Self {
        self.must = false;
        self
    }

    /// Tells with the field what of it was kept and does not hold: nothing was refused for it.
    #[must_use]
    pub fn told(mut self, messages: impl IntoIterator<Item = String>) -> Self {
        self.messages.extend(messages);
        self
    }

    /// Whether it has this name.
    pub fn is_called(&self, name: &str) -> bool {
        self.name == name
    }

    /// Whether it is a box to tick.
    pub fn is_tick(&self) -> bool {
        self.kind == Kind::Tick
    }

    /// Whether anything is told against what stands in it.
    pub fn is_wrong(&self) -> bool {
        !self.messages.is_empty()
    }

    /// The unit behind the number.
    #[must_use]
    pub fn unit(mut self, unit: &str) -> Self {
        unit.clone_into(&mut self.unit);
        self
    }

    /// Takes more room in a row of fields.
    #[must_use]
    pub fn wide(mut self) -> Self {
        self.wide = true;
        self
    }

    /// Belongs only to some of what its row may be, blanks between: the style hides it for all else.
    #[must_use]
    pub fn only(mut self, of: &'static str) -> Self {
        self.only = format!(" of-{}", of.replace(' ', " of-"));
        self
    }

    /// How many lines a note shows.
    #[must_use]
    pub fn rows(mut self, rows: u8) -> Self {
        self.rows = rows;
        self
    }

    /// Whether something stands in it, be it right or wrong.
    pub fn is_filled(&self) -> bool {
        !self.value.is_empty() || !self.messages.is_empty()
    }
}

html_parts!(Field);
