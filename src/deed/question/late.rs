//! What was recorded long after it was done.

use std::sync::LazyLock;

use super::walk::{At, Part, Today, entries, place_of, recorded_in};
use crate::{
    deed::{
        DeedError,
        spoken::{corrected, named},
    },
    domain::{
        Change, DATED, Names, Told,
        question::{CORRECTING, Cell, Corrected, Late, Period, Row, To, late},
    },
    store::{EntryFilter, Kept, Tx},
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
    let names = named(tx, &kept).await?;
    for (kept, late) in kept.iter().zip(lates) {
        part.tally.found += 1;
        part.rows
            .push(row(kept, late, (corrected.get(&kept.entry.seq), &names)));
    }
    Ok((part, next))
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
