//! A device that catches a fall: approved to a standard for that, or refused.

use ropeloft::domain::rulebook::{When, rulebook, shipped};
use ropeloft::domain::{
    Kind, RefusalCode,
    RefusalCode::{LacksPart, NotApproved},
};
use ropeloft::rigging::Rig;
use serde_json::json;

use axum::http::{Method, StatusCode};

use crate::{
    fitness_case::{Case, Thing},
    job_given::planned,
    strength_of_kit_coverage::belayed,
};

const HOLDS: &str = "EN 567||8 mm|13 mm|low-stretch";
const CATCHES: &str = "EN 12841|A|8 mm|13 mm|low-stretch|200 kg";
const FOLLOWS: &str = "EN 353-2||8 mm|13 mm|low-stretch|150 kg";

fn clamp(approvals: &[&str]) -> Thing {
    Thing::new(Kind::RopeClamp, "K-1", approvals, &["body|60 kN|breaking"]).at("belay-device")
}

/// A device at the belay of the tripod, by a rulebook.
pub fn at_the_belay(device: Thing, rulebook: &str) -> Case {
    let mut device = device;
    // In date by the shortest interval too.
    device.item.next_due_on = Some(time::macros::date!(2026 - 06 - 01));
    device.item.last_passed_on = Some(time::macros::date!(2026 - 02 - 01));
    Case::of(device).on(|draft| {
        draft.rig = "tripod-with-belay".into();
        draft.between_anchors = "3 m".into();
        draft.rulebook = rulebook.into();
    })
}

#[test]
fn a_clamp_that_only_holds_is_refused_at_a_belay() {
    for book in ["european", "uk-lifting", "rope-access"] {
        let refused = at_the_belay(clamp(&[HOLDS]), book).refused(&[NotApproved]);
        let said = &refused[0];
        assert!(
            said.sentence.contains("an approval to EN 12841 class A, or EN 353-2 for a device that catches a fall at a belay"),
            "{}",
            said.sentence
        );
        assert!(
            said.rule.to_string().contains("common practice, no source"),
            "{}",
            said.rule
        );
        assert!(said.evidence.contains("EN 567"), "{}", said.evidence);
        at_the_belay(clamp(&[HOLDS, CATCHES]), book).is_fit();
        at_the_belay(clamp(&[HOLDS, FOLLOWS]), book).is_fit();
    }
}

#[test]
fn every_reason_against_a_clamp_at_a_belay_stands_at_once() {
    at_the_belay(clamp(&[]), "european").refused(&[NotApproved, NotApproved]);
    // Approved to catch, but for less than the load and for no device of its kind.
    let weak = clamp(&["EN 12841|A|8 mm|13 mm|low-stretch|80 kg"]);
    at_the_belay(weak, "european").refused(&[NotApproved, RefusalCode::RatedLoad]);
    // An approval to catch that names no load is not one for this load.
    let unrated = clamp(&[HOLDS, "EN 12841|A|8 mm|13 mm|low-stretch"]);
    at_the_belay(unrated, "european").refused(&[RefusalCode::RatedLoad]);
}

#[test]
fn the_same_clamp_may_hold_what_is_gained() {
    let below = clamp(&[HOLDS]).at("clamp");
    for rig in ["four-to-one-clamp", "tripod-with-belay-clamp"] {
        let case = Case::of(below.clone()).on(|draft| {
            draft.rig = rig.into();
            draft.between_anchors = "3 m".into();
        });
        case.is_fit();
    }
}

/// What follows its wearer may not be for belaying: its maker says so, and unknown is no yes.
#[test]
fn a_back_up_device_at_an_anchor_needs_its_makers_leave() {
    let device = Thing::new(
        Kind::BackUpDevice,
        "B-1",
        &[CATCHES],
        &["body|60 kN|breaking"],
    );
    let unsaid = device.clone();
    for (own, lacks) in [(device.with(&[("belays", "no")]), false), (unsaid, true)] {
        let refused = at_the_belay(own.at("belay-device"), "european").refused(&[LacksPart]);
        let refusal = &refused[0];
        assert!(
            refusal
                .sentence
                .contains("\"Belay device\" belays somebody else from an anchor"),
            "{refusal:?}"
        );
        assert_eq!(refusal.lacks.is_some(), lacks, "{refusal:?}");
    }
}

