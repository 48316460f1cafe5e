//! Papers: the record of an item, the report of an examination, the list of what falls due.

use time::{Date, OffsetDateTime};

use super::{DeedError, Desk, checklist, guest, history, notice, permit, rulebook, spoken};
use crate::{
    domain::{
        Actor, Attachment, AttachmentKind, Change, Deed, Entry, Examination, ExaminationId, Item,
        ItemId, Model, Names, PaperSize, SpanDraft, Team, Told, Zone, fitness::due_on,
        question::OF_TEAM, rulebook::Rulebook,
    },
    export::paper::{
        PaperError,
        due::{DueItem, due_list, lacks},
        examination::{OnPaper, Reported, examination_report},
        photo::{Print, fitting},
        record::{Happened, Imprint, ItemFile, equipment_record},
    },
    store::{Direction, EntryFilter, ItemFilter, ItemSort, Tx},
};

/// How many items are read at once.
const PAGE: u32 = 500;
/// The most examinations or events on one record.
const MOST_LOOKS: u32 = 1000;

impl From<PaperError> for DeedError {
    fn from(error: PaperError) -> Self {
        Self::Internal(error.into())
    }
}

pub(super) async fn this_team(tx: &mut Tx) -> Result<Team, DeedError> {
    let team = tx.this_team().await?.ok_or(DeedError::NotFound("team"))?;
    Ok(team.0)
}

/// Whose paper it is, and who takes it along, where that is nobody of the team.
#[derive(Debug)]
pub(super) struct Stamp {
    team: Team,
    by: Option<String>,
}

pub(super) async fn stamp(tx: &mut Tx, actor: &Actor) -> Result<Stamp, DeedError> {
    Ok(Stamp {
        by: guest::exporter(tx, actor).await?,
        team: this_team(tx).await?,
    })
}

/// Lays out a file where it holds up nobody's request.
pub(super) async fn laid_out<T: Send + 'static>(
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, DeedError> {
    let done = tokio::task::spawn_blocking(work).await;
    done.map_err(|error| DeedError::Internal(error.into()))
}

async fn file_of(tx: &mut Tx, id: ItemId) -> Result<ItemFile, DeedError> {
    let item = tx.item(id).await?.ok_or(DeedError::NotFound("item"))?;
    let model = tx.model(item.model).await?;
    let store = tx.store(item.store).await?;
    let examinations = tx.examinations(id, Date::MAX, MOST_LOOKS).await?;
    let model = model.ok_or(DeedError::NotFound("model"))?;
    Ok(ItemFile {
        notices: notice::open_for(tx, &item, &model).await?,
        model,
        store: store.map(|store| store.name),
        tags: tx.tags(id).await?,
        lists: checklist::of_all(tx, &examinations).await?,
        examinations,
        events: tx.events(id, MOST_LOOKS).await?,
        happened: happened(tx, &item).await?,
        attachments: tx.attachments_in_line(&item, MOST_LOOKS).await?,
        prints: Vec::new(),
        item,
    })
}

/// The kinds of entries that tell what happened to an item, beside its examinations.
const HAPPENED: &[&str] = &[
    "event-reported",
    "item-stepped",
    "item-revised",
    "model-revised",
    "model-kind-changed",
    "return-asked",
    "notice-opened",
    "notice-corrected",
    "notice-withdrawn",
    "notice-closed",
];

/// What happened to an item, the last first: events, steps between states, and the notices about it with their results.
async fn happened(tx: &mut Tx, item: &Item) -> Result<Vec<Happened>, DeedError> {
    let filter = EntryFilter {
        kinds: HAPPENED,
        whole_ropes: Vec::new(),
        ..history::of_item(tx, item).await?
    };
    let span = tx.entry_span(&filter).await?;
    let kept = tx
        .entries(&filter, span, Direction::Down, MOST_LOOKS)
        .await?;
    let (names, zone) = (spoken::names(tx, &kept).await?, tx.zone().await?);
    let mut all: Vec<Happened> = kept
        .iter()
        .map(|kept| of_entry(&kept.entry, &names, &zone))
        .collect();
    // What was reported late stands on its day.
    all.sort_by_key(|one| std::cmp::Reverse(one.on));
    Ok(all)
}

