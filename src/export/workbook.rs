//! Rows as a workbook, written while they come: ISO/IEC 29500-1, 18.3, in a zip archive that is never sought in.
//!
//! Nothing of it is kept but the piece that is packed just now, so that memory stays the same however many rows there
//! are and no file is needed beside it. Texts stand in their cells, not in a list of all texts. Where a sheet is full the
//! rows go on in the next.

mod part;

use std::{
    fmt::Write as _,
    io::{self, Write},
    sync::{Arc, Mutex, PoisonError},
};

use zip::{
    CompressionMethod, ZipWriter,
    write::{SimpleFileOptions, StreamWriter},
};

use super::{
    Cell, Column,
    rows::{Heading, Rows, RowsError},
};

/// The most rows of a sheet, its headings among them: ISO/IEC 29500-1, 18.3.1.73, as every program reads it.
const MOST_ROWS: u32 = 1_048_576;
/// The most bytes of a sheet, so that its length fits into 32 bits of the archive.
const MOST_BYTES: u64 = 3 << 30;

/// What is packed and was not taken yet. The archive writes into it and never reads.
#[derive(Clone, Default)]
struct Packed(Arc<Mutex<Vec<u8>>>);

impl Packed {
    fn take(&self) -> Vec<u8> {
        std::mem::take(&mut *self.0.lock().unwrap_or_else(PoisonError::into_inner))
    }
}

impl Write for Packed {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let mut packed = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        packed.extend_from_slice(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

/// A workbook that is being written.
pub(super) struct Workbook {
    columns: &'static [Column],
    packed: Packed,
    archive: ZipWriter<StreamWriter<Packed>>,
    sheets: u32,
    /// The rows of the sheet that is written, with its headings.
    rows: u32,
    bytes: u64,
    /// The row that is put together.
    xml: String,
}

impl Workbook {
    pub fn new(heading: &Heading) -> Result<Self, RowsError> {
        let packed = Packed::default();
        let mut workbook = Self {
            columns: heading.columns,
            archive: ZipWriter::new_stream(packed.clone()),
            packed,
            sheets: 0,
            rows: 0,
            bytes: 0,
            xml: String::new(),
        };
        for (name, text) in part::BEGINNING {
            workbook.part(name, text)?;
        }
        workbook.begin_sheet()?;
        Ok(workbook)
    }

    fn begin_part(&mut self, name: &str) -> Result<(), RowsError> {
        let packed = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
        Ok(self.archive.start_file(name, packed)?)
    }

    fn part(&mut self, name: &str, text: &str) -> Result<(), RowsError> {
        self.begin_part(name)?;
        Ok(self.archive.write_all(text.as_bytes())?)
    }

    fn begin_sheet(&mut self) -> Result<(), RowsError> {
        self.sheets += 1;
        self.begin_part(&format!("xl/worksheets/sheet{}.xml", self.sheets))?;
        (self.rows, self.bytes) = (0, 0);
        self.xml.push_str(part::SHEET);
        let names = self.columns.iter().map(|column| column.name);
        let names: Vec<&str> = names.chain(["key"]).collect();
        self.begin_row();
        for (at, name) in names.into_iter().enumerate() {
            part::push_text(&mut self.xml, (at, self.rows), part::HEADING, name);
        }
        self.end_row()
    }

    fn begin_row(&mut self) {
        self.rows += 1;
        // Writing to a string does not fail.
        let _ = write!(self.xml, "<row r=\"{}\">", self.rows);
    }

    fn end_row(&mut self) -> Result<(), RowsError> {
        self.xml.push_str("</row>");
        self.archive.write_all(self.xml.as_bytes())?;
        self.bytes += self.xml.len() as u64;
        self.xml.clear();
        Ok(())
    }

    fn end_sheet(&mut self) -> Result<(), RowsError> {
        Ok(self.archive.write_all(part::SHEET_END.as_bytes())?)
    }
}

impl Rows for Workbook {
    fn row(&mut self, cells: &[Cell<'_>], key: &str) -> Result<(), RowsError> {
        if self.rows == MOST_ROWS || self.bytes > MOST_BYTES {
            self.end_sheet()?;
            self.begin_sheet()?;
        }
        self.begin_row();
        let key = Cell::from(key);
        for (at, cell) in cells.iter().chain([&key]).enumerate() {
            part::push(&mut self.xml, (at, self.rows), cell);
        }
        self.end_row()
    }

    fn taken(&mut self) -> Vec<u8> {
        self.packed.take()
    }

    fn end(mut self: Box<Self>) -> Result<Vec<u8>, RowsError> {
        self.end_sheet()?;
        let (sheets, links) = part::sheets(self.sheets);
        self.part("xl/workbook.xml", &sheets)?;
        self.part("xl/_rels/workbook.xml.rels", &links)?;
        self.archive.finish()?;
        Ok(self.packed.take())
    }
}

#[cfg(test)]
mod tests {
    use std::io::Cursor;

    use calamine::{Reader as _, Xlsx};
    use time::OffsetDateTime;

    use super::*;
    use crate::domain::{PaperSize, Team, TeamId, Zone};

    #[test]
    fn where_a_sheet_is_full_the_rows_go_on_in_the_next() {
        let heading = Heading {
            title: "Two sheets",
            columns: &[Column {
                name: "mark",
                paper: None,
            }],
            team: Team {
                id: TeamId::new(),
                name: "North".to_owned(),
                rulebook: "european".to_owned(),
                time_zone: Zone::UTC,
                return_by_two: false,
            },
            by: None,
            at: OffsetDateTime::UNIX_EPOCH,
            paper: PaperSize::A4,
        };
        let mut book = Box::new(Workbook::new(&heading).unwrap());
        book.row(&["P-1".into()], "1").unwrap();
        book.rows = MOST_ROWS;
        book.row(&["P-2".into()], "2").unwrap();
        book.bytes = MOST_BYTES + 1;
        book.row(&["P-3".into()], "3").unwrap();
        let mut book = Xlsx::new(Cursor::new((book as Box<dyn Rows>).end().unwrap())).unwrap();
        let sheets = book.worksheets();
        let marks = sheets.iter().map(|(_, sheet)| {
            let rows = sheet.rows().map(|row| row[0].to_string());
            rows.collect::<Vec<_>>()
        });
        let marks: Vec<_> = marks.collect();
        assert_eq!(marks, [["mark", "P-1"], ["mark", "P-2"], ["mark", "P-3"]]);
    }
}
