//! Cutting a rope into pieces.

use time::{Date, OffsetDateTime};

use super::{
    DeedError, Desk, hold::hold_if_covered, item::marked_otherwise, permit, serial::with_serial,
};
use crate::{
    domain::{
        Actor, Change, CutDraft, CutId, Deed, FieldErrors, Item, ItemId, ItemState, LONGEST_NOTE,
        Model, NotAllowed, NoticeClosing, RopeCut, date::write_day,
    },
    store::{Tx, WriteTx},
};

/// A rope that was cut, and what it was cut into.
#[derive(Clone, Debug)]
pub struct Pieces {
    /// The rope, closed.
    pub rope: Item,
    /// Its pieces, in the order in which they were given.
    pub pieces: Vec<Item>,
}

/// Cuts a rope: it is closed, and each piece is an item of its own. All of it or nothing; sent twice it is done once.
///
/// # Errors
/// [`DeedError::NotAllowed`] for what is no rope, is retired, missing, cut already or on a planned job;
/// [`DeedError::Invalid`] with every field that does not hold, a mark that is taken and lengths beyond the rope's
/// among them.
pub async fn cut(
    desk: &Desk,
    actor: &Actor,
    rope: ItemId,
    id: CutId,
    draft: &CutDraft,
) -> Result<Pieces, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    let held = tx.item(rope).await?.ok_or(DeedError::NotFound("item"))?;
    if let Some(into) = &held.cut_into {
        return if into.cut == id {
            pieces(&mut tx, rope).await
        } else {
            Err(NotAllowed::CutAlready.into())
        };
    }
    let model = tx
        .model(held.model)
        .await?
        .ok_or(DeedError::NotFound("model"))?;
    open(&mut tx, &held, &model).await?;
    let mut cut = draft.check(id, &held, tx.day(now).await?)?;
    let zone = tx.zone().await?;
    held.whole_until(cut.on, tx.last_in_hands(rope, &zone).await?.as_ref())?;
    free_marks(&mut tx, draft, &cut).await?;
    number(&mut tx, &held, &mut cut).await?;
    let ids: Vec<ItemId> = cut.pieces.iter().map(|piece| piece.id).collect();
    tx.record(actor, now, Change::RopeCut(cut)).await?;
    close_as_before(&mut tx, (actor, now), &held, &ids).await?;
    let done = pieces(&mut tx, rope).await?;
    tx.commit().await?;
    Ok(done)
}

/// Whether the rope may be cut as it stands.
///
/// # Errors
/// [`DeedError::NotAllowed`] as for [`cut`].
pub async fn open(tx: &mut Tx, rope: &Item, model: &Model) -> Result<(), DeedError> {
    if rope.cut_into.is_some() {
        return Err(NotAllowed::CutAlready.into());
    }
    if !model.kind.is_cut() {
        return Err(NotAllowed::IsNotCut.into());
    }
    rope.state.must_be_at_hand()?;
    // A job that is over by the clock and was never closed holds its kit still.
    let (from, until) = (
        OffsetDateTime::UNIX_EPOCH,
        Date::MAX.midnight().assume_utc(),
    );
    if !tx.bookings(&[rope.id], from, until).await?.is_empty() {
        return Err(NotAllowed::OnAJob.into());
    }
    Ok(())
}

/// Where what is learnt late of a rope that was cut is written, in words; none of one that is whole.
pub async fn in_pieces(tx: &mut Tx, rope: &Item) -> Result<Option<String>, DeedError> {
    let Some(into) = &rope.cut_into else {
        return Ok(None);
    };
    let pieces = all_pieces(tx, rope).await?.into_iter();
    let pieces = pieces.map(|(piece, _)| piece);
    let pieces = pieces.filter(|piece| piece.state != ItemState::Retired);
    let pieces: Vec<String> = pieces
        .map(|piece| format!("{} ({})", piece.mark, piece.state.word()))
        .collect();
    let (mark, on) = (&rope.mark, write_day(into.on));
    Ok(Some(if pieces.is_empty() {
        format!(
            "{mark} was cut on {on}, and every piece of it is retired: there is nothing more to be decided."
        )
    } else {
        format!(
            "{mark} was cut on {on}. What was found on the whole rope, and is known only now, holds for each piece that is \
             left: {}. Put each in quarantine or examine it, and write there what was found; what happened to the rope before it \
             was cut is reported on {mark} and reaches them by itself.",
            pieces.join(", ")
        )
    }))
}

