//! Whether a strop or a sling goes round the anchor: refused with figures where the plan says how thick it is, named once
//! where nobody said it.

use axum::http::{Method, StatusCode};
use ropeloft::domain::{
    JobDraft, JobId, Kind, Refusal, RefusalCode, Zone,
    entered::EnteredLength,
    fitness::{goes_round, to_go_round},
    kit_strength::KitVerdict,
};
use serde_json::json;

use crate::{
    fitness_case::{Case, Thing, full_kit, job, verdict},
    job_given::{fill, plan, planned},
    strength_of_kit_coverage::belayed,
};

fn length(text: &str) -> EnteredLength {
    EnteredLength::read(text, None).unwrap()
}

/// A strop at the anchor of the belay.
fn strop(length: &str) -> Thing {
    let strop = Thing::new(
        Kind::AnchorDevice,
        "A-7",
        &["EN 795|B"],
        &["body|30 kN|breaking"],
    )
    .at("belay-anchor");
    match length {
        "" => strop,
        length => strop.with(&[("length", length)]),
    }
}

/// A sling round the anchor of the 4:1.
fn sling(length: &str) -> Thing {
    let sling = Thing::new(
        Kind::Sling,
        "S-7",
        &["EN 566"],
        &["basket|44 kN|breaking", "straight|22 kN|breaking"],
    )
    .at("anchor-sling");
    match length {
        "" => sling,
        length => sling.with(&[("length", length)]),
    }
}

/// The kit of the tripod with a belay, with these strops at the belay's anchor.
fn belayed_with(strops: impl IntoIterator<Item = Thing>) -> Vec<Thing> {
    let mut kit = belayed();
    kit.retain(|thing| thing.position.as_deref() != Some("belay-anchor"));
    kit.extend(strops);
    kit
}

fn at_a_belay(thing: Thing, girth: &str) -> Case {
    Case::of(thing).on(|draft| {
        draft.rig = "tripod-with-belay".into();
        draft.between_anchors = "2.17 m".into();
        draft.anchor_girth = girth.into();
    })
}

fn round_a_beam(thing: Thing, girth: &str) -> Case {
    Case::of(thing).on(|draft| draft.anchor_girth = girth.into())
}

/// A strop of 1 m round a column of 1.6 m.
pub fn too_short() -> Case {
    at_a_belay(strop("1 m"), "1.6 m")
}

#[track_caller]
fn only(case: &Case) -> Refusal {
    case.refused(&[RefusalCode::DoesNotGoRound]).remove(0)
}

/// The way round the points from one of them and back, by the turn of each corner: nothing of the program's own.
fn hull(points: &[(f64, f64)]) -> f64 {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.partial_cmp(b).unwrap());
    let turns = |o: (f64, f64), a: (f64, f64), b: (f64, f64)| {
        (a.0 - o.0) * (b.1 - o.1) - (a.1 - o.1) * (b.0 - o.0)
    };
    let half = |points: &mut dyn Iterator<Item = (f64, f64)>| {
        let mut chain: Vec<(f64, f64)> = Vec::new();
        for point in points {
            while let [.., a, b] = chain.as_slice()
                && turns(*a, *b, point) <= 0.0
            {
                chain.pop();
            }
            chain.push(point);
        }
        let legs = chain
            .windows(2)
            .map(|leg| f64::hypot(leg[1].0 - leg[0].0, leg[1].1 - leg[0].1));
        legs.sum::<f64>()
    };
    half(&mut sorted.iter().copied()) + half(&mut sorted.iter().rev().copied())
}

/// The length over the girth of a body of this width in front and this depth, with 60 degrees at the connector.
fn of_a_box(width: f64, depth: f64) -> f64 {
    let apex = (0.0, width / 2.0 / f64::to_radians(30.0).tan());
    let half = width / 2.0;
    let corners = [
        (-half, 0.0),
        (half, 0.0),
        (half, -depth),
        (-half, -depth),
        apex,
    ];
    hull(&corners) / (2.0 * (width + depth))
}

#[test]
fn the_length_is_that_of_a_line_drawn_round_body_and_connector() {
    assert!((of_a_box(1.0, 1.0) - 1.25).abs() < 1e-9);
    assert!(
        (of_a_box(1.0, 1e-9) - 1.5).abs() < 1e-6,
        "a thin flat body takes more"
    );
    // A round body of radius 1: the connector is 1 / sin 30 degrees = 2 from its middle.
    let mut points: Vec<(f64, f64)> = (0..7200)
        .map(|step| f64::from(step) * std::f64::consts::TAU / 7200.0)
        .map(|angle| (angle.cos(), angle.sin()))
        .collect();
    points.push((0.0, 2.0));
    let round = hull(&points) / std::f64::consts::TAU;
    assert!((round - 1.218).abs() < 1e-3, "{round}");
    // What is asked for is that of the square: enough for both.
    for (girth, needed) in [
        ("1.6 m", "2.00 m"),
        ("1 m", "1.25 m"),
        // Rounded up: 0.5 m x 1.25 = 0.625 m, and 63 in x 1.25 = 78.75 in.
        ("0.5 m", "0.63 m"),
        ("63 in", "78.8 in"),
        ("64 in", "80.0 in"),
        ("5 ft", "6.25 ft"),
        ("160 cm", "200.0 cm"),
        ("1601 mm", "2002 mm"),
    ] {
        assert_eq!(to_go_round(length(girth)), needed, "{girth}");
    }
}

