//! Why a file as a whole cannot be taken in, and the limits it is held to.

use thiserror::Error;

/// The largest file, in bytes.
pub const LARGEST_FILE: usize = 20 * 1024 * 1024;
/// The most that the parts of a workbook may come to when they are inflated, in bytes.
pub const LARGEST_INFLATED: u64 = 100 * 1024 * 1024;
/// The most rows below the headings.
pub const MOST_ROWS: usize = 50_000;
/// The most columns.
pub const MOST_COLUMNS: usize = 200;
/// The most characters in one cell.
pub const LONGEST_CELL: usize = 4_000;
/// The most cells that hold something.
pub const MOST_CELLS: usize = 2_000_000;

/// A size in megabytes, with one digit behind the point.
pub(super) fn megabytes(bytes: u64) -> String {
    let tenths = bytes.saturating_mul(10).div_ceil(1024 * 1024);
    format!("{}.{} MB", tenths / 10, tenths % 10)
}

impl ImportFailure {
    /// Why a file of so many bytes is not read.
    pub fn too_large(bytes: u64) -> Self {
        Self::TooLarge {
            given: megabytes(bytes),
        }
    }
}

/// Why a file cannot be read at all, or its headings not be used. Nothing of it is taken in.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum ImportFailure {
    /// Nothing in it.
    #[error("The file is empty. Choose a file with a line of headings and a row for each item.")]
    Empty,
    /// Beyond the limit.
    #[error("A file may have {limit} MB at most; this one has {given}. Split it, or take out pictures and unused sheets.", limit = LARGEST_FILE / (1024 * 1024))]
    TooLarge {
        /// What was given, in words.
        given: String,
    },
    /// The ending of the name is none that is read.
    #[error(
        "A file named \"{name}\" cannot be read. Save the list as .csv or .xlsx and choose that."
    )]
    Ending {
        /// The file's name.
        name: String,
    },
    /// The name says one thing and the content another.
    #[error(
        "The name \"{name}\" says {says}, but the content is {is}. Save it anew from the spreadsheet, or give it the right ending."
    )]
    NotWhatItSays {
        /// The file's name.
        name: String,
        /// What the name says.
        says: &'static str,
        /// What the content is.
        is: &'static str,
    },
    /// Neither text nor a workbook.
    #[error(
        "The file is neither text nor a workbook. Save the list as .csv or .xlsx and choose that."
    )]
    NotText,
    /// Two encodings in one text.
    #[error(
        "The text is UTF-8, but for letters written in another encoding in line {lines}: read as either, it would get other names. Write those letters anew, or save the whole list as UTF-8."
    )]
    Mixed {
        /// The lines.
        lines: String,
    },
    /// The workbook of an older or another kind.
    #[error("The file is {is}, which is not read here. Save it as .xlsx or .csv.")]
    OtherWorkbook {
        /// What it is.
        is: &'static str,
    },
    /// Encrypted.
    #[error(
        "The workbook is protected by a password. Save a copy without a password and choose that."
    )]
    Encrypted,
    /// Damaged.
    #[error("The workbook is damaged: {why}. Open it in a spreadsheet and save it anew.")]
    Broken {
        /// What is wrong with it.
        why: String,
    },
    /// It blows up.
    #[error("Unpacked, a workbook may come to {limit} MB at most; this one {given}. Copy the list alone into a new workbook.", limit = LARGEST_INFLATED / (1024 * 1024))]
    Bomb {
        /// What was found, in words.
        given: String,
    },
    /// Too many parts.
    #[error(
        "A workbook may have 2000 parts at most; this one has {given}. Copy the list alone into a new workbook."
    )]
    Parts {
        /// How many.
        given: usize,
    },
    /// The sheet is not there.
    #[error("The workbook has no sheet \"{name}\". It has: {sheets}.")]
    NoSheet {
        /// What was asked for.
        name: String,
        /// What there is.
        sheets: String,
    },
    /// A sheet was named, but the file has none.
    #[error("The file is a plain list without sheets; leave the sheet's name away.")]
    NoSheets,
    /// A quotation mark takes rows into one cell.
    #[error(
        "In row {row} a quotation mark opens a cell that goes on over the rows below: {begins}. Close it where the cell ends, or take the mark out; nothing of the file is taken in while rows would be lost in it."
    )]
    Swallowed {
        /// The row.
        row: u32,
        /// How the cell begins.
        begins: String,
    },
    /// Too many rows.
    #[error("A file may have {MOST_ROWS} rows at most; this one goes on in row {row}. Split it.")]
    Rows {
        /// The row beyond the limit.
        row: u32,
    },
    /// Too many columns.
    #[error(
        "A file may have {MOST_COLUMNS} columns at most; row {row} has a cell in column {column}. Take out what lies beyond."
    )]
    Columns {
        /// The row.
        row: u32,
        /// The column's letters.
        column: String,
    },
    /// A cell that is too long.
    #[error(
        "A cell may have {LONGEST_CELL} characters at most; row {row}, column {column} has {given}. Shorten it; in a text file, look for a quotation mark that is not closed."
    )]
    Long {
        /// The row.
        row: u32,
        /// The column's letters.
        column: String,
        /// How many.
        given: usize,
    },
    /// Too much in all.
    #[error(
        "A file may have {MOST_CELLS} filled cells at most, and 100 MB of text in them; this one has more by row {row}. Split it."
    )]
    Cells {
        /// The row at which the limit was reached.
        row: u32,
    },
    /// A quotation mark is never closed, or the like.
    #[error("The text cannot be split into rows and cells: {why}.")]
    Torn {
        /// What is wrong.
        why: String,
    },
    /// Headings and nothing below.
    #[error(
        "The last row of the list is row {row}, \"{met}\". It is taken for the headings, and there is no row below it. Add a row for each item, or choose another file."
    )]
    NoRows {
        /// The headings' row.
        row: u32,
        /// What stands in it.
        met: String,
    },
    /// The same heading twice.
    #[error(
        "The heading \"{heading}\" stands in column {first} and in column {second}. Give each column its own heading."
    )]
    SameHeading {
        /// The heading.
        heading: String,
        /// The first column's letters.
        first: String,
        /// The second column's letters.
        second: String,
    },
    /// A mapping names a heading that is not there.
    #[error("There is no heading \"{heading}\" to map. The headings are: {headings}.")]
    NoHeading {
        /// What was named.
        heading: String,
        /// What there is.
        headings: String,
    },
    /// The heading names one unit and an answer another.
    #[error(
        "The heading \"{heading}\" says {unit} itself, but {said} was said. Take the answer back, or change the heading."
    )]
    OtherUnit {
        /// The heading.
        heading: String,
        /// Its unit.
        unit: &'static str,
        /// What was said.
        said: &'static str,
    },
}
