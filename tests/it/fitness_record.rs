//! Days, notices, other jobs and identity: on the limit and just beyond it.

use ropeloft::domain::fitness::{Due, due, due_on, interval_months};
use ropeloft::domain::rulebook::{Rulebook, rulebook};
use ropeloft::domain::{
    EventHold, ItemId, ItemState, Kind, Known, LifeLimit, Made, NoticeClosing, RefusalCode,
};
use time::macros::{date, datetime};
use time::{Date, Duration};

use crate::fitness_case::{Case, LAST_DAY, TODAY, Thing, foot, full_kit, helmet};
use crate::fitness_code::{elsewhere, notice};

fn made_on(made: Made) -> Case {
    let mut foot = foot();
    foot.item.made = Some(made);
    Case::of(foot)
}

fn due_by(day: Date) -> Case {
    let mut foot = foot();
    foot.item.next_due_on = Some(day);
    Case::of(foot)
}

#[test]
fn a_life_that_ends_on_the_last_day_is_over_and_one_that_ends_the_day_after_is_not() {
    made_on(Made::Day(date!(2016 - 03 - 12))).refused(&[RefusalCode::PastLife]);
    made_on(Made::Day(date!(2016 - 03 - 13))).is_fit();
}

#[test]
fn a_life_known_by_its_year_ends_at_the_cautious_end() {
    made_on(Made::Year(2016)).refused(&[RefusalCode::PastLife]);
    made_on(Made::Year(2017)).is_fit();
}

#[test]
fn an_examination_is_in_date_on_its_due_day() {
    due_by(LAST_DAY).is_fit();
    due_by(LAST_DAY.previous_day().unwrap()).refused(&[RefusalCode::Overdue]);
}

#[test]
fn a_job_that_is_over_is_judged_by_today() {
    let mut case = due_by(LAST_DAY);
    case.today = LAST_DAY;
    case.is_fit();
    case.today = LAST_DAY.next_day().unwrap();
    case.refused(&[RefusalCode::Overdue]);
}

#[test]
fn no_plans_choice_of_a_rulebook_makes_days_longer_than_the_teams_own() {
    // LOLER 1998, regulation 9(3)(a)(i): 6 months for gear that lifts people; EN 365 asks for 12.
    let passed = |day, home: Option<&str>| {
        let mut foot = foot();
        foot.item.last_passed_on = Some(day);
        foot.item.next_due_on = Some(date!(2027 - 01 - 01));
        let mut case = Case::of(foot);
        case.home = home.map(|key| rulebook(key).unwrap().clone());
        case
    };
    passed(date!(2025 - 09 - 11), None).is_fit();
    let refusals =
        passed(date!(2025 - 09 - 11), Some("uk-lifting")).refused(&[RefusalCode::Overdue]);
    assert!(refusals[0].rule.source.contains("LOLER"), "{refusals:?}");
    assert!(
        refusals[0]
            .rule
            .source
            .contains("rulebook that the team works by")
    );
    passed(date!(2025 - 09 - 12), Some("uk-lifting")).is_fit();
    // The other way round the job's own rule binds, and is named as such.
    let mut case = passed(date!(2025 - 09 - 11), Some("european"));
    case.rulebook = rulebook("uk-lifting").unwrap().clone();
    let refusals = case.refused(&[RefusalCode::Overdue]);
    assert!(
        !refusals[0].rule.source.contains("team works by"),
        "{refusals:?}"
    );
}

#[test]
fn the_teams_own_end_of_a_life_binds_under_any_rulebook() {
    let mut home = include_str!("../../src/domain/rulebook/european.toml").to_owned();
    home.push_str("\n[[life]]\nof = \"pulleys\"\nkinds = [\"pulley\"]\nbinds = \"always\"\ncounts_from = \"made\"\nyears = 5\n");
    home.push_str("from = { source = \"team paper 7\", known = \"setting\" }\n");
    let made = |day| {
        let mut case = made_on(Made::Day(day));
        case.home = Some(Rulebook::parse(&home).unwrap());
        case
    };
    let refusals = made(date!(2021 - 03 - 12)).refused(&[RefusalCode::PastLife]);
    assert!(
        refusals[0].rule.source.contains("team paper 7"),
        "{refusals:?}"
    );
    made(date!(2021 - 03 - 13)).is_fit();
    // Where the team's life counts from a day that nobody knows, nobody knows the end.
    let mut unknown = made(date!(2021 - 03 - 13));
    unknown.candidate.model.life = LifeLimit {
        by_condition: true,
        ..LifeLimit::default()
    };
    unknown.candidate.item.made = None;
    assert!(unknown.codes().contains(&RefusalCode::LifeUnknown));
    unknown.home = None;
    assert!(!unknown.codes().contains(&RefusalCode::LifeUnknown));
}

