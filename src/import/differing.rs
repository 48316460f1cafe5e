//! Rows that say otherwise of their model than the rows before, or than the register, where it is said that they are items
//! of a model of their own that is named after what differs.

use super::answer::{Answers, Differing};
use super::differs_asked::APART;
use super::field::Field;
use super::grouping::{Group, GroupKey, Groups};
use super::known::Known;
use super::row::{Given, ReadRow};
use crate::domain::{Kind, fold};

impl Groups {
    /// Gives a row that says otherwise of its model the name of a model of its own, where that was said. What differs
    /// within that is put behind too.
    pub(super) fn apart(
        &mut self,
        row: &mut ReadRow,
        (kind, maker): (Kind, &str),
        (answers, known): (&Answers, &Known),
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
            let differs = match known.model(maker, &name).filter(|model| model.kind == kind) {
                Some(model) => {
                    let mut alone = Group::new(kind, (maker, &name), row.number);
                    alone.agree(row);
                    let said = alone.against_register(model).into_iter();
                    said.filter_map(|(field, (_, said))| Some((field, said.into_iter().next()?.0)))
                        .collect()
                }
                None => self.differs(row, (kind, maker, &name)),
            };
            let named = differs.into_iter().filter(|(field, _)| is_apart(field));
            let named: Vec<String> = named.map(|(field, ours)| in_name(field, &ours)).collect();
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

    /// What a row says otherwise of its model than the rows before.
    fn differs(
        &self,
        row: &ReadRow,
        (kind, maker, name): (Kind, &str, &str),
    ) -> Vec<(Field, String)> {
        let key: GroupKey = (fold(maker), fold(name));
        let Some(group) = self.all.get(&key).filter(|group| group.kind == kind) else {
            return Vec::new();
        };
        let fields = group.fields_of(row).into_iter();
        let differs = |field| Some((field, group.against_row(row, field)?.0.text));
        fields.filter_map(differs).collect()
    }
}

/// Whether a model is the one of its own that a row was given once: its name is that of the row, and behind it stands,
/// in brackets, what the row says.
pub(super) fn was_apart(row: &ReadRow, kind: Kind, name: &str) -> bool {
    let (name, own) = (fold(name), fold(row.text(Field::Model)));
    let Some(behind) = name.strip_prefix(&own).filter(|_| !own.is_empty()) else {
        return false;
    };
    let mut group = Group::new(kind, (row.text(Field::Maker), &own), row.number);
    group.agree(row);
    let said = group.said.iter();
    let said = said.flat_map(|(field, said)| said.iter().map(|one| in_name(*field, &one.text)));
    let mut said: Vec<String> = said.map(|text| fold(&text)).collect();
    said.sort_by_key(|text| std::cmp::Reverse(text.len()));
    let mut rest = behind.trim().to_owned();
    let bracketed = rest.starts_with('(') && rest.ends_with(')');
    for text in said {
        rest = rest.replacen(&text, "", 1);
    }
    bracketed && rest.chars().all(|c| "(), ".contains(c))
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
