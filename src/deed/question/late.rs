//! What was recorded long after it was done.

use std::{
    collections::{BTreeMap, HashMap},
    sync::LazyLock,
};

use time::Date;
use uuid::Uuid;

use super::walk::{At, Part, Today, entries, place_of, recorded_in};
use crate::{
    deed::{DeedError, history::names},
    domain::{
        Change, DATED, ItemId, Made, Names, Told, Zone,
        question::{Cell, Late, Period, Row, To, late},
    },
    store::{EntryFilter, Kept, StoreError, Tx},
};

/// What names its day, and what may say anew when an item was made.
static KINDS: LazyLock<Vec<&'static str>> = LazyLock::new(|| [DATED, &["item-revised"]].concat());

pub(super) async fn part(
    tx: &mut Tx,
    today: &Today,
    (days, period): (u16, Period),
    at: At,
) -> Result<(Part, At), DeedError> {
    let (filter, span) = if let At::Entries(filter, span) = at {
        (filter, span)
    } else {
        let filter = EntryFilter {
            kinds: KINDS.as_slice(),
            ..EntryFilter::default()
        };
        let filter = recorded_in(period, &today.zone, filter);
        let span = tx.entry_span(&filter).await?;
        (filter, span)
    };
    let (kept, next) = entries(tx, filter, span).await?;
    let remade = remade(tx, &kept, &today.zone).await?;
    let mut part = Part::default();
    let mut came_late: Vec<(Kept, Late)> = Vec::new();
    for kept in kept {
        let found = match (&kept.entry.change, remade.get(&kept.entry.seq)) {
            (Change::ItemRevised(_), None) => continue,
            (Change::ItemRevised(_), Some(since)) => {
                Late::between(since.on_record, kept.entry.recorded_on(&today.zone), days)
            }
            _ => late(&kept.entry, &today.zone, days),
        };
        part.tally.of += 1;
        came_late.extend(found.map(|late| (kept, late)));
    }
    let (kept, lates): (Vec<Kept>, Vec<Late>) = came_late.into_iter().unzip();
    let names = names(tx, &kept).await?;
    for (kept, late) in kept.iter().zip(lates) {
        part.tally.found += 1;
        part.rows
            .push(row(kept, late, (remade.get(&kept.entry.seq), &names)));
    }
    Ok((part, next))
}

/// What was on record of an item before somebody wrote down anew when it was made.
struct Remade {
    was: Option<Made>,
    now: Option<Made>,
    /// The day on which the item was put on record.
    on_record: Date,
}

impl Remade {
    fn words(&self) -> String {
        let words = |made: Option<Made>| made.map_or_else(|| "not known".to_owned(), String::from);
        format!(
            "date made {}, before that {}",
            words(self.now),
            words(self.was)
        )
    }
}

/// Those of the entries that say anew when an item was made, by their numbers.
async fn remade(
    tx: &mut Tx,
    kept: &[Kept],
    zone: &Zone,
) -> Result<BTreeMap<u64, Remade>, StoreError> {
    let revised = kept.iter().filter_map(|kept| match &kept.entry.change {
        Change::ItemRevised(item) => Some(item.id.0),
        _ => None,
    });
    let mut items: Vec<Uuid> = revised.collect();
    items.sort_unstable();
    items.dedup();
    let mut known: HashMap<ItemId, (Option<Made>, Date)> = HashMap::new();
    let mut found = BTreeMap::new();
    for kept in tx
        .entries_about(&items, &["item-added", "item-revised"])
        .await?
    {
        let entry = &kept.entry;
        match &entry.change {
            Change::ItemAdded(item) => {
                known.insert(item.id, (item.made, entry.recorded_on(zone)));
            }
            Change::ItemRevised(item) => {
                let recorded = entry.recorded_on(zone);
                let (was, on_record) = known
                    .get(&item.id)
                    .copied()
                    .unwrap_or((item.made, recorded));
                if was != item.made {
                    let remade = Remade {
                        was,
                        now: item.made,
                        on_record,
                    };
                    found.insert(entry.seq, remade);
                }
                known.insert(item.id, (item.made, on_record));
            }
            _ => (),
        }
    }
    Ok(found)
}

fn row(kept: &Kept, late: Late, (remade, names): (Option<&Remade>, &Names)) -> Row {
    let entry = &kept.entry;
    let about = about(&entry.change);
    let told = Told::of(&entry.change, names).words;
    let told = match remade {
        Some(remade) => format!("{told}: {}", remade.words()),
        None => told,
    };
    Row {
        place: place_of(entry.seq),
        cells: vec![
            Cell::Day(late.done),
            Cell::Day(late.recorded),
            Cell::Number(late.days),
            told.into(),
            about.map_or(Cell::Nothing, |to| Cell::Record(to, names.of(to.id()))),
            names.of(entry.actor.0).into(),
            Cell::Number(entry.seq),
        ],
    }
}

/// The item or job that a change is about.
fn about(change: &Change) -> Option<To> {
    match change {
        Change::ExaminationRecorded(one) => Some(To::Item(one.item)),
        Change::EventReported(one) => Some(To::Item(one.item)),
        Change::UsageLogged(one) => Some(To::Item(one.item)),
        Change::ItemStepped(one) => Some(To::Item(one.item)),
        Change::ItemRevised(one) => Some(To::Item(one.id)),
        Change::ReturnAsked(one) => Some(To::Item(one.item)),
        Change::RopeCut(one) => Some(To::Item(one.rope)),
        Change::KitIssued(one) => Some(To::Job(one.job.id)),
        Change::KitReturned(one) => Some(To::Job(one.job)),
        Change::FunctionCheckSigned(one) => Some(To::Job(one.job)),
        _ => None,
    }
}
