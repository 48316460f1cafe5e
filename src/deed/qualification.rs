//! Who is competent to examine what: recorded, ended, and held against examinations.

use serde::{Deserialize, Serialize};

use super::{DeedError, Desk, permit};
use crate::{
    domain::{
        Actor, Change, Competence, Deed, Ended, FieldErrors, Holder, Kind, PersonId, Qualification,
        QualificationAddress, QualificationDraft, QualificationEnd, QualificationId,
        date::{in_reach, read_day, write_day},
    },
    store::{StoreError, Tx, WriteTx},
};
use time::{Date, OffsetDateTime};

/// What the team knows of who is competent.
pub async fn of(tx: &mut Tx) -> Result<Competence, DeedError> {
    let people = tx.people().await?;
    Ok(Competence {
        people: people.into_iter().map(|one| (one.id, one.name)).collect(),
        qualifications: tx.qualifications().await?,
    })
}

/// The same, with the id and name of whoever records.
pub(super) async fn with_recorder(
    tx: &mut Tx,
    actor: &Actor,
) -> Result<(Competence, (PersonId, String)), DeedError> {
    let person = tx.person(actor.person).await?;
    let person = person.ok_or(DeedError::NotFound("person"))?;
    Ok((of(tx).await?, (person.id, person.name)))
}

/// Whoever decides over an item is competent for it on that day. `decides` is what only such a person does: "returns it
/// to service"; `field` is where it is said.
///
/// # Errors
/// [`DeedError::Invalid`] with why this person is not.
pub(super) async fn must_decide(
    tx: &mut Tx,
    actor: &Actor,
    (gear, on): (Kind, Date),
    (field, decides): (&str, &str),
) -> Result<(), DeedError> {
    let (competence, (person, name)) = with_recorder(tx, actor).await?;
    let decider = competence.examiner("", (person, &name));
    match decider.covered(gear, on) {
        Ok(_) => Ok(()),
        Err(why) => {
            let sentence = format!("Only a competent person {decides}: {why}");
            Err(FieldErrors::one(field, "competence", sentence).into())
        }
    }
}

/// What the team knows of who is competent.
pub async fn list(desk: &Desk, actor: &Actor) -> Result<Competence, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    of(&mut tx).await
}

/// Records that somebody is competent.
///
/// # Errors
/// [`DeedError::Invalid`] with every field that does not hold.
pub async fn record(
    desk: &Desk,
    actor: &Actor,
    id: QualificationId,
    draft: &QualificationDraft,
) -> Result<Qualification, DeedError> {
    permit(actor, Deed::KeepPeople)?;
    let mut tx = desk.database.write(actor.team).await?;
    let recorded = recorded(&mut tx, actor, desk.clock.now(), (id, draft)).await?;
    tx.commit().await?;
    Ok(recorded)
}

/// Records one, which the caller commits; what was recorded under its id already stays as it is.
pub(super) async fn recorded(
    tx: &mut WriteTx,
    actor: &Actor,
    now: OffsetDateTime,
    (id, draft): (QualificationId, &QualificationDraft),
) -> Result<Qualification, DeedError> {
    if let Some(there) = tx.qualification(id).await? {
        return Ok(there);
    }
    let qualification = draft.check(id, tx.day(now).await?)?;
    if let Holder::Person(person) = qualification.holder
        && tx.person(person).await?.is_none()
    {
        let sentence = "Choose a person from the list.";
        return Err(FieldErrors::one("person", "choice", sentence).into());
    }
    let change = Change::QualificationRecorded(qualification.clone());
    tx.record(actor, now, change).await?;
    Ok(qualification)
}

/// How a qualification is ended, as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct EndDraft {
    /// The last day on which it held; empty is today.
    pub on: String,
    /// Why.
    pub reason: String,
}

/// Ends a qualification. Examinations that were done while it held stand.
///
/// # Errors
/// [`DeedError::Invalid`] with every field that does not hold; [`DeedError::Stale`] if it was ended already.
pub async fn end(
    desk: &Desk,
    actor: &Actor,
    id: QualificationId,
    draft: &EndDraft,
) -> Result<Qualification, DeedError> {
    permit(actor, Deed::KeepPeople)?;
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    let there = tx.qualification(id).await?;
    let there = there.ok_or(DeedError::NotFound("qualification"))?;
    let today = tx.day(now).await?;
    let mut wrong = FieldErrors::default();
    let reason = wrong.reason("reason", &draft.reason);
    let on = match draft.on.trim() {
        "" => Some(today),
        text => wrong.keep("on", "date", read_day(text).and_then(in_reach)),
    };
    if let Some(on) = on
        && !(there.from..=today).contains(&on)
    {
        let (from, today) = (write_day(there.from), write_day(today));
        let sentence = format!("The last day is between its first, {from}, and today, {today}.");
        wrong.add("on", "range", sentence);
    }
    let ended = wrong.or(|| Ended {
        on: on.unwrap_or(today),
        reason,
    })?;
    let end = QualificationEnd {
        qualification: id,
        ended: ended.clone(),
    };
    let recorded = tx.record(actor, now, Change::QualificationEnded(end)).await;
    recorded.map_err(|error| match error {
        StoreError::Stale { .. } => DeedError::Stale(FieldErrors::default()),
        other => other.into(),
    })?;
    tx.commit().await?;
    Ok(there.ended(ended))
}

/// The address of whoever holds a qualification, as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct AddressDraft {
    /// Several lines of together at most 500 characters.
    pub address: String,
}

/// Writes down the address of whoever holds a qualification, or another one: reports of what was examined by it name that
/// from then on. The one that is there already is recorded no second time.
///
/// # Errors
/// [`DeedError::Invalid`] where it is empty or does not hold; [`DeedError::NotFound`] if there is no such qualification.
pub async fn address(
    desk: &Desk,
    actor: &Actor,
    id: QualificationId,
    draft: &AddressDraft,
) -> Result<Qualification, DeedError> {
    permit(actor, Deed::KeepPeople)?;
    let mut tx = desk.database.write(actor.team).await?;
    let there = tx.qualification(id).await?;
    let there = there.ok_or(DeedError::NotFound("qualification"))?;
    let mut wrong = FieldErrors::default();
    let address = wrong.address("address", &draft.address);
    if address.is_empty() {
        wrong.add(
            "address",
            "required",
            "Write the address, in several lines.",
        );
    }
    wrong.or(|| ())?;
    if address == there.address {
        return Ok(there);
    }
    let now = desk.clock.now();
    let change = QualificationAddress {
        qualification: id,
        address: address.clone(),
    };
    tx.record(actor, now, Change::QualificationAddressed(change))
        .await?;
    tx.commit().await?;
    Ok(Qualification { address, ..there })
}