#[test]
fn what_something_happened_to_is_said_to_wait_for_an_after_event_examination() {
    let held = |hold| {
        let mut foot = foot();
        foot.item.state = ItemState::Quarantined;
        foot.item.event_hold = hold;
        let found = Case::of(foot).refusals();
        assert_eq!(found[0].code, RefusalCode::Quarantined);
        found[0].sentence.contains("an after-event examination")
    };
    let since = date!(2026 - 03 - 01);
    let hold = |examined| Some(EventHold { since, examined });
    assert!(held(hold(false)) && !held(hold(true)) && !held(None));
}

#[test]
fn the_shorter_of_two_intervals_holds_whatever_the_last_examination_wrote() {
    // EN 365:2004, clause 4.4, read in a page that reports it: 12 months. Passed on 2025-03-11 and 12.
    let passed = |day, every| {
        let mut foot = foot();
        foot.item.last_passed_on = Some(day);
        foot.item.next_due_on = Some(date!(2027 - 01 - 01));
        foot.model.examine_every_months = every;
        Case::of(foot)
    };
    let refusals = passed(date!(2025 - 03 - 11), None).refused(&[RefusalCode::Overdue]);
    assert!(refusals[0].rule.source.contains("EN 365"));
    passed(date!(2025 - 03 - 12), None).is_fit();
    passed(date!(2025 - 03 - 12), Some(24)).is_fit();
    let refusals = passed(date!(2025 - 09 - 11), Some(6)).refused(&[RefusalCode::Overdue]);
    assert!(refusals[0].rule.source.contains("maker"));
    passed(date!(2025 - 09 - 12), Some(6)).is_fit();
}

#[test]
fn an_item_with_no_due_day_is_judged_by_the_interval() {
    let mut foot = foot();
    foot.item.next_due_on = None;
    foot.item.last_passed_on = Some(date!(2025 - 03 - 12));
    Case::of(foot).is_fit();
}

#[test]
fn the_interval_is_the_shorter_one_and_says_whose_it_is() {
    let book = rulebook("european").unwrap();
    let mut model = foot().model;
    for (every, months, known) in [
        (None, 12, Known::ReadSecondary),
        (Some(6), 6, Known::Setting),
        (Some(12), 12, Known::ReadSecondary),
        (Some(24), 12, Known::ReadSecondary),
    ] {
        model.examine_every_months = every;
        let (found, rule) = interval_months(&model, book);
        assert_eq!((found, rule.known), (months, known), "{every:?}");
    }
}

#[test]
fn where_an_item_stands_with_its_examination() {
    let book = rulebook("european").unwrap();
    let mut foot = foot();
    foot.item.next_due_on = Some(date!(2026 - 04 - 10));
    let on = |day| due(&foot.item, &foot.model, book, day);
    assert!(matches!(on(date!(2026 - 03 - 10)), Due::InDate { .. }));
    assert!(matches!(on(date!(2026 - 03 - 11)), Due::DueSoon { .. }));
    let last = on(date!(2026 - 04 - 10));
    assert!(matches!(last, Due::DueSoon { .. }));
    assert_eq!(last.until(), Some(date!(2026 - 04 - 10)));
    assert!(matches!(on(date!(2026 - 04 - 11)), Due::Overdue { .. }));
    let mut never = foot.clone();
    never.item.last_passed_on = None;
    let never = due(&never.item, &never.model, book, TODAY);
    assert_eq!((never.word(), never.until()), ("never examined", None));
}

#[test]
fn a_notice_is_closed_for_one_item() {
    let mut case = Case::of(foot());
    let notice = notice();
    let closing = |item| NoticeClosing {
        notice: notice.id,
        item,
        result: "rivets sound".into(),
    };
    case.closings = vec![closing(ItemId::new())];
    case.notices = vec![notice.clone()];
    case.refused(&[RefusalCode::Notice]);
    case.closings.push(closing(case.candidate.item.id));
    case.is_fit();
    // A second notice is not closed with the first.
    case.notices.push(crate::fitness_code::notice());
    case.refused(&[RefusalCode::Notice]);
}

#[test]
fn an_item_with_no_lot_counts_as_of_the_lot() {
    let mut case = Case::of(foot());
    let mut notice = notice();
    notice.lots = vec!["L2".into()];
    case.notices = vec![notice];
    case.is_fit();
    case.candidate.item.lot = None;
    case.refused(&[RefusalCode::Notice]);
}

