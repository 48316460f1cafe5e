//! A reader with US units: forces, lengths and masses of a verdict and of a kit list are told in them.

use axum::http::{StatusCode, header};
use serde_json::json;

use crate::{
    job_given::{fill, planned},
    paper_reader::text_of,
};

on_both_databases! {
    async fn every_page_on_the_way_to_a_verdict_tells_them(world) {
        let kit = world.shelved_kit().await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({"load": "300 kg"})).await;
        fill(&crew, &job, &kit).await;
        let pages = ["", "/verdict", "/what-if?load=100%20kg", "/positions/rope", "/proposal"];
        let page = async |page: &str| {
            let answer = crew.get(&format!("/jobs/{job}{page}")).await;
            assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
            answer.text
        };
        for one in pages {
            let text = page(one).await;
            assert!(![" lbf", " ft)", " lb)"].iter().any(|unit| text.contains(unit)), "{one}: {text}");
        }
        crew.post("/settings", &[("units", "us"), ("theme", "system")]).await;
        // Of 300 kg 661 lb, of 15 m 49.2 ft, of 0.25 kN 56.2 lbf: conversions that are exact by definition, rounded.
        for (one, told) in [
            ("", "300 kg (661 lb)"),
            ("", "49.2 ft"),
            ("/verdict", "661 lb"),
            ("/verdict", "a pull of 0.25 kN (56.2 lbf)"),
            ("/what-if?load=100%20kg", "220 lb"),
            ("/positions/rope", "15 m (49.2 ft)"),
        ] {
            let text = page(one).await;
            assert!(text.contains(told), "{one}, {told}: {text}");
        }
        let paper = crew.get(&format!("/jobs/{job}/kit.pdf")).await;
        assert_eq!(paper.header(header::CONTENT_TYPE), "application/pdf");
        if let Some(text) = text_of(&paper.bytes) {
            assert!(text.contains("15 m (49.2 ft)") && text.contains("300 kg (661 lb)"), "{text}");
        }
        // What is kept and what programs get stays as it was.
        let read = crew.get(&format!("/api/v1/jobs/{job}")).await.text;
        assert!(!read.contains("lbf)"), "{read}");
    }
}
