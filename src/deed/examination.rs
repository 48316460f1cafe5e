//! Recording what a look at an item found, and what happened to it.

use time::{Date, OffsetDateTime};

use super::{
    DeedError, Desk, checklist, cut, item::waits, notice, permit, qualification, rulebook,
    since_look, usage,
};
use crate::{
    domain::{
        Actor, Change, Competence, Deed, Event, EventDraft, EventId, EventKind, Examination,
        ExaminationBasis, ExaminationDraft, ExaminationId, ExaminationKind, FieldErrors, Item,
        ItemId, ItemState, Kind, LONGEST_NOTE, Notice, Usage, UsageId, Verdict,
        date::{read_day, write_day},
        fitness::interval_of,
    },
    store::WriteTx,
};

/// Records an examination; its verdict changes the item's state.
///
/// Anybody on the crew may record a pre-use or after-use look. A thorough one is recorded by an officer, who may name
/// another competent person as the examiner, or by whoever examined and is recorded as competent for it.
///
/// # Errors
/// [`DeedError::Invalid`] with every field that does not hold; [`DeedError::NotAllowed`] for a
/// retired item; [`DeedError::InPieces`] for a rope that was cut; [`DeedError::NotTheirs`] for a thorough one of somebody on the crew who is not competent.
pub async fn record(
    desk: &Desk,
    actor: &Actor,
    item: ItemId,
    id: ExaminationId,
    draft: &ExaminationDraft,
) -> Result<Examination, DeedError> {
    permit(actor, Deed::ReportEvent)?;
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    let held = tx.item(item).await?.ok_or(DeedError::NotFound("item"))?;
    if let Some(there) = tx.examination(id).await? {
        let there = Some(there).filter(|there| there.item == item);
        return there.ok_or(DeedError::NotFound("examination"));
    }
    cut::must_be_one(&mut tx, &held).await?;
    let model = tx.model(held.model).await?;
    let model = model.ok_or(DeedError::NotFound("model"))?;
    let rulebook = rulebook::home(&mut tx).await?;
    let (interval_months, _) = interval_of(&held, &model, &rulebook);
    let list = checklist::newest(&mut tx, model.kind).await?;
    let (competence, (_, recorder)) = qualification::with_recorder(&mut tx, actor).await?;
    let today = tx.day(now).await?;
    if ExaminationKind::from_key(&draft.kind).is_some_and(ExaminationKind::is_thorough) {
        let whole = tx.person(actor.person).await?.map(|person| person.role) == Some(actor.role);
        let doing = (model.kind, today);
        may_record(actor, whole, (&competence, &recorder), doing, draft)?;
    }
    let since_look = since_look::of_item(&mut tx, &held, &model).await?;
    let basis = ExaminationBasis {
        item,
        recorded_by: actor.person,
        recorder,
        today,
        interval_months,
        list: Some(&list),
        limits: &model.limits,
        gear: model.kind,
        competence: &competence,
        return_waits: waits(&mut tx, &held, actor, &draft.examiner).await?,
        happened: &since_look.events,
        length: held.attributes.length("length"),
    };
    let examination = held.in_its_time("on", &draft.on, draft.check(id, &basis));
    let since = tx.day(held.state_since).await?;
    let newest = tx.newest_thorough(&held).await?;
    let examination = as_seen(&held, since, draft, examination)?.behind(newest.as_ref());
    let after = held
        .clone()
        .examined(&examination, now, &tx.zone().await?)?;
    if after.is_brought_back_from(&held) {
        may_come_back(&held, since, &since_look.notices, &examination)?;
    }
    tx.record(actor, now, Change::ExaminationRecorded(examination.clone()))
        .await?;
    let found = (examination.on, &*examination.findings);
    record_found(&mut tx, (actor, now), &held, found).await?;
    tx.commit().await?;
    Ok(examination)
}

/// What is said beside an examination that was recorded.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SaidBeside {
    /// What its item still waits for, where it was found fit and is not back in service.
    pub waits_for: Option<String>,
    /// That its length stays as it is on record, where a little less was measured.
    pub length_left: Option<String>,
}

