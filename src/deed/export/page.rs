//! The rows of a page: read from the ledger or from a list, and written in whatever form.

use std::{
    iter::{Enumerate, Skip},
    vec::IntoIter,
};

use time::OffsetDateTime;

use super::{
    super::{
        DeedError,
        question::{Walk, cursor_of, is_behind, place_of},
        recall::holders_in,
        rulebook,
        spoken::names,
    },
    Key, Wanted,
    key::no_key,
    worked::Table,
};
use crate::{
    domain::{GuestLinkId, Item, ItemId, Job, Model, ModelId, Names, NoticeId},
    export::{self, Cell, Rows, RowsError, job::Listed},
    store::{
        Cursor, Direction, EntryFilter, ItemFilter, ItemSort, JobFilter, Kept, ModelFilter, Span,
        StoreError, Tx,
    },
};

/// How many records are read at once, and the most that a chunk of a file is made of.
pub const PAGE: u32 = 500;
/// The same for jobs, each of which brings its kit.
const JOBS: u32 = 50;

/// Where the next page is read.
pub(super) enum Place {
    /// In what is left of the ledger.
    Entries(Span, EntryFilter),
    /// Behind a row of a list.
    List(Option<Cursor>),
    /// Along what may answer a question, from behind this place on.
    Walk(Box<Walk>, Option<String>),
    /// In what is left of a table.
    Table(Skip<Enumerate<IntoIter<Vec<Cell<'static>>>>>),
}

impl Place {
    /// Behind the row of this key.
    pub async fn begin(
        tx: &mut Tx,
        now: OffsetDateTime,
        wanted: &Wanted,
        after: &Key,
    ) -> Result<Self, DeedError> {
        if let Wanted::Answer(question, draft) = wanted {
            let walk = Walk::begin(tx, now, (*question, draft)).await?;
            let after = after.cursor()?.as_ref().map(place_of).transpose()?;
            return Ok(Self::Walk(Box::new(walk), after));
        }
        let Some(filter) = wanted.entries() else {
            return Ok(Self::List(after.cursor()?));
        };
        let seq = after.seq()?;
        let span = tx.entry_span(&filter).await?;
        let span = seq.map_or(span, |seq| span.beyond(seq, Direction::Up));
        Ok(Self::Entries(span, filter))
    }

    /// Behind the row of this key in a table.
    pub fn behind(table: Table, after: &Key) -> Result<Self, DeedError> {
        let over = after.seq()?.unwrap_or_default();
        let over = usize::try_from(over).map_err(|_| no_key())?;
        if over > table.len() {
            return Err(no_key());
        }
        Ok(Self::Table(table.into_iter().enumerate().skip(over)))
    }
}

/// Where rows go.
pub(super) struct Out<'a> {
    rows: &'a mut dyn Rows,
    skip: &'a mut u32,
}

impl<'a> Out<'a> {
    pub fn new(rows: &'a mut dyn Rows, skip: &'a mut u32) -> Self {
        Self { rows, skip }
    }

    /// Writes the rows of a record that comes next behind `before` and is itself at `at`.
    fn record<'r>(
        &mut self,
        (before, at): (&str, &str),
        rows: &[impl AsRef<[Cell<'r>]>],
    ) -> Result<(), RowsError> {
        let last = rows.len();
        for (number, cells) in (1..).zip(rows).skip(*self.skip as usize) {
            let cells = cells.as_ref();
            if number as usize == last {
                self.rows.row(cells, at)?;
            } else {
                self.rows.row(cells, &Key::within(before, number))?;
            }
        }
        if last > 0 {
            *self.skip = 0;
        }
        Ok(())
    }

    /// Writes a record that is one row.
    fn one<'r>(&mut self, at: &str, cells: impl AsRef<[Cell<'r>]>) -> Result<(), RowsError> {
        self.record(("", at), &[cells])
    }
}

