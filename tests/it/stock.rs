//! Gear, places and jobs to tell stories with.

use ropeloft::domain::{
    AttachedTo, Attachment, AttachmentDraft, AttachmentEnd, AttachmentId, AttachmentKind,
    AttachmentWithdrawal, Change, CutId, Event, EventDraft, EventId, Examination, ExaminationId,
    ExaminationKind, FileHash, ForReport, Item, ItemDraft, ItemId, Job, JobDraft, JobId, KeptFile,
    Kind, KitLine, KitLineId, MediaType, Model, ModelDraft, ModelId, Notice, NoticeDraft, NoticeId,
    Piece, Received, RopeCut, RulebookId, Store, StoreId, Usage, UsageDraft, UsageId, Verdict,
    Zone,
    entered::{EnteredLength, LengthUnit},
    rulebook::{RulebookDraft, TeamRulebook},
};
use time::{Date, Duration};

use crate::world::{START, World};

/// A model of this kind by a maker who does not exist.
pub fn model(kind: Kind, maker: &str, name: &str) -> Model {
    let draft = ModelDraft {
        kind: kind.key().into(),
        maker: maker.into(),
        name: name.into(),
        life_support: "yes".into(),
        ..ModelDraft::default()
    };
    draft.check(ModelId::new(), 1).unwrap()
}

/// A place where items live.
pub fn store(name: &str) -> Store {
    Store {
        id: StoreId::new(),
        revision: 1,
        name: name.into(),
        note: String::new(),
    }
}

/// An item, added when every test begins.
pub fn item(mark: &str, model: &Model, store: &Store) -> Item {
    let draft = ItemDraft {
        mark: mark.into(),
        serial: format!("S/{mark}-9"),
        ..ItemDraft::default()
    };
    let details = draft.check(Some(model), Some(store.id), START.date());
    details.unwrap().into_item(ItemId::new(), START)
}

/// A thorough examination, fit and due in a year.
pub fn examination(world: &World, item: &Item, on: Date) -> Examination {
    Examination {
        id: ExaminationId::new(),
        item: item.id,
        kind: ExaminationKind::Intake,
        on,
        recorded_by: world.officer.person,
        examiner: "The officer".into(),
        place: String::new(),
        findings: String::new(),
        verdict: Verdict::Fit,
        next_due_on: Some(on + Duration::days(365)),
        markings_readable: None,
        qualification: None,
        return_waits: false,
        outdone_by: None,
        checklist: None,
        answers: Vec::new(),
        length_now: None,
        report: ForReport::default(),
    }
}

/// A drop.
pub fn event(world: &World, item: &Item, on: Date) -> Event {
    let draft = EventDraft {
        kind: "drop".into(),
        on: on.to_string(),
        note: "fell off the truck".into(),
    };
    draft
        .check(EventId::new(), item.id, world.crew.person, START.date())
        .unwrap()
}

/// Two hours and a half in one use.
pub fn usage(world: &World, item: &Item, on: Date) -> Usage {
    let draft = UsageDraft {
        on: on.to_string(),
        hours: "2:30".into(),
        uses: "1".into(),
        ..UsageDraft::default()
    };
    let who = (world.crew.person, None);
    draft
        .check(UsageId::new(), item.id, who, START.date())
        .unwrap()
}

/// A document on an item, or on a model.
pub fn attachment(world: &World, item: Option<ItemId>, model: ModelId, number: u32) -> Attachment {
    let file = KeptFile {
        sha256: FileHash::of(&number.to_le_bytes()),
        media_type: MediaType::Pdf,
        bytes: 4,
        pixels: None,
    };
    let received = Received {
        kind: AttachmentKind::Document,
        file,
        thumbnail: None,
    };
    let draft = AttachmentDraft {
        caption: format!("paper {number}"),
        name: "paper.pdf".into(),
    };
    let to = item.map_or(AttachedTo::Model { model }, |item| AttachedTo::Item {
        item,
    });
    let who = (world.officer.person, START.date());
    draft.check(AttachmentId::new(), to, who, received).unwrap()
}

