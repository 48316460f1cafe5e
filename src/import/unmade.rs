//! Rows that give no date made: what is said of all of a model or of a lot, and what comes of the rest.

use super::assemble::Assembly;
use super::day::{self, Written};
use super::fate::RemarkKind;
use super::field::Field;
use super::given::name_of;
use super::remark::rows_listed;
use super::row::{Given, ReadRow};
use crate::domain::date::{read_day, write_day};
use crate::domain::rulebook::Mark;
use crate::domain::{Made, Model, fold};

/// The name under which a date made is said of all items of a model that lack it, or of those of one lot of it.
pub(super) fn title(model: &str, lot: &str) -> String {
    match lot.trim() {
        "" => model.to_owned(),
        lot => format!("{model}, lot {lot}"),
    }
}

/// A date made as a person says it: a day, a month or a year, none of which can be read in two ways.
pub(super) fn made(text: &str) -> Option<Made> {
    match day::read_made(text.trim())? {
        Written::Certain(made) => Some(made),
        Written::Numbers { .. } => None,
    }
}

impl Assembly<'_> {
    /// Fills the date made of a row that gives none from what was said of its lot or its model; where nothing was, the
    /// row is told of. What does not hold beside the rest of the row is told under its name and applies to none.
    pub(super) fn made(&mut self, row: &mut ReadRow, model: Option<&Model>) {
        if !row.text(Field::Made).is_empty() || row.says(Field::Made) {
            return;
        }
        let of = format!("{} {}", row.text(Field::Maker), row.text(Field::Model));
        let title = title(&of, row.text(Field::Lot));
        let said = self.answers.of_model(&title);
        let mut said = said.filter(|(field, ..)| *field == Field::Made);
        let Some((text, read)) = said.find_map(|(_, text, read)| Some((made(text)?, read))) else {
            self.unmade.push(row.number);
            return;
        };
        let text = text.to_string();
        let mut filled = row.clone();
        let given = Given {
            text: text.clone(),
            shown: text.clone(),
        };
        filled.values.insert(Field::Made, given);
        if let Some(why) = self.against_made(&filled, model) {
            let name = name_of(&self.said_as(&title), &Field::Made.key());
            let known = self.faulty.on(&name).next().is_some();
            if !known {
                let why = format!("{why} (row {})", row.number);
                self.faulty.add(name, "range", why);
            }
            self.unmade.push(row.number);
            return;
        }
        *row = filled;
        let all = if row.text(Field::Lot).is_empty() {
            "model"
        } else {
            "lot"
        };
        row.note.push(format!(
            "Date made {text}: read {}; said for all items of the {all} when the list was brought in.",
            read.words()
        ));
    }

    /// The title as it was said, so that a fault is told at its field.
    fn said_as(&self, title: &str) -> String {
        let mut said = self.answers.models.keys();
        let said = said.find(|said| fold(said) == fold(title));
        said.map_or_else(|| title.to_owned(), Clone::clone)
    }

    /// What the rest of a row says against a date made.
    fn against_made(&self, row: &ReadRow, model: Option<&Model>) -> Option<String> {
        let draft = super::item::draft(row);
        let made = made(row.text(Field::Made)).map(Made::cautious_day);
        let examined = read_day(row.text(Field::LastExamined)).ok();
        if let (Some(made), Some(examined)) = (made, examined)
            && examined < made
        {
            return Some(format!(
                "It cannot be made after it was examined, {}.",
                write_day(examined)
            ));
        }
        let wrong = draft.check(model, None, self.today).err()?;
        let mut wrong = wrong.0.into_iter();
        wrong
            .find(|error| error.field == "made" || error.field == "first_used_on")
            .map(|error| error.message)
    }

    /// Says in which rows no date made is given, and what comes of that.
    pub(super) fn remark_unmade(&mut self) {
        if self.unmade.is_empty() {
            return;
        }
        let rulebook = self.known.rulebook.as_ref();
        let asked = rulebook.filter(|rulebook| rulebook.identity().asks.contains(&Mark::Made));
        let so = match asked {
            Some(rulebook) => format!(
                "by the rulebook \"{}\" no job takes an item whose date made is not known",
                rulebook.title()
            ),
            None => "the end of a life that counts from it cannot be told".to_owned(),
        };
        let sentence = format!(
            "No date made is given in {}: {so}. Read it on the item or in its papers.",
            rows_listed(&self.unmade)
        );
        self.remarks
            .add_rows(RemarkKind::Unmade, &self.unmade, &sentence);
    }
}