/// Writes a page; gives where the next one is read, if there is one.
pub(super) async fn write(
    tx: &mut Tx,
    wanted: &Wanted,
    place: Place,
    out: &mut Out<'_>,
) -> Result<Option<Place>, DeedError> {
    let after = match place {
        Place::Entries(span, filter) => {
            let kept = tx.entries(&filter, span, Direction::Up, PAGE).await?;
            entry_rows(tx, wanted, &kept, out).await?;
            let last = kept.last().filter(|_| kept.len() == PAGE as usize);
            let rest = last.map(|last| span.beyond(last.entry.seq, Direction::Up));
            return Ok(rest.map(|rest| Place::Entries(rest, filter)));
        }
        Place::List(after) => after,
        Place::Walk(mut walk, after) => {
            let goes_on = answer_rows(tx, &mut walk, after.as_deref(), out).await?;
            return Ok(goes_on.then_some(Place::Walk(walk, after)));
        }
        Place::Table(mut rows) => {
            for (at, cells) in rows.by_ref().take(PAGE as usize) {
                out.one(&(at + 1).to_string(), cells)?;
            }
            return Ok((rows.len() > 0).then_some(Place::Table(rows)));
        }
    };
    let after = after.as_ref();
    let next = match wanted {
        Wanted::Items(filter, order) => item_rows(tx, (filter, *order), after, out).await?,
        Wanted::Models(filter) => model_rows(tx, filter, after, out).await?,
        Wanted::Holders(notice) => holder_rows(tx, *notice, after, out).await?,
        Wanted::Jobs(during) => job_rows(tx, during.jobs(), after, out).await?,
        Wanted::Reads(link) => read_rows(tx, *link, after, out).await?,
        _ => None,
    };
    Ok(next.map(|next| Place::List(Some(next))))
}

async fn entry_rows(
    tx: &mut Tx,
    wanted: &Wanted,
    kept: &[Kept],
    out: &mut Out<'_>,
) -> Result<(), DeedError> {
    let names = names(tx, kept).await?;
    let models = match wanted {
        Wanted::Examinations(_) => models_by_item(tx, kept).await?,
        _ => Names::default(),
    };
    for Kept { entry, leaf, root } in kept {
        let seq = entry.seq.to_string();
        match wanted {
            Wanted::Examinations(_) => {
                let row = export::examination::row(entry, &names, &models);
                row.map_or(Ok(()), |row| out.one(&seq, row))?;
            }
            Wanted::Refusals(_) => {
                let before = entry.seq.saturating_sub(1).to_string();
                let rows = export::refusal::rows(entry, &names);
                out.record((&before, &seq), &rows)?;
            }
            _ => out.one(&seq, export::history::row(entry, (leaf, root), &names))?,
        }
    }
    Ok(())
}

/// Takes a step along what may answer a question; whether there is another.
async fn answer_rows(
    tx: &mut Tx,
    walk: &mut Walk,
    after: Option<&str>,
    out: &mut Out<'_>,
) -> Result<bool, DeedError> {
    let Some(part) = Box::pin(walk.step(tx)).await? else {
        return Ok(false);
    };
    let columns = walk.columns();
    for row in part.rows.iter().filter(|row| is_behind(row, after)) {
        let cells = export::question::row(columns, row);
        out.one(&cursor_of(row).to_string(), cells)?;
    }
    Ok(true)
}

/// The models of these items, by id.
async fn models_of<'a>(
    tx: &mut Tx,
    items: impl Iterator<Item = &'a Item>,
) -> Result<std::collections::HashMap<ModelId, Model>, StoreError> {
    let mut models: Vec<_> = items.map(|item| item.model).collect();
    models.sort_unstable();
    models.dedup();
    tx.models_of(&models).await
}

/// The titles of the models of the items that these entries name, by item.
async fn models_by_item(tx: &mut Tx, kept: &[Kept]) -> Result<Names, DeedError> {
    let entries = kept.iter().map(|kept| &kept.entry);
    let items = crate::domain::Mentioned::by(entries).items;
    let items: Vec<ItemId> = items.into_iter().collect();
    let items = tx.items_of(&items).await?;
    let models = models_of(tx, items.values()).await?;
    let mut titles = Names::default();
    let titled = items.values().filter_map(|item: &Item| {
        let model = models.get(&item.model)?;
        Some((item.id.0, model.title()))
    });
    titles.add(titled, |pair| pair);
    Ok(titles)
}

