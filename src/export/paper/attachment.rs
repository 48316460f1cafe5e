//! Photos and documents on paper: what each shows, and the hash by which its file is known again.

use super::{Cell, Column, Sheet, record::ItemFile};
use crate::domain::{AttachedTo, Attachment, date::write_day};

/// Those that are on an item, its examinations and its events.
pub(super) fn attachments<'a>(
    sheet: &mut Sheet,
    file: &ItemFile,
    shown: impl Iterator<Item = &'a Attachment>,
) {
    let rows: Vec<Vec<Cell>> = shown.map(|one| row(one, file)).collect();
    if rows.is_empty() {
        return;
    }
    sheet.heading("Photos and documents");
    let columns = [
        Column {
            name: "Added",
            part: 2.2,
        },
        Column {
            name: "What",
            part: 3.4,
        },
        Column {
            name: "What it shows or says",
            part: 5.0,
        },
        Column {
            name: "SHA-256 of the file",
            part: 5.4,
        },
    ];
    sheet.table(&columns, &rows);
}

fn row(one: &Attachment, file: &ItemFile) -> Vec<Cell> {
    let of = match one.to {
        AttachedTo::Examination { examination, .. } => {
            let mut looks = file.examinations.iter();
            looks
                .find(|look| look.id == examination)
                .map(|look| format!("{}, {}", look.kind.word(), write_day(look.on)))
        }
        AttachedTo::Event { event, .. } => {
            let mut events = file.events.iter();
            events
                .find(|there| there.id == event)
                .map(|event| format!("it {}, {}", event.kind.word(), write_day(event.on)))
        }
        AttachedTo::Item { .. } | AttachedTo::Model { .. } => None,
    };
    let what = match of {
        Some(of) => format!("{}: {of}", one.kind.title()),
        None => one.kind.title().to_owned(),
    };
    vec![
        Cell::new(write_day(one.on)),
        Cell::new(what),
        Cell::new(one.caption.as_str()),
        Cell::new(one.file.sha256.as_str()),
    ]
}