#[test]
fn exactly_as_long_as_needed_goes_round() {
    for (has, girth, goes) in [
        ("2 m", "1.6 m", true),
        ("1.999 m", "1.6 m", false),
        ("0.625 m", "0.5 m", true),
        ("80 in", "64 in", true),
        ("79 in", "64 in", false),
    ] {
        assert_eq!(
            goes_round(length(has), length(girth)),
            goes,
            "{has} round {girth}"
        );
    }
}

#[test]
fn a_strop_that_is_too_short_is_refused_with_both_figures() {
    let refusal = only(&too_short());
    assert!(
        refusal
            .sentence
            .starts_with("It is 1 m long and must be 2.00 m to go round 1.6 m:"),
        "{}",
        refusal.sentence
    );
    assert_eq!(
        refusal.evidence,
        "length 1 m; needed: 1.6 m x 1.25 = 2.00 m"
    );
    assert!(
        refusal.rule.to_string().contains("60 degrees")
            && refusal
                .rule
                .to_string()
                .contains("common practice, no source")
    );
    at_a_belay(strop("2 m"), "1.6 m").is_fit();
    at_a_belay(strop("1 m"), "0.8 m").is_fit();
}

#[test]
fn a_strop_is_told_in_the_unit_of_the_girth() {
    for (strop_length, told) in [("48 in", "48 in"), ("1 m", "39.4 in")] {
        let refusal = only(&at_a_belay(strop(strop_length), "63 in"));
        let words = format!("It is {told} long and must be 78.8 in to go round 63 in:");
        assert!(refusal.sentence.starts_with(&words), "{}", refusal.sentence);
        assert_eq!(
            refusal.evidence,
            format!("length {strop_length}; needed: 63 in x 1.25 = 78.8 in")
        );
    }
}

#[test]
fn a_sling_in_a_basket_is_held_to_the_same() {
    let refusal = only(&round_a_beam(sling("1.2 m"), "1 m"));
    assert!(
        refusal.sentence.contains("must be 1.25 m to go round 1 m"),
        "{}",
        refusal.sentence
    );
    round_a_beam(sling("1.25 m"), "1 m").is_fit();
}

#[test]
fn a_sling_of_no_known_length_does_not_go_round_a_known_girth() {
    let refusal = only(&round_a_beam(sling(""), "1 m"));
    assert!(
        refusal.sentence.contains("how long it is is not known"),
        "{}",
        refusal.sentence
    );
    assert!(refusal.mend.is_some());
    round_a_beam(sling(""), "").is_fit();
}

#[test]
fn an_anchor_strop_is_known_by_a_strength_in_a_basket_too() {
    let strop = strop("").rated(&["body|30 kN|breaking", "basket|40 kN|breaking"]);
    let refusal = only(&at_a_belay(strop, "1 m"));
    assert!(
        refusal.sentence.contains("is not known"),
        "{}",
        refusal.sentence
    );
}

#[test]
fn what_goes_round_nothing_is_not_held_to_a_girth() {
    // A plate, a connector, and a sling that hangs straight as the leg of a bridle or goes along as a spare.
    at_a_belay(strop(""), "9 m").is_fit();
    let mut spare = sling("1 m");
    spare.position = None;
    round_a_beam(spare, "9 m").is_fit();
    let leg = sling("1 m").at("left-leg");
    let leg = Case::of(leg).on(|draft| {
        draft.rig = "bridle-high-point".into();
        draft.anchor_girth = "9 m".into();
    });
    assert!(
        !leg.codes().contains(&RefusalCode::DoesNotGoRound),
        "{:?}",
        leg.refusals()
    );
}

/// The verdict with this strop at the anchor of the belay.
fn with_strop(strop: Thing, girth: &str) -> KitVerdict {
    let job = job(|draft| {
        draft.rig = "tripod-with-belay".into();
        draft.between_anchors = "2.17 m".into();
        draft.anchor_girth = girth.into();
    });
    verdict(&job, &belayed_with([strop]))
}

