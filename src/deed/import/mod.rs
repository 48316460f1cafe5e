//! Taking an inventory in: rehearsed against the register, then all of it or nothing.

mod taking;

use std::sync::Arc;

use sha2::{Digest, Sha256};
use time::OffsetDateTime;
use uuid::Uuid;

use super::{DeedError, Desk, permit, qualification, rulebook};
use crate::{
    domain::{Actor, Change, Deed, FieldErrors, ImportTaken, ModelId},
    import::{
        Answers, ImportFailure, Known, NotTaken, Rehearsal, Table, read_table, rehearse, wanted,
    },
    store::{ImportDraft, Tx, WriteTx},
};
use taking::Taking;

/// A file as it was brought, and what was said about it.
#[derive(Clone, Debug)]
pub struct ImportFile {
    /// What it was called.
    pub name: String,
    /// What is in it.
    pub bytes: Arc<Vec<u8>>,
    /// What was said about it.
    pub answers: Answers,
}

/// What came of an import.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Taken {
    /// How many items.
    pub items: usize,
    /// How many models are new.
    pub models: usize,
    /// How many stores are new.
    pub stores: usize,
}

/// Says what would come of a file, and stores nothing.
///
/// # Errors
/// [`DeedError::Invalid`] with the field `file` if it cannot be read at all; what is wrong in single
/// rows is in the rehearsal.
pub async fn look(desk: &Desk, actor: &Actor, file: &ImportFile) -> Result<Rehearsal, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let table = read(file).await?;
    let mut tx = desk.database.read(actor.team).await?;
    rehearsed(&mut tx, actor, &table, file, desk.clock.now()).await
}

/// Takes a file in: every record of it, in one stroke, or none.
///
/// # Errors
/// [`DeedError::Invalid`] with the field `file` if anything is asked or wrong by now; the register may
/// have changed since it was rehearsed.
pub async fn take(desk: &Desk, actor: &Actor, file: &ImportFile) -> Result<Taken, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let table = read(file).await?;
    let mut tx = desk.database.write(actor.team).await?;
    let taken = take_in(&mut tx, desk, actor, &table, file).await?;
    tx.commit().await?;
    Ok(taken)
}

/// Keeps a file until somebody says yes to it, and gives the id under which it waits.
///
/// # Errors
/// [`DeedError::Invalid`] with the field `file` if it cannot be read at all.
pub async fn keep(desk: &Desk, actor: &Actor, file: &ImportFile) -> Result<Uuid, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let table = read(file).await?;
    wanted(&table, &file.answers).map_err(refused)?;
    let id = Uuid::now_v7();
    save(desk, actor, id, file).await?;
    Ok(id)
}

/// The file that waits under an id.
///
/// # Errors
/// [`DeedError::NotFound`] if there is none in this team.
pub async fn waiting(desk: &Desk, actor: &Actor, id: Uuid) -> Result<ImportFile, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let mut tx = desk.database.read(actor.team).await?;
    let draft = tx.import_draft(id).await?;
    let draft = draft.ok_or(DeedError::NotFound("file waiting"))?;
    Ok(ImportFile {
        name: draft.file_name,
        bytes: Arc::new(draft.bytes),
        answers: serde_json::from_str(&draft.mapping).unwrap_or_default(),
    })
}

/// Keeps other answers with the file that waits under an id.
///
/// # Errors
/// [`DeedError::NotFound`] if there is none in this team; [`DeedError::Invalid`] where what was said of many rows
/// at once cannot hold.
pub async fn answer(
    desk: &Desk,
    actor: &Actor,
    id: Uuid,
    answers: Answers,
) -> Result<ImportFile, DeedError> {
    let file = ImportFile {
        answers,
        ..waiting(desk, actor, id).await?
    };
    let mut tx = desk.database.read(actor.team).await?;
    file.answers.check(tx.day(desk.clock.now()).await?)?;
    drop(tx);
    save(desk, actor, id, &file).await?;
    Ok(file)
}

/// Takes in the file that waits under an id; it waits no longer.
///
/// # Errors
/// As [`take`]; [`DeedError::NotFound`] if there is none in this team, or it was taken in already.
pub async fn take_waiting(desk: &Desk, actor: &Actor, id: Uuid) -> Result<Taken, DeedError> {
    let file = waiting(desk, actor, id).await?;
    let table = read(&file).await?;
    let mut tx = desk.database.write(actor.team).await?;
    if tx.import_draft(id).await?.is_none() {
        return Err(DeedError::NotFound("file waiting"));
    }
    let taken = take_in(&mut tx, desk, actor, &table, &file).await?;
    tx.drop_import_draft(id).await?;
    tx.commit().await?;
    Ok(taken)
}

