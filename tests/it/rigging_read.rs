//! The reader of rigs: what it takes, and what it refuses with which reason.

use ropeloft::rigging::{
    BodyKind, Efficiency, Element, Force, LoadingMode, Phase, Rig, RigError, shipped, shipped_rig,
    solve,
};

use crate::rigging_kit::{near, tackle, turning};

/// A 2:1 with every kind of entry, to be broken one place at a time.
const GOOD: &str = r#"
key = "good"
title = "A good rig"
when = "In a test."
limits = ["Only here."]
body = [
    { key = "anchor", title = "the anchor", kind = "anchor" },
    { key = "load", title = "the load", kind = "load" },
]
position = [
    { key = "rope", title = "Rope", accepts = ["rope"], loaded = "straight" },
    { key = "head", title = "Head", accepts = ["pulley"], loaded = "axle", body = "anchor" },
    { key = "foot", title = "Foot", accepts = ["pulley"], loaded = "axle", body = "load" },
    { key = "link", title = "Link", accepts = ["connector"], loaded = "major-axis" },
]
[[rope]]
position = "rope"
path = [
    { meets = "hand" },
    { meets = "sheave", position = "head", capture = true },
    { meets = "sheave", position = "foot" },
    { meets = "end", position = "head", becket = true, knot = "figure-eight" },
]
[[chain]]
carries_body = "anchor"
positions = ["link"]
"#;

/// The refusal of the good sheet with one piece replaced.
fn refused(piece: &str, by: &str) -> RigError {
    assert_eq!(GOOD.matches(piece).count(), 1, "{piece}");
    Rig::parse(&GOOD.replace(piece, by)).unwrap_err()
}

#[test]
fn the_good_sheet_is_read() {
    let rig = Rig::parse(GOOD).unwrap();
    assert_eq!((rig.key(), rig.strands_at_load()), ("good", 2));
    near(rig.ideal_advantage().unwrap().ratio(), 2.0, 1e-12);
    let head = rig.position("head").unwrap();
    assert_eq!(head.sheaves(), 1);
    assert!(head.needs_becket() && head.needs_capture());
    let foot = rig.position("foot").unwrap();
    assert!(!foot.needs_becket() && !foot.needs_capture() && !foot.is_optional());
    assert_eq!(foot.body(), Some(1));
    assert_eq!(rig.modes("head"), [LoadingMode::Axle, LoadingMode::Becket]);
    assert_eq!(
        rig.modes("rope"),
        [LoadingMode::Straight, LoadingMode::Terminated]
    );
    assert!(rig.has_capture());
    assert_eq!(rig.bodies()[1].kind(), BodyKind::Load);
    assert!(matches!(rig.ropes()[0].path()[0], Element::Hand));
}

#[test]
fn what_is_no_sheet_is_unreadable_and_says_where() {
    for text in ["", "nonsense", "key = 3", "\u{0}", "[[[["] {
        assert!(
            matches!(Rig::parse(text), Err(RigError::Unreadable { .. })),
            "{text:?}"
        );
    }
    let wrong = refused("capture = true", "captures = true");
    assert!(wrong.to_string().contains("captures"), "{wrong}");
    let wrong = refused("kind = \"load\"", "kind = \"cargo\"");
    assert!(wrong.to_string().contains("cargo"), "{wrong}");
}

#[test]
fn keys_are_plain_and_not_used_twice() {
    assert!(matches!(
        refused("key = \"good\"", "key = \"Good rig\""),
        RigError::Key { .. }
    ));
    assert!(matches!(
        refused("key = \"good\"", "key = \"\""),
        RigError::Key { .. }
    ));
    let twice = refused("{ key = \"foot\"", "{ key = \"head\"");
    assert!(matches!(twice, RigError::Twice { ref key, .. } if key == "head"));
}

#[test]
fn texts_and_lists_have_an_end() {
    let long = format!("title = \"{}\"", "x".repeat(601));
    assert!(matches!(
        refused("title = \"A good rig\"", &long),
        RigError::Text { .. }
    ));
    assert!(matches!(
        refused("title = \"A good rig\"", "title = \" \""),
        RigError::Text { .. }
    ));
    let path = "    { meets = \"sheave\", position = \"foot\" },\n";
    let longer = path.repeat(60);
    assert!(matches!(
        refused(path, &longer),
        RigError::Count { count: 63, .. }
    ));
    assert!(matches!(
        refused("[\"link\"]", "[]"),
        RigError::Count { count: 0, .. }
    ));
}

