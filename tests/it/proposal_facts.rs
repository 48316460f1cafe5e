//! All that records of models lack for a proposed kit, written down in one form.

use axum::http::StatusCode;
use ropeloft::domain::{
    Kind, ModelId, RatingSource, RopeRange,
    entered::EnteredLength,
    fact::{Fact, Written, on_record},
};
use ropeloft::rigging::{LoadingMode, StrengthKind};
use serde_json::json;

use crate::{
    fitness_case::{Thing, head},
    item_given::model,
    job_given::planned,
    proposal::strong_kit,
};

/// The kit without the range of the head pulley, the efficiency of the foot pulley and the strength of the tripod.
fn bare_kit() -> Vec<Thing> {
    let mut kit = strong_kit();
    for approval in &mut kit[1].model.approvals {
        approval.rope_range = None;
    }
    kit[2].model.attributes.0.remove("efficiency");
    kit[3].model.ratings.clear();
    kit
}

fn at(model: ModelId, field: &str) -> String {
    let (head, rest) = field.split_at(field.find('[').unwrap_or(field.len()));
    format!("models[{model}][{head}]{rest}")
}

/// What is sent for the three models, with the range as it is given.
fn sent(kit: &[Thing], least: &str) -> Vec<(String, String)> {
    let [head, foot, tripod] = [1, 2, 3].map(|index| kit[index].model.id);
    let fields = [
        (head, "revision", "1"),
        (head, "approvals[to EN 12278][rope_least]", least),
        (head, "approvals[to EN 12278][rope_most]", "13 mm"),
        (head, "source", "marking"),
        (foot, "revision", "1"),
        (foot, "attributes[efficiency]", "0.92"),
        (foot, "attributes[efficiency-source]", "maker"),
        (foot, "source", ""),
        (tripod, "revision", "1"),
        (tripod, "ratings[body][value]", "60 kN"),
        (tripod, "ratings[body][kind]", "breaking"),
        (tripod, "source", ""),
    ];
    let fields = fields.map(|(model, field, text)| (at(model, field), text.to_owned()));
    std::iter::once(("source".to_owned(), "paper".to_owned()))
        .chain(fields)
        .collect()
}

fn pairs(sent: &[(String, String)]) -> Vec<(&str, &str)> {
    sent.iter()
        .map(|(name, text)| (name.as_str(), text.as_str()))
        .collect()
}

