//! Taking an inventory in: rehearsed against the register, then all of it or nothing.

use std::{
    borrow::Cow,
    collections::{BTreeMap, BTreeSet, HashMap},
    sync::Arc,
};

use sha2::{Digest, Sha256};
use time::{Date, OffsetDateTime};
use uuid::Uuid;

use super::{DeedError, Desk, item, permit, qualification, rulebook};
use crate::{
    domain::{
        Actor, Change, Competence, Deed, Examination, ExaminationBasis, ExaminationId, FieldErrors,
        ImportTaken, Item, ItemDraft, ItemId, ItemState, ItemStepped, Model, ModelId, Notice,
        StoreId, Zone, fitness::interval_months, rulebook::Rulebook,
    },
    import::{
        Answers, ImportFailure, Known, ModelRef, Plan, PlannedItem, Rehearsal, StoreRef, Table,
        read_table, rehearse, wanted,
    },
    store::{ImportDraft, Tx, WriteTx},
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
    rehearsed(&mut tx, &table, file, (actor, desk.clock.now())).await
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
/// [`DeedError::NotFound`] if there is none in this team.
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
    table: &Arc<Table>,
    file: &ImportFile,
    (actor, now): (&Actor, OffsetDateTime),
) -> Result<Rehearsal, DeedError> {
    let mut known = known(tx, table, &file.answers).await?;
    known.competence = Some(qualification::with_recorder(tx, actor).await?);
    let today = tx.day(now).await?;
    let (table, answers) = (table.clone(), file.answers.clone());
    let rehearsed = tokio::task::spawn_blocking(move || rehearse(&table, &answers, &known, today));
    let rehearsed = rehearsed
        .await
        .map_err(|error| DeedError::Internal(error.into()))?;
    rehearsed.map_err(refused)
}

/// What the register knows of what the file names.
async fn known(tx: &mut Tx, table: &Table, answers: &Answers) -> Result<Known, DeedError> {
    let wanted = wanted(table, answers).map_err(refused)?;
    let mut models = Vec::new();
    for maker in &wanted.makers {
        models.extend(tx.models_of_maker(maker).await?);
    }
    let ids: Vec<ModelId> = models.iter().map(|model| model.id).collect();
    Ok(Known {
        marks: tx.marks_taken(&wanted.marks).await?.into_iter().collect(),
        serials: tx.serials_of(&ids).await?,
        models,
        stores: tx.stores().await?,
        rulebook: Some(rulebook::home(tx).await?),
        competence: None,
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
    let rehearsal = rehearsed(tx, table, file, (actor, now)).await?;
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

/// Records the plan of an import, one change after the other.
struct Taking<'a> {
    tx: &'a mut WriteTx,
    actor: &'a Actor,
    now: OffsetDateTime,
    zone: Zone,
    today: Date,
    recorder: String,
    rulebook: Cow<'static, Rulebook>,
    competence: Competence,
    stores: Vec<StoreId>,
    models: Vec<Model>,
    known: HashMap<ModelId, Model>,
    /// The notices about each maker, looked up once.
    notices: BTreeMap<String, Vec<Notice>>,
    changes: Vec<Change>,
}

/// The most changes that are gathered before they are written.
const MOST_AT_ONCE: usize = 1000;

impl<'a> Taking<'a> {
    /// Records the new stores and models.
    async fn begin(
        tx: &'a mut WriteTx,
        actor: &'a Actor,
        now: OffsetDateTime,
        plan: &Plan,
    ) -> Result<Self, DeedError> {
        let (competence, (_, recorder)) = qualification::with_recorder(tx, actor).await?;
        let rulebook = rulebook::home(tx).await?;
        let zone = tx.zone().await?;
        let mut stores = Vec::new();
        for draft in &plan.stores {
            let store = draft.check(StoreId::new(), 1)?;
            stores.push(store.id);
            tx.record(actor, now, Change::StoreAdded(store)).await?;
        }
        let mut models = Vec::new();
        for planned in &plan.models {
            let model = planned.draft.check(ModelId::new(), 1)?;
            models.push(model.clone());
            tx.record(actor, now, Change::ModelAdded(model)).await?;
        }
        let ids = plan.items.iter().filter_map(|item| match item.model {
            ModelRef::Known(id) => Some(id),
            ModelRef::New(_) => None,
        });
        let ids: Vec<ModelId> = ids.collect::<BTreeSet<_>>().into_iter().collect();
        let known = tx.models_of(&ids).await?;
        Ok(Self {
            tx,
            actor,
            now,
            today: zone.day(now),
            zone,
            recorder,
            rulebook,
            competence,
            stores,
            models,
            known,
            notices: BTreeMap::new(),
            changes: Vec::new(),
        })
    }

    /// Records an item with its past.
    async fn item(&mut self, planned: &PlannedItem) -> Result<(), DeedError> {
        let model = match planned.model {
            ModelRef::New(at) => self.models.get(at),
            ModelRef::Known(id) => self.known.get(&id),
        };
        let model = model.ok_or(DeedError::NotFound("model"))?.clone();
        let store = match planned.store {
            StoreRef::New(at) => self.stores.get(at).copied(),
            StoreRef::Known(id) => Some(id),
        };
        let draft: &ItemDraft = &planned.draft;
        let details = draft.check(Some(&model), store, self.today)?;
        let mut item = details.into_item(ItemId::new(), self.now);
        self.record(Change::ItemAdded(item.clone())).await?;
        if let Some(draft) = &planned.examination {
            let basis = ExaminationBasis {
                item: item.id,
                recorded_by: self.actor.person,
                recorder: self.recorder.clone(),
                today: self.today,
                interval_months: interval_months(&model, &self.rulebook).0,
                // What was looked at elsewhere is not told by a list of items.
                list: None,
                limits: &[],
                gear: model.kind,
                competence: &self.competence,
                return_waits: false,
            };
            let examination: Examination = draft.check(ExaminationId::new(), &basis)?;
            item = item.examined(&examination, self.now, &self.zone)?;
            self.record(Change::ExaminationRecorded(examination))
                .await?;
        }
        if let Some(planned) = &planned.step {
            let stepped = ItemStepped {
                item: item.id,
                step: planned.step,
                reason: planned.reason.clone(),
                on: self.today,
            };
            item = item.stepped(&stepped, self.now)?;
            self.record(Change::ItemStepped(stepped)).await?;
        }
        self.hold_if_covered(&item, &model).await
    }

    /// What an open notice covers is held back, as it is when an item is added by hand.
    async fn hold_if_covered(&mut self, item: &Item, model: &Model) -> Result<(), DeedError> {
        if item.state != ItemState::InService {
            return Ok(());
        }
        if !self.notices.contains_key(&model.maker) {
            let notices = self.tx.notices_about(&model.maker).await?;
            self.notices.insert(model.maker.clone(), notices);
        }
        let about = self.notices.get(&model.maker).into_iter().flatten();
        let covering = about.into_iter().find(|notice| notice.covers(item, model));
        match covering.map(|notice| item::hold(notice, item.id, self.today)) {
            Some(stepped) => self.record(Change::ItemStepped(stepped)).await,
            None => Ok(()),
        }
    }

    /// Gathers a change; many go to the store at once.
    async fn record(&mut self, change: Change) -> Result<(), DeedError> {
        self.changes.push(change);
        if self.changes.len() < MOST_AT_ONCE {
            return Ok(());
        }
        self.write().await
    }

    async fn write(&mut self) -> Result<(), DeedError> {
        let changes = std::mem::take(&mut self.changes);
        self.tx.record_all(self.actor, self.now, changes).await?;
        Ok(())
    }
}
