//! Until when a record is kept at least: the periods of the law, month ends, and the longest of several.

use axum::http::StatusCode;
use ropeloft::domain::{
    Change, Examination, ExaminationKind, ItemStep, ItemStepped, Job, JobEnd, JobState, Zone,
    retention::{ToKeep, Until},
    rulebook::{Ends, Paper, Retention, rulebook},
};
use time::{
    Date,
    macros::{date, datetime},
};

use crate::{cut::cut_rope, stock, world::World};

/// The rule of UK law with this source.
fn rule(source: &str) -> &'static Retention {
    let all = rulebook("uk-lifting").unwrap().retentions();
    let mut found = all.iter().filter(|one| one.from.source.contains(source));
    let one = found.next().unwrap_or_else(|| panic!("{source}"));
    assert!(found.next().is_none(), "{source} stands twice");
    assert!(one.from.law, "{source}");
    one
}

/// A paper of this day of which nothing has ended.
fn written(paper: Paper, on: Date) -> ToKeep {
    ToKeep {
        paper,
        on,
        job_over: None,
        next: None,
        out_of_use: None,
    }
}

fn open(ends: Ends, then_months: u16, not_before: Option<Date>) -> Until {
    Until::Open {
        ends,
        then_months,
        not_before,
    }
}

#[test]
fn what_came_with_an_item_is_kept_as_long_as_it_is_used() {
    // LOLER 1998, regulation 11(1), read: as long as the equipment is operated.
    let law = rule("11(1)");
    let paper = written(Paper::Item, date!(2020 - 05 - 04));
    assert_eq!(paper.until(law), Some(open(Ends::Use, 0, None)));
    let gone = ToKeep {
        out_of_use: Some(date!(2031 - 01 - 02)),
        ..paper
    };
    assert_eq!(gone.until(law), Some(Until::Day(date!(2031 - 01 - 02))));
    assert_eq!(law.paper, Some(Paper::Item));
}

#[test]
fn a_first_report_is_kept_until_use_ends_or_two_years() {
    // LOLER 1998, regulation 11(2)(a)(i) and (ii), read: until the use ends; for an accessory two years.
    let (gear, accessory) = (rule("11(2)(a)(i)"), rule("11(2)(a)(ii)"));
    let first = written(Paper::FirstReport, date!(2024 - 02 - 29));
    assert_eq!(first.until(gear), Some(open(Ends::Use, 0, None)));
    // February of 2026 has 28 days.
    assert_eq!(
        first.until(accessory),
        Some(Until::Day(date!(2026 - 02 - 28)))
    );
    // Which gear is an accessory the register cannot tell: both bind, and the longer stands first.
    let kept = first.kept(rulebook("uk-lifting").unwrap());
    let sources: Vec<&str> = kept
        .iter()
        .map(|one| one.rule.from.source.as_str())
        .collect();
    assert_eq!(
        sources,
        [gear.from.source.as_str(), accessory.from.source.as_str()]
    );
    let gone = ToKeep {
        out_of_use: Some(date!(2025 - 01 - 01)),
        ..first
    };
    assert_eq!(
        gone.kept(rulebook("uk-lifting").unwrap())[0].until,
        Until::Day(date!(2026 - 02 - 28))
    );
}

#[test]
fn a_later_report_is_kept_until_the_later_of_two_years_and_the_next() {
    // LOLER 1998, regulation 11(2)(a)(iv), read: the later of the next report and two years.
    let law = rule("11(2)(a)(iv)");
    let report = written(Paper::Report, date!(2024 - 03 - 01));
    assert_eq!(
        report.until(law),
        Some(open(Ends::Next, 0, Some(date!(2026 - 03 - 01))))
    );
    for (next, until) in [
        (date!(2024 - 09 - 01), date!(2026 - 03 - 01)),
        (date!(2026 - 03 - 01), date!(2026 - 03 - 01)),
        (date!(2026 - 03 - 02), date!(2026 - 03 - 02)),
        (date!(2029 - 12 - 31), date!(2029 - 12 - 31)),
    ] {
        let followed = ToKeep {
            next: Some(next),
            ..report
        };
        assert_eq!(followed.until(law), Some(Until::Day(until)), "{next}");
    }
}

#[test]
fn an_inspection_is_kept_until_the_next_one() {
    // LOLER 1998, regulation 11(2)(b), read; Work at Height Regulations 2005, regulation 12(6), from memory.
    for law in [rule("11(2)(b)"), rule("regulation 12(6)")] {
        let look = written(Paper::Inspection, date!(2026 - 01 - 31));
        assert_eq!(look.until(law), Some(open(Ends::Next, 0, None)));
        let followed = ToKeep {
            next: Some(date!(2026 - 02 - 01)),
            ..look
        };
        assert_eq!(followed.until(law), Some(Until::Day(date!(2026 - 02 - 01))));
    }
}

