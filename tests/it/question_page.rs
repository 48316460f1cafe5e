//! The questions through their doors: pages, files, the API; who sees what, and what is refused.

use axum::http::{Method, StatusCode, header};
use ropeloft::domain::{Change, Person, question::Question};
use serde_json::json;
use time::macros::date;

use crate::{
    history::eventful,
    issue::{issued, passing},
    item_given::{examine, one_rope},
    stock,
};

/// A question with what it has to know.
fn asked(question: Question, item: &str) -> String {
    match question {
        Question::Used => format!("item={item}"),
        Question::Recalled => "maker=Fjordwerk".to_owned(),
        _ => String::new(),
    }
}

on_both_databases! {
    async fn everybody_asks_and_gets_a_sentence_a_table_a_file_and_an_answer_for_programs(world) {
        let (stock, _) = eventful(&world).await;
        for actor in [&world.officer, &world.crew, &world.auditor, &world.admin] {
            let client = world.visitor(actor).await;
            let list = client.get("/questions").await;
            assert_eq!(list.status, StatusCode::OK);
            for question in Question::ALL {
                let key = question.key();
                assert!(list.text.contains(&format!("href=\"/questions/{key}\"")), "{key}");
                let query = asked(question, "P-2");
                let page = client.get(&format!("/questions/{key}?{query}")).await;
                assert_eq!(page.status, StatusCode::OK, "{key}: {}", page.text);
                assert!(page.text.contains("role=\"group\" aria-label=\"Answer\""), "{key}");
                let file = client.get(&format!("/questions/{key}/answer.csv?{query}")).await;
                assert_eq!(file.status, StatusCode::OK, "{key}: {}", file.text);
                assert_eq!(file.header(header::CONTENT_DISPOSITION), format!("attachment; filename=\"ropeloft-{key}-2026-03-01.csv\""));
                assert!(file.text.starts_with(&format!("\u{feff}{}", question.columns()[0].key)), "{}", file.text);
                let api = client.get(&format!("/api/v1/questions/{key}?{query}")).await;
                assert_eq!(api.status, StatusCode::OK, "{key}: {}", api.text);
                let api = api.json();
                assert!(page.text.contains(&api["answer"].as_str().unwrap().replace('\'', "&#39;")), "{key}: {api}");
                assert_eq!(file.text.lines().count() - 1, api["rows"].as_array().unwrap().len().max(1), "{key}");
            }
        }
        let api = world.visitor(&world.auditor).await.get("/api/v1/questions/not-in-date").await.json();
        assert_eq!((&api["found"], &api["of"]), (&json!(0), &json!(1)), "one passed, one is put aside: {api}");
        let before = world.visitor(&world.auditor).await.get("/api/v1/questions/not-in-date?on=2026-02-19").await.json();
        assert_eq!((&before["found"], &before["of"]), (&json!(0), &json!(0)), "neither was on the register: {before}");
        let refused = world.visitor(&world.auditor).await.get("/api/v1/questions/refused-attempts").await.json();
        assert_eq!(refused["answer"], "1 of 2 attempts to put an item on a job until 2026-03-01 were refused");
        assert_eq!(refused["rows"][0]["item_id"], stock.first.id.to_string());
        assert_eq!(refused["rows"][0]["reasons"], "It is in quarantine. No approval.");
        let names = world.stranger().get("/questions").await;
        assert_eq!(names.status, StatusCode::SEE_OTHER);
    }

    async fn another_team_sees_nothing_of_it(world) {
        let (stock, _) = eventful(&world).await;
        let notice = stock::notice("Fjordwerk", date!(2026 - 02 - 20));
        world.record(Change::NoticeOpened(notice.clone())).await;
        let outsider = world.visitor(&world.outsider).await;
        for question in Question::ALL {
            let query = asked(question, "P-2");
            for door in [format!("/questions/{}", question.key()), format!("/questions/{}/answer.csv", question.key()), format!("/api/v1/questions/{}", question.key())] {
                let answer = outsider.get(&format!("{door}?{query}")).await;
                let known = [StatusCode::OK, StatusCode::UNPROCESSABLE_ENTITY].contains(&answer.status);
                assert!(known && !answer.text.contains("P-1"), "{door}: {}", answer.text);
            }
        }
        for (key, query) in [("use-of-an-item", format!("item={}", stock.second.id)), ("recalled-lot", format!("notice={}", notice.id))] {
            for door in [format!("/questions/{key}"), format!("/questions/{key}/answer.csv"), format!("/api/v1/questions/{key}")] {
                assert_eq!(outsider.get(&format!("{door}?{query}")).await.status, StatusCode::NOT_FOUND, "{door}");
                let own = world.visitor(&world.auditor).await.get(&format!("{door}?{query}")).await;
                assert_eq!(own.status, StatusCode::OK, "{door}: {}", own.text);
            }
        }
        assert_eq!(outsider.get("/questions/why").await.status, StatusCode::NOT_FOUND);
    }

    async fn what_cannot_be_asked_is_told_and_what_was_typed_stays(world) {
        eventful(&world).await;
        let client = world.visitor(&world.auditor).await;
        for (key, query, field, words) in [
            ("not-in-date", "on=2026-02-30", "on", "2026-02-30"),
            ("not-in-date", "on=2027-01-01", "on", "2027-01-01"),
            ("use-of-an-item", "item=P-9", "item", "P-9"),
            ("use-of-an-item", "item=P-1&from=2026-02-02&until=2026-02-01", "from", "2026-02-02"),
            ("recalled-lot", "lot=A+to+B&maker=Fjordwerk", "lot", "A to B"),
            ("recalled-lot", "model=Twin", "maker", "must be there"),
            ("gaps", "gap=hole", "gap", "hole"),
            ("gaps", "on=2026-01-01", "on", "does not go by it, only by gap"),
            ("not-in-date", "days=30", "days", "only by on"),
            ("recorded-late", "days=x1", "days", "x1"),
        ] {
            let page = client.get(&format!("/questions/{key}?{query}")).await;
            assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{key}?{query}: {}", page.text);
            assert!(page.text.contains(words) && page.text.contains("It was not answered"), "{key}?{query}: {}", page.text);
            let api = client.get(&format!("/api/v1/questions/{key}?{query}")).await;
            assert_eq!((api.status, &api.json()["fields"][0]["field"]), (StatusCode::UNPROCESSABLE_ENTITY, &json!(field)), "{}", api.text);
            let file = client.get(&format!("/questions/{key}/answer.csv?{query}")).await;
            assert_eq!(file.status, StatusCode::UNPROCESSABLE_ENTITY, "{key}?{query}");
        }
        // Nothing is asked yet: a form, and nothing wrong with it.
        for key in ["use-of-an-item", "recalled-lot"] {
            let page = client.get(&format!("/questions/{key}")).await;
            assert!(page.status == StatusCode::OK && !page.text.contains("aria-label=\"Answer\""), "{key}");
            assert_eq!(client.get(&format!("/api/v1/questions/{key}")).await.status, StatusCode::UNPROCESSABLE_ENTITY);
        }
        for after in ["zz", "7b7d"] {
            let page = client.get(&format!("/questions/gaps?after={after}")).await;
            assert_eq!(page.status, StatusCode::BAD_REQUEST, "{after}");
        }
    }

    async fn the_day_on_which_it_falls_due_is_in_date(world) {
        let given = one_rope(&world).await;
        examine(&given.officer, &given.item, &[("kind", "periodic"), ("on", "2025-02-28"), ("verdict", "fit")]).await;
        let found = async |on: &str| {
            let api = given.officer.get(&format!("/api/v1/questions/not-in-date?on={on}")).await.json();
            (api["found"].as_u64().unwrap(), api["of"].as_u64().unwrap(), api["rows"][0]["valid_until"].clone())
        };
        assert_eq!(found("2026-02-28").await, (0, 1, json!(null)));
        assert_eq!(found("2026-03-01").await, (1, 1, json!("2026-02-28")));
        // It was examined on that day, so it was the team's, whenever that was written down.
        assert_eq!(found("2025-02-28").await, (0, 1, json!(null)));
        let late = given.officer.get("/api/v1/questions/recorded-late").await.json();
        // Beside it stand the three qualifications, which hold since long before they were recorded.
        let rows = late["rows"].as_array().unwrap();
        let examined: Vec<_> = rows.iter().filter(|row| row["done_on"] == "2025-02-28").collect();
        assert_eq!((&late["found"], examined.len(), &examined[0]["days"]), (&json!(4), 1, &json!(366)), "{late}");
    }

    async fn what_no_job_takes_stands_in_one_place_with_every_reason(world) {
        let crew = world.visitor(&world.crew).await;
        let (_, kit) = passing(&world, &crew).await;
        let held = async |query: &str| {
            let api = crew.get(&format!("/api/v1/questions/held-back?{query}")).await.json();
            let rows = api["rows"].as_array().unwrap().iter();
            let rows: Vec<(String, String)> = rows.map(|row| (row["item"].as_str().unwrap().to_owned(), row["reasons"].as_str().unwrap().to_owned())).collect();
            assert_eq!((api["found"].as_u64(), api["of"].as_u64()), (Some(rows.len() as u64), Some(kit.len() as u64)), "{api}");
            rows
        };
        assert!(held("").await.is_empty(), "all of it may go");
        let item = &kit[1].item;
        let officer = world.visitor(&world.officer).await;
        let done = officer.json(Method::POST, &format!("/api/v1/items/{}/steps", item.id), &json!({"step": "quarantine", "reason": "a bent gate"})).await;
        assert!(done.status.is_success(), "{}", done.text);
        let one = held("").await;
        assert_eq!(one.len(), 1);
        assert!(one[0].0 == item.mark && one[0].1.contains("It is in quarantine"), "{one:?}");
        // A job that lasts for years finds every examination over, and says so of the one in quarantine as well.
        let years = held("until=2036-01-01").await;
        assert_eq!(years.len(), kit.len(), "{years:?}");
        let both = years.iter().find(|(mark, _)| *mark == item.mark).unwrap();
        assert!(both.1.contains("It is in quarantine") && both.1.contains("the job lasts longer"), "{both:?}");
        let past = crew.get("/api/v1/questions/held-back?until=2026-02-28").await;
        assert_eq!(past.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(past.text.contains("Write today, 2026-03-01, or a later day, not 2026-02-28."), "{}", past.text);
        let page = crew.get("/questions/held-back").await.text;
        assert!(page.contains("a bent gate") || page.contains("It is in quarantine"), "{page}");
        assert!(crew.get("/items").await.text.contains("href=\"/questions/held-back\""));
    }

    async fn a_name_that_was_removed_stays_removed(world) {
        const CREW: &str = "The crew of the north";
        let crew = world.visitor(&world.crew).await;
        let (job, kit) = passing(&world, &crew).await;
        issued(&world, &crew, &job).await;
        let mark = kit[1].item.mark.clone();
        let maker = kit[1].model.maker.replace('&', "%26").replace(' ', "+");
        let past = ["/jobs/{job}/then", "/jobs/{job}/then.csv", "/api/v1/jobs/{job}/then"].map(|door| door.replace("{job}", &job));
        let doors: Vec<String> = Question::ALL.into_iter().flat_map(|question| {
            let query = if question == Question::Recalled { format!("maker={maker}") } else { asked(question, &mark) };
            ["/questions/{key}", "/questions/{key}/answer.csv", "/api/v1/questions/{key}"].map(|door| format!("{}?{query}", door.replace("{key}", question.key())))
        }).chain(past).collect();
        let admin = world.visitor(&world.admin).await;
        let mut seen = 0;
        // The frame of a page names whoever reads it, so somebody else does.
        for door in &doors {
            seen += usize::from(admin.get(door).await.text.contains(CREW));
        }
        assert!(seen >= 9, "the name stands in the uses, the recall and the job's past: {seen}");
        let mut tx = world.database.read(world.team).await.unwrap();
        let person = tx.person(world.crew.person).await.unwrap().unwrap();
        drop(tx);
        world.record(Change::PersonRevised(Person { active: false, ..person })).await;
        let removal = json!({"person": world.crew.person.to_string(), "name": CREW, "reason": "on request"});
        let done = admin.json(Method::POST, "/api/v1/name-removals", &removal).await;
        assert_eq!(done.status, StatusCode::OK, "{}", done.text);
        for door in &doors {
            let answer = admin.get(door).await;
            assert!(answer.status == StatusCode::OK && !answer.text.contains(CREW), "{door}: {}", answer.text);
        }
    }
}
