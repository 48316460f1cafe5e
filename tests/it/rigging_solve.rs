//! What the solver asks for, refuses, and answers for clamps and posts.

use ropeloft::rigging::{
    Band, Carried, Efficiency, Fitted, Force, Friction, LoadingMode, Outfit, Phase, Post, Rig,
    RigError, Turning, shipped, shipped_rig, solve,
};

use crate::rigging_kit::{near, round_bar, tackle, turning};

#[test]
fn solving_asks_for_every_friction_and_for_a_load() {
    let rig = Rig::parse(&tackle(2, true)).unwrap();
    let load = Force::from_kilonewtons(1.0).unwrap();
    let missing = solve(&rig, &Outfit::default(), load, Phase::Hauling).unwrap_err();
    assert_eq!(
        missing,
        RigError::NoEfficiency {
            position: "head".to_owned()
        }
    );
    let outfit = turning(&rig, Efficiency::from_share(0.9).unwrap());
    let nothing = Force::from_newtons(0.0).unwrap();
    assert_eq!(
        solve(&rig, &outfit, nothing, Phase::Hauling),
        Err(RigError::NoLoad)
    );
    let ideal = solve(&rig, &Outfit::default(), load, Phase::Frictionless);
    assert!(ideal.is_ok(), "the ideal asks for no friction");
}

/// A clamp at the anchor before a post: the clamp holds, the post rubs.
const CLAMP_AND_POST: &str = r#"
key = "clamp"
title = "A clamp and a post"
when = "In a test."
limits = []
body = [
    { key = "anchor", title = "the anchor", kind = "anchor" },
    { key = "load", title = "the load", kind = "load" },
]
position = [
    { key = "rope", title = "Rope", accepts = ["rope"], loaded = "straight" },
    { key = "post", title = "Post", accepts = ["descender"], loaded = "body", body = "anchor" },
    { key = "clamp", title = "Clamp", accepts = ["rope clamp"], loaded = "body", body = "anchor" },
]
[[rope]]
position = "rope"
path = [
    { meets = "hand" },
    { meets = "post", position = "post", wrap_degrees = 540 },
    { meets = "capture", position = "clamp" },
    { meets = "end", body = "load", knot = "bowline" },
]
"#;

fn with_post(rig: &Rig, friction: f64) -> Outfit {
    let mut outfit = turning(rig, Efficiency::from_share(0.9).unwrap());
    let mut post = Fitted::new("post");
    post.post = Some(Post {
        friction: Band::exactly(Friction::from_coefficient(friction).unwrap()),
        source: "the test".to_owned(),
    });
    outfit.fit("post", post);
    outfit
}

#[test]
fn a_clamp_holds_the_whole_strand_while_a_post_only_rubs() {
    let rig = Rig::parse(CLAMP_AND_POST).unwrap();
    let load = Force::from_newtons(1000.0).unwrap();
    let outfit = with_post(&rig, 0.25);
    // exp(0.25 * 3 pi) by hand: 10.5507 (printed for 0.15 and 2.5 turns, the same product).
    let lowering = solve(&rig, &outfit, load, Phase::Lowering).unwrap();
    near(
        1000.0 / lowering.hand.unwrap().likely().newtons(),
        10.5507,
        0.00005,
    );
    near(
        lowering
            .on("clamp", LoadingMode::Body)
            .unwrap()
            .high()
            .newtons(),
        0.0,
        1e-9,
    );
    let hauling = solve(&rig, &outfit, load, Phase::Hauling).unwrap();
    near(
        hauling.hand.unwrap().likely().newtons() / 1000.0,
        10.5507,
        0.00005,
    );
    let held = solve(&rig, &outfit, load, Phase::Held).unwrap();
    near(
        held.on("clamp", LoadingMode::Body)
            .unwrap()
            .likely()
            .newtons(),
        1000.0,
        1e-9,
    );
    near(
        held.on_body("anchor").unwrap().likely().newtons(),
        1000.0,
        1e-9,
    );
}

#[test]
fn a_post_that_lets_nothing_through_is_refused() {
    let jammed = CLAMP_AND_POST.replace("540", "3600");
    let rig = Rig::parse(&jammed).unwrap();
    let load = Force::from_newtons(1000.0).unwrap();
    // 23 / (20 pi) is 0.36606: just below holds, just above is refused.
    assert!(solve(&rig, &with_post(&rig, 0.366), load, Phase::Lowering).is_ok());
    let refused = solve(&rig, &with_post(&rig, 0.3661), load, Phase::Lowering).unwrap_err();
    assert_eq!(
        refused,
        RigError::Jammed {
            position: "post".to_owned()
        }
    );
    let none = CLAMP_AND_POST.replace("540", "0");
    assert!(matches!(Rig::parse(&none), Err(RigError::Angle { .. })));
}

