//! Files to take away, written page by page: however many rows there are, one page of them is in memory.
//!
//! A workbook and a PDF are sent when all of their rows are read, each gathered in its own way; the rest while it is read.
//!
//! Each page is read in a transaction of its own, so that somebody who takes hours over a file holds up nobody.
//! What comes from the ledger ends where the ledger stood when the file was begun, and nothing in it can change
//! meanwhile. The register and the jobs are as they are when their page is read: what is moved to another place of
//! the order in that moment may be missed or come twice.

mod key;
mod page;

use std::mem;

use bytes::{Bytes, BytesMut};
use futures::{StreamExt, stream, stream::BoxStream};
use time::OffsetDateTime;
use tokio::{fs, io::AsyncReadExt as _};

use super::{
    DeedError, Desk, guest,
    history::{Of, about, in_line},
    paper::{laid_out, this_team},
    permit,
};
use crate::{
    domain::{Actor, Deed, FieldErrors, GuestLinkId, NoticeId, PaperSize, TeamId},
    export::{self, Column, FileForm, Heading, Rest, Rows, RowsError, paper::listing::MOST_ROWS},
    store::{Direction, EntryFilter, ItemFilter, ItemSort, JobFilter, ModelFilter, Tx},
};

pub use key::Key;
use key::of_key;
pub use page::PAGE;
use page::{Out, Place};

/// How much of a file is read at once.
const PIECE: usize = 64 * 1024;

/// What is written.
#[derive(Clone, Debug)]
pub enum Wanted {
    /// A history, narrowed.
    History(Of, EntryFilter),
    /// The register, as a list shows it.
    Items(ItemFilter, (ItemSort, Direction)),
    /// What makers sell, as a list shows it.
    Models(ModelFilter),
    /// The examinations that were recorded in some time.
    Examinations(During),
    /// The jobs of some time with their kit.
    Jobs(During),
    /// The items that were refused for a job in some time, with the reasons.
    Refusals(During),
    /// Who had what a safety notice covers.
    Holders(NoticeId),
    /// What was read by a link of an outside auditor.
    Reads(GuestLinkId),
}

/// From one moment until before another; what is none is open.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct During {
    /// The first moment.
    pub from: Option<OffsetDateTime>,
    /// The first that is no longer in it.
    pub before: Option<OffsetDateTime>,
}

impl Wanted {
    /// A plain word for the file's name.
    pub fn word(&self) -> &'static str {
        match self {
            Self::History(Of::Team, _) => "history",
            Self::History(Of::Item(_), _) => "item-history",
            Self::History(Of::Job(_), _) => "job-history",
            Self::Items(..) => "items",
            Self::Models(_) => "models",
            Self::Examinations(_) => "examinations",
            Self::Jobs(_) => "jobs",
            Self::Refusals(_) => "refusals",
            Self::Holders(_) => "notice-holders",
            Self::Reads(_) => "reads",
        }
    }

    /// What it is called on top of a page.
    fn title(&self) -> &'static str {
        match self {
            Self::History(Of::Team, _) => "History of the team",
            Self::History(Of::Item(_), _) => "History of an item",
            Self::History(Of::Job(_), _) => "History of a job",
            Self::Items(..) => "Register of items",
            Self::Models(_) => "Models",
            Self::Examinations(_) => "Examinations",
            Self::Jobs(_) => "Jobs with their kit",
            Self::Refusals(_) => "Items refused for jobs",
            Self::Holders(_) => "Who had what a notice covers",
            Self::Reads(_) => "What an outside auditor read",
        }
    }

    fn columns(&self) -> &'static [Column] {
        match self {
            Self::History(..) => &export::history::COLUMNS,
            Self::Items(..) => &export::item::COLUMNS,
            Self::Models(_) => &export::model::COLUMNS,
            Self::Examinations(_) => &export::examination::COLUMNS,
            Self::Jobs(_) => &export::job::COLUMNS,
            Self::Refusals(_) => &export::refusal::COLUMNS,
            Self::Holders(_) => &export::holder::COLUMNS,
            Self::Reads(_) => &export::guest::COLUMNS,
        }
    }

    /// What one must be allowed to do beside exporting.
    fn needs(&self) -> Deed {
        match self {
            Self::Reads(_) => Deed::SeeReads,
            _ => Deed::Export,
        }
    }

    /// Which entries it is made from, if it is made from the ledger.
    fn entries(&self) -> Option<EntryFilter> {
        let of_kind = |kind, during: &During| EntryFilter {
            kind: Some(kind),
            from: during.from,
            before: during.before,
            ..EntryFilter::default()
        };
        match self {
            Self::History(_, filter) => Some(filter.clone()),
            Self::Examinations(during) => Some(of_kind("examination-recorded", during)),
            Self::Refusals(during) => Some(of_kind("item-refused", during)),
            Self::Items(..)
            | Self::Models(_)
            | Self::Jobs(_)
            | Self::Holders(_)
            | Self::Reads(_) => None,
        }
    }
}

