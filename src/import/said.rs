//! What was answered for all rows where the list is silent, and for how many of them it stands.

use super::assemble::Assembly;
use super::field::Field;
use super::heading::{Column, shortened};
use super::question::{Earlier, Question, counted, lower_first};
use super::row::ReadRow;

/// Rows that say nothing of a field: how many, and the first of them.
pub(super) type Silent = (usize, u32);

fn count(seen: &mut Silent, (rows, first): Silent) {
    *seen = (seen.0 + rows, seen.1.min(first));
}

impl Assembly<'_> {
    /// What was answered for rows that say nothing of a field; where nothing was, it is asked.
    pub(super) fn answer(&mut self, field: Field, rows: Silent) -> Option<String> {
        let Some(said) = self.answers.silent(field) else {
            self.ask(field, rows);
            return None;
        };
        count(self.said.entry(field).or_insert((0, rows.1)), rows);
        Some(said.to_owned())
    }

    pub(super) fn ask(&mut self, field: Field, rows: Silent) {
        count(self.silent.entry(field).or_insert((0, rows.1)), rows);
    }

    /// A row of which it is not known yet what model it is says nothing of that either: it is asked with the others, and
    /// not again once the model is known.
    pub(super) fn silent_of_model(&mut self, row: &ReadRow) {
        // A column of which nobody knows yet what it is may say it.
        let mut columns = self.headings.columns.iter();
        if columns.any(Column::is_unknown) {
            return;
        }
        let maker = row.text(Field::Maker);
        if self.known.model(maker, row.text(Field::Model)).is_some() {
            return;
        }
        let is_rated = row
            .values
            .keys()
            .any(|field| matches!(field, Field::Strength(..)));
        for (field, needed) in [
            (Field::LifeSupport, true),
            (Field::StrengthSource, is_rated),
        ] {
            if needed && row.text(field).is_empty() && !row.says(field) {
                self.answer(field, (1, row.number));
            }
        }
    }

    /// What is asked because the list is silent: what nobody has answered, and what was answered for fewer rows than it
    /// would stand for now.
    pub(super) fn silence(&self) -> Vec<Question> {
        let silent = self.silent.iter();
        let asked = silent.map(|(field, (rows, first_row))| Question::Silent {
            field: *field,
            rows: *rows,
            first_row: *first_row,
            earlier: None,
        });
        let again = self.said.iter().filter_map(|(field, (rows, first_row))| {
            let earlier = Earlier {
                value: self.answers.silent(*field)?.to_owned(),
                rows: self.answers.silent_rows(*field),
            };
            (*rows > earlier.rows).then_some(Question::Silent {
                field: *field,
                rows: *rows,
                first_row: *first_row,
                earlier: Some(earlier),
            })
        });
        asked.chain(again).collect()
    }

    /// Says of each answer for how many rows it stands.
    pub(super) fn remark_said(&mut self) {
        for (field, (rows, first)) in &self.said {
            let said = self.answers.silent(*field).unwrap_or_default();
            let sentence = format!(
                "The list does not say \"{}\": your answer, \"{said}\", is taken for every such row.",
                field.label()
            );
            self.remarks.add_all(*rows, *first, sentence);
        }
    }
}

/// What is asked of rows that say nothing of a field.
pub(super) fn sentence(
    field: Field,
    (rows, first_row): (usize, u32),
    earlier: Option<&Earlier>,
) -> String {
    let about = match field {
        Field::LifeSupport => "whether the gear may hold people".to_owned(),
        Field::StrengthSource => "where the strengths were read".to_owned(),
        other => format!("the {}", lower_first(&other.label())),
    };
    let say = if rows == 1 { "says" } else { "say" };
    if let Some(Earlier {
        value,
        rows: before,
    }) = earlier
    {
        let said = match before {
            0 => format!("For other items you said \"{}\"", shortened(value)),
            _ => format!(
                "You said \"{}\" for {}",
                shortened(value),
                counted(*before, "row")
            ),
        };
        return format!(
            "{said}. Now {} {say} nothing about {about} (first: row {first_row}). Does it hold for all of them?",
            counted(rows, "row")
        );
    }
    format!(
        "What holds for the {} that {say} nothing about {about} (first: row {first_row})?",
        counted(rows, "row")
    )
}
