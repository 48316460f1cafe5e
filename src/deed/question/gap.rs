//! What the record does not say that it should.

use std::collections::HashMap;

use time::Date;

use super::{
    past::versions_of,
    walk::{At, ITEMS, Part, Today},
};
use crate::{
    deed::DeedError,
    domain::{
        Item, ItemId, ItemState, JobId, Kind, Model, fold,
        question::{Cell, Gap, Row, To, gaps_of_item, stretches, usage_stopped},
        then::intervals_then,
    },
    store::{Cursor, Direction, ItemFilter, ItemSort, JobFilter, ModelFilter, StoreError, Tx},
};

/// The days of what was done with items.
type Days = HashMap<ItemId, Vec<Date>>;

/// The most examinations of a rope that are looked through for a piece of it.
const MOST: u32 = 10_000;

pub(super) async fn part(
    tx: &mut Tx,
    today: &Today,
    gap: Option<Gap>,
    at: At,
) -> Result<(Part, At), DeedError> {
    let (part, next) = match at {
        At::Jobs(after) => of_jobs(tx, today, after).await?,
        At::Models(after) => of_models(tx, after).await?,
        at => of_items(tx, today, at).await?,
    };
    let is_asked = |one: Gap| gap.is_none_or(|gap| gap == one);
    Ok((only(part, &is_asked), next))
}

async fn of_jobs(
    tx: &mut Tx,
    today: &Today,
    after: Option<Cursor>,
) -> Result<(Part, At), DeedError> {
    let all = JobFilter::default();
    let page = tx.jobs(all, Direction::Up, after.as_ref(), ITEMS).await?;
    let ids: Vec<JobId> = page.rows.iter().map(|job| job.id).collect();
    let (kits, issued) = (tx.kits(&ids).await?, tx.issued_of(&ids).await?);
    let mut part = Part::default();
    for job in page.rows {
        part.tally.of += 1;
        let ended = today.zone.day(job.ends_at);
        let kit = (
            kits.get(&job.id).map_or(0, Vec::len),
            issued.contains(&job.id),
        );
        let found = Gap::of_job(&job, today.now, ended);
        let found = found.or_else(|| Gap::of_closed_job(&job, kit, ended));
        if let Some((gap, words)) = found {
            // Far enough behind that none is below nothing.
            let start = job.starts_at.unix_timestamp() + 1_000_000_000_000;
            let place = format!("1\u{1}{start:020}\u{1}{}", job.id);
            let about = Cell::Record(To::Job(job.id), job.title);
            push(&mut part, place, gap, (about, None, words));
        }
    }
    let next = page.next.map(|next| At::Jobs(Some(next)));
    Ok((part, next.unwrap_or(At::Models(None))))
}

async fn of_models(tx: &mut Tx, after: Option<Cursor>) -> Result<(Part, At), DeedError> {
    let all = ModelFilter::default();
    let page = tx.models(&all, after.as_ref(), ITEMS).await?;
    let mut part = Part::default();
    for model in page.rows {
        part.tally.of += 1;
        if let Some((gap, words)) = Gap::of_model(&model) {
            let title = model.title();
            let place = format!("2\u{1}{}\u{1}{}", fold(&title), model.id);
            let about = Cell::Record(To::Model(model.id), title);
            push(&mut part, place, gap, (about, Some(model.kind), words));
        }
    }
    let next = page.next.map(|next| At::Models(Some(next)));
    Ok((part, next.unwrap_or(At::End)))
}

/// The part with what was asked for alone.
fn only(mut part: Part, is_asked: &impl Fn(Gap) -> bool) -> Part {
    let asked: Vec<&'static str> = Gap::ALL
        .into_iter()
        .filter(|gap| is_asked(*gap))
        .map(Gap::word)
        .collect();
    part.tally.parts.retain(|word, _| asked.contains(word));
    part.tally.found = part.tally.parts.values().sum();
    part.rows
        .retain(|row| matches!(&row.cells[0], Cell::Text(word) if asked.contains(&word.as_str())));
    part
}

fn push(
    part: &mut Part,
    place: String,
    gap: Gap,
    (about, kind, words): (Cell, Option<Kind>, String),
) {
    part.tally.count(gap.word());
    part.rows.push(Row {
        place,
        cells: vec![
            gap.word().into(),
            about,
            kind.map_or(Cell::Nothing, |kind| kind.word().into()),
            words.into(),
        ],
    });
}

