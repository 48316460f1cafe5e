//! What became of an item that a recall covers.

use crate::domain::date::write_day;
use crate::domain::{Item, ItemState, NoticeClosing, NoticeStanding};

/// How the notice that covers an item stands for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoticeFor<'a> {
    /// It is open.
    Open,
    /// It is open, though a correction of what is on record of the item, or of its model, took it out.
    StillOpen,
    /// It was closed.
    Closed(&'a NoticeClosing),
    /// It was withdrawn, and covered it until then; perhaps it was closed for it before.
    Withdrawn(Option<&'a NoticeClosing>),
    /// It covers it no more: the notice, or what is on record of the item, was corrected; perhaps it was closed before.
    LetOut(Option<&'a NoticeClosing>),
    /// There is no notice: somebody asked about a lot.
    NotOnRecord,
}

/// What is counted of an item that a notice covered until it was withdrawn.
pub const WITHDRAWN: &str = "by a notice that was withdrawn";

impl<'a> NoticeFor<'a> {
    /// What is counted beside the state of the item, in a few words; nothing where the notice was closed for it.
    pub fn beside(self) -> Option<&'static str> {
        match self {
            Self::Open => Some("notice still open for it"),
            Self::StillOpen => Some(
                "covered no more, by a correction of its record, with the notice still open for it",
            ),
            Self::Withdrawn(_) => Some(WITHDRAWN),
            Self::LetOut(_) => Some("covered no more, by a correction"),
            Self::Closed(_) | Self::NotOnRecord => None,
        }
    }

    fn in_words(self) -> Option<String> {
        let closed = |closing: &NoticeClosing| format!("closed for it: {}", closing.result);
        match self {
            Self::Open | Self::StillOpen | Self::LetOut(None) => self.beside().map(str::to_owned),
            Self::Closed(closing) => Some(format!("notice {}", closed(closing))),
            Self::Withdrawn(None) => Some("notice withdrawn".to_owned()),
            Self::Withdrawn(Some(closing)) => {
                Some(format!("notice withdrawn, before that {}", closed(closing)))
            }
            Self::LetOut(Some(closing)) => Some(format!(
                "covered no more, by a correction; before that {}",
                closed(closing)
            )),
            Self::NotOnRecord => None,
        }
    }

    /// How a notice stands for an item, as its closing and its standing say.
    pub fn of(standing: NoticeStanding, closing: Option<&'a NoticeClosing>) -> Self {
        match (standing, closing) {
            (NoticeStanding::Withdrawn, closing) => Self::Withdrawn(closing),
            (NoticeStanding::StillOpen, _) => Self::StillOpen,
            (NoticeStanding::LetOut, closing) => Self::LetOut(closing),
            (_, Some(closing)) => Self::Closed(closing),
            (_, None) => Self::Open,
        }
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
    words.extend(notice.in_words());
    words.join("; ")
}
