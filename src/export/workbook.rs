//! Rows as a workbook of ISO/IEC 29500.
//!
//! The library writes each row into a temporary file as soon as the next begins, so that memory stays the same however
//! many rows there are; at the end all is packed into a second one, and from there into the file. None has a name: all are
//! gone when they are let go of, whatever happens. Texts stand in their cells, not in a list of all texts. Where a sheet is
//! full the rows go on in the next.

mod program;

use std::{
    borrow::Cow,
    env,
    fs::File,
    io::{BufWriter, Write as _},
    panic::{AssertUnwindSafe, catch_unwind},
};

use rust_xlsxwriter::{
    DocProperties, ExcelDateTime, Format, Workbook as Book, Worksheet, XlsxError,
};
use time::{Date, Month, OffsetDateTime, UtcOffset};

use super::{
    Cell, Column, harmless,
    rows::{Heading, Rest, Rows, RowsError},
};

/// The most rows of a sheet, its headings among them: ISO/IEC 29500-1, 18.3.1.73, as every program reads it.
const MOST_ROWS: u32 = 1_048_576;
/// The most bytes of a sheet, so that its length fits into 32 bits of the archive.
const MOST_BYTES: usize = 3 << 30;
/// What stands around the text of a cell, at most; and how much longer a character may become in XML.
const AROUND: usize = 100;
const LONGER: usize = 7;

/// The most UTF-16 units that programs take in a cell.
const MOST_UNITS: usize = 32_767;
/// What stands at the end of a text that is longer.
const CUT: &str =
    " … cut here: a cell of a workbook holds no more; CSV and JSON Lines have all of it";

/// A workbook that is being written.
pub(super) struct Workbook {
    columns: Vec<Column>,
    by: Option<String>,
    book: Book,
    styles: Styles,
    sheets: usize,
    /// The rows of the sheet that is written, with its headings.
    rows: u32,
    /// What they may take, at most.
    bytes: usize,
}

/// How cells look. What is text stays text when somebody changes it.
struct Styles {
    day: Format,
    moment: Format,
    heading: Format,
    text: Format,
}

impl Styles {
    fn new() -> Self {
        // What other programs call `@`.
        let text = Format::new().set_num_format_index(49);
        Self {
            day: Format::new().set_num_format(r"yyyy\-mm\-dd"),
            moment: Format::new().set_num_format(r#"yyyy\-mm\-dd\ hh:mm:ss" UTC""#),
            heading: text.clone().set_bold(),
            text,
        }
    }

    /// Writes a cell; where nothing stands there is none. Gives how many bytes of text it takes.
    fn write(
        &self,
        sheet: &mut Worksheet,
        (row, column): (u32, u16),
        cell: &Cell<'_>,
    ) -> Result<usize, XlsxError> {
        let (number, style) = match cell {
            cell if cell.is_nothing() => return Ok(0),
            Cell::Number(number) => (number.as_f64(), None),
            Cell::Day(day) => (serial(*day).map(f64::from), Some(&self.day)),
            Cell::Moment(at) => (moment(*at), Some(&self.moment)),
            Cell::Nothing | Cell::Text(_) => (None, None),
        };
        match (number, style) {
            (Some(number), Some(style)) => {
                sheet.write_number_with_format(row, column, number, style)?;
            }
            (Some(number), None) => {
                sheet.write_number(row, column, number)?;
            }
            (None, _) => {
                let text = cell.word();
                let text = fitting(&harmless(&text)).into_owned();
                let bytes = text.len();
                sheet.write_string_with_format(row, column, text, &self.text)?;
                return Ok(bytes);
            }
        }
        Ok(0)
    }
}

impl Workbook {
    pub fn new(heading: Heading) -> Result<Self, RowsError> {
        let mut book = Book::new();
        let mut about = DocProperties::new().set_title(heading.title);
        if let Ok(at) = ExcelDateTime::from_timestamp(heading.at.unix_timestamp()) {
            about = about.set_creation_datetime(&at);
        }
        if let Some(by) = &heading.by {
            about = about.set_author(by);
        }
        book.set_properties(&about);
        let mut workbook = Self {
            columns: heading.columns,
            by: heading.by,
            book,
            styles: Styles::new(),
            sheets: 0,
            rows: 0,
            bytes: 0,
        };
        workbook.begin_sheet()?;
        Ok(workbook)
    }