#[test]
fn a_back_up_device_and_a_descender_are_held_to_catching_too() {
    let device = |approvals: &[&str]| {
        Thing::new(
            Kind::BackUpDevice,
            "B-1",
            approvals,
            &["body|60 kN|breaking"],
        )
        .with(&[("belays", "yes")])
        .at("belay-device")
    };
    at_the_belay(device(&[CATCHES]), "european").is_fit();
    at_the_belay(device(&[FOLLOWS]), "european").is_fit();
    at_the_belay(device(&[HOLDS]), "european").refused(&[NotApproved]);
    // A rig of the team's own, whose belay runs round a descender.
    let sheet = include_str!("../../src/rigging/rig/tripod-with-belay.toml")
        .replace(
            "\"back-up device\", \"rope clamp\", \"descender\"",
            "\"descender\"",
        )
        .replace(
            "meets = \"capture\", position = \"belay-device\"",
            "meets = \"post\", position = \"belay-device\", wrap_degrees = 360",
        );
    let by_descender = |approvals: &[&str]| {
        let device = Thing::new(Kind::Descender, "D-1", approvals, &["body|60 kN|breaking"]);
        let mut case = at_the_belay(device.at("belay-device"), "european");
        case.rig = Rig::parse(&sheet).unwrap();
        case
    };
    let lowers = "EN 12841|C|8 mm|13 mm|low-stretch|200 kg";
    let refused = by_descender(&[lowers]).refused(&[LacksPart]);
    assert!(
        refused[0].sentence.contains(
            "nothing on record says that the maker of this descender allows that; it is made to let down, not to stop a fall"
        ),
        "{}",
        refused[0].sentence
    );
    by_descender(&[lowers, CATCHES]).is_fit();
}

#[test]
fn cord_is_refused_at_a_belay_by_every_rulebook_and_no_rig_can_take_it() {
    // A knot of cord that grabs starts to slip before it breaks: 7 to 9.5 kN with 8 mm cord, a rescue rigging paper.
    for book in shipped() {
        let cord = Thing::new(
            Kind::Cord,
            "K-2",
            &["EN 564||8 mm|13 mm"],
            &["straight|13 kN|breaking"],
        );
        let cord = cord.with(&[("diameter", "8 mm")]).at("belay-device");
        let codes = at_the_belay(cord, book.key()).codes();
        assert!(
            codes.contains(&RefusalCode::WrongKind),
            "{}: {codes:?}",
            book.key()
        );
    }
    let sheet = include_str!("../../src/rigging/rig/tripod-with-belay.toml")
        .replace("\"back-up device\", \"rope clamp\"", "\"cord\"");
    let wrong = Rig::parse(&sheet).unwrap_err().to_string();
    assert!(
        wrong.contains("there is no kind of item \"cord\""),
        "{wrong}"
    );
}

#[test]
fn a_capturing_pulley_holds_a_belay_only_if_it_is_approved_to_catch() {
    let sheet = include_str!("../../src/rigging/rig/tripod-with-belay.toml")
        .replace(
            "    { meets = \"capture\", position = \"belay-device\" },\n",
            "",
        )
        .replace(
            "between_degrees = 15 }",
            "between_degrees = 15, capture = true }",
        )
        .replace("sheave = 1, capture = true }", "sheave = 1 }");
    // What the sheet takes as its only capture is at the belay; the device at the ground is gone.
    let sheet = without(
        &sheet,
        &["belay-device", "belay-connector", "belay-anchor", "ground"],
    );
    let rig = Rig::parse(&sheet).unwrap_or_else(|error| panic!("{error}\n{sheet}"));
    let pulley = |approvals: &[&str]| {
        let mut pulley = crate::fitness_case::foot()
            .approved(approvals)
            .at("belay-pulley");
        pulley = pulley.with(&[("sheaves", "1"), ("capture", "yes")]);
        let mut case = at_the_belay(pulley, "european");
        case.rig = rig.clone();
        case
    };
    let turns = "EN 12278||8 mm|13 mm";
    pulley(&[turns, HOLDS]).refused(&[NotApproved]);
    pulley(&[turns, HOLDS, CATCHES]).is_fit();
}

