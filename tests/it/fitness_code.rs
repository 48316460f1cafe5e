//! Each reason one by one: a fit candidate, one thing changed, and exactly that reason.

use std::collections::{BTreeMap, BTreeSet};

use ropeloft::domain::fitness::{Elsewhere, Plan};
use ropeloft::domain::{
    ItemState, JobId, LifeLimit, LookAsked, Made, Notice, NoticeDraft, NoticeId, PersonId,
    RefusalCode,
};
use time::macros::{date, datetime};

use crate::fitness_case::{
    Case, LAST_DAY, TODAY, Thing, changed_rulebook, connector, foot, full_kit, head, helmet,
    lanyard, rope,
};

/// A notice on everything that the invented maker made.
pub fn notice() -> Notice {
    let draft = NoticeDraft {
        title: "Look at the rivets".into(),
        issuer: "Fjordwerk".into(),
        issued_on: "2026-02-01".into(),
        maker: "Fjordwerk".into(),
        action: "Examine before the next use.".into(),
        ..NoticeDraft::default()
    };
    draft.check(NoticeId::new(), TODAY).unwrap()
}

/// A job that needs the item on its first day.
pub fn elsewhere() -> Elsewhere {
    Elsewhere {
        title: "Shaft 9".into(),
        starts_at: datetime!(2026-03-10 7:00 UTC),
        ends_at: datetime!(2026-03-11 7:01 UTC),
        who: "Ana Kovar".into(),
        is_out: false,
    }
}

fn changed(mut thing: Thing, change: impl FnOnce(&mut Thing)) -> Case {
    change(&mut thing);
    Case::of(thing)
}

fn by_condition() -> LifeLimit {
    LifeLimit {
        by_condition: true,
        ..LifeLimit::default()
    }
}

/// As often used as its maker allows.
fn used_up() -> Case {
    changed(foot(), |foot| {
        foot.model.use_limit.uses = Some(10);
        foot.item.usage.uses = 10;
    })
}

/// Whoever counted it back saw something.
fn to_be_looked_at() -> Case {
    changed(foot(), |foot| {
        foot.item.look_asked = Some(LookAsked {
            job: JobId::new(),
            by: PersonId::new(),
            on: date!(2026 - 02 - 20),
            note: "gate sticks".into(),
        });
    })
}

/// What speaks against an item by its own record.
fn by_record() -> Vec<(RefusalCode, Case)> {
    use RefusalCode as Code;
    let in_state = |state| changed(foot(), |foot| foot.item.state = state);
    let mut life_unknown = changed(foot(), |foot| foot.item.made = None);
    life_unknown.rulebook = changed_rulebook(&BTreeMap::from([(
        "[\"serial-or-lot\", \"made\", \"markings\"]",
        "[\"serial-or-lot\", \"markings\"]",
    )]));
    let mut noticed = Case::of(foot());
    noticed.notices.push(notice());
    let mut away = Case::of(foot());
    away.elsewhere.push(elsewhere());
    vec![
        (Code::Retired, in_state(ItemState::Retired)),
        (Code::Quarantined, in_state(ItemState::Quarantined)),
        (Code::Missing, in_state(ItemState::Missing)),
        (Code::LookAsked, to_be_looked_at()),
        (
            Code::PastLife,
            changed(foot(), |foot| {
                foot.item.made = Some(Made::Day(date!(2016 - 03 - 12)));
            }),
        ),
        (Code::UsedUp, used_up()),
        (Code::LifeUnknown, life_unknown),
        (
            Code::Overdue,
            changed(foot(), |foot| {
                foot.item.next_due_on = LAST_DAY.previous_day();
            }),
        ),
        (
            Code::NeverExamined,
            changed(foot(), |foot| foot.item.last_passed_on = None),
        ),
        (Code::Notice, noticed),
        (Code::OnAnotherJob, away),
        (
            Code::MadeUnknown,
            changed(foot(), |foot| {
                foot.item.made = None;
                foot.model.life = by_condition();
            }),
        ),
        (
            Code::SerialUnknown,
            changed(foot(), |foot| {
                (foot.item.serial, foot.item.lot) = (None, None);
            }),
        ),
        (
            Code::MarkingsUnknown,
            changed(foot(), |foot| foot.item.markings_readable = None),
        ),
        (
            Code::NotLifeSupport,
            changed(foot(), |foot| foot.model.life_support = false),
        ),
    ]
}

