//! A row as an item's draft.

use super::field::Field;
use super::history;
use super::row::ReadRow;
use crate::domain::{ItemDraft, Where, fold};

/// Why its use is arduous: what the list says, and that it says so where it says no more than yes.
fn arduous(row: &ReadRow) -> String {
    let said = row.text(Field::Arduous).trim();
    match fold(said).as_str() {
        "no" | "n" | "none" | "false" | "0" | "normal" | "usual" => String::new(),
        "yes" | "y" | "true" | "1" | "x" => "as the imported list says".to_owned(),
        _ => said.to_owned(),
    }
}

/// The item as it would be typed; model and store are known by reference only.
pub(super) fn draft(row: &ReadRow) -> ItemDraft {
    let mut note = vec![row.text(Field::Note).to_owned()];
    note.extend(row.note.iter().cloned());
    note.extend(history::kept_in_note(row));
    note.retain(|line| !line.is_empty());
    let mut draft = ItemDraft {
        mark: row.text(Field::Mark).to_owned(),
        serial: row.text(Field::Serial).to_owned(),
        lot: row.text(Field::Lot).to_owned(),
        made: row.text(Field::Made).to_owned(),
        bought_on: row.text(Field::Bought).to_owned(),
        first_used_on: row.text(Field::FirstUsed).to_owned(),
        markings_readable: row.text(Field::MarkingsReadable).to_owned(),
        arduous: arduous(row),
        note: note.join("\n"),
        ..ItemDraft::default()
    };
    for (field, given) in &row.values {
        if let (Field::Attribute(key), Some(kind)) = (field, row.kind)
            && kind
                .attribute(key)
                .is_some_and(|attribute| attribute.on == Where::Item)
        {
            draft
                .attributes
                .insert((*key).to_owned(), given.text.clone());
        }
    }
    // What such gear hardly ever has was asked about before it came here.
    if let Some(kind) = row.kind {
        kind.confirm(&mut draft.attributes);
    }
    draft
}
