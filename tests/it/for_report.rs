//! What the report of a thorough examination asks for: recorded through page and API, held against the rest, and read
//! back from the paper. The items are those of LOLER 1998 (UK), Schedule 1 (published law).

use axum::http::{Method, StatusCode};
use ropeloft::domain::{
    Change, Examination, Qualification, QualificationId, Team, TeamId, date::read_day,
};
use serde_json::{Value, json};
use time::macros::date;

use crate::{
    client::Client,
    issue::under,
    item_given::{OUTSIDE, ROPE, examine, item, model, one_rope, rope_fields, store, with},
    paper_reader::{checked, text_of},
    stock,
    store_rebuild::again,
    world::World,
};

/// The text of a report without its line ends; none where no reader of PDF is installed.
async fn report(client: &Client, id: &str) -> Option<String> {
    let answer = client.get(&format!("/examinations/{id}/report.pdf")).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
    checked(&answer.bytes);
    let text = text_of(&answer.bytes)?;
    Some(text.split_whitespace().collect::<Vec<_>>().join(" "))
}

fn says(report: &str, said: &[&str]) {
    for said in said {
        assert!(report.contains(said), "{said} is missing: {report}");
    }
}

/// The last examination of an item, as programs get it.
async fn last(client: &Client, item: &str) -> Value {
    let path = format!("/api/v1/items/{item}/examinations");
    client.get(&path).await.json()["examinations"][0].clone()
}

async fn qualified(world: &World, draft: Value) {
    let admin = world.visitor(&world.admin).await;
    let made = admin
        .json(Method::POST, "/api/v1/qualifications", &draft)
        .await;
    assert_eq!(made.status, StatusCode::CREATED, "{}", made.text);
}

async fn settled(world: &World) {
    let admin = world.visitor(&world.admin).await;
    let fields = [
        ("name", "North"),
        ("rulebook", "european"),
        ("employer", "North Water\n1 Quay Street"),
        ("premises", "Depot 2\nTarn"),
    ];
    let done = admin.post("/team", &fields).await;
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
}

#[test]
fn what_was_written_before_these_fields_still_reads_and_is_written_as_before() {
    let team = json!({"id": uuid::Uuid::nil(), "name": "North", "rulebook": "european", "time_zone": "UTC"});
    let read: Team = serde_json::from_value(team.clone()).unwrap();
    assert_eq!(
        read,
        Team::new(TeamId(uuid::Uuid::nil()), "North", "european")
    );
    assert_eq!(serde_json::to_value(&read).unwrap(), team);
    let id = QualificationId(uuid::Uuid::nil());
    let held = json!({"id": id, "holder": {"outside": {"name": "A", "body": ""}}, "kinds": [], "from": "2025-01-01",
        "until": null, "evidence": "a course"});
    let read: Qualification = serde_json::from_value(held.clone()).unwrap();
    assert_eq!(
        (read.address.as_str(), serde_json::to_value(&read).unwrap()),
        ("", held)
    );
    let look = json!({"id": uuid::Uuid::nil(), "item": uuid::Uuid::nil(), "kind": "periodic", "on": "2025-01-01",
        "recorded_by": uuid::Uuid::nil(), "examiner": "A", "findings": "", "verdict": "fit", "next_due_on": "2026-01-01"});
    let read: Examination = serde_json::from_value(look.clone()).unwrap();
    assert!(read.report.is_empty());
    assert_eq!(serde_json::to_value(&read).unwrap(), look);
}

