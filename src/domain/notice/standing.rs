//! How a notice stands for an item that it covers, or covered.

use super::{Notice, NoticeClosing};
use crate::domain::{Item, Model};

/// How a notice stands for an item.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum NoticeStanding {
    /// It is open for it.
    Open,
    /// It is closed for it.
    Closed,
    /// It is open for it, though a correction of what is on record of the item, or of its model, took it out.
    StillOpen,
    /// It was withdrawn, and covered it until then.
    Withdrawn,
    /// It was closed for it, and covers it no more: it was corrected, or the record of the item was.
    LetOut,
}

impl NoticeStanding {
    /// Its key.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::StillOpen => "still-open",
            Self::Closed => "closed",
            Self::Withdrawn => "withdrawn",
            Self::LetOut => "let-out",
        }
    }

    /// Whether something is to be done by it.
    pub const fn is_open(self) -> bool {
        matches!(self, Self::Open | Self::StillOpen)
    }

    /// In a few words.
    pub const fn word(self) -> &'static str {
        match self {
            Self::StillOpen => "open still, though its record was corrected",
            Self::LetOut => "covered no more",
            other => other.key(),
        }
    }
}

/// An item that a notice covers or covered.
#[derive(Clone, Debug, PartialEq)]
pub struct NoticeItem {
    /// The item.
    pub item: Item,
    /// How the notice was closed for it, if it was.
    pub closing: Option<NoticeClosing>,
    /// How it stands for it.
    pub standing: NoticeStanding,
}

impl NoticeItem {
    /// An item of the model with the closing of this notice for it.
    pub fn new(
        notice: &Notice,
        (item, model): (Item, &Model),
        closing: Option<NoticeClosing>,
    ) -> Self {
        let standing = if !notice.is_about(&item, model) {
            NoticeStanding::LetOut
        } else if notice.withdrawn.is_some() {
            NoticeStanding::Withdrawn
        } else if closing.is_some() {
            NoticeStanding::Closed
        } else {
            NoticeStanding::Open
        };
        Self {
            item,
            closing,
            standing,
        }
    }

    /// Whether the notice covers it no more and is neither withdrawn nor closed for it, while it is aside: then it is open
    /// still if a correction of its record took it out.
    pub fn may_slip(&self, notice: &Notice) -> bool {
        self.standing == NoticeStanding::LetOut
            && self.closing.is_none()
            && notice.withdrawn.is_none()
            && self.item.state.is_aside()
    }

    /// An item that a correction of its record took out of a notice that is not closed for it.
    pub const fn still_open(item: Item) -> Self {
        Self {
            item,
            closing: None,
            standing: NoticeStanding::StillOpen,
        }
    }

    /// How the notice stands for it, with the result.
    pub fn in_words(&self) -> String {
        let word = self.standing.word();
        match (&self.closing, self.standing) {
            (None, _) => word.to_owned(),
            (Some(closing), NoticeStanding::Closed) => format!("{word}: {}", closing.result),
            (Some(closing), _) => format!("{word}; it was closed for it: {}", closing.result),
        }
    }
}
