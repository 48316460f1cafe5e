//! What entries speak of: the names of it, and what stood on record before they changed it.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use uuid::Uuid;

use super::Chosen;
use crate::{
    domain::{
        Change, Holder, Mentioned, Names, Zone,
        question::{CORRECTING, Corrected, OF_TEAM, ON_RECORD, OnRecord},
    },
    store::{Kept, StoreError, Tx},
};

/// The names, as they are today, of what these entries speak of, and what they changed.
pub async fn names(tx: &mut Tx, kept: &[Kept]) -> Result<Names, StoreError> {
    let mut names = named(tx, kept).await?;
    names.changed = changed(tx, kept).await?;
    Ok(names)
}

/// What these entries corrected, by their numbers.
pub(super) async fn corrected(
    tx: &mut Tx,
    kept: &[Kept],
    zone: &Zone,
) -> Result<BTreeMap<u64, Corrected>, StoreError> {
    let made = on_record(tx, kept).await?;
    let names = named(tx, &made).await?;
    let mut on_record = OnRecord::new(&names, zone);
    let found = made.iter().filter_map(|kept| {
        let corrected = on_record.apply(&kept.entry)?;
        Some((kept.entry.seq, corrected))
    });
    Ok(found.collect())
}

/// What these entries changed, in words, by their numbers.
async fn changed(tx: &mut Tx, kept: &[Kept]) -> Result<HashMap<u64, String>, StoreError> {
    let mut made = on_record(tx, kept).await?;
    let of_team = kept
        .iter()
        .any(|kept| matches!(kept.entry.change, Change::TeamRevised(_)));
    if of_team {
        made.extend(tx.entries_about(&[tx.team().0], OF_TEAM).await?);
    }
    if made.is_empty() {
        return Ok(HashMap::new());
    }
    let (names, zone) = (named(tx, &made).await?, tx.zone().await?);
    let mut on_record = OnRecord::new(&names, &zone);
    let found = made
        .iter()
        .filter_map(|kept| Some((kept.entry.seq, on_record.changed(&kept.entry)?)));
    Ok(found.collect())
}

/// What put on record and corrected what these entries correct, in order.
async fn on_record(tx: &mut Tx, kept: &[Kept]) -> Result<Vec<Kept>, StoreError> {
    let changes = kept.iter().map(|kept| &kept.entry.change);
    let correcting: Vec<&Change> = changes
        .filter(|change| CORRECTING.contains(&change.kind()))
        .collect();
    // A piece was put on record as the rope that it was cut from.
    let ropes = correcting.iter().flat_map(|change| match change {
        Change::ItemRevised(item) => item.whole_ropes(),
        _ => &[],
    });
    let ropes = ropes.map(|rope| rope.item.0);
    let about = correcting.iter().flat_map(|change| change.subjects());
    let about: BTreeSet<Uuid> = about.chain(ropes).collect();
    let about: Vec<Uuid> = about.into_iter().collect();
    tx.entries_about(&about, ON_RECORD).await
}

/// The names, as they are today, of what these entries speak of.
pub(super) async fn named(tx: &mut Tx, kept: &[Kept]) -> Result<Names, StoreError> {
    let mentioned = Mentioned::by(kept.iter().map(|kept| &kept.entry));
    let mut names = Names::default();
    let items: Vec<_> = mentioned.items.into_iter().collect();
    let items = tx.items_of(&items).await?.into_values();
    names.add(items, |item| (item.id.0, item.mark));
    let models: Vec<_> = mentioned.models.into_iter().collect();
    let models = tx.models_of(&models).await?.into_values();
    names.add(models, |model| (model.id.0, model.title()));
    let jobs: Vec<_> = mentioned.jobs.into_iter().collect();
    let jobs = tx.jobs_of(&jobs).await?;
    for job in jobs.values() {
        if let Some(rig) = Chosen::rig(tx, &job.rig).await? {
            let titled = rig.positions().iter();
            let titled = titled.map(|one| ((job.id, one.key().to_owned()), one.title().to_owned()));
            names.positions.extend(titled);
        }
    }
    names.add(jobs.into_values(), |job| (job.id.0, job.title));
    let notices: Vec<_> = mentioned.notices.into_iter().collect();
    let notices = tx.notices_of(&notices).await?;
    names.add(notices, |notice| (notice.id.0, notice.title));
    names.add(tx.stores().await?, |store| (store.id.0, store.name));
    names.add(tx.people().await?, |person| (person.id.0, person.name));
    for one in tx.qualifications().await? {
        let name = match &one.holder {
            Holder::Person(person) => names.of(person.0),
            Holder::Outside { name, .. } => name.clone(),
        };
        names
            .records
            .insert(one.id.0, format!("qualification of {name}"));
    }
    Ok(names)
}