#[test]
fn a_verdict_names_once_that_nobody_said_it() {
    let open = with_strop(strop("1 m"), "");
    let codes: Vec<_> = open.unsaid.iter().map(|gap| gap.code).collect();
    assert_eq!(codes, ["no-girth"]);
    let said = &open.unsaid[0].sentence;
    assert!(
        said.starts_with(
            "Nobody said how thick the body is that anchor device A-7 (1 m) goes round"
        ),
        "{said}"
    );
    assert!(
        open.passes,
        "it keeps nothing from being judged: {}",
        open.sentence
    );
    assert!(with_strop(strop("1 m"), "0.8 m").unsaid.is_empty());
    // What nothing tells to be a strop is a plate where nobody speaks of a girth, and is named where somebody does.
    assert!(with_strop(strop(""), "").unsaid.is_empty());
    let plate = with_strop(strop(""), "0.8 m");
    assert_eq!(plate.unsaid[0].code, "no-strop");
    assert!(
        plate.unsaid[0]
            .sentence
            .contains("anchor device A-7 goes round 0.8 m"),
        "{:?}",
        plate.unsaid
    );
    // A rig in which nothing goes round anything has nothing to say.
    assert!(verdict(&job(|_| {}), &full_kit()).unsaid.is_empty());
}

#[test]
fn a_girth_is_a_length_that_there_can_be() {
    let wrong = |girth: &str| {
        let draft = JobDraft {
            anchor_girth: girth.into(),
            ..job(|_| {}).draft(&Zone::UTC)
        };
        let wrong = draft.check(JobId::new(), 1, &Zone::UTC).unwrap_err();
        wrong
            .on("anchor_girth")
            .map(str::to_owned)
            .collect::<Vec<_>>()
            .join(" ")
    };
    assert!(
        wrong("0 m").contains("Nothing is no girth"),
        "{}",
        wrong("0 m")
    );
    assert!(
        wrong("60 m").contains("at most 50 m, not 60 m"),
        "{}",
        wrong("60 m")
    );
    assert!(wrong("thick").contains("thick"), "{}", wrong("thick"));
    // What was typed stands there again.
    let kept = job(|draft| draft.anchor_girth = "63 in".into());
    assert_eq!(kept.draft(&Zone::UTC).anchor_girth, "63 in");
}

on_both_databases! {
    async fn a_proposed_kit_takes_the_strop_that_goes_round(world) {
        let mut long = strop("2 m");
        long.item.mark = "A-8".into();
        long.model.name = "Model A-8".into();
        world.shelve(&belayed_with([strop("1 m"), long])).await;
        let crew = world.visitor(&world.crew).await;
        let changes = json!({"rig": "tripod-with-belay", "between_anchors": "2.17 m", "anchor_girth": "1.6 m", "load": "100 kg"});
        let job = planned(&crew, changes.clone()).await;
        let page = crew.get(&format!("/jobs/{job}/proposal")).await.text;
        assert!(page.contains("2 m long, and 2.00 m go round 1.6 m."), "{page}");
        assert!(page.contains(">A-8</a>") && !page.contains(">A-7</a>"), "{page}");
        let position = crew.get(&format!("/jobs/{job}/positions/belay-anchor")).await.text;
        assert!(position.contains("must be at least 2.00 m long to go round 1.6 m"), "{position}");
        // Round what is thicker than either goes none, and the page says so.
        let mut thick = changes.clone();
        thick["anchor_girth"] = json!("1.7 m");
        thick["starts_at"] = json!("2026-03-05T08:00");
        thick["ends_at"] = json!("2026-03-05T16:00");
        let job = planned(&crew, thick).await;
        let page = crew.get(&format!("/jobs/{job}/proposal")).await.text;
        assert!(page.contains("No anchor device that goes round 1.7 m may go here"), "{page}");
    }

    async fn the_girth_is_planned_kept_and_asked_for_where_nobody_said_it(world) {
        let kit = belayed_with([strop("1 m")]);
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({"rig": "tripod-with-belay", "between_anchors": "2.17 m", "load": "100 kg"})).await;
        fill(&crew, &job, &kit).await;
        let page = crew.get(&format!("/jobs/{job}/verdict")).await.text;
        assert!(page.contains("Nobody said how thick the body is that anchor device A-7 (1 m)"), "{page}");
        assert_eq!(page.matches("Nobody said how thick").count(), 1, "once");
        assert!(page.contains(&format!("/jobs/{job}/edit#f-anchor_girth")), "{page}");
        let sheet = crew.get(&format!("/api/v1/jobs/{job}")).await;
        let tag = sheet.header("etag").to_owned();
        let told = plan(&json!({"rig": "tripod-with-belay", "between_anchors": "2.17 m", "load": "100 kg", "anchor_girth": "1.6 m"}));
        let saved = crew.json_if(Method::PUT, &format!("/api/v1/jobs/{job}"), &tag, &told).await;
        assert_eq!(saved.status, StatusCode::OK, "{}", saved.text);
        let sheet = crew.get(&format!("/api/v1/jobs/{job}")).await.json();
        assert_eq!(sheet["job"]["setup"]["anchor_girth"], json!({"value": 1.6, "unit": "m"}), "{sheet}");
        let page = crew.get(&format!("/jobs/{job}/verdict")).await.text;
        assert!(page.contains("It is 1 m long and must be 2.00 m to go round 1.6 m"), "{page}");
        assert!(!page.contains("Nobody said how thick"), "{page}");
        assert!(crew.get(&format!("/jobs/{job}/edit")).await.text.contains("value=\"1.6 m\""));
    }
}
