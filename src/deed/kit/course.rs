//! What became of the lines of a list, by the ledger: what is off it by now, and what an id was used for before.

use std::collections::HashMap;

use super::{super::DeedError, Put, bench::Bench, wanted};
use crate::{
    domain::{Actor, Change, Entry, ItemId, JobId, KitLine, KitLineId, KitLineRemoved},
    store::{Kept, Tx},
};

/// Every line that was ever put on the list of a job, and taken off it.
pub(super) struct Course(Vec<Kept>);

impl Course {
    pub(super) async fn of(tx: &mut Tx, job: JobId) -> Result<Self, DeedError> {
        let kinds = &["kit-line-added", "kit-line-removed"];
        Ok(Self(tx.entries_about(&[job.0], kinds).await?))
    }

    /// The entry that put a line on, and the line.
    pub(super) fn put_on(&self, id: KitLineId) -> Option<(&Entry<Change>, &KitLine)> {
        let mut entries = self.0.iter().rev().map(|kept| &kept.entry);
        entries.find_map(|entry| match &entry.change {
            Change::KitLineAdded(line) if line.id == id => Some((entry, line)),
            _ => None,
        })
    }

    fn taken_off(&self, id: KitLineId) -> Option<(&Entry<Change>, &KitLineRemoved)> {
        let mut entries = self.0.iter().rev().map(|kept| &kept.entry);
        entries.find_map(|entry| match &entry.change {
            Change::KitLineRemoved(removed) if removed.line == id => Some((entry, removed)),
            _ => None,
        })
    }

    /// Which line was taken off the list, who took it off, and what is there now.
    ///
    /// # Errors
    /// [`DeedError::NotFound`] where there never was such a line on this list.
    pub(super) async fn gone(
        &self,
        tx: &mut Tx,
        bench: &Bench,
        line: KitLineId,
    ) -> Result<String, DeedError> {
        let off = self.taken_off(line);
        let (entry, removed) = off.ok_or(DeedError::NotFound("kit line"))?;
        let stood = self.put_on(line);
        let place = stood.and_then(|(_, line)| line.position.as_deref());
        Ok(format!(
            "{}: {} is off the list. {} took it off at {}{}. {}",
            title(bench, place),
            mark(tx, removed.item).await?,
            name(tx, entry).await?,
            bench.zone.words(entry.recorded_at),
            why(&removed.reason),
            there(bench, place),
        ))
    }
}

/// What of a request is on the list already by the ids of its lines.
pub(super) struct Before<'a> {
    /// What is on it.
    pub(super) there: Vec<KitLine>,
    /// What is to be put on.
    pub(super) open: Vec<&'a Put>,
    /// A sentence for each whose id was used for something else, or whose line is off the list again.
    pub(super) otherwise: Vec<String>,
}

impl<'a> Before<'a> {
    /// Tells what was sent before, by the same person and with the same words, from what has an id that was used before.
    ///
    /// # Errors
    /// [`DeedError::Invalid`] where there is no such item.
    pub(super) async fn of(
        tx: &mut Tx,
        actor: &Actor,
        bench: &Bench,
        lines: &'a [Put],
    ) -> Result<Self, DeedError> {
        let course = Course::of(tx, bench.job.id).await?;
        let mut before = Self {
            there: Vec::new(),
            open: Vec::new(),
            otherwise: Vec::new(),
        };
        let mut ids = HashMap::new();
        for (at, put) in lines.iter().enumerate() {
            if let Some(first) = ids.insert(put.line, at) {
                before.otherwise.push(format!(
                    "Lines {} and {} have one id. Make a new id for each line.",
                    first + 1,
                    at + 1
                ));
            } else if let Some((entry, line)) = course.put_on(put.line) {
                if !is_same(tx, bench, (put, actor), (entry, line)).await? {
                    let sentence = used(tx, bench, put, (entry, line)).await?;
                    before.otherwise.push(sentence);
                } else if bench.has(line.id) {
                    before.there.push(line.clone());
                } else {
                    let sentence = course.gone(tx, bench, line.id).await?;
                    before.otherwise.push(sentence);
                }
            } else if tx.kit_line(put.line).await?.is_some() {
                let place = title(bench, put.place());
                let what = wanted(tx, &put.draft.item).await?.mark;
                before.otherwise.push(format!(
                    "{place}: {what} is not put on: the id of its line is that of a line of another job. {NEW_ID}"
                ));
            } else {
                before.open.push(put);
            }
        }
        for line in before.open.iter().filter_map(|put| put.instead_of) {
            if !bench.has(line) {
                let sentence = course.gone(tx, bench, line).await?;
                before.otherwise.push(sentence);
            }
        }
        Ok(before)
    }
}

const NEW_ID: &str = "Make a new id for each line.";

/// Whether what an id was used for is what is asked for, by whoever asked for it.
async fn is_same(
    tx: &mut Tx,
    bench: &Bench,
    (put, actor): (&Put, &Actor),
    (entry, line): (&Entry<Change>, &KitLine),
) -> Result<bool, DeedError> {
    let item = wanted(tx, &put.draft.item).await?.id;
    let is_instead = put.instead_of.is_none_or(|line| !bench.has(line));
    let is_line = line.item == item && line.position.as_deref() == put.place();
    Ok(is_line && is_instead && entry.actor == actor.person)
}

/// What the id of a line was used for.
async fn used(
    tx: &mut Tx,
    bench: &Bench,
    put: &Put,
    (entry, line): (&Entry<Change>, &KitLine),
) -> Result<String, DeedError> {
    let what = wanted(tx, &put.draft.item).await?.mark;
    Ok(format!(
        "{}: {what} is not put on: the id of its line was used before. {} put {} on with it at {} ({}). {NEW_ID}",
        title(bench, put.place()),
        name(tx, entry).await?,
        mark(tx, line.item).await?,
        bench.zone.words(entry.recorded_at),
        title(bench, line.position.as_deref()),
    ))
}

async fn mark(tx: &mut Tx, item: ItemId) -> Result<String, DeedError> {
    Ok(tx
        .item(item)
        .await?
        .map(|item| item.mark)
        .unwrap_or_default())
}

async fn name(tx: &mut Tx, entry: &Entry<Change>) -> Result<String, DeedError> {
    let who = tx.person(entry.actor).await?;
    Ok(who.map(|person| person.name).unwrap_or_default())
}

fn title(bench: &Bench, place: Option<&str>) -> String {
    let plan = bench.plan();
    let position = place.and_then(|place| plan.rig.position(place));
    position.map_or_else(
        || "Spare".to_owned(),
        |position| position.title().to_owned(),
    )
}

fn why(reason: &str) -> String {
    if reason.is_empty() {
        return String::new();
    }
    format!(" ({reason})")
}

fn there(bench: &Bench, place: Option<&str>) -> String {
    let Some(place) = place else {
        return String::new();
    };
    bench.item_at(place).map_or_else(
        || "Nothing is there now.".to_owned(),
        |item| format!("{} is there now.", item.mark),
    )
}