/// Leads from a rope that was cut to its pieces.
///
/// # Errors
/// [`DeedError::InPieces`] with their marks.
pub(super) async fn must_be_one(tx: &mut Tx, item: &Item) -> Result<(), DeedError> {
    match in_pieces(tx, item).await? {
        None => Ok(()),
        Some(words) => Err(DeedError::InPieces(words)),
    }
}

/// The rope as it stands now, with its pieces.
async fn pieces(tx: &mut Tx, rope: ItemId) -> Result<Pieces, DeedError> {
    let rope = tx.item(rope).await?.ok_or(DeedError::NotFound("item"))?;
    let ids = rope.cut_into.iter().flat_map(|into| into.pieces.clone());
    let ids: Vec<ItemId> = ids.collect();
    let mut found = tx.items_of(&ids).await?;
    let pieces = ids.iter().filter_map(|id| found.remove(id)).collect();
    Ok(Pieces { rope, pieces })
}

/// Every piece of a rope, and every piece of a piece, each with the mark of what it was cut from.
pub(super) async fn all_pieces(tx: &mut Tx, rope: &Item) -> Result<Vec<(Item, String)>, DeedError> {
    let (mut all, mut cut) = (Vec::new(), vec![rope.clone()]);
    while let Some(rope) = cut.pop() {
        let Some(into) = &rope.cut_into else { continue };
        let mut found = tx.items_of(&into.pieces).await?;
        for piece in into.pieces.iter().filter_map(|id| found.remove(id)) {
            cut.push(piece.clone());
            all.push((piece, rope.mark.clone()));
        }
    }
    Ok(all)
}

/// What was recorded about the whole rope, as it is recorded about a piece.
pub(super) fn as_part_of(mark: &str, note: &str) -> String {
    let note = format!("When it was part of {mark}: {note}");
    note.chars().take(LONGEST_NOTE).collect()
}

/// Refuses marks that are on other items.
async fn free_marks(tx: &mut WriteTx, draft: &CutDraft, cut: &RopeCut) -> Result<(), DeedError> {
    let mut wrong = FieldErrors::default();
    let typed = draft.pieces.iter().enumerate();
    let typed = typed.filter(|(_, piece)| !piece.is_blank());
    for ((at, _), piece) in typed.zip(&cut.pieces) {
        if let Some(sentence) = marked_otherwise(tx, &piece.mark, piece.id).await? {
            wrong.add(format!("pieces[{at}][mark]"), "taken", sentence);
        }
    }
    Ok(wrong.or(|| ())?)
}

/// Gives each piece the rope's serial with the next number behind it that no item of the model has.
async fn number(tx: &mut WriteTx, rope: &Item, cut: &mut RopeCut) -> Result<(), DeedError> {
    let Some(serial) = &rope.serial else {
        return Ok(());
    };
    let mut last = 0;
    for piece in &mut cut.pieces {
        loop {
            last += 1;
            let numbered = format!("{serial}/{last}");
            if with_serial(tx, rope.model, &numbered).await?.is_none() {
                piece.serial = Some(numbered);
                break;
            }
        }
    }
    Ok(())
}

/// A notice that was closed for the rope is closed for its pieces; one that was not holds them.
async fn close_as_before(
    tx: &mut WriteTx,
    (actor, now): (&Actor, OffsetDateTime),
    rope: &Item,
    pieces: &[ItemId],
) -> Result<(), DeedError> {
    let closings = tx.closings_of(&[rope.id]).await?;
    for piece in pieces {
        for closing in &closings {
            let result = format!(
                "As for {}, which it was cut from: {}",
                rope.mark, closing.result
            );
            let closing = NoticeClosing {
                notice: closing.notice,
                item: *piece,
                result: result.chars().take(LONGEST_NOTE).collect(),
            };
            tx.record(actor, now, Change::NoticeClosed(closing)).await?;
        }
        let piece = tx.item(*piece).await?.ok_or(DeedError::NotFound("item"))?;
        hold_if_covered(tx, actor, now, &piece).await?;
    }
    Ok(())
}
