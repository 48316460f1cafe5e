//! Rigs that were once answered wrongly, each with the answer by hand.

use ropeloft::rigging::{
    Band, Efficiency, Fitted, Force, Forces, Friction, LoadingMode, Outfit, Phase, Post, Rig,
    RigError, Way, rope_need, solve,
};

use crate::rigging_kit::{conditions, near, turning};

/// A sheet with these bodies from the top down, each "key kind"; these devices, each "key kind" or "key kind on
/// body"; and ropes of a duty and a path, at the positions "rope-0" and on.
fn sheet(bodies: &[&str], devices: &[&str], ropes: &[(&str, &str)], more: &str) -> String {
    let mut sheet = vec![
        "key = \"mended\"\ntitle = \"A rig\"\nwhen = \"In a test.\"\nlimits = []\n".to_owned(),
    ];
    sheet.extend(bodies.iter().map(|body| {
        let (key, kind) = body.split_once(' ').unwrap();
        format!("[[body]]\nkey = \"{key}\"\ntitle = \"{key}\"\nkind = \"{kind}\"\n")
    }));
    let position = |key: &str, accepts: &str, loaded: &str| {
        format!(
            "[[position]]\nkey = \"{key}\"\ntitle = \"{key}\"\naccepts = [\"{accepts}\"]\nloaded = \"{loaded}\"\n"
        )
    };
    for device in devices {
        let (key, of) = device.split_once(' ').unwrap();
        let (accepts, body) = of.split_once(" on ").unwrap_or((of, ""));
        let loaded = if accepts == "pulley" { "axle" } else { "body" };
        sheet.push(position(key, accepts, loaded));
        if !body.is_empty() {
            sheet.push(format!("body = \"{body}\"\n"));
        }
    }
    for (number, (duty, path)) in ropes.iter().enumerate() {
        let key = format!("rope-{number}");
        sheet.push(position(&key, "rope", "straight"));
        sheet.push(format!(
            "[[rope]]\nposition = \"{key}\"\nduty = \"{duty}\"\npath = [{path}]\n"
        ));
    }
    sheet.concat() + more
}

const HAND: &str = r#"{ meets = "hand" }"#;
const TO_LOAD: &str = r#"{ meets = "end", body = "load", knot = "bowline" }"#;

