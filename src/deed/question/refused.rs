//! Attempts to put an item on a job that were refused.

use super::walk::{At, Part, Today, entries, place_of, recorded_in};
use crate::{
    deed::{DeedError, spoken::names},
    domain::{
        Change,
        question::{Cell, Period, Row, To},
    },
    store::{Direction, EntryFilter, StoreError, Tx},
};

/// How many numbers of entries are read at once to be counted.
const NUMBERS: u32 = 10_000;

pub(super) async fn part(
    tx: &mut Tx,
    today: &Today,
    period: Period,
    at: At,
) -> Result<(Part, At), DeedError> {
    let of_kind = |kind| {
        let filter = EntryFilter {
            kind: Some(kind),
            ..EntryFilter::default()
        };
        recorded_in(period, &today.zone, filter)
    };
    let mut part = Part::default();
    let (filter, span) = if let At::Entries(filter, span) = at {
        (filter, span)
    } else {
        part.tally.of = how_many(tx, &of_kind("kit-line-added")).await?;
        let filter = of_kind("item-refused");
        let span = tx.entry_span(&filter).await?;
        (filter, span)
    };
    let (kept, next) = entries(tx, filter, span).await?;
    let names = names(tx, &kept).await?;
    for kept in &kept {
        let Change::ItemRefused(refused) = &kept.entry.change else {
            continue;
        };
        part.tally.of += 1;
        part.tally.found += 1;
        let position = match &refused.position {
            Some(key) => names.position(refused.job, key).to_owned(),
            None => "spare".to_owned(),
        };
        let reasons: Vec<&str> = refused
            .refusals
            .iter()
            .map(|one| one.sentence.as_str())
            .collect();
        part.rows.push(Row {
            place: place_of(kept.entry.seq),
            cells: vec![
                Cell::Moment(kept.entry.recorded_at),
                names.of(kept.entry.actor.0).into(),
                Cell::Record(To::Item(refused.item), names.of(refused.item.0)),
                Cell::Record(To::Job(refused.job), names.of(refused.job.0)),
                position.into(),
                reasons.join(" ").into(),
                Cell::Number(kept.entry.seq),
            ],
        });
    }
    Ok((part, next))
}

/// How many entries a filter leaves in.
async fn how_many(tx: &mut Tx, filter: &EntryFilter) -> Result<u64, StoreError> {
    let mut span = tx.entry_span(filter).await?;
    let mut count = 0;
    loop {
        let page = tx.seqs(filter, span, NUMBERS).await?;
        let Some(last) = page.last() else {
            return Ok(count);
        };
        count += page.len() as u64;
        span = span.beyond(*last, Direction::Up);
    }
}
