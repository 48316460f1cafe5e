//! Files to take away, written page by page: however many rows there are, one page of them is in memory.
//!
//! A workbook and a PDF are sent when all of their rows are read, each gathered in its own way; the rest while it is read.
//!
//! Each page is read in a transaction of its own, so that somebody who takes hours over a file holds up nobody.
//! What comes from the ledger ends where the ledger stood when the file was begun, and nothing in it can change
//! meanwhile. What is counted is worked out as a whole first, and its rows are numbered. The register and the jobs are as
//! they are when their page is read: what is moved to another place of the order in that moment may be missed or come twice.

mod key;
mod page;
mod wanted;
mod worked;

use std::{borrow::Cow, mem};

use bytes::{Bytes, BytesMut};
use futures::{StreamExt, stream, stream::BoxStream};
use tokio::{fs, io::AsyncReadExt as _};
use uuid::Uuid;

use super::{
    DeedError, Desk, guest,
    history::{about, in_line},
    paper::{laid_out, this_team},
    permit,
};
use crate::{
    domain::{Actor, Deed, FieldErrors, PaperSize, PersonId, Role, TeamId},
    export::{self, FileForm, Heading, Rest, Rows, RowsError, paper::listing::MOST_ROWS},
    store::Tx,
};

pub use key::Key;
use key::of_key;
pub use page::PAGE;
use page::{Out, Place};
use wanted::About;
pub use wanted::{During, Wanted};
use worked::worked;

/// How much of a file is read at once.
const PIECE: usize = 64 * 1024;

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

/// A file that was begun.
pub struct Begun {
    /// A plain word for its name.
    pub word: Cow<'static, str>,
    /// Its parts.
    pub chunks: Chunks,
}

/// Begins a file: what keeps it from being written at all is told before its first byte.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has no such item, job, store or notice; [`DeedError::Invalid`] if a field does not
/// hold, if the key is of another file, or if the form has no room for so many rows.
pub async fn begin(desk: &Desk, actor: &Actor, order: Order) -> Result<Begun, DeedError> {
    permit(actor, Deed::Export)?;
    permit(actor, order.wanted.needs())?;
    let found = Source::find(desk, actor, order.wanted, &order.after).await?;
    let About {
        word,
        title,
        told,
        columns,
    } = found.about;
    let mut tx = desk.database.read(actor.team).await?;
    let heading = Heading {
        title,
        told,
        columns,
        team: this_team(&mut tx).await?,
        by: guest::exporter(&mut tx, actor).await?,
        at: desk.clock.now(),
        paper: order.paper,
    };
    drop(tx);
    let mut writing = Writing {
        desk: desk.clone(),
        team: actor.team,
        wanted: found.wanted,
        place: Some(found.place),
        skip: order.after.rows,
        stage: Stage::Rows(export::begin(order.form, heading)?),
    };
    let first = writing.chunk().await.map_err(of_key)?;
    let rest = stream::try_unfold(writing, async |mut writing| {
        let chunk = writing.chunk().await?;
        Ok(chunk.map(|chunk| (chunk, writing)))
    });
    let chunks = stream::iter(first.map(Ok)).chain(rest).boxed();
    Ok(Begun { word, chunks })
}

/// The same from the server's console; whoever can reach it needs no right.
///
/// # Errors
/// As [`begin()`].
pub async fn begin_from_console(
    desk: &Desk,
    team: TeamId,
    order: Order,
) -> Result<Begun, DeedError> {
    // Nothing is recorded, so nobody's name is asked for; an auditor may take everything along.
    let nobody = Actor {
        team,
        person: PersonId(Uuid::nil()),
        role: Role::Auditor,
    };
    begin(desk, &nobody, order).await
}

/// What is wanted, what it is about, and where its rows begin.
struct Source {
    about: About,
    wanted: Wanted,
    place: Place,
}

impl Source {
    async fn find(
        desk: &Desk,
        actor: &Actor,
        wanted: Wanted,
        after: &Key,
    ) -> Result<Self, DeedError> {
        if let Some((about, table)) = Box::pin(worked(desk, actor, &wanted)).await? {
            return Ok(Self {
                about,
                wanted,
                place: Place::behind(table, after)?,
            });
        }
        let mut tx = desk.database.read(actor.team).await?;
        let wanted = found(&mut tx, wanted).await?;
        let mut about = wanted.about();
        let place = Place::begin(&mut tx, desk.clock.now(), &wanted, after).await?;
        if let Place::Walk(walk, _) = &place {
            about.told.extend(walk.basis());
        }
        Ok(Self {
            about,
            wanted,
            place,
        })
    }
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
