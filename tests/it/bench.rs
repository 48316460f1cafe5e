//! The bench through its doors: plain forms, sheets that a page keeps, and what is sent late or twice.

use axum::http::{Method, StatusCode, header};
use axum::{body::Body, http::Request};
use serde_json::{Value, json};
use uuid::Uuid;

use crate::{
    attachment_given::photo,
    client::{Answer, Client},
    item_given::{Fields, Given, item, one_rope, with},
    world::World,
};

/// The address that a form of the page is sent to.
pub fn action(page: &str) -> String {
    let from = page
        .split("method=\"post\" action=\"/bench")
        .nth(1)
        .unwrap();
    let to = from.split('"').next().unwrap();
    format!("/bench{}", to.replace("&#38;", "&"))
}

/// The value of a hidden field.
fn hidden(page: &str, name: &str) -> String {
    let from = page
        .split(&format!("name=\"{name}\" value=\""))
        .nth(1)
        .unwrap();
    from.split('"').next().unwrap().to_owned()
}

/// One more rope of the same model, with this mark and serial.
async fn another(given: &Given, mark: &str, serial: &str) -> String {
    let fields: Fields = vec![
        ("model", &given.model),
        ("store", &given.store),
        ("mark", mark),
        ("serial", serial),
        ("made", "2021"),
    ];
    item(&given.officer, &fields).await
}

/// Sends a record as a page does that has kept it: with the person whose it is.
async fn late(client: &Client, (item, id): (&str, Uuid), person: &str, body: &Value) -> Answer {
    let request = Request::builder()
        .method(Method::POST)
        .uri(format!("/api/v1/items/{item}/examinations?id={id}"))
        .header(header::HOST, "gear.test")
        .header("sec-fetch-site", "same-origin")
        .header("ropeloft-person", person)
        .header(header::CONTENT_TYPE, "application/json")
        .body(Body::from(body.to_string()))
        .unwrap();
    client.send(request).await
}

async fn examinations(world: &World, client: &Client, item: &str) -> usize {
    assert!(world.entries().await > 0);
    let all = client
        .get(&format!("/api/v1/items/{item}/examinations"))
        .await
        .json();
    all["examinations"].as_array().unwrap().len()
}

async fn quarantine(client: &Client, item: &str, reason: &str) {
    let step = json!({"step": "quarantine", "reason": reason});
    let answer = client
        .json(Method::POST, &format!("/api/v1/items/{item}/steps"), &step)
        .await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
}