fn of_entry(entry: &Entry<Change>, names: &Names, zone: &Zone) -> Happened {
    let told = Told::of_entry(entry, names);
    Happened {
        on: match &entry.change {
            // The day on which a notice was issued is in its own line: it came to the item when it was opened.
            Change::NoticeOpened(_) => entry.recorded_on(zone),
            _ => entry.done_on(zone),
        },
        what: match &entry.change {
            Change::EventReported(event) => format!("it {}", event.kind.word()),
            _ => told.words,
        },
        by: names.of(entry.actor.0),
        note: told.why,
    }
}

/// Reads the photos that go on a paper, as large as its size allows. One that cannot be read holds up no paper: the paper
/// says so.
async fn prints(desk: &Desk, actor: &Actor, shown: &[&Attachment]) -> Vec<Print> {
    let photos = shown.iter().filter(|one| one.kind == AttachmentKind::Photo);
    let photos: Vec<&&Attachment> = photos.collect();
    let files = photos.iter();
    let files: Vec<_> = files
        .map(|one| (&one.file, one.thumbnail.as_ref()))
        .collect();
    let mut prints = Vec::new();
    for (one, file) in photos.iter().zip(fitting(&files)) {
        let read = desk.files.read(actor.team, &file.sha256).await;
        if let Err(error) = &read {
            tracing::warn!(%error, "a photo is missing on a paper");
        }
        prints.push(Print {
            of: one.id,
            jpeg: read.ok().map(|bytes| bytes.to_vec()),
        });
    }
    prints
}

/// The equipment record of an item, as a PDF.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has no such item.
pub async fn item_record(
    desk: &Desk,
    actor: &Actor,
    item: ItemId,
    paper: PaperSize,
) -> Result<Vec<u8>, DeedError> {
    permit(actor, Deed::Export)?;
    let mut tx = desk.database.read(actor.team).await?;
    let mut file = file_of(&mut tx, item).await?;
    let stamp = stamp(&mut tx, actor).await?;
    let rulebook = rulebook::home(&mut tx).await?;
    drop(tx);
    file.prints = prints(desk, actor, &file.attachments.iter().collect::<Vec<_>>()).await;
    let at = desk.clock.now();
    let done = laid_out(move || {
        let imprint = imprint(&stamp, at, paper);
        equipment_record(&imprint, &file, &rulebook)
    });
    Ok(done.await??)
}

pub(super) fn imprint(stamp: &Stamp, at: OffsetDateTime, paper: PaperSize) -> Imprint<'_> {
    Imprint {
        team: &stamp.team.name,
        zone: &stamp.team.time_zone,
        by: stamp.by.as_deref(),
        at,
        paper,
    }
}

/// The record of the team as it stood on the day of an examination, and as it stood when that was recorded, which may be
/// long after.
async fn teams_of(tx: &mut Tx, examination: &Examination) -> Result<[Option<Team>; 2], DeedError> {
    let recorded = tx
        .last_of_kind(examination.id.0, "examination-recorded")
        .await?;
    let Some(recorded) = recorded.map(|sealed| sealed.seq) else {
        return Ok([None, None]);
    };
    let (mut on_its_day, mut when_recorded) = (None, None);
    for kept in tx.entries_about(&[tx.team().0], OF_TEAM).await? {
        let (Change::TeamFounded(team) | Change::TeamRevised(team)) = kept.entry.change else {
            continue;
        };
        if kept.entry.seq > recorded {
            break;
        }
        if tx.day(kept.entry.recorded_at).await? <= examination.on {
            on_its_day = Some(team.clone());
        }
        when_recorded = Some(team);
    }
    Ok([on_its_day, when_recorded])
}