    /// A sheet whose headings stay in sight.
    fn begin_sheet(&mut self) -> Result<(), RowsError> {
        self.sheets += 1;
        let sheet = self.book.add_worksheet_with_constant_memory()?;
        sheet.set_name(format!("Rows {}", self.sheets))?;
        sheet.set_freeze_panes(1, 0)?;
        let names = self.columns.iter().map(|column| column.name);
        for (at, name) in (0..).zip(names.chain(["key"])) {
            sheet.set_column_width(at, 20)?;
            sheet.write_string_with_format(0, at, name, &self.styles.heading)?;
        }
        (self.rows, self.bytes) = (1, 0);
        Ok(())
    }

    fn write_row(&mut self, cells: &[Cell<'_>], key: &str) -> Result<(), RowsError> {
        let sheet = self.book.worksheet_from_index(self.sheets - 1)?;
        let key = Cell::from(key);
        for (at, cell) in (0..).zip(cells.iter().chain([&key])) {
            let bytes = self.styles.write(sheet, (self.rows, at), cell)?;
            self.bytes += bytes * LONGER + AROUND;
        }
        self.rows += 1;
        Ok(())
    }

    /// Says on a sheet of its own who takes it along, where that is nobody of the team.
    fn say_who(&mut self) -> Result<(), RowsError> {
        if let Some(by) = &self.by {
            let sheet = self.book.add_worksheet_with_constant_memory()?;
            sheet.set_name("Taken along")?;
            sheet.set_column_width(0, 60)?;
            sheet.write_string_with_format(0, 0, "taken_by", &self.styles.heading)?;
            sheet.write_string_with_format(1, 0, fitting(&harmless(by)), &self.styles.text)?;
        }
        Ok(())
    }

    fn packed(&mut self) -> Result<File, RowsError> {
        self.say_who()?;
        let file = tempfile::tempfile_in(env::temp_dir()).map_err(no_room)?;
        let mut writer = BufWriter::new(file);
        self.book.save_to_writer(&mut writer)?;
        writer.flush().map_err(no_room)?;
        let file = writer
            .into_inner()
            .map_err(|error| no_room(error.into_error()))?;
        program::named(file).map_err(no_room)
    }
}

impl Rows for Workbook {
    fn row(&mut self, cells: &[Cell<'_>], key: &str) -> Result<(), RowsError> {
        if self.rows == MOST_ROWS || self.bytes > MOST_BYTES {
            self.begin_sheet()?;
        }
        told(|| self.write_row(cells, key))
    }

    fn taken(&mut self) -> Vec<u8> {
        Vec::new()
    }

    fn end(mut self: Box<Self>) -> Result<Rest, RowsError> {
        told(|| self.packed()).map(Rest::File)
    }
}

/// Does what writes into the temporary file of a sheet. The library panics where that takes no more; told as what it is.
fn told<T>(work: impl FnOnce() -> Result<T, RowsError>) -> Result<T, RowsError> {
    // Nobody goes on with a workbook behind an error.
    let done = catch_unwind(AssertUnwindSafe(work));
    done.unwrap_or_else(|_| Err(no_room(std::io::ErrorKind::StorageFull.into())))
}

fn no_room(source: std::io::Error) -> RowsError {
    RowsError::NoRoom {
        folder: env::temp_dir(),
        source,
    }
}

impl From<XlsxError> for RowsError {
    fn from(error: XlsxError) -> Self {
        match error {
            XlsxError::TempFileError(folder, source) => Self::NoRoom { folder, source },
            XlsxError::IoError(source) => no_room(source),
            other => Self::Workbook(other),
        }
    }
}

/// A text that a cell has room for; one that is longer is cut and says so.
fn fitting(text: &str) -> Cow<'_, str> {
    // A character has no more units than bytes.
    if text.len() <= MOST_UNITS || text.encode_utf16().count() <= MOST_UNITS {
        return Cow::Borrowed(text);
    }
    let mut left = MOST_UNITS - CUT.encode_utf16().count();
    let end = text.char_indices().find(|(_, c)| {
        let fits = c.len_utf16() <= left;
        left = left.saturating_sub(c.len_utf16());
        !fits
    });
    let end = end.map_or(text.len(), |(at, _)| at);
    Cow::Owned(format!("{}{CUT}", &text[..end]))
}

/// How many days a day is behind the last but one of 1899, as workbooks count; none before March of 1900, where programs
/// count a day that never was.
fn serial(day: Date) -> Option<i32> {
    let zero = Date::from_calendar_date(1899, Month::December, 30).ok()?;
    let days = day.to_julian_day() - zero.to_julian_day();
    (days > 60).then_some(days)
}

fn moment(at: OffsetDateTime) -> Option<f64> {
    let at = at.to_offset(UtcOffset::UTC);
    let (hour, minute, second) = at.to_hms();
    let seconds = u32::from(hour) * 3600 + u32::from(minute) * 60 + u32::from(second);
    Some(f64::from(serial(at.date())?) + f64::from(seconds) / 86_400.0)
}

#[cfg(test)]
mod tests {
    use std::io::Read as _;

