//! Who is recorded as competent to examine with the taking in of a list: foreseen before, recorded in the same stroke.

use time::{Date, OffsetDateTime};

use crate::{
    deed::{DeedError, permit, qualification},
    domain::{Actor, Competence, Deed, FieldErrors, Holder, Qualification},
    import::Answers,
    store::WriteTx,
};

/// Whether whoever answers may have somebody recorded as competent, where the answers say so.
pub(super) fn allowed(actor: &Actor, answers: &Answers) -> Result<(), DeedError> {
    if answers.competent.is_empty() {
        return Ok(());
    }
    permit(actor, Deed::KeepPeople)?;
    Ok(())
}

/// What would be recorded, as far as it holds and is not on record yet.
pub(super) fn announced(
    answers: &Answers,
    competence: &Competence,
    today: Date,
) -> Vec<Qualification> {
    let said = answers.competent.values();
    let drafts = said.filter(|one| {
        let mut there = competence.qualifications.iter();
        !there.any(|there| there.id == one.id)
    });
    let checked = drafts.filter_map(|one| one.draft.check(one.id, today).ok());
    let known = |one: &Qualification| match &one.holder {
        Holder::Person(id) => competence.people.iter().any(|(person, _)| person == id),
        Holder::Outside { .. } => true,
    };
    checked.filter(known).collect()
}

/// Records them, before the examinations that they made.
pub(super) async fn record(
    tx: &mut WriteTx,
    actor: &Actor,
    now: OffsetDateTime,
    answers: &Answers,
) -> Result<(), DeedError> {
    allowed(actor, answers)?;
    let mut wrong = FieldErrors::default();
    for (name, one) in &answers.competent {
        match qualification::recorded(tx, actor, now, (one.id, &one.draft)).await {
            Ok(_) => {}
            Err(DeedError::Invalid(part)) => wrong.nest(&format!("competent[{name}]"), part),
            Err(other) => return Err(other),
        }
    }
    wrong.or(|| ())?;
    Ok(())
}
