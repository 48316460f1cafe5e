//! Counting a kit back: every item told of once, its use logged, and what happened to it taken up by the rules.

use time::OffsetDateTime;

use super::{
    DeedError, Desk,
    examination::{record_event, record_found},
    issue::of_job,
    kit, permit, tag, usage,
};
use crate::{
    domain::{
        Actor, Change, Condition, Counting, Deed, Event, EventId, EventKind, FieldErrors, Issue,
        IssueId, IssueState, Item, ItemId, ItemState, ItemStep, ItemStepped, Job, JobId, KitReturn,
        KitReturnDraft, LONGEST_NOTE, NotAllowed, ReturnId, ReturnedLine, Signer, Usage, UsageId,
    },
    store::{Tx, WriteTx},
};

/// An issue as it is counted back.
#[derive(Clone, Debug)]
pub struct Counted {
    /// The issue.
    pub issue: Issue,
    /// The job as it stands now.
    pub job: Job,
    /// What of it is with the crew still.
    pub out: Vec<ItemId>,
    /// The counts so far, the first first.
    pub counts: Vec<KitReturn>,
    /// What of what is out is not fit any more by its own record, with the reasons.
    pub since: Vec<(ItemId, Vec<String>)>,
}

/// How far an issue is counted back.
///
/// # Errors
/// [`DeedError::NotFound`] if the job has no such issue.
pub async fn show(
    desk: &Desk,
    actor: &Actor,
    job: JobId,
    issue: IssueId,
) -> Result<Counted, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let issue = tx.issue(issue).await?;
    let issue = of_job(issue.ok_or(DeedError::NotFound("issue"))?, job)?;
    let out = still_out(&mut tx, &issue).await?;
    Ok(Counted {
        since: kit::own_faults(&mut tx, job, desk.clock.now(), &out).await?,
        counts: tx.kit_returns(&issue).await?,
        out,
        job: tx.job(job).await?.ok_or(DeedError::NotFound("job"))?,
        issue,
    })
}

/// What of an issue is with the crew still.
///
/// # Errors
/// The store's.
pub(super) async fn still_out(tx: &mut Tx, issue: &Issue) -> Result<Vec<ItemId>, DeedError> {
    match issue.state {
        IssueState::Out => Ok(tx.out_on(issue.job.id).await?),
        _ => Ok(Vec::new()),
    }
}

/// Counts back what was answered for; the rest stays with the crew. An id that was given before gives the count that is
/// there.
///
/// # Errors
/// [`DeedError::Invalid`] with every field that does not hold; [`DeedError::NotAllowed`] where the kit is not out.
pub async fn count(
    desk: &Desk,
    actor: &Actor,
    (job, issue): (JobId, IssueId),
    (id, draft): (ReturnId, &KitReturnDraft),
) -> Result<KitReturn, DeedError> {
    permit(actor, Deed::ReportEvent)?;
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    let issue = tx.issue(issue).await?;
    let issue = of_job(issue.ok_or(DeedError::NotFound("issue"))?, job)?;
    if let Some(there) = tx.kit_return(id).await? {
        return if there.issue == issue.id {
            Ok(there)
        } else {
            Err(DeedError::NotFound("count"))
        };
    }
    if issue.state != IssueState::Out {
        return Err(NotAllowed::IssueOver.into());
    }
    let out = tx.out_on(job).await?;
    let person = tx.person(actor.person).await?;
    let (scanned, unread) = scanned(&mut tx, draft, &issue, &out).await?;
    let counted = draft.check(Counting {
        id,
        issue: &issue,
        out: &out,
        scanned: &scanned,
        by: Signer::from(&person.ok_or(DeedError::NotFound("person"))?),
        now,
        today: tx.day(now).await?,
        issued_on: tx.day(issue.at).await?,
    });
    let counted = usage::whole(counted, unread)?;
    let change = Change::KitReturned(Box::new(counted.clone()));
    tx.record(actor, now, change).await?;
    for line in &counted.lines {
        follow(&mut tx, (actor, now), (&issue, &counted), line).await?;
    }
    tx.commit().await?;
    Ok(counted)
}

