//! Photos and documents: putting them on a record, showing them, withdrawing them.

use bytes::Bytes;
use tokio::sync::Semaphore;
use uuid::Uuid;

use super::{DeedError, Desk, paper::laid_out, permit};
use crate::{
    domain::{
        Actor, AttachedTo, Attachment, AttachmentDraft, AttachmentEnd, AttachmentId,
        AttachmentWithdrawal, Change, Deed, EventId, ExaminationId, FieldErrors, FileHash, ItemId,
        KeptFile, MOST_ATTACHED, MOST_FILES, ModelId, NotAllowed, OfferDraft,
    },
    import::{Incoming, incoming},
    store::Tx,
};

/// How many photos are read at one time: each may take a few hundred megabytes while it is.
static TURNS: Semaphore = Semaphore::const_new(2);

/// Reads a photo when it is its turn, where it holds up nobody's request.
pub(super) async fn in_turn<T: Send + 'static>(
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, DeedError> {
    let turn = TURNS.acquire().await;
    let _turn = turn.map_err(|closed| DeedError::Internal(closed.into()))?;
    laid_out(work).await
}

/// A record that may bear photos and documents, as an address names it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bearer {
    /// An item.
    Item(ItemId),
    /// A model.
    Model(ModelId),
    /// An examination.
    Examination(ExaminationId),
    /// An event.
    Event(EventId),
}

/// A record that bears photos and documents, and what one must be allowed to do to put one on it.
#[derive(Clone, Debug)]
pub struct Borne {
    /// The record.
    pub to: AttachedTo,
    /// The mark of its item, or the title of the model.
    pub name: String,
    /// What one must be allowed to do.
    pub deed: Deed,
}

/// What came of files that were sent.
#[derive(Clone, Debug)]
pub struct Attached {
    /// The record in words.
    pub on: String,
    /// Those that had been sent before.
    pub there: Vec<Attachment>,
    /// Those that were put on the record.
    pub new: Vec<Attachment>,
}

/// A file as it was sent.
#[derive(Clone, Debug)]
pub struct Sent {
    /// Its name.
    pub name: String,
    /// Its bytes.
    pub bytes: Bytes,
}

/// Looks the record up.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has none.
pub async fn bearer(tx: &mut Tx, bearer: Bearer) -> Result<Borne, DeedError> {
    let mut examination = None;
    let to = match bearer {
        Bearer::Item(item) => AttachedTo::Item { item },
        Bearer::Model(model) => AttachedTo::Model { model },
        Bearer::Examination(id) => {
            let found = tx.examination(id).await?;
            let found = found.ok_or(DeedError::NotFound("examination"))?;
            let item = found.item;
            examination = Some(found);
            AttachedTo::Examination {
                item,
                examination: id,
            }
        }
        Bearer::Event(id) => {
            let found = tx.event(id).await?;
            let item = found.ok_or(DeedError::NotFound("event"))?.item;
            AttachedTo::Event { item, event: id }
        }
    };
    Ok(Borne {
        to,
        name: name(tx, to).await?,
        deed: to.deed(examination.as_ref()),
    })
}

async fn name(tx: &mut Tx, to: AttachedTo) -> Result<String, DeedError> {
    if let Some(item) = to.item() {
        let item = tx.item(item).await?.ok_or(DeedError::NotFound("item"))?;
        return Ok(item.mark);
    }
    let model = match to.model() {
        Some(model) => tx.model(model).await?,
        None => None,
    };
    Ok(model.ok_or(DeedError::NotFound("model"))?.title())
}

