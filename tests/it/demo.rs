//! The demo holds by the house's own rules, whatever the day, and has something of everything to look at.

use std::collections::BTreeSet;

use ropeloft::demo::{Demo, demo, history};
use ropeloft::domain::{
    Change, Danger, FieldErrors, Item, ItemState, Job, JobId, JobState, Kind, KitLine, Notice, Pin,
    Refusal, Role, Zone, check_password,
    fitness::{Circumstances, KitItem, Plan, fitness},
    life,
    rulebook::rulebook,
};
use ropeloft::rigging::shipped_rig;
use time::macros::date;
use time::{Date, Duration, Time};

use crate::demo_records::Records;

const TODAY: Date = date!(2026 - 11 - 25);

fn today() -> Demo {
    demo(TODAY).unwrap()
}

#[test]
fn the_demo_is_the_same_at_every_run() {
    assert_eq!(history(TODAY).unwrap(), history(TODAY).unwrap());
}

#[test]
fn the_demo_holds_by_every_rule() {
    Records::of(&today().history);
}

#[test]
fn the_demo_holds_on_every_day_of_a_year_and_on_odd_days() {
    let year = (0..365)
        .step_by(29)
        .map(|days| TODAY + Duration::days(days));
    for day in year.chain([
        date!(2028 - 02 - 29),
        date!(2024 - 01 - 01),
        date!(2031 - 08 - 31),
    ]) {
        Records::of(&history(day).unwrap_or_else(|error| panic!("{day}: {error}")));
    }
}

#[test]
fn the_demo_begins_eight_years_back_and_ends_yesterday() {
    let history = today().history;
    assert!(matches!(history[0].change, Change::TeamFounded(_)));
    let midnight = TODAY.with_time(Time::MIDNIGHT).assume_utc();
    assert_eq!(history[0].at.year(), 2018);
    let last = history.last().unwrap().at;
    assert!(last < midnight && last > midnight - Duration::days(2));
}

#[test]
fn the_demo_has_gear_of_every_kind_and_state() {
    let records = Records::of(&today().history);
    assert!(
        (150..=180).contains(&records.items.len()),
        "{}",
        records.items.len()
    );
    assert!((40..=50).contains(&records.models.len()));
    assert_eq!((records.stores.len(), records.roles.len()), (6, 4));
    for kind in Kind::ALL {
        assert!(
            records.count(|_, model| model.kind == *kind) > 0,
            "no {}",
            kind.word()
        );
    }
    for (state, least) in [
        (ItemState::InService, 130),
        (ItemState::Quarantined, 4),
        (ItemState::Missing, 1),
        (ItemState::Retired, 9),
    ] {
        let found = records.count(|item, _| item.state == state);
        assert!(found >= least, "{found} {}", state.word());
    }
}

#[test]
fn the_demo_has_something_overdue_due_past_life_and_unknown() {
    let records = Records::of(&today().history);
    let in_service = |item: &Item| item.state == ItemState::InService;
    let due = |item: &Item| item.next_due_on.filter(|_| in_service(item));
    let overdue = records.count(|item, _| due(item).is_some_and(|due| due < TODAY));
    assert!((5..=10).contains(&overdue), "{overdue} overdue");
    let soon = TODAY + Duration::days(31);
    let month = records.count(|item, _| due(item).is_some_and(|due| due >= TODAY && due < soon));
    assert!((15..=35).contains(&month), "{month} due");
    let european = rulebook("european").unwrap();
    let dead = records.count(|item, model| {
        let life = life(item, model, european);
        in_service(item) && life.ends_on().is_some_and(|end| end <= TODAY)
    });
    assert!((2..=8).contains(&dead), "{dead} past life");
    assert!(records.count(|item, _| item.made.is_none()) > 0);
    assert!(records.count(|item, _| item.serial.is_none()) > 0);
    assert!(records.count(|item, _| item.markings_readable == Some(false)) > 0);
}

#[test]
fn the_demo_has_an_open_notice_that_covers_one_item_without_a_lot() {
    let records = Records::of(&today().history);
    let open = |notice: &Notice| {
        let mut marks: Vec<&str> = records
            .items
            .values()
            .filter(|item| notice.covers(item, &records.models[&item.model]))
            .filter(|item| !records.is_closed(notice.id, item.id))
            .map(|item| item.mark.as_str())
            .collect();
        marks.sort_unstable();
        marks
    };
    let open: Vec<_> = records
        .notices
        .values()
        .map(open)
        .filter(|marks| !marks.is_empty())
        .collect();
    assert_eq!(open, [["PC-07", "PC-08", "PC-09"]]);
    assert_eq!(records.by_mark("PC-09").lot, None);
}

