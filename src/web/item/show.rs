//! One item.

use std::cmp::Reverse;

use axum::extract::State;
use time::{Duration, OffsetDateTime};

use crate::{
    deed::{self, DeedError, checklist, history, item::deed_of, rulebook, spoken},
    domain::{
        AttachedTo, BagCheck, Change, Deed, Item, ItemId, ItemState, ItemStep, Job, Model, Notice,
        NoticeClosing, Role, Unanswered, Zone, date::write_day,
    },
    export::paper::lacking,
    store::{Direction, EntryFilter, StoreError, Tx},
    view::{
        Section,
        attachment::{Gallery, add_href},
        item::{Act, ItemFile, ShowItem},
        kept_until::KeptUntil,
        past::{Past, kind_word},
        tag::TagsOfItem,
    },
    web::{App, Page, Path, Problem, Signed},
};

/// How many examinations, events and changes of the record the page shows; the whole history has the rest.
const LAST: u32 = 5;
/// Among how many entries the changes of the record are looked for.
const LOOKED_AT: u32 = 40;

/// How many photos and documents the page shows.
const MOST_SHOWN: u32 = 24;

/// One item, with everything that is known of it.
pub(in crate::web) async fn page_show(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ItemId>,
) -> Result<Page<ShowItem>, Problem> {
    let now = app.desk.clock.now();
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let item = tx.item(id).await?.ok_or(Problem::NotFound("item"))?;
    let model = tx.model(item.model).await?;
    let model = model.ok_or(Problem::NotFound("model"))?;
    let notices = notices(&mut tx, &item, &model).await?;
    let history = history::of_item(&mut tx, &item).await?;
    let past = past(&mut tx, &item, &history, &signed.zone).await?;
    let cut = may_cut(&mut tx, (&item, &model), signed.actor.role).await?;
    let unanswered = deed::item::unanswered(&mut tx, &item).await?;
    let acts = acts(&item, (&cut, &unanswered), signed.actor.role);
    let mut examinations = tx
        .examinations_in_line(&item, checklist::LOOKED_BACK)
        .await?;
    let watching = checklist::watching(&mut tx, &examinations).await?;
    let mut answers = examinations.iter().flat_map(|one| &one.answers);
    let is_measured = answers.any(|answer| !answer.values.is_empty());
    examinations.truncate(LAST as usize);
    let file = ItemFile {
        rulebook: rulebook::home(&mut tx).await?,
        store: tx.store(item.store).await?,
        examinations,
        watching,
        is_measured,
        events: tx.events_in_line(&item, LAST).await?,
        notices,
        still_open: deed::notice::still_open(&mut tx, &item).await?,
        let_go: deed::notice::let_go(&mut tx, (&item, &model), &history.beside.notices).await?,
        jobs: booked(&mut tx, id, now).await?,
        with_crew: deed::issue::whereabouts(&mut tx, id).await?,
        unseen: unseen(&mut tx, &item).await?,
        tags: TagsOfItem::new(
            id,
            &tx.tags(id).await?,
            signed.actor.role.may(Deed::KeepRegister),
        ),
        asked_by: asked_by(&mut tx, &item).await?,
        unanswered,
        past,
        whole_ropes: whole_ropes(&mut tx, &item).await?,
        pieces: pieces(&mut tx, &item).await?,
        usage: tx.usage_in_line(&item, LAST).await?,
        not_cut: match cut {
            Cut::Closed(why) => why,
            Cut::Open | Cut::OutOfQuestion => String::new(),
        },
        gallery: gallery(&mut tx, &item, signed.actor.role).await?,
        kept: {
            let keeping = deed::retention::of_item(&mut tx, &item).await?;
            KeptUntil::new(keeping.rulebook, &keeping.kept)
        },
        item,
        model,
    };
    let shell = signed.shell_in(Section::Items, file.item.mark.as_str());
    let lacking = lacking(&file);
    let page = ShowItem::new(shell, file, acts, signed.zone.day(now));
    Ok(Page(page.with_lacking(lacking)))
}

