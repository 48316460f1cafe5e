//! Tags: codes on an item that a scanner reads, of the maker's, of somebody else's or of our own.

mod check_digit;
mod element;
mod fault;
mod identifier;
mod link;
mod own;
mod scan;

use serde::{Deserialize, Serialize};

pub use element::{Element, Elements, SEPARATOR};
pub use fault::Fault;
pub use own::{LETTERS, OwnCode};
pub use scan::{LONGEST_SCAN, Scan};

use super::{FieldErrors, ItemId, JobId, TagId};

/// What kind of code a tag bears.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum TagKind {
    /// A short code that was made here.
    Own,
    /// A GS1 element string or a GS1 Digital Link.
    Gs1,
    /// Any other text.
    Text,
}

impl TagKind {
    /// The word for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::Own => "Ropeloft's own",
            Self::Gs1 => "GS1",
            Self::Text => "text",
        }
    }

    /// What is unique in the team: codes of two kinds are never the same.
    pub(super) fn key_of(self, code: &str) -> String {
        let kind = match self {
            Self::Own => "own",
            Self::Gs1 => "gs1",
            Self::Text => "text",
        };
        format!("{kind}:{code}")
    }
}

/// A tag on an item.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Tag {
    /// Its id.
    pub id: TagId,
    /// The item.
    pub item: ItemId,
    /// What kind of code it bears.
    pub kind: TagKind,
    /// The code as it was scanned.
    pub text: String,
    /// The same code however it is written; unique in the team.
    pub key: String,
}

impl Tag {
    /// A tag of our own with this code.
    pub fn own(id: TagId, item: ItemId, code: OwnCode) -> Self {
        Self {
            id,
            item,
            kind: TagKind::Own,
            text: code.to_string(),
            key: TagKind::Own.key_of(&code.plain()),
        }
    }

    /// Its code, if it is one of our own.
    pub fn own_code(&self) -> Option<OwnCode> {
        let code = self.key.strip_prefix("own:")?;
        OwnCode::read(code)
    }
}

/// A scanned code as people read it.
pub fn words_of(text: &str) -> String {
    Scan::read(text).map_or_else(|_| text.replace(SEPARATOR, " "), |scan| scan.words())
}

/// The job of a short address, which the code of a kit list holds, with or without the server's own in front.
pub fn job_of(code: &str) -> Option<JobId> {
    let (_, id) = code.trim().rsplit_once("/j/")?;
    id.parse().ok()
}

/// The key under which a code of our own is kept.
pub fn own_key(code: OwnCode) -> String {
    TagKind::Own.key_of(&code.plain())
}

/// What every key of a serialised product of this number begins with.
pub fn product_key(product: &str) -> String {
    TagKind::Gs1.key_of(&format!("(01){product}(21)"))
}

/// A tag as scanned or typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct TagDraft {
    /// What the scanner gave.
    pub text: String,
}

impl TagDraft {
    /// The tag that was scanned.
    ///
    /// # Errors
    /// Under `text`: why the code cannot be read, or why it does not tell one item from another.
    pub fn check(&self, id: TagId, item: ItemId) -> Result<Tag, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let scan = wrong.keep("text", "code", Scan::read(&self.text));
        let shared = scan.as_ref().and_then(|scan| scan.shared);
        if let Some(why) = shared {
            let message = format!("{why} Scan one that has the serial in it.");
            wrong.add("text", "shared", message);
        }
        match scan {
            Some(scan) if wrong.is_empty() => Ok(Tag {
                id,
                item,
                kind: scan.kind,
                text: scan.text,
                key: scan.key,
            }),
            _ => Err(wrong),
        }
    }
}

/// A tag was taken off an item.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct TagRemoved {
    /// The tag.
    pub tag: TagId,
    /// The item it was on.
    pub item: ItemId,
    /// The code it bore.
    pub text: String,
    /// Why.
    pub reason: String,
}