/// A sheet without the tables that name one of these.
fn without(sheet: &str, names: &[&str]) -> String {
    let tables = sheet.split("\n\n").filter(|table| {
        let named = |name: &&str| {
            let is_key = table.contains(&format!("key = \"{name}\""));
            let is_carried = ["carries_body", "carries_position"]
                .iter()
                .any(|carries| table.contains(&format!("{carries} = \"{name}\"")));
            is_key || is_carried
        };
        !names.iter().any(named)
    });
    tables.collect::<Vec<_>>().join("\n\n")
}

#[test]
fn a_harness_that_only_lifts_is_refused_on_a_belay() {
    let harness =
        |approvals: &[&str]| Thing::new(Kind::Harness, "H-1", approvals, &[]).at("harness");
    for only_lifts in [&["EN 1497"][..], &["EN 1498|B"], &["EN 1497", "EN 1498|B"]] {
        let refused = at_the_belay(harness(only_lifts), "european").refused(&[NotApproved]);
        assert!(
            refused[0]
                .sentence
                .contains("EN 361 for a harness in which a belay may have to stop a fall"),
            "{refused:?}"
        );
        // Without a belay nothing is stopped in it.
        let mut without = Case::of(harness(only_lifts));
        without = without.on(|draft| draft.rig = "five-to-one".into());
        without.is_fit();
    }
    at_the_belay(harness(&["EN 361", "EN 1497"]), "european").is_fit();
}

#[test]
fn who_asks_for_catching_is_told_by_the_rulebooks_that_have_a_word_on_it() {
    for book in ["european", "uk-lifting", "rope-access"] {
        let book = rulebook(book).unwrap();
        for kind in [Kind::Pulley, Kind::RopeClamp, Kind::Descender] {
            let mut asked = book.approvals().iter().filter(|one| one.kind == kind);
            assert!(
                asked.any(|one| one.when == When::Catches),
                "{}: {kind:?}",
                book.key()
            );
        }
    }
    // Where nothing was found, nothing is asked for, and that is told.
    for book in ["us-rescue", "us-general"] {
        let book = rulebook(book).unwrap();
        assert!(book.approvals().iter().all(|one| one.when != When::Catches));
        assert!(
            book.told()
                .iter()
                .any(|told| told.says.contains("at a belay")),
            "{}",
            book.key()
        );
    }
    let grab = clamp(&["NFPA 2500|rope grab G|8 mm|13 mm|low-stretch"]);
    at_the_belay(grab, "us-rescue").is_fit();
}

on_both_databases! {
    async fn a_clamp_is_refused_at_the_belay_with_its_reasons(world) {
        let mut kit = belayed();
        kit.push(clamp(&[HOLDS]));
        let last = kit.len() - 1;
        kit[last].item.mark = "K-9".into();
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({"rig": "tripod-with-belay", "between_anchors": "3 m", "load": "1 person"})).await;
        let path = format!("/api/v1/jobs/{job}/kit");
        let refused = crew.json(Method::POST, &path, &json!({"item": "K-9", "position": "belay-device"})).await;
        assert_eq!(refused.status, StatusCode::CONFLICT, "{}", refused.text);
        assert!(refused.text.contains("that catches a fall at a belay"), "{}", refused.text);
        assert!(refused.text.contains("EN 353-2"), "{}", refused.text);
        let page = crew.get(&format!("/jobs/{job}/positions/belay-device")).await.text;
        assert!(page.contains("that catches a fall at a belay"), "{page}");
        // The proposal takes the device that is made for it.
        let proposal = crew.get(&format!("/api/v1/jobs/{job}/proposal")).await.json();
        let picks = proposal["picks"].as_array().unwrap();
        let pick = picks.iter().find(|pick| pick["position"] == "belay-device").unwrap();
        let catcher = kit.iter().find(|thing| thing.item.mark == "K-1").unwrap();
        assert_eq!(pick["item"], catcher.item.id.to_string());
    }
}
