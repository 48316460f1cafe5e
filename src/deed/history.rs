//! The history: of the team, of an item, of a job.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};
use time::Date;
use uuid::Uuid;

use super::{DeedError, Desk, permit, spoken::names};
use crate::{
    domain::{
        Actor, Change, Deed, Entry, FieldErrors, Item, ItemId, Job, JobId, Model, ModelId, Names,
        Notice, NoticeId, Person, PersonId, Zone,
        date::{read_day, write_day},
        then::{MODEL_KINDS, NOTICE_KINDS},
    },
    store::{Beside, Direction, EntryFilter, Head, Kept, StoreError, Tx},
};

/// How many entries are read at once.
const ENTRIES: u32 = 500;

/// Whose history.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Of {
    /// The whole team's.
    Team,
    /// One item's.
    Item(ItemId),
    /// One job's.
    Job(JobId),
}

/// What a history is about.
#[derive(Clone, Debug)]
pub enum About {
    /// The team.
    Team,
    /// An item, and what its record rests on.
    Item(Box<Item>, Beside),
    /// A job.
    Job(Box<Job>),
}

/// What the history is narrowed to, as it was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Narrowing {
    /// The kind of change.
    pub kind: String,
    /// The person who recorded it.
    pub by: String,
    /// The first day of recording.
    pub from: String,
    /// The last day of recording.
    pub until: String,
}

impl Narrowing {
    /// Whether everything is left in.
    pub fn is_open(&self) -> bool {
        *self == Self::default()
    }

    /// Which entries are left in; a day is one of `zone`.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn check(&self, of: Of, zone: &Zone) -> Result<EntryFilter, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let kind = chosen(&mut wrong, "kind", &self.kind, |key| {
            let mut kinds = Change::KINDS.into_iter();
            kinds.find(|(kind, _)| *kind == key).map(|(kind, _)| kind)
        });
        let actor = chosen(&mut wrong, "by", &self.by, |id| id.parse().ok());
        let from = typed_day(&mut wrong, "from", &self.from);
        let until = typed_day(&mut wrong, "until", &self.until);
        if let (Some(from), Some(until)) = (from, until)
            && until < from
        {
            let first = write_day(from);
            wrong.add(
                "until",
                "range",
                format!("The last day must not be before the first, {first}."),
            );
        }
        wrong.or(|| EntryFilter {
            subject: match of {
                Of::Team => None,
                Of::Item(id) => Some(id.0),
                Of::Job(id) => Some(id.0),
            },
            whole_ropes: Vec::new(),
            beside: Beside::default(),
            kind,
            kinds: &[],
            actor: actor.map(PersonId),
            from: from.map(|day| zone.midnight(day)),
            // The last day counts whole.
            before: until.and_then(Date::next_day).map(|day| zone.midnight(day)),
        })
    }
}

/// Reads one of the choices; an empty text chooses none.
fn chosen<T>(
    wrong: &mut FieldErrors,
    field: &'static str,
    text: &str,
    read: impl FnOnce(&str) -> Option<T>,
) -> Option<T> {
    let text = text.trim();
    if text.is_empty() {
        return None;
    }
    let found = read(text);
    if found.is_none() {
        wrong.add(field, "choice", "Choose one from the list, or all.");
    }
    found
}

fn typed_day(wrong: &mut FieldErrors, field: &'static str, text: &str) -> Option<Date> {
    if text.trim().is_empty() {
        return None;
    }
    match read_day(text) {
        Ok(day) => Some(day),
        Err(error) => {
            wrong.add(field, "date", error.to_string());
            None
        }
    }
}

/// A page of a history.
#[derive(Clone, Debug)]
pub struct Chapter {
    /// What it is the history of.
    pub about: About,
    /// How far the team's ledger has grown.
    pub head: Head,
    /// The entries, the newest first.
    pub entries: Vec<Entry<Change>>,
    /// The names of what they speak of.
    pub names: Names,
    /// Where the next page begins, if there is one.
    pub next: Option<u64>,
    /// Everybody who may have recorded something, by name.
    pub people: Vec<Person>,
    /// Whether the team has a key that signs.
    pub has_key: bool,
}

/// A page of `of`'s history, the newest first, of entries before `before`. `filter` is from
/// [`Narrowing::check`]; without one no entry is read, only what stands around them.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has no such item or job.
pub async fn show(
    desk: &Desk,
    actor: &Actor,
    of: Of,
    filter: Option<&EntryFilter>,
    (before, limit): (Option<u64>, u32),
) -> Result<Chapter, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let about = about(&mut tx, of).await?;
    let head = tx.head().await?.ok_or(DeedError::NotFound("team"))?;
    let mut kept = Vec::new();
    if let Some(filter) = filter {
        let filter = &in_line(filter, &about);
        let mut span = tx.entry_span(filter).await?;
        if let Some(before) = before {
            span = span.beyond(before, Direction::Down);
        }
        // One more than asked for, which tells whether there is a next page.
        let more = limit.saturating_add(1);
        kept = tx.entries(filter, span, Direction::Down, more).await?;
    }
    let limit = limit as usize;
    let next = (kept.len() > limit).then(|| kept[limit - 1].entry.seq);
    kept.truncate(limit);
    Ok(Chapter {
        about,
        head,
        names: names(&mut tx, &kept).await?,
        entries: kept.into_iter().map(|kept| kept.entry).collect(),
        next,
        people: tx.people().await?,
        has_key: !tx.ledger_keys().await?.is_empty(),
    })
}

