//! Small tables as CSV, whole in memory.

use csv::{Terminator, Writer, WriterBuilder};

use super::{Cell, harmless};

/// The byte order mark in front of a file.
pub const MARK: &str = "\u{feff}";

/// What writes CSV behind these bytes.
pub(super) fn writer(bytes: Vec<u8>) -> Writer<Vec<u8>> {
    let mut builder = WriterBuilder::new();
    builder.terminator(Terminator::CRLF).from_writer(bytes)
}

/// A whole file whose columns are not known beforehand.
pub fn sheet(headings: &[String], rows: &[Vec<String>]) -> Vec<u8> {
    let mut bytes = MARK.as_bytes().to_vec();
    bytes.extend(lines(
        std::iter::once(headings).chain(rows.iter().map(Vec::as_slice)),
    ));
    bytes
}

/// Rows of such a file.
///
/// # Panics
/// Never: memory takes whatever is written, and rows may be of any length.
pub fn lines<'a>(rows: impl IntoIterator<Item = &'a [String]>) -> Vec<u8> {
    let mut writer = WriterBuilder::new()
        .terminator(Terminator::CRLF)
        .flexible(true)
        .from_writer(Vec::new());
    for cells in rows {
        writer
            .write_record(cells.iter().map(|cell| harmless(cell).into_owned()))
            .expect("memory takes whatever is written, and rows may be of any length");
    }
    writer
        .into_inner()
        .expect("memory takes whatever is written")
}

/// A part of a CSV file whose rows have `N` cells.
pub struct Table<const N: usize> {
    writer: Writer<Vec<u8>>,
    rows: usize,
}

impl<const N: usize> Table<N> {
    /// A part that goes on where another ended.
    pub fn part() -> Self {
        Self {
            writer: writer(Vec::new()),
            rows: 0,
        }
    }

    /// The beginning of a file: the mark and the headings.
    pub fn beginning(headings: [&'static str; N]) -> Vec<u8> {
        let mut table = Self::part();
        table.row(headings.map(Cell::from));
        let mut bytes = MARK.as_bytes().to_vec();
        bytes.extend(table.into_bytes());
        bytes
    }

    /// Adds a row.
    ///
    /// # Panics
    /// Never: memory takes whatever is written, and every row has `N` cells.
    pub fn row(&mut self, cells: [Cell<'_>; N]) {
        self.rows += 1;
        self.writer
            .write_record(cells.iter().map(|cell| cell.harmless().into_owned()))
            .expect("memory takes whatever is written, and every row has N cells");
    }

    /// How many rows it has.
    pub fn rows(&self) -> usize {
        self.rows
    }

    /// The bytes of its rows.
    ///
    /// # Panics
    /// Never: memory takes whatever is written.
    pub fn into_bytes(self) -> Vec<u8> {
        self.writer
            .into_inner()
            .expect("memory takes whatever is written")
    }
}