#[test]
fn a_name_that_nothing_bears_is_told_with_its_place() {
    let wrong = refused("position = \"foot\" }", "position = \"feet\" }");
    assert_eq!(
        wrong.to_string(),
        "rope rope, element 3: there is no position \"feet\"."
    );
    let wrong = refused("carries_body = \"anchor\"", "carries_body = \"wall\"");
    assert_eq!(wrong.to_string(), "chain 1: there is no body \"wall\".");
    let wrong = refused("knot = \"figure-eight\"", "knot = \"granny\"");
    assert!(wrong.to_string().contains("no knot \"granny\""));
    let wrong = refused("[\"connector\"]", "[\"shackles\"]");
    assert!(wrong.to_string().contains("no kind of item \"shackles\""));
}

#[test]
fn there_is_one_load_and_one_hand() {
    assert_eq!(
        refused("kind = \"load\"", "kind = \"anchor\""),
        RigError::Loads { count: 0 }
    );
    assert_eq!(
        refused("kind = \"anchor\"", "kind = \"load\""),
        RigError::Loads { count: 2 }
    );
    let tied = "{ meets = \"end\", body = \"load\", knot = \"bowline\" }";
    assert_eq!(
        refused("{ meets = \"hand\" }", tied),
        RigError::Hands { count: 0 }
    );
}

#[test]
fn a_path_is_put_together_rightly() {
    let hand = "    { meets = \"hand\" },\n";
    assert!(matches!(refused(hand, ""), RigError::Shape { .. }));
    assert!(matches!(
        refused(hand, &hand.repeat(2)),
        RigError::Shape { .. }
    ));
    let end =
        "    { meets = \"end\", position = \"head\", becket = true, knot = \"figure-eight\" },\n";
    assert!(matches!(refused(end, ""), RigError::Shape { .. }));
    assert!(matches!(
        refused(", becket = true, knot", ", body = \"load\", knot"),
        RigError::Shape { .. }
    ));
    let nowhere = "position = \"link\" }";
    assert!(matches!(
        refused("position = \"foot\" }", nowhere),
        RigError::Shape { .. }
    ));
}

#[test]
fn a_sheave_carries_one_rope_and_sheaves_are_numbered_without_gaps() {
    let twice = refused("position = \"foot\" }", "position = \"head\", sheave = 1 }");
    assert!(
        matches!(twice, RigError::SheaveTwice { sheave: 1, .. }),
        "{twice}"
    );
    let gap = refused("position = \"foot\" }", "position = \"foot\", sheave = 2 }");
    assert!(
        matches!(gap, RigError::SheaveMissing { sheave: 1, .. }),
        "{gap}"
    );
    let nothing = refused("position = \"foot\" }", "position = \"foot\", sheave = 0 }");
    assert!(
        matches!(nothing, RigError::SheaveMissing { .. }),
        "{nothing}"
    );
}

#[test]
fn a_position_that_nothing_loads_and_one_that_is_used_twice_are_refused() {
    let idle = refused("[\"link\"]", "[\"head\"]");
    assert!(matches!(idle, RigError::TwoUses { .. }), "{idle}");
    let chain = "[[chain]]\ncarries_body = \"anchor\"\npositions = [\"link\"]\n";
    let idle = refused(chain, "");
    assert_eq!(
        idle,
        RigError::NothingLoads {
            position: "link".to_owned()
        }
    );
}

#[test]
fn an_angle_stops_short_of_180_degrees() {
    let at = |degrees: &str| {
        let sheave = format!("position = \"head\", between_degrees = {degrees}, capture = true");
        Rig::parse(&GOOD.replace("position = \"head\", capture = true", &sheave))
    };
    assert!(at("0").is_ok());
    // The hand strand may leave the anchor at any angle; all others hang in line.
    assert!(at("179.999").is_ok());
    assert!(matches!(at("180"), Err(RigError::Angle { .. })));
    for refused in ["-1", "nan", "inf", "36001"] {
        assert!(
            matches!(at(refused), Err(RigError::Unreadable { .. })),
            "{refused}"
        );
    }
}

#[test]
fn a_strand_at_a_moving_body_hangs_in_the_line_of_the_load() {
    let askew = refused(
        "position = \"foot\" }",
        "position = \"foot\", between_degrees = 30 }",
    );
    assert!(matches!(askew, RigError::OutOfLine { .. }), "{askew}");
    let upside_down = GOOD.replace("kind = \"anchor\"", "kind = \"x\"");
    let upside_down = upside_down.replace("kind = \"load\"", "kind = \"anchor\"");
    let upside_down = Rig::parse(&upside_down.replace("kind = \"x\"", "kind = \"load\""));
    // The load above the anchor: the rope would have to push.
    assert!(upside_down.is_err(), "{upside_down:?}");
}

