//! A store on a day: what lived in it.

use std::collections::HashMap;

use time::Date;
use uuid::Uuid;

use super::{Look, Past, begin, beside, both_of, by_whom, day_asked, difference};
use crate::{
    deed::{DeedError, Desk},
    domain::{
        Actor, Change, Entry, Item, ItemId, ItemState, Names, Store, StoreId, Zone, counted,
        date::write_day,
        fold,
        question::{Cell, Column, Row, To},
        then::{Fact, ITEM_KINDS, Reckoning, Side, StandingThen, side_by_side},
    },
    store::{Cursor, Direction, ItemFilter, ItemSort, Kept, StoreError, Tx},
};

/// How many items are read with their entries at once.
const SOME: u32 = 50;

/// The columns of what lived in a place.
pub const PLACE: &[Column] = &both_of(Column::of_records("item", "item_id", "Item"));

/// What was found in a place: all of it counted, and a page of it.
#[derive(Default)]
struct Found {
    then: usize,
    now: usize,
    differ: usize,
    rows: Vec<Row>,
}

impl Found {
    /// Counts what lived there, and takes it where it stands on the page: behind `after`, and one more than `limit`, which
    /// tells whether there is a next page.
    fn take(&mut self, lived: Lived, after: Option<&str>, limit: usize) {
        self.then += usize::from(lived.was.0);
        self.now += usize::from(lived.was.1);
        self.differ += usize::from(lived.differs);
        let is_behind = after.is_none_or(|after| lived.row.place.as_str() > after);
        if is_behind && self.rows.len() <= limit {
            self.rows.push(lived.row);
        }
    }

    /// The page.
    fn past(mut self, store: &Store, on: Date, limit: usize) -> Past {
        let more = self.rows.len() > limit;
        self.rows.truncate(limit);
        let last = self.rows.last().filter(|_| more);
        let next = last.map(|row| Cursor::new([row.place.clone()], Uuid::nil()));
        let items = |count| counted(count, "item", "items");
        let (then, now) = (items(self.then), items(self.now));
        let (day, name) = (write_day(on), &store.name);
        Past {
            on,
            answer: format!(
                "On {day} {then} lived in {name} as it was known then, and {now} as we know now"
            ),
            why: match self.differ {
                0 => super::SAME.to_owned(),
                n => format!(
                    "{} differ; each difference names the entry that made it.",
                    items(n)
                ),
            },
            is_same: self.differ == 0,
            columns: PLACE,
            rows: self.rows,
            next,
        }
    }
}

/// A store as it is, and what lived in it on a day by both clocks: a page of the items after `after`, all of them counted.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has no such store, [`DeedError::Invalid`] for a day that is none, or is to come;
/// [`StoreError::Cursor`] if the cursor belongs to another list.
pub async fn place(
    desk: &Desk,
    actor: &Actor,
    (id, on): (StoreId, &str),
    after: Option<&Cursor>,
    limit: u32,
) -> Result<(Store, Result<Past, DeedError>), DeedError> {
    let Look {
        mut tx,
        zone,
        today,
    } = begin(desk, actor).await?;
    let store = tx.store(id).await?.ok_or(DeedError::NotFound("store"))?;
    let on = match day_asked(on, today) {
        Ok(on) => on,
        Err(wrong) => return Ok((store, Err(wrong.into()))),
    };
    let after = match after {
        Some(after) => Some(after.key::<1>().ok_or(StoreError::Cursor)?[0].clone()),
        None => None,
    };
    let stores = tx.stores().await?.into_iter();
    let stores: HashMap<Uuid, String> = stores.map(|one| (one.id.0, one.name)).collect();
    let of_team = beside::of_team(&mut tx).await?;
    let limit = limit as usize;
    let (mut found, mut beyond) = (Found::default(), None);
    loop {
        let by_mark = (ItemSort::Mark, Direction::Up);
        let all = ItemFilter::default();
        let page = tx.items(&all, by_mark, beyond.as_ref(), SOME).await?;
        let around = (&zone, &stores, of_team.as_slice());
        for lived in lived_in(&mut tx, &page.rows, (id, on), around).await? {
            found.take(lived, after.as_deref(), limit);
        }
        beyond = page.next;
        if beyond.is_none() {
            break;
        }
    }
    let mut past = found.past(&store, on, limit);
    let added = tx.entries_about(&[id.0], &["store-added"]).await?;
    let added = added.first().map(|kept| kept.entry.recorded_on(&zone));
    if let Some(added) = added.filter(|added| *added > on) {
        let day = write_day(added);
        past.why = format!("The place itself was put on record on {day}. {}", past.why);
    }
    Ok((store, Ok(past)))
}

