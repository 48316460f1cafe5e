//! A team's own rulebooks through their doors: added, changed, chosen for jobs, kept in every version.

use axum::http::{Method, StatusCode, header};
use ropeloft::{
    domain::{Change, Edition, rulebook::TeamRulebook},
    store::{KeptRulebook, StoreError},
};
use serde_json::{Value, json};

use crate::{
    client::Client,
    fitness_case::{head, tripod},
    job_given::{fill, plan, planned},
    stock,
    store_due::work_by,
    store_rebuild::again,
};

/// A sheet over the European rulebook.
fn sheet(factor: &str) -> String {
    format!(
        "key = \"valley\"\ntitle = \"Valley <rules>\"\nbased_on = \"european\"\n\n[factor]\nvalue = {factor}\nreason = \"Ours.\"\nfrom = {{ source = \"team order 4\", known = \"setting\" }}\n"
    )
}

/// Adds the rulebook with the factor that is typed, and gives what came of it.
async fn added(client: &Client, factor: &str, reason: &str) -> Value {
    let draft = json!({"key": "valley", "title": "Valley", "based_on": "european",
        "numbers": {"factor": factor}, "reasons": {"factor": reason}});
    let made = client.json(Method::POST, "/api/v1/rulebooks", &draft).await;
    assert_eq!(made.status, StatusCode::CREATED, "{}", made.text);
    made.json()
}

fn offered(own: &TeamRulebook) -> KeptRulebook {
    KeptRulebook {
        rulebook: own.clone(),
        withdrawn: false,
    }
}

