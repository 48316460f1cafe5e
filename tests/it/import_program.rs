//! Bringing in a list through the door for programs.

use axum::{
    body::Body,
    http::{Method, Request, StatusCode, header},
};
use serde_json::json;

use crate::client::{Answer, Client};

const LIST: &str = "No.;Gear;Make;Type name;Ser. no;Built;Kept at;Strength [kN];Seen on\n\
    K1;carabiner;Fjordwerk;Bow 25;A1;05/2021;Bay;25;03/04/2025\n\
    K2;carabiner;Fjordwerk;Bow 25;A2;05/2021;Bay;25;03/04/2025\n";

async fn send(client: &Client, name: &str, bytes: Vec<u8>) -> Answer {
    let request = Request::post(format!("/api/v1/imports?name={name}"))
        .header(header::HOST, "gear.test")
        .header(header::CONTENT_TYPE, "application/octet-stream")
        .body(Body::from(bytes))
        .unwrap();
    client.send(request).await
}

on_both_databases! {
    async fn a_list_is_asked_about_and_then_taken_in_whole(world) {
        world.hold_competent().await;
        let officer = world.visitor(&world.officer).await;
        let sent = send(&officer, "list.csv", LIST.into()).await;
        assert_eq!(sent.status, StatusCode::CREATED, "{}", sent.text);
        let rehearsal = sent.json();
        assert_eq!(rehearsal["ready"], false);
        let path = format!("/api/v1/imports/{}", rehearsal["id"].as_str().unwrap());
        let early = officer.json(Method::POST, &format!("{path}/take"), &json!({})).await;
        assert_eq!(early.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", early.text);
        let answers = json!({
            "dates": "day-first",
            "headings": {"No.": "mark", "Gear": "kind", "Make": "maker", "Type name": "model", "Ser. no": "serial",
                "Built": "made", "Kept at": "store", "Strength [kN]": "breaking-strength", "Seen on": "last-examined"},
            "silent": {"life-support": "yes", "strength-source": "paper", "examiner": "A. Brook & Co"},
        });
        // Each question says where its answer stands and which there are.
        let headings = json!({"headings": answers["headings"]});
        let rehearsal = officer.json(Method::PUT, &format!("{path}/answers"), &headings).await.json();
        let asked = rehearsal["asked"].as_array().unwrap();
        let sentences: Vec<_> = asked.iter().map(|one| one["sentence"].clone()).collect();
        let told = [&rehearsal["questions"], &rehearsal["open"]].map(|told| told.as_array().unwrap().clone());
        assert_eq!(sentences, told.concat());
        for (place, values) in [
            (json!([["dates"]]), json!(["day-first", "month-first"])),
            (json!([["silent", "life-support"]]), json!(["yes", "no"])),
        ] {
            let one = asked.iter().find(|one| one["places"] == place).unwrap();
            let choices = one["choices"].as_array().unwrap().iter().map(|choice| choice["value"].clone());
            assert_eq!((json!(choices.collect::<Vec<_>>()), &one["needed"]), (values, &json!(true)), "{one}");
        }
        let answered = officer.json(Method::PUT, &format!("{path}/answers"), &answers).await;
        assert_eq!(answered.status, StatusCode::OK, "{}", answered.text);
        assert_eq!(answered.json()["ready"], true, "{}", answered.text);
        let taken = officer.json(Method::POST, &format!("{path}/take"), &json!({})).await;
        assert_eq!(taken.status, StatusCode::CREATED, "{}", taken.text);
        assert_eq!(taken.json()["items"], 2);
        let items = officer.get("/api/v1/items").await.json();
        assert_eq!(items["rows"][0]["mark"], "K1");
        assert_eq!(items["rows"][0]["last_passed_on"], "2025-04-03");
        let auditor = world.visitor(&world.auditor).await;
        assert_eq!(auditor.get(&path).await.status, StatusCode::FORBIDDEN);
    }

    async fn what_is_said_of_a_model_that_the_list_does_not_name_is_refused(world) {
        let officer = world.visitor(&world.officer).await;
        let rehearsal = send(&officer, "list.csv", LIST.into()).await.json();
        let path = format!("/api/v1/imports/{}/answers", rehearsal["id"].as_str().unwrap());
        let headings = json!({"Make": "maker", "Type name": "model"});
        for below in ["agreed", "models"] {
            let of = json!({"standard": "EN 362"});
            let read = if below == "models" { json!({"standard": "marking"}) } else { json!({}) };
            let answers = |title: &str| json!({"headings": headings, below: {title: of}, "sources": {title: read}});
            let refused = officer.json(Method::PUT, &path, &answers("Fjordwerk Bow 52")).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", refused.text);
            let field = &refused.json()["fields"][0];
            assert_eq!(field["field"], format!("{below}[Fjordwerk Bow 52]"));
            assert!(field["message"].as_str().unwrap().contains("is no model of this list"), "{field}");
            for title in ["fjordwerk bow 25", "Fjordwerk Bow 25, lot L7"] {
                let taken = officer.json(Method::PUT, &path, &answers(title)).await;
                assert_eq!(taken.status, StatusCode::OK, "{}", taken.text);
            }
        }
    }

    async fn what_is_said_of_a_model_and_cannot_hold_is_refused(world) {
        let officer = world.visitor(&world.officer).await;
        let list = "Mark;Kind;Maker;Model;Serial;Standard;MBS (kN);Store\n\
            P1;Pulley;F;W;1;EN 12278;36;S\nC1;Carabiner;F;C;2;EN 362;22;S\n";
        let rehearsal = send(&officer, "list.csv", list.into()).await.json();
        let path = format!("/api/v1/imports/{}/answers", rehearsal["id"].as_str().unwrap());
        let answers = |model: &str, fields: serde_json::Value| {
            let mut answers = rehearsal["answers"].clone();
            answers["silent"] = json!({"life-support": "yes", "strength-source": "marking", "store": "S"});
            answers["source"] = json!("paper");
            answers["models"] = json!({model: fields});
            answers
        };
        for (model, field, given) in [
            ("F W", "breaking-strength-becket", "2.400 daN"),
            ("F W", "made", "2030"),
            ("F C", "breaking-strength-gate-open", "0.05 kN"),
            ("F W", "attribute-efficiency-low", "0.9"),
        ] {
            let mut fields = json!({field: given});
            if field == "attribute-efficiency-low" {
                fields["attribute-efficiency"] = json!("0.8");
            }
            let refused = officer.json(Method::PUT, &path, &answers(model, fields)).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}: {}", refused.text);
            let told = refused.json()["fields"][0].clone();
            assert_eq!(told["field"], format!("models[{model}][{field}]"), "{told}");
            let value = given.trim_end_matches(char::is_alphabetic).trim().trim_end_matches('0');
            assert!(told["message"].as_str().unwrap().contains(value), "{told}");
        }
        let kept = officer.json(Method::PUT, &path, &answers("F W", json!({"breaking-strength-becket": "18 kN"}))).await;
        assert_eq!(kept.status, StatusCode::OK, "{}", kept.text);
    }

    async fn a_list_that_waits_is_seen_by_its_own_team_alone(world) {
        let officer = world.visitor(&world.officer).await;
        let sent = send(&officer, "list.csv", LIST.into()).await.json();
        let path = format!("/api/v1/imports/{}", sent["id"].as_str().unwrap());
        let outsider = world.visitor(&world.outsider).await;
        assert_eq!(outsider.get(&path).await.status, StatusCode::NOT_FOUND);
        let taken = outsider.json(Method::POST, &format!("{path}/take"), &json!({})).await;
        assert_eq!(taken.status, StatusCode::NOT_FOUND);
    }

    async fn a_file_that_is_no_list_is_refused_in_words(world) {
        let officer = world.visitor(&world.officer).await;
        for (name, bytes) in [("list.csv", Vec::new()), ("list.xlsx", b"PK\x03\x04 broken".to_vec()), ("photo.jpg", vec![255, 216, 255])] {
            let answer = send(&officer, name, bytes).await;
            assert!(answer.status.is_client_error(), "{name}: {}", answer.text);
            assert!(answer.header(header::CONTENT_TYPE).starts_with("application/problem+json"));
        }
        assert!(officer.get("/api/v1/items").await.json()["rows"].as_array().unwrap().is_empty());
    }
}