/// An item that lived in a place by one of the two clocks.
struct Lived {
    row: Row,
    /// Whether it lived there, as it was known then and as it is known now.
    was: (bool, bool),
    differs: bool,
}

async fn lived_in(
    tx: &mut Tx,
    items: &[Item],
    (place, on): (StoreId, Date),
    (zone, stores, of_team): (&Zone, &HashMap<Uuid, String>, &[Kept]),
) -> Result<Vec<Lived>, StoreError> {
    let ropes = items.iter().flat_map(|item| item.whole_ropes());
    let ropes = ropes.map(|rope| rope.item.0);
    let mut subjects: Vec<Uuid> = items.iter().map(|item| item.id.0).chain(ropes).collect();
    // With what says by which clocks the team counted its days.
    subjects.push(tx.team().0);
    subjects.sort_unstable();
    subjects.dedup();
    let mine = tx.entries_about(&subjects, ITEM_KINDS).await?;
    let ids: Vec<Uuid> = items.iter().map(|item| item.id.0).collect();
    let around = beside::of_items(tx, &ids, &mine).await?;
    let kept = beside::in_order([mine, around, of_team.to_vec()]);
    let mut found = Vec::new();
    for item in items {
        let mine: Vec<Kept> = of_line(&kept, item).cloned().collect();
        let mine = beside::of_makers(mine).into_iter();
        let mine: Vec<Entry<Change>> = mine.map(|kept| kept.entry).collect();
        let then = |by| StandingThen::new(on, by, zone);
        let mut pasts = (then(Reckoning::Then), then(Reckoning::Now));
        let sides = side_by_side(&mut pasts, &mine, (on, zone), |past| {
            facts(past, item.id, place, stores)
        });
        let was = (
            lives(&pasts.0, item.id, place),
            lives(&pasts.1, item.id, place),
        );
        if !was.0 && !was.1 {
            continue;
        }
        let Some(side) = sides.first() else { continue };
        let made = kept
            .iter()
            .filter(|kept| side.by.last() == Some(&kept.entry.seq))
            .cloned();
        let made: Vec<Kept> = made.collect();
        let names = if made.is_empty() {
            Names::default()
        } else {
            super::named(tx, &made).await?
        };
        found.push(Lived {
            row: row(item, side, made.first().map(|kept| &kept.entry), &names),
            was,
            differs: side.differs(),
        });
    }
    Ok(found)
}

/// The entries about an item and about the ropes that it was part of, and those about what stands around whatever item.
fn of_line<'a>(kept: &'a [Kept], item: &'a Item) -> impl Iterator<Item = &'a Kept> {
    let ropes = item.whole_ropes().iter().map(|rope| rope.item.0);
    let ids: Vec<Uuid> = ropes.chain([item.id.0]).collect();
    kept.iter().filter(move |kept| {
        let change = &kept.entry.change;
        let of_items = ITEM_KINDS.contains(&change.kind()) || change.kind() == "notice-closed";
        let is_of_team = matches!(change, Change::TeamFounded(_) | Change::TeamRevised(_));
        let about = change.subjects();
        !of_items || is_of_team || about.iter().any(|subject| ids.contains(subject))
    })
}

/// Whether an item lived in the place. What is retired lives nowhere.
fn lives(past: &StandingThen, id: ItemId, place: StoreId) -> bool {
    let item = past.items.item(id);
    item.is_some_and(|item| item.store == place && item.state != ItemState::Retired)
}

/// Where it was and how it stood, as the one fact that is compared.
fn facts(
    past: &StandingThen,
    id: ItemId,
    place: StoreId,
    stores: &HashMap<Uuid, String>,
) -> Vec<Fact> {
    let words = match past.items.item(id) {
        None => "not on the register".to_owned(),
        Some(item) if item.state == ItemState::Retired => "retired".to_owned(),
        Some(item) => {
            let standing = past.beside.standing(item);
            if item.store == place {
                format!("here, {standing}")
            } else {
                let elsewhere = stores.get(&item.store.0).map_or("", String::as_str);
                format!("in {elsewhere}, {standing}")
            }
        }
    };
    vec![Fact::new("Place", words)]
}

fn row(item: &Item, side: &Side, by: Option<&Entry<Change>>, names: &Names) -> Row {
    let mut cells = vec![
        Cell::Record(To::Item(item.id), item.mark.clone()),
        super::known(side.then.as_ref()),
        super::known(side.now.as_ref()),
        difference(side.differs(), (by, side.by.len()), names).into(),
    ];
    cells.extend(by_whom(by, names));
    Row {
        place: fold(&item.mark),
        cells,
    }
}
