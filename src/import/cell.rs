//! One cell, read as the field of its column.

use super::column::Sense;
use super::field::Field;
use super::heading::{Column, shortened};
use super::table::Cell;
use super::{cut_number, day, ditto, load_each, price, quantity, rope_range, synonym, word};
use crate::domain::date::in_reach;
use crate::domain::{Kind, Made, Takes};

/// What a cell came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Reading {
    /// Nothing is known: the cell says so.
    Nothing,
    /// A value, written as the register's own forms write it.
    Value(String),
    /// A force that was given as the mass whose weight it is.
    Weight(String),
    /// Both ends of a rope range, of which one may not be known.
    Range(Option<String>, Option<String>),
    /// The kind of gear has no such thing.
    NotOfKind,
}

/// Why a cell came to nothing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Stop {
    /// It waits for the answer to a question.
    Asked,
    /// Its number waits for a unit.
    NoUnit,
    /// It names a month or a year where a day is kept.
    LessThanDay(Made),
    /// It says itself that nobody is sure of the day: "2020?".
    Unsure,
    /// It is wrong: a stable word for programs and a sentence.
    Wrong(&'static str, String),
}

impl From<(&'static str, String)> for Stop {
    fn from((code, message): (&'static str, String)) -> Self {
        Self::Wrong(code, message)
    }
}

/// Where a cell stands.
#[derive(Clone, Copy)]
pub(super) struct Place<'a> {
    pub(super) field: Field,
    /// The kind of gear in this row, if it is known.
    pub(super) kind: Option<Kind>,
    pub(super) column: &'a Column,
    pub(super) sense: Sense,
}

/// Reads a cell.
pub(super) fn read(cell: &Cell, place: Place<'_>) -> Result<Reading, Stop> {
    match cell {
        Cell::Formula => {
            let message = "A formula is not read: what it shows depends on where it is opened. Put its value in its place.";
            return Err(Stop::Wrong("formula", message.to_owned()));
        }
        Cell::Fault(fault) => {
            return Err(Stop::Wrong(
                "value",
                format!(
                    "The cell holds {}. Write a value, or leave it empty.",
                    shortened(fault)
                ),
            ));
        }
        Cell::Text(text) if is_nothing(text, place) => return Ok(Reading::Nothing),
        _ => {}
    }
    match place.field {
        field if field.is_day() => read_day(cell, place),
        Field::Strength(_, mode) => {
            let Some(kind) = place.kind else {
                return Err(quantity::waits(cell, place));
            };
            let rated = mode.map_or(!kind.modes().is_empty(), |mode| {
                kind.modes().contains(&mode)
            });
            if rated {
                quantity::strength(cell, place)
            } else {
                Ok(Reading::NotOfKind)
            }
        }
        Field::RatedLoad => match load_each::read(&cell.shown()) {
            Some(each) => Ok(Reading::Value(load_each::text(&each))),
            None => quantity::rated_load(cell, place),
        },
        Field::Price => price::read(cell, place),
        Field::RopeLeast | Field::RopeMost | Field::RopeRange => rope_range::read(cell, place),
        Field::Attribute(key) => {
            let Some(kind) = place.kind else {
                return Err(quantity::waits(cell, place));
            };
            match kind.attribute(key) {
                // What is wide is flat: no rope is, and it has no diameter.
                Some(_) if key == "diameter" && rope_range::is_flat(cell) => Ok(Reading::NotOfKind),
                Some(attribute) => quantity::attribute(cell, attribute, place),
                None => Ok(Reading::NotOfKind),
            }
        }
        field => plain(field, cell).map_err(Stop::from),
    }
}

/// "none" means "not known" but where it is a word of its own.
fn is_nothing(text: &str, place: Place<'_>) -> bool {
    match place.field {
        Field::Mark | Field::Note => false,
        // Here it says that somebody is not sure of the item itself.
        Field::State | Field::Verdict if text.trim().starts_with('?') => false,
        Field::Attribute(key) => {
            let takes = place
                .kind
                .and_then(|kind| kind.attribute(key))
                .map(|attribute| attribute.takes);
            let own = matches!(takes, Some(Takes::Choice(_) | Takes::YesNo));
            word::says_unknown(text) || (!own && text.eq_ignore_ascii_case("none"))
        }
        _ => word::says_unknown(text) || text.eq_ignore_ascii_case("none"),
    }
}

