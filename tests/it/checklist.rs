//! The lists that examinations are done by: as data, through their doors, and in the record.

use axum::http::{Method, StatusCode};
use ropeloft::domain::{Checklist, Kind};
use serde_json::{Value, json};
use uuid::Uuid;

use crate::{
    client::Client,
    item_given::{ROPE, examine, item, model, one_rope, rope_fields, with},
    store_rebuild::again,
};

/// An answer for each criterion of a kind, all passed but those in `other`.
pub fn answers(kind: Kind, other: &Value) -> Value {
    let list = Checklist::newest(kind, None);
    let mut all = serde_json::Map::new();
    for one in list.criteria {
        all.insert(one.key, json!({"outcome": "pass"}));
    }
    for (key, answer) in other.as_object().unwrap() {
        all.insert(key.clone(), answer.clone());
    }
    Value::Object(all)
}

pub async fn examined(client: &Client, item: &str, changes: Value) -> (StatusCode, Value) {
    let mut draft = json!({"kind": "periodic", "on": "2026-02-27", "verdict": "fit"});
    for (name, value) in changes.as_object().unwrap() {
        draft[name] = value.clone();
    }
    let path = format!("/api/v1/items/{item}/examinations");
    let answer = client.json(Method::POST, &path, &draft).await;
    (answer.status, answer.json())
}

/// The messages of a refused body, by field.
pub fn messages(answer: &Value, field: &str) -> Vec<String> {
    let fields = answer["fields"].as_array().unwrap().iter();
    let of_field = fields.filter(|one| one["field"] == field);
    of_field
        .map(|one| one["message"].as_str().unwrap().to_owned())
        .collect()
}

/// The form of a connector whose maker allows so much of a groove.
pub fn oval(groove: &str) -> Vec<(&str, &str)> {
    with(
        &ROPE,
        &[
            ("kind", "connector"),
            ("name", "Oval 30"),
            ("ratings[0][mode]", "major-axis"),
            ("attributes[diameter]", ""),
            ("attributes[rope-kind]", ""),
            ("limits[0][criterion]", "groove-depth"),
            ("limits[0][most]", groove),
            ("limits[0][source]", "paper, page 7"),
        ],
    )
}

/// A connector whose maker allows 1 mm of groove, at two points.
pub async fn connector(client: &Client, store: &str) -> String {
    let model = model(client, &oval("1 mm")).await;
    let fields = with(
        &rope_fields(&model, store),
        &[
            ("mark", "C-1"),
            ("serial", "C1"),
            ("attributes[length]", ""),
        ],
    );
    item(client, &fields).await
}

