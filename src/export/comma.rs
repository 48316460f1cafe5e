//! Rows as CSV.

use csv::{ByteRecord, Writer};

use super::{
    Cell, MARK,
    rows::{Heading, Rest, Rows, RowsError},
    table::writer,
};

/// Behind the columns of the table: the key of the row, and how many rows there are in the last of them.
const BEHIND: [&str; 2] = ["key", "end"];

/// Behind them, where nobody of the team takes the file along: who does, in the last row.
const TAKEN_BY: &str = "taken_by";

/// A CSV file that is being written. The last row is held back until it is known whether another comes. A file without
/// rows has one all the same, in which nothing stands but that it has none.
pub(super) struct Commas {
    writer: Writer<Vec<u8>>,
    held: Option<ByteRecord>,
    rows: u64,
    columns: usize,
    by: Option<String>,
}

impl Commas {
    pub fn new(heading: &Heading) -> Self {
        let mut commas = Self {
            writer: writer(MARK.as_bytes().to_vec()),
            held: None,
            rows: 0,
            columns: heading.columns.len(),
            by: heading.by.clone(),
        };
        let names = heading.columns.iter().map(|column| column.name);
        let taken_by = commas.by.as_ref().map(|_| TAKEN_BY);
        let names = names.chain(BEHIND).chain(taken_by).collect();
        commas.write(&names);
        commas
    }

    fn write(&mut self, record: &ByteRecord) {
        self.writer
            .write_byte_record(record)
            .expect("memory takes whatever is written, and every row has a cell for each column");
    }

    /// Writes the row that was held back, with this in the cell of the end.
    fn let_go(&mut self, end: &str) {
        if let Some(mut record) = self.held.take() {
            record.push_field(end.as_bytes());
            if let Some(by) = &self.by {
                let by = if end.is_empty() { "" } else { by.as_str() };
                record.push_field(Cell::from(by).harmless().as_bytes());
            }
            self.write(&record);
        }
    }

    fn bytes(writer: Writer<Vec<u8>>) -> Vec<u8> {
        writer
            .into_inner()
            .expect("memory takes whatever is written")
    }
}

impl Rows for Commas {
    fn row(&mut self, cells: &[Cell<'_>], key: &str) -> Result<(), RowsError> {
        self.let_go("");
        let key = Cell::from(key);
        let cells = cells.iter().chain([&key]).map(Cell::harmless);
        let mut record = ByteRecord::new();
        cells.for_each(|cell| record.push_field(cell.as_bytes()));
        self.held = Some(record);
        self.rows += 1;
        Ok(())
    }

    fn taken(&mut self) -> Vec<u8> {
        Self::bytes(std::mem::replace(&mut self.writer, writer(Vec::new())))
    }

    fn end(mut self: Box<Self>) -> Result<Rest, RowsError> {
        let rows = self.rows.to_string();
        if self.held.is_none() {
            // With its key.
            self.held = Some(std::iter::repeat_n("", self.columns + 1).collect());
        }
        self.let_go(&rows);
        Ok(Rest::Bytes(Self::bytes(self.writer)))
    }
}
