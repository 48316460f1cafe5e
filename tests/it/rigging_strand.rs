//! Which way a strand runs: what hangs out of line, pulls nothing or has no hand of its own is refused.

use ropeloft::rigging::{Duty, Force, Outfit, Phase, Rig, RigError, shipped_rig, solve};

use crate::rigging_kit::near;

/// A sheet of bodies, pulleys at bodies and one rope over them, made of short pieces.
fn sheet(bodies: &[(&str, &str, f64)], pulleys: &[(&str, &str)], path: &[&str]) -> String {
    let head = "key = \"strands\"\ntitle = \"Strands\"\nwhen = \"In a test.\"\n";
    let bodies = bodies.iter().map(|(key, kind, degrees)| {
        let line = if *degrees > 0.0 {
            format!("line_degrees = {degrees}\n")
        } else {
            String::new()
        };
        format!("[[body]]\nkey = \"{key}\"\ntitle = \"the {key}\"\nkind = \"{kind}\"\n{line}")
    });
    let rope = "[[position]]\nkey = \"rope\"\ntitle = \"Rope\"\naccepts = [\"rope\"]\nloaded = \"straight\"\n";
    let pulleys = pulleys.iter().map(|(key, body)| {
        format!(
            "[[position]]\nkey = \"{key}\"\ntitle = \"{key}\"\naccepts = [\"pulley\"]\nloaded = \"axle\"\nbody = \"{body}\"\n"
        )
    });
    let path = format!(
        "[[rope]]\nposition = \"rope\"\npath = [{}]\n",
        path.join(", ")
    );
    let bodies: String = bodies.collect();
    let pulleys: String = pulleys.collect();
    [head, &bodies, rope, &pulleys, &path].concat()
}

const HAND: &str = "{ meets = \"hand\" }";

fn sheave(position: &str) -> String {
    format!("{{ meets = \"sheave\", position = \"{position}\" }}")
}

fn end(body: &str) -> String {
    format!("{{ meets = \"end\", body = \"{body}\", knot = \"bowline\" }}")
}

const ANCHOR: (&str, &str, f64) = ("anchor", "anchor", 0.0);
const LOAD: (&str, &str, f64) = ("load", "load", 0.0);

fn read(
    bodies: &[(&str, &str, f64)],
    pulleys: &[(&str, &str)],
    path: &[&str],
) -> Result<Rig, RigError> {
    Rig::parse(&sheet(bodies, pulleys, path))
}

#[track_caller]
fn out_of_line(rig: Result<Rig, RigError>) {
    let error = rig.unwrap_err();
    assert!(matches!(error, RigError::OutOfLine { .. }), "{error}");
}

#[test]
fn a_hand_that_lifts_the_load_itself_carries_it() {
    // Statics of one strand: the hand holds the weight, and pulls it up.
    let rig = read(&[LOAD], &[], &[HAND, &end("load")]).unwrap();
    let load = Force::from_kilonewtons(1.0).unwrap();
    let forces = solve(&rig, &Outfit::default(), load, Phase::Frictionless).unwrap();
    near(forces.hand.unwrap().likely().kilonewtons(), 1.0, 1e-12);
}

#[test]
fn a_rope_from_a_moving_body_to_itself_holds_nothing() {
    let path = [HAND, &sheave("head"), &sheave("foot"), &end("load")];
    out_of_line(read(
        &[ANCHOR, LOAD],
        &[("head", "anchor"), ("foot", "load")],
        &path,
    ));
}

#[test]
fn two_bodies_that_move_along_different_lines_are_not_joined() {
    let rig = |carriage: f64, load: f64| {
        let bodies = [
            ANCHOR,
            ("carriage", "travelling", carriage),
            ("load", "load", load),
        ];
        let path = [HAND, &sheave("wheel"), &end("anchor")];
        // The carriage carries the load on a second rope.
        let second = format!(
            "[[position]]\nkey = \"sling\"\ntitle = \"Sling\"\naccepts = [\"rope\"]\nloaded = \"straight\"\n\
             [[rope]]\nposition = \"sling\"\npath = [{}, {}]\n",
            end("carriage"),
            end("load")
        );
        Rig::parse(&(sheet(&bodies, &[("wheel", "carriage")], &path) + &second))
    };
    let straight = rig(0.0, 0.0).unwrap();
    near(straight.ideal_advantage().unwrap().ratio(), 2.0, 1e-12);
    out_of_line(rig(30.0, 0.0));
    // A hair is the rounding of a file, not an angle.
    assert!(rig(1e-10, 0.0).is_ok());
}