on_both_databases! {
    async fn a_thorough_look_is_fit_only_when_all_is_answered(world) {
        let given = one_rope(&world).await;
        let before = world.entries().await;
        let (status, answer) = examined(&given.officer, &given.item, json!({})).await;
        assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
        let list = Checklist::newest(Kind::Rope, None);
        assert_eq!(answer["fields"].as_array().unwrap().len(), list.criteria.len(), "each is named: {answer}");
        assert!(messages(&answer, "answers[core][outcome]")[0].contains("Not answered"), "{answer}");
        // A bad verdict needs no list.
        let held = json!({"verdict": "quarantine", "findings": "sheath cut"});
        let mut all = answers(Kind::Rope, &json!({}));
        all.as_object_mut().unwrap().remove("glaze");
        let (status, answer) = examined(&given.officer, &given.item, json!({"answers": all})).await;
        assert_eq!((status, answer["fields"].as_array().unwrap().len()), (StatusCode::UNPROCESSABLE_ENTITY, 1), "{answer}");
        assert_eq!(world.entries().await, before, "nothing half written");
        let (status, done) = examined(&given.officer, &given.item, json!({"answers": answers(Kind::Rope, &json!({}))})).await;
        assert_eq!(status, StatusCode::CREATED, "{done}");
        assert_eq!((&done["checklist"], done["answers"].as_array().unwrap().len()), (&json!("rope@1"), list.criteria.len()));
        let (status, done) = examined(&given.officer, &given.item, held).await;
        assert_eq!((status, done.get("checklist")), (StatusCode::CREATED, None), "{done}");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn a_fail_refuses_fit_and_says_where_the_item_goes(world) {
        let given = one_rope(&world).await;
        let fail = |key: &str| json!({key: {"outcome": "fail", "note": "at 12 m"}});
        for (key, verdict, kind, says) in [
            ("slide", "fit", "periodic", "It is not fit, since this failed"),
            ("sheath", "fit", "periodic", "puts it out at once: choose quarantine, or retire it"),
            ("core", "fit", "periodic", "puts it out for good: choose to retire it."),
            ("core", "quarantine", "periodic", "puts it out for good: choose to retire it."),
            ("core", "fit", "pre-use", "or quarantine for somebody competent to decide"),
        ] {
            let draft = json!({"kind": kind, "verdict": verdict, "answers": fail(key), "rest": "pass"});
            let (status, answer) = examined(&given.officer, &given.item, draft).await;
            assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{key} {verdict}: {answer}");
            assert!(messages(&answer, "verdict")[0].contains(says), "{key} {verdict}: {answer}");
        }
        // The crew may hold back what is out for good; the notes of what failed are the findings.
        let crew = world.visitor(&world.crew).await;
        let draft = json!({"kind": "pre-use", "verdict": "quarantine", "answers": fail("core")});
        let (status, done) = examined(&crew, &given.item, draft).await;
        assert_eq!((status, &done["findings"]), (StatusCode::CREATED, &json!("Failed: Core seen nowhere: at 12 m.")), "{done}");
        let (status, done) = examined(&given.officer, &given.item, json!({"verdict": "retire", "answers": fail("core")})).await;
        assert_eq!(status, StatusCode::CREATED, "{done}");
        assert!(given.officer.get(&format!("/items/{}", given.item)).await.text.contains("at 12 m"));
    }

    async fn what_is_measured_is_held_against_the_models_limit(world) {
        let given = one_rope(&world).await;
        let id = connector(&given.officer, &given.store).await;
        let groove = |outcome: &str, values: &[&str]| {
            let answer = json!({"groove-depth": {"outcome": outcome, "values": values}});
            json!({"answers": answer, "rest": "pass"})
        };
        let refused = async |draft: Value, field: &str, says: &str| {
            let (status, answer) = examined(&given.officer, &id, draft).await;
            assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{answer}");
            let told = messages(&answer, field);
            assert!(told.iter().any(|one| one.contains(says)), "{field}: {says}: {answer}");
        };
        refused(json!({"rest": "pass"}), "answers[groove-depth][values][0]", "at most 1 mm (paper, page 7): measure at 2 points, not at 0").await;
        refused(groove("", &["0.4"]), "answers[groove-depth][values][0]", "not at 1.").await;
        refused(groove("pass", &["0.4", "1.2 mm"]), "answers[groove-depth][outcome]", "1.2 mm is beyond the model's limit, at most 1 mm").await;
        refused(groove("", &["0.4", "0.05 in"]), "verdict", "since this failed").await;
        refused(groove("", &["much", "0.4"]), "answers[groove-depth][values][0]", "Write a number").await;
        refused(json!({"answers": {"edges": {"values": ["1 mm"]}}}), "answers[edges][values]", "Nothing is measured here").await;
        // The limit itself is allowed, a bare number is in the unit that stands there, and what was entered is kept.
        let (status, done) = examined(&given.officer, &id, groove("", &["0.4", "1"])).await;
        assert_eq!(status, StatusCode::CREATED, "{done}");
        let kept = done["answers"].as_array().unwrap().iter().find(|one| one["criterion"] == "groove-depth").unwrap();
        assert_eq!(kept["values"], json!([{"value": 0.4, "unit": "mm"}, {"value": 1.0, "unit": "mm"}]));
        assert_eq!(kept["limit"]["source"], "paper, page 7");
        // Without a limit the number is kept and nothing follows from it.
        let play = json!({"answers": {"gate-play": {"values": ["9 mm"]}, "groove-depth": {"outcome": "fail", "values": ["1.4", "0.2"]}},
            "rest": "pass", "verdict": "retire"});
        let (status, done) = examined(&given.officer, &id, play).await;
        assert_eq!(status, StatusCode::CREATED, "{done}");
        assert!(done["findings"].as_str().unwrap().contains("1.4 mm, 0.2 mm (limit at most 1 mm, paper, page 7)"), "{done}");
        let page = format!("/items/{id}/examinations/{}", done["id"].as_str().unwrap());
        let page = given.officer.get(&page).await.text;
        assert!(page.contains("9 mm (no limit on the model&#39;s record, so nothing follows from it)"), "{page}");
        let csv = given.officer.get("/examinations.csv").await.text;
        assert!(csv.contains("connector@1") && csv.contains("groove-depth: fail, 1.4 mm"), "{csv}");
    }

    async fn what_is_watched_shows_until_it_is_answered_otherwise(world) {
        let given = one_rope(&world).await;
        let page = format!("/items/{}", given.item);
        let fields = |outcome| [
            ("kind", "intake"), ("on", "2026-02-20"), ("verdict", "fit"), ("rest", "pass"),
            ("answers[sheath][outcome]", outcome), ("answers[sheath][note]", "grey <b>at</b> 20 m"),
        ];
        let nothing_said = with(&fields("watch"), &[("answers[sheath][note]", "")]);
        let refused = given.officer.post(&format!("{page}/examinations"), &nothing_said).await;
        assert!(refused.text.contains("Write what you saw, and where"), "{}", refused.text);
        examine(&given.officer, &given.item, &fields("watch")).await;
        for path in [page.clone(), format!("{page}/examinations/new")] {
            let text = given.officer.get(&path).await.text;
            assert!(text.contains("to watch since 2026-02-20: grey &#60;b&#62;at&#60;/b&#62; 20 m"), "{path}: {text}");
        }
        let sheet = given.officer.get(&format!("/api/v1/items/{}", given.item)).await.json();
        assert_eq!((&sheet["watching"][0]["criterion"]["key"], &sheet["watching"][0]["since"]), (&json!("sheath"), &json!("2026-02-20")));
        let told = given.officer.get(&format!("{page}/history")).await.text;
        assert!(told.contains("by the list rope@1: 0 failed, 1 to watch"), "{told}");
        examine(&given.officer, &given.item, &with(&fields("pass"), &[("on", "2026-02-21")])).await;
        assert!(!given.officer.get(&page).await.text.contains("to watch since"));
    }

    async fn the_rest_passes_by_one_press_and_nothing_before(world) {
        let given = one_rope(&world).await;
        let path = format!("/items/{}/examinations", given.item);
        let form = given.officer.get(&format!("{path}/new")).await.text;
        let criteria = form.split("name=\"verdict\"").next().unwrap();
        assert!(!criteria.contains(" checked"), "nothing is preset: {form}");
        let before = world.entries().await;
        let fields = [
            ("kind", "periodic"), ("on", "2026-02-27"), ("verdict", "fit"), ("findings", "kept & shown"),
            ("answers[slide][outcome]", "watch"), ("answers[slide][note]", "a little"), ("answers[core][outcome]", ""), ("act", "rest"),
        ];
        let marked = given.officer.post(&path, &fields).await;
        assert_eq!((marked.status, world.entries().await), (StatusCode::OK, before));
        let chosen = |text: &str, key: &str, outcome: &str| {
            text.contains(&format!("name=\"answers[{key}][outcome]\" value=\"{outcome}\" checked"))
        };
        assert!(chosen(&marked.text, "slide", "watch") && chosen(&marked.text, "core", "pass"), "{}", marked.text);
        assert!(marked.text.contains("kept &#38; shown") && marked.text.contains("value=\"a little\""), "{}", marked.text);
        // Refused for one field, the form keeps every answer.
        let wrong = with(&fields[..7], &[("on", "tomorrow"), ("answers[core][outcome]", "pass")]);
        let wrong = given.officer.post(&path, &wrong).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(chosen(&wrong.text, "slide", "watch") && chosen(&wrong.text, "core", "pass"), "{}", wrong.text);
        let quick = given.officer.get(&format!("{path}/new?look=quick")).await.text;
        assert!(quick.contains("answers[core][outcome]") && !quick.contains("answers[length][outcome]"), "{quick}");
        let check = [("kind", "pre-use"), ("on", "2026-03-01"), ("verdict", "fit")];
        assert_eq!(given.officer.post(&path, &check).await.status, StatusCode::SEE_OTHER, "a quick look may leave the list out");
    }

    async fn a_team_adds_criteria_and_an_old_record_keeps_its_list(world) {
        let given = one_rope(&world).await;
        let add = async |words: &str, revision: &str| {
            let fields = [("revision", revision), ("words", words), ("by", "touch"), ("out", "quarantine"), ("quick", "yes")];
            given.officer.post("/checklists/rope/criteria", &fields).await
        };
        assert_eq!(add("Red thread not to be seen", "0").await.status, StatusCode::SEE_OTHER);
        assert_eq!(add("Second hand too late", "0").await.status, StatusCode::CONFLICT);
        assert_eq!(add("Red thread not to be seen", "1").await.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(add("", "1").await.status, StatusCode::UNPROCESSABLE_ENTITY);
        examine(&given.officer, &given.item, &[
            ("kind", "intake"), ("on", "2026-02-20"), ("verdict", "fit"), ("checklist", "rope@1+1"),
            ("answers[own-1][outcome]", "watch"), ("answers[own-1][note]", "thin"),
        ]).await;
        let back = given.officer.post("/checklists/rope/criteria/own-1/take-back", &[("revision", "1")]).await;
        assert_eq!(back.status, StatusCode::SEE_OTHER, "{}", back.text);
        assert!(!given.officer.get("/checklists/rope").await.text.contains("Red thread not to be seen"));
        // The record is shown with the list of its day, and the item is still watched for it.
        let all = given.officer.get(&format!("/api/v1/items/{}/examinations", given.item)).await.json();
        let id = all["examinations"][0]["id"].as_str().unwrap();
        let record = given.officer.get(&format!("/items/{}/examinations/{id}", given.item)).await.text;
        assert!(record.contains("Red thread not to be seen") && record.contains("edition 1 of the team&#39;s own"), "{record}");
        assert!(given.officer.get(&format!("/items/{}", given.item)).await.text.contains("Red thread not to be seen"));
        let old = given.officer.get("/api/v1/checklists/rope?edition=rope@1%2B1").await.json();
        assert_eq!(old["criteria"].as_array().unwrap().last().unwrap()["words"], "Red thread not to be seen");
        // A form that was opened with the older list is told; a key is never given twice.
        let stale = given.officer.post(&format!("/items/{}/examinations", given.item), &[
            ("kind", "periodic"), ("on", "2026-02-21"), ("verdict", "fit"), ("rest", "pass"), ("checklist", "rope@1+1"),
        ]).await;
        assert!(stale.status == StatusCode::UNPROCESSABLE_ENTITY && stale.text.contains("The list is rope@1+2 now"), "{}", stale.text);
        assert_eq!(add("Second", "2").await.status, StatusCode::SEE_OTHER);
        let list = given.officer.get("/api/v1/checklists/rope").await;
        assert_eq!(list.json()["edition"], "rope@1+3");
        assert_eq!(list.json()["criteria"].as_array().unwrap().last().unwrap()["key"], "own-2");
        let told = given.officer.get("/history").await.text;
        assert!(told.contains("Own criteria for a rope changed (edition 2)") && told.contains("taken back: Red thread"), "{told}");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn a_teams_own_criterion_measures_and_holds_what_it_measures_against_its_limit(world) {
        let given = one_rope(&world).await;
        let fields = [("revision", "0"), ("words", "Sheath not slid at the ends"), ("by", "measure"), ("measured", "Slip of the sheath"),
            ("unit", "mm"), ("points", "2"), ("most", "20"), ("source", "our own rule")];
        let made = given.officer.post("/checklists/rope/criteria", &fields).await;
        assert_eq!(made.status, StatusCode::SEE_OTHER, "{}", made.text);
        let page = given.officer.get("/checklists/rope").await.text;
        assert!(page.contains("measure: slip of the sheath at 2 points; at most 20 mm"), "{page}");
        let form = given.officer.get(&format!("/items/{}/examinations/new", given.item)).await.text;
        assert!(form.contains("Slip of the sheath, point 2") && form.contains("Your team allows at most 20 mm: our own rule."), "{form}");
        let path = format!("/items/{}/examinations", given.item);
        let looked = async |values: [&str; 2], outcome: &str| {
            let fields = [("kind", "intake"), ("on", "2026-02-20"), ("verdict", "fit"), ("checklist", "rope@1+1"), ("rest", "pass"),
                ("answers[own-1][outcome]", outcome), ("answers[own-1][values][0]", values[0]), ("answers[own-1][values][1]", values[1])];
            given.officer.post(&path, &fields).await
        };
        let beyond = looked(["12", "2.1 cm"], "pass").await;
        let said = "2.1 cm is beyond your team&#39;s limit, at most 20 mm (our own rule)";
        assert!(beyond.status == StatusCode::UNPROCESSABLE_ENTITY && beyond.text.contains(said), "{}", beyond.text);
        let half = looked(["12", ""], "pass").await;
        assert!(half.text.contains("measure at 2 points, not at 1"), "{}", half.text);
    }

    async fn only_whoever_keeps_the_register_changes_a_list(world) {
        let given = one_rope(&world).await;
        let draft = json!({"words": "Thread whole", "by": "sight"});
        let path = "/api/v1/checklists/helmet/criteria";
        let made = given.officer.json_if(Method::POST, path, "\"0\"", &draft).await;
        assert_eq!((made.status, &made.json()["revision"]), (StatusCode::CREATED, &json!(1)), "{}", made.text);
        let unseen = given.officer.json(Method::POST, path, &draft).await;
        assert_eq!(unseen.status, StatusCode::PRECONDITION_REQUIRED, "{}", unseen.text);
        let stale = given.officer.json_if(Method::POST, path, "\"0\"", &draft).await;
        assert_eq!(stale.status, StatusCode::PRECONDITION_FAILED, "{}", stale.text);
        let wrong = given.officer.json_if(Method::POST, path, "\"1\"", &json!({"words": "x", "by": "measure", "out": "burn"})).await;
        assert_eq!(wrong.json()["fields"].as_array().unwrap().len(), 2, "{}", wrong.text);
        for (draft, field) in [
            (json!({"words": "x", "by": "sight", "measured": "Depth"}), "by"),
            (json!({"words": "x", "by": "measure", "measured": "Depth", "unit": "kN"}), "unit"),
            (json!({"words": "x", "by": "measure", "measured": "Depth", "points": "0"}), "points"),
            (json!({"words": "x", "by": "measure", "measured": "Depth", "least": "3", "most": "2"}), "most"),
            (json!({"words": "x", "by": "sight", "most": "2"}), "most"),
        ] {
            let wrong = given.officer.json_if(Method::POST, path, "\"1\"", &draft).await;
            assert_eq!(wrong.json()["fields"][0]["field"], field, "{}", wrong.text);
        }
        for actor in [&world.crew, &world.auditor] {
            let other = world.visitor(actor).await;
            assert_eq!(other.json(Method::POST, path, &draft).await.status, StatusCode::FORBIDDEN);
            let page = other.get("/checklists/helmet").await;
            assert!(page.status == StatusCode::OK && !page.text.contains("Add a criterion"), "{}", page.text);
        }
        let outsider = world.visitor(&world.outsider).await;
        let theirs = outsider.get("/api/v1/checklists/helmet").await.json();
        assert_eq!(theirs["edition"], "helmet@1");
        for path in ["/checklists/ladder", &format!("/checklists/{}", Uuid::now_v7()), "/api/v1/checklists/rope?edition=rope@9"] {
            assert_eq!(given.officer.get(path).await.status, StatusCode::NOT_FOUND, "{path}");
        }
        let gone = given.officer.json_if(Method::DELETE, &format!("{path}/own-7"), "\"1\"", &json!({})).await;
        assert_eq!(gone.status, StatusCode::NOT_FOUND);
        let gone = given.officer.json_if(Method::DELETE, &format!("{path}/own-1"), "\"1\"", &json!({})).await;
        assert_eq!((gone.status, &gone.json()["revision"]), (StatusCode::OK, &json!(2)), "{}", gone.text);
    }

    async fn a_models_limit_is_checked_and_shown(world) {
        let given = one_rope(&world).await;
        let limits = |least: &'static str, most: &'static str, source: &'static str, criterion: &'static str| with(&ROPE, &[
            ("name", "Line 12"), ("limits[0][criterion]", criterion), ("limits[0][least]", least), ("limits[0][most]", most),
            ("limits[0][source]", source), ("limits[1][criterion]", "length"),
        ]);
        for (fields, field) in [
            (limits("10", "", "paper", "diameter"), "f-limits-0-least"),
            (limits("12 mm", "11 mm", "paper", "diameter"), "f-limits-0-most"),
            (limits("10 mm", "", "", "diameter"), "f-limits-0-source"),
            (limits("10 mm", "", "paper", "groove-depth"), "f-limits-0-criterion"),
        ] {
            let answer = given.officer.post("/models", &fields).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
            assert!(answer.text.contains(&format!("id=\"{field}-wrong-1\"")), "{field}: {}", answer.text);
        }
        let id = model(&given.officer, &limits("10.3 mm", "11.2 mm", "paper, page 2", "diameter")).await;
        let page = given.officer.get(&format!("/models/{id}")).await.text;
        assert!(page.contains("10.3 mm to 11.2 mm") && page.contains("paper, page 2"), "{page}");
        let form = given.officer.get(&format!("/models/{id}/edit")).await.text;
        assert!(form.contains("value=\"10.3 mm\""), "{form}");
    }

    async fn what_has_a_limit_or_stops_at_once_is_not_waved_off(world) {
        let given = one_rope(&world).await;
        let id = connector(&given.officer, &given.store).await;
        let answered = |key: &str, note: &str| json!({"rest": "pass", "answers": {
            "groove-depth": {"values": ["0.4", "0.5"]}, key: {"outcome": "not-applicable", "note": note}}});
        let before = world.entries().await;
        let (status, answer) = examined(&given.officer, &id, answered("groove-depth", "it has none to speak of")).await;
        assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{answer}");
        let told = messages(&answer, "answers[groove-depth][outcome]");
        assert!(told[0].contains("at most 1 mm (paper, page 7), so it applies: measure it"), "{told:?}");
        // A quick look does not wave it off either.
        let quick = json!({"kind": "pre-use", "answers": {"groove-depth": {"outcome": "not-applicable", "note": "it has none to speak of"}}});
        assert_eq!(examined(&given.officer, &id, quick).await.0, StatusCode::UNPROCESSABLE_ENTITY);
        for note in ["", "-", "n/a"] {
            let (status, answer) = examined(&given.officer, &id, answered("unchanged", note)).await;
            assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{note}: {answer}");
            assert!(messages(&answer, "answers[unchanged][note]")[0].contains("in a few words"), "{answer}");
        }
        // So with a limit of the team's own: a note of some words at least.
        let own = [("words", "Sleeve long enough"), ("by", "measure"), ("measured", "Length of the sleeve"), ("least", "3 cm"), ("revision", "0")];
        let added = given.officer.post("/checklists/connector/criteria", &own).await;
        assert_eq!(added.status, StatusCode::SEE_OTHER, "{}", added.text);
        let (status, answer) = examined(&given.officer, &id, answered("own-1", "-")).await;
        assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{answer}");
        assert!(messages(&answer, "answers[own-1][note]")[0].contains("your team holds it against a limit"), "{answer}");
        assert_eq!(world.entries().await, before + 1);
        let (status, answer) = examined(&given.officer, &id, answered("own-1", "this one has no sleeve")).await;
        assert_eq!(status, StatusCode::CREATED, "{answer}");
        // A fault of what is measured is told once, and not as if nothing were measured.
        let odd = [("words", "Sleeve soft"), ("by", "measure"), ("measured", "Width"), ("unit", "ell"), ("least", "3 cm"), ("revision", "1")];
        let refused = given.officer.post("/checklists/connector/criteria", &odd).await;
        assert!(refused.text.contains("Choose mm, cm, m, in or ft, not") && !refused.text.contains("write what that is"), "{}", refused.text);
    }
}