async fn item_rows(
    tx: &mut Tx,
    (filter, order): (&ItemFilter, (ItemSort, Direction)),
    after: Option<&Cursor>,
    out: &mut Out<'_>,
) -> Result<Option<Cursor>, DeedError> {
    let page = tx.items(filter, order, after, PAGE).await?;
    let models = models_of(tx, page.rows.iter()).await?;
    let rulebook = rulebook::home(tx).await?;
    let stores = tx.stores().await?;
    for (item, at) in page.rows.iter().zip(&page.cursors) {
        let store = stores.iter().find(|store| store.id == item.store);
        let store = store.map_or("", |store| store.name.as_str());
        let row = export::item::row(item, models.get(&item.model), store, &rulebook);
        out.one(&at.to_string(), row)?;
    }
    Ok(page.next)
}

async fn model_rows(
    tx: &mut Tx,
    filter: &ModelFilter,
    after: Option<&Cursor>,
    out: &mut Out<'_>,
) -> Result<Option<Cursor>, DeedError> {
    let page = tx.models(filter, after, PAGE).await?;
    for (model, at) in page.rows.iter().zip(&page.cursors) {
        out.one(&at.to_string(), export::model::row(model))?;
    }
    Ok(page.next)
}

async fn holder_rows(
    tx: &mut Tx,
    notice: NoticeId,
    after: Option<&Cursor>,
    out: &mut Out<'_>,
) -> Result<Option<Cursor>, DeedError> {
    let holders = holders_in(tx, notice, after, PAGE).await?;
    let mut before = after.map(ToString::to_string).unwrap_or_default();
    for (held, at) in holders.page.rows.iter().zip(&holders.page.cursors) {
        let about = export::holder::Covered {
            notice: &holders.notice,
            of: &held.of,
            model: &held.model,
        };
        let on = held.on.iter().map(|on| export::holder::On {
            job: &on.job,
            by: &on.by,
            at: on.at,
            taken_off: on.taken_off,
        });
        let mut rows: Vec<_> = on.map(|on| export::holder::row(about, Some(on))).collect();
        if rows.is_empty() {
            rows.push(export::holder::row(about, None));
        }
        let at = at.to_string();
        out.record((&before, &at), &rows)?;
        before = at;
    }
    Ok(holders.page.next)
}

async fn read_rows(
    tx: &mut Tx,
    link: GuestLinkId,
    after: Option<&Cursor>,
    out: &mut Out<'_>,
) -> Result<Option<Cursor>, DeedError> {
    let page = tx.guest_reads(link, Direction::Up, after, PAGE).await?;
    for ((read, chain), at) in page.rows.iter().zip(&page.cursors) {
        out.one(&at.to_string(), export::guest::row(read, chain))?;
    }
    Ok(page.next)
}

async fn job_rows(
    tx: &mut Tx,
    filter: JobFilter,
    after: Option<&Cursor>,
    out: &mut Out<'_>,
) -> Result<Option<Cursor>, DeedError> {
    let page = tx.jobs(filter, Direction::Up, after, JOBS).await?;
    let ids: Vec<_> = page.rows.iter().map(|job: &Job| job.id).collect();
    let kits = tx.kits(&ids).await?;
    let mut items: Vec<_> = kits.values().flatten().map(|line| line.item).collect();
    items.sort_unstable();
    items.dedup();
    let items = tx.items_of(&items).await?;
    let models = models_of(tx, items.values()).await?;
    let mut before = after.map(ToString::to_string).unwrap_or_default();
    for (job, at) in page.rows.iter().zip(&page.cursors) {
        let kit = kits.get(&job.id).map_or(&[][..], Vec::as_slice);
        let listed = kit.iter().map(|line| {
            let item = items.get(&line.item);
            let model = item.and_then(|item| models.get(&item.model));
            Listed { line, item, model }
        });
        let mut rows: Vec<_> = listed
            .map(|listed| export::job::row(job, Some(listed)))
            .collect();
        if rows.is_empty() {
            rows.push(export::job::row(job, None));
        }
        let at = at.to_string();
        out.record((&before, &at), &rows)?;
        before = at;
    }
    Ok(page.next)
}
