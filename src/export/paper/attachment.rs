//! Photos and documents on paper: what each shows, the hash by which its file is known again, and the photos themselves.

use super::{Cell, Column, Sheet, photo::Shown, record::ItemFile};
use crate::domain::{AttachedTo, Attachment, AttachmentKind, date::write_day};

/// Those that are on an item, its examinations and its events; of the photos, `beside` stand in a row.
pub(super) fn attachments(sheet: &mut Sheet, file: &ItemFile, listed: &[&Attachment], beside: u8) {
    if listed.is_empty() {
        return;
    }
    table(sheet, file, listed);
    let photos = listed
        .iter()
        .filter(|one| one.kind == AttachmentKind::Photo);
    let photos: Vec<&&Attachment> = photos.collect();
    let print = |one: &&&Attachment| file.prints.iter().find(|print| print.of == one.id);
    let shown = photos.iter().filter_map(|one| {
        Some(Shown {
            caption: &one.caption,
            aside: format!("{}, added {}", what(one, file), write_day(one.on)),
            jpeg: print(one)?.jpeg.as_deref(),
        })
    });
    let shown: Vec<Shown<'_>> = shown.collect();
    if shown.len() < photos.len() {
        sheet.caution(&format!(
            "{} of {} photos are shown here; the others stand in the table alone.",
            shown.len(),
            photos.len()
        ));
    }
    sheet.photos(&shown, beside);
}

fn table(sheet: &mut Sheet, file: &ItemFile, listed: &[&Attachment]) {
    let rows: Vec<Vec<Cell>> = listed.iter().map(|one| row(one, file)).collect();
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

/// What it is, and of which look or event.
fn what(one: &Attachment, file: &ItemFile) -> String {
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
    match of {
        Some(of) => format!("{}: {of}", one.kind.title()),
        None => one.kind.title().to_owned(),
    }
}

fn row(one: &Attachment, file: &ItemFile) -> Vec<Cell> {
    vec![
        Cell::new(write_day(one.on)),
        Cell::new(what(one, file)),
        Cell::new(one.caption.as_str()),
        Cell::new(one.file.sha256.as_str()),
    ]
}
