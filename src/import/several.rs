//! Rows that stand for several items: the marks "R1-R12" with a quantity of 12.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use super::answer::{Answers, Numbered, Ranges};
use super::failure::{ImportFailure, MOST_ROWS};
use super::fate::RowError;
use super::field::Field;
use super::heading::{Column, Headings, shortened};
use super::question::Question;
use super::remark::Remarks;
use super::row::ReadRow;
use super::serial_or_lot;
use super::table::{Cell, TableRow};
use crate::domain::fold;

/// The most items that one row may stand for.
const MOST: usize = 500;

/// The rows of a list, one for each item.
#[derive(Debug, Default)]
pub(super) struct Several<'a> {
    pub(super) rows: Cow<'a, [TableRow]>,
    /// The rows of which it is asked whether they stand for several items.
    pub(super) asked: BTreeSet<u32>,
    pub(super) questions: Vec<Question>,
    pub(super) errors: Vec<RowError>,
    pub(super) remarks: Remarks,
    pub(super) said: SeveralSaid,
}

/// What is known of rows before they are read.
#[derive(Debug, Default)]
pub(super) struct SeveralSaid {
    /// The rows of which what stands under the serial is a lot.
    lots: BTreeSet<u32>,
    /// The rows that stand for several things and are one item, as was said; each with how many.
    as_one: BTreeMap<u32, usize>,
}

impl SeveralSaid {
    /// Puts it into a row that was read.
    pub(super) fn tell(&self, read: &mut ReadRow) {
        if self.lots.contains(&read.number)
            && let Some(mut lot) = read.values.remove(&Field::Serial)
        {
            lot.text = serial_or_lot::without_word(&lot.text).into();
            read.values.entry(Field::Lot).or_insert(lot);
        }
        if let Some(count) = self.as_one.get(&read.number) {
            read.note.push(format!(
                "One item for {count}: the list gives a quantity of {count}, and so it was said when it was brought in."
            ));
        }
    }
}

/// The columns that say how many items a row stands for.
struct Columns<'a> {
    mark: &'a Column,
    quantity: Option<&'a Column>,
    serial: Option<&'a Column>,
}

/// Writes each row that stands for several items as one row for each of them.
pub(super) fn each<'a>(
    headings: &Headings,
    rows: &'a [TableRow],
    answers: &Answers,
) -> Result<Several<'a>, ImportFailure> {
    let mut several = Several {
        rows: Cow::Borrowed(rows),
        ..Several::default()
    };
    let Some(mark) = headings.of(Field::Mark) else {
        return Ok(several);
    };
    let columns = Columns {
        mark,
        quantity: headings.of(Field::Quantity),
        serial: headings.of(Field::Serial),
    };
    let mut written = Vec::with_capacity(rows.len());
    let mut first_asked: Option<(u32, String, usize)> = None;
    let mut unnumbered = Vec::new();
    several.said.lots = serial_or_lot::lots(headings, rows, answers);
    for row in rows {
        let says = if answers.left_out.contains(&row.number) {
            Says::One
        } else {
            columns.says(row, answers)
        };
        match says {
            Says::One => written.push(row.clone()),
            Says::Many(marks) => columns.write(row, &marks, &mut written, &mut several),
            Says::Asked(text, count) => {
                several.asked.insert(row.number);
                first_asked.get_or_insert((row.number, text, count));
                written.push(row.clone());
            }
            Says::AsOne(count) => {
                several.said.as_one.insert(row.number, count);
                written.push(row.clone());
            }
            Says::Unnumbered(mark, count) => {
                several.asked.insert(row.number);
                unnumbered.push((row.number, mark, count));
                written.push(row.clone());
            }
            Says::Wrong(error) => {
                several.errors.push(error);
                written.push(row.clone());
            }
        }
        if written.len() > MOST_ROWS {
            return Err(ImportFailure::Rows { row: row.number });
        }
    }
    several.ask(first_asked, &unnumbered);
    several.rows = Cow::Owned(written);
    Ok(several)
}

impl Several<'_> {
    /// Asks of the rows that may stand for several items: of those whose marks may be several, and of those with one mark
    /// and a quantity above one.
    fn ask(&mut self, ranges: Option<(u32, String, usize)>, unnumbered: &[(u32, String, usize)]) {
        if let Some((first_row, example, items)) = ranges {
            self.questions.push(Question::Ranges {
                rows: self.asked.len() - unnumbered.len(),
                first_row,
                example,
                items,
            });
        }
        if let Some((first_row, mark, count)) = unnumbered.first() {
            self.questions.push(Question::Numbered {
                rows: unnumbered.len(),
                items: unnumbered.iter().map(|(.., count)| count).sum(),
                first_row: *first_row,
                example: mark.clone(),
                count: *count,
            });
        }
    }
}