#[test]
fn a_body_that_moves_along_a_line_of_its_own_has_its_strands_along_it() {
    // A 2:1 along a line 30 degrees to the left of the upright, which hauls the load over a redirect below.
    let rig = |between: f64| {
        let ground = ("ground", "anchor", 0.0);
        let bodies = [ANCHOR, ("carriage", "travelling", 330.0), ground, LOAD];
        let path = [HAND, &sheave("wheel"), &end("anchor")];
        let second = format!(
            "[[position]]\nkey = \"lift\"\ntitle = \"Lift\"\naccepts = [\"rope\"]\nloaded = \"straight\"\n\
             [[position]]\nkey = \"turn\"\ntitle = \"Turn\"\naccepts = [\"pulley\"]\nloaded = \"axle\"\nbody = \"ground\"\n\
             [[rope]]\nposition = \"lift\"\npath = [{}, {{ meets = \"sheave\", position = \"turn\", between_degrees = {between} }}, {}]\n",
            end("carriage"),
            end("load")
        );
        Rig::parse(&(sheet(&bodies, &[("wheel", "carriage")], &path) + &second))
    };
    let answers: Vec<f64> = (0..180)
        .map(f64::from)
        .filter(|&between| rig(between).is_ok())
        .collect();
    // The rope to the load hangs straight down, so from the redirect up to the carriage it turns by 150
    // degrees, and at no other angle would it run along the line of the carriage.
    assert_eq!(answers, [150.0]);
}

#[test]
fn a_strand_does_not_leave_a_moving_body_the_wrong_way() {
    // Half a turn too little: past a sheave of the load the strand would go on down to the anchor above.
    let straight_on = "{ meets = \"sheave\", position = \"foot\", between_degrees = 179.9999999 }";
    let path = [HAND, &sheave("head"), straight_on, &end("anchor")];
    out_of_line(read(
        &[ANCHOR, LOAD],
        &[("head", "anchor"), ("foot", "load")],
        &path,
    ));
}

/// The sheet of the two ropes that share a load, with the duties of its ropes otherwise.
fn shared(duties: [Duty; 2]) -> RigError {
    let mut sheet = shipped_rig("twin-tension-lower").unwrap().sheet();
    for (rope, duty) in sheet.ropes.iter_mut().zip(duties) {
        rope.duty = duty;
    }
    Rig::from_sheet(sheet).unwrap_err().into_first()
}

#[test]
fn ropes_that_share_the_load_are_two_and_alone() {
    assert!(shipped_rig("twin-tension-lower").is_some());
    assert_eq!(
        shared([Duty::Twin, Duty::Main]),
        RigError::Twins { twins: 1, mains: 1 }
    );
    assert_eq!(
        shared([Duty::Twin, Duty::Belay]),
        RigError::Twins { twins: 1, mains: 0 }
    );
    let mut sheet = shipped_rig("twin-tension-lower").unwrap().sheet();
    let mut third = sheet.ropes[0].clone();
    let mut position = sheet.positions[0].clone();
    "third-rope".clone_into(&mut position.key);
    position.key.clone_into(&mut third.position);
    sheet.positions.push(position);
    third.path = serde_json::from_value(serde_json::json!([
        { "meets": "hand" },
        { "meets": "end", "body": "load", "knot": "bowline" },
    ]))
    .unwrap();
    third.duty = Duty::Main;
    sheet.ropes.push(third);
    let three = Rig::from_sheet(sheet.clone()).unwrap_err().into_first();
    assert_eq!(three, RigError::Twins { twins: 2, mains: 1 });
    sheet.ropes[2].duty = Duty::Twin;
    let three = Rig::from_sheet(sheet).unwrap_err().into_first();
    assert_eq!(three, RigError::Twins { twins: 3, mains: 0 });
}

#[test]
fn every_main_rig_has_one_hand() {
    let two = shared([Duty::Main, Duty::Main]);
    assert_eq!(two, RigError::Hands { count: 2 });
    let none = read(&[ANCHOR, LOAD], &[], &[&end("anchor"), &end("load")]).unwrap_err();
    assert_eq!(none, RigError::Hands { count: 0 });
}

#[test]
fn without_friction_two_ropes_that_share_the_load_carry_half_each() {
    // By symmetry; with friction nobody knows how they share, and each may carry all.
    let rig = shipped_rig("twin-tension-lower").unwrap();
    let load = Force::from_kilonewtons(2.0).unwrap();
    let forces = solve(rig, &Outfit::default(), load, Phase::Frictionless).unwrap();
    assert_eq!(forces.parts.len(), 4);
    for part in &forces.parts {
        near(part.tension.low().kilonewtons(), 1.0, 1e-12);
        near(part.tension.high().kilonewtons(), 1.0, 1e-12);
    }
}
