//! Labels for items: each with a code of our own, which an item is given where it has none.

use time::OffsetDateTime;

use super::{DeedError, Desk, paper::laid_out, permit, tag::free_code};
use crate::{
    domain::{
        Actor, Change, Deed, FieldErrors, Item, LabelDraft, TagId,
        tag::{OwnCode, Tag},
    },
    export::paper::label::{Label, LabelFault, labels},
    store::WriteTx,
};

/// Labels for items as a PDF. An item without a code of our own is given one, in the order of the marks.
///
/// # Errors
/// [`DeedError::Invalid`] with every field that does not hold: a mark that no item has, labels that do not fit the
/// paper, a code that would be too fine to be read. Then no item was given a code.
pub async fn print(
    desk: &Desk,
    actor: &Actor,
    draft: &LabelDraft,
    public_url: Option<&str>,
) -> Result<Vec<u8>, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let wanted = draft.check(public_url)?;
    let mut tx = desk.database.write(actor.team).await?;
    let items = marked(&mut tx, &wanted.marks).await?;
    let now = desk.clock.now();
    let mut all = Vec::with_capacity(items.len());
    for item in &items {
        let code = code_of(&mut tx, actor, now, item).await?;
        let model = tx.model(item.model).await?;
        let model = model.map_or_else(String::new, |model| model.title());
        all.push(label(item, &model, code, wanted.address.as_deref()));
    }
    let (code, grid) = (wanted.code, wanted.sheet);
    let file = laid_out(move || labels(&all, code, &grid, now)).await?;
    let file = file.map_err(refused)?;
    tx.commit().await?;
    Ok(file)
}

fn refused(fault: LabelFault) -> DeedError {
    match fault {
        LabelFault::Paper(error) => error.into(),
        fine @ LabelFault::Fine { .. } => {
            FieldErrors::one("height", "range", fine.to_string()).into()
        }
        tiny @ LabelFault::Tiny { .. } => {
            FieldErrors::one("width", "range", tiny.to_string()).into()
        }
        letters @ LabelFault::Letters { .. } => {
            FieldErrors::one("marks", "text", letters.to_string()).into()
        }
        long @ LabelFault::TooLong(_) => FieldErrors::one("code", "long", long.to_string()).into(),
    }
}

async fn marked(tx: &mut WriteTx, marks: &[String]) -> Result<Vec<Item>, DeedError> {
    let (mut items, mut unknown) = (Vec::new(), Vec::new());
    for mark in marks {
        match tx.item_marked(mark).await? {
            Some(item) => items.push(item),
            None => unknown.push(format!("\"{mark}\"")),
        }
    }
    if unknown.is_empty() {
        return Ok(items);
    }
    let message = format!("No item has the mark {}.", unknown.join(", "));
    Err(FieldErrors::one("marks", "choice", message).into())
}

/// The item's code of our own; a new one if it has none.
async fn code_of(
    tx: &mut WriteTx,
    actor: &Actor,
    now: OffsetDateTime,
    item: &Item,
) -> Result<OwnCode, DeedError> {
    let tags = tx.tags(item.id).await?;
    if let Some(code) = tags.iter().find_map(Tag::own_code) {
        return Ok(code);
    }
    let code = free_code(tx).await?;
    let tag = Tag::own(TagId::new(), item.id, code);
    tx.record(actor, now, Change::TagAdded(tag)).await?;
    Ok(code)
}

fn label(item: &Item, model: &str, code: OwnCode, address: Option<&str>) -> Label {
    let mut lines = vec![code.to_string(), model.to_owned()];
    lines.push(item.made.map_or_else(
        || "made: not recorded".to_owned(),
        |made| format!("made {made}"),
    ));
    Label {
        content: match address {
            Some(address) => format!("{address}{}", code.plain()),
            None => code.to_string(),
        },
        mark: item.mark.clone(),
        lines,
    }
}
