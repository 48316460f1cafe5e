//! All that a recalled lot touched.

use std::collections::{BTreeSet, HashMap};

use uuid::Uuid;

use super::{
    used::{people, uses_of, who},
    walk::{At, Part, Today},
};
use crate::{
    deed::{DeedError, history::all, notice::past},
    domain::{
        Item, ItemId, Job, JobId, Model, ModelId, Notice, NoticeClosing, NoticeItem,
        NoticeStanding, PersonId, Version, fold,
        question::{Cell, NoticeFor, Row, To, Use, fate},
    },
    store::{Cursor, Direction, EntryFilter, ItemFilter, ItemSort, StoreError, Tx},
};

/// How many items of a model are read at once.
const SOME: u32 = 100;

/// What the recall speaks of, in words.
pub(super) fn about(notice: &Notice, versions: &[Version<Notice>]) -> String {
    let title = if is_on_record(notice) {
        format!("Notice \"{}\": ", notice.title)
    } else {
        String::new()
    };
    let end = match &notice.withdrawn {
        Some(reason) => format!(
            " It was withdrawn: {}. This is what it covered until then.",
            reason.trim_end_matches('.')
        ),
        None => String::new(),
    };
    let earlier = versions
        .split_last()
        .map_or(&[][..], |(_, earlier)| earlier);
    let was = earlier.iter().map(|(_, was)| was.covers_words());
    let mut was: Vec<String> = was.collect();
    was.retain(|was| *was != notice.covers_words());
    was.dedup();
    let was = if was.is_empty() {
        String::new()
    } else {
        format!(
            " It was corrected; before that it covered: {}. What it covered then stands here too.",
            was.join("; then ")
        )
    };
    format!("{title}{}.{was}{end}", notice.covers_words())
}

pub(super) async fn part(
    tx: &mut Tx,
    today: &Today,
    (notice, versions): (&Notice, &[Version<Notice>]),
    at: At,
) -> Result<(Part, At), DeedError> {
    let (mut models, after) = match at {
        At::OfModels(models, after) => (models, after),
        _ => (of_makers(tx, notice, versions).await?, None),
    };
    let Some(model) = models.pop() else {
        return Ok((Part::default(), At::End));
    };
    let (part, next) = of_model(tx, today, (notice, versions, &model), after.as_ref()).await?;
    if next.is_some() {
        models.push(model);
    }
    let next = if models.is_empty() {
        At::End
    } else {
        At::OfModels(models, next)
    };
    Ok((part, next))
}

async fn of_model(
    tx: &mut Tx,
    today: &Today,
    (notice, versions, model): (&Notice, &[Version<Notice>], &Model),
    after: Option<&Cursor>,
) -> Result<(Part, Option<Cursor>), DeedError> {
    let filter = ItemFilter {
        model: Some(model.id),
        ..ItemFilter::default()
    };
    let by_mark = (ItemSort::Mark, Direction::Up);
    let page = tx.items(&filter, by_mark, after, SOME).await?;
    let mut part = Part::default();
    part.tally.of = page.rows.len() as u64;
    let found = touched(tx, (notice, versions, model), page.rows).await?;
    let items: Vec<&Item> = found.iter().map(|one| &one.item).collect();
    let marks = marks_beside(tx, &items).await?;
    let people = people(tx).await?;
    for one in &found {
        let item = &one.item;
        let mark = |id| marks.get(&id).cloned().unwrap_or_default();
        let let_out = one.standing == NoticeStanding::LetOut;
        let notice = if is_on_record(notice) || let_out {
            NoticeFor::of(one.standing, one.closing.as_ref())
        } else {
            NoticeFor::NotOnRecord
        };
        if !let_out {
            part.tally.count(item.state.word());
        }
        if let Some(beside) = notice.beside() {
            part.tally.count_beside(beside);
        }
        let fate = fate(item, notice, mark);
        let (uses, jobs) = uses_of(tx, today, item).await?;
        let on = uses.iter().map(|one| (one.seq, used(one, &jobs, &people)));
        let mut on: Vec<(u64, [Cell; 4])> = on.collect();
        if on.is_empty() {
            let none = || Cell::Nothing;
            on.push((0, [none(), none(), "no use on record".into(), none()]));
        }
        on.sort_by_key(|(seq, _)| *seq);
        let rows = on
            .into_iter()
            .map(|(seq, cells)| row((item, model), &fate, seq, cells));
        part.rows.extend(rows);
    }
    Ok((part, page.next))
}

/// The models of the makers that a notice names or named, and those that once were of them, the last row's first.
async fn of_makers(
    tx: &mut Tx,
    notice: &Notice,
    versions: &[Version<Notice>],
) -> Result<Vec<Model>, StoreError> {
    let makers = std::iter::once(notice).chain(versions.iter().map(|(_, was)| was));
    let mut makers: Vec<&str> = makers.map(|one| one.maker.as_str()).collect();
    makers.sort_unstable_by_key(|maker| fold(maker));
    makers.dedup_by_key(|maker| fold(maker));
    let mut models = Vec::new();
    for maker in &makers {
        models.extend(tx.models_of_maker(maker).await?);
    }
    models.extend(once_of(tx, &makers).await?);
    models.extend(moved_to(tx, notice).await?);
    models.sort_unstable_by_key(|model| std::cmp::Reverse(model.id));
    models.dedup_by_key(|model| model.id);
    Ok(models)
}