/// The last look through where it lies, if it was not found then.
async fn unseen(tx: &mut Tx, item: &Item) -> Result<Option<BagCheck>, Problem> {
    let last = tx.last_bag_check(item.store).await?;
    Ok(last.filter(|check| check.missing.contains(&item.id)))
}

/// Who asked for its return, and whose examination was written down by that; empty where nobody did.
pub(super) async fn asked_by(tx: &mut Tx, item: &Item) -> Result<String, Problem> {
    let Some(asked) = &item.return_asked else {
        return Ok(String::new());
    };
    let competence = deed::qualification::of(tx).await?;
    let mut people = competence.people.iter();
    let by = people.find(|(person, _)| *person == asked.by);
    let by = by.map_or("", |(_, name)| name.as_str());
    let mut all = competence.qualifications.iter();
    let examined = all.find(|one| Some(one.id) == asked.qualification);
    let examiner = examined.map(|one| competence.name_of(one));
    Ok(match examiner.filter(|examiner| *examiner != by) {
        Some(examiner) => format!("{by}, who wrote down an examination by {examiner},"),
        None => by.to_owned(),
    })
}

/// What the PDF of its record has no letters for.
fn lacking(file: &ItemFile) -> Option<String> {
    let ItemFile {
        item,
        model,
        examinations,
        events,
        store,
        ..
    } = file;
    lacking::told(&(item, model, examinations, events, store))
}

/// The ropes that the item was part of, the last one first.
async fn whole_ropes(tx: &mut Tx, item: &Item) -> Result<Vec<Item>, StoreError> {
    let ids: Vec<ItemId> = item.whole_ropes().iter().map(|rope| rope.item).collect();
    let mut found = tx.items_of(&ids).await?;
    Ok(ids.iter().filter_map(|id| found.remove(id)).collect())
}

/// What the item was cut into.
async fn pieces(tx: &mut Tx, item: &Item) -> Result<Vec<Item>, StoreError> {
    let ids = item.cut_into.iter().flat_map(|into| into.pieces.clone());
    let ids: Vec<ItemId> = ids.collect();
    let mut found = tx.items_of(&ids).await?;
    Ok(ids.iter().filter_map(|id| found.remove(id)).collect())
}

/// The photos and documents of the item: its own first, then those of its looks and events, the last of these first.
async fn gallery(tx: &mut Tx, item: &Item, role: Role) -> Result<Gallery, StoreError> {
    let mut found = tx.attachments_in_line(item, MOST_SHOWN + 1).await?;
    let more = found.len() > MOST_SHOWN as usize;
    found.truncate(MOST_SHOWN as usize);
    let mut shown = Vec::new();
    for one in found {
        let of = match one.to {
            AttachedTo::Examination { examination, .. } => tx
                .examination(examination)
                .await?
                .map(|look| (look.on, kind_word(look.kind).to_owned())),
            AttachedTo::Event { event, .. } => tx
                .event(event)
                .await?
                .map(|event| (event.on, format!("It {}", event.kind.word()))),
            AttachedTo::Item { .. } | AttachedTo::Model { .. } => None,
        };
        shown.push((of, one));
    }
    shown.sort_by_key(|(of, _)| of.as_ref().map(|(on, _)| Reverse(*on)));
    let papers = tx
        .attachments(AttachedTo::Model { model: item.model })
        .await?;
    let papers = papers.into_iter().filter(|one| one.withdrawn.is_none());
    let papers = papers.map(|one| (one, "of the model".to_owned()));
    let shown = shown.into_iter().map(|(of, one)| {
        let aside = match of {
            Some((on, what)) => format!("{what}, {}", write_day(on)),
            None => format!("added {}", write_day(one.on)),
        };
        (one, aside)
    });
    let to = AttachedTo::Item { item: item.id };
    let add = role.may(to.deed(None)).then(|| add_href(to));
    let history = format!("/items/{}/history?kind=file-attached", item.id);
    let shown: Vec<_> = shown.chain(papers).collect();
    Ok(Gallery::new(&shown, add).with_more(more.then_some(history)))
}

