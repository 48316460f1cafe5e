//! Photos and documents on records. The record holds what was put on which record and the hash of its bytes; the bytes
//! themselves are kept beside the database, under that hash.

use serde::{Deserialize, Serialize};
use time::Date;
use uuid::Uuid;

use super::date::iso;
use super::{
    AttachmentId, Deed, EventId, Examination, ExaminationId, FieldErrors, FileHash, ItemId,
    KeptFile, LONGEST_LINE, ModelId, Names, PersonId, Told,
};

/// The most photos and documents that one record shows; withdrawn ones do not count.
pub const MOST_ATTACHED: usize = 40;
/// The most files of one form.
pub const MOST_FILES: usize = 8;
/// The most bytes that are sent at once, in one file or in several.
pub const LARGEST_UPLOAD: usize = 20 * 1024 * 1024;
/// The longest name of a file that is kept; the rest is cut off.
const LONGEST_NAME: usize = 120;

/// What was put on a record.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum AttachmentKind {
    /// A picture that somebody took.
    Photo,
    /// A paper as PDF: instructions, a certificate, a report.
    Document,
}

impl AttachmentKind {
    /// The word for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::Photo => "photo",
            Self::Document => "document",
        }
    }

    /// The word at the beginning of a sentence.
    pub fn title(self) -> &'static str {
        match self {
            Self::Photo => "Photo",
            Self::Document => "Document",
        }
    }
}

/// The record on which something is put.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(tag = "record", rename_all = "kebab-case")]
pub enum AttachedTo {
    /// An item.
    Item {
        /// The item.
        item: ItemId,
    },
    /// A model.
    Model {
        /// The model.
        model: ModelId,
    },
    /// An examination of an item.
    Examination {
        /// The item.
        item: ItemId,
        /// The examination.
        examination: ExaminationId,
    },
    /// Something that happened to an item.
    Event {
        /// The item.
        item: ItemId,
        /// The event.
        event: EventId,
    },
}

impl AttachedTo {
    /// The id of the record.
    pub fn id(self) -> Uuid {
        match self {
            Self::Item { item } => item.0,
            Self::Model { model } => model.0,
            Self::Examination { examination, .. } => examination.0,
            Self::Event { event, .. } => event.0,
        }
    }

    /// The item that it is about, if it is about one.
    pub fn item(self) -> Option<ItemId> {
        match self {
            Self::Item { item } | Self::Examination { item, .. } | Self::Event { item, .. } => {
                Some(item)
            }
            Self::Model { .. } => None,
        }
    }

    /// The model, if it is one.
    pub fn model(self) -> Option<ModelId> {
        match self {
            Self::Model { model } => Some(model),
            _ => None,
        }
    }

    /// The records in whose history it stands, the one with a page first.
    fn subjects(self) -> Vec<Uuid> {
        match self {
            Self::Item { .. } | Self::Model { .. } => vec![self.id()],
            Self::Examination { item, .. } | Self::Event { item, .. } => vec![item.0, self.id()],
        }
    }

    /// Whose name the record goes by.
    fn named(self) -> Uuid {
        self.item().map_or_else(|| self.id(), |item| item.0)
    }

    /// The record in words, with its item or model by name: `RL-0042`, `an examination of RL-0042`.
    pub fn words(self, name: &str) -> String {
        match self {
            Self::Item { .. } => name.to_owned(),
            Self::Model { .. } => format!("the model {name}"),
            Self::Examination { .. } => format!("an examination of {name}"),
            Self::Event { .. } => format!("the report of an event with {name}"),
        }
    }

    /// What one must be allowed to do to put something on it. Whoever may record a look or an event may prove it;
    /// `examination` is the one that is meant, where it is one.
    pub fn deed(self, examination: Option<&Examination>) -> Deed {
        match self {
            Self::Item { .. } | Self::Model { .. } => Deed::KeepRegister,
            Self::Examination { .. } if examination.is_none_or(|one| one.kind.is_thorough()) => {
                Deed::Examine
            }
            Self::Examination { .. } | Self::Event { .. } => Deed::ReportEvent,
        }
    }
}

/// A photo or a document on a record.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Attachment {
    /// Its id.
    pub id: AttachmentId,
    /// The record that it is on.
    pub to: AttachedTo,
    /// What it is.
    pub kind: AttachmentKind,
    /// What it shows or says, for whoever sees it and whoever cannot.
    pub caption: String,
    /// The name of the file that was sent.
    pub name: String,
    /// The day it was put on the record.
    #[serde(with = "iso")]
    pub on: Date,
    /// Who put it there.
    pub by: PersonId,
    /// The file.
    pub file: KeptFile,
    /// The same photo, small.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thumbnail: Option<KeptFile>,
    /// Why it is shown no more, if it was withdrawn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub withdrawn: Option<AttachmentEnd>,
}

