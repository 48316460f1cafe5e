//! What an item, a job or a store was on a day in the past: as it was known then, and as it is known now that it was.

mod beside;
mod item;
mod job;
mod kit;
mod place;

use std::collections::BTreeMap;

use time::Date;

pub(super) use beside::of_rulebooks;
pub use item::item;
pub use job::job;
pub use place::{PLACE, place};

use super::{DeedError, Desk, history::all, permit, spoken::named};
use crate::{
    domain::{
        Actor, Change, Deed, Entry, FieldErrors, ItemId, JobId, Names, PersonId, StoreId, Told,
        Zone,
        date::{read_day, write_day},
        question::{Cell, Column, Row},
        then::Side,
    },
    store::{Kept, StoreError, Tx},
};

/// As many rows as there are, which a file has.
pub(super) const ALL: u32 = u32::MAX - 1;

/// Whose past it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PastOf {
    /// An item.
    Item(ItemId),
    /// A job.
    Job(JobId),
    /// What lived in a store.
    Store(StoreId),
}

/// That nothing differs.
const SAME: &str = "Both are the same.";

/// The columns of the facts of a record.
pub const FACTS: &[Column] = &both_of(Column::new("fact", "Fact"));

/// The columns of a past: what it is of, how that was by both clocks, and the entry that made a difference.
const fn both_of(of: Column) -> [Column; 7] {
    [
        of,
        Column::new("then", "As it was known then"),
        Column::new("now", "As we know now that it was"),
        Column::new("difference", "Difference"),
        Column::new("entry", "Entry"),
        Column::new("recorded_by", "Recorded by"),
        Column::new("recorded_at", "Recorded"),
    ]
}

/// A past.
#[derive(Clone, Debug)]
pub struct Past {
    /// The day.
    pub on: Date,
    /// What it was, by both clocks, in a sentence.
    pub answer: String,
    /// How many of how many differ, in words.
    pub why: String,
    /// Whether nothing differs.
    pub is_same: bool,
    /// The columns of its table.
    pub columns: &'static [Column],
    /// The rows of this page.
    pub rows: Vec<Row>,
    /// Where the next page begins, if there is one.
    pub next: Option<crate::store::Cursor>,
}

impl Past {
    /// The facts of a record of this name, and its state by both clocks.
    async fn of_facts(
        tx: &mut Tx,
        (name, on): (&str, Date),
        states: (Option<&str>, Option<&str>),
        (sides, kept): (&[Side], &[Kept]),
    ) -> Result<Self, StoreError> {
        Ok(Self {
            on,
            answer: sentence(name, &write_day(on), states),
            why: how_many(sides),
            is_same: !sides.iter().any(Side::differs),
            columns: FACTS,
            rows: rows(tx, sides, kept).await?,
            next: None,
        })
    }
}

/// What it was by both clocks, in a sentence.
fn sentence(name: &str, on: &str, states: (Option<&str>, Option<&str>)) -> String {
    match states {
        (None, None) => format!(
            "Nothing was known of {name} on {on}, and nothing is known of it on that day now"
        ),
        (None, Some(now)) => {
            format!("On {on} nothing was known of {name}; as we know now it was {now}")
        }
        (Some(then), None) => {
            format!("On {on} {name} was known to be {then}; as we know now it was not there")
        }
        (Some(then), Some(now)) if then == now => {
            format!("On {on} {name} was {then}, as it was known then and as we know now")
        }
        (Some(then), Some(now)) => {
            format!("On {on} {name} was known to be {then}; as we know now it was {now}")
        }
    }
}

/// What a past is read with.
struct Look {
    tx: Tx,
    zone: Zone,
    today: Date,
}

async fn begin(desk: &Desk, actor: &Actor) -> Result<Look, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let zone = tx.zone().await?;
    let today = zone.day(desk.clock.now());
    Ok(Look { tx, zone, today })
}

/// The day that is asked about: as typed, or today where nothing was.
fn day_asked(text: &str, today: Date) -> Result<Date, FieldErrors> {
    let mut wrong = FieldErrors::default();
    let text = text.trim();
    if text.is_empty() {
        return Ok(today);
    }
    let day = wrong.keep("on", "date", read_day(text));
    if let Some(day) = day.filter(|day| *day > today) {
        let sentence = format!(
            "Of a day that is still to come nothing is known: write one up to today, {}, not {}.",
            write_day(today),
            write_day(day)
        );
        wrong.add("on", "range", sentence);
    }
    wrong.or(|| day.unwrap_or(today))
}

/// The rows of facts side by side, each difference with the entry that made it.
async fn rows(tx: &mut Tx, sides: &[Side], kept: &[Kept]) -> Result<Vec<Row>, StoreError> {
    let made: Vec<Kept> = kept
        .iter()
        .filter(|kept| {
            sides
                .iter()
                .any(|side| side.by.last() == Some(&kept.entry.seq))
        })
        .cloned()
        .collect();
    let names = named(tx, &made).await?;
    let entries: BTreeMap<u64, &Entry<Change>> = made
        .iter()
        .map(|kept| (kept.entry.seq, &kept.entry))
        .collect();
    // What differs stands first.
    let mut sides: Vec<&Side> = sides.iter().collect();
    sides.sort_by_key(|side| !side.differs());
    let rows = sides.into_iter().enumerate().map(|(at, side)| {
        let by = side.by.last().and_then(|seq| entries.get(seq).copied());
        let mut cells = vec![
            side.title.as_str().into(),
            known(side.then.as_ref()),
            known(side.now.as_ref()),
            difference(side.differs(), (by, side.by.len()), &names).into(),
        ];
        cells.extend(by_whom(by, &names));
        Row {
            place: format!("{at:06}"),
            cells,
        }
    });
    Ok(rows.collect())
}

fn known(value: Option<&String>) -> Cell {
    value.map_or(Cell::Nothing, |value| Cell::Text(value.clone()))
}

/// Whether two values differ, and what was recorded that made it so.
fn difference(
    differs: bool,
    (by, entries): (Option<&Entry<Change>>, usize),
    names: &Names,
) -> String {
    if !differs {
        return "the same".to_owned();
    }
    let by = by.map(|entry| format!(": {}", Told::of(&entry.change, names).words));
    let more = match entries {
        0 | 1 => String::new(),
        2 => " (and an entry before it)".to_owned(),
        n => format!(" (and {} entries before it)", n - 1),
    };
    format!("differs{}{more}", by.unwrap_or_default())
}

/// The entry, who recorded it and when.
fn by_whom(by: Option<&Entry<Change>>, names: &Names) -> [Cell; 3] {
    let who = |person: PersonId| names.of(person.0);
    match by {
        Some(entry) => [
            Cell::Number(entry.seq),
            who(entry.actor).into(),
            Cell::Moment(entry.recorded_at),
        ],
        None => [Cell::Nothing, Cell::Nothing, Cell::Nothing],
    }
}

/// How many of the facts differ, in words.
fn how_many(sides: &[Side]) -> String {
    let differ = sides.iter().filter(|side| side.differs()).count();
    match differ {
        0 => SAME.to_owned(),
        _ => format!(
            "{differ} of {} facts differ; each difference names the entry that made it.",
            sides.len()
        ),
    }
}