/// The notices that cover the item, each with its closing if it is closed.
async fn notices(
    tx: &mut Tx,
    item: &Item,
    model: &Model,
) -> Result<Vec<(Notice, Option<NoticeClosing>)>, StoreError> {
    let closings = tx.closings_of(&[item.id]).await?;
    let about = tx.notices_about(&model.maker).await?;
    let covering = about
        .into_iter()
        .filter(|notice| notice.covers(item, model));
    Ok(covering
        .map(|notice| {
            let mut closings = closings.iter();
            let closing = closings
                .find(|closing| closing.notice == notice.id)
                .cloned();
            (notice, closing)
        })
        .collect())
}

/// The jobs that hold the item.
async fn booked(tx: &mut Tx, id: ItemId, now: OffsetDateTime) -> Result<Vec<Job>, Problem> {
    let mut jobs = Vec::new();
    for booking in tx.bookings(&[id], now, now + Duration::days(3660)).await? {
        jobs.extend(tx.job(booking.job).await?);
    }
    Ok(jobs)
}

/// The last changes of the item's record in words. Its examinations and events stand above them already.
async fn past(
    tx: &mut Tx,
    item: &Item,
    history: &EntryFilter,
    zone: &Zone,
) -> Result<Past, Problem> {
    let span = tx.entry_span(history).await?;
    let mut kept = tx
        .entries(history, span, Direction::Down, LOOKED_AT)
        .await?;
    kept.retain(|kept| {
        !matches!(
            kept.entry.change,
            Change::ExaminationRecorded(_) | Change::EventReported(_)
        )
    });
    kept.truncate(LAST as usize);
    let names = spoken::names(tx, &kept).await?;
    let entries: Vec<_> = kept.into_iter().map(|kept| kept.entry).collect();
    Ok(Past::with_links(&entries, &names, Some(item.id.0), zone))
}

/// Whether an item may be cut.
enum Cut {
    /// Nobody asks: it is no rope, it is gone, or this person cuts nothing.
    OutOfQuestion,
    Open,
    /// Why not now.
    Closed(String),
}

async fn may_cut(tx: &mut Tx, (item, model): (&Item, &Model), role: Role) -> Result<Cut, Problem> {
    let gone = item.state == ItemState::Retired || item.cut_into.is_some();
    if gone || !model.kind.is_cut() || !role.may(Deed::KeepRegister) {
        return Ok(Cut::OutOfQuestion);
    }
    match deed::cut::open(tx, item, model).await {
        Ok(()) => Ok(Cut::Open),
        Err(DeedError::NotAllowed(why)) => Ok(Cut::Closed(format!("It cannot be cut now. {why}"))),
        Err(other) => Err(other.into()),
    }
}

/// What may be done next: the steps that are open in this state and to this role.
fn acts(item: &Item, (cut, unanswered): (&Cut, &Unanswered), role: Role) -> Vec<Act> {
    let page = |rest: &str| format!("/items/{}/{rest}", item.id);
    let mut acts = Vec::new();
    let mut act = |may: bool, words, rest: &str, style| {
        if may {
            acts.push(Act {
                words,
                href: page(rest),
                style,
            });
        }
    };
    let there = item.state != ItemState::Retired;
    let reports = role.may(Deed::ReportEvent);
    act(
        there && reports,
        "Record examination",
        "examinations/new",
        "main",
    );
    act(there && reports, "Report what happened", "events/new", "");
    act(there && reports, "Log use", "usage/new", "");
    act(matches!(cut, Cut::Open), "Cut it", "cuts/new", "");
    for step in ItemStep::ALL {
        let refused = step == ItemStep::ReturnToService && unanswered.refusal().is_some();
        let open = !refused && item.may(step).is_ok() && role.may(deed_of(step));
        let style = if step == ItemStep::Retire {
            "grave"
        } else {
            ""
        };
        act(
            open,
            step.word(),
            &format!("step?step={}", step.key()),
            style,
        );
    }
    act(
        role.may(Deed::KeepRegister),
        "Change record",
        "edit",
        "plain",
    );
    acts
}