on_both_databases! {
    async fn all_that_is_lacking_is_written_in_one_form(world) {
        let kit = bare_kit();
        world.shelve(&kit).await;
        let officer = world.visitor(&world.officer).await;
        let job = planned(&officer, json!({})).await;
        let proposal = format!("/jobs/{job}/proposal");
        let here = format!("{proposal}/facts");
        let page = officer.get(&proposal).await.text;
        assert!(page.contains(&format!("href=\"{here}\"")), "{page}");
        let lacking = officer.get(&format!("/api/v1/jobs/{job}/proposal")).await.json();
        assert_eq!(lacking["lacking"].as_array().unwrap().len(), 3, "{lacking}");
        let form = officer.get(&here).await.text;
        let sent = sent(&kit, "8 mm");
        for (name, _) in &sent {
            assert!(form.contains(&format!("name=\"{name}\"")), "{name} in {form}");
        }
        // Only what is missing is asked.
        let other = at(kit[2].model.id, "attributes[sheaves]");
        assert!(!form.contains(&other) && !form.contains(&kit[0].model.id.to_string()));
        let done = officer.post(&here, &pairs(&sent)).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        assert_eq!(done.location(), proposal);
        let page = officer.follow(&done).await.text;
        assert!(page.contains("3 records were written to; the kit is proposed anew.<"), "{page}");
        assert!(!officer.get(&proposal).await.text.contains("proposed anew"), "said once");
        assert!(page.contains("6 items would do"), "{page}");
        let model = |index: usize| format!("/api/v1/models/{}", kit[index].model.id);
        let tripod = officer.get(&model(3)).await.json();
        assert_eq!(tripod["ratings"][0]["source"], "paper", "{tripod}");
        let foot = officer.get(&model(2)).await.json();
        let note = foot["note"].as_str().unwrap();
        assert!(note.contains("read in the maker's paper; said on ") && note.contains("Pump well"), "{note}");
        let head = officer.get(&model(1)).await.json();
        assert!(head["note"].as_str().unwrap().contains("Approval to EN 12278: read on the gear itself"));
        // Nothing is left to be asked, and sending it again is told as stale, not written twice.
        assert!(officer.get(&here).await.text.contains("No record of a model lacks"));
        assert_eq!(officer.post(&here, &pairs(&sent)).await.status, StatusCode::CONFLICT);
    }

    async fn one_wrong_field_keeps_all_back_and_loses_nothing(world) {
        let kit = bare_kit();
        world.shelve(&kit).await;
        let officer = world.visitor(&world.officer).await;
        let job = planned(&officer, json!({})).await;
        let here = format!("/jobs/{job}/proposal/facts");
        let refused = officer.post(&here, &pairs(&sent(&kit, "8 pounds"))).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", refused.text);
        let text = &refused.text;
        assert!(text.contains("value=\"8 pounds\"") && text.contains("value=\"60 kN\""), "{text}");
        assert!(text.contains("Thinnest rope: "), "{text}");
        let tripod = officer.get(&format!("/api/v1/models/{}", kit[3].model.id)).await.json();
        assert_eq!((&tripod["revision"], &tripod["ratings"]), (&json!(1), &json!([])));
        // Where it was read must be said, once.
        let mut silent = sent(&kit, "8 mm");
        silent[0].1.clear();
        let refused = officer.post(&here, &pairs(&silent)).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(refused.text.contains("Where you read it: Choose marking"), "{}", refused.text);
        assert!(refused.text.contains("one thing to mend"), "{}", refused.text);
    }

    async fn what_is_hardly_ever_so_is_asked_and_can_be_confirmed_here(world) {
        let mut kit = bare_kit();
        for end in ["efficiency-low", "efficiency-high"] {
            kit[2].model.attributes.0.remove(end);
        }
        world.shelve(&kit).await;
        let officer = world.visitor(&world.officer).await;
        let job = planned(&officer, json!({})).await;
        let here = format!("/jobs/{job}/proposal/facts");
        let lanyard = model(&officer, &[("kind", "lanyard"), ("maker", "F"), ("name", "Long"), ("life_support", "no")]).await;
        let foot = kit[2].model.id.to_string();
        for (of, key, value, why) in [
            (&foot, "efficiency", "1", "Every sheave takes something of a pull"),
            (&lanyard, "length", "90 m", "A lanyard is seldom longer than 5 m"),
        ] {
            let name = |field: &str| format!("models[{of}]{field}");
            let confirmed = name(&format!("[attributes][{key}-confirmed]"));
            let (revision, asked) = (name("[revision]"), name(&format!("[attributes][{key}]")));
            let mut fields = vec![("source", "paper"), (&revision, "1"), (&asked, value)];
            let refused = officer.post(&here, &fields).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", refused.text);
            for words in [&format!("Is it really {value}? {why}"), &format!("name=\"{confirmed}\""), &format!("{value} is no slip")] {
                assert!(refused.text.contains(words), "{words}: {}", refused.text);
            }
            fields.push((&confirmed, value));
            let done = officer.post(&here, &fields).await;
            assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
            let kept = officer.get(&format!("/api/v1/models/{of}")).await.json();
            assert!(!kept["attributes"][format!("{key}-confirmed")].is_null(), "{kept}");
        }
    }

    async fn what_somebody_else_saved_is_told_beside_what_was_typed(world) {
        let kit = bare_kit();
        world.shelve(&kit).await;
        let officer = world.visitor(&world.officer).await;
        let job = planned(&officer, json!({})).await;
        let here = format!("/jobs/{job}/proposal/facts");
        let tripod = kit[3].model.id;
        let of_tripod: Vec<_> = sent(&kit, "8 mm").into_iter().filter(|(name, _)| {
            name == "source" || name.contains(&tripod.to_string())
        }).map(|(name, text)| (name, text.replace("60", "70"))).collect();
        let done = officer.post(&here, &pairs(&of_tripod)).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        let stale = officer.post(&here, &pairs(&sent(&kit, "8 mm"))).await;
        assert_eq!(stale.status, StatusCode::CONFLICT);
        let text = &stale.text;
        assert!(text.contains("was changed since this page was opened"), "{text}");
        assert!(text.contains("On record now: 70 kN") && text.contains("value=\"60 kN\""), "{text}");
        let foot = officer.get(&format!("/api/v1/models/{}", kit[2].model.id)).await.json();
        assert_eq!(foot["revision"], 1, "all or none: {foot}");
        // The form that comes back has the version that is there: sent again it is taken.
        let mut again = sent(&kit, "8 mm");
        for (name, text) in &mut again {
            if *name == at(tripod, "revision") {
                "2".clone_into(text);
            }
        }
        assert_eq!(officer.post(&here, &pairs(&again)).await.status, StatusCode::SEE_OTHER);
    }

    async fn what_still_lacks_after_saving_is_told(world) {
        let kit = bare_kit();
        world.shelve(&kit).await;
        let officer = world.visitor(&world.officer).await;
        let job = planned(&officer, json!({})).await;
        let here = format!("/jobs/{job}/proposal/facts");
        // The thickest rope alone is kept; the thinnest is told, and asked for alone.
        let done = officer.post(&here, &pairs(&sent(&kit, ""))).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        let page = officer.follow(&done).await.text;
        let still = format!(
            "3 records were written to; the kit is proposed anew. Still not on record of {}: thinnest rope that it takes.",
            kit[1].model.title()
        );
        assert!(page.contains(&still), "{page}");
        assert!(page.contains("up to 13 mm (the thinnest is not known)"), "{page}");
        assert!(page.contains("Write the thinnest rope on the model&#39;s record."), "{page}");
        let head = officer.get(&format!("/api/v1/models/{}", kit[1].model.id)).await.json();
        let ranges: Vec<_> = head["approvals"].as_array().unwrap().iter().map(|one| one["rope_range"].clone()).collect();
        assert!(ranges.iter().any(|range| range["most"].is_object() || range["most"].is_string()), "{head}");
        let form = officer.get(&here).await.text;
        assert!(form.contains("[rope_least]") && !form.contains("[rope_most]"), "{form}");
    }

    async fn who_may_not_write_is_told_who_may(world) {
        let kit = bare_kit();
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({})).await;
        let here = format!("/jobs/{job}/proposal/facts");
        let page = crew.get(&here).await;
        assert_eq!(page.status, StatusCode::OK);
        assert!(page.text.contains("Your role may not write them down; these may: "), "{}", page.text);
        assert!(page.text.contains("Not on record: efficiency of its sheaves"), "{}", page.text);
        assert!(!page.text.contains("name=\"source\""));
        let refused = crew.post(&here, &pairs(&sent(&kit, "8 mm"))).await;
        assert_eq!(refused.status, StatusCode::FORBIDDEN);
        let officer = world.visitor(&world.officer).await;
        for wild in [vec![], vec![("x", "y")], vec![("models[x][a]", "y")], vec![("models[", "")]] {
            let answer = officer.post(&here, &wild).await;
            assert!(answer.status.is_client_error(), "{wild:?}: {}", answer.status);
        }
        let unknown = at(kit[3].model.id, "attributes[colour]");
        let revision = at(kit[3].model.id, "revision");
        let answer = officer.post(&here, &[("source", "paper"), (&revision, "1"), (&unknown, "red")]).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    }

    async fn gear_that_fills_another_rig_is_shown_that_rig_and_the_plan_stays(world) {
        let mut kit = strong_kit();
        // The pulley at the load is gone; what is left fills the 1:1 over a redirect.
        kit.remove(2);
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({})).await;
        let page = crew.get(&format!("/jobs/{job}/proposal")).await.text;
        let other = format!("/jobs/{job}/proposal?rig=one-to-one-redirect");
        assert!(page.contains(&format!("href=\"{other}\"")), "{page}");
        let page = crew.get(&other).await.text;
        assert!(page.contains("Nothing of the job is changed"), "{page}");
        assert!(!page.contains("name=\"take\""), "{page}");
        let edit = format!("/jobs/{job}/edit?rig=one-to-one-redirect");
        assert!(page.contains(&format!("href=\"{edit}\"")), "{page}");
        let form = crew.get(&edit).await.text;
        assert!(form.contains("<option value=\"one-to-one-redirect\" selected>"), "{form}");
        let sheet = crew.get(&format!("/api/v1/jobs/{job}")).await.json();
        assert_eq!(sheet["job"]["rig"], "four-to-one-pull-down", "{sheet}");
        for wild in ["nothing", "three-to-one"] {
            let answer = crew.get(&format!("/jobs/{job}/proposal?rig={wild}")).await;
            assert!(answer.status.is_client_error(), "{wild}: {}", answer.status);
        }
    }
}

