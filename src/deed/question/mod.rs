//! What is asked of the whole record. A walk goes through all that may be an answer, a part of it at a time: a page
//! counts all and keeps its rows, a file is written while it walks (`deed::export`). However much there is, a part of it
//! is in memory.

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

use uuid::Uuid;

pub(in crate::deed) use self::walk::Walk;
use super::{DeedError, Desk, permit};
use crate::{
    domain::{
        Actor, Deed,
        question::{Asked, Question, QuestionDraft, Row, Tally},
    },
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
    let after = after.map(place_of).transpose()?;
    let mut tx = desk.database.read(actor.team).await?;
    let mut walk = Walk::begin(&mut tx, desk.clock.now(), (question, draft)).await?;
    let (mut tally, mut rows) = (Tally::default(), Vec::new());
    let limit = limit as usize;
    while let Some(part) = Box::pin(walk.step(&mut tx)).await? {
        tally.add(&part.tally);
        let behind = part.rows.into_iter();
        let behind = behind.filter(|row| is_behind(row, after.as_deref()));
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
        next: last.map(cursor_of),
        rows,
        asked: walk.into_asked(),
    })
}

/// Where a row stands, as whoever goes on behind it says it.
pub(in crate::deed) fn cursor_of(row: &Row) -> Cursor {
    Cursor::new([row.place.clone()], Uuid::nil())
}

/// The place that such a cursor names.
pub(in crate::deed) fn place_of(cursor: &Cursor) -> Result<String, StoreError> {
    let [place] = cursor.key().ok_or(StoreError::Cursor)?;
    Ok(place.clone())
}

/// Whether a row stands behind a place; without one every row does.
pub(in crate::deed) fn is_behind(row: &Row, after: Option<&str>) -> bool {
    after.is_none_or(|after| row.place.as_str() > after)
}