/// That it was withdrawn.
pub fn withdrawal(world: &World, one: &Attachment) -> AttachmentWithdrawal {
    AttachmentWithdrawal {
        attachment: one.id,
        to: one.to,
        kind: one.kind,
        sha256: one.file.sha256.clone(),
        end: AttachmentEnd {
            on: one.on,
            by: world.crew.person,
            reason: "as the wind blows".into(),
        },
    }
}

/// A rope of 60 m cut into pieces of 20 m.
pub fn cut(rope: &Item, pieces: &[Item]) -> RopeCut {
    let metres = |number| EnteredLength::new(number, LengthUnit::Metre).unwrap();
    let pieces = pieces.iter();
    let pieces = pieces.map(|piece| Piece {
        id: piece.id,
        mark: piece.mark.clone(),
        length: metres(20.0),
        serial: None,
    });
    RopeCut {
        id: CutId::new(),
        rope: rope.id,
        on: START.date(),
        length: metres(60.0),
        waste: None,
        reason: String::new(),
        marked: true,
        pieces: pieces.collect(),
    }
}

/// A job of two hours that begins so many hours after the test.
pub fn job(title: &str, hours: i64) -> Job {
    let from = START + Duration::hours(hours);
    let draft = JobDraft {
        title: title.into(),
        place: "Old shaft".into(),
        starts_at: ropeloft::domain::write_moment(from, &Zone::UTC),
        ends_at: ropeloft::domain::write_moment(from + Duration::hours(2), &Zone::UTC),
        depth: "15 m".into(),
        load: "1 person".into(),
        rulebook: "european".into(),
        rig: "4-1".into(),
        ..JobDraft::default()
    };
    draft.check(JobId::new(), 1, &Zone::UTC).unwrap()
}

/// A job with a rig that there is, as its pages need it.
pub fn rigged(title: &str, hours: i64) -> Job {
    Job {
        rig: "four-to-one-pull-down".into(),
        ..job(title, hours)
    }
}

/// An item on a job, in a position or as a spare.
pub fn line(job: &Job, item: &Item, position: Option<&str>) -> KitLine {
    KitLine {
        id: KitLineId::new(),
        job: job.id,
        item: item.id,
        position: position.map(str::to_owned),
    }
}

/// A notice about all gear of a maker.
pub fn notice(maker: &str, on: Date) -> Notice {
    let draft = NoticeDraft {
        title: "Look at the rivets".into(),
        issuer: maker.into(),
        issued_on: on.to_string(),
        maker: maker.into(),
        action: "Examine before the next use.".into(),
        ..NoticeDraft::default()
    };
    draft.check(NoticeId::new(), START.date()).unwrap()
}

/// What most stories need: a model, a place, and two items of the one in the other.
pub struct Stock {
    pub model: Model,
    pub store: Store,
    pub first: Item,
    pub second: Item,
}

impl World {
    /// Records a [`Stock`].
    pub async fn stock(&self) -> Stock {
        let model = model(Kind::Pulley, "Fjordwerk", "Twin 60");
        let store = store("Van");
        let (first, second) = (item("P-1", &model, &store), item("P-2", &model, &store));
        self.record(Change::ModelAdded(model.clone())).await;
        self.record(Change::StoreAdded(store.clone())).await;
        self.record(Change::ItemAdded(first.clone())).await;
        self.record(Change::ItemAdded(second.clone())).await;
        Stock {
            model,
            store,
            first,
            second,
        }
    }
}

/// A rulebook of a team's own that is the European one under another key.
pub fn rulebook(key: &str) -> TeamRulebook {
    let draft = RulebookDraft {
        key: key.into(),
        title: format!("Rules {key}"),
        based_on: "european".into(),
        ..RulebookDraft::default()
    };
    TeamRulebook {
        id: RulebookId::new(),
        revision: 1,
        book: draft.check(None).unwrap(),
    }
}