/// What speaks against an item by its place and the rest of the kit.
fn by_place() -> Vec<(RefusalCode, Case)> {
    use RefusalCode as Code;
    let mut twice = foot();
    twice.position = None;
    let grip = head().approved(&["EN 12278||8 mm|13 mm", "EN 567||8 mm|13 mm|low-stretch"]);
    let dynamic = rope().with(&[("rope-kind", "dynamic")]);
    vec![
        (
            Code::OnThisJob,
            Case::of(twice.clone().at("foot")).beside(vec![twice]),
        ),
        (Code::PositionFilled, Case::of(foot()).beside(vec![foot()])),
        (Code::NoSuchPosition, Case::of(foot().at("attic"))),
        (Code::NotApproved, Case::of(foot().approved(&[]))),
        (
            Code::RopeDiameter,
            Case::of(foot()).beside(vec![rope().with(&[("diameter", "14 mm")])]),
        ),
        (Code::RopeKind, Case::of(grip).beside(vec![dynamic])),
        (Code::WrongKind, Case::of(connector("C-9", "foot"))),
        (Code::LacksPart, Case::of(foot().with(&[("sheaves", "1")]))),
        (
            Code::CapturesHere,
            Case::of(foot().with(&[("capture", "yes")])),
        ),
        (Code::StrengthUnknown, Case::of(foot().rated(&[]))),
        (
            Code::StrengthBelowMinimum,
            Case::of(foot().rated(&["axle|14.9 kN|breaking"])),
        ),
        (
            Code::OutOfBounds,
            Case::of(lanyard().with(&[("length", "2.01 m")])),
        ),
        (
            Code::RatedLoad,
            Case::of(foot().approved(&["EN 12278||8 mm|13 mm||119.9 kg"])),
        ),
        (
            Code::Strands,
            Case::of(foot().approved(&["EN 12278||8 mm|13 mm|||5"])),
        ),
        (Code::DoesNotGoRound, crate::girth::too_short()),
        (
            Code::RopeTooShort,
            Case::of(rope().with(&[("length", "69.9 m")])),
        ),
    ]
}

#[test]
fn each_reason_stands_alone() {
    for (code, case) in by_record().into_iter().chain(by_place()) {
        case.refused(&[code]);
    }
}

#[test]
fn every_reason_has_a_case() {
    let all: BTreeSet<RefusalCode> = RefusalCode::ALL.iter().copied().collect();
    let produced: BTreeSet<RefusalCode> = by_record()
        .into_iter()
        .chain(by_place())
        .flat_map(|(_, case)| case.codes())
        .collect();
    assert_eq!(produced, all);
}

#[test]
fn a_full_kit_is_fit_part_by_part() {
    let kit = full_kit();
    for at in 0..kit.len() {
        let mut others = kit.clone();
        let candidate = others.remove(at);
        Case::of(candidate).beside(others).is_fit();
    }
    Case::of(helmet()).beside(kit).is_fit();
}

#[test]
fn all_reasons_are_told_at_once() {
    use RefusalCode as Code;
    let mut worst = foot()
        .with(&[("sheaves", "1")])
        .rated(&["axle|10 kN|breaking"]);
    worst.item.state = ItemState::Quarantined;
    worst.item.made = Some(Made::Year(2010));
    worst.item.last_passed_on = None;
    worst.item.serial = Some("  ".into());
    worst.item.lot = None;
    worst.item.markings_readable = Some(false);
    worst.model.life_support = false;
    let mut case = Case::of(worst).beside(vec![foot(), rope().with(&[("diameter", "14 mm")])]);
    case.notices.push(notice());
    case.elsewhere.push(elsewhere());
    case.refused(&[
        Code::Quarantined,
        Code::PastLife,
        Code::NeverExamined,
        Code::SerialUnknown,
        Code::MarkingsUnknown,
        Code::Notice,
        Code::NotLifeSupport,
        Code::OnAnotherJob,
        Code::PositionFilled,
        Code::LacksPart,
        Code::RopeDiameter,
        Code::StrengthBelowMinimum,
    ]);
}

#[test]
fn two_notices_and_two_jobs_are_two_reasons_each() {
    use RefusalCode as Code;
    let mut case = Case::of(foot());
    case.notices = vec![notice(), notice()];
    case.elsewhere = vec![elsewhere(), elsewhere()];
    case.refused(&[
        Code::Notice,
        Code::Notice,
        Code::OnAnotherJob,
        Code::OnAnotherJob,
    ]);
}

#[test]
fn a_plan_names_an_unknown_rulebook_and_an_unknown_rig_at_once() {
    let job = crate::fitness_case::job(|draft| {
        draft.rulebook = "house".into();
        draft.rig = "winch".into();
    });
    let wrong = Plan::of(&job).unwrap_err();
    let fields: Vec<&str> = wrong.0.iter().map(|error| error.field.as_str()).collect();
    assert_eq!(fields, ["rulebook", "rig"]);
    assert!(wrong.to_string().contains("\"house\"") && wrong.to_string().contains("\"winch\""));
}
