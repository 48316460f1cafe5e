//! What a correction or the withdrawal of a notice does to what it was closed for, and what stays to be read of both.

use axum::http::{Method, StatusCode};
use ropeloft::domain::{Change, NoticeClosing, NoticeCorrection};
use serde_json::{Value, json};
use time::macros::{date, datetime};

use crate::{
    client::Client,
    item_given::{Given, item, one_rope, rope_fields, with},
    stock,
};

fn draft(lots: &str, action: &str) -> Value {
    json!({"title": "Sheath slips", "issuer": "Tarn & Fell", "issued_on": "2026-02-01", "maker": "Tarn & Fell",
        "lots": lots, "action": action})
}

/// Opens the notice; gives its address in the API.
async fn open(officer: &Client, draft: &Value) -> String {
    let done = officer.json(Method::POST, "/api/v1/notices", draft).await;
    assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
    format!("/api/v1/notices/{}", done.json()["id"].as_str().unwrap())
}

/// Corrects the notice; `what` is said in place of what the draft says.
async fn correct(officer: &Client, notice: &str, draft: &Value, reason: &str) -> Value {
    let mut told = draft.clone();
    told["reason"] = json!(reason);
    let seen = officer.get(notice).await;
    let tag = seen.headers["etag"].to_str().unwrap().to_owned();
    let done = officer.json_if(Method::PUT, notice, &tag, &told).await;
    assert_eq!(done.status, StatusCode::OK, "{}", done.text);
    done.json()
}

async fn close(officer: &Client, notice: &str, item: &str, result: &str) {
    let closing = format!("{notice}/items/{item}");
    let done = officer
        .json(Method::POST, &closing, &json!({ "result": result }))
        .await;
    assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
}

async fn give_back(officer: &Client, item: &str) {
    let step = json!({"step": "return-to-service", "reason": "sheath checked, no slip"});
    let done = officer
        .json(Method::POST, &format!("/api/v1/items/{item}/steps"), &step)
        .await;
    assert_eq!(done.status, StatusCode::OK, "{}", done.text);
}

async fn state(officer: &Client, item: &str) -> Value {
    let sheet = officer.get(&format!("/api/v1/items/{item}")).await.json();
    sheet["item"]["state"].clone()
}

/// A rope of another lot beside the one that is there.
async fn of_lot(given: &Given, mark: &str, lot: &str) -> String {
    let fields = rope_fields(&given.model, &given.store);
    let serial = format!("S-{mark}");
    let other = with(
        &fields,
        &[("mark", mark), ("serial", serial.as_str()), ("lot", lot)],
    );
    item(&given.officer, &other).await
}

fn page_of(notice: &str) -> String {
    notice.trim_start_matches("/api/v1").to_owned()
}

fn row<'a>(sheet: &'a Value, item: &str) -> &'a Value {
    let rows = sheet["covers"].as_array().unwrap();
    rows.iter()
        .find(|row| row["item"]["id"] == item)
        .unwrap_or_else(|| panic!("{item}: {sheet}"))
}