#[test]
fn the_law_of_ships_counts_two_years_behind_the_next_report() {
    // SI 2006/2184, regulation 15, read: at least two years after the next report.
    let law = rule("SI 2006/2184");
    let report = written(Paper::Report, date!(2023 - 01 - 10));
    assert_eq!(report.until(law), Some(open(Ends::Next, 24, None)));
    let followed = ToKeep {
        next: Some(date!(2024 - 02 - 29)),
        ..report
    };
    assert_eq!(followed.until(law), Some(Until::Day(date!(2026 - 02 - 28))));
    // What belongs to a ship the register cannot tell, so it binds nothing by itself.
    assert_eq!(law.paper, None);
}

#[test]
fn what_is_written_for_a_job_is_kept_three_months_behind_it() {
    // Work at Height Regulations 2005, regulation 12(8), reported: until the work ends, then three months at the office.
    let law = rule("regulation 12(8)");
    let job = written(Paper::Job, date!(2026 - 11 - 30));
    assert_eq!(job.until(law), Some(open(Ends::Job, 3, None)));
    let over = ToKeep {
        job_over: Some(date!(2026 - 11 - 30)),
        ..job
    };
    assert_eq!(over.until(law), Some(Until::Day(date!(2027 - 02 - 28))));
    assert_eq!(
        job.until(law).unwrap().words(),
        "the job is over, and 3 months more"
    );
    // 29 CFR 1910.146(e)(6), from memory: cancelled permits for a year; 1910.27(b)(1)(ii), read: the letter until the job ends.
    let kept = over.kept(rulebook("us-general").unwrap());
    let days: Vec<Until> = kept.iter().map(|one| one.until).collect();
    assert_eq!(
        days,
        [
            Until::Day(date!(2027 - 11 - 30)),
            Until::Day(date!(2026 - 11 - 30))
        ]
    );
}

#[test]
fn where_a_rulebook_names_no_such_paper_nothing_binds() {
    let report = written(Paper::Report, date!(2026 - 01 - 01));
    assert!(report.kept(rulebook("european").unwrap()).is_empty());
}

#[test]
fn a_rule_without_an_end_or_months_says_nothing() {
    let law = Retention {
        months: None,
        ends: None,
        ..rule("11(2)(a)(ii)").clone()
    };
    assert_eq!(written(Paper::Job, date!(2026 - 01 - 01)).until(&law), None);
}

/// Examinations of the world's first item, done on these days.
fn looks(
    world: &World,
    item: &ropeloft::domain::Item,
    days: &[(Date, ExaminationKind)],
) -> Vec<Examination> {
    let looks = days.iter().map(|(on, kind)| Examination {
        kind: *kind,
        ..stock::examination(world, item, *on)
    });
    looks.collect()
}

