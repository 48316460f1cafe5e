//! Rounds of examinations: planned from a list, worked off, closed.

use axum::http::{Method, StatusCode};
use ropeloft::domain::{InRound, ItemState, LookedAt, MOST_IN_ROUND, RoundDraft, RoundId, Verdict};
use serde_json::json;
use time::macros::date;
use uuid::Uuid;

use crate::{
    item_given::{Given, OUTSIDE, examine, item, one_rope, rope_fields, with},
    paper_reader::{checked, flat, text_of},
    stock,
    store_rebuild::again,
    world::World,
};

#[test]
fn what_became_of_an_item_follows_from_its_examination_and_its_state() {
    use ItemState::{InService, Missing, Quarantined, Retired};
    let model = stock::model(ropeloft::domain::Kind::Rope, "Fjordwerk", "Line 11");
    let store = stock::store("Van");
    let became = |state, verdict: Option<Verdict>| {
        let item = ropeloft::domain::Item {
            state,
            ..stock::item("A", &model, &store)
        };
        let looked = verdict.map(|verdict| LookedAt {
            id: ropeloft::domain::ExaminationId::new(),
            examiner: "Ada".into(),
            on: date!(2026 - 03 - 01),
            verdict,
        });
        InRound::of(&item, looked.as_ref())
    };
    assert_eq!(became(InService, None), InRound::Left);
    assert_eq!(became(Quarantined, None), InRound::Left);
    assert_eq!(became(Missing, None), InRound::NotFound);
    assert_eq!(became(Retired, None), InRound::Out);
    assert_eq!(became(InService, Some(Verdict::Fit)), InRound::Done);
    // Fit, and held again since: that it was examined stays.
    assert_eq!(became(Quarantined, Some(Verdict::Fit)), InRound::Done);
    assert_eq!(became(Quarantined, Some(Verdict::Quarantine)), InRound::Out);
    assert_eq!(became(Retired, Some(Verdict::Retire)), InRound::Out);
}

#[test]
fn a_round_names_every_wrong_field_and_has_a_limit() {
    let ids = |count: usize| {
        (0..count)
            .map(|_| Uuid::now_v7().to_string())
            .collect::<Vec<_>>()
            .join(",")
    };
    let draft = |items: String| RoundDraft {
        name: "Spring".into(),
        from: "2026-03-01".into(),
        to: "2026-03-31".into(),
        examiner: String::new(),
        items,
    };
    let check = |draft: &RoundDraft| draft.check(RoundId::new(), date!(2026 - 03 - 01));
    assert_eq!(
        check(&draft(ids(MOST_IN_ROUND))).unwrap().items.len(),
        MOST_IN_ROUND
    );
    let wrong = check(&draft(ids(MOST_IN_ROUND + 1))).unwrap_err();
    assert!(
        wrong.0[0].message.contains("500") && wrong.0[0].message.contains("501"),
        "{wrong:?}"
    );
    let twice = ids(1);
    assert_eq!(
        check(&draft(format!("{twice}, {twice}")))
            .unwrap()
            .items
            .len(),
        1
    );
    let bad = RoundDraft {
        name: String::new(),
        from: "soon".into(),
        to: "2026-02-01".into(),
        items: "x".into(),
        ..RoundDraft::default()
    };
    let fields: Vec<String> = check(&bad)
        .unwrap_err()
        .0
        .into_iter()
        .map(|one| one.field)
        .collect();
    assert_eq!(fields, ["name", "from", "items"]);
}

/// Three ropes that fall due on 20 March, and one in the summer.
async fn four_ropes(world: &World) -> (Given, Vec<String>) {
    let given = one_rope(world).await;
    let mut ropes = vec![given.item.clone()];
    for (mark, serial) in [("RL-2", "2"), ("RL-3", "3"), ("RL-4", "4")] {
        let fields = with(
            &rope_fields(&given.model, &given.store),
            &[("mark", mark), ("serial", serial)],
        );
        ropes.push(item(&given.officer, &fields).await);
    }
    for (at, rope) in ropes.iter().enumerate() {
        let due = if at == 3 { "2026-07-01" } else { "2026-03-20" };
        let fields = [
            ("kind", "intake"),
            ("on", "2026-02-01"),
            ("verdict", "fit"),
            ("next_due_on", due),
        ];
        examine(&given.officer, rope, &fields).await;
    }
    (given, ropes)
}

