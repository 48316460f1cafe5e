//! Recording examinations through their door.

use axum::http::{Method, StatusCode};
use ropeloft::domain::{Change, Holder, Kind, Qualification, QualificationId};
use serde_json::json;
use time::macros::date;
use uuid::Uuid;

use crate::item_given::{OUTSIDE, item, one_rope, rope_fields, with};

on_both_databases! {
    async fn an_examination_comes_back_and_sets_the_next_due_day(world) {
        let given = one_rope(&world).await;
        let page = format!("/items/{}", given.item);
        let form = given.officer.get(&format!("{page}/examinations/new")).await.text;
        assert!(form.contains("value=\"2026-03-01\""), "today is offered: {form}");
        let fields = [
            ("kind", "intake"), ("on", "2026-02-27"), ("verdict", "fit"),
            ("findings", "sheath <b>clean</b>"), ("examiner", "A. Brook & Co"), ("rest", "pass"),
        ];
        let answer = given.officer.post(&format!("{page}/examinations"), &fields).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        assert_eq!(answer.location(), page);
        let text = given.officer.get(&page).await.text;
        for words in ["2026-02-27", "Intake examination", "sheath &#60;b&#62;clean&#60;/b&#62;", "A. Brook &#38; Co", "2027-02-27"] {
            assert!(text.contains(words), "{words}: {text}");
        }
    }

    async fn a_form_sent_twice_records_one_examination(world) {
        let given = one_rope(&world).await;
        let before = world.entries().await;
        let path = format!("/items/{}/examinations?id={}", given.item, Uuid::now_v7());
        let fields = [("kind", "intake"), ("on", "2026-03-01"), ("verdict", "fit"), ("rest", "pass")];
        for _ in 0..2 {
            assert_eq!(given.officer.post(&path, &fields).await.status, StatusCode::SEE_OTHER);
        }
        assert_eq!(world.entries().await, before + 1);
    }

    async fn a_verdict_changes_the_state(world) {
        let given = one_rope(&world).await;
        let page = format!("/items/{}", given.item);
        for (verdict, words) in [
            ("quarantine", "in quarantine since 2026-03-01"),
            ("retire", "retired since 2026-03-01"),
        ] {
            let fields = [
                ("kind", "periodic"), ("on", "2026-03-01"), ("verdict", verdict), ("findings", "core seen"),
            ];
            let answer = given.officer.post(&format!("{page}/examinations"), &fields).await;
            assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
            let text = given.officer.get(&page).await.text;
            assert!(text.contains(words) && text.contains("core seen"), "{text}");
        }
        let fields = [("kind", "periodic"), ("on", "2026-03-01"), ("verdict", "fit"), ("rest", "pass")];
        let before = world.entries().await;
        let answer = given.officer.post(&format!("{page}/examinations"), &fields).await;
        assert_eq!(answer.status, StatusCode::CONFLICT, "a retired item stays retired");
        let form = given.officer.get(&format!("{page}/examinations/new")).await;
        assert_eq!(form.status, StatusCode::CONFLICT);
        assert_eq!(world.entries().await, before);
    }

    async fn whoever_examines_says_whether_the_markings_can_be_read(world) {
        let given = one_rope(&world).await;
        let fields = with(&rope_fields(&given.model, &given.store), &[("mark", "RL-9"), ("serial", "S-9"), ("markings_readable", "")]);
        let id = item(&given.officer, &fields).await;
        let page = format!("/items/{id}");
        let examine = async |markings: &str| {
            let fields = [("kind", "intake"), ("on", "2026-02-27"), ("verdict", "fit"), ("rest", "pass"), ("markings_readable", markings)];
            let answer = given.officer.post(&format!("{page}/examinations"), &fields).await;
            assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
            given.officer.get(&page).await.text
        };
        let text = given.officer.get(&page).await.text;
        assert!(text.contains("Nobody noted whether its markings can be read"), "{text}");
        let form = format!("{page}/examinations/new");
        assert!(text.contains(&format!("<a href=\"{form}\">Record an examination</a>")), "{text}");
        let form = given.officer.get(&form).await.text;
        assert!(form.contains("Can the markings be read?") && form.contains("nobody has noted it yet"), "{form}");
        // The line of the list that asks for them says it, by whom and when.
        let text = examine("").await;
        assert!(text.contains("Fit to be chosen") && !text.contains("Nobody noted"), "{text}");
        assert!(text.contains("The equipment officer of the north on 2026-02-27"), "{text}");
        let text = examine("yes").await;
        assert!(text.contains("Fit to be chosen") && !text.contains("Nobody noted"), "{text}");
        let told = given.officer.get(&format!("{page}/history")).await.text;
        assert!(told.contains("fit, markings can be read, next due 2027-02-27"), "{told}");
        // What the list and the field say must be the same; who finds them worn off says so in both.
        let fields = [("kind", "intake"), ("on", "2026-02-27"), ("verdict", "fit"), ("rest", "pass"), ("markings_readable", "no")];
        let answer = given.officer.post(&format!("{page}/examinations"), &fields).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(answer.text.contains("This says no, and the line") && answer.text.contains("id=\"f-markings_readable-wrong-1\""), "{}", answer.text);
        let known = with(&fields, &[("answers[marks][outcome]", "not-applicable"), ("answers[marks][note]", "worn off, known by our own tag")]);
        assert_eq!(given.officer.post(&format!("{page}/examinations"), &known).await.status, StatusCode::SEE_OTHER);
        let text = given.officer.get(&page).await.text;
        assert!(text.contains("no job will take it") && text.contains("Its markings cannot be read"), "{text}");
        let failed = [("kind", "intake"), ("on", "2026-02-27"), ("verdict", "quarantine"), ("rest", "pass"),
            ("answers[marks][outcome]", "fail"), ("answers[marks][note]", "worn off")];
        assert_eq!(given.officer.post(&format!("{page}/examinations"), &failed).await.status, StatusCode::SEE_OTHER);
        let sheet = given.officer.get(&format!("/api/v1/items/{id}")).await.json();
        assert_eq!(sheet["item"]["markings_readable"], false);
        let wrong = [("kind", "intake"), ("on", "2026-02-27"), ("verdict", "fit"), ("markings_readable", "hardly")];
        let answer = given.officer.post(&format!("{page}/examinations"), &wrong).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(answer.text.contains("id=\"f-markings_readable-wrong-1\""), "{}", answer.text);
    }

    async fn an_id_is_no_name_of_whoever_looked(world) {
        let given = one_rope(&world).await;
        let id = world.outsider.person.0.to_string();
        let fields = [("kind", "pre-use"), ("on", "2026-03-01"), ("verdict", "fit"), ("examiner", id.as_str()), ("rest", "pass")];
        let answer = given.officer.post(&format!("/items/{}/examinations", given.item), &fields).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(answer.text.contains(&format!("Write the name of whoever looked, not an id, as {id} is.")), "{}", answer.text);
    }

    async fn every_wrong_field_of_an_examination_is_named(world) {
        let given = one_rope(&world).await;
        let path = format!("/items/{}/examinations", given.item);
        let before = world.entries().await;
        let long = "f".repeat(10_000);
        let fields = [
            ("kind", "sniff"), ("on", "2026-03-02"), ("verdict", "splendid"),
            ("findings", long.as_str()), ("examiner", "two\nlines"), ("next_due_on", "soon"),
        ];
        let answer = given.officer.post(&path, &fields).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        for field in ["kind", "on", "verdict", "findings", "examiner", "next_due_on"] {
            assert!(answer.text.contains(&format!("id=\"f-{field}-wrong-1\"")), "{field}: {}", answer.text);
        }
        for text in ["value=\"sniff\" selected", "value=\"splendid\" selected", "value=\"soon\"", &long] {
            assert!(answer.text.contains(text), "{text:.40} is lost");
        }
        for (verdict, findings, due, field) in [
            ("fit", "", "2030-01-01", "next_due_on"),
            ("fit", "", "2026-02-01", "next_due_on"),
            ("quarantine", "", "", "findings"),
        ] {
            let fields = [
                ("kind", "periodic"), ("on", "2026-02-20"), ("verdict", verdict),
                ("findings", findings), ("next_due_on", due), ("rest", "pass"),
            ];
            let answer = given.officer.post(&path, &fields).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{verdict} {due}");
            assert!(answer.text.contains(&format!("id=\"f-{field}-wrong-1\"")), "{}", answer.text);
        }
        assert_eq!(world.entries().await, before);
    }

    async fn who_is_competent_on_the_crew_records_what_they_examined_themselves(world) {
        let given = one_rope(&world).await;
        let path = format!("/items/{}/examinations", given.item);
        let crew = world.visitor(&world.crew).await;
        let thorough = [("kind", "periodic"), ("on", "2026-02-20"), ("verdict", "fit"), ("rest", "pass")];
        let before = world.entries().await;
        let refused = crew.post(&path, &thorough).await;
        assert_eq!(refused.status, StatusCode::FORBIDDEN);
        for words in [
            "recorded by an equipment officer, or by whoever examined and is recorded as competent", "Your role is crew",
            "The crew of the north is not recorded as competent to examine", "gives roles under People",
        ] {
            assert!(refused.text.contains(words), "{words}: {}", refused.text);
        }
        let mine = Qualification {
            id: QualificationId::new(),
            holder: Holder::Person(world.crew.person),
            kinds: vec![Kind::Rope],
            from: date!(2026-02-01),
            until: None,
            evidence: "course for ropes".into(),
            address: String::new(),
            ended: None,
        };
        world.record(Change::QualificationRecorded(mine.clone())).await;
        let form = crew.get(&format!("{path}/new")).await.text;
        assert!(form.contains("value=\"periodic\"") && form.contains("I, who record it"), "{form}");
        assert!(!form.contains(OUTSIDE), "nobody else is to be named: {form}");
        let other = crew.post(&path, &with(&thorough, &[("examiner", OUTSIDE), ("findings", "two <turns>")])).await;
        assert_eq!(other.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(other.text.contains("id=\"f-examiner-wrong-1\"") && other.text.contains("two &#60;turns&#62;"), "{}", other.text);
        // Before it held, it does not hold: said at the examiner, with all that was typed.
        let early = crew.post(&path, &with(&thorough, &[("on", "2026-01-20")])).await;
        assert_eq!(early.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(early.text.contains("begins on 2026-02-01, after 2026-01-20") && early.text.contains("value=\"periodic\" selected"), "{}", early.text);
        assert_eq!(world.entries().await, before + 1, "the qualification alone");
        // What is for others of the register stays theirs, and what is for other gear.
        let step = [("step", "retire"), ("reason", "x")];
        assert_eq!(crew.post(&format!("/items/{}/step", given.item), &step).await.status, StatusCode::FORBIDDEN);
        let oval = crate::item_given::model(&given.officer, &[("kind", "connector"), ("maker", "Tarn & Fell"), ("name", "Oval"), ("life_support", "yes")]).await;
        let oval = crate::item_given::item(&given.officer, &[("mark", "C-1"), ("model", &oval), ("store", &given.store)]).await;
        let metal = crew.post(&format!("/items/{oval}/examinations"), &thorough).await;
        assert_eq!(metal.status, StatusCode::FORBIDDEN);
        assert!(metal.text.contains("is not for a connector: it is for rope"), "{}", metal.text);
        assert_eq!(crew.post(&path, &thorough).await.status, StatusCode::SEE_OTHER);
        let done = given.officer.get(&format!("/api/v1/items/{}/examinations", given.item)).await.json();
        let done = &done["examinations"][0];
        assert_eq!((&done["examiner"], &done["qualification"]), (&json!("The crew of the north"), &json!(mine.id)));
        // A reader stays a reader, whatever is recorded of them.
        world.record(Change::QualificationRecorded(Qualification {
            id: QualificationId::new(),
            holder: Holder::Person(world.auditor.person),
            ..mine
        })).await;
        let auditor = world.visitor(&world.auditor).await;
        assert_eq!(auditor.post(&path, &thorough).await.status, StatusCode::FORBIDDEN);
    }

    async fn the_crew_records_checks_and_no_thorough_examination(world) {
        let given = one_rope(&world).await;
        let path = format!("/items/{}/examinations", given.item);
        let crew = world.visitor(&world.crew).await;
        let form = crew.get(&format!("{path}/new")).await.text;
        assert!(form.contains("value=\"pre-use\"") && !form.contains("value=\"periodic\""), "{form}");
        let check = [("kind", "pre-use"), ("on", "2026-03-01"), ("verdict", "fit")];
        assert_eq!(crew.post(&path, &check).await.status, StatusCode::SEE_OTHER);
        let thorough = [("kind", "periodic"), ("on", "2026-03-01"), ("verdict", "fit")];
        assert_eq!(crew.post(&path, &thorough).await.status, StatusCode::FORBIDDEN);
        let auditor = world.visitor(&world.auditor).await;
        assert_eq!(auditor.post(&path, &check).await.status, StatusCode::FORBIDDEN);
    }

    async fn what_the_record_says_is_told_first_and_no_pass_goes_over_it(world) {
        let given = one_rope(&world).await;
        let page = format!("/items/{}", given.item);
        let fit = [("kind", "intake"), ("on", "2026-02-01"), ("verdict", "fit"), ("rest", "pass")];
        crate::item_given::examine(&given.officer, &given.item, &fit).await;
        let event = [("kind", "chemical"), ("on", "2026-02-20"), ("note", "at the <lip>")];
        let done = given.officer.post(&format!("{page}/events"), &event).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        for form in [format!("{page}/examinations/new"), format!("/bench?item={}", given.item)] {
            let text = given.officer.get(&form).await.text;
            for words in ["on 2026-02-20 it met a chemical (at the &#60;lip&#62;)", "It is quarantined since 2026-03-01"] {
                assert!(text.contains(words), "{form}: {words}: {text}");
            }
        }
        // What is passed without a word is refused; a periodic look with a word leaves it held, and says so.
        let look = [("kind", "periodic"), ("on", "2026-03-01"), ("verdict", "fit"), ("rest", "pass"), ("findings", "looked at <twice>")];
        let before = world.entries().await;
        let refused = given.officer.post(&format!("{page}/examinations"), &look).await;
        assert_eq!((refused.status, world.entries().await), (StatusCode::UNPROCESSABLE_ENTITY, before));
        assert!(refused.text.contains("The record says otherwise: on 2026-02-20 it met a chemical") && refused.text.contains("id=\"f-answers-log-note-wrong-1\""), "{}", refused.text);
        let told = with(&look, &[("answers[log][outcome]", "pass"), ("answers[log][note]", "diesel on the bag, none on the rope")]);
        let draft = json!({"kind": "periodic", "on": "2026-03-01", "verdict": "fit", "rest": "pass",
            "answers": {"log": {"outcome": "pass", "note": "none on the rope"}}});
        let done = given.officer.json(Method::POST, &format!("/api/v1{page}/examinations"), &draft).await;
        assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
        let waits = done.json()["waits_for"].as_str().unwrap().to_owned();
        assert!(waits.contains("It stays in quarantine") && waits.contains("an after-event examination on 2026-02-20 or later"), "{waits}");
        let after = with(&told, &[("kind", "after-event")]);
        let done = given.officer.post(&format!("/bench?look=after-event&on=2026-03-01&item={}", given.item), &after).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        let said = given.officer.follow(&done).await.text;
        assert!(said.contains("It stays in quarantine: somebody competent has to return it"), "{said}");
        let step = json!({"step": "return-to-service", "reason": "sound"});
        let back = given.officer.json(Method::POST, &format!("/api/v1{page}/steps"), &step).await;
        assert_eq!(back.status, StatusCode::OK, "{}", back.text);
        // What was answered by an examination stands no more.
        crate::item_given::examine(&given.officer, &given.item, &[("kind", "periodic"), ("on", "2026-03-01"), ("verdict", "fit")]).await;
    }

    async fn a_return_says_why_and_is_not_dated_before_what_it_ends(world) {
        let given = one_rope(&world).await;
        let page = format!("/items/{}", given.item);
        let step = async |draft: serde_json::Value| given.officer.json(Method::POST, &format!("/api/v1{page}/steps"), &draft).await;
        assert_eq!(step(json!({"step": "quarantine", "reason": "fluff at 3 m"})).await.status, StatusCode::OK);
        let early = step(json!({"step": "return-to-service", "reason": "sound", "on": "2026-02-20"})).await;
        assert_eq!(early.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(early.text.contains("RL-0042 is quarantined since 2026-03-01: a return on 2026-02-20 does not end that."), "{}", early.text);
        let look = [("kind", "periodic"), ("on", "2026-03-01"), ("verdict", "fit"), ("rest", "pass")];
        let silent = given.officer.post(&format!("{page}/examinations"), &look).await;
        assert_eq!(silent.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(silent.text.contains("(fluff at 3 m): write what was found, and why it may be used again"), "{}", silent.text);
        let told = given.officer.post(&format!("{page}/examinations"), &with(&look, &[("findings", "only dirt, washed")])).await;
        assert_eq!(told.status, StatusCode::SEE_OTHER, "{}", told.text);
        let sheet = given.officer.get(&format!("/api/v1{page}")).await.json();
        assert_eq!((&sheet["item"]["state"], &sheet["item"]["state_reason"]), (&json!("in-service"), &json!("periodic examination: only dirt, washed")));
    }
}
