//! What was recorded long after it was done.

use std::{collections::BTreeMap, sync::LazyLock};

use uuid::Uuid;

use super::walk::{At, Part, Today, entries, place_of, recorded_in};
use crate::{
    deed::{DeedError, history::names},
    domain::{
        Change, DATED, Names, Told, Zone,
        question::{CORRECTING, Cell, Corrected, Late, ON_RECORD, OnRecord, Period, Row, To, late},
    },
    store::{EntryFilter, Kept, StoreError, Tx},
};

/// What names its day, and what may correct what was on record.
static KINDS: LazyLock<Vec<&'static str>> = LazyLock::new(|| [DATED, CORRECTING].concat());

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
    let corrected = corrected(tx, &kept, &today.zone).await?;
    let mut part = Part::default();
    let mut came_late: Vec<(Kept, Late)> = Vec::new();
    for kept in kept {
        let entry = &kept.entry;
        let found = match corrected.get(&entry.seq) {
            None if CORRECTING.contains(&entry.change.kind()) => continue,
            None => late(entry, &today.zone, days),
            Some(one) => Late::between(one.on_record, entry.recorded_on(&today.zone), days),
        };
        part.tally.of += 1;
        came_late.extend(found.map(|late| (kept, late)));
    }
    let (kept, lates): (Vec<Kept>, Vec<Late>) = came_late.into_iter().unzip();
    let names = names(tx, &kept).await?;
    for (kept, late) in kept.iter().zip(lates) {
        part.tally.found += 1;
        part.rows
            .push(row(kept, late, (corrected.get(&kept.entry.seq), &names)));
    }
    Ok((part, next))
}

/// What these entries corrected, by their numbers.
async fn corrected(
    tx: &mut Tx,
    kept: &[Kept],
    zone: &Zone,
) -> Result<BTreeMap<u64, Corrected>, StoreError> {
    // A piece was put on record as the rope that it was cut from.
    let ropes = kept.iter().flat_map(|kept| match &kept.entry.change {
        Change::ItemRevised(item) => item.whole_ropes(),
        _ => &[],
    });
    let ropes = ropes.map(|rope| rope.item.0);
    let changes = kept.iter().map(|kept| &kept.entry.change);
    let correcting = changes.filter(|change| CORRECTING.contains(&change.kind()));
    let about = correcting.flat_map(Change::subjects);
    let mut about: Vec<Uuid> = about.chain(ropes).collect();
    about.sort_unstable();
    about.dedup();
    let made = tx.entries_about(&about, ON_RECORD).await?;
    let names = names(tx, &made).await?;
    let mut on_record = OnRecord::new(&names, zone);
    let found = made.iter().filter_map(|kept| {
        let corrected = on_record.apply(&kept.entry)?;
        Some((kept.entry.seq, corrected))
    });
    Ok(found.collect())
}

fn row(kept: &Kept, late: Late, (corrected, names): (Option<&Corrected>, &Names)) -> Row {
    let entry = &kept.entry;
    let about = match (corrected, &entry.change) {
        (Some(one), _) => Cell::Record(one.about, one.name.clone()),
        (None, Change::NoticeOpened(one)) => Cell::Record(To::Notice(one.id), one.title.clone()),
        (None, change) => {
            about(change).map_or(Cell::Nothing, |to| Cell::Record(to, names.of(to.id())))
        }
    };
    let told = Told::of(&entry.change, names).words;
    let told = match corrected {
        Some(corrected) => format!("{told}: {}", corrected.words),
        None => told,
    };
    Row {
        place: place_of(entry.seq),
        cells: vec![
            Cell::Day(late.done),
            Cell::Day(late.recorded),
            Cell::Number(late.days),
            told.into(),
            about,
            names.of(entry.actor.0).into(),
            Cell::Number(entry.seq),
        ],
    }
}

/// The record that a change is about.
fn about(change: &Change) -> Option<To> {
    match change {
        Change::ExaminationRecorded(one) => Some(To::Item(one.item)),
        Change::EventReported(one) => Some(To::Item(one.item)),
        Change::UsageLogged(one) => Some(To::Item(one.item)),
        Change::ItemStepped(one) => Some(To::Item(one.item)),
        Change::ReturnAsked(one) => Some(To::Item(one.item)),
        Change::RopeCut(one) => Some(To::Item(one.rope)),
        Change::KitIssued(one) => Some(To::Job(one.job.id)),
        Change::KitReturned(one) => Some(To::Job(one.job)),
        Change::FunctionCheckSigned(one) => Some(To::Job(one.job)),
        _ => None,
    }
}
