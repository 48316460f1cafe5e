//! One item.

use axum::extract::State;
use time::{Date, Duration};

use crate::{
    deed::item::deed_of,
    domain::{
        Change, Deed, Entry, Item, ItemId, ItemState, ItemStep, Job, JobId, Model, ModelId, Notice,
        NoticeClosing, Role,
    },
    store::{StoreError, Tx},
    view::{
        Section,
        item::{Act, ItemFile, ShowItem},
        past::{Names, Past},
    },
    web::{
        App, Page, Path, Problem, Signed,
        listed::{has_page, home_rulebook},
    },
};

/// How many examinations, events and entries of the history the page shows.
const LAST: u32 = 10;

/// One item, with everything that is known of it.
pub(in crate::web) async fn page_show(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ItemId>,
) -> Result<Page<ShowItem>, Problem> {
    let now = app.desk.clock.now();
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let item = tx.item(id).await?.ok_or(Problem::NotFound("item"))?;
    let model = tx
        .model(item.model)
        .await?
        .ok_or(Problem::NotFound("model"))?;
    let notices = notices(&mut tx, &item, &model).await?;
    let bookings = tx.bookings(&[id], now, now + Duration::days(3660)).await?;
    let mut jobs = Vec::new();
    for booking in bookings {
        jobs.extend(tx.job(booking.job).await?);
    }
    let (past, more) = past(&mut tx, &item, &notices, &jobs).await?;
    let acts = acts(&item, signed.actor.role);
    let file = ItemFile {
        rulebook: home_rulebook(&mut tx).await?,
        store: tx.store(item.store).await?,
        examinations: tx.examinations(id, Date::MAX, LAST).await?,
        events: tx.events(id, LAST).await?,
        history: whole_history(&item, more),
        notices,
        jobs,
        past,
        item,
        model,
    };
    let shell = signed.shell_in(Section::Items, file.item.mark.as_str());
    Ok(Page(ShowItem::new(shell, file, acts, now.date())))
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

/// The last entries about the item in words, and whether there are more.
async fn past(
    tx: &mut Tx,
    item: &Item,
    notices: &[(Notice, Option<NoticeClosing>)],
    jobs: &[Job],
) -> Result<(Past, bool), Problem> {
    let sealed = tx.history_of(item.id.0, None, LAST).await?;
    let more = sealed.len() == LAST as usize;
    let entries = sealed
        .iter()
        .map(|sealed| serde_json::from_str(&sealed.payload))
        .collect::<Result<Vec<Entry<Change>>, _>>()
        .map_err(Problem::internal)?;
    let mut names = Names::default();
    names.0.insert(item.id.0, item.mark.clone());
    names.add(tx.people().await?, |person| (person.id.0, person.name));
    names.add(tx.stores().await?, |store| (store.id.0, store.name));
    for entry in &entries {
        if let Some(id) = model_of(&entry.change)
            && !names.0.contains_key(&id.0)
            && let Some(model) = tx.model(id).await?
        {
            names.0.insert(id.0, model.title());
        }
        if let Some(id) = job_of(&entry.change)
            && !names.0.contains_key(&id.0)
            && let Some(job) = tx.job(id).await?
        {
            names.0.insert(id.0, job.title);
        }
    }
    names.add(notices.to_vec(), |(notice, _)| (notice.id.0, notice.title));
    names.add(jobs.to_vec(), |job| (job.id.0, job.title));
    Ok((Past::new(&entries, &names), more))
}

/// The model that a change of an item names.
fn model_of(change: &Change) -> Option<ModelId> {
    match change {
        Change::ItemAdded(item) | Change::ItemRevised(item) => Some(item.model),
        _ => None,
    }
}

/// The job that a change of an item names.
fn job_of(change: &Change) -> Option<JobId> {
    match change {
        Change::KitLineAdded(line) => Some(line.job),
        Change::KitLineRemoved(line) => Some(line.job),
        Change::ItemRefused(refused) => Some(refused.job),
        _ => None,
    }
}

/// Where the whole history of the item stands, if the page does not show it all.
fn whole_history(item: &Item, more: bool) -> Option<String> {
    (more && has_page("/items/{id}/history")).then(|| format!("/items/{}/history", item.id))
}

/// What may be done next: the steps that are open in this state and to this role.
fn acts(item: &Item, role: Role) -> Vec<Act> {
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
    for step in ItemStep::ALL {
        let open = item.state.after(step).is_ok() && role.may(deed_of(step));
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
