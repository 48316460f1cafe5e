//! Cells of a column of strengths that say more than one number with its unit: taken apart, or asked about once a text.

use super::answer::IN_NOTE;
use super::doubted_figure;
use super::field::Field;
use super::heading::{Column, shortened};
use super::loading_said;
use super::row::{Given, ReadRow, Reading};
use super::strength_said::{self, Said, Unsaid};
use super::table::Cell;
use super::{number, word};
use crate::domain::entered::{ForceUnit, MassUnit};
use crate::domain::{Kind, fold};
use crate::rigging::StrengthKind;

impl Reading<'_> {
    /// Reads a cell of strengths that is no plain number. Gives whether that was done here: what is plain, and what waits
    /// for the kind of gear, is read as any other cell.
    pub(super) fn read_strengths(
        &mut self,
        cell: &Cell,
        (column, field): (&Column, Field),
        read: &mut ReadRow,
    ) -> bool {
        let of = match field {
            Field::Figures => return self.read_figures(cell, column, read),
            Field::Strength(of, None) => of,
            _ => return false,
        };
        let (Cell::Text(text), Some(kind)) = (cell, read.kind) else {
            return false;
        };
        let bracket = loading_said::read(cell, field);
        if kind.modes().is_empty()
            || word::says_unknown(text)
            || is_plain((kind, of), text)
            || matches!(bracket, Ok(Some(_)))
        {
            return false;
        }
        let said = self.answers.word(field, text).map(str::to_owned);
        if said.as_deref() == Some(IN_NOTE) {
            self.keep_in_note(cell, column, read);
            return true;
        }
        let unit = column.unit_for(field).ok().flatten();
        let unit = unit.map(super::unit::Unit::sign);
        let as_said = said.as_deref().unwrap_or(text);
        match strength_said::read(kind, as_said, (Some(of), unit)) {
            Ok(found) => self.take_strengths(cell, (column, found, Some(of)), read),
            Err(Unsaid::NoUnit) => {
                read.wait(field);
                self.units.wait(column, cell, read.number);
            }
            Err(Unsaid::Unread | Unsaid::Asked) => {
                read.wait(field);
                self.ask_word(field, text, read);
            }
        }
        true
    }

    /// Reads a cell of which each number has words that say what it is. Where one of them names a strength and the whole
    /// cannot be read, it is asked what it is; what names none stays in the note, and is told once for the column.
    fn read_figures(&mut self, cell: &Cell, column: &Column, read: &mut ReadRow) -> bool {
        if matches!(cell, Cell::Text(text) if word::says_unknown(text)) {
            return true;
        }
        let unit = column.unit_for(Field::Figures).ok().flatten();
        let unit = unit.map(super::unit::Unit::sign);
        let of_kind = read.kind.filter(|kind| !kind.modes().is_empty());
        let said = match (cell, of_kind) {
            (Cell::Text(text), Some(kind)) => strength_said::read(kind, text, (None, unit))
                .or_else(|unsaid| self.figures_answered((kind, text), unit, unsaid, read)),
            _ => Err(Unsaid::Unread),
        };
        match said {
            Ok(found) => self.take_strengths(cell, (column, found, None), read),
            Err(Unsaid::NoUnit) => {
                read.wait(Field::Figures);
                self.units.wait(column, cell, read.number);
            }
            Err(Unsaid::Asked) => {}
            Err(Unsaid::Unread) if read.kind.is_none() => read.wait(Field::Figures),
            Err(Unsaid::Unread) => {
                self.notes.keep(column, &cell.shown(), read.number);
                self.keep_in_note(cell, column, read);
            }
        }
        true
    }

    /// What was answered of a text of figures that cannot be read, or the question about the strength that it names.
    fn figures_answered(
        &mut self,
        (kind, text): (Kind, &str),
        unit: Option<&str>,
        unsaid: Unsaid,
        read: &mut ReadRow,
    ) -> Result<Said, Unsaid> {
        let named = strength_said::named(kind, text);
        // A column of its own says it better.
        let named = named.filter(|field| self.headings.of(*field).is_none());
        let (Unsaid::Unread, Some(field @ Field::Strength(of, _))) = (unsaid, named) else {
            return Err(unsaid);
        };
        let answer = self.answers.word(field, text);
        if answer == Some(IN_NOTE) {
            return Err(Unsaid::Unread);
        }
        let found = answer.and_then(|said| strength_said::read(kind, said, (Some(of), unit)).ok());
        let Some(mut found) = found else {
            read.wait(field);
            self.ask_word(field, text, read);
            return Err(Unsaid::Asked);
        };
        // A number without a word is the answer to what was asked.
        for (one, _) in &mut found.fields {
            if *one == Field::Strength(of, None) {
                *one = field;
            }
        }
        Ok(found)
    }

    /// Takes what a cell says, each as its field; what is in none of them stays in the note.
    fn take_strengths(
        &mut self,
        cell: &Cell,
        (column, found, of): (&Column, Said, Option<StrengthKind>),
        read: &mut ReadRow,
    ) {
        let shown = cell.shown();
        let mut words = Vec::new();
        let mut more = found.more;
        let both = if found.lower_for_both {
            "; which of the last two is with the gate open and which across does not stand there, so the lower counts for both"
        } else {
            ""
        };
        for (field, value) in found.fields {
            // A column of its own says it better, and one value is not taken for another.
            let is_own = of.is_some_and(|of| field == Field::Strength(of, None));
            let own = !is_own && self.headings.of(field).is_some();
            if own || read.values.contains_key(&as_usual(field, read.kind)) {
                more = true;
                continue;
            }
            words.push(format!("{} {value}", in_words(field)));
            // Rows of one model may say it with a word for the way and without.
            let field = as_usual(field, read.kind);
            let given = Given {
                text: value,
                shown: shown.clone(),
            };
            read.values.insert(field, given);
        }
        if more {
            self.keep_in_note(cell, column, read);
        }
        if words.is_empty() {
            self.notes.keep(column, &shown, read.number);
            return;
        }
        let rest = if more {
            "; the rest is kept in the note"
        } else {
            ""
        };
        let sentence = format!(
            "\"{}\" under \"{}\" is read as {}{both}{rest}.",
            shortened(&shown),
            shortened(&column.heading),
            words.join(", ")
        );
        if of.is_none() {
            self.read.remarks.look_at(read.number, sentence);
        } else {
            self.read.remarks.add(read.number, sentence);
        }
    }
}

