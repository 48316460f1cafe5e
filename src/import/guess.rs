//! What a column most likely is whose heading is not known: guessed from what stands in its cells and from the plain words
//! of its heading, offered first, and asked all the same.

use std::collections::BTreeSet;

use super::answer::Target;
use super::cell_look::{has_number, is_day, is_name, is_size, is_yes_or_no, may_be_day};
use super::field::{Field, attributes_named};
use super::heading::{Column, ColumnUse};
use super::synonym::{each, plain_words};
use super::table::{Cell, TableRow};
use super::unit::Unit;
use super::{becket, rope_uses, standard, strength_said, word};
use crate::domain::{Takes, WrittenStandard, fold, standards_in};
use crate::rigging::StrengthKind;

/// A guess, and what it was made from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Guess {
    /// What the column most likely is.
    pub target: Target,
    /// What stands in it, as the end of a sentence: "nearly every cell is a day".
    pub why: &'static str,
}

impl Guess {
    /// What is guessed and from what, as a sentence.
    pub fn sentence(&self) -> String {
        let what = match self.target {
            Target::Field(field) => format!("\"{}\"", field.label()),
            Target::InNote => "something for the note".to_owned(),
            Target::LeaveOut => "nothing to be taken over".to_owned(),
        };
        format!(
            "Guessed to be {what}, as {}: confirm it, or say what else it is.",
            self.why
        )
    }
}

/// The share of its cells from which a column is guessed.
const NEARLY_ALL: f64 = 0.8;
/// The share from which it is, where the rest may be words.
const MOST: f64 = 0.6;
/// The share that an offer needs at least.
const SOME: f64 = 0.5;
/// Fewer cells show nothing.
const ENOUGH: usize = 3;

/// Leaves only those offers of unknown columns that what stands in them bears out, and guesses what they most likely are.
pub(super) fn at(columns: &mut [Column], rows: &[TableRow]) {
    let mut named: BTreeSet<Field> = columns.iter().filter_map(Column::field).collect();
    for column in columns.iter_mut() {
        let seen = Seen::of(column, rows);
        let ColumnUse::Unknown(likely) = &mut column.becomes else {
            continue;
        };
        likely.retain(|field| seen.bears_out(*field));
        let words = plain_words(&column.heading);
        let Some(guess) = seen.guess(&words, &column.units, &named) else {
            continue;
        };
        if let Target::Field(field) = guess.target {
            likely.retain(|one| *one != field);
            likely.insert(0, field);
            named.insert(field);
        }
        column.guess = Some(guess);
    }
}

/// Whether something holds of what stands in a column, cell by cell.
pub(super) fn are_mostly(
    column: &Column,
    rows: &[TableRow],
    holds: impl Fn(&Cell) -> bool,
) -> bool {
    Seen::of(column, rows).share(holds) >= SOME
}

/// The cells of a column that say something.
struct Seen<'a>(Vec<&'a Cell>);

impl<'a> Seen<'a> {
    fn of(column: &Column, rows: &'a [TableRow]) -> Self {
        let cells = rows.iter().filter_map(|row| row.cell(column.index));
        let says = |cell: &&Cell| !matches!(cell, Cell::Text(text) if word::says_unknown(text));
        Self(cells.filter(says).collect())
    }

    /// The share of the cells of which something holds.
    fn share(&self, holds: impl Fn(&Cell) -> bool) -> f64 {
        let count = self.0.iter().filter(|cell| holds(cell)).count();
        let of = |count: usize| u32::try_from(count).map_or(f64::MAX, f64::from);
        of(count) / of(self.0.len().max(1))
    }

    fn of_texts(&self, holds: impl Fn(&str) -> bool) -> f64 {
        self.share(|cell| matches!(cell, Cell::Text(text) if holds(text)))
    }

    /// Whether what stands there may be what the field holds.
    fn bears_out(&self, field: Field) -> bool {
        let numbers = || self.share(has_number) >= SOME;
        match field {
            field if field.is_day() => self.share(may_be_day) >= SOME,
            Field::Figures => self.of_texts(|text| strength_said::figures(text) > 0) >= SOME,
            Field::MarkingsReadable | Field::LifeSupport => self.share(is_yes_or_no) >= SOME,
            Field::Attribute(key) => {
                let mut takes = attributes_named(key).map(|one| one.takes);
                let takes = takes.next();
                match takes {
                    Some(Takes::YesNo) => self.share(is_yes_or_no) >= SOME,
                    Some(Takes::Text | Takes::Choice(_)) | None => self.share(is_day) < SOME,
                    Some(_) => numbers(),
                }
            }
            Field::Quantity
            | Field::LifeFromMade
            | Field::LifeFromFirstUse
            | Field::MostHours
            | Field::MostUses
            | Field::MostFalls
            | Field::ExamineEvery
            | Field::Standard
            | Field::LeastStrands => numbers(),
            field if field.is_number() => numbers(),
            Field::Note | Field::Mark | Field::Serial | Field::Lot | Field::Edition => true,
            _ => self.share(is_day) < SOME,
        }
    }