#[test]
fn the_demo_has_past_jobs_and_two_to_come() {
    let records = Records::of(&today().history);
    let jobs = |state| {
        records
            .jobs
            .values()
            .filter(|job| job.state == state)
            .count()
    };
    assert_eq!(jobs(JobState::Planned), 3);
    let out: Vec<&str> = records
        .issues
        .values()
        .map(|issue| issue.job.title.as_str())
        .collect();
    assert_eq!(out, ["Valve spindles, Hallow Lane"]);
    assert_eq!(records.count(|item, _| item.look_asked.is_some()), 1);
    assert!(jobs(JobState::Closed) >= 15);
    assert!(jobs(JobState::Cancelled) >= 1);
}

/// The planned job with this in its title, with its kit.
fn planned<'a>(records: &'a Records, title: &str) -> (&'a Job, Vec<&'a KitLine>) {
    let mut jobs = records.jobs.values();
    let job = jobs.find(|job| job.state == JobState::Planned && job.title.contains(title));
    let job = job.unwrap();
    let lines = records.lines.values().filter(|line| line.job == job.id);
    (job, lines.collect())
}

/// Whether each line of the kit is still fit when it is asked again today.
fn refusals_of(records: &Records, job: &Job, lines: &[&KitLine]) -> Vec<Refusal> {
    let plan = Plan::of(job).unwrap();
    let of = |line: &&KitLine| {
        let item = &records.items[&line.item];
        let model = &records.models[&item.model];
        (item, model, line.position.clone())
    };
    let kit: Vec<_> = lines.iter().map(of).collect();
    let kit_item = |(item, model, position)| KitItem {
        item,
        model,
        position,
    };
    let notices: Vec<Notice> = records.notices.values().cloned().collect();
    let mut refusals = Vec::new();
    for at in 0..kit.len() {
        let all = kit
            .iter()
            .map(|(item, model, key)| kit_item((*item, *model, key.as_deref())));
        let others: Vec<KitItem<'_>> = all
            .clone()
            .enumerate()
            .filter(|(other, _)| *other != at)
            .map(|(_, one)| one)
            .collect();
        let circumstances = Circumstances {
            kit: &others,
            notices: &notices,
            closings: &records.closings,
            still_open: &[],
            elsewhere: &[],
            today: TODAY,
            zone: &Zone::UTC,
        };
        let candidate = all.clone().nth(at).unwrap();
        refusals.extend(fitness(candidate, &plan, &circumstances));
    }
    refusals
}

#[test]
fn the_first_planned_job_has_a_whole_kit_that_nothing_refuses() {
    let records = Records::of(&today().history);
    let (job, lines) = planned(&records, "pump well 3");
    let rig = shipped_rig(&job.rig).unwrap();
    for position in rig
        .positions()
        .iter()
        .filter(|position| !position.is_optional())
    {
        let filled = |line: &&KitLine| line.position.as_deref() == Some(position.key());
        assert!(lines.iter().any(filled), "{} is empty", position.key());
    }
    assert_eq!(refusals_of(&records, job, &lines), []);
}

/// The smallest factor in the kept verdict on a job, and whether it passes.
fn verdict(demo: &Demo, job: JobId) -> (bool, Option<f64>) {
    let kept = demo.history.iter().find_map(|entry| match &entry.change {
        Change::VerdictKept(verdict) if verdict.job == job => Some(verdict),
        _ => None,
    });
    let kept = kept.unwrap();
    let factor = kept.answer["assessment"]["weakest"]["factor"].as_f64();
    (kept.passes, factor)
}

#[test]
fn both_rulebooks_have_a_job_with_a_kit_that_is_strong_enough() {
    let demo = today();
    let records = Records::of(&demo.history);
    for rulebook in ["european", "us-rescue"] {
        let mut jobs = records.jobs.values().filter(|job| job.rulebook == rulebook);
        let last = jobs
            .clone()
            .max_by_key(|job| job.starts_at)
            .unwrap()
            .starts_at;
        let passes = jobs.any(|job| {
            let recent = last - job.starts_at < Duration::days(3);
            recent && verdict(&demo, job.id).0 && verdict(&demo, job.id).1.unwrap() > 10.0
        });
        assert!(passes, "none under {rulebook}");
    }
}

