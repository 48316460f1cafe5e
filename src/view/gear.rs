//! Records to test pages with, their typed text replaced by the probe.

use time::{
    Date,
    macros::{date, datetime},
};
use uuid::Uuid;

use super::PROBE;
use crate::domain::{
    Answer, Danger, Event, EventDraft, EventId, Examination, ExaminationId, ExaminationKind,
    Finding, FirstThere, ForReport, Item, ItemDraft, ItemId, Job, JobDraft, JobId, LetGo, Model,
    ModelDraft, ModelId, Notice, NoticeClosing, NoticeDraft, NoticeId, NoticeItem, NoticeStanding,
    Person, PersonId, Role, Store, StoreDraft, StoreId, Usage, UsageDraft, UsageId, Verdict, Zone,
    rulebook::{Rulebook, shipped},
};

/// The day on which the samples are looked at.
pub(super) const TODAY: Date = date!(2026 - 03 - 01);

/// The rulebook of the samples.
pub(super) fn rulebook() -> &'static Rulebook {
    shipped().first().expect("rulebooks come with the program")
}

fn id(last: u128) -> Uuid {
    Uuid::from_u128(0x0190_0000_0000_7000_8000_0000_0000_0000 + last)
}

/// A rope with one of everything.
pub(super) fn model() -> Model {
    let typed = |text: &str| text.to_owned();
    let draft = ModelDraft {
        kind: typed("rope"),
        maker: typed(PROBE),
        name: typed(PROBE),
        life_support: typed("yes"),
        approvals: vec![crate::domain::ApprovalDraft {
            standard: typed(PROBE),
            class: typed(PROBE),
            rope_least: typed("9 mm"),
            rope_most: typed("0.5 in"),
            rope_kinds: typed("low-stretch"),
            rated_load: typed("200 kg"),
            least_strands: typed("2"),
            ..Default::default()
        }],
        ratings: vec![crate::domain::RatingDraft {
            mode: typed("straight"),
            value: typed("7000 lbf"),
            kind: crate::rigging::StrengthKind::Breaking.key().to_owned(),
            source: typed("paper"),
            ..crate::domain::RatingDraft::default()
        }],
        attributes: [("diameter", "11 mm"), ("fibre", "polyamide")]
            .map(|(key, text)| (key.to_owned(), text.to_owned()))
            .into(),
        limits: vec![crate::domain::LimitDraft {
            criterion: typed("diameter"),
            least: typed("10.2 mm"),
            most: typed("11.4 mm"),
            source: typed(PROBE),
        }],
        life_years_from_made: typed("10"),
        examine_every_months: typed("6"),
        price: typed("129.90 EUR"),
        instructions: typed(PROBE),
        note: typed(PROBE),
        ..Default::default()
    };
    draft
        .check(ModelId(id(1)), 2)
        .expect("the sample's fields hold")
}

/// A store.
pub(super) fn store() -> Store {
    let draft = StoreDraft {
        name: PROBE.to_owned(),
        note: PROBE.to_owned(),
    };
    draft
        .check(StoreId(id(2)), 1)
        .expect("the sample's fields hold")
}

/// An item of [`model`] in [`store`].
pub(super) fn item() -> Item {
    let typed = |text: &str| text.to_owned();
    let draft = ItemDraft {
        mark: typed(PROBE),
        serial: typed(PROBE),
        lot: typed(PROBE),
        made: typed("2019"),
        bought_on: typed("2019-05-01"),
        attributes: [("length".to_owned(), "60 m".to_owned())].into(),
        note: typed(PROBE),
        ..Default::default()
    };
    let details = draft
        .check(Some(&model()), Some(StoreId(id(2))), TODAY)
        .expect("the sample's fields hold");
    let mut item = details.into_item(ItemId(id(3)), datetime!(2026-02-20 14:05 UTC));
    PROBE.clone_into(&mut item.state_reason);
    item.next_due_on = Some(date!(2026 - 02 - 20));
    item.last_passed_on = Some(date!(2025 - 08 - 20));
    item
}

