//! Readers of files of rows that share nothing with what wrote them: Python with its own library, and calamine.

use std::{
    io::{Cursor, Write as _},
    path::Path,
    process::Command,
};

use calamine::{Data, Reader as _, Xlsx};
use ropeloft::export::typed;
use serde_json::Value;

const NO_READER: &str = "
*******************************************************************************
*  FILES OF ROWS WERE NOT READ BY A PROGRAM APART: it takes Python 3 here.    *
*  Install it, or name one: TEST_PYTHON=/path/to/python                       *
*  With CI=true this fails.                                                   *
*******************************************************************************
";

/// What a file holds: cells in words, what is typed as it was typed; how many rows it says it has, where it says so.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Held {
    pub headings: Vec<String>,
    pub rows: Vec<Vec<String>>,
    pub end: Option<u64>,
}

impl Held {
    /// A column by its heading.
    pub fn column(&self, name: &str) -> Vec<&str> {
        let at = self.headings.iter().position(|heading| heading == name);
        let at = at.unwrap_or_else(|| panic!("no {name} among {:?}", self.headings));
        self.rows.iter().map(|row| row[at].as_str()).collect()
    }
}

fn words(value: &Value) -> String {
    match value {
        Value::Null => String::new(),
        Value::String(text) => text.clone(),
        other => other.to_string(),
    }
}

/// What Python reads in a file of this form; none if there is no Python, which has then been said.
pub fn apart(form: &str, file: &[u8]) -> Option<Held> {
    let python = std::env::var_os("TEST_PYTHON").unwrap_or_else(|| "python3".into());
    let there = Command::new(&python).arg("--version").output();
    if !there.is_ok_and(|there| there.status.success()) {
        // Not by print: that is held back while a test passes.
        std::io::stderr().write_all(NO_READER.as_bytes()).unwrap();
        let ci = std::env::var("CI").is_ok_and(|ci| ci == "true");
        assert!(!ci, "{NO_READER}");
        return None;
    }
    let mut kept = tempfile::NamedTempFile::new().unwrap();
    kept.write_all(file).unwrap();
    let program = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/read_rows.py");
    let done = Command::new(python)
        .arg(program)
        .arg(form)
        .arg(kept.path())
        .output();
    let done = done.unwrap();
    assert!(
        done.status.success(),
        "{form}: {}",
        String::from_utf8_lossy(&done.stderr)
    );
    let read: Value = serde_json::from_slice(&done.stdout).unwrap();
    let list = |value: &Value| value.as_array().unwrap().iter().map(words).collect();
    Some(Held {
        headings: list(&read["headings"]),
        rows: read["rows"].as_array().unwrap().iter().map(list).collect(),
        end: read["end"].as_u64(),
    })
}

/// The cells of the first sheet of a workbook, as calamine reads them.
pub fn cells(file: &[u8]) -> Vec<Vec<Data>> {
    let mut book = Xlsx::new(Cursor::new(file.to_vec())).unwrap();
    let name = book.sheet_names()[0].clone();
    let formulas = book.worksheet_formula(&name).unwrap();
    assert!(formulas.is_empty(), "{formulas:?}");
    let sheet = book.worksheet_range(&name).unwrap();
    sheet.rows().map(<[Data]>::to_vec).collect()
}

/// What calamine reads in a workbook, in words.
pub fn of_workbook(file: &[u8]) -> Held {
    let word = |cell: &Data| match cell {
        Data::DateTime(at) => {
            let (year, month, day, hour, minute, second, _) = at.to_ymd_hms_milli();
            let date = format!("{year}-{month:02}-{day:02}");
            if at.as_f64().fract() == 0.0 {
                date
            } else {
                format!("{date}T{hour:02}:{minute:02}:{second:02}Z")
            }
        }
        Data::String(text) => typed(text).into_owned(),
        other => other.to_string(),
    };
    let mut rows: Vec<Vec<String>> = cells(file)
        .iter()
        .map(|row| row.iter().map(word).collect())
        .collect();
    let headings = rows.remove(0);
    Held {
        headings,
        end: Some(rows.len() as u64),
        rows,
    }
}