/// What a row says of how many items it stands for.
enum Says {
    One,
    /// These marks.
    Many(Vec<String>),
    /// The text may be one mark or so many.
    Asked(String, usize),
    /// This one mark stands for so many items.
    Unnumbered(String, usize),
    /// It stands for so many, and is one item.
    AsOne(usize),
    Wrong(RowError),
}

impl Columns<'_> {
    fn says(&self, row: &TableRow, answers: &Answers) -> Says {
        let mark = row
            .cell(self.mark.index)
            .map(Cell::shown)
            .unwrap_or_default();
        let named = marks(&mark);
        let quantity = self
            .quantity
            .and_then(|column| Some((column, row.cell(column.index)?)));
        let Some((column, cell)) = quantity else {
            return match (named, answers.ranges) {
                (Some(named), Some(Ranges::Several)) if named.is_sure => Says::Many(named.marks),
                (Some(named), None) if named.is_sure => Says::Asked(mark, named.marks.len()),
                _ => Says::One,
            };
        };
        let wrong = |code: &str, message: String| {
            Says::Wrong(RowError::at(row.number, column, code, message))
        };
        let Some(count) = whole(cell) else {
            let message = format!(
                "Write how many items the row stands for as a whole number from 1 to {MOST}; \"{}\" is none.",
                shortened(&cell.shown())
            );
            return wrong("number", message);
        };
        match named {
            _ if count == 1 || mark.is_empty() => Says::One,
            Some(named) if named.marks.len() == count => Says::Many(named.marks),
            Some(named) => wrong(
                "range",
                format!(
                    "This says {count}, but \"{}\" names {} marks. Make them the same.",
                    shortened(&mark),
                    named.marks.len()
                ),
            ),
            None => match answers.numbered {
                Some(Numbered::Each) => Says::Many(numbered_marks(&mark, count)),
                Some(Numbered::One) => Says::AsOne(count),
                None => Says::Unnumbered(mark, count),
            },
        }
    }

    /// Writes a row once for each mark, and each serial to its own.
    fn write(
        &self,
        row: &TableRow,
        named: &[String],
        written: &mut Vec<TableRow>,
        several: &mut Several<'_>,
    ) {
        let serial = self
            .serial
            .and_then(|column| Some((column, row.cell(column.index)?.shown())));
        let serials = serial.as_ref().and_then(|(_, text)| marks(text));
        let serials = serials.filter(|serials| serials.marks.len() == named.len());
        if serials.is_none() && self.serial.is_some_and(serial_or_lot::is_either) {
            several.said.lots.insert(row.number);
        } else if let (Some((column, text)), None) = (&serial, &serials) {
            let message = format!(
                "\"{}\" cannot be the serial of {} items. Name them all, such as \"S1-S{}\", or leave the cell empty.",
                shortened(text),
                named.len(),
                named.len()
            );
            let error = RowError::at(row.number, column, "range", message);
            several.errors.push(error);
        }
        let shown = row
            .cell(self.mark.index)
            .map(Cell::shown)
            .unwrap_or_default();
        let sentence = if marks(&shown).is_some() {
            format!(
                "\"{}\" stands for {} items, each with a mark of its own.",
                shortened(&shown),
                named.len()
            )
        } else {
            "One mark stands for several items: they are numbered behind it, .1, .2 and so on, as was said."
                .to_owned()
        };
        several.remarks.add(row.number, sentence);
        for (at, mark) in named.iter().enumerate() {
            let mut one = row.clone();
            one.put(self.mark.index, Cell::Text(mark.clone()));
            if let (Some((column, _)), Some(serials)) = (&serial, &serials) {
                one.put(column.index, Cell::Text(serials.marks[at].clone()));
            }
            written.push(one);
        }
    }
}

/// So many marks behind one: "K-01" for 3 is K-01.1, K-01.2, K-01.3.
fn numbered_marks(mark: &str, count: usize) -> Vec<String> {
    (1..=count)
        .map(|at| format!("{}.{at}", mark.trim()))
        .collect()
}

