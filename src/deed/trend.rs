//! What the register says of its gear as a whole, for everybody who may read.

use std::collections::{BTreeMap, HashMap};

use time::Date;

use super::{DeedError, Desk, permit};
use crate::{
    domain::{
        Actor, Deed, Event, Examination, Item, ItemId, Kind, Model, ModelId, fold,
        trend::{
            self, Ages, Ahead, LotFailures, ModelFailures, PeriodDraft, RetiredGroup, UseAhead,
            failures_by_model,
        },
    },
    store::{OfLot, RetiredFilter, Tx},
};

/// The most records that one list beside the counts shows.
pub const MOST_LISTED: u32 = 200;
/// How many items are read at once.
const PAGE: u32 = 1000;

/// Every model by its id.
pub type Models = BTreeMap<ModelId, Model>;

async fn begin(desk: &Desk, actor: &Actor) -> Result<(Tx, Date), DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let today = tx.day(desk.clock.now()).await?;
    Ok((tx, today))
}

/// The age of everything that is not retired.
#[derive(Clone, Debug)]
pub struct AgesFound {
    /// The ages.
    pub ages: Ages,
    /// The title of the rulebook by which lives end.
    pub rulebook: String,
}

/// The age of the fleet today, of one kind or of all.
pub async fn ages(desk: &Desk, actor: &Actor, kind: Option<Kind>) -> Result<AgesFound, DeedError> {
    let (mut tx, today) = begin(desk, actor).await?;
    let (cohorts, models) = (tx.cohorts().await?, tx.every_model().await?);
    let rulebook = tx.home_rulebook().await?;
    Ok(AgesFound {
        ages: trend::ages(&cohorts, &models, today, kind),
        rulebook: rulebook.title().to_owned(),
    })
}

/// What reaches its end.
#[derive(Clone, Debug)]
pub struct AheadFound {
    /// By the end of life.
    pub ahead: Ahead,
    /// By use, where the maker limits it.
    pub uses: Vec<UseAhead>,
    /// The models.
    pub models: Models,
    /// The title of the rulebook by which lives end.
    pub rulebook: String,
}

/// What reaches its end in the months ahead, of one kind or of everything.
pub async fn ahead(
    desk: &Desk,
    actor: &Actor,
    kind: Option<Kind>,
) -> Result<AheadFound, DeedError> {
    let (mut tx, today) = begin(desk, actor).await?;
    let (cohorts, models) = (tx.cohorts().await?, tx.every_model().await?);
    let rulebook = tx.home_rulebook().await?;
    Ok(AheadFound {
        ahead: trend::ahead(&cohorts, &models, today, kind),
        uses: uses(&mut tx, &models, kind).await?,
        rulebook: rulebook.title().to_owned(),
        models,
    })
}

/// How much of what the makers allow is used. Only items of models with such a limit are read.
async fn uses(
    tx: &mut Tx,
    models: &Models,
    kind: Option<Kind>,
) -> Result<Vec<UseAhead>, DeedError> {
    let limited = models.values().filter(|model| !model.use_limit.is_open());
    let limited = limited.filter(|model| kind.is_none_or(|kind| kind == model.kind));
    let mut limited: Vec<ModelId> = limited.map(|model| model.id).collect();
    limited.sort_unstable();
    let mut found: Vec<UseAhead> = limited.iter().copied().map(UseAhead::of).collect();
    for some in limited.chunks(PAGE as usize) {
        let mut after = String::new();
        loop {
            let items = tx.items_of_models(some, &after, PAGE).await?;
            for item in &items {
                let at = found.binary_search_by_key(&item.model, |of| of.model);
                if let (Ok(at), Some(model)) = (at, models.get(&item.model)) {
                    found[at].count(item, model);
                }
            }
            match items.last() {
                Some(last) if items.len() == PAGE as usize => after = fold(&last.mark),
                _ => break,
            }
        }
    }
    found.retain(|of| of.items > 0);
    Ok(found)
}

