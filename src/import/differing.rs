//! Rows that say otherwise of their model than the rows before, where it is said that they are items of a model of their
//! own that is named after what differs.

use super::answer::{Answers, Differing};
use super::differs_asked::APART;
use super::field::Field;
use super::grouping::{GroupKey, Groups};
use super::row::{Given, ReadRow};
use crate::domain::{Kind, fold};

impl Groups {
    /// Gives a row that says otherwise of its model the name of a model of its own, where that was said. What differs
    /// within that is put behind too.
    pub(super) fn apart(
        &mut self,
        row: &mut ReadRow,
        (kind, maker): (Kind, &str),
        answers: &Answers,
    ) {
        /// How many things of a model may differ one after the other.
        const MOST: usize = 4;
        let title = format!("{maker} {}", row.text(Field::Model));
        let is_apart = |field: &Field| {
            answers.differing == Some(Differing::Apart)
                || answers.agreed(&title, *field) == Some(APART)
        };
        for _ in 0..MOST {
            let name = row.text(Field::Model).to_owned();
            let key: GroupKey = (fold(maker), fold(&name));
            let Some(group) = self.all.get(&key).filter(|group| group.kind == kind) else {
                return;
            };
            let fields = group.fields_of(row).into_iter().filter(is_apart);
            let named: Vec<String> = fields
                .filter_map(|field| Some(in_name(field, &group.against_row(row, field)?.0.text)))
                .collect();
            if named.is_empty() {
                return;
            }
            let text = format!("{name} ({})", named.join(", "));
            let shown = row.values.get(&Field::Model);
            let shown = shown.map(|given| given.shown.clone()).unwrap_or_default();
            self.renamed.push((row.number, text.clone()));
            row.values.insert(Field::Model, Given { text, shown });
        }
    }
}

/// What differs, as it stands in a model's name.
fn in_name(field: Field, ours: &str) -> String {
    let alone = ours.contains(|c: char| c.is_ascii_digit());
    if alone {
        return ours.to_owned();
    }
    let label = field.label().to_lowercase();
    let label = label.split([',', '(']).next().unwrap_or_default().trim();
    format!("{label} {ours}")
}