    fn guess(&self, words: &str, units: &[Unit], named: &BTreeSet<Field>) -> Option<Guess> {
        let has = |list: &str| {
            let mut words = words.split(' ');
            words.any(|word| each(list).any(|one| one == word))
        };
        let field = |field: Field, why: &'static str| Guess {
            target: Target::Field(field),
            why,
        };
        let holds = has(BECKET) && self.share(becket::is_amount) >= SOME;
        if holds && !named.contains(&becket::STRENGTH) {
            let why = "its heading names the becket, and most cells are numbers";
            return Some(field(becket::STRENGTH, why));
        }
        if self.0.len() < ENOUGH {
            return None;
        }
        let found = if self.share(is_day) >= NEARLY_ALL {
            day_field(has, named).map(|of| field(of, "nearly every cell is a day"))
        } else if self.of_texts(|text| strength_said::figures(text) > 0) >= MOST {
            let why = "most cells have figures with the words for strengths or loads";
            Some(field(Field::Figures, why))
        } else if self.of_texts(|text| rope_uses::read(text).is_some()) >= MOST {
            let why = "most cells say for which approval or use a range of rope is";
            Some(field(Field::RopeRange, why))
        } else if self.of_texts(names_standards) >= MOST {
            Some(field(Field::Standard, "most cells name standards"))
        } else if self.share(is_size) >= NEARLY_ALL {
            measure(units, has).map(|of| {
                field(
                    of,
                    "nearly every cell is a number, and the heading names their unit",
                )
            })
        } else {
            self.words_of(has, field)
        };
        let is_new = |guess: &Guess| match guess.target {
            // A list may have a second range, for one approval or use alone.
            Target::Field(Field::RopeRange) => true,
            Target::Field(field) => !named.contains(&field),
            _ => true,
        };
        found.filter(is_new)
    }

    /// What columns of words most likely are.
    fn words_of(
        &self,
        has: impl Fn(&str) -> bool,
        field: impl Fn(Field, &'static str) -> Guess,
    ) -> Option<Guess> {
        if self.of_texts(|text| word::state(text).is_some()) >= NEARLY_ALL {
            return Some(field(
                Field::State,
                "nearly every cell is the word for a state",
            ));
        }
        if self.is_code() {
            let why = "no two cells are the same, and each has a number";
            if has(SERIAL) {
                return Some(field(Field::Serial, why));
            }
            return has(MARK).then(|| field(Field::Mark, why));
        }
        if has(COLOUR) {
            return Some(Guess {
                target: Target::InNote,
                why: "its heading is a word for a colour, and there is no field for it",
            });
        }
        if !self.repeats() {
            return None;
        }
        if has(EXAMINER) && self.of_texts(is_name) >= MOST {
            let why = "its heading asks who, and most cells look like names of persons";
            return Some(field(Field::Examiner, why));
        }
        let why = "its heading asks where, and the same few words stand in it again and again";
        has(PLACE).then(|| field(Field::Store, why))
    }

    /// Whether every cell is a short text with a number in it, and hardly any two are the same.
    fn is_code(&self) -> bool {
        let texts: BTreeSet<String> = self.0.iter().map(|cell| fold(&cell.shown())).collect();
        let is_short = |cell: &Cell| {
            let text = cell.shown();
            text.len() <= 24 && text.contains(|c: char| c.is_ascii_digit()) && !is_day(cell)
        };
        texts.len() * 20 >= self.0.len() * 19 && self.share(is_short) >= NEARLY_ALL
    }

    /// Whether the same texts stand in it again and again.
    fn repeats(&self) -> bool {
        let texts: BTreeSet<String> = self.0.iter().map(|cell| fold(&cell.shown())).collect();
        texts.len() * 2 <= self.0.len()
    }
}

const BECKET: &str = "becket, beckets, beckett";
const SERIAL: &str =
    "serial, stamped, engraved, punched, maker, makers, manufacturer, label, plate, sn";
const MARK: &str = "our, own, id, tag, no, number, nr, code, team, depot, section, unit, mark";
const COLOUR: &str = "colour, colours, color, colors, farbe, couleur";
const EXAMINER: &str =
    "by, who, whom, inspector, checker, examiner, initials, signed, signature, name";
const PLACE: &str = "place, where, kept, stands, standing, stored, lives, home, van, vehicle, station, shelf, location";