impl Attachment {
    /// The records whose history it belongs to.
    pub(super) fn subjects(&self) -> Vec<Uuid> {
        let mut subjects = self.to.subjects();
        subjects.push(self.id.0);
        subjects
    }

    /// What it is about, by name.
    pub(super) fn about(&self, names: &Names) -> Vec<String> {
        vec![names.of(self.to.named())]
    }

    /// That it was put on its record, in words.
    pub(super) fn told(&self, names: &Names) -> Told {
        let on = self.to.words(&names.of(self.to.named()));
        Told::new(format!("{} put on {on}", self.kind.title()))
            .why(format!("{}; SHA-256 {}", self.caption, self.file.sha256))
            .on(self.on)
    }

    /// The file of this hash, the photo itself or its small one.
    pub fn file_of(&self, hash: &FileHash) -> Option<&KeptFile> {
        let files = std::iter::once(&self.file).chain(&self.thumbnail);
        files.into_iter().find(|file| file.sha256 == *hash)
    }

    /// The same after it was withdrawn.
    #[must_use]
    pub fn ended(mut self, end: AttachmentEnd) -> Self {
        self.withdrawn = Some(end);
        self
    }
}

/// How something was withdrawn from a record. Its bytes are kept, and its hash stays in the ledger.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct AttachmentEnd {
    /// The day.
    #[serde(with = "iso")]
    pub on: Date,
    /// Who did it.
    pub by: PersonId,
    /// Why.
    pub reason: String,
}

/// That a photo or a document was withdrawn.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct AttachmentWithdrawal {
    /// The photo or document.
    pub attachment: AttachmentId,
    /// The record that it was on.
    pub to: AttachedTo,
    /// What it is.
    pub kind: AttachmentKind,
    /// The hash of its bytes.
    pub sha256: FileHash,
    /// How.
    pub end: AttachmentEnd,
}

impl AttachmentWithdrawal {
    /// The records whose history it belongs to.
    pub(super) fn subjects(&self) -> Vec<Uuid> {
        let mut subjects = self.to.subjects();
        subjects.push(self.attachment.0);
        subjects
    }

    /// What it is about, by name.
    pub(super) fn about(&self, names: &Names) -> Vec<String> {
        vec![names.of(self.to.named())]
    }

    /// That it was withdrawn, in words.
    pub(super) fn told(&self, names: &Names) -> Told {
        let on = self.to.words(&names.of(self.to.named()));
        Told::new(format!("{} withdrawn from {on}", self.kind.title()))
            .why(format!("{}; SHA-256 {}", self.end.reason, self.sha256))
            .on(self.end.on)
    }
}

/// A file that came in and holds: what will be kept of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Received {
    /// What it is.
    pub kind: AttachmentKind,
    /// The file as it will be kept.
    pub file: KeptFile,
    /// The same photo, small.
    pub thumbnail: Option<KeptFile>,
}

/// What is typed in with a file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct AttachmentDraft {
    /// What it shows or says.
    pub caption: String,
    /// The name of the file that was sent.
    pub name: String,
}

impl AttachmentDraft {
    /// The caption.
    ///
    /// # Errors
    /// The field `caption` if it says nothing or too much.
    pub fn caption(&self) -> Result<String, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let caption = wrong.optional_line("caption", &self.caption);
        if caption.is_none() && wrong.is_empty() {
            let words = format!(
                "Write in up to {LONGEST_LINE} characters what it shows: it is read out to whoever cannot see it."
            );
            wrong.add("caption", "required", words);
        }
        wrong.or(|| caption.unwrap_or_default())
    }

    /// The attachment of a file that came in.
    ///
    /// # Errors
    /// The field `caption` if it says nothing or too much.
    pub fn check(
        &self,
        id: AttachmentId,
        to: AttachedTo,
        (by, on): (PersonId, Date),
        received: Received,
    ) -> Result<Attachment, FieldErrors> {
        Ok(Attachment {
            id,
            to,
            kind: received.kind,
            caption: self.caption()?,
            name: clean_name(&self.name, received.kind),
            on,
            by,
            file: received.file,
            thumbnail: received.thumbnail,
            withdrawn: None,
        })
    }
}

/// The name of a file without folders and without characters that cannot be seen or that turn the text round.
fn clean_name(name: &str, kind: AttachmentKind) -> String {
    let last = name.rsplit(['/', '\\']).next().unwrap_or_default();
    let turns = |c: char| matches!(c, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}');
    let seen = last.chars().filter(|c| !c.is_control() && !turns(*c));
    let name: String = seen.take(LONGEST_NAME).collect();
    match name.trim() {
        "" => kind.word().to_owned(),
        name => name.to_owned(),
    }
}