/// Opens the form for what falls due in March and sends it as it is, but for what `leave` holds.
async fn plan(given: &Given, leave: &[&str]) -> String {
    let query = "state=in-service&due=2026-03-01..2026-03-31&sort=due";
    let form = given.officer.get(&format!("/rounds/new?{query}")).await;
    assert_eq!(form.status, StatusCode::OK, "{}", form.text);
    let ids = form.text.split("name=\"items\" value=\"").skip(1);
    let ids: Vec<&str> = ids.map(|rest| rest.split('"').next().unwrap()).collect();
    assert_eq!(ids.len(), 3, "{}", form.text);
    assert_eq!(form.text.matches(" checked").count(), 3, "all are chosen");
    let id = Uuid::now_v7();
    let mut fields = vec![
        ("name", "March"),
        ("from", "2026-03-01"),
        ("to", "2026-03-31"),
        ("examiner", OUTSIDE),
    ];
    fields.extend(
        ids.iter()
            .filter(|id| !leave.contains(id))
            .map(|id| ("items", *id)),
    );
    let path = format!("/rounds?{query}&id={id}");
    let done = given.officer.post(&path, &fields).await;
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
    assert_eq!(done.location(), format!("/rounds/{id}"));
    let again = given.officer.post(&path, &fields).await;
    assert_eq!(
        again.location(),
        format!("/rounds/{id}"),
        "sent twice it is one"
    );
    id.to_string()
}

