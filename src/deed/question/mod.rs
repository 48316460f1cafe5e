//! What is asked of the whole record. A walk goes through all that may be an answer, a part of it at a time: a page
//! counts all and keeps its rows, a file is written while it walks. However much there is, a part of it is in memory.

mod beyond;
mod gap;
mod held_back;
mod in_date;
mod late;
mod past;
mod recalled;
mod refused;
mod used;
mod walk;

use bytes::Bytes;
use futures::{Stream, stream};
use uuid::Uuid;

use self::walk::Walk;
use super::{DeedError, Desk, permit};
use crate::{
    domain::{
        Actor, Deed,
        question::{Asked, Question, QuestionDraft, Row, Tally},
    },
    export,
    store::{Cursor, StoreError},
};

/// An answer.
#[derive(Clone, Debug)]
pub struct Answered {
    /// What was asked.
    pub asked: Asked,
    /// What was counted.
    pub tally: Tally,
    /// By what it was answered, in sentences.
    pub basis: Vec<String>,
    /// The rows of this page.
    pub rows: Vec<Row>,
    /// Where the next page begins, if there is one.
    pub next: Option<Cursor>,
}

/// The answer to a question: all of it counted, and a page of its rows after `after`.
///
/// # Errors
/// [`DeedError::Invalid`] with every field that does not hold, [`DeedError::NotFound`] where an item or notice is asked
/// about that the team has not, [`StoreError::Cursor`] if the cursor belongs to another list.
pub async fn answer(
    desk: &Desk,
    actor: &Actor,
    (question, draft): (Question, &QuestionDraft),
    after: Option<&Cursor>,
    limit: u32,
) -> Result<Answered, DeedError> {
    permit(actor, Deed::Read)?;
    let after = match after {
        Some(after) => {
            let [place] = after.key().ok_or(StoreError::Cursor)?;
            Some(place)
        }
        None => None,
    };
    let mut tx = desk.database.read(actor.team).await?;
    let mut walk = Walk::begin(&mut tx, desk.clock.now(), (question, draft)).await?;
    let (mut tally, mut rows) = (Tally::default(), Vec::new());
    let limit = limit as usize;
    while let Some(part) = Box::pin(walk.step(&mut tx)).await? {
        tally.add(&part.tally);
        let behind = part.rows.into_iter();
        let behind = behind.filter(|row| after.is_none_or(|after| row.place > *after));
        // One more than a page tells whether there is a next one.
        let room = (limit + 1).saturating_sub(rows.len());
        rows.extend(behind.take(room));
    }
    let more = rows.len() > limit;
    rows.truncate(limit);
    let last = rows.last().filter(|_| more);
    Ok(Answered {
        tally,
        basis: walk.basis(),
        next: last.map(|row| Cursor::new([row.place.clone()], Uuid::nil())),
        rows,
        asked: walk.into_asked(),
    })
}

/// The same as a file, written while the record is walked through; each part is read in a transaction of its own.
///
/// # Errors
/// As [`answer`].
pub async fn file(
    desk: &Desk,
    actor: &Actor,
    (question, draft): (Question, &QuestionDraft),
) -> Result<impl Stream<Item = Result<Bytes, DeedError>> + Send + use<>, DeedError> {
    permit(actor, Deed::Export)?;
    let mut tx = desk.database.read(actor.team).await?;
    let walk = Walk::begin(&mut tx, desk.clock.now(), (question, draft)).await?;
    drop(tx);
    let beginning = export::question::beginning(question.columns());
    let (desk, team) = (desk.clone(), actor.team);
    let state = (walk, Some(beginning));
    Ok(stream::try_unfold(state, move |(mut walk, beginning)| {
        let desk = desk.clone();
        async move {
            if let Some(beginning) = beginning {
                return Ok(Some((beginning.into(), (walk, None))));
            }
            let mut tx = desk.database.read(team).await?;
            while let Some(part) = Box::pin(walk.step(&mut tx)).await? {
                if !part.rows.is_empty() {
                    let bytes = export::question::rows(question.columns(), &part.rows);
                    return Ok(Some((bytes.into(), (walk, None))));
                }
            }
            Ok(None)
        }
    }))
}