/// Reads what a history is about.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has no such item or job.
pub(super) async fn about(tx: &mut Tx, of: Of) -> Result<About, DeedError> {
    match of {
        Of::Team => Ok(About::Team),
        Of::Item(id) => {
            let item = tx.item(id).await?.ok_or(DeedError::NotFound("item"))?;
            let beside = beside(tx, &item).await?;
            Ok(About::Item(Box::new(item), beside))
        }
        Of::Job(id) => {
            let job = tx.job(id).await?.ok_or(DeedError::NotFound("job"))?;
            Ok(About::Job(Box::new(job)))
        }
    }
}

/// What the record of an item rests on, as it stands now or stood whenever: its models, and the notices that cover it, open
/// or closed.
async fn beside(tx: &mut Tx, item: &Item) -> Result<Beside, StoreError> {
    let ropes = item.whole_ropes().iter().map(|rope| rope.item.0);
    let line: Vec<Uuid> = std::iter::once(item.id.0).chain(ropes).collect();
    let kinds = &["item-added", "item-revised"];
    let records = tx.entries_about(&line, kinds).await?;
    let records = records
        .into_iter()
        .filter_map(|kept| match kept.entry.change {
            Change::ItemAdded(item) | Change::ItemRevised(item) => Some(item),
            _ => None,
        });
    let mut records: Vec<Item> = records.collect();
    records.push(item.clone());
    let models: BTreeSet<ModelId> = records.iter().map(|record| record.model).collect();
    let models: Vec<Uuid> = models.into_iter().map(|model| model.0).collect();
    // As its own record, that of the rope which it was cut off, and its model's stood whenever: a lot that was mended takes no
    // notice out of what happened to it.
    let versions = tx.entries_about(&models, MODEL_KINDS).await?;
    let versions = versions.iter().filter_map(|kept| kept.entry.change.model());
    let stood: Vec<(&Item, &Model)> = versions
        .flat_map(|model| records.iter().map(move |record| (record, model)))
        .filter(|(record, model)| record.model == model.id)
        .collect();
    Ok(Beside {
        notices: covering(tx, &stood).await?,
        models: models.into_iter().map(ModelId).collect(),
    })
}

/// The notices that cover an item as it and its model stood at any time.
async fn covering(tx: &mut Tx, stood: &[(&Item, &Model)]) -> Result<Vec<NoticeId>, StoreError> {
    let makers: BTreeSet<&str> = stood.iter().map(|(_, model)| &*model.maker).collect();
    let mut versions = before_correction(tx).await?;
    for maker in makers {
        versions.extend(tx.notices_about(maker).await?);
    }
    let about = versions.iter().filter(|notice| {
        let mut stood = stood.iter();
        stood.any(|(record, model)| notice.is_about(record, model))
    });
    let about: BTreeSet<NoticeId> = about.map(|notice| notice.id).collect();
    Ok(about.into_iter().collect())
}

/// What notices said that were corrected since.
async fn before_correction(tx: &mut Tx) -> Result<Vec<Notice>, StoreError> {
    let corrections = EntryFilter {
        kind: Some("notice-corrected"),
        ..EntryFilter::default()
    };
    let corrections = all(tx, &corrections).await?.into_iter();
    let corrected = corrections.flat_map(|kept| kept.entry.change.subjects());
    let corrected: BTreeSet<Uuid> = corrected.collect();
    let corrected: Vec<Uuid> = corrected.into_iter().collect();
    let versions = tx.entries_about(&corrected, NOTICE_KINDS).await?;
    let said = versions
        .iter()
        .filter_map(|kept| kept.entry.change.notice());
    Ok(said.cloned().collect())
}

/// Every entry that a filter leaves in.
pub(super) async fn all(tx: &mut Tx, filter: &EntryFilter) -> Result<Vec<Kept>, StoreError> {
    let mut span = tx.entry_span(filter).await?;
    let mut kept = Vec::new();
    loop {
        let page = tx.entries(filter, span, Direction::Up, ENTRIES).await?;
        let Some(last) = page.last() else {
            return Ok(kept);
        };
        span = span.beyond(last.entry.seq, Direction::Up);
        kept.extend(page);
    }
}

/// Which entries an item's history has: those about it and about the ropes that it was part of, and those by which its models
/// were put on record and corrected, and the notices that cover it opened, corrected and withdrawn.
pub async fn of_item(tx: &mut Tx, item: &Item) -> Result<EntryFilter, StoreError> {
    Ok(EntryFilter {
        subject: Some(item.id.0),
        whole_ropes: item.whole_ropes().to_vec(),
        beside: beside(tx, item).await?,
        ..EntryFilter::default()
    })
}

/// The same filter with the past of the ropes that an item was part of, and what its record rests on.
pub(super) fn in_line(filter: &EntryFilter, about: &About) -> EntryFilter {
    let mut filter = filter.clone();
    if let About::Item(item, beside) = about {
        filter.whole_ropes = item.whole_ropes().to_vec();
        filter.beside.clone_from(beside);
    }
    filter
}
