//! Tables that are counted or worked out as a whole before they are written.

use super::{
    super::{
        DeedError, Desk, board, course, kit,
        then::{self, PastOf},
        trend,
    },
    Wanted,
    wanted::About,
};
use crate::{
    domain::{Actor, ItemId, Kind, date::write_day, ready::ReadinessDraft, trend::PeriodDraft},
    export::{self, Cell},
    rigging::CAUTIONS,
    store::RetiredFilter,
};

/// The rows of a table, in their order.
pub(super) type Table = Vec<Vec<Cell<'static>>>;

/// The table, and what it is about; none of what is read page by page.
pub(super) async fn worked(
    desk: &Desk,
    actor: &Actor,
    wanted: &Wanted,
) -> Result<Option<(About, Table)>, DeedError> {
    let mut about = wanted.about();
    let table = match wanted {
        Wanted::Due(split) => {
            let board = board::show(desk, actor, *split).await?;
            about.told.push(
                "Items in service are counted. The days of a week are in their month too."
                    .to_owned(),
            );
            table(export::board::rows(&board))
        }
        Wanted::Ages(kind) => ages(desk, actor, *kind, &mut about).await?,
        Wanted::Ahead(kind) => ahead(desk, actor, *kind, &mut about).await?,
        Wanted::Failures(period) => failures(desk, actor, period, &mut about).await?,
        Wanted::Retired(filter) => retired(desk, actor, *filter, &mut about).await?,
        Wanted::Sets(draft) => sets(desk, actor, draft, &mut about).await?,
        Wanted::Measurements(item) => measured(desk, actor, *item, &mut about).await?,
        Wanted::Then(of, on) => Box::pin(past(desk, actor, (*of, on), &mut about)).await?,
        _ => return Ok(None),
    };
    Ok(Some((about, table)))
}

fn table<const N: usize>(rows: impl IntoIterator<Item = [Cell<'static>; N]>) -> Table {
    rows.into_iter().map(Vec::from).collect()
}

/// What is counted, where it is one kind alone.
fn of_kind(kind: Option<Kind>) -> Option<String> {
    kind.map(|kind| format!("Of the kind {} alone.", kind.word()))
}

async fn ages(
    desk: &Desk,
    actor: &Actor,
    kind: Option<Kind>,
    about: &mut About,
) -> Result<Table, DeedError> {
    let found = trend::ages(desk, actor, kind).await?;
    about.told.extend(of_kind(kind));
    about
        .told
        .push(format!("Lives end by the rulebook {}.", found.rulebook));
    Ok(table(export::trend::ages(&found.ages)))
}

async fn ahead(
    desk: &Desk,
    actor: &Actor,
    kind: Option<Kind>,
    about: &mut About,
) -> Result<Table, DeedError> {
    let found = trend::ahead(desk, actor, kind).await?;
    about.told.extend(of_kind(kind));
    let until = write_day(found.ahead.until);
    about.told.push(format!(
        "Until {until}, by the rulebook {}.",
        found.rulebook
    ));
    Ok(table(export::trend::ahead(&found.ahead, &found.models)))
}

async fn failures(
    desk: &Desk,
    actor: &Actor,
    period: &PeriodDraft,
    about: &mut About,
) -> Result<Table, DeedError> {
    let found = trend::failures(desk, actor, period).await?;
    let (from, until) = found.days;
    about.told.push(format!(
        "From {} until {}.",
        write_day(from),
        write_day(until)
    ));
    let rows = export::trend::failures(&found.by_lot, &found.models, found.days);
    Ok(table(rows))
}

async fn retired(
    desk: &Desk,
    actor: &Actor,
    filter: RetiredFilter,
    about: &mut About,
) -> Result<Table, DeedError> {
    let found = trend::retired(desk, actor, filter).await?;
    about.told.extend(of_kind(filter.kind));
    let because = filter
        .because
        .map(|because| format!("Retired for: {}.", because.word()));
    about.told.extend(because);
    about
        .told
        .extend(filter.year.map(|year| format!("In {year} alone.")));
    Ok(table(export::trend::retired(&found.groups)))
}

async fn sets(
    desk: &Desk,
    actor: &Actor,
    draft: &ReadinessDraft,
    about: &mut About,
) -> Result<Table, DeedError> {
    let ready = Box::pin(kit::readiness(desk, actor, draft)).await?;
    let (from, until) = ready.span;
    about.title = format!("Complete sets: {}", ready.rig.title());
    about.told.push(format!(
        "From {} until {}, if nothing is bought or examined, by the rulebook {}.",
        write_day(from),
        write_day(until),
        ready.rulebook
    ));
    about.told.extend(ready.plan_lacks);
    about.told.extend(CAUTIONS.map(str::to_owned));
    let counted = &ready.readiness;
    Ok(table(export::readiness::rows(
        &counted.sets,
        &counted.items,
    )))
}

async fn measured(
    desk: &Desk,
    actor: &Actor,
    item: ItemId,
    about: &mut About,
) -> Result<Table, DeedError> {
    let found = course::of_item(desk, actor, item).await?;
    about.title = format!("What was measured of {}", found.item.mark);
    if found.is_cut_off {
        let most = course::LOOKED_AT;
        about.told.push(format!(
            "Only the last {most} examinations were looked at; there are older ones."
        ));
    }
    let mark = |id: ItemId| {
        let rope = found.whole_ropes.get(&id);
        rope.unwrap_or(&found.item.mark).clone()
    };
    Ok(table(export::course::rows(&found.courses, mark)))
}

async fn past(
    desk: &Desk,
    actor: &Actor,
    (of, on): (PastOf, &str),
    about: &mut About,
) -> Result<Table, DeedError> {
    let (name, past) = match of {
        PastOf::Item(id) => {
            let (item, past) = then::item(desk, actor, id, on).await?;
            (item.mark, past?)
        }
        PastOf::Job(id) => {
            let (job, past) = then::job(desk, actor, id, on).await?;
            (job.title, past?)
        }
        PastOf::Store(id) => {
            let (store, past) = then::place(desk, actor, (id, on), None, then::ALL).await?;
            (store.name, past?)
        }
    };
    let day = write_day(past.on);
    about.word = format!("as-it-was-on-{day}").into();
    about.title = format!("{name} as it was on {day}");
    about.told = vec![format!("{}.", past.answer), past.why];
    let rows = past.rows.iter();
    Ok(rows
        .map(|row| export::question::row(past.columns, row))
        .collect())
}