#[test]
fn more_ranges_than_can_be_combined_are_refused() {
    let load = Force::from_newtons(1000.0).unwrap();
    let share = |number| Efficiency::from_share(number).unwrap();
    for (strands, solved) in [(13, true), (14, false)] {
        let rig = Rig::parse(&tackle(strands, false)).unwrap();
        let mut outfit = turning(&rig, share(0.9));
        for key in ["head", "foot"] {
            let mut pulley = outfit.at(key).unwrap().clone();
            let wheel = pulley.wheel.as_mut().unwrap();
            wheel.efficiency = Band::new(share(0.85), share(0.9), share(0.95)).unwrap();
            outfit.fit(key, pulley);
        }
        let answer = solve(&rig, &outfit, load, Phase::Hauling);
        assert_eq!(answer.is_ok(), solved, "{strands} strands: {answer:?}");
    }
}

/// The corner of a brake: the rope comes down from a sheave and leaves the post at a right angle.
#[test]
fn a_post_at_a_corner_takes_the_vector_sum_of_its_strands() {
    let corner = CLAMP_AND_POST.replace("540", "90");
    let rig = Rig::parse(&corner).unwrap();
    let load = Force::from_newtons(1000.0).unwrap();
    let lowering = solve(&rig, &with_post(&rig, 0.25), load, Phase::Lowering).unwrap();
    // By hand: exp(-0.25 pi / 2) of the load at the hand, and Pythagoras.
    let hand = 1000.0 * (-0.25 * std::f64::consts::FRAC_PI_2).exp();
    near(lowering.hand.unwrap().likely().newtons(), hand, 1e-9);
    let post = lowering
        .on("post", LoadingMode::Body)
        .unwrap()
        .likely()
        .newtons();
    near(post, 1000.0_f64.hypot(hand), 1e-9);
}

#[test]
fn a_connector_takes_what_its_pulley_takes() {
    for rig in shipped() {
        let mut outfit = turning(rig, Efficiency::from_share(0.92).unwrap());
        let posts = rig.positions().iter().map(|position| position.key());
        for key in posts.filter(|key| rig.rubs(key)) {
            let mut item = outfit.at(key).cloned().unwrap_or_default();
            item.post = Some(round_bar());
            outfit.fit(key, item);
        }
        let load = Force::from_kilonewtons(2.0).unwrap();
        let forces = solve(rig, &outfit, load, Phase::Lowering).unwrap();
        let force = |index: usize| {
            let position = &rig.positions()[index];
            forces
                .on(position.key(), position.loaded())
                .unwrap()
                .likely()
                .newtons()
        };
        for chain in rig.chains() {
            let carried = match chain.carries() {
                Carried::Position(position) => force(position),
                Carried::Body(body) => {
                    let body = rig.bodies()[body].key();
                    forces.on_body(body).unwrap().likely().newtons()
                }
            };
            // Only what holds nothing just now is free: a belay that stands by, a clamp that is let go.
            let may_be_free = rig.catches() || rig.has_capture();
            assert!(carried > 0.0 || may_be_free, "{} {carried}", rig.key());
            for &link in chain.positions() {
                near(force(link), carried, 1e-9);
            }
        }
    }
}

#[test]
fn the_ends_of_both_ropes_of_a_compound_carry_what_was_worked_out_apart() {
    let rig = shipped_rig("nine-to-one").unwrap();
    let outfit = turning(rig, Efficiency::from_share(0.92).unwrap());
    let load = Force::from_kilonewtons(2.0).unwrap();
    let forces = solve(rig, &outfit, load, Phase::Hauling).unwrap();
    let end = |rope: &str| {
        forces
            .on(rope, LoadingMode::Terminated)
            .unwrap()
            .likely()
            .kilonewtons()
    };
    near(end("main-rope"), 2.0, 1e-9);
    // The dead end of the outer 3:1 by the numpy system: 0.2212.
    near(end("hauling-rope"), 0.2212, 0.00005);
    let straight = forces.on("main-rope", LoadingMode::Straight).unwrap();
    near(straight.likely().kilonewtons(), 2.0, 1e-9);
}

#[test]
fn a_sheave_that_lets_nothing_through_is_refused() {
    let rig = Rig::parse(&tackle(2, true)).unwrap();
    let load = Force::from_newtons(1000.0).unwrap();
    let share = |number: f64| Efficiency::from_share(number).unwrap();
    let mut outfit = turning(&rig, share(0.9));
    let mut head = outfit.at("head").unwrap().clone();
    let wheel = head.wheel.as_mut().unwrap();
    wheel.efficiency = Band::new(share(1e-11), share(0.9), share(0.95)).unwrap();
    outfit.fit("head", head);
    let refused = solve(&rig, &outfit, load, Phase::Hauling).unwrap_err();
    assert_eq!(
        refused,
        RigError::Jammed {
            position: "head".to_owned()
        }
    );
}

