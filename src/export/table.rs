//! What every CSV file is written with, and tables that are whole in memory.

use csv::{Terminator, Writer, WriterBuilder};

use super::harmless;

/// The byte order mark in front of a file.
pub const MARK: &str = "\u{feff}";

/// What writes CSV behind these bytes.
pub(super) fn writer(bytes: Vec<u8>) -> Writer<Vec<u8>> {
    let mut builder = WriterBuilder::new();
    builder.terminator(Terminator::CRLF).from_writer(bytes)
}

/// A whole file whose columns are not known beforehand.
///
/// # Panics
/// Never: memory takes whatever is written, and rows may be of any length.
pub fn sheet(headings: &[String], rows: &[Vec<String>]) -> Vec<u8> {
    let mut writer = WriterBuilder::new()
        .terminator(Terminator::CRLF)
        .flexible(true)
        .from_writer(MARK.as_bytes().to_vec());
    for cells in std::iter::once(headings).chain(rows.iter().map(Vec::as_slice)) {
        writer
            .write_record(cells.iter().map(|cell| harmless(cell).into_owned()))
            .expect("memory takes whatever is written, and rows may be of any length");
    }
    writer
        .into_inner()
        .expect("memory takes whatever is written")
}