fn sheave(position: &str) -> String {
    format!(r#"{{ meets = "sheave", position = "{position}" }}"#)
}

fn post(position: &str, wrap: u32) -> String {
    format!(
        r#"{{ meets = "post", position = "{position}", wrap_degrees = {wrap}, off_in_hauling = true }}"#
    )
}

fn newtons(band: Band<Force>) -> f64 {
    band.likely().newtons()
}

fn solved(rig: &Rig, efficiency: f64, phase: Phase) -> Result<Forces, RigError> {
    let mut outfit = turning(rig, Efficiency::from_share(efficiency).unwrap());
    rub(rig, &mut outfit);
    solve(rig, &outfit, Force::from_newtons(1200.0).unwrap(), phase)
}

/// Every post with a friction of 0.2.
fn rub(rig: &Rig, outfit: &mut Outfit) {
    for position in rig
        .positions()
        .iter()
        .filter(|position| rig.rubs(position.key()))
    {
        let mut item = Fitted::new("post");
        item.post = Some(Post {
            friction: Band::exactly(Friction::from_coefficient(0.2).unwrap()),
            source: "the test".to_owned(),
        });
        outfit.fit(position.key(), item);
    }
}

#[test]
fn a_tripod_that_is_pulled_up_is_refused() {
    // The hand strand comes up from the ground: both its strands pull the lower pulley up.
    let path = [HAND, &sheave("low"), &sheave("high"), TO_LOAD].join(", ");
    let tripod = "[[chain]]\ncarries_body = \"ground\"\npositions = [\"tripod\"]\n[[tripod]]\nposition = \"tripod\"\nleg_degrees = 25\n";
    let sheet = sheet(
        &["top anchor", "load load", "ground anchor"],
        &[
            "high pulley on top",
            "low pulley on ground",
            "tripod tripod",
        ],
        &[("main", &path)],
        tripod,
    );
    let error = Rig::parse(&sheet).unwrap_err();
    assert!(matches!(error, RigError::Tips { .. }), "{error}");
    assert!(error.to_string().contains("goes up"), "{error}");
    // What stands up under the same tripod hangs under the same chain.
    let chained = sheet.replace(&tripod[tripod.find("[[tripod]]").unwrap()..], "");
    let forces = solved(&Rig::parse(&chained).unwrap(), 1.0, Phase::Hauling).unwrap();
    near(newtons(forces.on_body("ground").unwrap()), 2400.0, 1e-9);
}

const THREE_LEGS: &str = r#"
[[bridle]]
carries_body = "top"
leg = [
    { off_degrees = 30, positions = ["one"] },
    { off_degrees = 30, positions = ["two"] },
    { off_degrees = 30, positions = ["three"] },
]
"#;

#[test]
fn three_legs_that_only_a_catch_pulls_aside_are_refused_in_the_catch() {
    let main = [HAND, &sheave("pulley"), TO_LOAD].join(", ");
    let over = sheave("redirect").replace(" }", ", between_degrees = 30 }");
    let belay = [
        HAND,
        r#"{ meets = "capture", position = "device" }"#,
        &over,
        TO_LOAD,
    ]
    .join(", ");
    let sheet = sheet(
        &["top anchor", "ground anchor", "load load"],
        &[
            "pulley pulley on top",
            "redirect pulley on top",
            "device rope clamp on ground",
            "one sling",
            "two sling",
            "three sling",
        ],
        &[("main", &main), ("belay", &belay)],
        THREE_LEGS,
    );
    let rig = Rig::parse(&sheet).unwrap();
    assert!(solved(&rig, 0.9, Phase::Hauling).is_ok());
    let error = solved(&rig, 0.9, Phase::BelayCatch).unwrap_err();
    assert!(matches!(error, RigError::LegsAside { .. }), "{error}");
    assert!(
        error.to_string().contains("aside here in a catch"),
        "{error}"
    );
    let straight = Rig::parse(&sheet.replace("between_degrees = 30", "between_degrees = 0"));
    assert!(solved(&straight.unwrap(), 0.9, Phase::BelayCatch).is_ok());
}

#[test]
fn three_legs_that_are_pulled_up_are_refused() {
    let path = [HAND, &sheave("low"), &sheave("high"), TO_LOAD].join(", ");
    let sheet = sheet(
        &["sky anchor", "load load", "top anchor"],
        &[
            "high pulley on sky",
            "low pulley on top",
            "one sling",
            "two sling",
            "three sling",
        ],
        &[("main", &path)],
        THREE_LEGS,
    );
    let error = Rig::parse(&sheet).unwrap_err();
    assert!(matches!(error, RigError::LegSlack { .. }), "{error}");
}

#[test]
fn a_post_that_the_rope_is_taken_off_takes_nothing_in_hauling() {
    // Half a turn round the post: in lowering the hand strand goes back up, in hauling it comes straight down.
    let path = [HAND, &post("post", 180), &sheave("pulley"), TO_LOAD].join(", ");
    let rig = Rig::parse(&sheet(
        &["top anchor", "load load"],
        &["pulley pulley on top", "post descender on top"],
        &[("main", &path)],
        "",
    ))
    .unwrap();
    let hauling = solved(&rig, 0.8, Phase::Hauling).unwrap();
    near(
        newtons(hauling.on("post", LoadingMode::Body).unwrap()),
        0.0,
        1e-9,
    );
    near(newtons(hauling.hand.unwrap()), 1500.0, 1e-9);
    near(newtons(hauling.on_body("top").unwrap()), 2700.0, 1e-9);
    let lowering = solved(&rig, 0.8, Phase::Lowering).unwrap();
    let beside = 1200.0 * 0.8;
    let hand = beside * (-0.2 * std::f64::consts::PI).exp();
    near(newtons(lowering.hand.unwrap()), hand, 1e-9);
    near(
        newtons(lowering.on("post", LoadingMode::Body).unwrap()),
        beside + hand,
        1e-9,
    );
    // Down go the load and the strand beside it, up go both strands of the post.
    near(
        newtons(lowering.on_body("top").unwrap()),
        1200.0 - hand,
        1e-9,
    );
}

/// A rope over one pulley at the load, to the first anchor, and a plain one down from the second.
fn twins(devices: [&str; 2]) -> Rig {
    let to_anchor = r#"{ meets = "end", body = "left", knot = "bowline" }"#;
    let held = |device: &str, number: usize| match device {
        "hand" => post(&format!("device-{number}"), 360),
        _ => format!(r#"{{ meets = "capture", position = "device-{number}" }}"#),
    };
    let paths = [
        [HAND, &held(devices[0], 0), &sheave("foot"), to_anchor].join(", "),
        [HAND, &held(devices[1], 1), TO_LOAD].join(", "),
    ];
    let kind = |device: &str| {
        if device == "hand" {
            "descender"
        } else {
            "rope clamp"
        }
    };
    let rig = Rig::parse(&sheet(
        &["left anchor", "right anchor", "load load"],
        &[
            "foot pulley on load",
            &format!("device-0 {} on left", kind(devices[0])),
            &format!("device-1 {} on right", kind(devices[1])),
        ],
        &[("twin", &paths[0]), ("twin", &paths[1])],
        "",
    ));
    rig.unwrap()
}

#[test]
fn two_ropes_carry_half_the_load_each_whatever_their_gain() {
    let rig = twins(["device", "device"]);
    let forces = solved(&rig, 0.5, Phase::Frictionless).unwrap();
    let pulls: Vec<f64> = forces.hands.iter().map(|hand| newtons(hand.pull)).collect();
    assert_eq!(pulls.len(), 2);
    near(pulls[0], 300.0, 1e-9);
    near(pulls[1], 600.0, 1e-9);
    near(
        rig.ideal_advantage().unwrap().ratio(),
        1200.0 / 900.0,
        1e-12,
    );
}

#[test]
fn two_ropes_are_held_when_each_has_a_capture() {
    let held = solved(&twins(["device", "device"]), 0.5, Phase::Held).unwrap();
    assert!(held.hands.is_empty(), "{:?}", held.hands);
    let one_hand = twins(["device", "hand"]);
    assert!(!one_hand.has_capture());
    assert_eq!(
        solved(&one_hand, 0.5, Phase::Held),
        Err(RigError::NoCapture)
    );
}

#[test]
fn two_crews_that_pull_on_a_stuck_load_pull_as_hard_as_is_given_together() {
    let stuck = solved(&twins(["device", "device"]), 1.0, Phase::StuckLoad).unwrap();
    // All by the plain rope is 1200 N, all by the other twice that; half the load each is a third of the pull
    // at the rope that gains two, and two thirds at the plain one.
    near(stuck.load.low().newtons(), 1200.0, 1e-9);
    near(stuck.load.likely().newtons(), 1600.0, 1e-9);
    near(stuck.load.high().newtons(), 2400.0, 1e-9);
    near(newtons(stuck.hands[0].pull), 400.0, 1e-9);
    near(newtons(stuck.hands[1].pull), 800.0, 1e-9);
}

#[test]
fn a_catch_by_a_device_or_a_hand_has_no_single_gain() {
    let caught = solved(&twins(["device", "hand"]), 0.9, Phase::BelayCatch).unwrap();
    assert!(caught.advantage.is_none());
    let [hand] = caught.hands.as_slice() else {
        panic!("{:?}", caught.hands);
    };
    near(hand.pull.low().newtons(), 0.0, 1e-9);
    let turn = 1200.0 * (-0.4 * std::f64::consts::PI).exp();
    near(hand.pull.high().newtons(), turn, 1e-9);
}

#[test]
fn a_slack_rope_adds_nothing_to_the_combinations_of_a_catch() {
    let ten: Vec<String> = (0..12)
        .map(|number| {
            let place = if number % 2 == 0 { "head" } else { "foot" };
            format!(
                r#"{{ meets = "sheave", position = "{place}", sheave = {} }}"#,
                number / 2 + 1
            )
        })
        .collect();
    let end = r#"{ meets = "end", body = "top", knot = "bowline" }"#;
    let main = format!("{HAND}, {}, {end}", ten.join(", "));
    let belay = [HAND, &sheave("belay"), TO_LOAD].join(", ");
    let rig = Rig::parse(&sheet(
        &["top anchor", "load load"],
        &[
            "head pulley on top",
            "foot pulley on load",
            "belay pulley on top",
        ],
        &[("main", &main), ("belay", &belay)],
        "",
    ))
    .unwrap();
    let caught = solved(&rig, 0.9, Phase::BelayCatch).unwrap();
    near(caught.hand.unwrap().low().newtons(), 1080.0, 1e-9);
    near(caught.hand.unwrap().high().newtons(), 1200.0, 1e-9);
}

#[test]
fn rope_for_a_body_beside_the_main_line_is_as_long_as_it_travels() {
    // The upper pulley and the load hang on one rope over the anchor, so one sinks as far as the other rises:
    // the gain is three, but not by the upper pulley going three halves of the way.
    let hauling = [HAND, &sheave("upper"), TO_LOAD].join(", ");
    let runner = [
        r#"{ meets = "end", body = "rider", knot = "bowline" }"#,
        &sheave("fixed"),
        TO_LOAD,
    ]
    .join(", ");
    let rig = Rig::parse(&sheet(
        &["top anchor", "rider travelling", "load load"],
        &["fixed pulley on top", "upper pulley on rider"],
        &[("main", &hauling), ("main", &runner)],
        "",
    ))
    .unwrap();
    near(rig.ideal_advantage().unwrap().ratio(), 3.0, 1e-12);
    let way: Way = conditions().way;
    let need = rope_need(&rig, &way).unwrap();
    // Throw 3; depth 15 + gap 2.1 = 17.1, as no block hangs at the load; knots 1, tail 3.
    near(need.ropes[0].length.metres(), 3.0 + 3.0 + 4.0, 1e-9);
    near(need.ropes[1].length.metres(), 3.0 + 17.1 + 1.0, 1e-9);
}

#[test]
fn a_stuck_load_is_refused_where_hauling_only_jams() {
    // Two strands near the hand pull the load down and three beyond pull it up: without friction it gains one,
    // but at 0.8 a sheave the three come to 1.25 of the hand and the two to 1.8.
    let sheaves = [
        ("belly", 1),
        ("low", 1),
        ("head", 1),
        ("foot", 1),
        ("head", 2),
    ];
    let sheaves = sheaves.map(|(position, sheave)| {
        format!(r#"{{ meets = "sheave", position = "{position}", sheave = {sheave} }}"#)
    });
    let path = format!("{HAND}, {}, {TO_LOAD}", sheaves.join(", "));
    let rig = Rig::parse(&sheet(
        &["top anchor", "load load", "ground anchor"],
        &[
            "belly pulley on load",
            "low pulley on ground",
            "head pulley on top",
            "foot pulley on load",
        ],
        &[("main", &path)],
        "",
    ))
    .unwrap();
    near(rig.ideal_advantage().unwrap().ratio(), 1.0, 1e-12);
    for phase in [Phase::Hauling, Phase::StuckLoad] {
        let refused = solved(&rig, 0.8, phase).unwrap_err();
        assert!(matches!(refused, RigError::Pushes { .. }), "{refused}");
    }
}