#[test]
fn of_two_made_ends_the_one_that_carries_more_is_told() {
    let sheet = include_str!("../../src/rigging/rig/nine-to-one.toml");
    let grabbed = "meets = \"grab\", position = \"outer-grab\"";
    let tied = "meets = \"end\", body = \"outer\", knot = \"bowline\"";
    let start = sheet.find("[[position]]\nkey = \"outer-grab\"").unwrap();
    let end = start + sheet[start + 1..].find("[[position]]").unwrap() + 1;
    let without_grab = format!("{}{}", &sheet[..start], &sheet[end..]);
    let rig = Rig::parse(&without_grab.replace(grabbed, tied)).unwrap();
    let outfit = turning(&rig, Efficiency::from_share(0.92).unwrap());
    let load = Force::from_kilonewtons(2.0).unwrap();
    let forces = solve(&rig, &outfit, load, Phase::Hauling).unwrap();
    let ends = forces.positions.iter();
    let ends = ends.filter(|on| on.position == "main-rope" && on.mode == LoadingMode::Terminated);
    let ends: Vec<f64> = ends.map(|on| on.force.likely().kilonewtons()).collect();
    // The hand strand of the inner 3:1 by the numpy system, and the load.
    near(ends[0], 0.7230, 0.00005);
    near(ends[1], 2.0, 1e-9);
    let worst = forces.on("main-rope", LoadingMode::Terminated).unwrap();
    near(worst.likely().kilonewtons(), 2.0, 1e-9);
}

#[test]
fn a_range_of_friction_is_a_range_of_hand_force() {
    let rig = Rig::parse(CLAMP_AND_POST).unwrap();
    let load = Force::from_newtons(1000.0).unwrap();
    let hand = |friction: f64, phase| {
        let forces = solve(&rig, &with_post(&rig, friction), load, phase).unwrap();
        forces.hand.unwrap().likely().newtons()
    };
    let mu = |number| Friction::from_coefficient(number).unwrap();
    let mut outfit = with_post(&rig, 0.2);
    let mut post = outfit.at("post").unwrap().clone();
    post.post.as_mut().unwrap().friction = Band::new(mu(0.1), mu(0.15), mu(0.3)).unwrap();
    outfit.fit("post", post);
    let band = |phase| solve(&rig, &outfit, load, phase).unwrap().hand.unwrap();
    let lowering = band(Phase::Lowering);
    near(lowering.low().newtons(), hand(0.3, Phase::Lowering), 1e-9);
    near(
        lowering.likely().newtons(),
        hand(0.15, Phase::Lowering),
        1e-9,
    );
    near(lowering.high().newtons(), hand(0.1, Phase::Lowering), 1e-9);
    let hauling = band(Phase::Hauling);
    near(hauling.low().newtons(), hand(0.1, Phase::Hauling), 1e-9);
    near(hauling.likely().newtons(), hand(0.15, Phase::Hauling), 1e-9);
    near(hauling.high().newtons(), hand(0.3, Phase::Hauling), 1e-9);
    let rest = band(Phase::AtRest);
    near(rest.low().newtons(), hand(0.3, Phase::Lowering), 1e-9);
    near(rest.likely().newtons(), 1000.0, 1e-9);
    near(rest.high().newtons(), hand(0.3, Phase::Hauling), 1e-9);
}

#[test]
fn a_captured_sheave_that_stands_still_holds_more_than_one_that_turns() {
    let rig = Rig::parse(
        &tackle(2, true)
            .replace("sheave = 1 }", "sheave = 1, capture = true }")
            .replacen(
                "position = \"foot\", sheave = 1, capture = true",
                "position = \"foot\", sheave = 1",
                1,
            ),
    )
    .unwrap();
    let load = Force::from_newtons(1000.0).unwrap();
    let mut outfit = turning(&rig, Efficiency::from_share(0.9).unwrap());
    let turns = solve(&rig, &outfit, load, Phase::Lowering)
        .unwrap()
        .hand
        .unwrap();
    let mut head = outfit.at("head").unwrap().clone();
    head.wheel.as_mut().unwrap().turning = Turning::OneWay {
        friction: Band::exactly(Friction::from_coefficient(0.2).unwrap()),
        source: "the test".to_owned(),
    };
    outfit.fit("head", head);
    let stands = solve(&rig, &outfit, load, Phase::Lowering)
        .unwrap()
        .hand
        .unwrap();
    // By hand: the strand beside the head is the same, then 0.9 against exp(-0.2 pi).
    let ratio = stands.likely().newtons() / turns.likely().newtons();
    near(ratio, (-0.2 * std::f64::consts::PI).exp() / 0.9, 1e-9);
    let hauling = solve(&rig, &outfit, load, Phase::Hauling)
        .unwrap()
        .hand
        .unwrap();
    // Hauling it turns: 0.9 + 0.81 strands for one pull.
    near(hauling.likely().newtons(), 1000.0 / 1.71, 1e-9);
}