on_both_databases! {
    async fn which_examination_is_first_and_which_follows_is_told_by_their_days(world) {
        use ExaminationKind::{AfterEvent, Intake, Periodic, PreUse};
        let stock = world.stock().await;
        // Recorded in another order than they were done.
        let all = looks(&world, &stock.first, &[
            (date!(2026 - 01 - 10), Periodic), (date!(2024 - 01 - 10), Intake), (date!(2025 - 01 - 10), AfterEvent),
            (date!(2025 - 06 - 01), PreUse), (date!(2025 - 06 - 03), PreUse),
        ]);
        let of = |at: usize| ToKeep::of_examination(&all[at], &all, (&stock.first, &[]), &Zone::UTC);
        assert_eq!((of(1).paper, of(1).next), (Paper::FirstReport, Some(date!(2025 - 01 - 10))));
        assert_eq!((of(2).paper, of(2).next), (Paper::Report, Some(date!(2026 - 01 - 10))));
        assert_eq!((of(0).paper, of(0).next), (Paper::Report, None));
        assert_eq!((of(3).paper, of(3).next), (Paper::Inspection, Some(date!(2025 - 06 - 03))));
        assert_eq!(of(3).out_of_use, None);
    }

    async fn papers_of_a_cut_rope_are_kept_as_long_as_its_pieces_are_used(world) {
        let (given, pieces) = cut_rope(&world).await;
        let admin = world.visitor(&world.admin).await;
        let fields = [("name", "Shaft team"), ("rulebook", "uk-lifting"), ("time_zone", "UTC")];
        assert_eq!(admin.post("/team", &fields).await.status, StatusCode::SEE_OTHER);
        let path = format!("/api/v1/items/{}/retention", given.item);
        let until = async || admin.get(&path).await.json()["kept"][0].clone();
        let page = async || admin.get(&format!("/items/{}", given.item)).await.text;
        for (at, piece) in pieces.iter().enumerate() {
            let told = until().await;
            assert!(told["day"].is_null() && told["until"] == "the item is out of use", "{at}: {told}");
            assert!(page().await.contains("Kept at least until the item is out of use"));
            world.clock.advance(time::Duration::days(10));
            let step = Change::ItemStepped(ItemStepped {
                item: piece.id, step: ItemStep::Retire, reason: "worn".into(), on: date!(2026 - 03 - 01), retired_for: None,
            });
            world.record(step).await;
        }
        let told = until().await;
        assert_eq!(told["day"], "2026-03-21", "the day on which the last was told to be out of use: {told}");
    }

    async fn pages_and_programs_are_told_until_when_and_why(world) {
        let stock = world.stock().await;
        let admin = world.visitor(&world.admin).await;
        let fields = [("name", "Shaft team"), ("rulebook", "uk-lifting"), ("time_zone", "UTC")];
        assert_eq!(admin.post("/team", &fields).await.status, StatusCode::SEE_OTHER);
        let (first, later) = (date!(2025 - 01 - 31), date!(2026 - 01 - 31));
        let all = looks(&world, &stock.first, &[(first, ExaminationKind::Intake), (later, ExaminationKind::Periodic)]);
        for look in &all {
            world.record(Change::ExaminationRecorded(look.clone())).await;
        }
        let auditor = world.visitor(&world.auditor).await;
        let item = format!("/items/{}", stock.first.id);
        let page = auditor.get(&item).await.text;
        assert!(page.contains("Kept at least until the item is out of use") && page.contains("LOLER 1998, regulation 11(1)"), "{page}");
        let page = auditor.get(&format!("{item}/examinations/{}", all[1].id)).await.text;
        assert!(page.contains("Kept at least until the next one is recorded; in any case until 2028-01-31"), "{page}");
        assert!(page.contains("Nothing is removed when that is over"), "{page}");
        let told = auditor.get(&format!("/api/v1/examinations/{}/retention", all[0].id)).await.json();
        assert_eq!(told["kept"][0]["day"], serde_json::Value::Null);
        assert_eq!(told["kept"][1]["day"], "2027-01-31");
        assert_eq!(told["kept"][1]["from"]["known"], "read");
        let retired = ItemStepped {
            item: stock.first.id,
            step: ItemStep::Retire,
            reason: "worn".into(),
            on: date!(2026 - 03 - 01),
            retired_for: None,
        };
        world.record(Change::ItemStepped(retired)).await;
        let told = auditor.get(&format!("/api/v1{item}/retention")).await.json();
        assert_eq!(told["kept"][0]["day"], "2026-03-01");
        assert_eq!(told["kept"][0]["until"], "2026-03-01");
    }

    async fn a_job_is_told_by_its_own_rulebook(world) {
        let job = Job { rulebook: "uk-lifting".into(), ..stock::rigged("Shaft 3", 4) };
        world.record(Change::JobPlanned(job.clone())).await;
        let auditor = world.visitor(&world.auditor).await;
        let path = format!("/jobs/{}", job.id);
        let page = auditor.get(&path).await.text;
        assert!(page.contains("the job is over, and 3 months more"), "{page}");
        let end = JobEnd { job: job.id, state: JobState::Closed, reason: String::new() };
        world.record(Change::JobEnded(end)).await;
        let told = auditor.get(&format!("/api/v1{path}/retention")).await.json();
        // It was over on 2026-03-01.
        assert_eq!(told["kept"][0]["day"], "2026-06-01");
        assert_eq!(job.ends_at.date(), datetime!(2026-03-01 00:00 UTC).date());
        let none = auditor.get(&format!("/api/v1/jobs/{}/retention", uuid::Uuid::now_v7())).await;
        assert_eq!(none.status, StatusCode::NOT_FOUND);
        let outsider = world.visitor(&world.outsider).await;
        assert_eq!(outsider.get(&format!("/api/v1{path}/retention")).await.status, StatusCode::NOT_FOUND);
        let european = stock::rigged("Shaft 4", 4);
        world.record(Change::JobPlanned(european.clone())).await;
        let page = auditor.get(&format!("/jobs/{}", european.id)).await.text;
        assert!(page.contains("the rulebook sets no time"), "{page}");
    }
}