/// Gives up the file that waits under an id.
pub async fn give_up(desk: &Desk, actor: &Actor, id: Uuid) -> Result<(), DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let mut tx = desk.database.write(actor.team).await?;
    tx.drop_import_draft(id).await?;
    tx.commit().await?;
    Ok(())
}

async fn save(desk: &Desk, actor: &Actor, id: Uuid, file: &ImportFile) -> Result<(), DeedError> {
    let mapping =
        serde_json::to_string(&file.answers).map_err(|error| DeedError::Internal(error.into()))?;
    let mut tx = desk.database.write(actor.team).await?;
    let draft = ImportDraft {
        id,
        person: actor.person,
        created_at: desk.clock.now(),
        file_name: file.name.chars().take(200).collect(),
        bytes: file.bytes.to_vec(),
        mapping,
    };
    tx.keep_import_draft(&draft).await?;
    tx.commit().await?;
    Ok(())
}

#[expect(
    clippy::needless_pass_by_value,
    reason = "map_err hands the error over by value"
)]
fn refused(failure: ImportFailure) -> DeedError {
    FieldErrors::one("file", "file", failure.to_string()).into()
}

impl From<NotTaken> for DeedError {
    fn from(not: NotTaken) -> Self {
        match not {
            NotTaken::Invalid(wrong) => wrong.into(),
            NotTaken::NotAllowed(not) => not.into(),
        }
    }
}

/// Reading may take a while, so it is done beside the threads that answer requests.
async fn read(file: &ImportFile) -> Result<Arc<Table>, DeedError> {
    let (name, bytes) = (file.name.clone(), file.bytes.clone());
    let sheet = file.answers.sheet.clone();
    let read = tokio::task::spawn_blocking(move || read_table(&name, &bytes, sheet.as_deref()));
    let read = read
        .await
        .map_err(|error| DeedError::Internal(error.into()))?;
    read.map(Arc::new).map_err(refused)
}

async fn rehearsed(
    tx: &mut Tx,
    actor: &Actor,
    table: &Arc<Table>,
    file: &ImportFile,
    now: OffsetDateTime,
) -> Result<Rehearsal, DeedError> {
    let today = tx.day(now).await?;
    file.answers.check(today)?;
    let known = known(tx, actor, table, &file.answers).await?;
    let (table, answers) = (table.clone(), file.answers.clone());
    let rehearsed = tokio::task::spawn_blocking(move || rehearse(&table, &answers, &known, today));
    let rehearsed = rehearsed
        .await
        .map_err(|error| DeedError::Internal(error.into()))?;
    rehearsed.map_err(refused)
}

/// What the register knows of what the file names.
async fn known(
    tx: &mut Tx,
    actor: &Actor,
    table: &Table,
    answers: &Answers,
) -> Result<Known, DeedError> {
    let wanted = wanted(table, answers).map_err(refused)?;
    let (mut models, mut notices) = (Vec::new(), Vec::new());
    for maker in &wanted.makers {
        models.extend(tx.models_of_maker(maker).await?);
        notices.extend(tx.notices_about(maker).await?);
    }
    let competence = qualification::with_recorder(tx, actor).await?;
    let ids: Vec<ModelId> = models.iter().map(|model| model.id).collect();
    Ok(Known {
        marks: tx.marks_taken(&wanted.marks).await?.into_iter().collect(),
        serials: tx.serials_of(&ids).await?,
        models,
        stores: tx.stores().await?,
        rulebook: Some(rulebook::home(tx).await?),
        notices,
        competence: Some(competence),
    })
}

async fn take_in(
    tx: &mut WriteTx,
    desk: &Desk,
    actor: &Actor,
    table: &Arc<Table>,
    file: &ImportFile,
) -> Result<Taken, DeedError> {
    let now = desk.clock.now();
    let rehearsal = rehearsed(tx, actor, table, file, now).await?;
    let sentence = rehearsal.sentence();
    let Some(plan) = rehearsal.plan else {
        return Err(FieldErrors::one("file", "file", sentence).into());
    };
    let taken = Taken {
        items: plan.items.len(),
        models: plan.models.len(),
        stores: plan.stores.len(),
    };
    let change = Change::ImportTaken(ImportTaken {
        file_name: file.name.chars().take(200).collect(),
        sha256: hex::encode(Sha256::digest(file.bytes.as_slice())),
        items: u32::try_from(taken.items).unwrap_or(u32::MAX),
    });
    tx.record(actor, now, change).await?;
    let mut taking = Taking::begin(tx, actor, now, &plan).await?;
    for item in &plan.items {
        taking.item(item).await?;
    }
    taking.write().await?;
    Ok(taken)
}