on_both_databases! {
    async fn a_tray_goes_through_plain_forms(world) {
        let given = one_rope(&world).await;
        let second = another(&given, "RL-0043", "S-78").await;
        let officer = &given.officer;
        let start = officer.get("/bench").await;
        assert_eq!(start.status, StatusCode::OK);
        assert!(start.text.contains("<option value=\"periodic\" selected>") && start.text.contains("value=\"2026-03-01\""), "{}", start.text);
        // A serial opens as a mark does, in any case.
        let sitting = format!("look=periodic&on=2026-02-27&place=the%20workshop&store={}", given.store);
        let page = officer.get(&format!("/bench?{sitting}&code=s-78")).await;
        assert!(page.text.contains("data-mark=\"RL-0043\""), "{}", page.text);
        let address = action(&page.text);
        assert!(address.contains(&second) && address.contains("place=the%20workshop"), "{address}");
        // Without a verdict nothing is recorded, and nothing typed is lost.
        let (before, seen) = (world.entries().await, hidden(&page.text, "seen"));
        let typed = [("seen", seen.as_str()), ("answers[slide][outcome]", "watch"), ("answers[slide][note]", "a <little>"), ("verdict", "")];
        let wrong = officer.post(&address, &typed).await;
        assert_eq!((wrong.status, world.entries().await), (StatusCode::UNPROCESSABLE_ENTITY, before));
        assert!(wrong.text.contains("Choose fit, quarantine or retire") && wrong.text.contains("value=\"a &#60;little&#62;\""), "{}", wrong.text);
        assert!(wrong.text.contains("value=\"the workshop\"") && action(&wrong.text) == address, "{}", wrong.text);
        // "Fit" passes the rest, and leads back to the scan in the same sitting.
        let done = officer.post(&address, &with(&typed, &[("verdict", "fit")])).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        assert!(done.location().starts_with("/bench?look=periodic&on=2026-02-27") && done.location().contains("store="), "{}", done.location());
        let sheet = officer.get(&format!("/api/v1/items/{second}/examinations")).await.json();
        let one = &sheet["examinations"][0];
        assert_eq!((&one["verdict"], &one["place"], &one["on"]), (&json!("fit"), &json!("the workshop"), &json!("2026-02-27")));
        let page = officer.get(done.location()).await.text;
        assert!(page.contains("1 of 2 items looked at.") && page.contains("fit, 2026-02-27"), "{page}");
        let shown = format!("/items/{second}/examinations/{}", one["id"].as_str().unwrap());
        assert!(officer.get(&shown).await.text.contains("the workshop"));
        assert!(officer.get("/examinations.csv").await.text.contains("the workshop"));
        // The form that was sent twice made it once.
        assert_eq!(officer.post(&address, &with(&typed, &[("verdict", "fit")])).await.status, StatusCode::SEE_OTHER);
        assert_eq!(examinations(&world, officer, &second).await, 1);
    }

    async fn photos_follow_a_record_in_one_press_without_a_script(world) {
        let given = one_rope(&world).await;
        let officer = &given.officer;
        let sitting = format!("look=periodic&on=2026-02-27&place=the%20workshop&store={}", given.store);
        let page = officer.get(&format!("/bench?{sitting}&code=RL-0042")).await;
        let (address, seen) = (action(&page.text), hidden(&page.text, "seen"));
        let done = officer.post(&address, &[("seen", seen.as_str()), ("verdict", "fit")]).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        let bench = officer.get(done.location()).await.text;
        assert!(bench.contains("Add photos of RL-0042"), "{bench}");
        let from = bench.split("href=\"/attachments/new").nth(1).unwrap();
        let form = format!("/attachments/new{}", from.split('"').next().unwrap().replace("&#38;", "&"));
        let page = officer.get(&form).await.text;
        assert!(page.contains("On an examination of RL-0042.") && page.contains("multipart/form-data"), "{page}");
        let from = page.split("action=\"/attachments?").nth(1).unwrap();
        let sent = format!("/attachments?{}", from.split('"').next().unwrap().replace("&#38;", "&"));
        // Limits and sentences are those of every form for photos, and the way back is kept.
        let before = world.entries().await;
        let none = officer.upload(&sent, &[("caption", None, b"the sheath")]).await;
        assert_eq!((none.status, world.entries().await), (StatusCode::UNPROCESSABLE_ENTITY, before));
        assert!(none.text.contains("Choose a file, or take a photo.") && none.text.contains("value=\"the sheath\""), "{}", none.text);
        assert!(none.text.contains("back=/bench"), "{}", none.text);
        let shot = photo(3);
        let fields = [("caption", None, b"the sheath".as_slice()), ("camera", Some("shot.jpg"), shot.as_slice())];
        let put = officer.upload(&sent, &fields).await;
        assert_eq!(put.status, StatusCode::SEE_OTHER, "{}", put.text);
        assert!(put.location().starts_with("/bench?look=periodic&on=2026-02-27&place=the%20workshop") && put.location().contains("store="), "{}", put.location());
        let all = officer.get(&format!("/api/v1/items/{}/examinations", given.item)).await.json();
        let id = all["examinations"][0]["id"].as_str().unwrap();
        assert_eq!(officer.on_record(&format!("examination={id}")).await[0]["caption"], "the sheath");
        // A form that names a page of somebody else's leads back to none.
        let elsewhere = officer.get(&format!("/attachments/new?examination={id}&back=https%3A%2F%2Felsewhere.test%2F")).await;
        assert!(!elsewhere.text.contains("elsewhere.test"), "{}", elsewhere.text);
        let nobody = officer.get(&format!("/bench?recorded={}", Uuid::now_v7())).await;
        assert!(nobody.status == StatusCode::OK && !nobody.text.contains("Add photos of"), "{}", nobody.text);
    }

    async fn what_is_out_at_once_is_never_fit(world) {
        let given = one_rope(&world).await;
        let page = given.officer.get(&format!("/bench?item={}", given.item)).await.text;
        let fail = [("answers[core][outcome]", "fail"), ("answers[core][note]", "seen at 12 m"), ("verdict", "fit")];
        let refused = given.officer.post(&action(&page), &fail).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(refused.text.contains("puts it out for good: choose to retire it."), "{}", refused.text);
        let done = given.officer.post(&action(&page), &with(&fail, &[("verdict", "retire")])).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        // What is retired is opened no more, and says so.
        let page = given.officer.get("/bench?code=RL-0042").await.text;
        assert!(page.contains("RL-0042 is retired: it cannot be examined."), "{page}");
        let kept = given.officer.get("/bench/sheets?code=RL-0042").await;
        assert_eq!(kept.status, StatusCode::CONFLICT);
        let page = given.officer.get(&format!("/bench?store={}", given.store)).await.text;
        assert!(page.contains("Nothing that could be looked at"), "{page}");
    }

    async fn what_cannot_be_opened_says_why(world) {
        let given = one_rope(&world).await;
        let officer = &given.officer;
        another(&given, "RL-0050", "TWIN").await;
        let unknown = officer.get("/bench?code=nothing-has-this").await;
        assert_eq!(unknown.status, StatusCode::OK);
        assert!(unknown.text.contains("No item has this code, mark or serial.") && unknown.text.contains("/scan?code=nothing-has-this"), "{}", unknown.text);
        let broken = officer.get("/bench?code=%5Dd20109521234543214").await;
        assert_eq!(broken.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", broken.text);
        assert!(broken.text.contains("href=\"#f-code\"") && broken.text.contains("value=\"]d20109521234543214\""), "{}", broken.text);
        let both = officer.get(&format!("/bench?store={}&job={}", given.store, Uuid::now_v7())).await;
        assert_eq!(both.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(both.text.contains("not both") && both.text.contains("href=\"#f-list\""), "{}", both.text);
        for (query, status) in [
            (format!("items={}", Uuid::now_v7()), StatusCode::NOT_FOUND),
            ("items=x".to_owned(), StatusCode::NOT_FOUND),
            (format!("job={}", Uuid::now_v7()), StatusCode::NOT_FOUND),
            (format!("item={}", Uuid::now_v7()), StatusCode::NOT_FOUND),
            ("kind=balloon".to_owned(), StatusCode::BAD_REQUEST),
        ] {
            assert_eq!(officer.get(&format!("/bench?{query}")).await.status, status, "{query}");
            assert_eq!(officer.get(&format!("/bench/sheets?{query}")).await.status, status, "{query}");
        }
        let many = vec![given.item.clone(); 501].join(",");
        assert_eq!(officer.get(&format!("/bench?items={many}")).await.status, StatusCode::OK, "one item, named often");
        let many: Vec<String> = (0..501).map(|_| Uuid::now_v7().to_string()).collect();
        let long = officer.get(&format!("/bench?items={}", many.join(","))).await;
        assert!(long.text.contains("at most 500 items"), "{}", long.text);
    }

    async fn a_serial_that_several_have_is_asked_about(world) {
        let given = one_rope(&world).await;
        let other = crate::item_given::model(&given.officer, &with(&crate::item_given::ROPE, &[("name", "Line 12")])).await;
        let fields: Fields = vec![("model", &other), ("store", &given.store), ("mark", "X-1"), ("serial", "S-77<1>"), ("made", "2021")];
        item(&given.officer, &fields).await;
        let page = given.officer.get("/bench?code=S-77%3C1%3E").await.text;
        assert!(page.contains("Several items may be meant by this") && page.contains("X-1: ") && page.contains("RL-0042: "), "{page}");
        let sheets = given.officer.get("/bench/sheets?code=S-77%3C1%3E").await.text;
        assert_eq!(sheets.matches("data-sheet=").count(), 2, "{sheets}");
    }

    async fn a_mark_that_is_the_serial_of_another_is_asked_about(world) {
        let given = one_rope(&world).await;
        let fields: Fields = vec![("model", &given.model), ("store", &given.store), ("mark", "S-77<1>"), ("serial", "S-80"), ("made", "2021")];
        item(&given.officer, &fields).await;
        let page = given.officer.get("/bench?code=S-77%3C1%3E").await.text;
        assert!(page.contains("Several items may be meant by this") && page.contains("S-77&#60;1&#62;: ") && page.contains("RL-0042: "), "{page}");
        let sheets = given.officer.get("/bench/sheets?code=S-77%3C1%3E").await.text;
        assert_eq!(sheets.matches("data-sheet=").count(), 2, "{sheets}");
    }

    async fn sheets_are_given_for_a_page_that_keeps_them(world) {
        let given = one_rope(&world).await;
        let code = json!({"text": "(01)09521234543213(21)A-1"});
        given.officer.json(Method::POST, &format!("/api/v1/items/{}/tags", given.item), &code).await;
        let second = another(&given, "RL-0043", "S-78").await;
        let crew = world.visitor(&world.crew).await;
        for query in [format!("store={}", given.store), format!("items={second},{}", given.item), "kind=rope".to_owned()] {
            let sheets = crew.get(&format!("/bench/sheets?{query}")).await;
            assert_eq!(sheets.status, StatusCode::OK, "{}", sheets.text);
            assert_eq!((sheets.text.matches("data-sheet=").count(), sheets.text.matches("data-row=").count()), (2, 2), "{query}");
            assert!(sheets.text.contains("data-codes=\"(01)09521234543213(21)A-1\""), "{}", sheets.text);
            assert!(!sheets.text.contains("<html"), "a part of a page");
        }
        let page = crew.get("/bench").await.text;
        assert!(page.contains("<option value=\"pre-use\" selected>") && !page.contains("value=\"periodic\""), "{page}");
        let outsider = world.visitor(&world.outsider).await;
        assert_eq!(outsider.get(&format!("/bench/sheets?item={second}")).await.status, StatusCode::NOT_FOUND);
        let auditor = world.visitor(&world.auditor).await;
        assert_eq!(auditor.get("/bench").await.status, StatusCode::FORBIDDEN);
    }

    async fn what_is_sent_late_or_twice_is_recorded_once(world) {
        let given = one_rope(&world).await;
        let (officer, id) = (&given.officer, Uuid::now_v7());
        let me = world.officer.person.to_string();
        let page = officer.get(&format!("/bench?item={}", given.item)).await.text;
        let body = json!({"kind": "periodic", "on": "2026-02-28", "verdict": "fit", "rest": "pass", "place": "shaft 4",
            "seen": hidden(&page, "seen"), "checklist": hidden(&page, "checklist")});
        for _ in 0..3 {
            let sent = late(officer, (&given.item, id), &me, &body).await;
            assert_eq!(sent.status, StatusCode::CREATED, "{}", sent.text);
            assert_eq!(sent.json()["id"], id.to_string());
        }
        // The state that was seen is over by now; what was recorded before it changed stays recorded.
        quarantine(officer, &given.item, "fell").await;
        assert_eq!(late(officer, (&given.item, id), &me, &body).await.status, StatusCode::CREATED);
        assert_eq!(examinations(&world, officer, &given.item).await, 1);
    }

    async fn nobody_sends_what_somebody_else_wrote(world) {
        let given = one_rope(&world).await;
        let crew = world.visitor(&world.crew).await;
        let body = json!({"kind": "pre-use", "on": "2026-02-28", "verdict": "fit"});
        let before = world.entries().await;
        for person in [world.officer.person.to_string(), Uuid::now_v7().to_string(), String::new()] {
            let sent = late(&crew, (&given.item, Uuid::now_v7()), &person, &body).await;
            assert_eq!(sent.status, StatusCode::UNAUTHORIZED, "{}", sent.text);
        }
        assert_eq!(world.entries().await, before);
        let mine = world.crew.person.to_string();
        assert_eq!(late(&crew, (&given.item, Uuid::now_v7()), &mine, &body).await.status, StatusCode::CREATED);
        let stranger = world.stranger();
        assert_eq!(late(&stranger, (&given.item, Uuid::now_v7()), &mine, &body).await.status, StatusCode::UNAUTHORIZED);
    }

    async fn fit_is_not_recorded_where_the_state_changed_meanwhile(world) {
        let given = one_rope(&world).await;
        let (officer, me) = (&given.officer, world.officer.person.to_string());
        let page = officer.get(&format!("/bench?item={}", given.item)).await.text;
        let body = |verdict: &str, seen: &str| json!({"kind": "periodic", "on": "2026-03-01", "verdict": verdict, "rest": "pass",
            "findings": "looked at", "seen": seen});
        let seen = hidden(&page, "seen");
        world.clock.advance(time::Duration::hours(1));
        quarantine(officer, &given.item, "a notice <of> today").await;
        let before = world.entries().await;
        let id = Uuid::now_v7();
        let refused = late(officer, (&given.item, id), &me, &body("fit", &seen)).await;
        assert_eq!((refused.status, world.entries().await), (StatusCode::UNPROCESSABLE_ENTITY, before));
        let told = refused.json();
        assert_eq!((&told["fields"][0]["field"], &told["fields"][0]["code"]), (&json!("seen"), &json!("stale")));
        let sentence = told["fields"][0]["message"].as_str().unwrap();
        assert!(sentence.contains("quarantined since 2026-03-01 (a notice <of> today)") && sentence.contains("Look at it again"), "{sentence}");
        // The plain form says so too, and shows it as it is now; pressed again, it is meant so.
        let fields = [("seen", seen.as_str()), ("verdict", "fit")];
        let form = officer.post(&action(&page), &fields).await;
        assert_eq!(form.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(form.text.contains("a notice &#60;of&#62; today") && hidden(&form.text, "seen") != seen, "{}", form.text);
        // What takes it out of use is never held up.
        let bad = late(officer, (&given.item, Uuid::now_v7()), &me, &body("quarantine", &seen)).await;
        assert_eq!(bad.status, StatusCode::CREATED, "{}", bad.text);
        let now = hidden(&officer.get(&format!("/bench?item={}", given.item)).await.text, "seen");
        let again = late(officer, (&given.item, id), &me, &body("fit", &now)).await;
        assert_eq!(again.status, StatusCode::CREATED, "{}", again.text);
        // What is retired meanwhile is told with what the server says.
        let retire = json!({"step": "retire", "reason": "gone"});
        officer.json(Method::POST, &format!("/api/v1/items/{}/steps", given.item), &retire).await;
        for verdict in ["fit", "quarantine"] {
            let late = late(officer, (&given.item, Uuid::now_v7()), &me, &body(verdict, "")).await;
            assert_eq!(late.status, StatusCode::CONFLICT, "{}", late.text);
            assert!(late.json()["detail"].as_str().unwrap().contains("retired"), "{}", late.text);
        }
    }

    async fn a_round_is_a_list_on_which_all_its_days_count(world) {
        let given = one_rope(&world).await;
        let second = another(&given, "RL-0043", "S-78").await;
        let (officer, id) = (&given.officer, Uuid::now_v7());
        let draft = json!({"name": "March <1>", "from": "2026-03-01", "to": "2026-03-31", "items": format!("{},{second}", given.item)});
        let planned = officer.json(Method::POST, &format!("/api/v1/rounds?id={id}"), &draft).await;
        assert_eq!(planned.status, StatusCode::CREATED, "{}", planned.text);
        let page = officer.get(&format!("/bench?round={id}&item={second}")).await.text;
        assert!(page.contains("March &#60;1&#62;") && page.contains("0 of 2 items looked at."), "{page}");
        let done = officer.post(&action(&page), &[("verdict", "fit")]).await;
        assert!(done.location().contains(&format!("round={id}")), "{}", done.text);
        // On a later day of the round what was done before counts.
        world.clock.advance(time::Duration::days(5));
        let page = officer.get(&format!("/bench?round={id}")).await.text;
        assert!(page.contains("1 of 2 items looked at.") && page.contains("fit, 2026-03-01"), "{page}");
        let there = officer.get(&format!("/rounds/{id}")).await.text;
        assert!(there.contains(&format!("/bench?round={id}")), "{there}");
        for query in ["x".to_owned(), Uuid::now_v7().to_string()] {
            assert_eq!(officer.get(&format!("/bench?round={query}")).await.status, StatusCode::NOT_FOUND);
        }
        let outsider = world.visitor(&world.outsider).await;
        assert_eq!(outsider.get(&format!("/bench?round={id}")).await.status, StatusCode::NOT_FOUND);
    }

    async fn the_script_for_no_line_stands_where_it_sees_every_page(world) {
        let answer = world.stranger().get("/worker.js").await;
        assert_eq!(answer.status, StatusCode::OK);
        assert_eq!(answer.header(header::CONTENT_TYPE), "text/javascript");
        assert_eq!(answer.header(header::CACHE_CONTROL), "private, no-cache");
        assert!(answer.header(header::CONTENT_SECURITY_POLICY).starts_with("default-src 'none'"));
    }
}