#[test]
fn each_fact_is_written_where_the_record_has_it() {
    let mut model = head().model;
    for approval in &mut model.approvals {
        approval.rope_range = None;
    }
    let fields = Fact::RopeRange(Some("EN 567".to_owned())).fields();
    assert_eq!(
        fields,
        [
            "approvals[to EN 567][rope_least]",
            "approvals[to EN 567][rope_most]"
        ]
    );
    let written = Written {
        source: "test".to_owned(),
        fields: [
            (fields[0].clone(), "9 mm".to_owned()),
            (fields[1].clone(), "11 mm".to_owned()),
        ]
        .into(),
    };
    let filled = written.onto(&model, "said today").unwrap().unwrap();
    assert_eq!(
        filled.approvals[1].rope_range.unwrap().to_string(),
        "9 mm to 11 mm"
    );
    assert_eq!(
        filled.approvals[0], model.approvals[0],
        "the other approval keeps what it says"
    );
    assert_eq!(on_record(&filled, &fields[0]).unwrap(), "9 mm");
    assert_eq!(filled.revision, model.revision + 1);
    assert!(
        filled
            .note
            .ends_with("Approval to EN 567: read from a test; said today."),
        "{}",
        filled.note
    );
    // One end alone is kept, and the other stays not known.
    let half = Written {
        fields: [(fields[0].clone(), "9 mm".to_owned())].into(),
        ..written.clone()
    };
    let half = half.onto(&model, "said today").unwrap().unwrap();
    let range = half.approvals[1].rope_range.unwrap();
    assert_eq!(range.lacks(), Some("thickest"));
    assert_eq!(range.least.unwrap().to_string(), "9 mm");
    // An approval that is not there any more is not guessed at.
    model.approvals.pop();
    let wrong = written.onto(&model, "said today").unwrap_err();
    assert_eq!(wrong.0[0].field, fields[0]);
    // Nothing written, nothing changed, and nobody asks where it was read.
    assert_eq!(Written::default().onto(&model, "").unwrap(), None);
}