#[test]
fn one_job_has_a_rig_and_a_rulebook_of_the_teams_own_and_is_strong_enough() {
    let demo = today();
    let records = Records::of(&demo.history);
    let mut jobs = records.jobs.values();
    let job = jobs.find(|job| job.rulebook == "ostrevane@2").unwrap();
    assert_eq!(job.rig, "ostrevane-well@1");
    assert!(records.rigs.contains(&job.rig));
    let (passes, factor) = verdict(&demo, job.id);
    assert!(passes && factor.unwrap() > 10.0, "{factor:?}");
    let own = &records.rulebooks["ostrevane@2"];
    let looser: Vec<&str> = own
        .looser()
        .iter()
        .map(|one| one.sentence.as_str())
        .collect();
    assert!(looser.len() == 1 && looser[0].contains("12"), "{looser:?}");
    assert!(records.rulebooks["ostrevane@1"].looser().is_empty());
}

#[test]
fn the_second_planned_job_was_refused_for_many_reasons() {
    let demo = today();
    let records = Records::of(&demo.history);
    let (job, lines) = planned(&records, "Screen chain");
    assert_eq!(verdict(&demo, job.id), (false, None));
    assert_eq!(refusals_of(&records, job, &lines), []);
    let refused = demo.history.iter().filter_map(|entry| match &entry.change {
        Change::ItemRefused(refused) if refused.job == job.id => Some(&refused.refusals),
        _ => None,
    });
    let codes: BTreeSet<&str> = refused
        .flatten()
        .map(|refusal| refusal.code.key())
        .collect();
    for code in [
        "lacks-part",
        "life-unknown",
        "made-unknown",
        "markings-unknown",
        "missing",
        "not-approved",
        "notice",
        "on-another-job",
        "overdue",
        "past-life",
        "quarantined",
        "retired",
        "rope-too-short",
        "serial-unknown",
    ] {
        assert!(codes.contains(code), "no {code} in {codes:?}");
    }
}

#[test]
fn the_demo_has_a_report_of_an_examination_with_everything_that_it_asks_for() {
    let demo = today();
    assert!(!demo.team.employer.is_empty() && !demo.team.premises.is_empty());
    let mut held = demo.history.iter().filter_map(|entry| match &entry.change {
        Change::QualificationRecorded(one) => Some(one),
        _ => None,
    });
    assert!(held.all(|one| !one.address.is_empty()));
    let mut looks = demo.history.iter().filter_map(|entry| match &entry.change {
        Change::ExaminationRecorded(look) => Some(&look.report),
        _ => None,
    });
    let said = looks.find(|report| report.danger == Some(Danger::Now));
    let said = said.expect("a defect that was a danger");
    assert!(said.first.is_some() && !said.repair.is_empty() && !said.tests.is_empty());
}

#[test]
fn every_person_of_the_demo_may_sign_in_with_its_password() {
    let demo = today();
    for person in &demo.people {
        let mut wrong = FieldErrors::default();
        check_password(&mut wrong, "password", &person.password);
        assert!(wrong.is_empty(), "{}: {wrong}", person.person.sign_in);
        let added = Change::PersonAdded(person.person.clone());
        assert!(demo.history.iter().any(|entry| entry.change == added));
    }
    let roles: BTreeSet<Role> = demo
        .people
        .iter()
        .map(|person| person.person.role)
        .collect();
    assert_eq!(roles.len(), Role::ALL.len());
}

#[test]
fn plans_are_pinned_that_the_team_has_a_rig_and_a_rulebook_for() {
    let history = history(TODAY).unwrap();
    let pins: Vec<&Pin> = history
        .iter()
        .filter_map(|entry| match &entry.change {
            Change::PlanPinned(pin) => Some(pin),
            _ => None,
        })
        .collect();
    let words: Vec<String> = pins.iter().map(|pin| pin.words()).collect();
    assert_eq!(
        words,
        [
            "four-to-one-pull-down, 15 m deep, 1 person, planned for one person, by european",
            "ostrevane-well@1, 13 m deep, 1 person, planned for one person, by ostrevane@2",
        ]
    );
    assert!(!pins[0].is_same_plan(pins[1]));
}

#[test]
fn a_round_of_examinations_is_half_done() {
    let history = history(TODAY).unwrap();
    let planned = history.iter().find_map(|entry| match &entry.change {
        Change::RoundPlanned(round) => Some(round.clone()),
        _ => None,
    });
    let round = planned.expect("a round is planned");
    let examined = history.iter().filter_map(|entry| match &entry.change {
        Change::ExaminationRecorded(one) if one.on >= round.from => Some(one.item),
        _ => None,
    });
    let examined: BTreeSet<_> = examined.filter(|item| round.items.contains(item)).collect();
    assert!((3..=6).contains(&examined.len()), "{}", examined.len());
    assert_eq!(round.items.len(), 8);
    assert!(round.to > TODAY, "it is still open");
}
