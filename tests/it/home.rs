//! The start.

use axum::http::{Method, StatusCode};
use ropeloft::domain::Change;
use serde_json::json;

use crate::{job_given::planned, stock::notice, world::START};

use crate::item_given::{ROPE, examine, item, model, one_rope, rope_fields, with};

/// The words of the answer.
fn words(html: &str) -> &str {
    let from = html
        .find("<p class=\"words\">")
        .expect("the page has an answer")
        + 17;
    html[from..].split("</p>").next().unwrap()
}

on_both_databases! {
    async fn an_empty_register_says_what_to_do_first(world) {
        let officer = world.visitor(&world.officer).await;
        let page = officer.get("/").await.text;
        assert_eq!(words(&page), "The register is empty");
        let steps = ["href=\"/import\"", "href=\"/jobs/new\"", "href=\"/stores/new\"", "href=\"/models/new\""];
        let at = steps.map(|step| page.split("First steps").nth(1).unwrap().find(step).expect(step));
        assert!(at.is_sorted(), "the list and the job come before the store: {page}");
        officer.post("/stores", &[("name", "Bay 1")]).await;
        let page = officer.get("/").await.text;
        assert!(!page.contains("href=\"/stores/new\"") && page.contains(">done<"), "{page}");
        let crew = world.visitor(&world.crew).await.get("/").await.text;
        assert!(!crew.contains("/models/new") && crew.contains("First steps"), "{crew}");
    }

    async fn with_items_a_job_is_the_next_step_for_everybody_who_plans(world) {
        let given = one_rope(&world).await;
        for person in [&world.officer, &world.crew, &world.admin] {
            let page = world.visitor(person).await.get("/").await.text;
            assert!(page.contains("<a class=\"button main\" href=\"/jobs/new\">Plan a job</a>"), "{page}");
            assert!(page.contains("First steps") && !page.contains("/stores/new"), "{page}");
        }
        let auditor = world.visitor(&world.auditor).await.get("/").await.text;
        assert!(!auditor.contains("/jobs/new"), "{auditor}");
        planned(&given.officer, json!({})).await;
        let page = given.officer.get("/").await.text;
        assert!(!page.contains("First steps") && page.contains("Plan a job</a>"), "{page}");
    }

    async fn that_nobody_is_competent_is_said_to_whom_it_keeps_from_work(world) {
        let hint = "Say who is competent to examine";
        let page = async |person| world.visitor(person).await.get("/").await.text;
        let (admin, _) = (world.visitor(&world.admin).await, world.shelved_kit().await);
        planned(&admin, json!({})).await;
        for person in [&world.officer, &world.admin] {
            let told = page(person).await;
            assert!(told.contains(hint) && told.contains("What waits for somebody"), "{told}");
        }
        assert!(!page(&world.crew).await.contains(hint));
        let somebody = json!({"name": "Tol Brannick", "body": "Rope House", "evidence": "twelve years of practice"});
        let recorded = admin.json(Method::POST, "/api/v1/qualifications", &somebody).await;
        assert_eq!(recorded.status, StatusCode::CREATED, "{}", recorded.text);
        assert!(!page(&world.officer).await.contains(hint));
    }

    async fn the_answer_counts_what_is_due(world) {
        let given = one_rope(&world).await;
        let read = async || given.officer.get("/").await.text;
        assert!(read().await.contains("never passed an examination"));
        for (mark, serial, on) in [("A", "1", "2025-02-20"), ("B", "2", "2025-03-20"), ("C", "3", "2026-02-20")] {
            let fields = with(&rope_fields(&given.model, &given.store), &[("mark", mark), ("serial", serial)]);
            let id = item(&given.officer, &fields).await;
            examine(&given.officer, &id, &[("kind", "intake"), ("on", on), ("verdict", "fit")]).await;
        }
        let page = read().await;
        assert_eq!(words(&page), "1 item is overdue, 1 falls due within 30 days", "{page}");
        let step = [("step", "quarantine"), ("reason", "cut")];
        given.officer.post(&format!("/items/{}/step", given.item), &step).await;
        let page = read().await;
        assert!(page.contains("1 item waits for a decision"), "{page}");
        let listed = given.officer.get("/items?state=in-service&due=overdue&sort=due").await.text;
        assert!(listed.contains(">A</a>") && !listed.contains(">B</a>"), "{listed}");
    }

    async fn items_whose_markings_nobody_noted_are_counted_and_lead_to_the_bench(world) {
        let given = one_rope(&world).await;
        let blank = |mark, serial| with(&rope_fields(&given.model, &given.store), &[("mark", mark), ("serial", serial), ("markings_readable", "")]);
        let noted = given.officer.get("/").await.text;
        assert!(!noted.contains("nobody has noted"), "{noted}");
        let first = item(&given.officer, &blank("A", "1")).await;
        item(&given.officer, &blank("B", "2")).await;
        let bag = with(&ROPE, &[("kind", "other-equipment"), ("name", "Rope bag"), ("life_support", "")]);
        let bag: Vec<_> = bag.into_iter().filter(|(name, _)| !name.contains('[')).collect();
        let bag = model(&given.officer, &bag).await;
        item(&given.officer, &[("mark", "BAG"), ("model", &bag), ("store", &given.store)]).await;
        let there = "/bench?state=in-service&#38;markings=unknown";
        let page = given.officer.get("/").await.text;
        assert!(page.contains("2 items whose markings nobody has noted") && page.contains(there), "{page}");
        assert!(page.contains("3 items never passed"), "the bag need not: {page}");
        let listed = given.officer.get("/items?state=in-service&markings=unknown").await.text;
        assert!(listed.contains(">A</a>") && listed.contains(">B</a>") && !listed.contains(">BAG</a>") && !listed.contains("RL-0042"), "{listed}");
        let bench = given.officer.get("/bench?state=in-service&markings=unknown").await;
        assert_eq!(bench.status, StatusCode::OK, "{}", bench.text);
        given.officer.post(&format!("/items/{first}/step"), &[("step", "retire"), ("retired_for", "worn"), ("reason", "cut")]).await;
        let auditor = world.visitor(&world.auditor).await.get("/").await.text;
        assert!(auditor.contains("1 item whose markings nobody has noted") && auditor.contains("/items?state=in-service&#38;markings=unknown"), "{auditor}");
    }

    async fn more_notices_than_are_shown_are_counted(world) {
        let auditor = world.visitor(&world.auditor).await;
        let mut day = START.date();
        for count in 1..=7 {
            world.record(Change::NoticeOpened(notice("Fjordwerk", day))).await;
            day = day.previous_day().unwrap();
            let page = auditor.get("/").await.text;
            let more = page.contains("more that were issued before");
            assert_eq!(more, count > 5, "{count}");
        }
        let page = auditor.get("/").await.text;
        assert!(page.contains("<a href=\"/notices\">and 2 more that were issued before: see all of them</a>"), "{page}");
    }

    async fn the_auditor_reads_how_long_the_ledger_is(world) {
        let given = one_rope(&world).await;
        let auditor = world.visitor(&world.auditor).await;
        let page = auditor.get("/").await.text;
        let entries = world.entries().await;
        assert_eq!(words(&page), format!("The ledger holds {entries} entries"));
        drop(given);
    }
}
