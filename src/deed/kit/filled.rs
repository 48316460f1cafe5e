//! The rigs that the register fills now for the plan of a job, beside its own.

use std::collections::BTreeMap;

use super::{
    bench::{Bench, Surroundings},
    proposal::{Source, of_kind},
};
use crate::{
    deed::{Chosen, DeedError, Desk, permit},
    domain::{
        Actor, Deed, Edition, Item, Job, JobId, Kind, Model,
        kit_strength::{Outcome, WhatIf},
    },
    rigging::shipped,
    store::Tx,
};

/// How many items of each kind are looked at.
const OF_A_KIND: usize = 500;

/// A rig that the register fills for the plan of a job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Filled {
    /// The edition that a plan names.
    pub edition: String,
    /// Its title.
    pub title: String,
    /// Whether another rope catches the load, in a few words.
    pub belay: String,
    /// How many items it takes.
    pub items: usize,
}

/// The rigs that the register fills now, and those that the plan says too little for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FilledRigs {
    /// Those with a kit that is strong enough, one with a belay first.
    pub rigs: Vec<Filled>,
    /// The titles of those that ask for a length that the plan does not give.
    pub unasked: Vec<String>,
}

/// The rigs beside the job's own that the register fills now with a kit that is strong enough, at the job's time and
/// with its load, depth and rulebook. Nothing is written.
///
/// # Errors
/// [`DeedError::NotFound`] if there is no such job.
pub async fn filled_rigs(desk: &Desk, actor: &Actor, id: JobId) -> Result<FilledRigs, DeedError> {
    permit(actor, Deed::Read)?;
    let now = desk.clock.now();
    let mut tx = desk.database.read(actor.team).await?;
    let planned = tx.job(id).await?.ok_or(DeedError::NotFound("job"))?;
    let zone = tx.zone().await?;
    let mut filled = FilledRigs::default();
    let mut benches = Vec::new();
    for (edition, title) in editions(&mut tx, &planned).await? {
        match otherwise(&mut tx, &planned, &edition).await {
            Ok((job, chosen)) => benches.push(Bench::empty(job, chosen, now, zone.clone())),
            Err(DeedError::Invalid(_)) => filled.unasked.push(title),
            Err(other) => return Err(other),
        }
    }
    let mut of_kinds: BTreeMap<Kind, Vec<(Item, Model)>> = BTreeMap::new();
    for kind in benches.iter().flat_map(Bench::kinds) {
        if let std::collections::btree_map::Entry::Vacant(open) = of_kinds.entry(kind) {
            let (items, _) = of_kind(&mut tx, kind, &Source::default(), OF_A_KIND).await?;
            open.insert(super::with_models(&mut tx, items).await?);
        }
    }
    let pairs = of_kinds
        .values()
        .flatten()
        .map(|(item, model)| (item, model));
    let around = Surroundings::of(&mut tx, (&planned, now), pairs).await?;
    // Work for a processor, not for the thread that answers everybody.
    let rigs = tokio::task::spawn_blocking(move || {
        let with_belay = |bench: &&Bench| bench.chosen.rig.catches();
        let (first, then): (Vec<&Bench>, Vec<&Bench>) = benches.iter().partition(with_belay);
        let found = first.into_iter().chain(then);
        let found = found.filter_map(|bench| of_bench(bench, &around, &of_kinds));
        found.collect::<Vec<_>>()
    })
    .await
    .map_err(|error| DeedError::Internal(Box::new(error)))?;
    filled.rigs = rigs;
    Ok(filled)
}

fn of_bench(
    bench: &Bench,
    around: &Surroundings,
    of_kinds: &BTreeMap<Kind, Vec<(Item, Model)>>,
) -> Option<Filled> {
    let kinds = bench.kinds();
    let offered = kinds.iter().filter_map(|kind| of_kinds.get(kind)).flatten();
    let offered: Vec<(Item, Model)> = offered.cloned().collect();
    let proposal = bench.proposal(around, &offered);
    let fills = proposal.missing.is_empty() && proposal.verdict.outcome == Outcome::StrongEnough;
    fills.then(|| Filled {
        edition: bench.job.rig.clone(),
        title: bench.chosen.rig.title().to_owned(),
        belay: bench.chosen.rig.belay_words(),
        items: proposal.picks.len(),
    })
}

/// The job with another rig, and what it is judged by then.
pub(super) async fn otherwise(
    tx: &mut Tx,
    planned: &Job,
    rig: &str,
) -> Result<(Job, Chosen), DeedError> {
    let changes = WhatIf {
        rig: rig.to_owned(),
        ..WhatIf::default()
    };
    let mut job = changes.job(planned)?;
    let chosen = Chosen::settle(tx, &mut job, Some(planned)).await?;
    Ok((job, chosen))
}

/// Every rig that is offered for new jobs, beside the one that is planned, with its title.
async fn editions(tx: &mut Tx, planned: &Job) -> Result<Vec<(String, String)>, DeedError> {
    let own = tx.rigs().await?.into_iter().filter(|kept| !kept.withdrawn);
    let mut all: Vec<(String, String)> = own
        .map(|kept| (kept.rig.edition().to_string(), kept.rig.title.clone()))
        .collect();
    let shipped = shipped().iter();
    all.extend(shipped.map(|rig| (rig.key().to_owned(), rig.title().to_owned())));
    let planned = Edition::read(&planned.rig).key;
    all.retain(|(edition, _)| Edition::read(edition).key != planned);
    Ok(all)
}
