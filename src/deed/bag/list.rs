//! The list of what belongs in a bag.

use crate::{
    deed::{DeedError, Desk, Seen, permit, same_revision},
    domain::{
        Actor, Bag, BagDraft, BagLine, BagPart, Belonging, Change, Deed, FieldErrors, Kind, Model,
        ModelId, StoreId, fold,
    },
    store::Tx,
};

/// Writes the list of a bag; a place that has none becomes a bag by it.
///
/// # Errors
/// [`DeedError::Stale`] if it was changed since it was seen; [`DeedError::Invalid`] with every line that names nothing
/// and a store that it cannot lie in.
pub async fn list(
    desk: &Desk,
    actor: &Actor,
    id: StoreId,
    seen: Seen,
    draft: &BagDraft,
) -> Result<Bag, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let mut tx = desk.database.write(actor.team).await?;
    tx.store(id).await?.ok_or(DeedError::NotFound("store"))?;
    let before = tx.bag(id).await?;
    let revision = before.map_or(0, |bag| bag.revision);
    let typed = match checked(&mut tx, id, draft).await {
        Ok(typed) => Ok(typed),
        Err(DeedError::Invalid(wrong)) => Err(wrong),
        Err(other) => return Err(other),
    };
    let (within, parts) = same_revision(revision, seen, typed)?;
    let bag = Bag {
        store: id,
        revision: revision + 1,
        within,
        parts,
    };
    tx.record(actor, desk.clock.now(), Change::BagListed(bag.clone()))
        .await?;
    tx.commit().await?;
    Ok(bag)
}

async fn checked(
    tx: &mut Tx,
    id: StoreId,
    draft: &BagDraft,
) -> Result<(Option<StoreId>, Vec<BagPart>), DeedError> {
    let mut wrong = FieldErrors::default();
    let within = within(tx, id, draft.within.trim(), &mut wrong).await?;
    let lines = match draft.lines() {
        Ok(lines) => lines,
        Err(more) => {
            wrong.0.extend(more.0);
            return Err(wrong.into());
        }
    };
    let models = tx.every_model().await?;
    let models: Vec<&Model> = models.values().collect();
    let mut parts = Vec::new();
    for line in &lines {
        match part(tx, line, &models).await? {
            Ok(part) => parts.push(part),
            Err(why) => wrong.add("list", "choice", format!("Line {}: {why}", line.number)),
        }
    }
    wrong.or(|| ())?;
    Ok((within, parts))
}

/// The store that a bag lies in: one of the team's that is no bag of its own within another.
async fn within(
    tx: &mut Tx,
    id: StoreId,
    text: &str,
    wrong: &mut FieldErrors,
) -> Result<Option<StoreId>, DeedError> {
    if text.is_empty() {
        return Ok(None);
    }
    let store = match text.parse::<StoreId>() {
        Ok(store) => tx.store(store).await?,
        Err(_) => tx.store_named(text).await?,
    };
    let Some(store) = store else {
        wrong.add("within", "choice", "Choose a store from the list.");
        return Ok(None);
    };
    let bags = tx.bags().await?;
    let lies = |bag: &Bag| bag.store == store.id && bag.within.is_some();
    let holds = |bag: &Bag| bag.within == Some(id);
    if store.id == id {
        wrong.add("within", "choice", "A bag does not lie in itself.");
    } else if bags.iter().any(lies) {
        let name = &store.name;
        wrong.add(
            "within",
            "choice",
            format!("{name} lies in another store itself: choose that one."),
        );
    } else if bags.iter().any(holds) {
        wrong.add(
            "within",
            "choice",
            "Bags lie in this one, so it cannot lie in another.",
        );
    }
    Ok(Some(store.id))
}

/// What a line of a list means: a kind, a model, or an item; or why it means nothing.
async fn part(
    tx: &mut Tx,
    line: &BagLine,
    models: &[&Model],
) -> Result<Result<BagPart, String>, DeedError> {
    let words = line.words.as_str();
    let count = line.count;
    let part = |what| Ok(Ok(BagPart { what, count }));
    if let Some(kind) = Kind::from_word(words) {
        return part(Belonging::Kind(kind));
    }
    let folded = fold(words);
    let is = |model: &&&Model| fold(&model.title()) == folded || fold(&model.name) == folded;
    let found: Vec<ModelId> = models.iter().filter(is).map(|model| model.id).collect();
    match found.as_slice() {
        [] => {}
        [one] => return part(Belonging::Model(*one)),
        several => {
            return Ok(Err(format!(
                "{} models are called \"{words}\": write the maker before the name.",
                several.len()
            )));
        }
    }
    let Some(item) = tx.item_marked(words).await? else {
        let given: String = words.chars().take(60).collect();
        return Ok(Err(format!(
            "\"{given}\" is no kind of gear, no model and no mark of an item of your team."
        )));
    };
    if count > 1 {
        return Ok(Err(format!(
            "{} is one item: it cannot be there {count} times.",
            item.mark
        )));
    }
    part(Belonging::Item(item.id))
}