#[test]
fn a_strength_is_asked_as_the_kind_that_will_do() {
    let fact = Fact::Strength(LoadingMode::Basket, Some(StrengthKind::Breaking));
    let model = Thing::new(
        Kind::Sling,
        "S-1",
        &["EN 566"],
        &["straight|22 kN|breaking"],
    )
    .model;
    let opened = fact.opened(&model);
    assert_eq!(
        opened[1],
        ("ratings[basket][kind]".to_owned(), "breaking".to_owned())
    );
    assert_eq!(model.kind, Kind::Sling);
    let written = Written {
        source: "marking".to_owned(),
        fields: opened
            .into_iter()
            .map(|(name, text)| {
                let text = if name.ends_with("[value]") {
                    "40 kN".to_owned()
                } else {
                    text
                };
                (name, text)
            })
            .collect(),
    };
    let filled = written.onto(&model, "said today").unwrap().unwrap();
    let last = filled.ratings.last().unwrap();
    assert_eq!(
        (last.mode, last.kind, last.source),
        (
            LoadingMode::Basket,
            StrengthKind::Breaking,
            RatingSource::Marking
        )
    );
    assert_eq!(
        filled.note, model.note,
        "a rating says itself where it was read"
    );
}

#[test]
fn a_rope_at_the_end_that_is_not_known_is_neither_taken_nor_refused() {
    let range = |least: Option<&str>, most: Option<&str>| {
        let read = |end: &str| EnteredLength::read(end, None).unwrap();
        RopeRange {
            least: least.map(read),
            most: most.map(read),
        }
    };
    let rope = |text: &str| EnteredLength::read(text, None).unwrap();
    for (range, eight, eleven, fourteen) in [
        (
            range(Some("8 mm"), Some("13 mm")),
            Some(true),
            Some(true),
            Some(false),
        ),
        (range(Some("9 mm"), None), Some(false), None, None),
        (range(None, Some("13 mm")), None, None, Some(false)),
    ] {
        let told = ["8 mm", "11 mm", "14 mm"].map(|text| range.takes(rope(text)));
        assert_eq!(told, [eight, eleven, fourteen], "{range}");
        let kept = serde_json::to_string(&range).unwrap();
        assert_eq!(serde_json::from_str::<RopeRange>(&kept).unwrap(), range);
    }
}