fn plain(field: Field, cell: &Cell) -> Result<Reading, (&'static str, String)> {
    let names_a_thing = matches!(
        field,
        Field::Mark | Field::Serial | Field::Lot | Field::Model | Field::Maker
    );
    if names_a_thing && matches!(cell, Cell::Day(_) | Cell::Month(_)) {
        return Err((
            "text",
            "The spreadsheet turned this into a day. Set the cell to text and write it anew."
                .to_owned(),
        ));
    }
    let text = cell.shown();
    if matches!(field, Field::Mark | Field::Serial | Field::Lot) && cut_number::is_one(cell) {
        return Err(("text", cut_number::sentence(&text)));
    }
    if field == Field::Serial && ditto::is_one(cell) {
        let message = format!(
            "\"{}\" says that the line above holds here too, but a serial is one item's own. Write the serial of this item, or leave the cell empty.",
            shortened(&text)
        );
        return Err(("text", message));
    }
    let words = synonym::plain_words(&text);
    let words = words.as_str();
    Ok(Reading::Value(match field {
        Field::LifeSupport | Field::MarkingsReadable => match words {
            "y" | "x" | "1" | "ppe" => "yes".to_owned(),
            "n" | "0" => "no".to_owned(),
            _ => text,
        },
        Field::Material => material(words).map_or(text, str::to_owned),
        Field::StrengthSource => strength_source(words).map_or(text, str::to_owned),
        Field::LifeFromMade | Field::LifeFromFirstUse => {
            without(&text, &["years", "year", "yrs", "y"])
        }
        Field::ExamineEvery => without(&text, &["months", "month", "mths"]),
        _ => text,
    }))
}

fn without(text: &str, endings: &[&str]) -> String {
    let lower = text.trim().to_lowercase();
    let found = endings.iter().find_map(|ending| lower.strip_suffix(ending));
    found.map_or_else(|| text.trim().to_owned(), |front| front.trim().to_owned())
}

fn material(words: &str) -> Option<&'static str> {
    Some(match words {
        "metal" | "steel" | "stainless" | "stainless steel" | "aluminium" | "aluminum"
        | "alloy" | "light alloy" | "aluminium alloy" | "aluminum alloy" => "metal",
        "textile" | "textiles" | "webbing" | "nylon" | "polyamide" | "polyester" | "aramid"
        | "fabric" => "textile",
        "plastic" | "abs" | "polycarbonate" => "plastic",
        _ => return None,
    })
}

fn strength_source(words: &str) -> Option<&'static str> {
    Some(match words {
        "marking" | "markings" | "marked" | "label" | "on the item" => "marking",
        "paper" | "papers" | "manual" | "instructions" | "data sheet" | "datasheet"
        | "catalogue" | "maker" => "paper",
        "test" | "tested" | "measured" => "test",
        _ => return None,
    })
}

fn read_day(cell: &Cell, place: Place<'_>) -> Result<Reading, Stop> {
    let wrong = |message: String| Stop::Wrong("date", message);
    let made = match cell {
        Cell::Day(date) => Made::Day(*date),
        Cell::Number(number) if number.fract() == 0.0 && (1950.0..=2150.0).contains(number) => {
            Made::read(&number.to_string()).map_err(|error| wrong(error.to_string()))?
        }
        Cell::Number(number) => {
            return Err(wrong(format!(
                "{number} is a plain number. Set the cells of this column to days, or write the day as 2026-03-01."
            )));
        }
        other => {
            let text = other.shown();
            if day::is_unsure(&text) {
                return Err(Stop::Unsure);
            }
            let written = day::read_made(&text).ok_or_else(|| {
                let less = if keeps_less(place.field) {
                    " or, where no more is known, as 2026-03 or 2026"
                } else {
                    ""
                };
                wrong(format!(
                    "Write the day as 2026-03-01{less}; \"{}\" cannot be read as one.",
                    shortened(&text)
                ))
            })?;
            match written.day(place.sense.said_dates, place.sense.shown_dates) {
                Ok(made) => made,
                Err(day::Doubt::Ask) => return Err(Stop::Asked),
                Err(day::Doubt::Against(order)) => {
                    return Err(wrong(format!(
                        "\"{}\" is no day if it is written {}. Write it as 2026-03-01.",
                        shortened(&text),
                        order.words()
                    )));
                }
                Err(day::Doubt::NoDay) => {
                    return Err(wrong(format!(
                        "There is no such day as \"{}\".",
                        shortened(&text)
                    )));
                }
            }
        }
    };
    in_reach(made.cautious_day()).map_err(|error| wrong(error.to_string()))?;
    if !keeps_less(place.field) && !matches!(made, Made::Day(_)) {
        return Err(Stop::LessThanDay(made));
    }
    Ok(Reading::Value(made.to_string()))
}

/// Whether a month or a year is taken where no more is known: the register keeps such a date made and such a first use,
/// and the day on which something is due within a month is found with its last examination.
fn keeps_less(field: Field) -> bool {
    matches!(field, Field::Made | Field::FirstUsed | Field::NextDue)
}
