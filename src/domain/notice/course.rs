//! The course of a notice: that it was opened, what each correction made of it, and that it was withdrawn.

use time::OffsetDateTime;

use super::{Notice, NoticeDraft};
use crate::domain::{Change, Entry, Item, Model, PersonId, Zone, date::write_day};

/// What a correction made of one field.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, utoipa::ToSchema)]
pub struct NoticeEdit {
    /// The field, as the draft has it.
    pub field: &'static str,
    /// What it said before; empty where it said nothing.
    pub from: String,
    /// What it says since.
    pub to: String,
}

impl NoticeEdit {
    /// What the field is called where it is typed.
    pub fn title(&self) -> &'static str {
        FIELDS
            .iter()
            .find(|(field, ..)| *field == self.field)
            .map_or(self.field, |(_, title, _)| title)
    }

    /// The edit in words: `Lots: from "L8, L9" to "L7"`.
    pub fn in_words(&self) -> String {
        let quoted = |text: &str| match text {
            "" => "nothing".to_owned(),
            text => format!("\"{text}\""),
        };
        let (from, to) = (quoted(&self.from), quoted(&self.to));
        format!("{}: from {from} to {to}", self.title())
    }
}

/// What is read of a draft.
type Read = fn(&NoticeDraft) -> &str;

/// The fields of a notice, what each is called, and what a draft says in it.
const FIELDS: [(&str, &str, Read); 11] = [
    ("title", "What it is about", |draft| &draft.title),
    ("issuer", "Issued by", |draft| &draft.issuer),
    ("issued_on", "Day issued", |draft| &draft.issued_on),
    ("maker", "Maker", |draft| &draft.maker),
    ("model_name", "Model", |draft| &draft.model_name),
    ("more_models", "Further models", |draft| &draft.more_models),
    ("serials", "Serials", |draft| &draft.serials),
    ("lots", "Lots", |draft| &draft.lots),
    ("made_from", "Made from", |draft| &draft.made_from),
    ("made_until", "Made until", |draft| &draft.made_until),
    ("action", "What is to be done", |draft| &draft.action),
];

/// Whether two texts have other words in them. How a browser ends its lines is none of them.
fn differ(one: &str, other: &str) -> bool {
    !one.trim().lines().eq(other.trim().lines())
}

impl Notice {
    /// What is another in the notice as it is `after` a correction, field by field.
    pub fn edits(&self, after: &Self) -> Vec<NoticeEdit> {
        let (from, to) = (self.draft(), after.draft());
        let changed = FIELDS.iter().filter_map(|&(field, _, read)| {
            let (from, to) = (read(&from), read(&to));
            differ(from, to).then(|| NoticeEdit {
                field,
                from: from.to_owned(),
                to: to.to_owned(),
            })
        });
        changed.collect()
    }

    /// Whether something else is to be done by the notice `after` a correction. What was closed by this one is then open
    /// again: its results answer another question.
    pub fn asks_otherwise(&self, after: &Self) -> bool {
        differ(&self.action, &after.action)
    }

    /// Why an item is in quarantine that the notice holds.
    pub fn hold_reason(&self) -> String {
        format!("safety notice: {}", self.title)
    }
}

/// What became of a notice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoticeTurn {
    /// It was opened.
    Opened,
    /// It was corrected.
    Corrected {
        /// What it says otherwise since.
        edits: Vec<NoticeEdit>,
        /// Why.
        reason: String,
    },
    /// It was withdrawn.
    Withdrawn {
        /// Why.
        reason: String,
    },
}