/// The models, of whatever maker, of what the notice was closed for and of what is aside though a correction of its record
/// took it out.
async fn moved_to(tx: &mut Tx, notice: &Notice) -> Result<Vec<Model>, StoreError> {
    if !is_on_record(notice) {
        return Ok(Vec::new());
    }
    let slipped = past::slipped_from(tx, notice).await?.into_iter();
    let mut models: BTreeSet<ModelId> = slipped.map(|item| item.model).collect();
    let mut after = None;
    loop {
        let closed = tx.closings_of_notice(notice.id, after, SOME).await?;
        let ids: Vec<ItemId> = closed.iter().map(|closing| closing.item).collect();
        after = ids.last().copied();
        if after.is_none() {
            break;
        }
        models.extend(tx.items_of(&ids).await?.values().map(|item| item.model));
    }
    let models: Vec<ModelId> = models.into_iter().collect();
    Ok(tx.models_of(&models).await?.into_values().collect())
}

/// The models that one of the makers made, as they were on record before a correction.
async fn once_of(tx: &mut Tx, makers: &[&str]) -> Result<Vec<Model>, StoreError> {
    let corrections = EntryFilter {
        kind: Some("model-revised"),
        ..EntryFilter::default()
    };
    let corrected = all(tx, &corrections).await?.into_iter();
    let corrected: BTreeSet<Uuid> = corrected
        .flat_map(|kept| kept.entry.change.subjects())
        .collect();
    let versions = past::models_then(tx, corrected).await?;
    let is_of = |model: &Model| makers.iter().any(|maker| fold(maker) == fold(&model.maker));
    let once = versions.into_iter();
    let once = once.filter(|(_, versions)| versions.iter().any(|(_, was)| is_of(was)));
    let once: Vec<ModelId> = once.map(|(id, _)| id).collect();
    Ok(tx.models_of(&once).await?.into_values().collect())
}

/// The items of a model that a notice is about, and those that it was about before it, or what is on record of the item or its
/// model, was corrected.
async fn touched(
    tx: &mut Tx,
    (notice, versions, model): (&Notice, &[Version<Notice>], &Model),
    items: Vec<Item>,
) -> Result<Vec<NoticeItem>, StoreError> {
    let ids: Vec<ItemId> = items.iter().map(|item| item.id).collect();
    let closings = tx.closings_of(&ids).await?.into_iter();
    let closings = closings.filter(|closing| closing.notice == notice.id);
    let mut closings: HashMap<ItemId, NoticeClosing> =
        closings.map(|closing| (closing.item, closing)).collect();
    let all = items.into_iter().map(|item| {
        let closing = closings.remove(&item.id);
        NoticeItem::new(notice, (item, model), closing)
    });
    let mut all: Vec<NoticeItem> = all.collect();
    let gone = all
        .iter()
        .filter(|one| one.standing == NoticeStanding::LetOut);
    let gone: Vec<&Item> = gone.map(|one| &one.item).collect();
    let past = past::of_items(tx, &gone).await?;
    for one in &mut all {
        if is_on_record(notice) && one.may_slip(notice) && past.slipped(one.item.id, versions) {
            one.standing = NoticeStanding::StillOpen;
        }
    }
    let is_touched = |one: &NoticeItem| {
        one.standing != NoticeStanding::LetOut
            || one.closing.is_some()
            || past.was_about(one.item.id, versions)
    };
    Ok(all.into_iter().filter(is_touched).collect())
}

/// Whether it is a notice of the team's, not words that somebody asked with.
fn is_on_record(notice: &Notice) -> bool {
    !notice.title.is_empty()
}

/// Where an item was used, how, and who had it or said so.
fn used(one: &Use, jobs: &HashMap<JobId, Job>, people: &HashMap<PersonId, String>) -> [Cell; 4] {
    let job = one.job.and_then(|id| jobs.get(&id));
    let job = job.map(|job| Cell::Record(To::Job(job.id), job.title.clone()));
    [
        job.unwrap_or(Cell::Nothing),
        Cell::Day(one.on),
        match one.kind.words() {
            "" => one.kind.part().into(),
            words => format!("{}: {words}", one.kind.part()).into(),
        },
        who(one, people).into(),
    ]
}

fn row((item, model): (&Item, &Model), fate: &str, seq: u64, on: [Cell; 4]) -> Row {
    let lot = item.lot.as_deref().unwrap_or("not noted");
    let item_cells = [
        Cell::Record(To::Item(item.id), item.mark.clone()),
        Cell::Record(To::Model(model.id), model.title()),
        lot.into(),
        fate.into(),
    ];
    Row {
        place: format!("{}\u{1}{}\u{1}{seq:020}", model.id, fold(&item.mark)),
        cells: item_cells.into_iter().chain(on).collect(),
    }
}

/// The marks of what these were cut from and into.
async fn marks_beside(tx: &mut Tx, items: &[&Item]) -> Result<HashMap<ItemId, String>, StoreError> {
    let ropes = items.iter().flat_map(|item| item.whole_ropes());
    let pieces = items.iter().filter_map(|item| item.cut_into.as_ref());
    let pieces = pieces.flat_map(|into| into.pieces.iter().copied());
    let mut ids: Vec<ItemId> = ropes.map(|rope| rope.item).chain(pieces).collect();
    ids.sort_unstable();
    ids.dedup();
    let found = tx.items_of(&ids).await?.into_iter();
    Ok(found.map(|(id, item)| (id, item.mark)).collect())
}
