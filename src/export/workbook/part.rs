//! The parts of a workbook as XML: ISO/IEC 29500-1 for what stands in them, 29500-2 for how they name each other.

use std::fmt::Write as _;

use time::{Date, Month, OffsetDateTime, UtcOffset};

use crate::export::{Cell, harmless};

/// The styles of cells, by their places in [`STYLES`]: a day, a moment, a heading, text.
const DAY: u32 = 1;
const MOMENT: u32 = 2;
pub(super) const HEADING: u32 = 3;
/// A cell of this style stays text when somebody changes it.
const TEXT: u32 = 4;

/// The most UTF-16 units that programs take in a cell.
const MOST_UNITS: usize = 32_767;
/// What stands at the end of a text that is longer.
const CUT: &str =
    " … cut here: a cell of a workbook holds no more; CSV and JSON Lines have all of it";

/// Before the sheets. A part is a sheet unless it is said what else it is, so that their number may be open.
pub(super) const BEGINNING: [(&str, &str); 3] = [
    ("[Content_Types].xml", TYPES),
    ("_rels/.rels", LINK),
    ("xl/styles.xml", STYLES),
];

const TYPES: &str = concat!(
    r#"<?xml version="1.0" encoding="UTF-8" standalone="yes"?>"#,
    r#"<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">"#,
    r#"<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>"#,
    r#"<Default Extension="xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/>"#,
    r#"<Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/>"#,
    r#"<Override PartName="/xl/styles.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"/>"#,
    "</Types>"
);

const LINK: &str = concat!(
    r#"<?xml version="1.0" encoding="UTF-8" standalone="yes"?>"#,
    r#"<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">"#,
    r#"<Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/>"#,
    "</Relationships>"
);

const STYLES: &str = concat!(
    r#"<?xml version="1.0" encoding="UTF-8" standalone="yes"?>"#,
    r#"<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">"#,
    r#"<numFmts count="2"><numFmt numFmtId="164" formatCode="yyyy\-mm\-dd"/>"#,
    r#"<numFmt numFmtId="165" formatCode="yyyy\-mm\-dd\ hh:mm:ss&quot; UTC&quot;"/></numFmts>"#,
    r#"<fonts count="2"><font><sz val="11"/><name val="Calibri"/></font>"#,
    r#"<font><b/><sz val="11"/><name val="Calibri"/></font></fonts>"#,
    r#"<fills count="2"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill></fills>"#,
    r#"<borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders>"#,
    r#"<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>"#,
    r#"<cellXfs count="5"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/>"#,
    r#"<xf numFmtId="164" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1"/>"#,
    r#"<xf numFmtId="165" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1"/>"#,
    r#"<xf numFmtId="49" fontId="1" fillId="0" borderId="0" xfId="0" applyNumberFormat="1" applyFont="1"/>"#,
    r#"<xf numFmtId="49" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1"/></cellXfs>"#,
    r#"<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles>"#,
    "</styleSheet>"
);

/// The beginning of a sheet; its headings stay in sight.
pub(super) const SHEET: &str = concat!(
    r#"<?xml version="1.0" encoding="UTF-8" standalone="yes"?>"#,
    r#"<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">"#,
    r#"<sheetViews><sheetView workbookViewId="0"><pane ySplit="1" topLeftCell="A2" activePane="bottomLeft" state="frozen"/>"#,
    r#"</sheetView></sheetViews><sheetFormatPr defaultColWidth="20" defaultRowHeight="15"/><sheetData>"#
);

/// The end of a sheet.
pub(super) const SHEET_END: &str = "</sheetData></worksheet>";

/// The part that lists so many sheets, and the one that says where they are.
pub(super) fn sheets(count: u32) -> (String, String) {
    let mut list = String::from(concat!(
        r#"<?xml version="1.0" encoding="UTF-8" standalone="yes"?>"#,
        r#"<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" "#,
        r#"xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships">"#,
        "<bookViews><workbookView/></bookViews><sheets>"
    ));
    let mut links = String::from(concat!(
        r#"<?xml version="1.0" encoding="UTF-8" standalone="yes"?>"#,
        r#"<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">"#,
        r#"<Relationship Id="styles" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/styles" Target="styles.xml"/>"#
    ));
    for sheet in 1..=count {
        // Writing to a string does not fail.
        let _ = write!(
            list,
            r#"<sheet name="Rows {sheet}" sheetId="{sheet}" r:id="rId{sheet}"/>"#
        );
        let _ = write!(
            links,
            r#"<Relationship Id="rId{sheet}" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet{sheet}.xml"/>"#
        );
    }
    list.push_str("</sheets></workbook>");
    links.push_str("</Relationships>");
    (list, links)
}