/// A strength in the usual way of loading as that of the kind of gear.
fn as_usual(field: Field, kind: Option<Kind>) -> Field {
    let usual = kind.and_then(|kind| kind.modes().first().copied());
    match field {
        Field::Strength(of, Some(mode)) if Some(mode) == usual => Field::Strength(of, None),
        field => field,
    }
}

/// Whether a text is one number, with a unit or none, so that nothing has to be taken apart; a mass is plain where it is
/// not that of people.
fn is_plain((kind, of): (Kind, StrengthKind), text: &str) -> bool {
    let Some((_, rest)) = number::split(text) else {
        return false;
    };
    let is_mass = MassUnit::from_symbol(rest).is_some();
    let is_unit = rest.is_empty() || is_mass || ForceUnit::from_symbol(rest).is_some();
    let may_be_people = is_mass && of == StrengthKind::Breaking;
    // ".22" is 22 as often as it is 0.22.
    let is_whole = !text.trim_start().starts_with(['.', ',']);
    is_unit && is_whole && !(may_be_people && strength_said::is_of_people(kind, text))
}

/// A field inside a sentence: "breaking strength", "working limit", "breaking strength at its becket".
fn in_words(field: Field) -> String {
    let label = field.label().to_lowercase();
    label.replace(", loaded as usual", "")
}

/// What can be said of a text under strengths that cannot be read: that one of its numbers is the strength, or that it
/// is none.
pub(super) fn choices(text: &str) -> Vec<(String, String)> {
    if let Some(choices) = doubted_figure::choices(text) {
        return choices;
    }
    let mut choices: Vec<(String, String)> = Vec::new();
    for (written, word) in number::with_words(text) {
        let (Ok(value), Some(unit)) = (written.value(None, None), ForceUnit::from_symbol(word))
        else {
            continue;
        };
        let value = format!("{value} {}", unit.symbol());
        if choices.iter().all(|(one, _)| fold(one) != fold(&value)) {
            choices.push((value.clone(), format!("The strength is {value}")));
        }
    }
    let note = "It is kept in the note; the strength is not known";
    choices.push((IN_NOTE.to_owned(), note.to_owned()));
    choices
}