impl During {
    /// The jobs that take place in it, if only for a moment.
    fn jobs(self) -> JobFilter {
        JobFilter {
            ends_after: self.from,
            starts_before: self.before,
            ..JobFilter::default()
        }
    }
}

impl From<EntryFilter> for During {
    fn from(filter: EntryFilter) -> Self {
        Self {
            from: filter.from,
            before: filter.before,
        }
    }
}

/// What is asked for.
#[derive(Clone, Debug)]
pub struct Order {
    /// What is written.
    pub wanted: Wanted,
    /// In which form.
    pub form: FileForm,
    /// Behind which row.
    pub after: Key,
    /// On what it is printed.
    pub paper: PaperSize,
}

impl From<Wanted> for Order {
    fn from(wanted: Wanted) -> Self {
        Self {
            wanted,
            form: FileForm::default(),
            after: Key::default(),
            paper: PaperSize::default(),
        }
    }
}

/// A file, a part at a time.
pub type Chunks = BoxStream<'static, Result<Bytes, DeedError>>;

impl From<RowsError> for DeedError {
    fn from(error: RowsError) -> Self {
        match error {
            RowsError::TooMany { form, most } => FieldErrors::one(
                "as",
                "rows",
                format!(
                    "A {} takes at most {most} rows, and this has more. Narrow it by its first and last day or in the \
                     list itself, or take it as CSV, JSON Lines or XLSX, which take any number.",
                    form.word()
                ),
            )
            .into(),
            error @ RowsError::NoRoom { .. } => Self::NoRoom(error),
            other => Self::Internal(other.into()),
        }
    }
}

/// Begins a file: what keeps it from being written at all is told before its first byte.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has no such item, job or notice; [`DeedError::Invalid`] if the key is of another
/// file, or if the form has no room for so many rows.
pub async fn begin(desk: &Desk, actor: &Actor, order: Order) -> Result<Chunks, DeedError> {
    permit(actor, Deed::Export)?;
    permit(actor, order.wanted.needs())?;
    let mut tx = desk.database.read(actor.team).await?;
    let by = guest::exporter(&mut tx, actor).await?;
    begun(desk, tx, order, by).await
}

/// The same from the server's console; whoever can reach it needs no right.
///
/// # Errors
/// As [`begin()`].
pub async fn begin_from_console(
    desk: &Desk,
    team: TeamId,
    order: Order,
) -> Result<Chunks, DeedError> {
    let tx = desk.database.read(team).await?;
    begun(desk, tx, order, None).await
}

