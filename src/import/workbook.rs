//! XLSX workbooks, read cell by cell.

use std::io::Cursor;
use std::panic::{AssertUnwindSafe, catch_unwind};

use calamine::{DataRef, ExcelDateTime, Reader, SheetType, Style, Xlsx, XlsxError};
use time::{Date, Month};

use super::archive;
use super::failure::ImportFailure;
use super::heading;
use super::number_format::Shown;
use super::table::{Cell, Filling, Table, TableRow};
use crate::domain::fold;

/// Reads one sheet: the one of this name, or the first that has the headings of a list.
pub(super) fn read(bytes: &[u8], sheet: Option<&str>) -> Result<Table, ImportFailure> {
    archive::inspect(bytes)?;
    // The reader of workbooks is held to be sound, but some of its sums may overflow on a file that was
    // made to do so; such a file is damaged, and no reason to fall over.
    catch_unwind(AssertUnwindSafe(|| read_sheet(bytes, sheet))).unwrap_or_else(|_| {
        Err(ImportFailure::Broken {
            why: "its cells cannot be read".to_owned(),
        })
    })
}

fn read_sheet(bytes: &[u8], wanted: Option<&str>) -> Result<Table, ImportFailure> {
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).map_err(broken)?;
    let sheets: Vec<String> = book
        .sheets_metadata()
        .iter()
        .filter(|sheet| sheet.typ == SheetType::WorkSheet)
        .map(|sheet| sheet.name.clone())
        .collect();
    let sheet = match wanted {
        None => list_among(&mut book, &sheets).or_else(|| sheets.first().cloned()),
        Some(wanted) => sheets
            .iter()
            .find(|name| fold(name) == fold(wanted))
            .cloned(),
    };
    let Some(sheet) = sheet else {
        return Err(ImportFailure::NoSheet {
            name: wanted.unwrap_or_default().chars().take(120).collect(),
            sheets: sheets.join(", "),
        });
    };
    let mut filling = Filling::new();
    let mut reader = book.worksheet_cells_reader(&sheet).map_err(broken)?;
    while let Some(cell) = reader.next_cell_with_formula_metadata().map_err(broken)? {
        let (row, column) = cell.pos;
        let value = match cell.formula {
            Some(_) => Some(Cell::Formula),
            None => value(&cell.value),
        };
        if let Some(value) = value {
            filling.put(row, column as usize, value)?;
        }
    }
    drop(reader);
    let mut rows = filling.rows()?;
    as_shown(&mut book, &sheet, &mut rows)?;
    Ok(Table {
        rows,
        read_as: format!("workbook, sheet \"{sheet}\""),
        sheet: Some(sheet),
        sheets,
    })
}

/// The first sheet that has the headings of a list near its top: the first of all is often a title or a legend.
fn list_among(book: &mut Xlsx<Cursor<&[u8]>>, sheets: &[String]) -> Option<String> {
    /// How many sheets are looked at.
    const MOST_SHEETS: usize = 20;
    /// How many headings in one line make a list.
    const ENOUGH: usize = 3;
    if sheets.len() < 2 {
        return None;
    }
    let mut sheets = sheets.iter().take(MOST_SHEETS);
    let found = sheets.find(|sheet| {
        let rows = top_of(book, sheet).unwrap_or_default();
        rows.iter().any(|row| heading::recognised_in(row) >= ENOUGH)
    });
    found.cloned()
}

/// The texts in the first rows of a sheet.
fn top_of(book: &mut Xlsx<Cursor<&[u8]>>, sheet: &str) -> Result<Vec<TableRow>, ImportFailure> {
    let most = u32::try_from(heading::ROWS_LOOKED_AT).unwrap_or(u32::MAX);
    let mut filling = Filling::new();
    let mut reader = book.worksheet_cells_reader(sheet).map_err(broken)?;
    while let Some(cell) = reader.next_cell_with_formula_metadata().map_err(broken)? {
        let (row, column) = cell.pos;
        if row >= most {
            break;
        }
        if let Some(value) = value(&cell.value) {
            filling.put(row, column as usize, value)?;
        }
    }
    filling.rows()
}

/// Reads numbers as their cells show them: 0.032 in a cell of per cent is 3.2 %.
///
/// The formats of cells come without their values, so the sheet is gone through a second time, if the
/// workbook has such a format at all.
fn as_shown(
    book: &mut Xlsx<Cursor<&[u8]>>,
    sheet: &str,
    rows: &mut [TableRow],
) -> Result<(), ImportFailure> {
    let mut reader = book.worksheet_cells_reader(sheet).map_err(broken)?;
    let code = |style: &Style| {
        style
            .number_format
            .as_ref()
            .map(|it| Shown::by(&it.format_code))
    };
    let shown: Vec<Shown> = reader
        .styles()
        .iter()
        .map(|style| code(style).unwrap_or_default())
        .collect();
    if shown.iter().all(|shown| *shown == Shown::AsItIs) {
        return Ok(());
    }
    while let Some((row, column, style)) = reader.next_style_id().map_err(broken)? {
        let number = row.saturating_add(1);
        let Ok(at) = rows.binary_search_by_key(&number, |row| row.number) else {
            continue;
        };
        let shown = shown.get(style).copied().unwrap_or_default();
        let cell = match rows[at].cell(column as usize) {
            Some(Cell::Number(value)) => shown.cell(*value),
            Some(Cell::Day(date)) => shown.day(*date),
            _ => continue,
        };
        rows[at].put(column as usize, cell);
    }
    Ok(())
}

fn value(value: &DataRef<'_>) -> Option<Cell> {
    Some(match value {
        DataRef::Empty => return None,
        #[expect(
            clippy::cast_precision_loss,
            reason = "a workbook keeps its numbers as this type anyway"
        )]
        DataRef::Int(number) => Cell::Number(*number as f64),
        DataRef::Float(number) => Cell::Number(*number),
        DataRef::String(text) => Cell::Text(plain(text)),
        DataRef::SharedString(text) => Cell::Text(plain(text)),
        DataRef::Bool(yes) => Cell::YesNo(*yes),
        DataRef::DateTime(moment) => day(*moment),
        DataRef::DateTimeIso(text) => Cell::Text(text.clone()),
        DataRef::DurationIso(text) => Cell::Fault(format!("{text} is a length of time")),
        DataRef::Error(error) => Cell::Fault(format!("the error {error}")),
    })
}

/// One kind of line end, as in text files.
fn plain(text: &str) -> String {
    text.replace("\r\n", "\n").replace('\r', "\n")
}

fn day(moment: ExcelDateTime) -> Cell {
    if moment.is_duration() || moment.as_f64() < 1.0 {
        return Cell::Fault("a time of day".to_owned());
    }
    let (year, month, day, ..) = moment.to_ymd_hms_milli();
    let date = Month::try_from(month)
        .ok()
        .and_then(|month| Date::from_calendar_date(i32::from(year), month, day).ok());
    date.map_or_else(
        || {
            Cell::Fault(format!(
                "the day {year}-{month}-{day}, which does not exist"
            ))
        },
        Cell::Day,
    )
}

fn broken(error: XlsxError) -> ImportFailure {
    match error {
        XlsxError::Password => ImportFailure::Encrypted,
        other => ImportFailure::Broken {
            why: other.to_string().chars().take(200).collect(),
        },
    }
}
