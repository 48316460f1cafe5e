//! What a workbook's number format makes of a number: the reader of a list goes by what is shown.

use time::Date;

use super::quantity::shifted;
use super::table::Cell;
use super::unit::Unit;

/// How a cell shows its number.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Shown {
    /// As it is, but for digits and words.
    #[default]
    AsItIs,
    /// A hundred times as large, with a sign of per cent.
    PerCent,
    /// A thousandth of it or less.
    InThousands,
    /// In per cent or not, by how large it is.
    PerCentAtTimes,
    /// A day without its day: a month of a year.
    Month,
    /// A day without day and month: a year.
    Year,
    /// With a unit behind it, which its value alone does not say.
    In(Unit),
}

impl Shown {
    /// What a format code does: `0.0%`, `#,##0,`, `[<1]0%;0`. What stands between quotation marks or
    /// behind a backslash is text.
    pub(super) fn by(code: &str) -> Self {
        let sections = sections(code);
        let in_per_cent = |section: &Section| section.signs.contains('%');
        let any = sections.iter().any(in_per_cent);
        if any && sections.iter().any(|section| section.conditional) {
            return Self::PerCentAtTimes;
        }
        match sections.first() {
            Some(first) if shows_day(&first.signs).is_some() => {
                shows_day(&first.signs).unwrap_or_default()
            }
            Some(first) if in_per_cent(first) => Self::PerCent,
            Some(first) if scales(&first.signs) => Self::InThousands,
            Some(first) => unit(first, &sections).map_or(Self::AsItIs, Self::In),
            None => Self::AsItIs,
        }
    }

    /// What is shown of a day.
    pub(super) fn day(self, date: Date) -> Cell {
        let (year, month) = (date.year(), u8::from(date.month()));
        match self {
            Self::Month => Cell::Month(format!("{year}-{month:02}")),
            Self::Year => Cell::Month(year.to_string()),
            _ => Cell::Day(date),
        }
    }

    /// The cell of a number that is shown so.
    pub(super) fn cell(self, number: f64) -> Cell {
        let fault = |why: &str| Cell::Fault(format!("{number}, which its format shows {why}"));
        match self {
            Self::AsItIs | Self::Month | Self::Year => Cell::Number(number),
            Self::PerCent => Cell::Percent(shifted(number, 2)),
            Self::In(unit) => Cell::Text(format!("{number} {}", unit.sign())),
            Self::InThousands => fault("in thousands"),
            Self::PerCentAtTimes => fault("in per cent or not, by how large it is"),
        }
    }
}

/// The unit that stands as text behind numbers above 0, where no section has another.
fn unit(first: &Section, sections: &[Section]) -> Option<Unit> {
    let word = first.text.trim();
    let mut texts = sections.iter().map(|section| section.text.trim());
    let is_only = texts.all(|text| text.is_empty() || text == word);
    Unit::measured(word).filter(|_| is_only && first.text_is_last)
}

/// How a section shows a day, where it leaves a part of it away.
fn shows_day(signs: &str) -> Option<Shown> {
    let signs = signs.to_lowercase();
    let has = |sign: char| signs.contains(sign);
    match (has('y'), has('m'), has('d')) {
        (true, true, false) if !has('h') && !has('s') => Some(Shown::Month),
        (true, false, false) => Some(Shown::Year),
        _ => None,
    }
}

/// One section of a format code: for numbers above 0, below 0, 0, and text, if nothing else is said.
#[derive(Default)]
struct Section {
    /// What is no text.
    signs: String,
    /// What is text.
    text: String,
    /// Whether the text stands behind the number.
    text_is_last: bool,
    /// It holds for some numbers only, as `[<1]` says.
    conditional: bool,
}

impl Section {
    /// Takes text.
    fn says(&mut self, text: &str) {
        self.text.push_str(text);
        self.text_is_last = true;
    }
}

fn sections(code: &str) -> Vec<Section> {
    let mut sections = vec![Section::default()];
    let mut chars = code.chars();
    while let Some(c) = chars.next() {
        let last = sections.len() - 1;
        match c {
            // The next character is a width, or fills the cell.
            '_' | '*' => {
                chars.next();
            }
            '\\' => sections[last].says(&chars.next().map(String::from).unwrap_or_default()),
            '"' => {
                let text: String = chars.by_ref().take_while(|c| *c != '"').collect();
                sections[last].says(&text);
            }
            '[' => {
                let inside: String = chars.by_ref().take_while(|c| *c != ']').collect();
                sections[last].conditional |= inside.starts_with(['<', '>', '=']);
            }
            ';' => sections.push(Section::default()),
            other => {
                sections[last].signs.push(other);
                sections[last].text_is_last &= other.is_whitespace();
            }
        }
    }
    sections
}

/// Whether commas behind the last digit divide by thousands; commas between digits only part them.
fn scales(signs: &str) -> bool {
    let is_digit = |c: char| matches!(c, '0' | '#' | '?');
    let Some(last) = signs
        .split('.')
        .next()
        .and_then(|whole| whole.rfind(is_digit))
    else {
        return false;
    };
    let behind_whole = signs[last + 1..].starts_with(',');
    let behind_all = signs
        .rfind(is_digit)
        .is_some_and(|last| signs[last + 1..].starts_with(','));
    behind_whole || behind_all
}

#[cfg(test)]
mod tests {
    use super::{Shown, Unit};

    #[test]
    fn a_format_code_says_how_its_number_is_shown() {
        let kilonewton = Shown::In(Unit::from_words("kN").unwrap());
        for (code, shown) in [
            ("General", Shown::AsItIs),
            ("0.00", Shown::AsItIs),
            ("#,##0.0", Shown::AsItIs),
            ("0.0\" %\"", Shown::AsItIs),
            ("0.0\\%", Shown::AsItIs),
            ("0.0\" kN\"", kilonewton),
            ("0.0 \"kN\"", kilonewton),
            ("#,##0.0\\ \\k\\N;[Red]-#,##0.0\\ \\k\\N", kilonewton),
            ("0\" kN\";-0", kilonewton),
            ("0\" kN\";0\" lbf\"", Shown::AsItIs),
            ("\"kN\" 0.0", Shown::AsItIs),
            ("0\" pcs\"", Shown::AsItIs),
            ("[Red]0;[Blue]-0", Shown::AsItIs),
            ("0%", Shown::PerCent),
            ("0.00%;[Red]-0.00%", Shown::PerCent),
            ("0.0 %", Shown::PerCent),
            ("#,##0,", Shown::InThousands),
            ("0.0,,\"m\"", Shown::InThousands),
            ("0,.0", Shown::InThousands),
            ("[<1]0.0%;0.0", Shown::PerCentAtTimes),
        ] {
            assert_eq!(Shown::by(code), shown, "{code}");
        }
    }
}
