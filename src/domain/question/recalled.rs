//! What became of an item that a recall covers.

use crate::domain::date::write_day;
use crate::domain::{Item, ItemState, NoticeClosing};

/// How the notice that covers an item stands for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoticeFor<'a> {
    /// It is open.
    Open,
    /// It was closed.
    Closed(&'a NoticeClosing),
    /// There is no notice: somebody asked about a lot.
    NotOnRecord,
}

impl NoticeFor<'_> {
    /// That it is open, in a few words; none where it is not.
    pub fn open_words(self) -> Option<&'static str> {
        (self == Self::Open).then_some("notice still open for it")
    }
}

/// What became of an item, in words: its state and why, what it was cut from or into (`mark` gives the marks), and how
/// the notice stands for it.
pub fn fate(
    item: &Item,
    notice: NoticeFor<'_>,
    mark: impl Fn(crate::domain::ItemId) -> String,
) -> String {
    let mut words = Vec::new();
    if let Some(from) = item.whole_ropes().first() {
        words.push(format!(
            "cut from {} on {}",
            mark(from.item),
            write_day(from.on)
        ));
    }
    match (&item.retired, &item.cut_into) {
        (_, Some(into)) => {
            let pieces: Vec<String> = into.pieces.iter().map(|id| mark(*id)).collect();
            words.push(format!(
                "cut on {} into {}",
                write_day(into.on),
                pieces.join(", ")
            ));
        }
        (Some(retired), None) => {
            words.push(format!(
                "retired on {}: {}",
                write_day(retired.on),
                retired.because.word()
            ));
        }
        (None, None) if item.state == ItemState::InService => words.push("in service".to_owned()),
        (None, None) => words.push(format!("{}: {}", item.state.word(), item.state_reason)),
    }
    words.extend(notice.open_words().map(str::to_owned));
    if let NoticeFor::Closed(closing) = notice {
        words.push(format!("notice closed for it: {}", closing.result));
    }
    words.join("; ")
}
