//! A correction of a rope that was cut, on its way to the pieces.

use time::OffsetDateTime;

use super::revise::as_its_kind;
use crate::{
    deed::{
        DeedError,
        hold::{hold_if_covered, told_otherwise},
        serial::with_serial,
    },
    domain::{Actor, Change, Item},
    store::{Tx, WriteTx},
};

/// Corrects what the pieces of a rope, and their pieces, have from it, where their own records say nothing else by now.
/// Notices then hold of them what they cover. Gives what is to be told of it, a sentence each.
pub(super) async fn to_pieces(
    tx: &mut WriteTx,
    (actor, now): (&Actor, OffsetDateTime),
    (before, after): (&Item, &Item),
) -> Result<Vec<String>, DeedError> {
    let (mut corrected, mut told) = (Vec::new(), Vec::new());
    let mut ropes = vec![(before.clone(), after.clone())];
    while let Some((before, after)) = ropes.pop() {
        let Some(into) = &after.cut_into else {
            continue;
        };
        let mut found = tx.items_of(&into.pieces).await?;
        for (number, id) in (1..).zip(&into.pieces) {
            let Some(piece) = found.remove(id) else {
                continue;
            };
            let inherited = piece.inheriting((&before, &after), number);
            if !inherited.kept.is_empty() {
                told.push(format!(
                    "{} keeps its own {}: its record says otherwise than that of {} did. See whether that is right.",
                    piece.mark,
                    inherited.kept.join(", "),
                    before.mark
                ));
            }
            let Some(mut item) = inherited.piece else {
                continue;
            };
            as_its_kind(tx, &piece, &mut item).await?;
            free_serial(tx, &mut item).await?;
            tx.record(actor, now, Change::ItemRevised(item.clone()))
                .await?;
            if told_otherwise(&piece, &item) {
                hold_if_covered(tx, actor, now, &item).await?;
            }
            corrected.push(item.mark.clone());
            ropes.push((piece, item));
        }
    }
    if !corrected.is_empty() {
        corrected.sort_unstable();
        let sentence = format!(
            "What was cut from it was corrected alike: {}.",
            corrected.join(", ")
        );
        told.insert(0, sentence);
    }
    Ok(told)
}

/// Gives a piece the next number behind its serial where another item of the model has that serial already.
async fn free_serial(tx: &mut Tx, piece: &mut Item) -> Result<(), DeedError> {
    while let Some(serial) = &piece.serial {
        let other = with_serial(tx, piece.model, serial).await?;
        if other.is_none_or(|other| other.id == piece.id) {
            return Ok(());
        }
        let next = serial.rsplit_once('/').and_then(|(whole, number)| {
            let number: u32 = number.parse().ok()?;
            Some(format!("{whole}/{}", number.checked_add(1)?))
        });
        let Some(next) = next else { return Ok(()) };
        piece.serial = Some(next);
    }
    Ok(())
}
