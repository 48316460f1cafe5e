//! What brings an item back from quarantine, and who.

use time::{Date, OffsetDateTime};

use crate::{
    deed::{DeedError, checklist, model_limit::must_be_within, qualification},
    domain::{
        Actor, Change, FieldErrors, Item, ItemState, ItemStepped, NotAllowed, ReturnAsked,
        Unanswered, date::write_day,
    },
    store::{StoreError, Tx, WriteTx},
};

/// What did not find an item fit, and was answered by nothing since.
pub async fn unanswered(tx: &mut Tx, item: &Item) -> Result<Unanswered, StoreError> {
    let newest = tx.newest_thorough(item).await?;
    let past = tx
        .examinations_in_line(item, checklist::LOOKED_BACK)
        .await?;
    Ok(Unanswered::new(newest, &past))
}

/// Refuses to lift by a reason what the newest thorough examination found, or what was measured beyond a limit.
pub(super) async fn must_be_found_fit(tx: &mut Tx, item: &Item) -> Result<(), DeedError> {
    match unanswered(tx, item).await?.refusal() {
        None => must_be_within(tx, item).await,
        Some(why) => Err(FieldErrors::one("reason", "examination", why).into()),
    }
}

/// Refuses a return that is dated before the item was put aside.
pub(super) fn not_before(item: &Item, on: Date, since: Date) -> Result<(), FieldErrors> {
    if on >= since {
        return Ok(());
    }
    let sentence = format!(
        "{} is {} since {}: a return on {} does not end that.",
        item.mark,
        item.state.word(),
        write_day(since),
        write_day(on)
    );
    Err(FieldErrors::one("on", "range", sentence))
}

/// Whether the item waits in quarantine for a second person after this one, who decides over it: the team asks for two, and
/// nobody else has asked for its return before. `examiner` is whoever examined it, as typed; empty is the actor.
///
/// Whoever writes down what somebody else examined is no second one: two competent people decide, each signed in. Nor is
/// the examiner on whose finding the first request rests, whoever wrote that down.
pub(in crate::deed) async fn waits(
    tx: &mut WriteTx,
    item: &Item,
    actor: &Actor,
    examiner: &str,
) -> Result<bool, DeedError> {
    let (team, _) = tx.this_team().await?.ok_or(DeedError::NotFound("team"))?;
    if !team.return_by_two || item.state != ItemState::Quarantined {
        return Ok(false);
    }
    let Some(asked) = &item.return_asked else {
        return Ok(true);
    };
    let (competence, (person, name)) = qualification::with_recorder(tx, actor).await?;
    let examined = asked.qualification;
    let is_first = asked.by == person
        || examined.is_some_and(|one| competence.is_held_by(one, (person, &name)));
    let examiner = examiner.trim().to_lowercase();
    Ok(is_first || !(examiner.is_empty() || examiner == name.to_lowercase()))
}

/// Asks for the return of an item, for another competent person to confirm.
pub(super) async fn ask_back(
    mut tx: WriteTx,
    actor: &Actor,
    now: OffsetDateTime,
    (item, stepped): (Item, ItemStepped),
) -> Result<Item, DeedError> {
    if item.return_asked.is_some() {
        return Err(NotAllowed::SecondPerson.into());
    }
    let asked = ReturnAsked {
        item: item.id,
        by: actor.person,
        reason: stepped.reason,
        on: stepped.on,
        qualification: None,
    };
    let item = item.asked_back(&asked)?;
    tx.record(actor, now, Change::ReturnAsked(asked)).await?;
    tx.commit().await?;
    Ok(item)
}
