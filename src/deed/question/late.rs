//! What was recorded long after it was done.

use super::walk::{At, Part, Today, entries, place_of, recorded_in};
use crate::{
    deed::{DeedError, history::names},
    domain::{
        Change, DATED, Names, Told,
        question::{Cell, Late, Period, Row, To, late},
    },
    store::{EntryFilter, Kept, Tx},
};

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
            kinds: DATED,
            ..EntryFilter::default()
        };
        let filter = recorded_in(period, &today.zone, filter);
        let span = tx.entry_span(&filter).await?;
        (filter, span)
    };
    let (kept, next) = entries(tx, filter, span).await?;
    let mut part = Part::default();
    part.tally.of = kept.len() as u64;
    let came_late = kept.into_iter().filter_map(|kept| {
        let late = late(&kept.entry, &today.zone, days)?;
        Some((kept, late))
    });
    let (kept, lates): (Vec<Kept>, Vec<Late>) = came_late.unzip();
    let names = names(tx, &kept).await?;
    for (kept, late) in kept.iter().zip(lates) {
        part.tally.found += 1;
        part.rows.push(row(kept, late, &names));
    }
    Ok((part, next))
}

fn row(kept: &Kept, late: Late, names: &Names) -> Row {
    let entry = &kept.entry;
    let about = about(&entry.change);
    Row {
        place: place_of(entry.seq),
        cells: vec![
            Cell::Day(late.done),
            Cell::Day(late.recorded),
            Cell::Number(late.days),
            Told::of(&entry.change, names).words.into(),
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
        Change::ReturnAsked(one) => Some(To::Item(one.item)),
        Change::RopeCut(one) => Some(To::Item(one.rope)),
        Change::KitIssued(one) => Some(To::Job(one.job.id)),
        Change::KitReturned(one) => Some(To::Job(one.job)),
        Change::FunctionCheckSigned(one) => Some(To::Job(one.job)),
        _ => None,
    }
}