on_both_databases! {
    async fn numbers_are_set_otherwise_on_a_page_and_jobs_are_planned_under_them(world) {
        let officer = world.visitor(&world.officer).await;
        let start = officer.get("/rulebooks/new").await;
        assert!(start.text.contains("/rulebooks/new?from=uk-lifting"), "{}", start.text);
        let form = officer.get("/rulebooks/new?from=european").await;
        assert!(form.text.contains("name=\"numbers[factor]\" value=\"10\""), "{}", form.text);
        let typed = [
            ("key", "valley"), ("title", "Valley <rules>"), ("based_on", "european"),
            ("numbers[factor]", "8"), ("reasons[factor]", ""), ("numbers[person]", "130 kg"),
        ];
        let wrong = officer.post("/rulebooks", &typed).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(wrong.text.contains("8 instead of 10"), "{}", wrong.text);
        assert!(wrong.text.contains("value=\"130 kg\"") && wrong.text.contains("Valley &#60;rules&#62;"));
        let mut typed = typed;
        typed[4].1 = "all parts are proof-tested";
        let done = officer.post("/rulebooks", &typed).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        assert_eq!(done.location(), "/rulebooks/valley");
        let page = officer.get("/rulebooks/valley").await;
        for words in [
            "Valley &#60;rules&#62;", "the team&#39;s own, version 1, the newest",
            "looser than European standards (EN), for rope rescue and rope work (8 instead of 10), reason: all parts are proof-tested",
            "Mass of one person with kit", "130 kg", "What it does not cover",
        ] {
            assert!(page.text.contains(words), "{words}\n{}", page.text);
        }
        assert!(officer.get("/rulebooks").await.text.contains("asks less in 1 rule"));
        let job_form = officer.get("/jobs/new").await;
        assert!(job_form.text.contains("value=\"valley@1\""), "{}", job_form.text);
        let job = planned(&officer, json!({"rulebook": "valley", "load": "1 person"})).await;
        let sheet = officer.get(&format!("/api/v1/jobs/{job}")).await.json();
        assert_eq!(sheet["job"]["rulebook"], "valley@1");
        assert_eq!(sheet["verdict"]["asked"]["factor"], 8.0);
        assert_eq!(sheet["verdict"]["asked"]["load_kg"], 130.0);
        assert!(sheet["verdict"]["asked"]["from"]["looser"].as_str().unwrap().contains("8 instead of 10"));
        let verdict = officer.get(&format!("/jobs/{job}/verdict")).await;
        assert!(verdict.text.contains("8 instead of 10"), "{}", verdict.text);
        assert!(officer.get(&format!("/jobs/{job}")).await.text.contains("Valley &#60;rules&#62; (version 1)"));
        let history = officer.get("/history").await;
        assert!(history.text.contains("Rulebook Valley &#60;rules&#62; added, based on european"), "{}", history.text);
    }

    async fn a_job_keeps_the_version_that_it_was_planned_under(world) {
        let mut kit = crate::fitness_case::full_kit();
        kit[1] = head().rated(&["axle|36 kN|breaking", "becket|12 kN|breaking"]);
        kit[3] = tripod().rated(&["body|22 kN|breaking"]);
        world.shelve(&kit).await;
        let officer = world.visitor(&world.officer).await;
        added(&officer, "10", "").await;
        let job = planned(&officer, json!({"rulebook": "valley"})).await;
        fill(&officer, &job, &kit).await;
        let path = format!("/api/v1/jobs/{job}");
        assert_eq!(officer.get(&path).await.json()["passes"], true);
        let kept = officer.post(&format!("/jobs/{job}/verdict"), &[]).await;
        assert_eq!(kept.status, StatusCode::SEE_OTHER);
        // The second version asks for so much that the kit would fail.
        let stricter = json!({"key": "valley", "title": "Valley", "based_on": "european", "numbers": {"factor": "60"}});
        let revised = officer.json_if(Method::PUT, "/api/v1/rulebooks/valley", "\"1\"", &stricter).await;
        assert_eq!(revised.status, StatusCode::OK, "{}", revised.text);
        assert_eq!(revised.json()["reference"], "valley@2");
        let sheet = officer.get(&path).await.json();
        assert_eq!(sheet["passes"], true, "the job is judged by its own version");
        assert_eq!(sheet["verdict"]["asked"]["factor"], 10.0);
        let other = planned(&officer, json!({"rulebook": "valley", "starts_at": "2026-04-02T08:00", "ends_at": "2026-04-02T16:00"})).await;
        let other = officer.get(&format!("/api/v1/jobs/{other}")).await.json();
        assert_eq!(other["job"]["rulebook"], "valley@2");
        assert_eq!(other["verdict"]["asked"]["factor"], 60.0);
        // The plan may be changed and keep its version, or take the newest; a new job takes no old one.
        let edit = officer.get(&format!("/jobs/{job}/edit")).await;
        assert!(edit.text.contains("value=\"valley@1\" selected") && edit.text.contains("value=\"valley@2\""), "{}", edit.text);
        let old = officer.json(Method::POST, "/api/v1/jobs", &plan(&json!({"rulebook": "valley@1"}))).await;
        assert_eq!(old.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(old.text.contains("not the newest any more"), "{}", old.text);
        let changed = |rulebook: &str| plan(&json!({"rulebook": rulebook, "note": "changed"}));
        let mark = |revision: u32| format!("\"{revision}\"");
        let same = officer.json_if(Method::PUT, &path, &mark(1), &changed("valley@1")).await;
        assert_eq!(same.json()["rulebook"], "valley@1", "{}", same.text);
        let newer = officer.json_if(Method::PUT, &path, &mark(2), &changed("valley")).await;
        assert_eq!(newer.json()["rulebook"], "valley@2", "{}", newer.text);
        assert_eq!(officer.get(&path).await.json()["passes"], false);
        // Both versions are there to be read, and everything can be made again from the ledger.
        let first = officer.get("/rulebooks/valley@1").await;
        assert!(first.text.contains("version 1 of 2") && first.text.contains("/rulebooks/valley@2"), "{}", first.text);
        assert_eq!(officer.get("/api/v1/rulebooks/valley@1").await.json()["factor"]["value"], 10.0);
        assert_eq!(officer.get("/rulebooks/valley@3").await.status, StatusCode::NOT_FOUND);
        assert_eq!(again(&world).await.differences, []);
    }

    async fn the_days_of_the_teams_own_rulebook_bind_on_every_job(world) {
        let kit = world.shelved_kit().await;
        let officer = world.visitor(&world.officer).await;
        // Passed on the last day of 2025: in date in August for 12 months, not for the 6 of LOLER 1998, 9(3)(a)(i).
        let days = |day: u8| json!({"starts_at": format!("2026-08-{day:02}T08:00"), "ends_at": format!("2026-08-{day:02}T16:00")});
        let before = planned(&officer, days(3)).await;
        fill(&officer, &before, &kit).await;
        work_by(&world, "uk-lifting").await;
        let sheet = officer.get(&format!("/api/v1/jobs/{before}")).await.text;
        assert!(sheet.contains("\"overdue\"") && sheet.contains("LOLER 1998"), "{sheet}");
        let job = planned(&officer, days(4)).await;
        let line = json!({"item": kit[1].item.mark, "position": kit[1].position});
        let refused = officer.json(Method::POST, &format!("/api/v1/jobs/{job}/kit"), &line).await;
        assert_eq!(refused.status, StatusCode::CONFLICT, "{}", refused.text);
        assert!(refused.text.contains("rulebook that the team works by"), "{}", refused.text);
        let page = officer.get(&format!("/jobs/{job}/proposal")).await.text;
        assert!(!page.contains("name=\"take\""), "nothing that is overdue at home is proposed: {page}");
    }

    async fn a_sheet_is_brought_with_its_faults_named_by_line(world) {
        let officer = world.visitor(&world.officer).await;
        assert!(officer.get("/rulebooks/sheet").await.text.contains("multipart/form-data"));
        let bad = sheet("0.5").replace("known = \"setting\"", "known = \"hearsay\"");
        let sent = officer.upload("/rulebooks/sheet", &[("file", Some("own.toml"), bad.as_bytes())]).await;
        assert_eq!(sent.status, StatusCode::UNPROCESSABLE_ENTITY);
        for words in ["line 8, factor, from.known", "Valley &#60;rules&#62;"] {
            assert!(sent.text.contains(words), "{words}\n{}", sent.text);
        }
        // What was sent stands in the form and can be mended there.
        let good = sheet("11.0");
        let fields = [("file", Some(""), &b""[..]), ("sheet", None, good.as_bytes())];
        let sent = officer.upload("/rulebooks/sheet", &fields).await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text);
        let taken = officer.upload("/rulebooks/sheet", &fields).await;
        assert_eq!(taken.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(taken.text.contains("has a rulebook with the key valley already"), "{}", taken.text);
        let file = officer.get("/rulebooks/valley/sheet.toml").await;
        assert!(file.header(header::CONTENT_DISPOSITION).contains("valley-1.toml"));
        let next = file.text.replace("value = 11.0", "value = 12.0");
        let fields = [("revision", None, &b"1"[..]), ("sheet", None, next.as_bytes())];
        let sent = officer.upload("/rulebooks/valley/sheet", &fields).await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text);
        let stale = officer.upload("/rulebooks/valley/sheet", &fields).await;
        assert_eq!(stale.status, StatusCode::CONFLICT);
        assert!(stale.text.contains("Somebody else saved a newer version"));
        assert_eq!(officer.get("/api/v1/rulebooks/valley").await.json()["factor"]["value"], 12.0);
        let empty = officer.upload("/rulebooks/sheet", &[("file", Some(""), &b""[..])]).await;
        assert_eq!(empty.status, StatusCode::UNPROCESSABLE_ENTITY);
        let checked = officer.json(Method::POST, "/api/v1/rulebooks/check", &json!({"sheet": bad})).await;
        let faults = checked.json()["faults"].clone();
        assert_eq!(faults[0]["line"], 8, "{faults}");
        let fine = officer.json(Method::POST, "/api/v1/rulebooks/check", &json!({"sheet": good})).await;
        assert_eq!(fine.json()["faults"], json!([]));
    }

    async fn law_is_refused_with_both_numbers_at_both_doors(world) {
        let officer = world.visitor(&world.officer).await;
        let rule = "interval-gear-that-lifts-people-and-lifting-accessories";
        let field = format!("numbers[{rule}]");
        let typed = [("key", "valley"), ("title", "Valley"), ("based_on", "uk-lifting"), (field.as_str(), "12 months")];
        let page = officer.post("/rulebooks", &typed).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.text.contains("12 months is less than the 6 months that the law asks for"), "{}", page.text);
        let draft = json!({"key": "valley", "title": "Valley", "based_on": "uk-lifting", "numbers": {rule: "12"}, "reasons": {rule: "why not"}});
        let answer = officer.json(Method::POST, "/api/v1/rulebooks", &draft).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(answer.json()["fields"][0]["field"], field);
        assert_eq!(answer.json()["fields"][0]["code"], "law");
        assert_eq!(officer.get("/api/v1/rulebooks").await.json()["own"], json!([]));
    }

    async fn only_officers_keep_rulebooks_and_another_team_sees_none(world) {
        let officer = world.visitor(&world.officer).await;
        let draft = json!({"key": "valley", "title": "Valley", "based_on": "european"});
        for actor in [&world.crew, &world.auditor] {
            let client = world.visitor(actor).await;
            let refused = client.json(Method::POST, "/api/v1/rulebooks", &draft).await;
            assert_eq!(refused.status, StatusCode::FORBIDDEN);
            assert_eq!(client.get("/rulebooks/new").await.status, StatusCode::FORBIDDEN);
            assert!(!client.get("/rulebooks").await.text.contains("Add a rulebook"));
        }
        added(&officer, "12", "").await;
        let crew = world.visitor(&world.crew).await;
        assert_eq!(crew.get("/rulebooks/valley").await.status, StatusCode::OK);
        assert!(!crew.get("/rulebooks/valley").await.text.contains("/rulebooks/valley/edit"));
        let outsider = world.visitor(&world.outsider).await;
        assert_eq!(outsider.get("/rulebooks/valley").await.status, StatusCode::NOT_FOUND);
        let foreign = outsider.json(Method::POST, "/api/v1/jobs", &plan(&json!({"rulebook": "valley"}))).await;
        assert_eq!(foreign.status, StatusCode::UNPROCESSABLE_ENTITY);
        added(&outsider, "13", "").await;
        assert_eq!(officer.get("/api/v1/rulebooks/valley").await.json()["factor"]["value"], 12.0);
        let shipped = officer.get("/rulebooks/european/edit").await;
        assert_eq!(shipped.status, StatusCode::CONFLICT, "{}", shipped.text);
    }

    async fn a_team_may_work_by_its_own_rulebook(world) {
        let kit = world.shelved_kit().await;
        let admin = world.visitor(&world.admin).await;
        let draft = json!({"key": "valley", "title": "Valley", "based_on": "european", "numbers": {"interval-fall-protection-gear": "3 months"}});
        admin.json(Method::POST, "/api/v1/rulebooks", &draft).await;
        assert!(admin.get("/team").await.text.contains("value=\"valley\""));
        for (rulebook, status) in [("valley@1", 422), ("imaginary", 422), ("valley", 303)] {
            let done = admin.post("/team", &[("name", "North shaft team"), ("rulebook", rulebook)]).await;
            assert_eq!(done.status.as_u16(), status, "{rulebook}: {}", done.text);
        }
        let form = admin.get("/jobs/new").await;
        assert!(form.text.contains("value=\"valley@1\" selected"), "{}", form.text);
        // Every item is judged by it: examined 60 days ago, due after 3 months.
        let item = admin.get(&format!("/api/v1/items/{}", kit[0].item.id)).await.json();
        assert_eq!(item["due"]["until"], "2026-03-31", "{item}");
        let stale = json!({"key": "valley", "title": "Valley", "based_on": "european", "numbers": {"interval-fall-protection-gear": "2 months"}});
        admin.json_if(Method::PUT, "/api/v1/rulebooks/valley", "\"1\"", &stale).await;
        let item = admin.get(&format!("/api/v1/items/{}", kit[0].item.id)).await.json();
        assert_eq!(item["due"]["until"], "2026-02-28", "the newest version holds for the register");
    }

    async fn every_version_comes_back_as_it_went_in(world) {
        let own = stock::rulebook("valley");
        world.record(Change::RulebookAdded(own.clone())).await;
        let next = TeamRulebook { revision: 2, ..own.clone() };
        world.record(Change::RulebookRevised(next.clone())).await;
        for (change, refusal) in [
            (Change::RulebookRevised(next.clone()), "stale"),
            (Change::RulebookAdded(stock::rulebook("valley")), "taken"),
        ] {
            let refused = world.record_as(&world.officer, change).await.unwrap_err();
            let found = match refused {
                StoreError::Stale { table: "rulebook" } => "stale",
                StoreError::Taken => "taken",
                other => panic!("{other:?}"),
            };
            assert_eq!(found, refusal);
        }
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.rulebook(own.id).await.unwrap(), Some(offered(&next)));
        assert_eq!(tx.rulebook_named(&Edition::read("valley")).await.unwrap(), Some(offered(&next)));
        assert_eq!(tx.rulebook_named(&Edition::read("valley@1")).await.unwrap(), Some(offered(&own)));
        assert_eq!(tx.rulebook_named(&Edition::read("valley@9")).await.unwrap(), None);
        assert_eq!(tx.rulebook_named(&Edition::read("val\0ley@x")).await.unwrap(), None);
        assert_eq!(tx.rulebooks().await.unwrap(), [offered(&next)]);
        drop(tx);
        let mut other = world.database.read(world.other_team).await.unwrap();
        assert_eq!(other.rulebooks().await.unwrap(), []);
        assert_eq!(other.rulebook(own.id).await.unwrap(), None);
    }
}
