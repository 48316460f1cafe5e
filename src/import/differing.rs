//! Rows that say otherwise of their model than the rows before: refused, or, where it is said so, items of a model of
//! their own that is named after what differs.

use super::field::Field;
use super::grouping::{Group, GroupKey, Groups, is_of_model};
use super::row::{Given, ReadRow};
use super::standard;
use crate::domain::{Kind, fold};

/// What a row says of its model against an earlier row: the field, its own words, those of the other, and where these are.
pub(super) struct Otherwise {
    pub(super) field: Field,
    pub(super) ours: String,
    pub(super) theirs: String,
    pub(super) row: u32,
}

impl Groups {
    /// Gives a row that says otherwise of its model the name of a model of its own. What differs within that is put
    /// behind too.
    pub(super) fn apart(&mut self, row: &mut ReadRow, kind: Kind, maker: &str) {
        /// How many things of a model may differ one after the other.
        const MOST: usize = 4;
        for _ in 0..MOST {
            let name = row.text(Field::Model).to_owned();
            let key: GroupKey = (fold(maker), fold(&name));
            let group = self.all.get(&key).filter(|group| group.kind == kind);
            let otherwise = group.map_or_else(Vec::new, |group| group.otherwise(row));
            let named: Vec<String> = otherwise.iter().map(in_name).collect();
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

impl Group {
    /// What a row says of the model against what earlier rows say.
    pub(super) fn otherwise(&self, row: &ReadRow) -> Vec<Otherwise> {
        let said = row.values.iter();
        let of_model = said.filter(|(field, _)| is_of_model(**field, self.kind));
        let against = of_model.filter_map(|(field, given)| {
            let (text, first) = self.values.get(field)?;
            let joins = *field == Field::Standard
                && standard::joined(&self.approvals, &row.approvals).is_some();
            let differs = !joins && fold(text) != fold(&given.text);
            differs.then(|| Otherwise {
                field: *field,
                ours: given.text.clone(),
                theirs: text.clone(),
                row: *first,
            })
        });
        against.collect()
    }
}

/// What differs, as it stands in a model's name.
fn in_name(one: &Otherwise) -> String {
    let alone = one.ours.contains(|c: char| c.is_ascii_digit());
    if alone {
        return one.ours.clone();
    }
    let label = one.field.label().to_lowercase();
    let label = label.split([',', '(']).next().unwrap_or_default().trim();
    format!("{label} {}", one.ours)
}
