//! The rigs that the register fills now for the plan of a job, beside its own.

use std::collections::BTreeMap;

use super::{
    bench::{Bench, Surroundings},
    proposal::{Source, of_kind},
};
use crate::{
    deed::{Chosen, DeedError, Desk, permit},
    domain::{
        Actor, Deed, Edition, Item, Job, JobId, Kind, Model, Zone, kit_strength::WhatIf,
        proposal::Proposal,
    },
    rigging::shipped,
    store::Tx,
};

/// How many items of each kind are looked at.
const OF_A_KIND: usize = 500;

/// How many of the positions that stay empty a line names.
const NAMED: usize = 3;

/// A rig that the register fills for the plan of a job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Filled {
    /// The edition that a plan names.
    pub edition: String,
    /// Its title.
    pub title: String,
    /// Whether another rope catches the load, in a few words.
    pub belay: String,
    /// Whether another rope catches the load.
    pub catches: bool,
    /// How many items it takes.
    pub items: usize,
}

/// A rig that the register does not fill for the plan of a job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unfilled {
    /// The edition that a plan names.
    pub edition: String,
    /// Its title.
    pub title: String,
    /// Why, in a line: each position that stays empty with what it lacks, or what does not hold.
    pub why: String,
}

/// The rigs that the register fills now, those that it does not, and those that the plan says too little for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FilledRigs {
    /// Those with a kit that is strong enough, one with a belay first.
    pub rigs: Vec<Filled>,
    /// Of those, the ones in which nothing else catches the load, where in the job's own rig something does.
    pub unbelayed: Vec<Filled>,
    /// Those without such a kit, one with a belay first.
    pub unfilled: Vec<Unfilled>,
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
    let own = Chosen::rig(&mut tx, &planned.rig).await?;
    let is_caught = own.is_some_and(|rig| rig.catches());
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
        let found = found.map(|bench| of_bench(bench, &around, &of_kinds));
        found.collect::<Vec<_>>()
    })
    .await
    .map_err(|error| DeedError::Internal(Box::new(error)))?;
    for rig in rigs {
        match rig {
            Ok(rig) if is_caught && !rig.catches => filled.unbelayed.push(rig),
            Ok(rig) => filled.rigs.push(rig),
            Err(rig) => filled.unfilled.push(rig),
        }
    }
    Ok(filled)
}

fn of_bench(
    bench: &Bench,
    around: &Surroundings,
    of_kinds: &BTreeMap<Kind, Vec<(Item, Model)>>,
) -> Result<Filled, Unfilled> {
    let kinds = bench.kinds();
    let offered = kinds.iter().filter_map(|kind| of_kinds.get(kind)).flatten();
    let offered: Vec<(Item, Model)> = offered.cloned().collect();
    let proposal = bench.proposal(around, &offered);
    let (edition, title) = (bench.job.rig.clone(), bench.chosen.rig.title().to_owned());
    if proposal.is_whole() {
        return Ok(Filled {
            edition,
            title,
            belay: bench.chosen.rig.belay_words(),
            catches: bench.chosen.rig.catches(),
            items: proposal.picks.len(),
        });
    }
    Err(Unfilled {
        edition,
        title,
        why: why_not(&proposal),
    })
}

/// What keeps a rig from being filled, in a line.
fn why_not(proposal: &Proposal) -> String {
    let missing = proposal.missing.iter();
    let missing: Vec<&str> = missing.map(|missing| missing.brief.as_str()).collect();
    match missing.as_slice() {
        [] => proposal.verdict.sentence.clone(),
        missing => {
            let named = missing[..missing.len().min(NAMED)].join("; ");
            match missing.len().saturating_sub(NAMED) {
                0 => format!("{named}."),
                1 => format!("{named}; and 1 more position."),
                more => format!("{named}; and {more} more positions."),
            }
        }
    }
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
    let mut job = changes.job(planned, &Zone::UTC)?;
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