on_both_databases! {
    async fn an_examiner_is_named_and_never_by_the_id_of_a_stranger(world) {
        let rope = one_rope(&world).await;
        let plan = async |examiner: String| {
            let body = json!({ "name": "Spring", "from": "2026-03-01", "to": "2026-03-31", "examiner": examiner, "items": rope.item });
            rope.officer.json(Method::POST, "/api/v1/rounds", &body).await
        };
        let stranger = Uuid::now_v7();
        let refused = plan(stranger.to_string()).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        let field = &refused.json()["fields"][0];
        assert_eq!(field["field"], "examiner");
        assert!(field["message"].to_string().contains(&stranger.to_string()), "{field}");
        let own = plan(world.officer.person.to_string()).await;
        assert_eq!(own.status, StatusCode::CREATED, "{}", own.text);
        assert_eq!(own.json()["examiner"], "The equipment officer of the north");
    }

    async fn the_pieces_of_a_rope_that_is_cut_wait_in_its_place(world) {
        let (given, ropes) = four_ropes(&world).await;
        let id = plan(&given, &[]).await;
        let officer = &given.officer;
        let cut = [("pieces[0][mark]", "RL-0042A"), ("pieces[0][length]", "25 m"), ("pieces[1][mark]", "RL-0042B"),
            ("pieces[1][length]", "24 m"), ("waste", "11 m"), ("marked", "yes"), ("reason", "sheath worn at the middle")];
        let done = officer.post(&format!("/items/{}/cuts?id={}", ropes[0], Uuid::now_v7()), &cut).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        let page = officer.get(&format!("/rounds/{id}")).await.text;
        for said in ["4 of 5 items still to be looked at", ">RL-0042A</a>", ">RL-0042B</a>", "retired: cut on 2026-03-01 into RL-0042A"] {
            assert!(page.contains(said), "{said}: {page}");
        }
        let list = officer.get(&format!("/bench/sheets?round={id}")).await.text;
        assert!(list.contains("data-mark=\"RL-0042A\"") && list.contains("data-mark=\"RL-0042B\"") && !list.contains("data-mark=\"RL-0042\""), "{list}");
        let piece = officer.get("/api/v1/scan?code=RL-0042A").await.json()["item"]["id"].as_str().unwrap().to_owned();
        examine(officer, &piece, &[("kind", "periodic"), ("on", "2026-03-01"), ("verdict", "fit")]).await;
        let page = officer.get(&format!("/rounds/{id}")).await.text;
        assert!(page.contains("3 of 5 items still to be looked at"), "{page}");
        // Closed, it tells of them as it did then.
        let done = officer.post(&format!("/rounds/{id}/close"), &[("reason", "no time")]).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        let page = officer.get(&format!("/rounds/{id}")).await.text;
        assert!(page.contains("3 of 5 items not examined") && page.contains(">RL-0042B</a>"), "{page}");
    }

    async fn a_round_is_planned_from_a_bar_worked_off_and_closed(world) {
        let (given, ropes) = four_ropes(&world).await;
        let id = plan(&given, &[]).await;
        let api = async || given.officer.get(&format!("/api/v1/rounds/{id}")).await.json();
        let counts = async || {
            let round = api().await;
            ["left", "not_found", "out", "done"].map(|key| round[key].as_u64().unwrap())
        };
        // What was looked at before the round began does not count.
        assert_eq!(counts().await, [3, 0, 0, 0]);
        examine(&given.officer, &ropes[0], &[("kind", "periodic"), ("on", "2026-03-01"), ("verdict", "fit")]).await;
        // A look before use is none that counts.
        examine(&given.officer, &ropes[1], &[("kind", "pre-use"), ("on", "2026-03-01"), ("verdict", "fit")]).await;
        assert_eq!(counts().await, [2, 0, 0, 1]);
        given.officer.post(&format!("/items/{}/step", ropes[1]), &[("step", "report-missing"), ("reason", "not in its bag")]).await;
        assert_eq!(counts().await, [1, 1, 0, 1]);
        let fields = [("kind", "periodic"), ("on", "2026-03-01"), ("verdict", "retire"), ("findings", "cut sheath")];
        examine(&given.officer, &ropes[2], &fields).await;
        assert_eq!(counts().await, [0, 1, 1, 1]);
        let page = given.officer.get(&format!("/rounds/{id}")).await.text;
        assert!(page.contains("1 of 3 items still to be looked at") && page.contains("0 left, 1 not found"), "{page}");
        // One is left, so a reason is asked for, and what was typed stays.
        let refused = given.officer.post(&format!("/rounds/{id}/close"), &[("reason", " ")]).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        let own = format!("reasons[{}]", ropes[1]);
        let closed = given.officer.post(&format!("/rounds/{id}/close"), &[("reason", ""), (&own, "lost on the hill")]).await;
        assert_eq!(closed.status, StatusCode::SEE_OTHER, "{}", closed.text);
        let page = given.officer.get(&format!("/rounds/{id}")).await.text;
        assert!(page.contains("not examined: lost on the hill") && page.contains("Closed on 2026-03-01"), "{page}");
        assert!(!page.contains("/close\""), "it cannot be closed twice: {page}");
        let twice = given.officer.post(&format!("/rounds/{id}/close"), &[("reason", "again")]).await;
        assert_eq!(twice.status, StatusCode::CONFLICT);
        assert!(twice.text.contains("This round was closed already"), "{}", twice.text);
        let twice = given.officer.json(Method::POST, &format!("/api/v1/rounds/{id}/close"), &json!({"reason": "again"})).await;
        assert_eq!(twice.status, StatusCode::CONFLICT, "{}", twice.text);
        let paper = given.officer.get(&format!("/rounds/{id}/list.pdf")).await;
        checked(&paper.bytes);
        if let Some(text) = text_of(&paper.bytes) {
            let text = flat(&text);
            for words in ["It was closed on 2026-03-01", "Not examined, because", "lost on the hill"] {
                assert!(text.contains(words), "{words}: {text}");
            }
        }
        let history = given.officer.get("/history").await.text;
        assert!(history.contains("Round of examinations March planned: 3 items, 2026-03-01 to 2026-03-31"), "{history}");
        assert!(history.contains("Round of examinations March closed: 1 item not examined"), "{history}");
        let list = given.officer.get("/rounds").await.text;
        assert!(list.contains("March") && list.contains("closed 2026-03-01"), "{list}");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn what_is_not_ticked_stays_out_and_what_is_wrong_is_told(world) {
        let (given, ropes) = four_ropes(&world).await;
        let id = plan(&given, &[ropes[1].as_str()]).await;
        let round = given.officer.get(&format!("/api/v1/rounds/{id}")).await.json();
        assert_eq!(round["items"].as_array().unwrap().len(), 2, "{round}");
        let none = given.officer.post("/rounds?due=overdue", &[("name", "Empty & kept"), ("from", "2026-03-01")]).await;
        assert_eq!(none.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", none.text);
        let path = "/rounds?state=in-service";
        let none = given.officer.post(path, &[("name", "Kept"), ("from", "2026-03-01"), ("to", "")]).await;
        assert_eq!(none.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(none.text.contains("value=\"Kept\"") && none.text.contains("Choose at least one item."), "{}", none.text);
        let crew = world.visitor(&world.crew).await;
        assert_eq!(crew.get("/rounds/new").await.status, StatusCode::FORBIDDEN);
        assert_eq!(crew.get(&format!("/rounds/{id}")).await.status, StatusCode::OK);
        assert_eq!(crew.post(&format!("/rounds/{id}/close"), &[("reason", "no")]).await.status, StatusCode::FORBIDDEN);
        let outsider = world.visitor(&world.outsider).await;
        for path in [format!("/rounds/{id}"), format!("/rounds/{id}/list.pdf"), format!("/api/v1/rounds/{id}")] {
            assert_eq!(outsider.get(&path).await.status, StatusCode::NOT_FOUND, "{path}");
        }
        let foreign = json!({"name": "Theirs", "items": ropes[0]});
        let refused = outsider.json(Method::POST, "/api/v1/rounds", &foreign).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", refused.text);
    }

    async fn programs_plan_and_close_rounds_too(world) {
        let (given, ropes) = four_ropes(&world).await;
        let draft = json!({"name": "By program", "from": "2026-03-01", "to": "2026-03-02", "items": format!("{},{}", ropes[0], ropes[3])});
        let made = given.officer.json(Method::POST, "/api/v1/rounds", &draft).await;
        assert_eq!(made.status, StatusCode::CREATED, "{}", made.text);
        let id = made.json()["id"].as_str().unwrap().to_owned();
        let close = json!({"reason": "no time", "reasons": {}});
        let closed = given.officer.json(Method::POST, &format!("/api/v1/rounds/{id}/close"), &close).await;
        assert_eq!(closed.status, StatusCode::OK, "{}", closed.text);
        assert_eq!(closed.json()["closed"]["left"].as_array().unwrap().len(), 2);
        // What is examined after the round was closed does not count for it.
        world.clock.advance(time::Duration::days(1));
        examine(&given.officer, &ropes[0], &[("kind", "periodic"), ("on", "2026-03-02"), ("verdict", "fit")]).await;
        let round = given.officer.get(&format!("/api/v1/rounds/{id}")).await.json();
        assert_eq!((round["left"].as_u64(), round["done"].as_u64()), (Some(2), Some(0)), "{round}");
        let list = given.officer.get("/api/v1/rounds").await.json();
        assert_eq!(list["rows"][0]["name"], "By program");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn the_list_of_a_round_can_be_taken_along(world) {
        let (given, ropes) = four_ropes(&world).await;
        let id = plan(&given, &[]).await;
        examine(&given.officer, &ropes[0], &[("kind", "periodic"), ("on", "2026-03-01"), ("verdict", "fit")]).await;
        let auditor = world.visitor(&world.auditor).await;
        let file = auditor.get(&format!("/rounds/{id}/list.pdf")).await;
        assert_eq!(file.status, StatusCode::OK, "{}", file.text);
        checked(&file.bytes);
        let Some(text) = text_of(&file.bytes) else { return };
        let text = flat(&text);
        for said in ["Round of examinations: March", OUTSIDE, "Left: 2", "Done: 1", "RL-2", "2026-03-20"] {
            assert!(text.contains(said), "{said} is missing: {text}");
        }
    }

    async fn a_closed_round_stays_as_it_was_closed(world) {
        let (given, ropes) = four_ropes(&world).await;
        let id = plan(&given, &[]).await;
        examine(&given.officer, &ropes[0], &[("kind", "periodic"), ("on", "2026-03-01"), ("verdict", "fit")]).await;
        given.officer.post(&format!("/items/{}/step", ropes[1]), &[("step", "report-missing"), ("reason", "not in its bag")]).await;
        let closed = given.officer.post(&format!("/rounds/{id}/close"), &[("reason", "no time")]).await;
        assert_eq!(closed.status, StatusCode::SEE_OTHER, "{}", closed.text);
        let before = given.officer.get(&format!("/api/v1/rounds/{id}")).await.json();
        assert_eq!(["left", "not_found", "out", "done"].map(|key| before[key].as_u64().unwrap()), [1, 1, 0, 1]);
        // What happens to its items afterwards, and what is written down late, changes nothing of it.
        let step = async |item: &str, step: &str| {
            let done = given.officer.post(&format!("/items/{item}/step"), &[("step", step), ("reason", "later")]).await;
            assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        };
        step(&ropes[0], "quarantine").await;
        step(&ropes[1], "quarantine").await;
        step(&ropes[2], "retire").await;
        let late = [("kind", "periodic"), ("on", "2026-03-01"), ("verdict", "quarantine"), ("findings", "late")];
        examine(&given.officer, &ropes[1], &late).await;
        examine(&given.officer, &ropes[0], &late).await;
        let after = given.officer.get(&format!("/api/v1/rounds/{id}")).await.json();
        assert_eq!(["left", "not_found", "out", "done"].map(|key| after[key].clone()), ["left", "not_found", "out", "done"].map(|key| before[key].clone()));
        let page = given.officer.get(&format!("/rounds/{id}")).await.text;
        assert!(page.contains("2026-03-01, fit, The equipment officer of the north; quarantined today"), "{page}");
        let file = given.officer.get(&format!("/rounds/{id}/list.pdf")).await;
        checked(&file.bytes);
        if let Some(text) = text_of(&file.bytes) {
            let text = flat(&text);
            for said in ["Done: 1", "2026-03-01, fit, The", "quarantined", "Left: 1", "Not found: 1", "Out: 0"] {
                assert!(text.contains(said), "{said} is missing: {text}");
            }
        }
        assert_eq!(again(&world).await.differences, []);
    }
}
