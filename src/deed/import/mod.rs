//! Taking an inventory in: rehearsed against the register, then all of it or nothing.

mod competent;
mod held;
mod remembered;
mod taking;
mod waiting;

use std::{collections::BTreeMap, sync::Arc};

use super::{DeedError, Desk, permit, qualification, rulebook};
use crate::{
    domain::{Actor, Change, Deed, FieldErrors, ImportTaken, Item, ModelId, fold},
    export,
    import::{
        Answers, ImportFailure, Known, NotTaken, Rehearsal, Rounds, Table, Unheard, counted,
        listed, read_table, rehearse, wanted,
    },
    store::{Tx, WriteTx},
};
use sha2::{Digest, Sha256};
use taking::Taking;
use time::{Date, OffsetDateTime};

pub use remembered::TakenOver;
pub use waiting::{
    all_waiting, answer, give_up, keep, leave_out_wrong, left_out_waiting, no_new_fault,
    of_its_models, replace, take_waiting, waiting,
};

/// A file as it was brought, and what was said about it.
#[derive(Clone, Debug)]
pub struct ImportFile {
    /// What it was called.
    pub name: String,
    /// What is in it.
    pub bytes: Arc<Vec<u8>>,
    /// What was said about it.
    pub answers: Answers,
    /// Which answers were taken over from another list, and whose they were.
    pub taken_over: Option<TakenOver>,
}

impl ImportFile {
    /// A file of which nobody has said anything yet.
    pub fn new(name: impl Into<String>, bytes: Vec<u8>) -> Self {
        Self {
            name: name.into(),
            bytes: Arc::new(bytes),
            answers: Answers::default(),
            taken_over: None,
        }
    }

    /// Its name without its ending.
    fn stem(&self) -> &str {
        self.name
            .rsplit_once('.')
            .map_or(self.name.as_str(), |(stem, _)| stem)
    }
}

/// What came of an import.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Taken {
    /// How many items.
    pub items: usize,
    /// How many models are new.
    pub models: usize,
    /// How many stores are new.
    pub stores: usize,
    /// How many items that were there already are updated.
    pub updated: usize,
    /// How many rows were chosen to be left out.
    pub left_out: usize,
    /// The marks of the items that went to quarantine, since a safety notice is open for them.
    pub held: Vec<String>,
}

impl Taken {
    /// What was done, in one sentence.
    pub fn sentence(&self) -> String {
        let mut done = vec![format!(
            "Taken in: {}, {}, {}",
            counted(self.items, "item"),
            counted(self.models, "new model"),
            counted(self.stores, "new store")
        )];
        if self.updated > 0 {
            done.push(format!("{} updated", counted(self.updated, "item")));
        }
        if self.left_out > 0 {
            done.push(format!("{} left out", counted(self.left_out, "row")));
        }
        if !self.held.is_empty() {
            let (items, marks) = (counted(self.held.len(), "item"), listed(&self.held));
            done.push(format!(
                "{items} put into quarantine, as a safety notice is open: {marks}"
            ));
        }
        done.join("; ") + "."
    }
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
    let mut rehearsal = rehearsed(&mut tx, actor, &table, file, desk.clock.now()).await?;
    if let Some(over) = &file.taken_over {
        rehearsal.offer(&over.before);
    }
    Ok(rehearsal)
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

/// A file as it is read, with what the register knows of it today.
async fn opened(
    desk: &Desk,
    actor: &Actor,
    file: &ImportFile,
) -> Result<(Arc<Table>, Known, Date), DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let table = read(file).await?;
    let mut tx = desk.database.read(actor.team).await?;
    let today = tx.day(desk.clock.now()).await?;
    let known = known(&mut tx, actor, (&table, &file.answers), today).await?;
    Ok((table, known, today))
}

/// The same file without the rows in which something is wrong. Nothing is stored.
///
/// # Errors
/// As [`look`].
pub async fn without_wrong(
    desk: &Desk,
    actor: &Actor,
    file: &ImportFile,
    rounds: Rounds,
) -> Result<ImportFile, DeedError> {
    let (table, known, today) = opened(desk, actor, file).await?;
    let mut answers = file.answers.clone();
    let answers = beside(move || {
        crate::import::leave_out_wrong(&table, &mut answers, &known, (today, rounds))?;
        Ok(answers)
    });
    Ok(ImportFile {
        answers: answers.await?,
        ..file.clone()
    })
}

/// What was said of nothing in a file.
///
/// # Errors
/// As [`look`].
pub async fn unheard(desk: &Desk, actor: &Actor, file: &ImportFile) -> Result<Unheard, DeedError> {
    let (table, known, today) = opened(desk, actor, file).await?;
    let answers = file.answers.clone();
    beside(move || crate::import::unheard(&table, &answers, &known, today)).await
}

/// Rows that were left out, as a list of its own.
pub struct LeftOutList {
    /// The list; each row says what is wrong in it.
    pub file: ImportFile,
    /// How many rows.
    pub rows: usize,
}