/// Writes a cell; where nothing stands there is none.
pub(super) fn push(xml: &mut String, place: (usize, u32), cell: &Cell<'_>) {
    match cell {
        cell if cell.is_nothing() => {}
        Cell::Number(number) => push_number(xml, place, 0, number),
        Cell::Day(day) => match serial(*day) {
            Some(days) => push_number(xml, place, DAY, days),
            None => push_text(xml, place, TEXT, &cell.word()),
        },
        Cell::Moment(at) => match moment(*at) {
            Some(days) => push_number(xml, place, MOMENT, days),
            None => push_text(xml, place, TEXT, &cell.word()),
        },
        cell => push_text(xml, place, TEXT, &harmless(&cell.word())),
    }
}

fn push_number(xml: &mut String, (at, row): (usize, u32), style: u32, number: impl ToString) {
    let number = number.to_string();
    let _ = write!(
        xml,
        r#"<c r="{}{row}" s="{style}"><v>{number}</v></c>"#,
        letters(at)
    );
}

/// Writes a text of this style.
pub(super) fn push_text(xml: &mut String, (at, row): (usize, u32), style: u32, text: &str) {
    let _ = write!(
        xml,
        r#"<c r="{}{row}" s="{style}" t="inlineStr"><is><t xml:space="preserve">"#,
        letters(at)
    );
    match cut(text) {
        Some(begin) => {
            push_escaped(xml, begin);
            push_escaped(xml, CUT);
        }
        None => push_escaped(xml, text),
    }
    xml.push_str("</t></is></c>");
}

/// The beginning of a text that a cell has no room for; none where it has.
fn cut(text: &str) -> Option<&str> {
    // A character has no more units than bytes.
    if text.len() <= MOST_UNITS || text.encode_utf16().count() <= MOST_UNITS {
        return None;
    }
    let mut left = MOST_UNITS - CUT.encode_utf16().count();
    let end = text.char_indices().find(|(_, c)| {
        let fits = c.len_utf16() <= left;
        left = left.saturating_sub(c.len_utf16());
        !fits
    });
    end.map(|(at, _)| &text[..at])
}

/// The letters of a column: A to Z, AA and on.
fn letters(at: usize) -> String {
    let (mut left, mut letters) = (at + 1, Vec::new());
    while left > 0 {
        left -= 1;
        letters.push(b'A' + u8::try_from(left % 26).unwrap_or_default());
        left /= 26;
    }
    letters.reverse();
    letters.into_iter().map(char::from).collect()
}

/// Writes a text into XML. What XML has no place for, and a line's own return, is written `_x000D_` by its number; so is
/// the beginning of a text that only looks like it: ISO/IEC 29500-1, 22.4.2.4.
fn push_escaped(xml: &mut String, text: &str) {
    for (at, c) in text.char_indices() {
        match c {
            '&' => xml.push_str("&amp;"),
            '<' => xml.push_str("&lt;"),
            '>' => xml.push_str("&gt;"),
            '\t' | '\n' => xml.push(c),
            '_' if is_number(&text[at..]) => xml.push_str("_x005F_"),
            c if c < ' ' || c == '\u{fffe}' || c == '\u{ffff}' => {
                let _ = write!(xml, "_x{:04X}_", u32::from(c));
            }
            c => xml.push(c),
        }
    }
}

/// Whether a text begins like the number of a character.
fn is_number(text: &str) -> bool {
    let text = text.as_bytes();
    text.len() > 6
        && text[1] == b'x'
        && text[6] == b'_'
        && text[2..6].iter().all(u8::is_ascii_hexdigit)
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
    use time::macros::{date, datetime};

    use super::*;

    #[test]
    fn columns_have_letters() {
        let named = [0, 25, 26, 51, 52, 701, 702].map(letters);
        assert_eq!(named, ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]);
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
        assert_eq!(cut("short"), None);
        assert_eq!(cut(&"a".repeat(MOST_UNITS)), None);
        for letter in ["a", "ö", "\u{1f9d7}"] {
            let mut xml = String::new();
            push_text(&mut xml, (0, 1), TEXT, &letter.repeat(MOST_UNITS));
            let text = xml.split(['<', '>']).find(|part| part.contains("cut here"));
            let text = text.map(str::to_owned).unwrap_or_default();
            assert_eq!(text.is_empty(), letter == "a" || letter == "ö", "{letter}");
            let units = text.encode_utf16().count();
            assert!(units <= MOST_UNITS && (units == 0 || units > MOST_UNITS - 2));
        }
    }

    #[test]
    fn what_xml_has_no_place_for_has_a_number() {
        let mut xml = String::new();
        push_escaped(&mut xml, "a<b>&\r\u{1}_x0041_ _x004_");
        assert_eq!(xml, "a&lt;b&gt;&amp;_x000D__x0001__x005F_x0041_ _x004_");
    }
}
