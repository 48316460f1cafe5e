//! The first benches: solver, kit decision, item page, recording, import, export.
//!
//! `cargo bench` takes 10,000 items for the large register; `ROPELOFT_BENCH_ITEMS=1000000` takes a million.
//! `ledger` has the numbers of the long ledger, and what of it is laid out and not appended.
//! What matters is the ratio of two lines of one run: machines are noisy.

mod beside;
mod fleet;
mod large;
mod ledger;

use std::hint::black_box;

use axum::{body::Body, http::Request};
use criterion::{Criterion, criterion_group, criterion_main};
use http_body_util::BodyExt;
use large::{AT, Large, examination};
use ropeloft::{
    config::Config,
    deed::{
        Desk, kit,
        session::{hash_of, new_secret},
    },
    domain::{Change, Clock, kit_strength::Extent},
    import::{Answers, Known, read_table, rehearse},
    rigging::{
        Band, Efficiency, Fitted, Force, LoadingMode, Outfit, Phase, StrengthKind, Turning, Wheel,
        shipped_rig, solve,
    },
    store::{Database, Files},
    web::{self, App},
};
use time::Duration;
use tokio::runtime::Runtime;
use tower::ServiceExt;

fn items() -> usize {
    let given = std::env::var("ROPELOFT_BENCH_ITEMS").ok();
    given.map_or(10_000, |text| {
        text.parse()
            .expect("ROPELOFT_BENCH_ITEMS is a whole number")
    })
}

/// A pulley whose sheaves lose 8 of 100 each.
fn pulley() -> Fitted {
    let wheel = Wheel {
        efficiency: Band::exactly(Efficiency::from_share(0.92).unwrap()),
        source: "bench".into(),
        turning: Turning::Free,
    };
    let force = Force::from_kilonewtons(36.0).unwrap();
    Fitted::new("pulley")
        .rated(LoadingMode::Axle, StrengthKind::Breaking, force, "bench")
        .with_wheel(wheel)
}

fn solver(criterion: &mut Criterion) {
    let rig = shipped_rig("four-to-one-pull-down").unwrap();
    let mut outfit = Outfit::default();
    outfit.fit("head", pulley());
    outfit.fit("foot", pulley());
    let load = Force::from_kilonewtons(2.0).unwrap();
    criterion.bench_function("solve a 4:1 in hauling, lowering and at rest", |bench| {
        bench.iter(|| {
            for phase in [Phase::Hauling, Phase::Lowering, Phase::AtRest] {
                black_box(solve(rig, &outfit, load, phase).unwrap());
            }
        });
    });
    let sheet = include_str!("../../src/rigging/rig/four-to-one-pull-down.toml");
    beside::numpy(rig, sheet, &outfit, 0.92);
}

fn desk(large: &Large) -> Desk {
    desk_of(&large.database)
}

/// A desk on a database, with the clock standing.
fn desk_of(database: &Database) -> Desk {
    Desk {
        database: database.clone(),
        clock: Clock::standing(AT),
        files: Files::unset(),
    }
}

fn kit_decision(criterion: &mut Criterion, runtime: &Runtime, large: &Large) {
    let desk = desk(large);
    criterion.bench_function("decide a kit of 60 lines", |bench| {
        bench.iter(|| {
            runtime
                .block_on(kit::show(&desk, &large.officer, large.job, Extent::Answer))
                .unwrap()
        });
    });
}

/// Asks the whole service for a page, as the officer.
async fn page(large: &Large, router: &axum::Router, secret: &str, path: &str) -> usize {
    let request = Request::get(path)
        .header("host", "gear.test")
        .header("cookie", format!("ropeloft={secret}"))
        .body(Body::empty())
        .unwrap();
    let response = router.clone().oneshot(request).await.unwrap();
    assert!(
        response.status().is_success(),
        "{path} of {}: {}",
        large.item,
        response.status()
    );
    response
        .into_body()
        .collect()
        .await
        .unwrap()
        .to_bytes()
        .len()
}

async fn signed_in(large: &Large) -> (axum::Router, String) {
    let secret = new_secret();
    let mut door = large.database.write_door().await.unwrap();
    let who = (large.officer.team, large.officer.person);
    door.add_session(&hash_of(&secret), who, (AT, AT + Duration::days(14)), "")
        .await
        .unwrap();
    door.commit().await.unwrap();
    (
        web::router(App::new(desk(large), Config::default())),
        secret,
    )
}

fn pages(criterion: &mut Criterion, runtime: &Runtime, registers: &[(&str, &Large)]) {
    for (name, large) in registers {
        let (router, secret) = runtime.block_on(signed_in(large));
        let path = format!("/items/{}", large.item);
        criterion.bench_function(&format!("item page, {name} register"), |bench| {
            bench.iter(|| runtime.block_on(page(large, &router, &secret, &path)));
        });
        criterion.bench_function(
            &format!("export of the items as CSV, {name} register"),
            |bench| {
                bench.iter(|| runtime.block_on(page(large, &router, &secret, "/items.csv")));
            },
        );
    }
}

fn recording(criterion: &mut Criterion, runtime: &Runtime, large: &Large) {
    criterion.bench_function("record one examination, durable", |bench| {
        bench.iter(|| {
            runtime.block_on(async {
                let mut tx = large.database.write(large.officer.team).await.unwrap();
                let change =
                    Change::ExaminationRecorded(examination(&large.officer, large.item, AT.date()));
                tx.record(&large.officer, AT, change).await.unwrap();
                tx.commit().await.unwrap();
            });
        });
    });
}

fn import(criterion: &mut Criterion) {
    let row = |at| format!("K-{at};connector;Fjordwerk;Bow 25;{at:06};2021-05;Bay;25\n");
    let rows: String = (0..10_000).map(row).collect();
    let csv = format!("Mark;Kind;Maker;Model;Serial;Made;Store;MBS (kN)\n{rows}");
    criterion.bench_function("rehearse an import of 10,000 rows", |bench| {
        bench.iter(|| {
            let table = read_table("list.csv", csv.as_bytes(), None).unwrap();
            black_box(rehearse(
                &table,
                &Answers::default(),
                &Known::default(),
                AT.date(),
            ))
        });
    });
}

fn house(criterion: &mut Criterion) {
    solver(criterion);
    import(criterion);
    fleet::pure(criterion);
    let folder = tempfile::tempdir().unwrap();
    let runtime = Runtime::new().unwrap();
    ledger::appended(&runtime);
    ledger::rebuilt(&runtime);
    fleet::asked(criterion, &runtime);
    let small = runtime.block_on(Large::new(folder.path(), 1000));
    let large = runtime.block_on(Large::new(folder.path(), items()));
    kit_decision(criterion, &runtime, &large);
    pages(criterion, &runtime, &[("small", &small), ("large", &large)]);
    recording(criterion, &runtime, &large);
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(20);
    targets = house
}
criterion_main!(benches);
