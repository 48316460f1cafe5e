//! Rows as CSV.

use csv::{ByteRecord, Writer};

use super::{
    Cell, MARK,
    rows::{Heading, Rest, Rows, RowsError},
    table::writer,
};

/// Behind the columns of the table: the key of the row, and how many rows there are in the last of them.
const BEHIND: [&str; 2] = ["key", "end"];

/// A CSV file that is being written. The last row is held back until it is known whether another comes.
pub(super) struct Commas {
    writer: Writer<Vec<u8>>,
    held: Option<ByteRecord>,
    rows: u64,
}

impl Commas {
    pub fn new(heading: &Heading) -> Self {
        let mut commas = Self {
            writer: writer(MARK.as_bytes().to_vec()),
            held: None,
            rows: 0,
        };
        let names = heading.columns.iter().map(|column| column.name);
        commas.write(&names.chain(BEHIND).collect());
        commas
    }

    fn write(&mut self, record: &ByteRecord) {
        self.writer
            .write_byte_record(record)
            .expect("memory takes whatever is written, and every row has a cell for each column");
    }

    /// Writes the row that was held back, with this in its last cell.
    fn let_go(&mut self, end: &str) {
        if let Some(mut record) = self.held.take() {
            record.push_field(end.as_bytes());
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
        self.let_go(&rows);
        Ok(Rest::Bytes(Self::bytes(self.writer)))
    }
}
