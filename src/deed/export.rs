//! Files to take away, written page by page: however many rows there are, one page of them is in memory.
//!
//! Each page is read in a transaction of its own, so that somebody who takes hours over a file holds up nobody.
//! What comes from the ledger ends where the ledger stood when the file was begun, and nothing in it can change
//! meanwhile. The register and the jobs are as they are when their page is read: what is moved to another place of
//! the order in that moment may be missed or come twice.

use bytes::Bytes;
use futures::{Stream, stream};

use super::{
    DeedError, Desk,
    history::{Of, about, in_line, names},
    permit,
    recall::holders_in,
};
use crate::{
    domain::{Actor, Deed, Item, ItemId, Names, NoticeId, TeamId},
    export::{self, Table, job::Listed},
    store::{Cursor, Direction, EntryFilter, ItemFilter, ItemSort, JobFilter, Kept, Span, Tx},
};

/// How many records are read at once, and the most that a chunk of a file is made of.
pub const PAGE: u32 = 500;
/// The same for jobs, each of which brings its kit.
const JOBS: u32 = 50;

/// What is written.
#[derive(Clone, Debug)]
pub enum Wanted {
    /// A history, narrowed.
    History(Of, EntryFilter),
    /// The register, as a list shows it.
    Items(ItemFilter, (ItemSort, Direction)),
    /// Every examination.
    Examinations,
    /// Every job with its kit.
    Jobs,
    /// Every item that was refused for a job, with the reasons.
    Refusals,
    /// Who had what a safety notice covers.
    Holders(NoticeId),
}

impl Wanted {
    /// A plain word for the file's name.
    pub fn word(&self) -> &'static str {
        match self {
            Self::History(Of::Team, _) => "history",
            Self::History(Of::Item(_), _) => "item-history",
            Self::History(Of::Job(_), _) => "job-history",
            Self::Items(..) => "items",
            Self::Examinations => "examinations",
            Self::Jobs => "jobs",
            Self::Refusals => "refusals",
            Self::Holders(_) => "notice-holders",
        }
    }

    fn beginning(&self) -> Vec<u8> {
        match self {
            Self::History(..) => Table::beginning(export::history::HEADINGS),
            Self::Items(..) => Table::beginning(export::item::HEADINGS),
            Self::Examinations => Table::beginning(export::examination::HEADINGS),
            Self::Jobs => Table::beginning(export::job::HEADINGS),
            Self::Refusals => Table::beginning(export::refusal::HEADINGS),
            Self::Holders(_) => Table::beginning(export::holder::HEADINGS),
        }
    }

    /// Which entries it is made from, if it is made from the ledger.
    fn entries(&self) -> Option<EntryFilter> {
        let of_kind = |kind| EntryFilter {
            kind: Some(kind),
            ..EntryFilter::default()
        };
        match self {
            Self::History(_, filter) => Some(filter.clone()),
            Self::Examinations => Some(of_kind("examination-recorded")),
            Self::Refusals => Some(of_kind("item-refused")),
            Self::Items(..) | Self::Jobs | Self::Holders(_) => None,
        }
    }
}

/// Begins a file: the stream gives its headings first, then its rows, a page a chunk.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has no such item or job.
pub async fn begin(
    desk: &Desk,
    actor: &Actor,
    wanted: Wanted,
) -> Result<impl Stream<Item = Result<Bytes, DeedError>> + Send + use<>, DeedError> {
    permit(actor, Deed::Export)?;
    begin_from_console(desk, actor.team, wanted).await
}

/// The same from the server's console; whoever can reach it needs no right.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has no such item or job.
pub async fn begin_from_console(
    desk: &Desk,
    team: TeamId,
    wanted: Wanted,
) -> Result<impl Stream<Item = Result<Bytes, DeedError>> + Send + use<>, DeedError> {
    let mut tx = desk.database.read(team).await?;
    let wanted = match wanted {
        Wanted::History(of, filter) => {
            let about = about(&mut tx, of).await?;
            Wanted::History(of, in_line(&filter, &about))
        }
        other => other,
    };
    if let Wanted::Holders(notice) = wanted {
        let found = tx.notice(notice).await?;
        found.ok_or(DeedError::NotFound("notice"))?;
    }
    let place = match wanted.entries() {
        Some(filter) => Place::Entries(tx.entry_span(&filter).await?, filter),
        None => Place::List(None),
    };
    drop(tx);
    let writing = Writing {
        desk: desk.clone(),
        team,
        wanted,
        place: Some(place),
        begun: false,
    };
    Ok(stream::try_unfold(writing, async |mut writing| {
        let chunk = writing.chunk().await?;
        Ok(chunk.map(|chunk| (chunk, writing)))
    }))
}

/// Where the next page is read.
enum Place {
    /// In what is left of the ledger.
    Entries(Span, EntryFilter),
    /// Behind a row of a list.
    List(Option<Cursor>),
}

/// A file that is being written.
struct Writing {
    desk: Desk,
    team: TeamId,
    wanted: Wanted,
    /// None at the end.
    place: Option<Place>,
    begun: bool,
}

impl Writing {
    /// The next part of the file; none at its end.
    async fn chunk(&mut self) -> Result<Option<Bytes>, DeedError> {
        if !self.begun {
            self.begun = true;
            return Ok(Some(self.wanted.beginning().into()));
        }
        while let Some(place) = self.place.take() {
            let mut tx = self.desk.database.read(self.team).await?;
            let bytes = match place {
                Place::Entries(span, filter) => self.entries(&mut tx, span, filter).await?,
                Place::List(after) => self.list(&mut tx, after.as_ref()).await?,
            };
            if !bytes.is_empty() {
                return Ok(Some(bytes.into()));
            }
        }
        Ok(None)
    }

