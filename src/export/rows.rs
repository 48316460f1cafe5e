//! Rows that are written into a file of one form, a page of them at a time.
//!
//! What is written is told once: its [`Column`]s, and the [`Cell`]s of each row. Every row has a key behind it; whoever
//! holds a part of a file asks for the rest by the key of the last row there. How each form tells a whole file from one
//! that was cut:
//!
//! * CSV: the column `end` is empty in every row but the last, where it holds how many rows the file has; a file without
//!   rows has one in which nothing else stands;
//! * JSON Lines: the last line has one member, `end`, with the number of rows and the key of the last;
//! * XLSX and PDF: a file that was cut cannot be opened.
//!
//! Who takes a file along and is nobody of the team is told in it: behind `end` in the last row of CSV, in the last line of
//! JSON Lines, on a sheet of its own of XLSX and on each page of a PDF.

use std::{fs::File, path::PathBuf};

use rust_xlsxwriter::XlsxError;
use time::OffsetDateTime;

use super::{
    Cell, Column, FileForm,
    comma::Commas,
    json_line::JsonLines,
    paper::{PaperError, listing::Listing},
    workbook::Workbook,
};
use crate::domain::{PaperSize, Team};

/// What a file is about.
#[derive(Clone, Debug)]
pub struct Heading {
    /// Its title, such as `Register of items`.
    pub title: String,
    /// What is said above the rows where there is room for it, on paper: a sentence each.
    pub told: Vec<String>,
    /// Its columns.
    pub columns: Vec<Column>,
    /// Whose it is.
    pub team: Team,
    /// Who takes it along, where that is nobody of the team.
    pub by: Option<String>,
    /// When it is written.
    pub at: OffsetDateTime,
    /// On what it is printed.
    pub paper: PaperSize,
}

/// Why rows cannot be written.
#[derive(Debug, thiserror::Error)]
pub enum RowsError {
    /// The form has no room for so many.
    #[error("a {} takes at most {most} rows", form.word())]
    TooMany {
        /// The form.
        form: FileForm,
        /// The most rows.
        most: usize,
    },
    /// It cannot be laid out.
    #[error(transparent)]
    Paper(#[from] PaperError),
    /// The workbook cannot be put together.
    #[error("the workbook cannot be put together")]
    Workbook(#[source] XlsxError),
    /// There is no room for the temporary files that a workbook takes.
    #[error(
        "a workbook takes temporary files, and {} takes none or has no room for them: set TMPDIR to a folder that takes them",
        folder.display()
    )]
    NoRoom {
        /// The folder.
        folder: PathBuf,
        /// What is wrong with it.
        source: std::io::Error,
    },
}

/// The rest of a file.
#[derive(Debug)]
pub enum Rest {
    /// These bytes.
    Bytes(Vec<u8>),
    /// What stands in a file without a name, which is gone when it is let go of.
    File(File),
}

/// A file that is being written.
pub trait Rows: Send {
    /// Adds a row. `key` names it: what comes behind it can be asked for.
    ///
    /// # Errors
    /// [`RowsError::TooMany`] if the form has no room for it.
    fn row(&mut self, cells: &[Cell<'_>], key: &str) -> Result<(), RowsError>;

    /// Takes what is written so far and goes on behind it.
    fn taken(&mut self) -> Vec<u8>;

    /// The end of the file, behind what was taken.
    ///
    /// # Errors
    /// If the file cannot be put together.
    fn end(self: Box<Self>) -> Result<Rest, RowsError>;
}

/// Begins a file.
///
/// # Errors
/// If it cannot be begun.
pub fn begin(form: FileForm, heading: Heading) -> Result<Box<dyn Rows>, RowsError> {
    Ok(match form {
        FileForm::Csv => Box::new(Commas::new(&heading)),
        FileForm::JsonLines => Box::new(JsonLines::new(heading)),
        FileForm::Xlsx => Box::new(Workbook::new(heading)?),
        FileForm::Pdf => Box::new(Listing::new(heading)),
    })
}