    use calamine::{Reader as _, Xlsx};
    use time::macros::{date, datetime};

    use super::*;
    use crate::domain::{PaperSize, Team, TeamId};
    use crate::export::column::column;

    fn begun() -> Box<Workbook> {
        let heading = Heading {
            title: "Two sheets".to_owned(),
            told: Vec::new(),
            columns: vec![column("mark")],
            team: Team::new(TeamId::new(), "North", "european"),
            by: None,
            at: OffsetDateTime::UNIX_EPOCH,
            paper: PaperSize::A4,
        };
        Box::new(Workbook::new(heading).unwrap())
    }

    fn bytes(book: Box<Workbook>) -> Vec<u8> {
        let Rest::File(mut file) = (book as Box<dyn Rows>).end().unwrap() else {
            panic!("a workbook is a file");
        };
        let mut bytes = Vec::new();
        file.read_to_end(&mut bytes).unwrap();
        bytes
    }

    /// The first cells of the rows of each sheet.
    fn marks(book: Box<Workbook>) -> Vec<Vec<String>> {
        let mut book = Xlsx::new(std::io::Cursor::new(bytes(book))).unwrap();
        let sheets = book.worksheets();
        let marks = sheets.iter().map(|(_, sheet)| {
            let rows = sheet.rows().map(|row| row[0].to_string());
            rows.collect::<Vec<_>>()
        });
        marks.collect()
    }

    #[test]
    fn where_a_sheet_is_full_the_rows_go_on_in_the_next() {
        let mut book = begun();
        book.row(&["P-1".into()], "1").unwrap();
        book.rows = MOST_ROWS;
        book.row(&["P-2".into()], "2").unwrap();
        book.bytes = MOST_BYTES + 1;
        book.row(&["P-3".into()], "3").unwrap();
        let expected = [["mark", "P-1"], ["mark", "P-2"], ["mark", "P-3"]];
        assert_eq!(marks(book), expected);
    }

    #[test]
    fn it_names_the_program_that_wrote_it() {
        let mut book = zip::ZipArchive::new(std::io::Cursor::new(bytes(begun()))).unwrap();
        let mut text = String::new();
        let mut part = book.by_name(program::PROGRAM).unwrap();
        part.read_to_string(&mut text).unwrap();
        assert!(
            text.contains("<Application>Ropeloft</Application>"),
            "{text}"
        );
    }

    #[test]
    fn what_xml_has_no_place_for_comes_back_as_it_was() {
        let texts = ["a<b>&\"c\r\nd", "\u{1}", "_x0041_ _x004_", " e ", "\tf"];
        let mut book = begun();
        for text in texts {
            book.row(&[text.into()], text).unwrap();
        }
        let expected = texts.map(|text| harmless(text).into_owned());
        assert_eq!(marks(book)[0][1..], expected);
    }

    #[test]
    fn days_are_counted_as_workbooks_do() {
        // ISO/IEC 29500-1, 18.17.4.1 (from memory): 1 March 1900 is 61, 1 January 2000 is 36526.
        assert_eq!(serial(date!(1900 - 03 - 01)), Some(61));
        assert_eq!(serial(date!(2000 - 01 - 01)), Some(36_526));
        assert_eq!(serial(date!(1900 - 02 - 28)), None);
        assert_eq!(moment(datetime!(2000-01-01 12:00 UTC)), Some(36_526.5));
        assert_eq!(moment(datetime!(2000-01-01 01:00 +1)), Some(36_526.0));
    }

    #[test]
    fn a_text_that_is_too_long_says_where_it_was_cut() {
        assert_eq!(fitting("short"), "short");
        for letter in ["a", "ö", "\u{1f9d7}"] {
            let long = letter.repeat(MOST_UNITS);
            let text = fitting(&long);
            assert_eq!(text == long, letter != "\u{1f9d7}", "{letter}");
            let units = text.encode_utf16().count();
            assert!((MOST_UNITS - 1..=MOST_UNITS).contains(&units), "{units}");
            assert_eq!(text.ends_with(CUT), text != long);
        }
        let mut book = begun();
        let long = "a".repeat(MOST_UNITS + 1);
        book.row(&[long.as_str().into()], "1").unwrap();
        assert!(marks(book)[0][1].ends_with(CUT));
    }

    #[test]
    fn what_the_disk_does_not_take_is_told() {
        let full = told::<()>(|| panic!("Couldn't write to xml file"));
        assert!(matches!(full, Err(RowsError::NoRoom { .. })));
    }
}