/// What failed in some time.
#[derive(Clone, Debug)]
pub struct FailuresFound {
    /// By model.
    pub by_model: Vec<ModelFailures>,
    /// By model and lot.
    pub by_lot: Vec<LotFailures>,
    /// The models.
    pub models: Models,
    /// The first and the last day.
    pub days: (Date, Date),
}

/// What failed and what happened in some time, by model and by lot.
///
/// # Errors
/// [`DeedError::Invalid`] where the days do not hold.
pub async fn failures(
    desk: &Desk,
    actor: &Actor,
    period: &PeriodDraft,
) -> Result<FailuresFound, DeedError> {
    let (mut tx, today) = begin(desk, actor).await?;
    let days = period.check(today)?;
    let by_lot = tx.failures(days).await?;
    Ok(FailuresFound {
        by_model: failures_by_model(&by_lot),
        by_lot,
        models: tx.every_model().await?,
        days,
    })
}

/// What failed and what happened of one model, record by record.
#[derive(Clone, Debug)]
pub struct FailedFound {
    /// The model.
    pub model: Model,
    /// The counts.
    pub failures: trend::Failures,
    /// The examinations that ended in quarantine or retirement, the last done first.
    pub examinations: Vec<Examination>,
    /// The events, the last first.
    pub events: Vec<Event>,
    /// The items that they are about.
    pub items: HashMap<ItemId, Item>,
    /// The first and the last day.
    pub days: (Date, Date),
}

/// What failed and what happened of one model or one lot of it. An empty `lot` is what has no lot noted.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has no such model; as [`failures`].
pub async fn failed(
    desk: &Desk,
    actor: &Actor,
    (model, lot): (ModelId, Option<&str>),
    period: &PeriodDraft,
) -> Result<FailedFound, DeedError> {
    let (mut tx, today) = begin(desk, actor).await?;
    let found = tx.model(model).await?.ok_or(DeedError::NotFound("model"))?;
    let days = period.check(today)?;
    let lot = lot.map(fold);
    let of = OfLot { model, lot };
    let lots = tx.failures(days).await?;
    let wanted = lots.iter().filter(|one| {
        let folded = fold(one.lot.as_deref().unwrap_or_default());
        one.model == model && of.lot.as_ref().is_none_or(|lot| *lot == folded)
    });
    let failures = wanted.map(|one| one.failures);
    let failures = failures.reduce(trend::Failures::plus).unwrap_or_default();
    let examinations = tx.failing_examinations(&of, days, MOST_LISTED).await?;
    let events = tx.events_of_lot(&of, days, MOST_LISTED).await?;
    let looked = examinations.iter().map(|one| one.item);
    let mut ids: Vec<ItemId> = looked.chain(events.iter().map(|one| one.item)).collect();
    ids.sort_unstable();
    ids.dedup();
    Ok(FailedFound {
        model: found,
        failures,
        examinations,
        events,
        items: tx.items_of(&ids).await?,
        days,
    })
}

/// What was retired.
#[derive(Clone, Debug)]
pub struct RetiredFound {
    /// How many, by day, kind and what for.
    pub groups: Vec<RetiredGroup>,
    /// The last ones, with their sentences.
    pub items: Vec<Item>,
    /// Their models.
    pub models: Models,
}

/// What was retired; the filter narrows it.
pub async fn retired(
    desk: &Desk,
    actor: &Actor,
    filter: RetiredFilter,
) -> Result<RetiredFound, DeedError> {
    let (mut tx, _) = begin(desk, actor).await?;
    let mut groups = tx.retired_groups().await?;
    groups.retain(|group| {
        filter.kind.is_none_or(|kind| kind == group.kind)
            && filter
                .because
                .is_none_or(|because| because == group.because)
            && filter.year.is_none_or(|year| year == group.on.year())
    });
    let items = tx.retired_items(filter, MOST_LISTED).await?;
    let mut models: Vec<ModelId> = items.iter().map(|item| item.model).collect();
    models.sort_unstable();
    models.dedup();
    Ok(RetiredFound {
        groups,
        models: tx.models_of(&models).await?.into_iter().collect(),
        items,
    })
}
