//! What happened to an item and how it was used, as its page tells it.

use super::{super::attachment::add_href, ItemFile};
use crate::domain::{AttachedTo, Event, ItemId, Usage, date::write_day};

/// Something that happened to the item.
pub(super) struct EventRow {
    pub on: String,
    pub what: String,
    pub note: String,
    /// Where a photo is put on it.
    pub add: Option<String>,
}

/// The day of an event, what happened and what is known of it.
pub(super) fn event_row(event: &Event, file: &ItemFile, may_report: bool) -> EventRow {
    let whole = file.as_part_of(event.item);
    let follows = event.follows.as_ref();
    let follows = follows.map(|follows| format!("; it {}", follows.outcome.word()));
    let what = format!(
        "It {}{whole}{}",
        event.kind.word(),
        follows.unwrap_or_default()
    );
    let to = AttachedTo::Event {
        item: event.item,
        event: event.id,
    };
    EventRow {
        on: write_day(event.on),
        what,
        note: event.note.clone(),
        add: may_report.then(|| add_href(to)),
    }
}

/// The day of some use, how much it was and what is known of it.
pub(super) fn usage_row(usage: &Usage, file: &ItemFile) -> (String, String, String) {
    let whole = file.as_part_of(usage.item);
    let what = format!("{}{whole}", usage.amount.words());
    (usage.days_words(), what, usage.note.clone())
}

impl ItemFile {
    /// Says of what is recorded about another item that it was about the whole rope.
    pub(super) fn as_part_of(&self, item: ItemId) -> String {
        let mut ropes = self.whole_ropes.iter();
        match ropes.find(|rope| rope.id == item && item != self.item.id) {
            Some(rope) => format!(", as part of {}", rope.mark),
            None => String::new(),
        }
    }
}
