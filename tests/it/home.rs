//! The start.

use crate::item_given::{examine, item, one_rope, rope_fields, with};

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
        assert!(page.contains("href=\"/stores/new\"") && page.contains("href=\"/models/new\""), "{page}");
        officer.post("/stores", &[("name", "Bay 1")]).await;
        let page = officer.get("/").await.text;
        assert!(!page.contains("href=\"/stores/new\"") && page.contains(">done<"), "{page}");
        let crew = world.visitor(&world.crew).await.get("/").await.text;
        assert!(!crew.contains("/models/new"), "{crew}");
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

    async fn the_auditor_reads_how_long_the_ledger_is(world) {
        let given = one_rope(&world).await;
        let auditor = world.visitor(&world.auditor).await;
        let page = auditor.get("/").await.text;
        let entries = world.entries().await;
        assert_eq!(words(&page), format!("The ledger holds {entries} entries"));
        drop(given);
    }
}
