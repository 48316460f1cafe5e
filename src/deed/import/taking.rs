//! Writes what came of a list into the register.

use std::{
    borrow::Cow,
    collections::{BTreeMap, BTreeSet, HashMap},
};

use time::OffsetDateTime;
use uuid::Uuid;

use super::super::{DeedError, hold, item, qualification, rulebook};
use crate::{
    domain::{
        Actor, Change, Competence, Item, ItemState, ItemStepped, Model, ModelId, Notice, StoreId,
        Zone, rulebook::Rulebook,
    },
    import::{ModelRef, Plan, PlannedItem, PlannedUpdate, Recording, StoreRef},
    store::WriteTx,
};

/// Records the plan of an import, one change after the other.
pub(super) struct Taking<'a> {
    tx: &'a mut WriteTx,
    actor: &'a Actor,
    now: OffsetDateTime,
    zone: Zone,
    recorder: String,
    rulebook: Cow<'static, Rulebook>,
    competence: Competence,
    stores: Vec<StoreId>,
    models: Vec<Model>,
    known: HashMap<ModelId, Model>,
    /// The notices about each maker, looked up once.
    notices: BTreeMap<String, Vec<Notice>>,
    changes: Vec<Change>,
    /// The marks of the items that went to quarantine by a notice.
    held: Vec<String>,
}

/// The most changes that are gathered before they are written.
const MOST_AT_ONCE: usize = 1000;

impl<'a> Taking<'a> {
    /// Records the new stores and models.
    pub(super) async fn begin(
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
        let ids = ids.chain(plan.updates.iter().map(|update| update.item.model));
        let ids: Vec<ModelId> = ids.collect::<BTreeSet<_>>().into_iter().collect();
        let known = tx.models_of(&ids).await?;
        Ok(Self {
            tx,
            actor,
            now,
            zone,
            recorder,
            rulebook,
            competence,
            stores,
            models,
            known,
            notices: BTreeMap::new(),
            changes: Vec::new(),
            held: Vec::new(),
        })
    }

    /// Records an item with its past.
    pub(super) async fn item(&mut self, planned: &PlannedItem) -> Result<(), DeedError> {
        let model = match planned.model {
            ModelRef::New(at) => self.models.get(at),
            ModelRef::Known(id) => self.known.get(&id),
        };
        let model = model.ok_or(DeedError::NotFound("model"))?.clone();
        let store = self.store(planned.store)?;
        let recording = Recording {
            recorder: &self.recorder,
            recorded_by: self.actor.person,
            now: self.now,
            today: self.zone.day(self.now),
            zone: &self.zone,
            rulebook: &self.rulebook,
            competence: &self.competence,
            new_id: Uuid::now_v7,
        };
        let becoming = planned.becoming(&model, store, &recording)?;
        for change in becoming.changes {
            self.record(change).await?;
        }
        self.hold_if_covered(&becoming.item, &model).await
    }

    /// Records what a list says otherwise of an item that is there already.
    pub(super) async fn update(&mut self, planned: &PlannedUpdate) -> Result<(), DeedError> {
        let model = self.known.get(&planned.item.model);
        let model = model.ok_or(DeedError::NotFound("model"))?;
        let store = self.store(planned.store)?;
        let today = self.zone.day(self.now);
        let typed = planned.draft.check(Some(model), Some(store), today);
        let (there, draft) = (&planned.item, &planned.draft);
        let details = item::as_recorded(self.tx, there, draft, typed).await??;
        let item = details.revise(&planned.item);
        self.record(Change::ItemRevised(item.clone())).await?;
        if let Some(planned) = &planned.step {
            let stepped = ItemStepped {
                item: item.id,
                step: planned.step,
                reason: planned.reason.clone(),
                on: today,
                retired_for: None,
            };
            self.record(Change::ItemStepped(stepped)).await?;
        } else if hold::told_otherwise(&planned.item, &item) {
            // What a notice was about is read from the ledger.
            self.write().await?;
            if hold::hold_if_covered(self.tx, self.actor, self.now, &item).await? {
                self.held.push(item.mark);
            }
        }
        Ok(())
    }

    fn store(&self, store: StoreRef) -> Result<StoreId, DeedError> {
        let found = match store {
            StoreRef::New(at) => self.stores.get(at).copied(),
            StoreRef::Known(id) => Some(id),
        };
        found.ok_or(DeedError::NotFound("store"))
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
        match covering.map(|notice| hold::hold(notice, item.id, self.zone.day(self.now))) {
            Some(stepped) => {
                self.held.push(item.mark.clone());
                self.record(Change::ItemStepped(stepped)).await
            }
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

    /// Writes what is left, and gives the marks of the items that went to quarantine by a notice.
    pub(super) async fn finish(mut self) -> Result<Vec<String>, DeedError> {
        self.write().await?;
        Ok(self.held)
    }

    async fn write(&mut self) -> Result<(), DeedError> {
        let changes = std::mem::take(&mut self.changes);
        self.tx.record_all(self.actor, self.now, changes).await?;
        Ok(())
    }
}