#[test]
fn a_job_that_ends_as_the_other_starts_leaves_the_item_free() {
    let mut case = Case::of(foot());
    let mut before = elsewhere();
    before.ends_at = case.job.starts_at;
    let mut after = elsewhere();
    (after.starts_at, after.ends_at) = (case.job.ends_at, case.job.ends_at + Duration::hours(2));
    case.elsewhere = vec![before.clone(), after.clone()];
    case.is_fit();
    before.ends_at += Duration::seconds(1);
    after.starts_at -= Duration::seconds(1);
    case.elsewhere = vec![before, after];
    case.refused(&[RefusalCode::OnAnotherJob, RefusalCode::OnAnotherJob]);
}

#[test]
fn the_other_job_is_named_with_its_time_and_who_planned_it() {
    let mut case = Case::of(foot());
    case.elsewhere.push(elsewhere());
    let refusal = case.refusals().remove(0);
    for part in ["Shaft 9", "2026-03-10 07:00 UTC", "2026-03-11 07:01 UTC"] {
        assert!(refusal.sentence.contains(part), "{refusal:?}");
    }
    // The name stands apart from what is said, so that it can be removed.
    assert!(!refusal.sentence.contains("Ana") && !refusal.evidence.contains("Ana"));
    assert_eq!(refusal.who.as_deref(), Some("Ana Kovar"));
    assert!(refusal.looked_at().ends_with("; ask Ana Kovar"));
    assert!(case.elsewhere[0].starts_at < datetime!(2026-03-11 7:00 UTC));
}

#[test]
fn markings_that_cannot_be_read_refuse_as_those_that_nobody_looked_at() {
    let looked = |readable| {
        let mut foot = foot();
        foot.item.markings_readable = readable;
        Case::of(foot)
    };
    looked(Some(true)).is_fit();
    let refusals = looked(Some(false)).refused(&[RefusalCode::MarkingsUnknown]);
    assert!(refusals[0].sentence.contains("cannot be read"));
    looked(None).refused(&[RefusalCode::MarkingsUnknown]);
}

#[test]
fn a_blank_serial_is_no_serial() {
    let mut foot = foot();
    foot.item.serial = Some(" ".into());
    foot.item.lot = Some(" ".into());
    let refused = Case::of(foot.clone()).refused(&[RefusalCode::SerialUnknown]);
    assert!(
        refused[0]
            .sentence
            .starts_with("Neither its serial nor its lot is known"),
        "{}",
        refused[0].sentence
    );
    // EN 365 asks for the serial or the batch: the lot does, and the team's mark tells items of one lot apart.
    foot.item.lot = Some("L1".into());
    Case::of(foot.clone()).is_fit();
    // A source that does not say so asks for the serial.
    let mut american = Case::of(foot);
    american.rulebook = ropeloft::domain::rulebook::rulebook("us-rescue")
        .unwrap()
        .clone();
    assert!(american.codes().contains(&RefusalCode::SerialUnknown));
}

#[test]
fn an_unknown_date_made_takes_the_end_of_life_with_it() {
    let mut foot = foot();
    foot.item.made = None;
    Case::of(foot).refused(&[RefusalCode::LifeUnknown, RefusalCode::MadeUnknown]);
}

#[test]
fn what_is_used_beside_the_rig_is_taken_along_and_stands_at_no_position() {
    for kind in [Kind::EdgeProtector, Kind::OtherEquipment] {
        let mut thing = Thing::new(kind, "E-1", &[], &[]);
        assert!(!thing.model.life_support, "whatever was typed");
        thing.model.life = LifeLimit::default();
        thing.item.serial = None;
        thing.item.made = None;
        thing.item.markings_readable = None;
        Case::of(thing.clone()).is_fit();
        for place in full_kit() {
            let position = place.position.unwrap_or_default();
            Case::of(thing.clone().at(&position)).refused(&[RefusalCode::WrongKind]);
        }
        (thing.item.last_passed_on, thing.item.next_due_on) = (None, None);
        match kind {
            Kind::EdgeProtector => drop(Case::of(thing).refused(&[RefusalCode::NeverExamined])),
            _ => Case::of(thing).is_fit(),
        }
    }
}

#[test]
fn a_helmet_need_not_be_meant_for_holding_people() {
    let mut helmet = helmet();
    helmet.model.life_support = false;
    Case::of(helmet).is_fit();
}

#[test]
fn a_due_day_that_is_the_end_of_the_interval_names_the_rule_behind_it() {
    let book = rulebook("european").unwrap();
    let foot = foot();
    let (until, rule) = due_on(&foot.item, &foot.model, book).unwrap();
    assert_eq!(until, date!(2026 - 09 - 01));
    assert!(rule.source.contains("EN 365"), "{rule:?}");
    let mut sooner = foot;
    sooner.item.next_due_on = Some(date!(2026 - 08 - 31));
    let (until, rule) = due_on(&sooner.item, &sooner.model, book).unwrap();
    assert_eq!(until, date!(2026 - 08 - 31));
    assert!(rule.source.contains("last examination"), "{rule:?}");
}
