//! Trends through their doors: pages, files, the API, and what a price and a reason for retirement look like.

use axum::http::{Method, StatusCode};
use serde_json::{Value, json};

use crate::{
    item_given::{ROPE, examine, item, model, one_rope, rope_fields, with},
    store_rebuild::{again, tamper},
};

const PAGES: [&str; 4] = [
    "/trends",
    "/trends/failures",
    "/trends/retired",
    "/trends/ahead",
];
const FILES: [&str; 4] = [
    "/trends/ages.csv",
    "/trends/failures.csv",
    "/trends/retired.csv",
    "/trends/ahead.csv",
];

on_both_databases! {
    async fn everybody_reads_them_and_the_other_team_sees_nothing_of_it(world) {
        let given = one_rope(&world).await;
        examine(&given.officer, &given.item, &[("kind", "periodic"), ("on", "2026-02-01"), ("verdict", "quarantine"), ("findings", "cut <deep>")]).await;
        for actor in [&world.officer, &world.crew, &world.auditor, &world.admin] {
            let client = world.visitor(actor).await;
            for page in PAGES.into_iter().chain(FILES) {
                assert_eq!(client.get(page).await.status, StatusCode::OK, "{page}");
            }
        }
        let outsider = world.visitor(&world.outsider).await;
        for page in PAGES {
            let text = outsider.get(page).await.text;
            assert!(!text.contains("Tarn") && !text.contains("RL-0042"), "{page}: {text}");
        }
        let of_model = format!("/trends/failures/{}", given.model);
        assert_eq!(outsider.get(&of_model).await.status, StatusCode::NOT_FOUND);
        assert_eq!(world.stranger().get("/trends").await.status, StatusCode::SEE_OTHER);
    }

    async fn what_failed_leads_to_its_records(world) {
        let given = one_rope(&world).await;
        examine(&given.officer, &given.item, &[("kind", "periodic"), ("on", "2026-02-01"), ("verdict", "quarantine"), ("findings", "cut <deep>")]).await;
        let page = given.officer.get("/trends/failures").await.text;
        for words in [
            "From 2023-03-01 to 2026-03-01: 1 of 1 (100 %) examinations and checks failed", "1 of 1 (100 %)", ">few items<", "fewer than 10 items",
            "Tarn &#38; Fell Line 11", "L9",
        ] {
            assert!(page.contains(words), "{words}: {page}");
        }
        let of_lot = format!("/trends/failures/{}?from=2023-03-01&amp;until=2026-03-01&amp;lot=L9", given.model);
        let of_lot = of_lot.replace("&amp;", "&");
        assert!(page.contains(&of_lot.replace('&', "&#38;")), "{page}");
        let records = given.officer.get(&of_lot).await.text;
        assert!(records.contains("cut &#60;deep&#62;") && records.contains(&format!("/items/{}", given.item)), "{records}");
        let other = given.officer.get(&format!("/trends/failures/{}?no_lot=yes", given.model)).await.text;
        assert!(other.contains("None in this time.") && other.contains("no lot noted"), "{other}");
        let api = given.officer.get("/api/v1/trends/failures").await.json();
        assert_eq!(api["lots"][0]["lot"], "L9");
        assert_eq!(api["lots"][0]["items_failed"], 1);
        assert_eq!((&api["from"], &api["until"]), (&json!("2023-03-01"), &json!("2026-03-01")));
        let early = given.officer.get("/trends/failures?until=2025-12-31").await.text;
        assert!(early.contains("nothing was examined"), "{early}");
        for (query, words) in [("from=2026-02-30", "not &#34;2026-02-30&#34;"), ("from=2026-01-02&until=2026-01-01", "must not be after the last, 2026-01-01")] {
            let wrong = given.officer.get(&format!("/trends/failures?{query}")).await;
            assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
            assert!(wrong.text.contains(words), "{words}: {}", wrong.text);
            let wrong = given.officer.get(&format!("/api/v1/trends/failures?{query}")).await;
            assert_eq!((wrong.status, &wrong.json()["fields"][0]["field"]), (StatusCode::UNPROCESSABLE_ENTITY, &json!("from")));
        }
    }

    async fn a_reason_is_chosen_when_an_item_is_retired(world) {
        let given = one_rope(&world).await;
        let form = given.officer.get(&format!("/items/{}/step?step=retire", given.item)).await.text;
        assert!(form.contains("name=\"retired_for\"") && form.contains("<option value=\"worn\">"), "{form}");
        let aside = given.officer.get(&format!("/items/{}/step?step=quarantine", given.item)).await.text;
        assert!(!aside.contains("retired_for"), "{aside}");
        let step = async |fields: Value| {
            let path = format!("/api/v1/items/{}/steps", given.item);
            given.officer.json(Method::POST, &path, &fields).await
        };
        for (step_key, chosen, words) in [("retire", "eaten", "Choose worn, damaged"), ("retire", "cut", "Choose worn, damaged"), ("quarantine", "worn", "leave this empty")] {
            let wrong = step(json!({"step": step_key, "reason": "sheath", "retired_for": chosen})).await;
            assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", wrong.text);
            assert!(wrong.text.contains("retired_for") && wrong.text.contains(words), "{}", wrong.text);
        }
        let done = step(json!({"step": "retire", "reason": "sheath worn <through>", "on": "2026-02-14", "retired_for": "worn"})).await;
        assert_eq!(done.status, StatusCode::OK, "{}", done.text);
        assert_eq!(done.json()["retired"], json!({"on": "2026-02-14", "because": "worn"}));
        let page = given.officer.get("/trends/retired").await.text;
        assert!(page.contains("sheath worn &#60;through&#62;") && page.contains("Retired: 1 item"), "{page}");
        let none = given.officer.get("/trends/retired?year=2025").await.text;
        assert!(none.contains("Nothing was retired"), "{none}");
        assert_eq!(given.officer.get("/trends/retired?because=eaten").await.status, StatusCode::BAD_REQUEST);
        let api = given.officer.get("/api/v1/trends/retired?kind=rope").await.json();
        assert_eq!(api["groups"], json!([{"kind": "rope", "because": "worn", "on": "2026-02-14", "items": 1}]));
        let file = given.officer.get("/trends/retired.csv").await.text;
        assert!(file.ends_with("2026,rope,worn,1,1,1\r\n"), "{file}");
        let told = given.officer.get(&format!("/items/{}/history", given.item)).await.text;
        assert!(told.contains("retired for good: worn"), "{told}");
    }

    async fn what_was_retired_before_it_was_counted_is_taken_up(world) {
        let given = one_rope(&world).await;
        examine(&given.officer, &given.item, &[("kind", "periodic"), ("on", "2026-02-01"), ("verdict", "retire"), ("findings", "core seen")]).await;
        let before = given.officer.get("/api/v1/trends/retired").await.json();
        assert_eq!(before["groups"][0]["because"], "examination");
        // As an older program left it.
        tamper(&world, "UPDATE item SET lot = '', lot_folded = '', retired_for = '?', retired_order = '', record = REPLACE(record, ',\"retired\":{\"on\":\"2026-02-01\",\"because\":\"examination\"}', '')").await;
        let gone = given.officer.get(&format!("/api/v1/items/{}", given.item)).await.json();
        assert_eq!(gone.get("retired"), None, "{gone}");
        world.database.migrate().await.unwrap();
        assert_eq!(given.officer.get("/api/v1/trends/retired").await.json(), before);
        assert_eq!(again(&world).await.differences, []);
    }

    async fn a_price_is_kept_as_entered_and_added_up(world) {
        let given = one_rope(&world).await;
        for (typed, words) in [("129.90", "three letters"), ("EUR 129", "Write the amount"), ("-3 EUR", "more than 0"), ("1.2345 EUR", "three digits"), ("5 EURO", "three letters")] {
            let fields = with(&ROPE, &[("name", "Line 13"), ("price", typed)]);
            let wrong = given.officer.post("/models?id=01900000-0000-7000-8000-000000000077", &fields).await;
            assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY, "{typed}");
            assert!(wrong.text.contains(words) && wrong.text.contains(&format!("value=\"{typed}\"")), "{typed}: {}", wrong.text);
        }
        let fields = with(&ROPE, &[("name", "Line 13"), ("price", "1 249,5 eur"), ("life_years_from_made", "5")]);
        let model = model(&given.officer, &fields).await;
        let page = given.officer.get(&format!("/models/{model}")).await.text;
        assert!(page.contains("1249.50 EUR"), "{page}");
        // Made in 2021 and good for five years from 1 January of it: over since 2026-01-01.
        let fields = rope_fields(&model, &given.store);
        item(&given.officer, &with(&fields, &[("mark", "RL-1"), ("serial", "S1")])).await;
        item(&given.officer, &with(&fields, &[("mark", "RL-2"), ("serial", "S2"), ("made", "2021-06")])).await;
        let api = given.officer.get("/api/v1/trends/ahead").await.json();
        assert_eq!(api["until"], "2029-03-01");
        let ends = api["ends"].as_array().unwrap();
        let of = |month: Value| ends.iter().find(|row| row["month"] == month).unwrap();
        assert_eq!((&of(json!(null))["items"], &of(json!("2026-06"))["cost"]), (&json!(1), &json!({"EUR": "1249.50"})), "{api}");
        assert_eq!(api["later"], 1, "the rope of ten years ends in 2031");
        let page = given.officer.get("/trends/ahead").await.text;
        for words in ["Until 2029-03-01 the life of 1 item ends", "To replace what ends: 1249.50 EUR.", "Past their life already: 1 item, 1249.50 EUR.", "2499.00 EUR"] {
            assert!(page.contains(words), "{words}: {page}");
        }
        let file = given.officer.get("/trends/ahead.csv").await.text;
        assert!(file.contains("over,rope,Tarn & Fell Line 13,1,1249.50 EUR,1249.50 EUR,0,"), "{file}");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn the_age_of_the_fleet_says_what_is_not_known(world) {
        let given = one_rope(&world).await;
        let fields = rope_fields(&given.model, &given.store);
        item(&given.officer, &with(&fields, &[("mark", "RL-1"), ("serial", "S1"), ("made", ""), ("lot", "=1+1")])).await;
        item(&given.officer, &with(&fields, &[("mark", "RL-2"), ("serial", "S2"), ("made", "2012-03-01"), ("first_used_on", "2013-01-01")])).await;
        let page = given.officer.get("/trends").await.text;
        for words in ["Past their life: 1 of 3 (33.3 %)", "The date made is not known of 1 item", "not known", "such items may be younger"] {
            assert!(page.contains(words), "{words}: {page}");
        }
        let api = given.officer.get("/api/v1/trends/ages?kind=rope").await.json();
        // 2026-03-01 is the fourteenth birthday of the one, and the first after five of what may be of 2021-01-01.
        let groups = api["groups"].as_array().unwrap();
        let filled: Vec<_> = groups.iter().filter(|group| group["within"] != 0 || group["past"] != 0 || group["open"] != 0).cloned().collect();
        assert_eq!(filled, [
            json!({"years": 5, "within": 1, "past": 0, "open": 0}),
            json!({"years": 14, "within": 0, "past": 1, "open": 0}),
            json!({"years": null, "within": 0, "past": 0, "open": 1}),
        ]);
        assert_eq!(given.officer.get("/trends?kind=boat").await.status, StatusCode::BAD_REQUEST);
        let failures = given.officer.get("/trends/failures.csv").await.text;
        assert!(failures.contains(",'=1+1,"), "a lot that begins like a formula is made harmless: {failures}");
    }
}