/// Words in a heading for each kind of day; the first list that has one says it.
const DAYS: &[(Field, &str)] = &[
    (
        Field::NextDue,
        "next, due, before, until, expires, expiry, again, renew",
    ),
    (
        Field::LastExamined,
        "check, checked, checks, examined, examination, exam, inspected, inspection, insp, tested, test, looked, last",
    ),
    (
        Field::FirstUsed,
        "use, used, service, issued, issue, out, since, first, started, start, commissioned",
    ),
    (
        Field::Bought,
        "bought, purchase, purchased, invoice, invoiced, paid, delivered, delivery, received, receipt, acquired, new",
    ),
    (
        Field::Made,
        "made, make, manufacture, manufactured, manufacturing, production, produced, built, born",
    ),
];

/// Whether a text names standards of bodies that are known, and nothing else.
fn names_standards(text: &str) -> bool {
    let numbered = |text: &str| standards_in(text).iter().all(WrittenStandard::is_numbered);
    standard::is_clear(text) && numbered(text)
}

fn day_field(has: impl Fn(&str) -> bool, named: &BTreeSet<Field>) -> Option<Field> {
    let mut days = DAYS.iter().filter(|(field, _)| !named.contains(field));
    days.find(|(_, list)| has(list)).map(|(field, _)| *field)
}

/// What numbers are whose heading names their unit: strengths, thicknesses or lengths.
fn measure(units: &[Unit], has: impl Fn(&str) -> bool) -> Option<Field> {
    let any = |is: fn(&Unit) -> bool| units.iter().any(is);
    if any(|unit| matches!(unit, Unit::Force(_))) {
        let kind = if has("wll, swl, working, limit, safe, lift") {
            StrengthKind::WorkingLimit
        } else {
            StrengthKind::Breaking
        };
        return Some(Field::Strength(kind, None));
    }
    let lengths = units.iter().filter(|unit| matches!(unit, Unit::Length(_)));
    let lengths: Vec<&str> = lengths.map(|unit| unit.sign()).collect();
    match lengths.as_slice() {
        ["mm"] => Some(Field::Attribute("diameter")),
        ["m"] => Some(Field::Attribute("length")),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn column(heading: &str, cells: &[&str]) -> Column {
        let text = |cell: &&str| TableRow {
            number: 2,
            cells: vec![(0, Cell::Text((*cell).to_owned()))],
        };
        let rows: Vec<TableRow> = cells.iter().map(text).collect();
        let (hints, _) = super::super::synonym::hints(heading);
        let mut columns = [Column {
            heading: heading.to_owned(),
            becomes: ColumnUse::Unknown(super::super::synonym::suggestions(heading)),
            units: hints.units,
            ..Column::default()
        }];
        at(&mut columns, &rows);
        let [column] = columns;
        column
    }

    #[test]
    fn what_stands_in_a_column_says_what_it_most_likely_is() {
        let days = &["2021-05-03", "2022-06-01", "2023-01-09", "2024-02-01"][..];
        for (heading, cells, key) in [
            ("Went onto the truck, out", days, "first-used"),
            ("Looked at by the firm", days, "last-examined"),
            (
                "Holds (kN, from the marking)",
                &["33", "22", "15"],
                "breaking-strength",
            ),
            (
                "Other figures on it (kN / kg)",
                &[
                    "WLL 5",
                    "becket 18, WLL 8",
                    "gate open 15, across 15",
                    "max 140 kg",
                ],
                "figures",
            ),
            (
                "mm: own thickness, or rope it takes",
                &["11", "8–13", "25 wide"],
                "attribute-diameter",
            ),
            (
                "Norm it bears",
                &["EN 1891:1998 A", "EN 362:2004/B", "EN 566:2017"],
                "standard",
            ),
            ("Punched in", &["VX19-1", "VX19-2", "VX19-3"], "serial"),
            ("Colour of it", &["red", "blue", "red"], "in-note"),
        ] {
            let guess = column(heading, cells).guess.map(|guess| guess.target.key());
            assert_eq!(guess.as_deref(), Some(key), "{heading}");
        }
        assert_eq!(
            column("Shape of things", days).guess,
            None,
            "which day it is, nobody can tell"
        );
        assert_eq!(column("Look", &["good", "so so", "worn"]).guess, None);
    }

    #[test]
    fn an_offer_that_the_cells_do_not_bear_out_is_none() {
        let days = &["2021-05-03", "2022-06-01", "2023-01-09"][..];
        for (heading, cells, none) in [
            ("Out on the lorry", days, "mark"),
            (
                "EN markings seen",
                &["EN 362", "EN 567", "EN 566"],
                "markings-readable",
            ),
            (
                "Holds so many years",
                &["red", "blue", "green"],
                "life-from-made",
            ),
        ] {
            let ColumnUse::Unknown(likely) = column(heading, cells).becomes else {
                panic!("{heading}");
            };
            assert!(
                likely.iter().all(|field| field.key() != none),
                "{heading}: {likely:?}"
            );
        }
    }
}