async fn begun(
    desk: &Desk,
    mut tx: Tx,
    order: Order,
    by: Option<String>,
) -> Result<Chunks, DeedError> {
    let team = tx.team();
    let wanted = found(&mut tx, order.wanted).await?;
    let heading = Heading {
        title: wanted.title().to_owned(),
        told: Vec::new(),
        columns: wanted.columns().to_vec(),
        team: this_team(&mut tx).await?,
        by,
        at: desk.clock.now(),
        paper: order.paper,
    };
    let place = Place::begin(&mut tx, &wanted, &order.after).await?;
    drop(tx);
    let mut writing = Writing {
        desk: desk.clone(),
        team,
        wanted,
        place: Some(place),
        skip: order.after.rows,
        stage: Stage::Rows(export::begin(order.form, heading)?),
    };
    let first = writing.chunk().await.map_err(of_key)?;
    let rest = stream::try_unfold(writing, async |mut writing| {
        let chunk = writing.chunk().await?;
        Ok(chunk.map(|chunk| (chunk, writing)))
    });
    Ok(stream::iter(first.map(Ok)).chain(rest).boxed())
}

/// What is wanted, if what it is about is there.
async fn found(tx: &mut Tx, wanted: Wanted) -> Result<Wanted, DeedError> {
    match wanted {
        Wanted::History(of, filter) => {
            let about = about(tx, of).await?;
            Ok(Wanted::History(of, in_line(&filter, &about)))
        }
        Wanted::Holders(notice) => {
            let found = tx.notice(notice).await?;
            found.ok_or(DeedError::NotFound("notice"))?;
            Ok(wanted)
        }
        Wanted::Reads(link) => {
            let found = tx.guest_link(link).await?;
            found.ok_or(DeedError::NotFound("link"))?;
            Ok(wanted)
        }
        other => Ok(other),
    }
}

/// A file that is being written.
struct Writing {
    desk: Desk,
    team: TeamId,
    wanted: Wanted,
    /// Where the next page is read; none at the end.
    place: Option<Place>,
    /// How many rows of the next record are passed over.
    skip: u32,
    stage: Stage,
}

/// How far a file is.
enum Stage {
    /// Its rows are read.
    Rows(Box<dyn Rows>),
    /// All of it stands in a file, and this is left.
    Left(fs::File),
    /// It has ended.
    Ended,
}

impl Writing {
    /// The next part of the file; none at its end.
    async fn chunk(&mut self) -> Result<Option<Bytes>, DeedError> {
        match mem::replace(&mut self.stage, Stage::Ended) {
            Stage::Rows(rows) => self.read(rows).await,
            Stage::Left(file) => self.piece(file).await,
            Stage::Ended => Ok(None),
        }
    }

    /// Reads rows until there is something to give.
    async fn read(&mut self, mut rows: Box<dyn Rows>) -> Result<Option<Bytes>, DeedError> {
        while let Some(place) = self.place.take() {
            let mut tx = self.desk.database.read(self.team).await?;
            let mut out = Out::new(rows.as_mut(), &mut self.skip);
            self.place = page::write(&mut tx, &self.wanted, place, &mut out).await?;
            if self.place.is_none() {
                break;
            }
            let bytes = rows.taken();
            if !bytes.is_empty() {
                self.stage = Stage::Rows(rows);
                return Ok(Some(bytes.into()));
            }
        }
        // It may be laid out or packed as a whole, which must hold up nobody's request.
        match laid_out(move || rows.end()).await?? {
            Rest::Bytes(bytes) => Ok(Some(bytes.into())),
            Rest::File(file) => self.piece(fs::File::from_std(file)).await,
        }
    }

    /// The next piece of what stands in a file.
    async fn piece(&mut self, mut file: fs::File) -> Result<Option<Bytes>, DeedError> {
        let mut bytes = BytesMut::with_capacity(PIECE);
        let read = file.read_buf(&mut bytes).await;
        if read.map_err(|error| DeedError::Internal(error.into()))? == 0 {
            return Ok(None);
        }
        self.stage = Stage::Left(file);
        Ok(Some(bytes.freeze()))
    }
}

/// The most rows of a PDF, for whoever offers one.
pub const MOST_ON_PAPER: usize = MOST_ROWS;