/// Puts files on a record: all of them, or none. The first gets the id, the others those that follow it; sent twice
/// they are there once.
///
/// # Errors
/// [`DeedError::Invalid`] under `caption`, under `files` with the name of each file that is not taken, or under `id`
/// where something else has it; [`DeedError::Files`] if they cannot be kept, and then nothing is recorded.
pub async fn attach(
    desk: &Desk,
    actor: &Actor,
    (id, on): (AttachmentId, Bearer),
    caption: &str,
    sent: Vec<Sent>,
) -> Result<Attached, DeedError> {
    let mut tx = desk.database.read(actor.team).await?;
    let borne = bearer(&mut tx, on).await?;
    permit(actor, borne.deed)?;
    let today = tx.day(desk.clock.now()).await?;
    drop(tx);
    let read = read(&sent, caption).await?;
    let several = read.len();
    let mut attached = Vec::new();
    for (at, (sent, incoming)) in sent.into_iter().zip(&read).enumerate() {
        let draft = AttachmentDraft {
            caption: numbered(caption, at, several),
            name: sent.name,
        };
        let who = (actor.person, today);
        attached.push(draft.check(following(id, at), borne.to, who, incoming.received.clone())?);
    }
    for (hash, bytes) in read.into_iter().flat_map(|incoming| incoming.files) {
        desk.files.keep(actor.team, &hash, bytes).await?;
    }
    record(desk, actor, borne.to.words(&borne.name), attached).await
}

/// Reads every file, few at a time.
async fn read(sent: &[Sent], caption: &str) -> Result<Vec<Incoming>, DeedError> {
    let typed = AttachmentDraft {
        caption: caption.to_owned(),
        name: String::new(),
    };
    let mut wrong = FieldErrors::default();
    let caption = typed.caption().err().unwrap_or_default();
    if sent.is_empty() {
        wrong.add("files", "required", "Choose a file, or take a photo.");
    }
    if sent.len() > MOST_FILES {
        let words = format!(
            "At most {MOST_FILES} files go at once; {} were sent. Send the others after them.",
            sent.len()
        );
        wrong.add("files", "range", words);
        wrong.0.extend(caption.0);
        return Err(wrong.into());
    }
    let mut read = Vec::new();
    for file in sent {
        let bytes = file.bytes.clone();
        match in_turn(move || incoming(bytes)).await? {
            Ok(incoming) => read.push(incoming),
            Err(unfit) => wrong.add("files", "file", format!("{}: {unfit}", called(&file.name))),
        }
    }
    wrong.0.extend(caption.0);
    Ok(wrong.or(|| read)?)
}

fn called(name: &str) -> String {
    let name: String = name.chars().filter(|c| !c.is_control()).take(60).collect();
    if name.is_empty() {
        "The file".to_owned()
    } else {
        name
    }
}

/// One of several says which it is, so that no two are read out alike.
fn numbered(caption: &str, at: usize, several: usize) -> String {
    if several == 1 {
        caption.to_owned()
    } else {
        format!("{} ({} of {several})", caption.trim(), at + 1)
    }
}

fn following(id: AttachmentId, at: usize) -> AttachmentId {
    AttachmentId(Uuid::from_u128(id.0.as_u128().wrapping_add(at as u128)))
}

/// Records what is not there yet, once its bytes are kept.
async fn record(
    desk: &Desk,
    actor: &Actor,
    on: String,
    attached: Vec<Attachment>,
) -> Result<Attached, DeedError> {
    let mut tx = desk.database.write(actor.team).await?;
    let (mut there, mut new) = (Vec::new(), Vec::new());
    for one in attached {
        match tx.attachment(one.id).await? {
            None => new.push(one),
            Some(old) if is_same(&old, &one) => there.push(old),
            Some(_) => {
                let words = "Another photo or document, or the same by somebody else or under another caption, was sent under \
                             this id. Make a new id for each.";
                return Err(FieldErrors::one("id", "taken", words).into());
            }
        }
    }
    if let Some(first) = new.first() {
        let mut shown = tx.attachments(first.to).await?;
        shown.retain(|one| one.withdrawn.is_none());
        room(&shown, &new)?;
    }
    let now = desk.clock.now();
    let changes = new.iter().cloned().map(Change::FileAttached);
    tx.record_all(actor, now, changes).await?;
    tx.commit().await?;
    Ok(Attached { on, there, new })
}

/// Whether what is there is what is sent, by whoever sends it.
fn is_same(there: &Attachment, sent: &Attachment) -> bool {
    let what = |one: &Attachment| (one.to, one.by, one.caption.clone(), one.file.clone());
    what(there) == what(sent)
}