impl NoticeTurn {
    /// Its key.
    pub const fn key(&self) -> &'static str {
        match self {
            Self::Opened => "opened",
            Self::Corrected { .. } => "corrected",
            Self::Withdrawn { .. } => "withdrawn",
        }
    }

    /// What the notice says otherwise since.
    pub fn edits(&self) -> &[NoticeEdit] {
        match self {
            Self::Corrected { edits, .. } => edits,
            _ => &[],
        }
    }

    /// Why; none where nobody is asked.
    pub fn reason(&self) -> Option<&str> {
        match self {
            Self::Opened => None,
            Self::Corrected { reason, .. } | Self::Withdrawn { reason } => Some(reason),
        }
    }

    /// Whether it opened the notice again for what it was closed for.
    pub fn opens_again(&self) -> bool {
        self.edits().iter().any(|edit| edit.field == "action")
    }
}

/// One turn of a notice's course.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoticeStep {
    /// The entry of the ledger.
    pub seq: u64,
    /// When it was recorded.
    pub at: OffsetDateTime,
    /// By whom.
    pub by: PersonId,
    /// What it was.
    pub turn: NoticeTurn,
}

/// The course of a notice, from all its entries in their order.
pub fn notice_course<'a>(entries: impl IntoIterator<Item = &'a Entry<Change>>) -> Vec<NoticeStep> {
    let mut said: Option<&Notice> = None;
    let mut steps = Vec::new();
    for entry in entries {
        let turn = match &entry.change {
            Change::NoticeOpened(notice) => {
                said = Some(notice);
                NoticeTurn::Opened
            }
            Change::NoticeCorrected(to) => NoticeTurn::Corrected {
                edits: said
                    .replace(&to.notice)
                    .map(|before| before.edits(&to.notice))
                    .unwrap_or_default(),
                reason: to.reason.clone(),
            },
            Change::NoticeWithdrawn(end) => NoticeTurn::Withdrawn {
                reason: end.reason.clone(),
            },
            // The rest is no turn of a notice.
            _ => continue,
        };
        steps.push(NoticeStep {
            seq: entry.seq,
            at: entry.recorded_at,
            by: entry.actor,
            turn,
        });
    }
    steps
}

/// That the notice that holds an item covers it no more.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LetGo {
    /// What it says of itself last.
    pub title: String,
    /// When it was withdrawn or corrected.
    pub at: OffsetDateTime,
    /// Whether it was withdrawn; else it was corrected.
    pub withdrawn: bool,
    /// Why.
    pub reason: String,
}

impl LetGo {
    /// What became of the notice that holds an item, from all entries of one notice in their order; none where it did not
    /// put the item aside, and where it covers it still.
    pub fn of<'a>(
        entries: impl IntoIterator<Item = &'a Entry<Change>>,
        (item, model): (&Item, &Model),
    ) -> Option<Self> {
        let (mut held, mut said, mut gone) = (false, None::<&Notice>, None);
        for entry in entries {
            let (next, reason) = match &entry.change {
                Change::NoticeOpened(notice) => (Some(notice), ""),
                Change::NoticeCorrected(to) => (Some(&to.notice), to.reason.as_str()),
                Change::NoticeWithdrawn(end) => (None, end.reason.as_str()),
                _ => continue,
            };
            let covers = |notice: &Notice| notice.is_about(item, model);
            held |= next.is_some_and(|notice| notice.hold_reason() == item.state_reason);
            if next.is_some_and(covers) {
                gone = None;
            } else if let Some(before) = said.filter(|before| covers(before)) {
                gone = Some(Self {
                    title: next.unwrap_or(before).title.clone(),
                    at: entry.recorded_at,
                    withdrawn: next.is_none(),
                    reason: reason.to_owned(),
                });
            }
            said = next.or(said);
        }
        gone.filter(|_| held)
    }

    /// The same in a sentence.
    pub fn in_words(&self, zone: &Zone) -> String {
        let (title, day) = (&self.title, write_day(zone.day(self.at)));
        let what = if self.withdrawn {
            format!("was withdrawn on {day}")
        } else {
            format!("was corrected on {day} and covers it no more")
        };
        format!("The safety notice \"{title}\" {what}: {}", self.reason)
    }
}
