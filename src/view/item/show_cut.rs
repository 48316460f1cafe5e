//! What an item was cut from, and what it was cut into.

use super::{super::quantity, ItemFile};
use crate::domain::{Item, Units, date::write_day};

/// The part of an item's page about its cuts.
pub(super) struct CutPart {
    /// What was cut when.
    pub words: String,
    /// The ropes or the pieces, each with its page.
    pub rows: Vec<CutRow>,
}

/// A rope or a piece.
pub(super) struct CutRow {
    pub href: String,
    pub mark: String,
    pub what: String,
}

impl CutPart {
    /// Nothing where no cut is known of.
    pub fn of(file: &ItemFile, units: Units) -> Option<Self> {
        let item = &file.item;
        let mut rows = Vec::new();
        let mut words = Vec::new();
        if let Some(whole) = item.whole_ropes().first() {
            words.push(format!(
                "It was cut off on {}. What happened to the rope until then happened to it too.",
                write_day(whole.on)
            ));
            let cuts = item.whole_ropes().iter();
            for (cut, rope) in cuts.zip(&file.whole_ropes) {
                let what = format!("until {} part of this rope", write_day(cut.on));
                rows.push(CutRow::of(rope, what));
            }
        }
        if let Some(into) = &item.cut_into {
            words.push(format!(
                "It was cut on {} and is closed. What is found out late of the whole rope, as by an examination that it failed, is written on \
                 each piece: put it in quarantine, or examine it.",
                write_day(into.on)
            ));
            for piece in &file.pieces {
                let length = piece.attributes.length("length");
                let length = length.map(|length| quantity::length(length, units).words);
                let what = format!(
                    "piece, {}, {}",
                    length.unwrap_or_else(|| "length not known".to_owned()),
                    piece.state.word()
                );
                rows.push(CutRow::of(piece, what));
            }
        }
        (!rows.is_empty()).then(|| Self {
            words: words.join(" "),
            rows,
        })
    }
}

impl CutRow {
    fn of(item: &Item, what: String) -> Self {
        Self {
            href: format!("/items/{}", item.id),
            mark: item.mark.clone(),
            what,
        }
    }
}