    async fn entries(
        &mut self,
        tx: &mut Tx,
        span: Span,
        filter: EntryFilter,
    ) -> Result<Vec<u8>, DeedError> {
        let kept = tx.entries(&filter, span, Direction::Up, PAGE).await?;
        let bytes = self.entry_rows(tx, &kept).await?;
        if let Some(last) = kept.last().filter(|_| kept.len() == PAGE as usize) {
            let rest = span.beyond(last.entry.seq, Direction::Up);
            self.place = Some(Place::Entries(rest, filter));
        }
        Ok(bytes)
    }

    async fn entry_rows(&self, tx: &mut Tx, kept: &[Kept]) -> Result<Vec<u8>, DeedError> {
        let names = names(tx, kept).await?;
        match self.wanted {
            Wanted::Examinations => {
                let models = models_by_item(tx, kept).await?;
                let mut table = Table::part();
                for kept in kept {
                    export::examination::push(&mut table, &kept.entry, &names, &models);
                }
                Ok(table.into_bytes())
            }
            Wanted::Refusals => {
                let mut table = Table::part();
                for kept in kept {
                    export::refusal::push(&mut table, &kept.entry, &names);
                }
                Ok(table.into_bytes())
            }
            _ => {
                let mut table = Table::part();
                for kept in kept {
                    let hashes = (&kept.leaf, &kept.root);
                    export::history::push(&mut table, &kept.entry, hashes, &names);
                }
                Ok(table.into_bytes())
            }
        }
    }

    async fn list(&mut self, tx: &mut Tx, after: Option<&Cursor>) -> Result<Vec<u8>, DeedError> {
        let (bytes, next) = match &self.wanted {
            Wanted::Items(filter, order) => item_rows(tx, filter, *order, after).await?,
            Wanted::Holders(notice) => holder_rows(tx, *notice, after).await?,
            _ => job_rows(tx, after).await?,
        };
        self.place = next.map(|next| Place::List(Some(next)));
        Ok(bytes)
    }
}

/// The titles of the models of the items that these entries name, by item.
async fn models_by_item(tx: &mut Tx, kept: &[Kept]) -> Result<Names, DeedError> {
    let entries = kept.iter().map(|kept| &kept.entry);
    let items = crate::domain::Mentioned::by(entries).items;
    let items: Vec<ItemId> = items.into_iter().collect();
    let items = tx.items_of(&items).await?;
    let mut models: Vec<_> = items.values().map(|item| item.model).collect();
    models.sort_unstable();
    models.dedup();
    let models = tx.models_of(&models).await?;
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
    filter: &ItemFilter,
    order: (ItemSort, Direction),
    after: Option<&Cursor>,
) -> Result<(Vec<u8>, Option<Cursor>), DeedError> {
    let page = tx.items(filter, order, after, PAGE).await?;
    let mut models: Vec<_> = page.rows.iter().map(|item| item.model).collect();
    models.sort_unstable();
    models.dedup();
    let models = tx.models_of(&models).await?;
    let stores = tx.stores().await?;
    let mut table = Table::part();
    for item in &page.rows {
        let store = stores.iter().find(|store| store.id == item.store);
        let store = store.map_or("", |store| store.name.as_str());
        export::item::push(&mut table, item, models.get(&item.model), store);
    }
    Ok((table.into_bytes(), page.next))
}

async fn holder_rows(
    tx: &mut Tx,
    notice: NoticeId,
    after: Option<&Cursor>,
) -> Result<(Vec<u8>, Option<Cursor>), DeedError> {
    let holders = holders_in(tx, notice, after, PAGE).await?;
    let mut table = Table::part();
    for held in &holders.page.rows {
        let about = export::holder::Covered {
            notice: &holders.notice,
            item: &held.item,
            model: &held.model,
            closing: held.closing.as_ref(),
        };
        if held.on.is_empty() {
            export::holder::push(&mut table, about, None);
        }
        for on in &held.on {
            let on = export::holder::On {
                job: &on.job,
                by: &on.by,
                at: on.at,
                taken_off: on.taken_off,
            };
            export::holder::push(&mut table, about, Some(on));
        }
    }
    Ok((table.into_bytes(), holders.page.next))
}

async fn job_rows(
    tx: &mut Tx,
    after: Option<&Cursor>,
) -> Result<(Vec<u8>, Option<Cursor>), DeedError> {
    let page = tx
        .jobs(JobFilter::default(), Direction::Up, after, JOBS)
        .await?;
    let ids: Vec<_> = page.rows.iter().map(|job| job.id).collect();
    let kits = tx.kits(&ids).await?;
    let mut items: Vec<_> = kits.values().flatten().map(|line| line.item).collect();
    items.sort_unstable();
    items.dedup();
    let items = tx.items_of(&items).await?;
    let mut models: Vec<_> = items.values().map(|item| item.model).collect();
    models.sort_unstable();
    models.dedup();
    let models = tx.models_of(&models).await?;
    let mut table = Table::part();
    for job in &page.rows {
        let kit = kits.get(&job.id).map_or(&[][..], Vec::as_slice);
        if kit.is_empty() {
            export::job::push(&mut table, job, None);
        }
        for line in kit {
            let item = items.get(&line.item);
            let model = item.and_then(|item| models.get(&item.model));
            export::job::push(&mut table, job, Some(Listed { line, item, model }));
        }
    }
    Ok((table.into_bytes(), page.next))
}