/// What the scanned codes lead to, and what is wrong with the others.
async fn scanned(
    tx: &mut Tx,
    draft: &KitReturnDraft,
    issue: &Issue,
    out: &[ItemId],
) -> Result<(Vec<ItemId>, FieldErrors), DeedError> {
    let (mut found, mut wrong) = (Vec::new(), FieldErrors::default());
    for code in draft.codes() {
        let given: String = code.chars().take(60).collect();
        match tag::item_coded(tx, ("scanned", code)).await? {
            Some(item) if out.contains(&item.id) => found.push(item.id),
            Some(item) if issue.line_of(item.id).is_some() => {
                wrong.add(
                    "scanned",
                    "counted",
                    format!("{} is counted already: take its line out.", item.mark),
                );
            }
            Some(item) => wrong.add(
                "scanned",
                "stranger",
                format!(
                    "{} did not go along with this issue: take its line out.",
                    item.mark
                ),
            ),
            None => wrong.add(
                "scanned",
                "unknown",
                format!("No item of your team has the code, mark or serial \"{given}\"."),
            ),
        }
    }
    Ok((found, wrong))
}

/// What follows for one item: its use, its state, and what happened to it by the rules for events.
async fn follow(
    tx: &mut WriteTx,
    by: (&Actor, OffsetDateTime),
    (issue, count): (&Issue, &KitReturn),
    line: &ReturnedLine,
) -> Result<(), DeedError> {
    let item = there(tx, line.item).await?;
    // What did not come back was used nobody knows how much: nothing is logged for it.
    if !line.amount.is_nothing() && line.condition != Condition::Missing {
        let usage = Usage {
            id: UsageId::new(),
            item: item.id,
            on: count.on,
            since: None,
            by: count.by.person,
            job: Some(count.job),
            amount: line.amount,
            note: line.note.clone(),
            event: None,
        };
        usage::record_use(tx, by, &item, &usage).await?;
    }
    // The graver first: it is what the item is held for, and the other is told with it.
    let met = [
        (line.chemical, EventKind::Chemical),
        (line.water, EventKind::Water),
    ];
    let met = met.into_iter().filter(|(met, _)| *met);
    let met: Vec<EventKind> = met.map(|(_, kind)| kind).collect();
    let reason = reason(issue, count, line, &met);
    match line.condition {
        Condition::Damaged => {
            step(tx, by, (line.item, ItemStep::Quarantine), &reason, count).await?;
        }
        Condition::Missing => {
            step(tx, by, (line.item, ItemStep::ReportMissing), &reason, count).await?;
            // What is nowhere met nothing that anybody saw.
            return Ok(());
        }
        Condition::Fine | Condition::LookAt => {}
    }
    for kind in met {
        let item = there(tx, line.item).await?;
        let model = tx.model(item.model).await?;
        let event = Event {
            id: EventId::new(),
            item: item.id,
            kind,
            on: count.on,
            reported_by: count.by.person,
            note: reason.clone(),
            follows: None,
        };
        let event = event.following(&model.ok_or(DeedError::NotFound("model"))?);
        record_event(tx, by, &item, &event).await?;
    }
    Ok(())
}

async fn there(tx: &mut Tx, id: ItemId) -> Result<Item, DeedError> {
    tx.item(id).await?.ok_or(DeedError::NotFound("item"))
}

/// Why a state changes: what was seen and met, and where that was.
fn reason(issue: &Issue, count: &KitReturn, line: &ReturnedLine, met: &[EventKind]) -> String {
    // A single event says itself what it was.
    let is_told = met.len() > 1 || line.condition == Condition::Damaged;
    let met: Vec<&str> = met
        .iter()
        .filter(|_| is_told)
        .map(|kind| kind.word())
        .collect();
    let met = met.join(" and ");
    let seen = [line.note.as_str(), met.as_str(), count.note.as_str()];
    let seen: Vec<&str> = seen.into_iter().filter(|text| !text.is_empty()).collect();
    let seen = if seen.is_empty() {
        String::new()
    } else {
        format!(": {}", seen.join("; "))
    };
    let text = format!("counted back from the job {}{seen}", issue.job.title);
    text.chars().take(LONGEST_NOTE).collect()
}

/// Takes a step where it is open: what is in quarantine or retired already stays so.
async fn step(
    tx: &mut WriteTx,
    (actor, now): (&Actor, OffsetDateTime),
    (item, step): (ItemId, ItemStep),
    reason: &str,
    count: &KitReturn,
) -> Result<(), DeedError> {
    let held = there(tx, item).await?;
    if held.state == ItemState::Retired || held.may(step).is_err() {
        return Ok(());
    }
    let stepped = ItemStepped {
        item,
        step,
        reason: reason.to_owned(),
        on: count.on,
        retired_for: None,
    };
    tx.record(actor, now, Change::ItemStepped(stepped)).await?;
    record_found(tx, (actor, now), &held, (count.on, reason)).await
}
