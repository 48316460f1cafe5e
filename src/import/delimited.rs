//! Text files with a character between the cells.

use std::ops::Range;

use encoding_rs::{Encoding, UTF_8, UTF_16BE, UTF_16LE, WINDOWS_1252};

use super::failure::ImportFailure;
use super::heading::{recognised_in, shortened};
use super::table::{Cell, Filling, Table};
use crate::domain::cell::typed;

/// How many rows at the top are looked at to find the separator.
const ROWS_LOOKED_AT: u64 = 20;

/// Stands in a row of its own behind the last one.
const END: char = '\u{3}';

/// What stands between the cells.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Separator {
    Comma,
    Semicolon,
    Tab,
}

impl Separator {
    const ALL: [Self; 3] = [Self::Comma, Self::Semicolon, Self::Tab];

    fn byte(self) -> u8 {
        match self {
            Self::Comma => b',',
            Self::Semicolon => b';',
            Self::Tab => b'\t',
        }
    }

    fn words(self) -> &'static str {
        match self {
            Self::Comma => "commas",
            Self::Semicolon => "semicolons",
            Self::Tab => "tabs",
        }
    }
}

pub(super) fn read(bytes: &[u8], sheet: Option<&str>) -> Result<Table, ImportFailure> {
    if sheet.is_some() {
        return Err(ImportFailure::NoSheets);
    }
    let (text, encoding) = decode(bytes)?;
    if text.trim().is_empty() {
        return Err(ImportFailure::Empty);
    }
    // One kind of line end, so that rows can be counted as a spreadsheet counts them.
    let mut text = text.replace("\r\n", "\n").replace('\r', "\n");
    if !text.ends_with('\n') {
        text.push('\n');
    }
    let (declared, skip) = declared(&text);
    let separator = declared.unwrap_or_else(|| find_separator(&text));
    let mut filling = Filling::new();
    // No cell holds a control character: where the last row is not this one, a quotation mark before it is still open.
    text.push(END);
    split(&text, separator, skip..u64::MAX, &mut filling)?;
    Ok(Table {
        rows: filling.rows()?,
        sheet: None,
        sheets: Vec::new(),
        read_as: format!("{encoding}, cells between {}", separator.words()),
    })
}

/// The text and the name of its encoding: by its mark, else UTF-8 if it is such, else Windows-1252.
fn decode(bytes: &[u8]) -> Result<(String, &'static str), ImportFailure> {
    let marked = Encoding::for_bom(bytes).map(|(encoding, _)| encoding);
    let encoding = match marked {
        Some(encoding) => encoding,
        None if std::str::from_utf8(bytes).is_ok() => UTF_8,
        None => {
            not_mixed(bytes)?;
            WINDOWS_1252
        }
    };
    let (text, _, faulty) = encoding.decode(bytes);
    let binary = |c: char| c.is_control() && !matches!(c, '\n' | '\r' | '\t' | '\u{c}' | '\u{85}');
    if faulty || text.chars().any(binary) {
        return Err(ImportFailure::NotText);
    }
    let name = match encoding {
        e if e == UTF_8 => "UTF-8",
        e if e == UTF_16LE || e == UTF_16BE => "UTF-16",
        _ => "Windows-1252",
    };
    Ok((text.into_owned(), name))
}

/// Refuses a text that is UTF-8 but for some bytes: read as either it would change letters of names without a word.
///
/// Windows-1252 has no letters beside each other that read as a Latin letter of UTF-8 (`Ã¼`) in any word; signs beside a
/// letter may read as one of another alphabet, and are few among its own.
fn not_mixed(bytes: &[u8]) -> Result<(), ImportFailure> {
    /// How many lines are told.
    const MOST: usize = 5;
    let (mut line, mut latin, mut others, mut strange) = (1, 0, 0, 0);
    let mut lines: Vec<String> = Vec::new();
    for chunk in bytes.utf8_chunks() {
        for c in chunk.valid().chars() {
            match c {
                '\n' => line += 1,
                '\u{80}'..='\u{17f}' => latin += 1,
                c if !c.is_ascii() => others += 1,
                _ => {}
            }
        }
        if chunk.invalid().is_empty() {
            continue;
        }
        strange += 1;
        let told = line.to_string();
        if lines.last() != Some(&told) {
            lines.push(told);
        }
    }
    if latin == 0 && others < strange {
        return Ok(());
    }
    let more = match lines.len().saturating_sub(MOST) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    lines.truncate(MOST);
    Err(ImportFailure::Mixed {
        lines: lines.join(", ") + &more,
    })
}

