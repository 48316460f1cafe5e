//! Rows as JSON Lines: an object a line, its members named by the columns.

use serde_json::{Value, json};

use super::{
    Cell, Column,
    rows::{Heading, Rest, Rows, RowsError},
};

/// A file of JSON Lines that is being written. Numbers are numbers, days and moments texts, and what is not there is
/// `null`. Each row has its `key`; the last line has one member, `end`.
pub(super) struct JsonLines {
    columns: Vec<Column>,
    by: Option<String>,
    text: String,
    rows: u64,
    last: Option<String>,
}

impl JsonLines {
    pub fn new(heading: Heading) -> Self {
        Self {
            columns: heading.columns,
            by: heading.by,
            text: String::new(),
            rows: 0,
            last: None,
        }
    }
}

fn push_member(text: &mut String, name: &str, value: Value) {
    if !text.ends_with('{') {
        text.push(',');
    }
    text.push_str(&Value::from(name).to_string());
    text.push(':');
    text.push_str(&value.to_string());
}

fn value(cell: &Cell<'_>) -> Value {
    match cell {
        cell if cell.is_nothing() => Value::Null,
        Cell::Number(number) => Value::Number(number.clone()),
        other => Value::from(other.word()),
    }
}

impl Rows for JsonLines {
    fn row(&mut self, cells: &[Cell<'_>], key: &str) -> Result<(), RowsError> {
        self.text.push('{');
        for (column, cell) in self.columns.iter().zip(cells) {
            push_member(&mut self.text, column.name, value(cell));
        }
        push_member(&mut self.text, "key", Value::from(key));
        self.text.push_str("}\n");
        self.rows += 1;
        self.last = Some(key.to_owned());
        Ok(())
    }

    fn taken(&mut self) -> Vec<u8> {
        std::mem::take(&mut self.text).into_bytes()
    }

    fn end(mut self: Box<Self>) -> Result<Rest, RowsError> {
        let mut end = json!({ "end": { "rows": self.rows, "key": self.last } });
        if let Some(by) = &self.by {
            end["end"]["taken_by"] = by.as_str().into();
        }
        self.text.push_str(&end.to_string());
        self.text.push('\n');
        Ok(Rest::Bytes(self.text.into_bytes()))
    }
}