/// What is said beside an examination that was recorded.
pub async fn said_beside(
    desk: &Desk,
    actor: &Actor,
    done: &Examination,
) -> Result<SaidBeside, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let item = tx.item(done.item).await?;
    Ok(item.map_or_else(SaidBeside::default, |item| SaidBeside {
        waits_for: item.still_waits_for(done),
        length_left: done.length_left(item.attributes.length("length")),
    }))
}

/// Whether somebody may record thorough examinations of a kind of gear that they did themselves on a day: an officer
/// may record any, and somebody on the crew those that the team holds them competent for.
pub fn may_examine(actor: &Actor, competence: &Competence, (gear, on): (Kind, Date)) -> bool {
    let mine = competence.examiner("", (actor.person, ""));
    actor.role.may(Deed::Examine)
        || actor.role.may(Deed::ReportEvent) && mine.covered(gear, on).is_ok()
}

/// Refuses a thorough examination to whoever may not record it. `whole` tells that the actor has all that the person may
/// do: a token that was given less is not widened by what its maker is competent for.
fn may_record(
    actor: &Actor,
    whole: bool,
    (competence, recorder): (&Competence, &str),
    (gear, today): (Kind, Date),
    draft: &ExaminationDraft,
) -> Result<(), DeedError> {
    if actor.role.may(Deed::Examine) {
        return Ok(());
    }
    if !whole {
        return Err(DeedError::Forbidden(actor.role));
    }
    let on = read_day(&draft.on).unwrap_or(today);
    let may = |on| may_examine(actor, competence, (gear, on));
    if may(on) || may(today) {
        let named = draft.examiner.trim();
        if named.is_empty() || named.to_lowercase() == recorder.to_lowercase() {
            return Ok(());
        }
        let given: String = named.chars().take(60).collect();
        let sentence = format!(
            "Your role ({}) lets you record what you examined yourself. What {given} examined is recorded by an equipment \
             officer.",
            actor.role.word()
        );
        return Err(FieldErrors::one("examiner", "role", sentence).into());
    }
    let mine = competence.examiner("", (actor.person, recorder));
    let why = mine.covered(gear, on).err().unwrap_or_default();
    Err(DeedError::NotTheirs(format!(
        "A thorough examination is recorded by an equipment officer, or by whoever examined and is recorded as competent \
         for it. Your role is {}, and {why} An administrator of your team gives roles under People and records who is \
         competent.",
        actor.role.word()
    )))
}

/// Refuses "fit" where the item's state changed after it was looked at. What takes it out of use is never held up.
fn as_seen(
    held: &Item,
    since: Date,
    draft: &ExaminationDraft,
    checked: Result<Examination, FieldErrors>,
) -> Result<Examination, FieldErrors> {
    let fit = Verdict::from_key(&draft.verdict).is_none_or(|verdict| verdict == Verdict::Fit);
    if !fit || draft.seen.trim().is_empty() || held.is_as_seen(&draft.seen) {
        return checked;
    }
    let (mark, state, since) = (&held.mark, held.state.word(), write_day(since));
    let why = match held.state_reason.trim() {
        "" => String::new(),
        reason => format!(" ({reason})"),
    };
    let sentence = format!(
        "The state of {mark} changed after it was looked at: it is {state} since {since}{why}. Look at it again, then record it again."
    );
    let mut wrong = checked.err().unwrap_or_default();
    wrong.add("seen", "stale", sentence);
    Err(wrong)
}

/// Refuses to bring an item back by an examination while a notice is open for it or it is missing, and from quarantine by
/// one that says nothing of what it found.
fn may_come_back(
    held: &Item,
    since: Date,
    open: &[Notice],
    done: &Examination,
) -> Result<(), FieldErrors> {
    notice::refuse_open(open, held, "verdict")?;
    if held.state == ItemState::Missing {
        let sentence = format!(
            "{} is missing since {}. Say first where it was found, by putting it in quarantine; an after-event examination then \
             has to find it fit before it returns.",
            held.mark,
            write_day(since)
        );
        return Err(FieldErrors::one("verdict", "missing", sentence));
    }
    if held.state != ItemState::Quarantined || !done.findings.is_empty() {
        return Ok(());
    }
    let sentence = format!(
        "{} is in quarantine since {} ({}): write what was found, and why it may be used again.",
        held.mark,
        write_day(since),
        held.state_reason
    );
    Err(FieldErrors::one("findings", "required", sentence))
}