on_both_databases! {
    async fn the_page_asks_for_what_the_report_needs_in_a_fold(world) {
        let given = one_rope(&world).await;
        let page = format!("/items/{}/examinations", given.item);
        let form = given.officer.get(&format!("{page}/new")).await.text;
        assert!(form.contains("<details><summary>For the report</summary>"), "closed at first: {form}");
        let quick = given.officer.get(&format!("{page}/new?look=quick")).await.text;
        assert!(!quick.contains("For the report"), "{quick}");
        // What is wrong in the fold stands open, with all that was typed.
        let typed = [("kind", "periodic"), ("on", "2026-02-20"), ("verdict", "quarantine"), ("findings", "two soft places"),
            ("place", "Shaft 3"), ("report[first]", "no"), ("report[danger]", "by"), ("report[danger_by]", "2026-02-19"),
            ("report[repair]", "cut off\nthe end"), ("report[tests]", "bent <by hand>")];
        let wrong = given.officer.post(&page, &typed).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        let sentence = "The day must be after that of the examination, 2026-02-20, not 2026-02-19";
        for said in ["<details open><summary>For the report</summary>", "href=\"#f-report-danger_by\"", sentence, "value=\"2026-02-19\"",
            "name=\"report[first]\" value=\"no\" checked", "name=\"report[danger]\" value=\"by\" checked", "value=\"Shaft 3\"",
            "cut off\nthe end</textarea>", "bent &#60;by hand&#62;</textarea>"] {
            assert!(wrong.text.contains(said), "{said}: {}", wrong.text);
        }
        examine(&given.officer, &given.item, &with(&typed, &[("report[danger_by]", "2026-05-01")])).await;
        let one = last(&given.officer, &given.item).await;
        assert_eq!(one["report"], json!({"first": "no", "repair": "cut off\nthe end", "danger": {"by": "2026-05-01"}, "tests": "bent <by hand>"}));
        let shown = given.officer.get(&format!("{page}/{}", one["id"].as_str().unwrap())).await.text;
        for said in ["For the report", "not yet; a defect could become a danger to persons by 2026-05-01", "cut off\nthe end", "bent &#60;by hand&#62;", "Shaft 3"] {
            assert!(shown.contains(said), "{said}: {shown}");
        }
        let history = given.officer.get(&format!("/items/{}/history", given.item)).await.text;
        assert!(history.contains("could become a danger to persons by 2026-05-01"), "{history}");
        let file = given.officer.get("/examinations.csv").await.text;
        let mut rows = csv::Reader::from_reader(file.trim_start_matches('\u{feff}').as_bytes());
        let names = rows.headers().unwrap().clone();
        let row = rows.records().next().unwrap().unwrap();
        let cell = |name: &str| row[names.iter().position(|one| one == name).unwrap()].to_owned();
        assert_eq!(["first_there", "repair", "danger", "danger_by", "tests"].map(cell), ["no", "cut off\nthe end", "by", "2026-05-01", "bent <by hand>"]);
        assert_eq!(again(&world).await.differences, []);
    }

    async fn what_the_fold_says_is_held_against_the_rest(world) {
        let given = one_rope(&world).await;
        let path = format!("/api/v1/items/{}/examinations", given.item);
        let before = world.entries().await;
        let sent = async |kind: &str, verdict: &str, findings: &str, report: Value| {
            let draft = json!({"kind": kind, "on": "2026-02-20", "verdict": verdict, "findings": findings, "rest": "pass", "report": report});
            given.officer.json(Method::POST, &path, &draft).await
        };
        let refused = async |verdict: &str, findings: &str, report: Value, field: &str, said: &str| {
            let answer = sent("periodic", verdict, findings, report).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", answer.text);
            let sentences = under(&answer.json(), &format!("report[{field}]"));
            assert!(sentences.iter().any(|one| one.contains(said)), "{said}: {}", answer.text);
        };
        refused("fit", "cracked", json!({"danger": "now"}), "danger", "What is a danger to persons now is not fit").await;
        refused("fit", "", json!({"danger": "by", "danger_by": "2026-06-01"}), "danger", "without a word").await;
        refused("fit", "frayed", json!({"danger": "by"}), "danger_by", "Write the day").await;
        refused("fit", "frayed", json!({"danger": "by", "danger_by": "2026-02-20"}), "danger_by", "after that of the examination, 2026-02-20, not 2026-02-20").await;
        refused("fit", "frayed", json!({"danger": "by", "danger_by": "soon"}), "danger_by", "not \"soon\"").await;
        refused("fit", "frayed", json!({"danger": "none", "danger_by": "2026-06-01"}), "danger_by", "leave the day empty").await;
        refused("fit", "", json!({"danger": "maybe"}), "danger", "Choose none, now or by, or leave it empty, not \"maybe\".").await;
        refused("fit", "", json!({"first": "perhaps"}), "first", "not \"perhaps\"").await;
        refused("fit", "", json!({"first": "yes-not-safe"}), "first", "the verdict is fit").await;
        refused("quarantine", "bent", json!({"first": "yes-safe"}), "first", "takes it out of use").await;
        refused("fit", "", json!({"tests": "x".repeat(4001)}), "tests", "Keep this to 4000 characters; 4001 were given.").await;
        let quick = sent("pre-use", "fit", "", json!({"tests": "pulled by hand"})).await;
        assert_eq!(under(&quick.json(), "report[tests]"), ["Only the report of a thorough examination tells this; leave it empty."]);
        let unknown = sent("periodic", "fit", "", json!({"cause": "age"})).await;
        assert!(unknown.status.is_client_error(), "{}", unknown.text);
        assert_eq!(world.entries().await, before, "nothing of it was recorded");
        // A word on the repair, or a criterion to watch, says what the danger is.
        let repair = sent("periodic", "fit", "", json!({"danger": "by", "danger_by": "2026-06-01", "repair": "a new end"})).await;
        assert_eq!((repair.status, &repair.json()["next_due_on"]), (StatusCode::CREATED, &json!("2026-06-01")), "{}", repair.text);
        let draft = json!({"kind": "periodic", "on": "2026-02-20", "verdict": "fit", "rest": "pass", "next_due_on": "2026-06-02",
            "answers": {"sheath": {"outcome": "watch", "note": "fluff at 3 m"}}, "report": {"danger": "by", "danger_by": "2026-06-01"}});
        let late = given.officer.json(Method::POST, &path, &draft).await;
        let sentence = "A defect could become a danger by 2026-06-01, so that the next one is due by then, not 2026-06-02.";
        assert_eq!(under(&late.json(), "next_due_on"), [sentence], "{}", late.text);
        // The day changes nothing where the rules ask for an earlier one.
        let far = sent("periodic", "fit", "frayed", json!({"danger": "by", "danger_by": "2029-06-01"})).await;
        let due = read_day(far.json()["next_due_on"].as_str().unwrap()).unwrap();
        assert!(due < date!(2029 - 06 - 01), "{}", far.text);
        let out = sent("periodic", "retire", "core seen", json!({"danger": "now"})).await;
        assert_eq!((out.status, &out.json()["report"]["danger"]), (StatusCode::CREATED, &json!("now")), "{}", out.text);
    }

    async fn a_report_lacks_nothing_where_everything_was_recorded(world) {
        settled(&world).await;
        let me = world.officer.person.to_string();
        qualified(&world, json!({"person": me, "from": "2020-01-01", "evidence": "five days of course", "address": "7 Fell Road\nTarn"})).await;
        let officer = world.visitor(&world.officer).await;
        let bay = store(&officer, "Bay 1").await;
        let rated = [("ratings[1][mode]", "straight"), ("ratings[1][value]", "3 kN"), ("ratings[1][kind]", "working-limit"), ("ratings[1][source]", "paper")];
        let model = model(&officer, &with(&ROPE, &rated)).await;
        let rope = item(&officer, &rope_fields(&model, &bay)).await;
        let first = [("kind", "intake"), ("on", "2026-01-10"), ("verdict", "fit"), ("report[first]", "yes-safe"), ("report[danger]", "none"), ("report[tests]", "none")];
        examine(&officer, &rope, &first).await;
        let auditor = world.visitor(&world.auditor).await;
        let intake = last(&officer, &rope).await["id"].as_str().unwrap().to_owned();
        let second = [("kind", "periodic"), ("on", "2026-02-20"), ("verdict", "quarantine"), ("findings", "two soft places"), ("place", "Shaft 3"),
            ("report[first]", "no"), ("report[danger]", "now"), ("report[repair]", "cut off the end"), ("report[tests]", "bent by hand")];
        examine(&officer, &rope, &second).await;
        let periodic = last(&officer, &rope).await["id"].as_str().unwrap().to_owned();
        let (Some(intake), Some(periodic)) = (report(&auditor, &intake).await, report(&auditor, &periodic).await) else { return };
        says(&intake, &["Employer, name and address North Water 1 Quay Street", "Premises Depot 2 Tarn", "none on record; this is the one of its intake",
            "Safe working load 3 kN", "First after installation or assembly yes; it was installed rightly and is safe to operate",
            "Defects, and what was found nothing failed, and nothing is to be watched", "alteration none, since no defect is a danger",
            "Danger now, or by which date no defect is or could become a danger to persons", "Tests made none",
            "Address 7 Fell Road Tarn", "Qualifications five days of course", "Employer of the examiner North Water 1 Quay Street", "Schedule 1."]);
        says(&periodic, &["Examined at Shaft 3", "Premises of the team Depot 2 Tarn", "Previous thorough examination 2026-01-10",
            "First after installation or assembly no", "Defects, and what was found two soft places", "alteration cut off the end",
            "Danger now, or by which date a defect is a danger to persons now", "Latest date of the next one none; it is out of use until it is found fit", "Tests made bent by hand"]);
        // What something could have been measured of, and was not, says so; and the equipment record has what a defect needs.
        says(&periodic, &["not measured"]);
        let record = auditor.get(&format!("/items/{rope}/record.pdf")).await;
        let Some(record) = crate::paper_reader::text_of(&record.bytes) else { return };
        let record = crate::paper_reader::flat(&record);
        says(&record, &["Repair needed:", "cut off the end", "Danger:"]);
        for text in [&intake, &periodic] {
            assert!(!text.contains("Not recorded here") && !text.contains("is not complete under that law"), "{text}");
        }
    }

    async fn a_report_keeps_the_employer_that_was_on_record_then(world) {
        let given = one_rope(&world).await;
        let look = |on: &'static str| [("kind", "periodic"), ("on", on), ("verdict", "quarantine"), ("findings", "two soft places")];
        examine(&given.officer, &given.item, &look("2026-02-20")).await;
        let before = last(&given.officer, &given.item).await["id"].as_str().unwrap().to_owned();
        settled(&world).await;
        examine(&given.officer, &given.item, &look("2026-02-21")).await;
        let settled = last(&given.officer, &given.item).await["id"].as_str().unwrap().to_owned();
        let admin = world.visitor(&world.admin).await;
        let moved = [("name", "North"), ("rulebook", "european"), ("employer", "South Water\n9 Mill Lane"), ("premises", "Depot 7\nFell")];
        assert_eq!(admin.post("/team", &moved).await.status, StatusCode::SEE_OTHER);
        let auditor = world.visitor(&world.auditor).await;
        let (Some(before), Some(settled)) = (report(&auditor, &before).await, report(&auditor, &settled).await) else { return };
        says(&settled, &["Employer, name and address North Water 1 Quay Street", "Premises Depot 2 Tarn"]);
        assert!(!settled.contains("South Water") && !settled.contains("on record now"), "{settled}");
        let now = "(as on record now; none was when this was recorded)";
        says(&before, &[&format!("Employer, name and address South Water 9 Mill Lane {now}"), &format!("Premises Depot 7 Fell {now}")]);
    }

    async fn an_address_that_is_written_down_later_stands_on_the_reports(world) {
        let given = one_rope(&world).await;
        let held = given.officer.get("/api/v1/qualifications").await.json();
        let held = held["qualifications"].as_array().unwrap().iter().find(|one| one["body"].is_null()).unwrap().clone();
        let id = held["record"]["id"].as_str().unwrap().to_owned();
        examine(&given.officer, &given.item, &[("kind", "periodic"), ("on", "2026-02-20"), ("verdict", "quarantine"), ("findings", "two soft places")]).await;
        let examined = last(&given.officer, &given.item).await["id"].as_str().unwrap().to_owned();
        let admin = world.visitor(&world.admin).await;
        let page = format!("/competence/{id}");
        let wrong = admin.post(&format!("{page}/address"), &[("address", " \n")]).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", wrong.text);
        assert!(wrong.text.contains("href=\"#f-address\""), "{}", wrong.text);
        let typed = [("address", "3 Brook <Row>\r\n\r\nTarn")];
        let before = world.entries().await;
        for _ in 0..2 {
            let done = admin.post(&format!("{page}/address"), &typed).await;
            assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        }
        assert_eq!(world.entries().await, before + 1, "the same again is nothing new");
        let shown = admin.get(&page).await.text;
        assert!(shown.contains("3 Brook &#60;Row&#62;\nTarn"), "{shown}");
        let crew = world.visitor(&world.crew).await;
        assert!(!crew.get(&page).await.text.contains(&format!("{page}/address")));
        assert_eq!(crew.post(&format!("{page}/address"), &typed).await.status, StatusCode::FORBIDDEN);
        assert_eq!(again(&world).await.differences, []);
        let history = admin.get("/history").await.text;
        assert!(history.contains("is now 3 Brook &#60;Row&#62;, Tarn"), "{history}");
        let Some(text) = report(&given.officer, &examined).await else { return };
        says(&text, &["Address 3 Brook <Row> Tarn"]);
    }

    async fn a_report_of_a_day_before_names_the_employer_of_that_day(world) {
        let given = one_rope(&world).await;
        settled(&world).await;
        world.clock.advance(time::Duration::days(5));
        let admin = world.visitor(&world.admin).await;
        let moved = [("name", "North"), ("rulebook", "european"), ("employer", "South Water\n9 Mill Lane"), ("premises", "Depot 7\nFell")];
        assert_eq!(admin.post("/team", &moved).await.status, StatusCode::SEE_OTHER);
        let officer = world.visitor(&world.officer).await;
        // The first was done before the move and is written down after it, the second was done after it; the third before
        // anything was on record, and then what was on record when it was written down counts.
        for (on, says_it, not) in [("2026-03-04", "North Water 1 Quay Street", "South Water"), ("2026-03-06", "South Water 9 Mill Lane", "North Water"), ("2026-02-20", "South Water 9 Mill Lane", "North Water")] {
            examine(&officer, &given.item, &[("kind", "periodic"), ("on", on), ("verdict", "quarantine"), ("findings", "two soft places")]).await;
            let path = format!("/api/v1/items/{}/examinations", given.item);
            let all = officer.get(&path).await.json();
            let of_day = all["examinations"].as_array().unwrap().iter().find(|one| one["on"] == on).unwrap().clone();
            let Some(text) = report(&officer, of_day["id"].as_str().unwrap()).await else { return };
            says(&text, &[&format!("Employer, name and address {says_it}")]);
            assert!(!text.contains(not), "{on}: {text}");
        }
    }

    async fn a_report_names_what_it_lacks_and_a_look_by_the_user_is_asked_for_none_of_it(world) {
        settled(&world).await;
        let given = one_rope(&world).await;
        qualified(&world, json!({"name": "C. Vell", "body": "Vell and Sons", "from": "2020-01-01", "evidence": "inspector", "address": "3 Brook Row"})).await;
        let fields = [("kind", "periodic"), ("on", "2026-02-20"), ("verdict", "fit"), ("examiner", "C. Vell"), ("report[first]", "no"), ("report[danger]", "none"), ("report[tests]", "none")];
        examine(&given.officer, &given.item, &fields).await;
        let id = last(&given.officer, &given.item).await["id"].as_str().unwrap().to_owned();
        let Some(text) = report(&given.officer, &id).await else { return };
        says(&text, &["Address 3 Brook Row", "Employer of the examiner Vell and Sons", "Not recorded here: items 4 and 5. A report that lacks one of them is not complete"]);
        examine(&given.officer, &given.item, &with(&fields, &[("examiner", OUTSIDE), ("on", "2026-02-21")])).await;
        let id = last(&given.officer, &given.item).await["id"].as_str().unwrap().to_owned();
        let text = report(&given.officer, &id).await.unwrap();
        says(&text, &["Address not recorded", "Employer of the examiner Brook Inspection", "Not recorded here: items 5 and 9."]);
        let quick = [("kind", "pre-use"), ("on", "2026-02-22"), ("verdict", "fit")];
        examine(&given.officer, &given.item, &quick).await;
        let id = last(&given.officer, &given.item).await["id"].as_str().unwrap().to_owned();
        let text = report(&given.officer, &id).await.unwrap();
        says(&text, &["it is no thorough examination", "They are asked of a thorough examination, which this look is not."]);
        assert!(!text.contains("Tests made") && !text.contains("Not recorded here"), "{text}");
        let page = given.officer.get(&format!("/items/{}/examinations/{id}", given.item)).await.text;
        assert!(!page.contains("For the report"), "{page}");
    }

    async fn an_examination_of_before_is_shown_and_reported_as_it_was(world) {
        let stock = world.stock().await;
        let old = stock::examination(&world, &stock.second, date!(2026 - 02 - 20));
        world.record(Change::ExaminationRecorded(old.clone())).await;
        let crew = world.visitor(&world.crew).await;
        let one = last(&crew, &stock.second.id.to_string()).await;
        assert_eq!(one.get("report"), None, "{one}");
        let page = crew.get(&format!("/items/{}/examinations/{}", stock.second.id, old.id)).await.text;
        assert!(page.contains("<dt>Tests made</dt><dd>not recorded</dd>"), "{page}");
        let Some(text) = report(&crew, &old.id.to_string()).await else { return };
        says(&text, &["First after installation or assembly not recorded", "Tests made not recorded"]);
        assert_eq!(again(&world).await.differences, []);
    }
}