/// How many items a cell says: "12", "12 pcs", "x 12".
fn whole(cell: &Cell) -> Option<usize> {
    let text = cell.shown().to_lowercase();
    let text = text.trim_start_matches(['x', '×', ' ']);
    let words = ["pieces", "pcs.", "pcs", "pc", "off", "no.", "x", "×"];
    let text = words
        .iter()
        .find_map(|word| text.strip_suffix(word))
        .unwrap_or(text);
    let count = text.trim().parse::<usize>().ok()?;
    (1..=MOST).contains(&count).then_some(count)
}

/// The marks that a text names.
#[derive(Debug, PartialEq, Eq)]
struct Named {
    marks: Vec<String>,
    /// Each part is written as a mark with letters, so that they are not one mark with a dash in it.
    is_sure: bool,
}

/// The marks of "R1-R12", "W-01..W-05", "H1, H2 and H5"; none where the text can only be one mark.
fn marks(text: &str) -> Option<Named> {
    let text = text.replace(" and ", ",");
    let mut named = Named {
        marks: Vec::new(),
        is_sure: true,
    };
    for piece in text.split([',', ';', '&', '\n', '+']).map(str::trim) {
        if let Some((marks, is_sure)) = span(piece) {
            named.marks.extend(marks);
            named.is_sure &= is_sure;
        } else {
            let (letters, digits) = numbered(piece)?;
            named.is_sure &= letters.contains(char::is_alphabetic);
            named.marks.push(format!("{letters}{digits}"));
        }
    }
    let folded: BTreeSet<String> = named.marks.iter().map(|mark| fold(mark)).collect();
    let is_many = (2..=MOST).contains(&named.marks.len()) && folded.len() == named.marks.len();
    is_many.then_some(named)
}

/// The marks from one to another, and whether the letters stand before both.
fn span(piece: &str) -> Option<(Vec<String>, bool)> {
    const SIGNS: [&str; 8] = [" to ", " - ", "...", "..", "…", "–", "—", "-"];
    let found = SIGNS.iter().flat_map(|sign| piece.match_indices(sign));
    let mut spans = found.filter_map(|(at, sign)| {
        let (letters, first) = numbered(piece[..at].trim())?;
        let (also, last) = numbered(piece[at + sign.len()..].trim())?;
        let (from, to) = (first.parse::<usize>().ok()?, last.parse::<usize>().ok()?);
        let same = fold(letters) == fold(also);
        let fits = (same || also.is_empty()) && from < to && to - from < MOST;
        let width = first.len();
        let mark = |number| format!("{letters}{number:0width$}");
        let is_sure = same && letters.contains(char::is_alphabetic);
        fits.then(|| ((from..=to).map(mark).collect(), is_sure))
    });
    spans.next()
}

/// The front of a mark and the number at its end; there is a number, and no blank in it.
fn numbered(mark: &str) -> Option<(&str, &str)> {
    let digits = mark.bytes().rev().take_while(u8::is_ascii_digit).count();
    let (letters, number) = mark.split_at(mark.len() - digits);
    ((1..=9).contains(&digits) && !letters.contains(',')).then_some((letters, number))
}

#[cfg(test)]
mod tests {
    use super::marks;

    fn told(text: &str) -> Option<(Vec<String>, bool)> {
        marks(text).map(|named| (named.marks, named.is_sure))
    }

    #[test]
    fn marks_from_one_to_another_are_named_one_by_one() {
        for (text, named) in [
            ("R1-R3", "R1 R2 R3"),
            ("R1 to R3", "R1 R2 R3"),
            ("K009 – K011", "K009 K010 K011"),
            ("W-01..W-03", "W-01 W-02 W-03"),
            ("W-01-W-03", "W-01 W-02 W-03"),
            ("H1, H2 and H5", "H1 H2 H5"),
            ("H1-H2; H5", "H1 H2 H5"),
        ] {
            let named: Vec<String> = named.split(' ').map(str::to_owned).collect();
            assert_eq!(told(text), Some((named, true)), "{text}");
        }
        assert_eq!(told("R1-3").map(|named| named.1), Some(false));
        assert_eq!(told("7-9").map(|named| named.1), Some(false));
    }

    #[test]
    fn what_can_only_be_one_mark_is_one() {
        for text in [
            "",
            "R1",
            "R3-R1",
            "R-1A",
            "R1-K3",
            "R1-R9999",
            "rope, blue",
            "R1, R1",
        ] {
            assert_eq!(told(text), None, "{text}");
        }
    }
}