/// Reports what happened to an item, and does with it what the rules for events say: it is held or retired.
///
/// # Errors
/// [`DeedError::Invalid`] with every field that does not hold.
pub async fn report_event(
    desk: &Desk,
    actor: &Actor,
    item: ItemId,
    id: EventId,
    draft: &EventDraft,
) -> Result<Event, DeedError> {
    permit(actor, Deed::ReportEvent)?;
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    let held = tx.item(item).await?.ok_or(DeedError::NotFound("item"))?;
    if let Some(there) = tx.event(id).await? {
        return if there.item == item {
            Ok(there)
        } else {
            Err(DeedError::NotFound("event"))
        };
    }
    let today = tx.day(now).await?;
    let model = tx.model(held.model).await?;
    let model = model.ok_or(DeedError::NotFound("model"))?;
    let checked = draft.check(id, item, actor.person, today);
    let event = held
        .in_its_time("on", &draft.on, checked)?
        .following(&model);
    must_be_whole(&held, event.on)?;
    if event.kind == EventKind::FallHeld {
        usage::record_use(
            &mut tx,
            (actor, now),
            &held,
            &Usage::of_fall(UsageId::new(), &event),
        )
        .await?;
    }
    record_event(&mut tx, (actor, now), &held, &event).await?;
    tx.commit().await?;
    Ok(event)
}

/// Refuses what happened to a rope after it was cut: then it is no item of its own any more.
pub(super) fn must_be_whole(item: &Item, on: Date) -> Result<(), FieldErrors> {
    match item.cut_into.as_ref().filter(|into| into.on < on) {
        None => Ok(()),
        Some(into) => {
            let sentence = format!(
                "{} was cut on {}: write what happened later on the piece to which it happened.",
                item.mark,
                write_day(into.on)
            );
            Err(FieldErrors::one("on", "range", sentence))
        }
    }
}

/// Records that what was missing was found, on the day when it was put in quarantine: it was out of sight until then, and is
/// held for that as for any event. `held` is the item as it was before.
pub(super) async fn record_found(
    tx: &mut WriteTx,
    (actor, now): (&Actor, OffsetDateTime),
    held: &Item,
    (on, told): (Date, &str),
) -> Result<(), DeedError> {
    let there = tx.item(held.id).await?;
    let is_found = |there: &Item| there.state == ItemState::Quarantined;
    if held.state != ItemState::Missing || !there.as_ref().is_some_and(is_found) {
        return Ok(());
    }
    let model = tx.model(held.model).await?;
    let note = match told {
        "" => "it was missing and was found".to_owned(),
        told => format!("it was missing and was found: {told}"),
    };
    let event = Event {
        id: EventId::new(),
        item: held.id,
        kind: EventKind::LostSight,
        on,
        reported_by: actor.person,
        note: note.chars().take(LONGEST_NOTE).collect(),
        follows: None,
    };
    let event = event.following(&model.ok_or(DeedError::NotFound("model"))?);
    record_event(tx, (actor, now), held, &event).await
}

/// Records an event. What happened to a rope before it was cut, and is known only now, happened to each piece.
pub(super) async fn record_event(
    tx: &mut WriteTx,
    (actor, now): (&Actor, OffsetDateTime),
    item: &Item,
    event: &Event,
) -> Result<(), DeedError> {
    tx.record(actor, now, Change::EventReported(event.clone()))
        .await?;
    for (piece, mark) in cut::all_pieces(tx, item).await? {
        let event = Event {
            id: EventId::new(),
            item: piece.id,
            note: cut::as_part_of(&mark, &event.note),
            ..event.clone()
        };
        tx.record(actor, now, Change::EventReported(event)).await?;
    }
    Ok(())
}
