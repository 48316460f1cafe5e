//! What becomes of each row, what is wrong in it, and what a person should know.

use super::heading::{Column, shortened};

/// Something wrong in the file, with its place as a spreadsheet shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RowError {
    /// The row.
    pub row: u32,
    /// The column's letters, where one cell is to blame.
    pub column: Option<String>,
    /// The column's heading.
    pub heading: Option<String>,
    /// A stable word for programs.
    pub code: String,
    /// What is wrong and what to do.
    pub message: String,
}

impl RowError {
    pub(super) fn at(row: u32, column: &Column, code: &str, message: impl Into<String>) -> Self {
        Self {
            row,
            column: Some(column.letters()),
            heading: Some(shortened(&column.heading)),
            code: code.to_owned(),
            message: message.into(),
        }
    }

    pub(super) fn in_row(row: u32, code: &str, message: impl Into<String>) -> Self {
        Self {
            row,
            column: None,
            heading: None,
            code: code.to_owned(),
            message: message.into(),
        }
    }

    /// Row, column and heading in words.
    pub fn place(&self) -> String {
        match (&self.column, &self.heading) {
            (Some(column), Some(heading)) => {
                format!("row {}, column {column} ({heading})", self.row)
            }
            _ => format!("row {}", self.row),
        }
    }
}

/// What a remark is about, where it matters to what else is told.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum RemarkKind {
    /// Rows of which no date made is known.
    Unmade,
    /// Rows whose last inspection is taken as passed, since they are in service and the list gives no result.
    TakenAsFit,
    /// Something that is shown in the open: it was told from words that may mean something else, or people will hang on it.
    LookAt,
    /// Anything else.
    #[default]
    Other,
}

/// Something that a person should know before they say yes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remark {
    /// What it is about.
    pub kind: RemarkKind,
    /// The sentence.
    pub sentence: String,
    /// How many rows it is about.
    pub rows: usize,
    /// The first of them.
    pub first_row: u32,
    /// All of them; none where it is about a whole column.
    pub at: Vec<u32>,
}

/// What becomes of a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fate {
    /// A new item of a new model.
    NewModel,
    /// A new item of a model that the register has.
    KnownModel,
    /// The register has the item, and says the same of it.
    Same,
    /// The register has the item, and says something otherwise; it stays as it is there.
    Differs,
    /// The register has the item, and what the row says otherwise is taken over.
    Updated,
    /// Left out, as somebody said.
    LeftOut,
    /// Wrong in so many places.
    Wrong(usize),
    /// What the list says of its model is wrong, in this row or in another.
    ModelWrong,
    /// It waits for the answer to a question.
    Asked,
}

impl Fate {
    /// Whether the row becomes an item, or would if nothing stood in the way of the others.
    pub fn comes_in(self) -> bool {
        matches!(self, Self::NewModel | Self::KnownModel)
    }
}

/// How many items come in (or would, if nothing stood in the way of the others), and how many rows wait or do not.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// All rows below the headings; one that stands for several items is one.
    pub rows: usize,
    /// Items that come in.
    pub come_in: usize,
    /// Rows that wait for an answer.
    pub wait: usize,
    /// Rows that are refused for an error.
    pub refused: usize,
    /// Rows that are left out, as somebody said.
    pub left_out: usize,
    /// Items that are in the register already and stay as they are.
    pub there: usize,
    /// Items that are in the register already and are updated.
    pub updated: usize,
}

/// A row and what becomes of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RowFate {
    /// The row.
    pub row: u32,
    /// The item's mark.
    pub mark: String,
    /// Kind, maker and model in words.
    pub title: String,
    /// Where it will live.
    pub store: String,
    /// What becomes of it.
    pub fate: Fate,
    /// What it says otherwise than the register of an item that is there already.
    pub differs: Vec<Differs>,
}

/// Something that a row says otherwise than the register.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Differs {
    /// The field, in words.
    pub label: String,
    /// What the register says; may be empty.
    pub old: String,
    /// What the row says.
    pub new: String,
}

impl Differs {
    /// The field with both values: "Lot or batch: (nothing) → B-204".
    pub fn words(&self) -> String {
        let old = match self.old.as_str() {
            "" => "nothing",
            old => old,
        };
        format!("{}: {old} → {}", self.label, self.new)
    }
}