async fn of_items(tx: &mut Tx, today: &Today, at: At) -> Result<(Part, At), DeedError> {
    let after = match at {
        At::Items(after) => after,
        _ => None,
    };
    let by_mark = (ItemSort::Mark, Direction::Up);
    let page = tx
        .items(&ItemFilter::default(), by_mark, after.as_ref(), ITEMS)
        .await?;
    let mut models: Vec<_> = page.rows.iter().map(|item| item.model).collect();
    models.sort_unstable();
    models.dedup();
    let versions = versions_of(tx, today, &models).await?;
    let models = tx.models_of(&models).await?;
    let looks = looks(tx, &page.rows).await?;
    let (logged, jobs) = use_days(tx, today, &page.rows).await?;
    let mut part = Part::default();
    for item in &page.rows {
        part.tally.of += 1;
        let Some(model) = models.get(&item.model) else {
            continue;
        };
        let of = |days: &Days| days.get(&item.id).cloned().unwrap_or_default();
        let versions = versions.get(&item.model).map_or(&[][..], Vec::as_slice);
        let of_item = (item, model, versions);
        let found = all_of(of_item, today, (of(&looks), of(&logged), of(&jobs)));
        for (at, (gap, words)) in found.into_iter().enumerate() {
            let place = format!("0\u{1}{}\u{1}{at:06}", fold(&item.mark));
            let about = Cell::Record(To::Item(item.id), item.mark.clone());
            push(&mut part, place, gap, (about, Some(model.kind), words));
        }
    }
    let next = page.next.map(|next| At::Items(Some(next)));
    Ok((part, next.unwrap_or(At::Jobs(None))))
}

/// Every gap of an item. `days` are those of its examinations, of its use, and of the jobs that it was on.
fn all_of(
    (item, model, versions): (&Item, &Model, &[(Date, Model)]),
    today: &Today,
    (looks, logged, jobs): (Vec<Date>, Vec<Date>, Vec<Date>),
) -> Vec<(Gap, String)> {
    let mut found = gaps_of_item(item, model);
    let bound = intervals_then(item, versions, &today.rulebooks);
    let intervals: Vec<_> = bound.iter().map(|one| (one.from, one.months)).collect();
    let last = match (&item.retired, item.state) {
        (Some(retired), _) => Some(retired.on),
        (None, ItemState::InService) => Some(today.day),
        // Put aside, lost or retired on a day that nobody wrote down: nothing is asked for since.
        (None, _) => looks.last().copied(),
    };
    let last = last.unwrap_or(today.day);
    let stretches = stretches(&looks, &intervals, last).into_iter();
    found.extend(stretches.map(|one| {
        let words = one.words(&bound[one.by]);
        (Gap::Stretch, words)
    }));
    if item.state != ItemState::Retired {
        let stopped = usage_stopped(&logged, &jobs);
        found.extend(stopped.map(|one| (Gap::UsageStopped, one.words())));
    }
    found
}

/// The days of the thorough examinations of these items; a piece of a rope has those of the rope too.
async fn looks(tx: &mut Tx, items: &[Item]) -> Result<Days, StoreError> {
    let (pieces, whole): (Vec<&Item>, Vec<&Item>) = items
        .iter()
        .partition(|item| !item.whole_ropes().is_empty());
    let ids: Vec<ItemId> = whole.iter().map(|item| item.id).collect();
    let mut days = by_item(tx.look_days(&ids).await?);
    for piece in pieces {
        let mut looks = tx.examinations_in_line(piece, MOST).await?;
        looks.retain(|one| one.kind.is_thorough());
        let on = looks.iter().rev().map(|one| one.on);
        days.insert(piece.id, on.collect());
    }
    Ok(days)
}

/// The days of which use was logged, and on which jobs began.
async fn use_days(tx: &mut Tx, today: &Today, items: &[Item]) -> Result<(Days, Days), StoreError> {
    let used = items.iter().filter(|item| !item.usage.is_nothing());
    let used: Vec<ItemId> = used.map(|item| item.id).collect();
    let logged = by_item(tx.usage_days(&used).await?);
    let starts = tx.job_starts(&used, today.now).await?.into_iter();
    let starts = starts.map(|(item, at)| (item, today.zone.day(at)));
    Ok((logged, by_item(starts.collect())))
}

fn by_item(pairs: Vec<(ItemId, Date)>) -> Days {
    let mut days = Days::new();
    for (item, day) in pairs {
        days.entry(item).or_default().push(day);
    }
    days
}
