//! Finds the cell to blame for what the register refuses.

use super::fate::RowError;
use super::field::{Field, attributes_named};
use super::grouping::Group;
use super::heading::Headings;
use super::rope_range;
use crate::domain::FieldError;

/// An error in the column of a field, or of the row where no column is read as it.
pub(super) fn at(
    headings: &Headings,
    row: u32,
    field: Option<Field>,
    code: &str,
    message: impl Into<String>,
) -> RowError {
    let column = field.and_then(|field| headings.of(field).or_else(|| range(headings, field)));
    match (column, field) {
        (Some(column), _) => RowError::at(row, column, code, message),
        (None, Some(field)) => {
            let message = format!("{}: {}", field.label(), message.into());
            RowError::in_row(row, code, message)
        }
        (None, None) => RowError::in_row(row, code, message),
    }
}

/// What the register says against a group of rows, at the first of them that says the value.
pub(super) fn of_group(
    headings: &Headings,
    group: &Group,
    field: Option<Field>,
    error: FieldError,
) -> RowError {
    let said = |field: Field| group.values.get(&field);
    let row = field
        .and_then(said)
        .map_or(group.first_row, |(_, row)| *row);
    at(headings, row, field, &error.code, error.message)
}

/// One column may hold both ends of a rope range, and the diameters of ropes beside them.
fn range(headings: &Headings, field: Field) -> Option<&super::heading::Column> {
    let shared = || {
        let shared = rope_range::shared(headings)?;
        headings.of(shared.field)
    };
    match field {
        Field::RopeLeast | Field::RopeMost => headings.of(Field::RopeRange).or_else(shared),
        Field::Attribute("diameter") => shared(),
        _ => None,
    }
}

/// The field behind a name that an item's draft uses.
pub(super) fn item_field(name: &str) -> Option<Field> {
    Some(match name {
        "mark" => Field::Mark,
        "serial" => Field::Serial,
        "lot" => Field::Lot,
        "made" => Field::Made,
        "bought_on" => Field::Bought,
        "first_used_on" => Field::FirstUsed,
        "markings_readable" => Field::MarkingsReadable,
        "arduous" => Field::Arduous,
        "note" => Field::Note,
        other => return attribute_field(other),
    })
}

/// The field behind a name that a model's draft uses.
pub(super) fn model_field(name: &str) -> Option<Field> {
    Some(match name {
        "kind" => Field::Kind,
        "maker" => Field::Maker,
        "name" => Field::Model,
        "material" => Field::Material,
        "life_support" => Field::LifeSupport,
        "life_years_from_made" => Field::LifeFromMade,
        "life_years_from_first_use" => Field::LifeFromFirstUse,
        "most_hours" => Field::MostHours,
        "most_uses" => Field::MostUses,
        "most_falls" => Field::MostFalls,
        "examine_every_months" => Field::ExamineEvery,
        "instructions" => Field::Instructions,
        "price" => Field::Price,
        part if part.starts_with("approvals[") => match last_part(part)? {
            "standard" => Field::Standard,
            "edition" => Field::Edition,
            "class" => Field::Class,
            "rope_least" => Field::RopeLeast,
            "rope_most" => Field::RopeMost,
            "rope_kinds" => Field::RopeKinds,
            "rated_load" => Field::RatedLoad,
            "least_strands" => Field::LeastStrands,
            _ => return None,
        },
        part if part.starts_with("ratings[") => match last_part(part)? {
            "source" => Field::StrengthSource,
            _ => return None,
        },
        other => return attribute_field(other),
    })
}

fn last_part(name: &str) -> Option<&str> {
    name.strip_suffix(']')?
        .rsplit_once('[')
        .map(|(_, last)| last)
}

fn attribute_field(name: &str) -> Option<Field> {
    let key = name.strip_prefix("attributes[")?.strip_suffix(']')?;
    let attribute = attributes_named(key).next()?;
    Some(Field::Attribute(attribute.key))
}
