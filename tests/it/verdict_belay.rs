//! What the pages say of a belay that is not judged, and of a harness that is not on the list.

use serde_json::json;

use crate::{
    job_given::{fill, planned},
    strength_of_kit_coverage::belayed,
};

on_both_databases! {
    async fn a_belay_that_is_not_judged_is_said_first_and_leads_to_the_fields(world) {
        let kit = belayed();
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let rig = json!({"rig": "tripod-with-belay", "between_anchors": "2.17 m"});
        let job = planned(&crew, rig).await;
        fill(&crew, &job, &kit).await;
        let verdict = format!("/jobs/{job}/verdict");
        let page = crew.get(&verdict).await.text;
        assert!(page.contains("Rig strong enough; a fall into the belay is not judged: of the rest, "), "{page}");
        assert!(page.contains("not judged: the plan gives no catch"), "{page}");
        let edit = format!("/jobs/{job}/edit?part=catch");
        assert!(page.contains(&format!("{edit}#f-catch_slack")), "{page}");
        let form = crew.get(&edit).await.text;
        assert!(form.contains("<details class=\"sheet\" open>") && form.contains("id=\"f-catch_slack\""));
        let plain = crew.get(&format!("/jobs/{job}/edit")).await.text;
        assert!(!plain.contains("<details class=\"sheet\" open>"));
        let auditor = world.visitor(&world.auditor).await;
        assert!(!auditor.get(&verdict).await.text.contains(&edit));
    }

    async fn a_catch_without_a_factor_shows_its_numbers_and_is_not_judged(world) {
        let kit = belayed();
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let plan = json!({
            "rig": "tripod-with-belay", "between_anchors": "2.17 m", "catch_slack": "0.3 m", "catch_rope": "6 m",
        });
        let job = planned(&crew, plan).await;
        fill(&crew, &job, &kit).await;
        let page = crew.get(&format!("/jobs/{job}/verdict")).await.text;
        assert!(page.contains("not judged: no factor for a catch is set; it holds "), "{page}");
        assert!(page.contains("The catch is not judged: no factor for a catch is set"), "{page}");
        assert!(page.contains(&format!("/jobs/{job}/edit?part=catch#f-exceptional_factor")), "{page}");
    }

    async fn a_harness_that_is_not_on_the_list_is_said_where_one_looks(world) {
        let kit = world.shelved_kit().await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({"load": "1 person"})).await;
        fill(&crew, &job, &kit).await;
        for page in ["", "/verdict"] {
            let page = crew.get(&format!("/jobs/{job}{page}")).await.text;
            assert!(page.contains("is empty: what a person hangs in is not on the list"), "{page}");
        }
        let choices = crew.get("/jobs/new").await.text;
        for words in ["pulled down (without a belay)", "with a belay line (with a belay that shares the head of the tripod with the main rope)"] {
            assert!(choices.contains(words), "{words}");
        }
    }
}