on_both_databases! {
    async fn another_action_opens_the_notice_again_for_what_it_was_closed_for(world) {
        let given = one_rope(&world).await;
        let officer = &given.officer;
        let notice = open(officer, &draft("L8, L9", "Send it back")).await;
        close(officer, &notice, &given.item, "sheath checked").await;
        give_back(officer, &given.item).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        let rope = tx.item_marked("RL-0042").await.unwrap().unwrap();
        drop(tx);
        let job = stock::rigged("Shaft 3", 4);
        world.record(Change::JobPlanned(job.clone())).await;
        world.record(Change::KitLineAdded(stock::line(&job, &rope, None))).await;
        // Of the same action the closing holds, however its lines and blanks are sent.
        let done = correct(officer, &notice, &draft("L9", " Send it back\r\n"), "the lot").await;
        assert_eq!((&done["opened_again"], &done["held"]), (&json!(0), &json!(0)), "{done}");
        assert_eq!(row(&officer.get(&notice).await.json(), &given.item)["standing"], "closed");
        assert_eq!(state(officer, &given.item).await, "in-service");
        let form = officer.get(&format!("{}/correct", page_of(&notice))).await.text;
        assert!(form.contains("open again for every item that it was closed for"), "{form}");
        let form = officer.get("/notices/new").await.text;
        assert!(!form.contains("open again"), "{form}");
        world.clock.advance(time::Duration::days(10));
        let given = Given { officer: world.visitor(&world.officer).await, ..given };
        let officer = &given.officer;
        let done = correct(officer, &notice, &draft("L9", "Destroy it"), "the maker says so").await;
        assert_eq!((&done["opened_again"], &done["held"], &done["action"]), (&json!(1), &json!(1), &json!("Destroy it")), "{done}");
        let sheet = officer.get(&notice).await.json();
        assert_eq!((&sheet["open"], &row(&sheet, &given.item)["standing"]), (&json!(1), &json!("open")), "{sheet}");
        assert_eq!(state(officer, &given.item).await, "quarantined");
        let page = world.visitor(&world.crew).await.get(&format!("/jobs/{}", job.id)).await.text;
        assert!(page.contains("Recalled while on this job: RL-0042"), "{page}");
        // The result stands in the history, and nothing returns before there is another.
        let history = officer.get(&format!("/items/{}/history", given.item)).await.text;
        assert!(history.contains("sheath checked"), "{history}");
        let step = json!({"step": "return-to-service", "reason": "sound"});
        let refused = officer.json(Method::POST, &format!("/api/v1/items/{}/steps", given.item), &step).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", refused.text);
        // As known then it was closed; as known now its result answered another question.
        let past = officer.get(&format!("/api/v1/items/{}/then?on=2026-03-05", given.item)).await.json();
        let rows = past["rows"].as_array().unwrap();
        let open_then = rows.iter().find(|row| row["fact"] == "Open notices").unwrap();
        assert_eq!(open_then["then"], "none", "{past}");
        assert!(open_then["now"].as_str().unwrap().contains("Sheath slips"), "{past}");
        assert_eq!(crate::store_rebuild::again(&world).await.differences, []);
        close(officer, &notice, &given.item, "destroyed").await;
        assert_eq!(row(&officer.get(&notice).await.json(), &given.item)["closing"]["result"], "destroyed");
        assert_eq!(crate::store_rebuild::again(&world).await.differences, []);
    }

    async fn closings_go_where_the_action_is_another_and_nowhere_else(world) {
        let stock = world.stock().await;
        let first = stock::notice("Fjordwerk", date!(2025 - 05 - 01));
        let second = stock::notice("Fjordwerk", date!(2025 - 06 - 01));
        for notice in [&first, &second] {
            world.record(Change::NoticeOpened(notice.clone())).await;
            let closing = NoticeClosing { notice: notice.id, item: stock.first.id, result: "sound".into() };
            world.record(Change::NoticeClosed(closing)).await;
        }
        let closed = async || {
            let mut tx = world.database.read(world.team).await.unwrap();
            let closings = tx.closings_of(&[stock.first.id]).await.unwrap();
            closings.into_iter().map(|closing| closing.notice).collect::<Vec<_>>()
        };
        let mut notice = first.clone();
        notice.title = "Another title".into();
        let correct = async |notice: &ropeloft::domain::Notice| {
            let correction = NoticeCorrection { notice: notice.clone(), reason: "a slip".into() };
            world.record(Change::NoticeCorrected(Box::new(correction))).await;
        };
        correct(&notice).await;
        assert_eq!(closed().await, [first.id, second.id]);
        notice.action = "Destroy it.".into();
        correct(&notice).await;
        assert_eq!(closed().await, [second.id]);
        assert_eq!(crate::store_rebuild::again(&world).await.differences, []);
    }

    async fn the_course_of_a_notice_is_told_and_a_correction_of_nothing_refused(world) {
        let given = one_rope(&world).await;
        let officer = &given.officer;
        let first = draft("L8, L9", "Send it back");
        let notice = open(officer, &first).await;
        let before = world.entries().await;
        let mut same = first.clone();
        same["reason"] = json!("same");
        let refused = officer.json_if(Method::PUT, &notice, "\"0\"", &same).await;
        assert_eq!((refused.status, world.entries().await), (StatusCode::UNPROCESSABLE_ENTITY, before), "{}", refused.text);
        assert_eq!(refused.json()["fields"][0]["code"], "unchanged");
        correct(officer, &notice, &draft("L9", "Destroy <it>"), "read again").await;
        let withdrawn = officer.json(Method::POST, &format!("{notice}/withdrawal"), &json!({"reason": "of another maker"})).await;
        assert_eq!(withdrawn.status, StatusCode::CREATED, "{}", withdrawn.text);
        let course = officer.get(&notice).await.json()["course"].clone();
        let steps: Vec<_> = course.as_array().unwrap().iter().map(|step| step["what"].as_str().unwrap()).collect();
        assert_eq!(steps, ["opened", "corrected", "withdrawn"], "{course}");
        assert_eq!(course[1]["changed"], json!([
            {"field": "lots", "from": "L8, L9", "to": "L9"},
            {"field": "action", "from": "Send it back", "to": "Destroy <it>"},
        ]));
        assert_eq!((&course[1]["reason"], &course[1]["by"], &course[2]["reason"]), (&json!("read again"), &course[0]["by"], &json!("of another maker")));
        let page = officer.get(&page_of(&notice)).await.text;
        for words in [
            "Its course", "read again", "of another maker", "Lots: from &#34;L8, L9&#34; to &#34;L9&#34;",
            "What is to be done: from &#34;Send it back&#34; to &#34;Destroy &#60;it&#62;&#34;", "open again for all that it was closed for",
        ] {
            assert!(page.contains(words), "{words}: {page}");
        }
        assert!(officer.get("/").await.text.contains("withdrawn since"));
    }

    async fn a_withdrawn_notice_keeps_its_list_and_its_results(world) {
        let given = one_rope(&world).await;
        let other = of_lot(&given, "RL-0043", "L7").await;
        let third = of_lot(&given, "RL-0044", "L9").await;
        let officer = &given.officer;
        let notice = open(officer, &draft("L7, L9", "Send it back")).await;
        for item in [&given.item, &other] {
            close(officer, &notice, item, "sheath checked").await;
        }
        // A correction lets one out: its result stays on the list.
        correct(officer, &notice, &draft("L9", "Send it back"), "not that lot").await;
        let sheet = officer.get(&notice).await.json();
        assert_eq!((&sheet["all"], &sheet["open"], &sheet["let_out"]), (&json!(2), &json!(1), &json!(1)), "{sheet}");
        assert_eq!(row(&sheet, &other)["standing"], "let-out");
        let text = officer.get(&format!("/items/{other}")).await.text;
        assert!(text.contains("was corrected on 2026-03-01 and covers it no more: not that lot"), "{text}");
        let told = officer.get(&format!("/api/v1/items/{other}")).await.json();
        assert!(told["let_go"].as_str().unwrap().contains("was corrected on 2026-03-01 and covers it no more: not that lot"), "{told}");
        let held = officer.get(&format!("/items/{third}")).await.text;
        assert!(!held.contains("covers it no more"), "{held}");
        assert_eq!(officer.get(&format!("/api/v1/items/{third}")).await.json()["let_go"], json!(null));
        world.clock.advance(datetime!(2026-03-04 09:00 UTC) - world.clock.now());
        let given = Given { officer: world.visitor(&world.officer).await, ..given };
        let officer = &given.officer;
        let done = officer.json(Method::POST, &format!("{notice}/withdrawal"), &json!({"reason": "of another maker"})).await;
        assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
        let sheet = officer.get(&notice).await.json();
        assert_eq!((&sheet["all"], &sheet["open"], &sheet["let_out"]), (&json!(2), &json!(0), &json!(1)), "{sheet}");
        assert_eq!((&row(&sheet, &third)["standing"], &row(&sheet, &third)["closing"]), (&json!("withdrawn"), &json!(null)));
        assert_eq!(row(&sheet, &given.item)["closing"]["result"], "sheath checked");
        let page = officer.get(&page_of(&notice)).await.text;
        for words in ["Items that it covered", "RL-0042", "RL-0043", "RL-0044", "It covered 2 items", "It covers this item no more", "It was not closed for this item before"] {
            assert!(page.contains(words), "{words}: {page}");
        }
        assert!(!page.contains("/closings"), "{page}");
        let file = world.visitor(&world.auditor).await.get(&format!("{}/holders.csv", page_of(&notice))).await.text;
        assert_eq!((file.lines().count(), file.matches("sheath checked").count()), (4, 2), "{file}");
        assert!(file.contains(",withdrawn") && file.contains(",let-out"), "{file}");
        let asked = format!("/questions/recalled-lot?notice={}", notice.rsplit('/').next().unwrap());
        let answer = officer.get(&format!("/api/v1{asked}")).await.json();
        assert_eq!(answer["rows"].as_array().unwrap().len(), 3, "{answer}");
        let fates = answer.to_string();
        for words in ["notice withdrawn, before that closed for it: sheath checked", "covered no more, by a correction", "were covered by a notice that was withdrawn"] {
            assert!(fates.contains(words), "{words}: {answer}");
        }
        let page = officer.get(&asked).await.text;
        assert!(page.contains("It was withdrawn: of another maker. This is what it covered until then."), "{page}");
        let text = officer.get(&format!("/items/{third}")).await.text;
        assert!(text.contains("The safety notice &#34;Sheath slips&#34; was withdrawn on 2026-03-04: of another maker"), "{text}");
        give_back(officer, &third).await;
        assert!(!officer.get(&format!("/items/{third}")).await.text.contains("was withdrawn on"));
        assert_eq!(crate::store_rebuild::again(&world).await.differences, []);
    }

    async fn the_equipment_record_tells_steps_and_notices(world) {
        let given = one_rope(&world).await;
        let officer = &given.officer;
        let notice = open(officer, &draft("L9", "Send it back")).await;
        close(officer, &notice, &given.item, "sheath checked").await;
        give_back(officer, &given.item).await;
        for (step, reason) in [("report-missing", "not in the van"), ("quarantine", "found in the boat"), ("retire", "worn through")] {
            let step = json!({"step": step, "reason": reason});
            let done = officer.json(Method::POST, &format!("/api/v1/items/{}/steps", given.item), &step).await;
            assert_eq!(done.status, StatusCode::OK, "{}", done.text);
        }
        let paper = officer.get(&format!("/items/{}/record.pdf", given.item)).await;
        crate::paper_reader::checked(&paper.bytes);
        let Some(text) = crate::paper_reader::text_of(&paper.bytes) else { return };
        let text = crate::paper_reader::flat(&text);
        assert!(!text.contains("Nothing is recorded."), "{text}");
        let (_, happened) = text.split_once("What happened to it").unwrap();
        for words in [
            "RL-0042 put in", "safety notice: Sheath slips", "sheath checked", "no slip", "not in the van", "found in the boat",
            "worn through", "Safety notice opened", "2026-03-01",
        ] {
            assert!(happened.contains(words), "{words}: {happened}");
        }
        let mut tx = world.database.read(world.team).await.unwrap();
        let who = tx.person(world.officer.person).await.unwrap().unwrap().name;
        let who = who.split(' ').next().unwrap();
        assert!(happened.matches(who).count() >= 7, "{who}: {happened}");
    }
}
