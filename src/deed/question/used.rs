//! Every use of an item.

use std::collections::HashMap;

use super::walk::{At, ENTRIES, Part, Today};
use crate::{
    deed::DeedError,
    domain::{
        Change, Entry, Item, ItemId, Job, JobId, PersonId,
        date::write_day,
        question::{Cell, Period, Row, To, Undone, Use, UseKind, UsedOn, uses},
    },
    store::{Direction, EntryFilter, StoreError, Tx},
};

/// The kinds of changes that tell of the use of an item.
const KINDS: &[&str] = &[
    "kit-issued",
    "kit-line-added",
    "usage-logged",
    "event-reported",
];

/// Every use of an item and of the ropes that it was part of, with the jobs that they name.
pub(super) async fn uses_of(
    tx: &mut Tx,
    today: &Today,
    item: &Item,
) -> Result<(Vec<Use>, HashMap<JobId, Job>), StoreError> {
    let ropes = item.whole_ropes();
    let mut line: Vec<ItemId> = ropes.iter().map(|rope| rope.item).collect();
    line.push(item.id);
    let filter = EntryFilter {
        subject: Some(item.id.0),
        whole_ropes: ropes.to_vec(),
        kinds: KINDS,
        ..EntryFilter::default()
    };
    let mut span = tx.entry_span(&filter).await?;
    let mut entries: Vec<Entry<Change>> = Vec::new();
    loop {
        let page = tx.entries(&filter, span, Direction::Up, ENTRIES).await?;
        let Some(last) = page.last() else { break };
        span = span.beyond(last.entry.seq, Direction::Up);
        entries.extend(page.into_iter().map(|kept| of_line(kept.entry, &line)));
    }
    let mut named: Vec<JobId> = entries.iter().filter_map(job_of).collect();
    named.sort_unstable();
    named.dedup();
    let jobs = tx.jobs_of(&named).await?;
    let undone = undone_by(tx, &named).await?;
    let of = UsedOn {
        line: &line,
        jobs: &jobs,
        undone: &undone,
        zone: &today.zone,
    };
    let told = uses(&entries, of, today.day);
    Ok((told, jobs))
}

/// The entry without what an issue says of other items: it may be large.
fn of_line(mut entry: Entry<Change>, line: &[ItemId]) -> Entry<Change> {
    if let Change::KitIssued(issue) = &mut entry.change {
        issue.lines.retain(|gone| line.contains(&gone.item));
        issue.verdict.answer.clear();
    }
    entry
}

fn job_of(entry: &Entry<Change>) -> Option<JobId> {
    match &entry.change {
        Change::KitIssued(issue) => Some(issue.job.id),
        Change::KitLineAdded(put) => Some(put.job),
        Change::UsageLogged(usage) => usage.job,
        _ => None,
    }
}

/// What these jobs undid.
async fn undone_by(tx: &mut Tx, jobs: &[JobId]) -> Result<Undone, StoreError> {
    let jobs: Vec<_> = jobs.iter().map(|job| job.0).collect();
    let kinds = &["issue-taken-back", "kit-line-removed"];
    let mut undone = Undone::default();
    for kept in tx.entries_about(&jobs, kinds).await? {
        match kept.entry.change {
            Change::IssueTakenBack(back) => {
                undone.issues.insert(back.issue);
            }
            Change::KitLineRemoved(removed) => {
                undone.lines.insert(removed.line);
            }
            _ => (),
        }
    }
    Ok(undone)
}

/// The names of the people of the team.
pub(super) async fn people(tx: &mut Tx) -> Result<HashMap<PersonId, String>, StoreError> {
    let people = tx.people().await?.into_iter();
    Ok(people.map(|person| (person.id, person.name)).collect())
}

/// Who had it or said so.
pub(super) fn who(one: &Use, people: &HashMap<PersonId, String>) -> String {
    let name = one
        .name
        .clone()
        .or_else(|| people.get(&one.person).cloned());
    name.unwrap_or_default()
}

pub(super) async fn part(
    tx: &mut Tx,
    today: &Today,
    item: &Item,
    period: Period,
) -> Result<(Part, At), DeedError> {
    let (told, jobs) = uses_of(tx, today, item).await?;
    let people = people(tx).await?;
    let mut part = Part::default();
    for one in told {
        part.tally.of += 1;
        if !period.has(one.on) {
            continue;
        }
        part.tally.count(one.kind.part());
        let job = one.job.and_then(|id| jobs.get(&id));
        let who = match &one.kind {
            UseKind::Issued | UseKind::TakenBack => format!("taken by {}", who(&one, &people)),
            UseKind::Listed => format!("put on it by {}", who(&one, &people)),
            UseKind::Logged(_) => format!("used by {}", who(&one, &people)),
            UseKind::Happened(_) => format!("reported by {}", who(&one, &people)),
        };
        part.rows.push(Row {
            place: format!("{}/{:020}", write_day(one.on), one.seq),
            cells: vec![
                Cell::Day(one.on),
                one.kind.part().into(),
                job.map_or(Cell::Nothing, |job| {
                    Cell::Record(To::Job(job.id), job.title.clone())
                }),
                one.kind.words().into(),
                who.into(),
                Cell::Number(one.seq),
            ],
        });
    }
    Ok((part, At::End))
}
