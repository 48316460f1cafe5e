//! What captures the rope goes only where the rig captures it: everywhere else the rope must run back in lowering.
//! Common practice, no source.

use axum::http::{Method, StatusCode};
use ropeloft::domain::{RefusalCode, fitness::Plan, proposal::propose};
use ropeloft::rigging::{Element, Rig, shipped};
use serde_json::json;

use crate::{
    fitness_case::{Case, Thing, foot, head, job},
    job_given::planned,
    proposal::{stock, strong_kit},
    strength_of_kit_coverage::belayed,
};

/// A pulley with all that any place asks, which captures.
fn capturing(position: &str) -> Thing {
    head().with(&[("sheaves", "3")]).at(position)
}

/// A job with a rig, as far as its places go.
fn on(rig: &Rig, thing: Thing) -> Case {
    let mut case = Case::of(thing).on(|draft| {
        draft.throw = "3 m".into();
        draft.between_anchors = "3 m".into();
    });
    case.rig = rig.clone();
    case
}

/// Whether a rig captures at one of the sheaves of a position, read off the ropes.
fn is_captured(rig: &Rig, position: usize) -> bool {
    let met = rig.ropes().iter().flat_map(|rope| rope.path());
    met.filter(|one| one.position() == Some(position))
        .any(|one| matches!(one, Element::Sheave { capture: true, .. }))
}

#[test]
fn every_place_of_every_rig_takes_a_capture_only_where_the_rig_has_one() {
    let (mut refused, mut taken) = (0, 0);
    for rig in shipped() {
        for (index, place) in rig.positions().iter().enumerate() {
            if place.sheaves() == 0 {
                continue;
            }
            let against = |thing: Thing| on(rig, thing).codes();
            let here = against(capturing(place.key())).contains(&RefusalCode::CapturesHere);
            assert_eq!(
                here,
                !is_captured(rig, index),
                "{}: {}",
                rig.key(),
                place.key()
            );
            if here {
                refused += 1;
            } else {
                taken += 1;
            }
            let plain = capturing(place.key()).with(&[("capture", "no")]);
            assert!(!against(plain).contains(&RefusalCode::CapturesHere));
            // Of a plain pulley nobody writes that it captures nothing; one with the approval of a clamp may well do.
            let mut unknown = capturing(place.key());
            unknown.model.attributes.0.remove("capture");
            let is_asked = against(unknown.clone()).contains(&RefusalCode::CapturesHere);
            assert_eq!(is_asked, here);
            let plain = unknown.approved(&["EN 12278"]);
            assert!(!against(plain).contains(&RefusalCode::CapturesHere));
        }
    }
    assert!(refused > 15 && taken > 8, "{refused} and {taken}");
}

#[test]
fn the_reason_says_where_why_and_what_to_take() {
    let rig = |key: &str| shipped().iter().find(|rig| rig.key() == key).unwrap();
    let said = |case: Case| {
        let refused = case.refused(&[RefusalCode::CapturesHere]);
        assert!(
            refused[0]
                .rule
                .to_string()
                .contains("common practice, no source"),
            "{}",
            refused[0].rule
        );
        assert!(refused[0].is_for_good() && refused[0].mend.is_some());
        refused[0].sentence.clone()
    };
    assert_eq!(
        said(Case::of(foot().with(&[("capture", "yes")]))),
        "\"Double pulley at the load\" must let the rope run both ways, and a pulley with a progress capture holds it: in \
         lowering nobody can let go of its cam there. Take a plain one that captures nothing, or mend the record if it is wrong."
    );
    let belay = said(on(rig("tripod-with-belay"), capturing("belay-pulley")));
    assert!(
        belay.starts_with(
            "\"Pulley of the belay at the head\" must let the belay rope run both ways"
        ),
        "{belay}"
    );
    on(rig("tripod-with-belay"), capturing("head-pulley")).is_fit();
    // As a spare it stands nowhere.
    let mut spare = capturing("foot");
    spare.position = None;
    Case::of(spare).is_fit();
}

#[test]
fn a_place_where_it_runs_back_stays_empty_rather_than_take_a_capture() {
    let mut things = strong_kit();
    // By the order of the marks the capturing one would go to the load.
    let mut first = things[1].clone();
    (first.item, first.item.mark) = (head().item, "P-0".into());
    things.insert(0, first);
    let at_foot = |things: &[Thing]| {
        let job = job(|_| {});
        let proposal = propose(&Plan::of(&job).unwrap(), &stock(things, &[]));
        let mut picks = proposal.picks.iter();
        let pick = picks
            .find(|pick| pick.position == "foot")
            .map(|pick| pick.item);
        (pick, proposal.missing)
    };
    let plain = things.iter().find(|thing| thing.item.mark == "P-2");
    let (pick, missing) = at_foot(&things);
    assert_eq!((pick, missing.len()), (plain.map(|thing| thing.item.id), 0));
    things.retain(|thing| thing.item.mark != "P-2");
    let (pick, missing) = at_foot(&things);
    assert_eq!((pick, missing.len()), (None, 1));
    assert_eq!(missing[0].reasons, [(RefusalCode::CapturesHere, 2)]);
}

on_both_databases! {
    async fn a_capture_is_refused_where_the_rope_runs_back_and_never_proposed_there(world) {
        let mut kit = belayed();
        // By the order of the marks it would go first.
        for mark in ["P-01", "P-02"] {
            let mut capture = capturing("foot").rated(&["axle|90 kN|breaking", "becket|90 kN|breaking"]);
            capture.item.mark = mark.into();
            kit.push(capture);
        }
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let rig = json!({"rig": "tripod-with-belay", "between_anchors": "3 m", "load": "1 person"});
        let job = planned(&crew, rig).await;
        for place in ["foot", "belay-pulley"] {
            let put = json!({"item": "P-01", "position": place});
            let refused = crew.json(Method::POST, &format!("/api/v1/jobs/{job}/kit"), &put).await;
            assert_eq!(refused.status, StatusCode::CONFLICT, "{}", refused.text);
            assert!(refused.text.contains("captures-here"), "{}", refused.text);
            let page = crew.get(&format!("/jobs/{job}/positions/{place}")).await.text;
            assert!(page.contains("a pulley with a progress capture holds it"), "{page}");
        }
        let proposal = crew.get(&format!("/api/v1/jobs/{job}/proposal")).await.json();
        let item_at = |place: &str| {
            let picks = proposal["picks"].as_array().unwrap();
            let pick = picks.iter().find(|pick| pick["position"] == place).unwrap();
            let mut things = kit.iter();
            let thing = things.find(|thing| pick["item"] == thing.item.id.to_string());
            thing.unwrap().item.mark.clone()
        };
        assert_eq!((item_at("foot").as_str(), item_at("belay-pulley").as_str()), ("P-2", "P-3"));
        let put = json!({"item": "P-01", "position": "head-pulley"});
        let taken = crew.json(Method::POST, &format!("/api/v1/jobs/{job}/kit"), &put).await;
        assert!(taken.status.is_success(), "{}", taken.text);
    }
}