/// The rows of a file that were chosen to be left out, as a list of its own, with what the whole file showed of how its
/// days and numbers are written.
///
/// # Errors
/// As [`look`].
pub async fn left_out(
    desk: &Desk,
    actor: &Actor,
    file: &ImportFile,
) -> Result<LeftOutList, DeedError> {
    let (table, known, today) = opened(desk, actor, file).await?;
    let answers = file.answers.clone();
    let left = beside(move || crate::import::left_out(&table, &answers, &known, today)).await?;
    let name = format!("{}, left out.csv", file.stem());
    let bytes = export::sheet(&left.headings, &left.rows);
    Ok(LeftOutList {
        file: ImportFile {
            answers: left.shown,
            ..ImportFile::new(name, bytes)
        },
        rows: left.rows.len(),
    })
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
    beside(move || read_table(&name, &bytes, sheet.as_deref()).map(Arc::new)).await
}

/// Does what takes a while beside the threads that answer requests.
async fn beside<T: Send + 'static>(
    work: impl FnOnce() -> Result<T, ImportFailure> + Send + 'static,
) -> Result<T, DeedError> {
    let done = tokio::task::spawn_blocking(work).await;
    done.map_err(|error| DeedError::Internal(error.into()))?
        .map_err(refused)
}

async fn rehearsed(
    tx: &mut Tx,
    actor: &Actor,
    table: &Arc<Table>,
    file: &ImportFile,
    now: OffsetDateTime,
) -> Result<Rehearsal, DeedError> {
    let today = tx.day(now).await?;
    let known = named(tx, actor, (table, &file.answers), today).await?;
    let (known, mut rehearsal) = rehearsed_with(known, (table, &file.answers), today).await?;
    if !rehearsal.made_anew.is_empty() {
        let known = with_first_recorded(tx, known, &rehearsal.made_anew).await?;
        (_, rehearsal) = rehearsed_with(known, (table, &file.answers), today).await?;
    }
    held::find(tx, &mut rehearsal, today).await?;
    Ok(rehearsal)
}

/// Rehearses against what is known, and hands that back.
async fn rehearsed_with(
    known: Known,
    (table, answers): (&Arc<Table>, &Answers),
    today: Date,
) -> Result<(Known, Rehearsal), DeedError> {
    let (table, answers) = (table.clone(), answers.clone());
    beside(move || {
        let rehearsal = rehearse(&table, &answers, &known, today)?;
        Ok((known, rehearsal))
    })
    .await
}

/// What the register knows of what the file names, with the earliest on record of what it gives another date made.
async fn known(
    tx: &mut Tx,
    actor: &Actor,
    (table, answers): (&Arc<Table>, &Answers),
    today: Date,
) -> Result<Known, DeedError> {
    let known = named(tx, actor, (table, answers), today).await?;
    if !answers.update {
        return Ok(known);
    }
    let (known, rehearsal) = rehearsed_with(known, (table, answers), today).await?;
    with_first_recorded(tx, known, &rehearsal.made_anew).await
}

/// The same with the earliest on record of these items.
async fn with_first_recorded(
    tx: &mut Tx,
    mut known: Known,
    items: &[Item],
) -> Result<Known, DeedError> {
    let zone = tx.zone().await?;
    for item in items {
        let first = tx.first_recorded_of(item, &zone).await?;
        known
            .first_recorded
            .extend(first.map(|first| (item.id, first)));
    }
    Ok(known)
}

/// What the register knows of what the file names.
async fn named(
    tx: &mut Tx,
    actor: &Actor,
    (table, answers): (&Table, &Answers),
    today: Date,
) -> Result<Known, DeedError> {
    let wanted = wanted(table, answers).map_err(refused)?;
    let (mut models, mut notices) = (Vec::new(), Vec::new());
    for maker in &wanted.makers {
        models.extend(tx.models_of_maker(maker).await?);
        notices.extend(tx.notices_about(maker).await?);
    }
    let (mut competence, recorder) = qualification::with_recorder(tx, actor).await?;
    let announced = competent::announced(answers, &competence, today);
    competence.qualifications.extend(announced);
    let ids: Vec<ModelId> = models.iter().map(|model| model.id).collect();
    let items = tx.items_marked(&wanted.marks).await?;
    let of_items: Vec<ModelId> = items.iter().map(|item| item.model).collect();
    let of_items = tx.models_of(&of_items).await?;
    let items = items.into_iter().filter_map(|item| {
        let model = of_items.get(&item.model)?.clone();
        Some((fold(&item.mark), (item, model)))
    });
    Ok(Known {
        items: items.collect::<BTreeMap<_, _>>(),
        serials: tx.serials_of(&ids).await?,
        models,
        stores: tx.stores().await?,
        rulebook: Some(rulebook::home(tx).await?),
        notices,
        competence: Some((competence, recorder)),
        first_recorded: BTreeMap::new(),
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
    let mut taken = Taken {
        items: plan.items.len(),
        models: plan.models.len(),
        stores: plan.stores.len(),
        updated: plan.updates.len(),
        left_out: file.answers.left_out.len(),
        held: Vec::new(),
    };
    let change = Change::ImportTaken(ImportTaken {
        file_name: file.name.chars().take(200).collect(),
        sha256: hex::encode(Sha256::digest(file.bytes.as_slice())),
        items: u32::try_from(taken.items).unwrap_or(u32::MAX),
    });
    tx.record(actor, now, change).await?;
    competent::record(tx, actor, now, &file.answers).await?;
    let mut taking = Taking::begin(tx, actor, now, &plan).await?;
    for item in &plan.items {
        taking.item(item).await?;
    }
    for update in &plan.updates {
        taking.update(update).await?;
    }
    taken.held = taking.finish().await?;
    remembered::keep(tx, actor, now, (table.as_ref(), file)).await?;
    Ok(taken)
}