/// An examination of [`item`].
pub(super) fn examination() -> Examination {
    Examination {
        id: ExaminationId(id(4)),
        item: ItemId(id(3)),
        kind: ExaminationKind::Periodic,
        on: date!(2025 - 08 - 20),
        recorded_by: PersonId(id(5)),
        examiner: PROBE.to_owned(),
        place: PROBE.to_owned(),
        findings: PROBE.to_owned(),
        verdict: Verdict::Fit,
        next_due_on: Some(date!(2026 - 02 - 20)),
        markings_readable: Some(true),
        qualification: None,
        return_waits: false,
        outdone_by: None,
        checklist: None,
        answers: Vec::new(),
        length_now: None,
        report: ForReport {
            first: Some(FirstThere::YesSafe),
            repair: PROBE.to_owned(),
            danger: Some(Danger::By(date!(2026 - 02 - 20))),
            tests: PROBE.to_owned(),
        },
    }
}

/// The same, done by a list, with something to watch.
pub(super) fn examination_by_list() -> Examination {
    let list = crate::domain::Checklist::newest(model().kind, None);
    let answer = |key: &str, outcome| Answer {
        criterion: key.to_owned(),
        outcome,
        note: PROBE.to_owned(),
        values: Vec::new(),
        limit: None,
        confirmed: false,
    };
    Examination {
        checklist: Some(list.edition),
        answers: vec![
            answer(&list.criteria[0].key, Finding::Pass),
            answer(&list.criteria[1].key, Finding::Watch),
        ],
        ..examination()
    }
}

/// Something that happened to [`item`].
pub(super) fn event() -> Event {
    let draft = EventDraft {
        kind: "drop".to_owned(),
        on: "2026-01-10".to_owned(),
        note: PROBE.to_owned(),
    };
    draft
        .check(EventId(id(6)), ItemId(id(3)), PersonId(id(5)), TODAY)
        .expect("the sample's fields hold")
}

/// A notice that covers [`item`].
pub(super) fn notice() -> Notice {
    let typed = |text: &str| text.to_owned();
    let draft = NoticeDraft {
        title: typed(PROBE),
        issuer: typed(PROBE),
        issued_on: typed("2026-02-01"),
        maker: typed(PROBE),
        model_name: typed(PROBE),
        made_from: typed("2018-01-01"),
        made_until: typed("2020-12-31"),
        action: typed(PROBE),
        ..Default::default()
    };
    draft
        .check(NoticeId(id(7)), TODAY)
        .expect("the sample's fields hold")
}

/// [`item`] under [`notice`], with a result of before it was let out.
pub(super) fn covered() -> NoticeItem {
    let (notice, item) = (notice(), item());
    NoticeItem {
        closing: Some(NoticeClosing {
            notice: notice.id,
            item: item.id,
            result: PROBE.to_owned(),
        }),
        standing: NoticeStanding::LetOut,
        item,
    }
}

/// That [`notice`] covers [`item`] no more.
pub(super) fn let_go() -> LetGo {
    LetGo {
        title: PROBE.to_owned(),
        at: TODAY.midnight().assume_utc(),
        withdrawn: true,
        reason: PROBE.to_owned(),
    }
}

/// Use of [`item`].
pub(super) fn usage() -> Usage {
    let draft = UsageDraft {
        hours: "2:30".to_owned(),
        falls: "1".to_owned(),
        note: PROBE.to_owned(),
        ..Default::default()
    };
    draft
        .check(
            UsageId(id(8)),
            ItemId(id(3)),
            (PersonId(id(5)), None),
            TODAY,
        )
        .expect("the sample's fields hold")
}

/// A planned job.
pub(super) fn job() -> Job {
    let typed = |text: &str| text.to_owned();
    let draft = JobDraft {
        title: typed(PROBE),
        place: typed(PROBE),
        starts_at: typed("2026-03-02T08:00:00Z"),
        ends_at: typed("2026-03-02T16:00:00Z"),
        depth: typed("15 m"),
        load: typed("1 person"),
        rulebook: typed("european"),
        rig: typed("4-1"),
        ..Default::default()
    };
    draft
        .check(JobId(id(9)), 1, &Zone::UTC)
        .expect("the sample's fields hold")
}

/// Somebody of the team.
pub(super) fn person() -> Person {
    Person {
        id: PersonId(id(8)),
        name: PROBE.to_owned(),
        sign_in: "sample".to_owned(),
        role: Role::Crew,
        active: true,
    }
}