/// Whether they find room on their record, and none of them is on it already.
fn room(shown: &[Attachment], new: &[Attachment]) -> Result<(), FieldErrors> {
    let mut wrong = FieldErrors::default();
    if shown.len() + new.len() > MOST_ATTACHED {
        let words = format!(
            "A record bears at most {MOST_ATTACHED} photos and documents; this one has {}, and {} were sent. \
             Withdraw some first.",
            shown.len(),
            new.len()
        );
        wrong.add("files", "range", words);
    }
    for (at, one) in new.iter().enumerate() {
        let mut others = shown.iter().chain(&new[..at]);
        if let Some(other) = others.find(|other| other.file.sha256 == one.file.sha256) {
            let words = format!(
                "{} is on this record already: \"{}\".",
                called(&one.name),
                other.caption
            );
            wrong.add("files", "taken", words);
        }
    }
    wrong.or(|| ())
}

/// The photo or document of this id, with the name of what bears it.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has none.
pub async fn show(
    desk: &Desk,
    actor: &Actor,
    id: AttachmentId,
) -> Result<(Attachment, String), DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let found = tx.attachment(id).await?;
    let found = found.ok_or(DeedError::NotFound("photo or document"))?;
    let name = name(&mut tx, found.to).await?;
    Ok((found, name))
}

/// Whether the team has a photo or document of this id, withdrawn or not.
pub async fn is_there(desk: &Desk, actor: &Actor, id: AttachmentId) -> Result<bool, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    Ok(tx.attachment(id).await?.is_some())
}

/// A file of a photo or document that is not withdrawn.
///
/// # Errors
/// [`DeedError::NotFound`] if it has no file of this hash, or is withdrawn.
pub async fn file(
    desk: &Desk,
    actor: &Actor,
    id: AttachmentId,
    hash: &FileHash,
) -> Result<(Attachment, KeptFile), DeedError> {
    let (found, _) = show(desk, actor, id).await?;
    let shown = found.withdrawn.is_none();
    let file = found.file_of(hash).filter(|_| shown).cloned();
    let file = file.ok_or(DeedError::NotFound("photo or document"))?;
    Ok((found, file))
}

/// The bytes of a file.
///
/// # Errors
/// [`DeedError::Files`] where they cannot be read, or are not those that were kept.
pub async fn bytes(desk: &Desk, actor: &Actor, file: &KeptFile) -> Result<Bytes, DeedError> {
    Ok(desk.files.read(actor.team, &file.sha256).await?)
}

/// Whether the actor may withdraw it: whoever keeps the register, and whoever put it there.
pub fn may_withdraw(actor: &Actor, attachment: &Attachment) -> bool {
    let own = attachment.by == actor.person && actor.role.may(Deed::ReportEvent);
    attachment.withdrawn.is_none() && (own || actor.role.may(Deed::KeepRegister))
}

/// Withdraws a photo or a document: it is shown no more. Its bytes are kept, and its hash stays in the ledger.
///
/// # Errors
/// [`DeedError::Invalid`] without a reason; [`DeedError::Forbidden`] where somebody else put it there and the actor does
/// not keep the register; [`DeedError::NotAllowed`] if it was withdrawn already.
pub async fn withdraw(
    desk: &Desk,
    actor: &Actor,
    id: AttachmentId,
    draft: &OfferDraft,
) -> Result<Attachment, DeedError> {
    let mut tx = desk.database.write(actor.team).await?;
    let found = tx.attachment(id).await?;
    let found = found.ok_or(DeedError::NotFound("photo or document"))?;
    if found.withdrawn.is_some() {
        return Err(NotAllowed::FileWithdrawn.into());
    }
    if !may_withdraw(actor, &found) {
        return Err(DeedError::Forbidden(actor.role));
    }
    let now = desk.clock.now();
    let end = AttachmentEnd {
        on: tx.day(now).await?,
        by: actor.person,
        reason: draft.check()?,
    };
    let withdrawal = AttachmentWithdrawal {
        attachment: id,
        to: found.to,
        kind: found.kind,
        sha256: found.file.sha256.clone(),
        end: end.clone(),
    };
    tx.record(actor, now, Change::FileWithdrawn(withdrawal))
        .await?;
    tx.commit().await?;
    Ok(found.ended(end))
}