/// A first line such as `sep=;`, which spreadsheets write and read, and how many rows it takes.
fn declared(text: &str) -> (Option<Separator>, u64) {
    let line = text.lines().next().unwrap_or_default();
    let Some(mark) = line.strip_prefix("sep=").filter(|mark| mark.len() == 1) else {
        return (None, 0);
    };
    let found = Separator::ALL
        .into_iter()
        .find(|separator| separator.byte() == mark.as_bytes()[0]);
    (found, u64::from(found.is_some()))
}

/// The separator under which a row shows the most known headings; else the one that splits most.
fn find_separator(text: &str) -> Separator {
    let mut best = (0, 0, Separator::Comma);
    for separator in Separator::ALL {
        let mut filling = Filling::new();
        // What goes against a limit here does so again when the file is read; what came before it counts.
        let _ = split(text, separator, 0..ROWS_LOOKED_AT, &mut filling);
        let rows = filling.rows().unwrap_or_default();
        let known = rows.iter().map(recognised_in).max().unwrap_or(0);
        let cells = rows.iter().map(|row| row.cells.len()).max().unwrap_or(0);
        if (known, cells) > (best.0, best.1) {
            best = (known, cells, separator);
        }
    }
    best.2
}

/// Puts the rows in a range, counted from 0, into a table.
fn split(
    text: &str,
    separator: Separator,
    wanted: Range<u64>,
    filling: &mut Filling,
) -> Result<(), ImportFailure> {
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(separator.byte())
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes());
    let mut record = csv::StringRecord::new();
    // Line ends inside quotation marks so far: a row of a spreadsheet may be several lines of the file.
    let (mut inside, mut widest) = (0, 0);
    loop {
        let more = reader.read_record(&mut record).map_err(torn)?;
        let here: u64 = record
            .iter()
            .map(|cell| cell.matches('\n').count() as u64)
            .sum();
        // The reader stands behind the line end of the record, and counts lines from 1.
        let row = reader.position().line().saturating_sub(2 + here + inside);
        inside += here;
        if !more || row >= wanted.end {
            return Ok(());
        }
        if row < wanted.start {
            continue;
        }
        let row = u32::try_from(row).unwrap_or(u32::MAX);
        if record.iter().eq([END.encode_utf8(&mut [0; 4])]) {
            return Ok(());
        }
        not_swallowed(&record, (row, widest), separator)?;
        widest = widest.max(record.len());
        for (column, text) in record.iter().enumerate() {
            let cell = if text.trim_start().starts_with('=') {
                Cell::Formula
            } else {
                Cell::Text(typed(text).into_owned())
            };
            filling.put(row, column, cell)?;
        }
    }
}

/// Refuses a cell that holds what looks like rows of the list, or the end of the file: the mark that opens it is not closed,
/// or only by a mark of another row.
fn not_swallowed(
    record: &csv::StringRecord,
    (row, widest): (u32, usize),
    separator: Separator,
) -> Result<(), ImportFailure> {
    let between = char::from(separator.byte());
    // Somebody's note may have a comma or two in a line.
    let is_row = |line: &str| line.matches(between).count() + 1 >= widest.max(4);
    let open = |cell: &&str| cell.contains(END) || cell.lines().skip(1).any(is_row);
    match record.iter().find(open) {
        None => Ok(()),
        Some(cell) => Err(ImportFailure::Swallowed {
            row: row.saturating_add(1),
            begins: shortened(cell.lines().next().unwrap_or_default()),
        }),
    }
}

#[expect(
    clippy::needless_pass_by_value,
    reason = "map_err hands the error over by value"
)]
fn torn(error: csv::Error) -> ImportFailure {
    ImportFailure::Torn {
        why: error.to_string(),
    }
}