#[test]
fn a_rig_without_a_single_answer_is_refused() {
    let second_rope = |ends: [&str; 2]| {
        let [from, to] = ends
            .map(|body| format!("{{ meets = \"end\", body = \"{body}\", knot = \"bowline\" }}"));
        let rope = format!(
            "[[position]]\nkey = \"second\"\ntitle = \"Second\"\naccepts = [\"rope\"]\nloaded = \"straight\"\n\
             [[rope]]\nposition = \"second\"\npath = [{from}, {to}]\n"
        );
        Rig::parse(&(tackle(2, false) + &rope)).unwrap_err()
    };
    // A second rope from the anchor to the load shares the load by its stretch.
    let shared = second_rope(["anchor", "load"]);
    assert_eq!(
        shared,
        RigError::Unbalanced {
            parts: 3,
            equations: 2
        }
    );
    let loose = second_rope(["anchor", "anchor"]);
    assert!(
        matches!(loose, RigError::Unconnected { ref rope } if rope == "second"),
        "{loose}"
    );
}

/// A travelling body whose ropes hold it whatever the hand does.
#[test]
fn a_traveller_that_would_have_to_be_pushed_is_refused() {
    let sheet = r#"
key = "pushed"
title = "Pushed"
when = "In a test."
limits = []
body = [
    { key = "anchor", title = "the anchor", kind = "anchor" },
    { key = "traveller", title = "the traveller", kind = "travelling" },
    { key = "load", title = "the load", kind = "load" },
]
position = [
    { key = "rope", title = "Rope", accepts = ["rope"], loaded = "straight" },
    { key = "second", title = "Second rope", accepts = ["rope"], loaded = "straight" },
    { key = "pulley", title = "Pulley", accepts = ["pulley"], loaded = "axle", body = "traveller" },
]
[[rope]]
position = "rope"
path = [
    { meets = "hand" },
    { meets = "sheave", position = "pulley" },
    { meets = "end", body = "anchor", knot = "bowline" },
]
[[rope]]
position = "second"
path = [
    { meets = "end", body = "anchor", knot = "bowline" },
    { meets = "end", body = "load", knot = "bowline" },
]
"#;
    let error = Rig::parse(sheet).unwrap_err();
    // The hand's rope holds up nothing: it never reaches the load.
    assert!(matches!(error, RigError::Unconnected { .. }), "{error}");
}

#[test]
fn two_captures_and_no_capture_are_told() {
    let two = refused(
        "position = \"foot\" }",
        "position = \"foot\", capture = true }",
    );
    assert_eq!(two, RigError::Captures { count: 2 });
    let rig = shipped_rig("two-to-one").unwrap();
    let outfit = turning(rig, Efficiency::from_share(0.9).unwrap());
    let held = solve(
        rig,
        &outfit,
        Force::from_kilonewtons(1.0).unwrap(),
        Phase::Held,
    );
    assert_eq!(held, Err(RigError::NoCapture));
}

#[test]
fn every_shipped_rig_is_complete_and_gains_what_its_name_says() {
    let gains = [
        ("one-to-one-redirect", 1.0, 1),
        ("two-to-one", 2.0, 2),
        ("three-to-one", 3.0, 1),
        ("three-to-one-redirect", 3.0, 1),
        ("four-to-one-pull-down", 4.0, 4),
        ("four-to-one-clamp", 4.0, 4),
        ("four-to-one-from-load", 4.0, 4),
        ("five-to-one", 5.0, 5),
        ("six-to-one", 6.0, 1),
        ("nine-to-one", 9.0, 1),
        ("four-to-one-brake-post", 4.0, 4),
        ("bridle-high-point", 4.0, 4),
        ("tripod-with-belay", 4.0, 4),
        ("tripod-with-belay-clamp", 4.0, 4),
        ("tripod-with-high-belay", 4.0, 4),
        ("twin-tension-lower", 1.0, 1),
    ];
    assert_eq!(shipped().len(), gains.len());
    for (key, gain, strands) in gains {
        let rig = shipped_rig(key).unwrap();
        near(rig.ideal_advantage().unwrap().ratio(), gain, 1e-9);
        assert_eq!(rig.strands_at_load(), strands, "{key}");
        assert!(!rig.when().is_empty() && !rig.limits().is_empty(), "{key}");
        // What is let down on two brakes needs no pulley, and what stands under a tripod is pulled by one.
        let turns = if rig.only_lowers() {
            "descender"
        } else {
            "pulley"
        };
        for needed in ["rope", turns, "connector", "anchor device"] {
            let asked = |position: &&ropeloft::rigging::Position| {
                position.accepts().iter().any(|kind| kind == needed)
            };
            assert!(
                rig.positions().iter().any(|position| asked(&position)),
                "{key}: {needed}"
            );
        }
    }
}