/// The report of an examination of an item, as a PDF.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has no such examination.
pub async fn report(
    desk: &Desk,
    actor: &Actor,
    id: ExaminationId,
    paper: PaperSize,
) -> Result<Vec<u8>, DeedError> {
    permit(actor, Deed::Export)?;
    let mut tx = desk.database.read(actor.team).await?;
    let examination = tx.examination(id).await?;
    let examination = examination.ok_or(DeedError::NotFound("examination"))?;
    let mut file = file_of(&mut tx, examination.item).await?;
    let recorder = tx.person(examination.recorded_by).await?;
    let qualification = match examination.qualification {
        Some(id) => tx.qualification(id).await?,
        None => None,
    };
    let list = match examination.checklist {
        Some(edition) => Some(checklist::of_edition(&mut tx, edition).await?),
        None => None,
    };
    let stamp = stamp(&mut tx, actor).await?;
    // Whoever was the employer on that day it was made for.
    let then = teams_of(&mut tx, &examination).await?;
    let address = |of: fn(&Team) -> &str| {
        let mut then = then.iter().flatten().map(of);
        let then = then.find(|text| !text.is_empty());
        OnPaper::of(then.unwrap_or_default(), of(&stamp.team))
    };
    let reported = Reported {
        examination,
        recorder: recorder.map_or_else(String::new, |person| person.name),
        qualification,
        list,
        employer: address(|team| &team.employer),
        premises: address(|team| &team.premises),
    };
    let rulebook = rulebook::home(&mut tx).await?;
    drop(tx);
    let evidence = file.attachments.iter();
    let evidence: Vec<_> = evidence.filter(|one| one.to.id() == id.0).collect();
    file.prints = prints(desk, actor, &evidence).await;
    let at = desk.clock.now();
    let done = laid_out(move || {
        let imprint = imprint(&stamp, at, paper);
        examination_report(&imprint, &file, &reported, &rulebook)
    });
    Ok(done.await??)
}

/// What falls due in a span of days, read for a paper.
#[derive(Debug)]
pub struct FallingDue {
    stamp: Stamp,
    span: (Date, Date),
    items: Vec<DueItem>,
    at: OffsetDateTime,
}

impl FallingDue {
    /// What the PDF has no letters for.
    pub fn lacking(&self) -> Option<String> {
        lacks(&self.stamp.team.name, &self.items)
    }

    /// The list as a PDF.
    ///
    /// # Errors
    /// [`DeedError::Internal`] if it cannot be laid out.
    pub async fn file(self, paper: PaperSize) -> Result<Vec<u8>, DeedError> {
        let done = laid_out(move || {
            due_list(
                &imprint(&self.stamp, self.at, paper),
                self.span,
                &self.items,
            )
        });
        Ok(done.await??)
    }
}

/// What falls due in a span of days, was due before it, or never passed an examination.
///
/// # Errors
/// [`DeedError::Invalid`] with every field that does not hold.
pub async fn due(desk: &Desk, actor: &Actor, draft: &SpanDraft) -> Result<FallingDue, DeedError> {
    permit(actor, Deed::Export)?;
    let mut tx = desk.database.read(actor.team).await?;
    let at = desk.clock.now();
    let span = draft.check(tx.day(at).await?)?;
    let stamp = stamp(&mut tx, actor).await?;
    let stores = tx.stores().await?;
    let mut items = Vec::new();
    each_item(&mut tx, |item, model, rulebook| {
        let due = due_on(item, model, rulebook);
        if due.as_ref().is_none_or(|(day, _)| *day <= span.1) {
            let store = stores.iter().find(|store| store.id == item.store);
            items.push(DueItem {
                mark: item.mark.clone(),
                model: model.title(),
                serial: item.serial.clone(),
                store: store.map(|store| store.name.clone()),
                state: item.state.word(),
                due: due.map(|(day, rule)| (day, rule.to_string())),
            });
        }
    })
    .await?;
    items.sort_by(|one, other| {
        let order = |item: &DueItem| item.due.as_ref().map(|(day, _)| *day);
        (order(one), &one.mark).cmp(&(order(other), &other.mark))
    });
    Ok(FallingDue {
        stamp,
        span,
        items,
        at,
    })
}

/// Looks at each item that is not retired, with its model and the team's rulebook. Every item is looked at: which day
/// binds depends on the rules of today, not on a column.
pub(super) async fn each_item(
    tx: &mut Tx,
    mut look: impl FnMut(&Item, &Model, &Rulebook),
) -> Result<(), DeedError> {
    let rulebook = rulebook::home(tx).await?;
    let filter = ItemFilter {
        without_retired: true,
        ..ItemFilter::default()
    };
    let mut after = None;
    loop {
        let order = (ItemSort::Mark, Direction::Up);
        let page = tx.items(&filter, order, after.as_ref(), PAGE).await?;
        let mut models: Vec<_> = page.rows.iter().map(|item| item.model).collect();
        models.sort_unstable();
        models.dedup();
        let models = tx.models_of(&models).await?;
        for item in &page.rows {
            if let Some(model) = models.get(&item.model) {
                look(item, model, &rulebook);
            }
        }
        match page.next {
            Some(next) => after = Some(next),
            None => return Ok(()),
        }
    }
}
