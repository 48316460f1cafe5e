//! Mechanics against numbers from print and from programs written apart, one line of a file each.

use ropeloft::rigging::{
    Advantage, Angle, Band, Efficiency, Fibre, Fitted, Force, Forces, Length, LoadingMode, Mass,
    PartStrength, Phase, Post, Rig, StrengthKind, Way, Wetness, assess, between_from_deflection,
    capstan_hold, capstan_ratio, capstan_wrap, catenary, cord_floor, even_leg, fall_peak,
    friction_of_sheave, hand_by_tenths, knot, legs_by_measure, line_tension, parabola_level_force,
    people, redirect_force, redirect_force_of_two, rope_modulus, rope_need, safety_factor,
    shipped_rig, solve, uneven_legs,
};

use crate::rigging_inputs::Inputs;
use crate::rigging_kit::{conditions, fitted, turning};
use crate::rigging_legs::{bridle, pulled, tripod};

/// An emptied or shortened file must fail, not pass.
const LINES: usize = 288;

#[test]
fn every_published_number_is_met_within_half_its_last_digit() {
    let mut file = csv::ReaderBuilder::new()
        .delimiter(b';')
        .comment(Some(b'#'))
        .from_path(concat!(
            env!("CARGO_MANIFEST_DIR"),
            "/tests/it/published/rigging.csv"
        ))
        .unwrap();
    let mut lines = 0;
    let mut missed = Vec::new();
    for line in file.records() {
        let line = line.unwrap();
        let (source, case) = (&line[0], &line[1]);
        let inputs = Inputs::read(&line[2]);
        let expected: f64 = line[3].parse().unwrap();
        let tolerance: f64 = line[4].parse().unwrap();
        assert!(!source.trim().is_empty(), "{case} has no source");
        let computed = compute(case, &inputs);
        // What is added is the rounding of the comparison itself.
        let allowed = tolerance + 1e-12 * expected.abs().max(1.0);
        let off = (computed - expected).abs();
        if off.is_nan() || off > allowed {
            missed.push(format!(
                "{case} {}: {computed}, printed {expected} ({source})",
                &line[2]
            ));
        }
        lines += 1;
    }
    assert_eq!(lines, LINES);
    assert!(missed.is_empty(), "{}", missed.join("\n"));
}

fn compute(case: &str, inputs: &Inputs) -> f64 {
    match case {
        "rig" => rig(inputs),
        "tenths" | "people" | "people-for" | "rope" | "factor" => need(case, inputs),
        "deflection" | "redirect" | "redirect-two" => redirect(case, inputs),
        "even-leg" | "uneven-leg" | "legs-by-measure" | "two-leg-factor" => legs(case, inputs),
        "tripod-leg" | "bridle-leg" => stood(case, inputs),
        "line" | "catenary" | "parabola" => sag(case, inputs),
        "capstan" | "capstan-ratio" | "capstan-turns" | "sheave-friction"
        | "redirect-and-brake" => friction(case, inputs),
        "fall" => fall_peak(inputs.mass(), inputs.force("modulus"), inputs.fall_factor())
            .unwrap()
            .kilonewtons(),
        "modulus" => rope_modulus(inputs.mass(), inputs.force("peak"), inputs.fall_factor())
            .unwrap()
            .kilonewtons(),
        "convert" => convert(inputs),
        "weight" => match inputs.text("ask") {
            "n" => inputs.mass().weight().newtons(),
            _ => inputs.mass().weight().kilonewtons(),
        },
        "cord" => {
            let diameter = Length::from_millimetres(inputs.number("diameter_mm")).unwrap();
            cord_floor(diameter).unwrap().kilonewtons()
        }
        "knot-holds" => knot_holds(inputs),
        "wet-nylon" => wet_nylon(inputs),
        other => panic!("no case {other}"),
    }
}

fn phase(word: &str) -> Phase {
    let phases = [
        Phase::Frictionless,
        Phase::Hauling,
        Phase::Lowering,
        Phase::Held,
        Phase::AtRest,
        Phase::OnBelay,
        Phase::BelayCatch,
    ];
    phases
        .into_iter()
        .find(|phase| phase.key() == word)
        .unwrap()
}

fn rig(inputs: &Inputs) -> f64 {
    let rig = inputs.rig();
    let outfit = turning(rig, inputs.efficiency());
    let forces = solve(rig, &outfit, inputs.load(), phase(inputs.text("phase"))).unwrap();
    asked(&forces, inputs.text("ask"))
}

fn asked(forces: &Forces, ask: &str) -> f64 {
    let words: Vec<&str> = ask.split(':').collect();
    let force = match words[..] {
        ["advantage"] => return forces.advantage.unwrap().likely().ratio(),
        ["hand_lbf"] => return forces.hand.unwrap().likely().pounds_force(),
        ["hand_n"] => return forces.hand.unwrap().likely().newtons(),
        ["hand"] => forces.hand.unwrap(),
        ["part", rope, number] => {
            let number: usize = number.parse().unwrap();
            let mut parts = forces.parts.iter();
            parts
                .find(|part| part.rope == rope && part.part == number)
                .unwrap()
                .tension
        }
        ["sheave", position, number] => {
            let number: u8 = number.parse().unwrap();
            let mut sheaves = forces.sheaves.iter();
            sheaves
                .find(|sheave| sheave.position == position && sheave.sheave == number)
                .unwrap()
                .force
        }
        ["leg", number] => {
            let number: usize = number.parse().unwrap();
            forces.legs[number - 1].along
        }
        ["body", body] => forces.on_body(body).unwrap(),
        ["on", position, mode] => {
            let mut modes = LoadingMode::ALL.into_iter();
            forces
                .on(position, modes.find(|found| found.key() == mode).unwrap())
                .unwrap()
        }
        _ => panic!("nothing asks for {ask}"),
    };
    force.likely().kilonewtons()
}

fn need(case: &str, inputs: &Inputs) -> f64 {
    match case {
        "tenths" => {
            let sheaves = inputs.text("sheaves").parse().unwrap();
            let gain = Advantage::from_ratio(inputs.number("gain")).unwrap();
            hand_by_tenths(inputs.load(), sheaves, gain)
                .unwrap()
                .newtons()
        }
        "people" => {
            let rig = inputs.rig();
            let outfit = turning(rig, inputs.efficiency());
            let forces = solve(rig, &outfit, inputs.load(), Phase::Hauling).unwrap();
            f64::from(people(forces.hand.unwrap().high(), inputs.force("each")))
        }
        "people-for" => f64::from(people(inputs.force("hand"), inputs.force("each"))),
        "factor" => safety_factor(inputs.force("strength"), inputs.force("force"))
            .unwrap()
            .ratio(),
        _ => rope(inputs),
    }
}

fn rope(inputs: &Inputs) -> f64 {
    let way = Way {
        depth: inputs.metres("depth_m"),
        head_gap: inputs.metres("gap_m"),
        block_length: inputs.metres("block_m"),
        tail: inputs.metres("tail_m"),
        knots: inputs.metres("knots_m"),
        throw: inputs.has("throw_m").then(|| inputs.metres("throw_m")),
        between_anchors: None,
        hand_speed: None,
    };
    let need = rope_need(inputs.rig(), &way).unwrap();
    match inputs.text("ask") {
        "length" => need.ropes[0].length.metres(),
        "hauled" => need.hauled.metres(),
        _ => f64::from(need.strokes.unwrap()),
    }
}

fn redirect(case: &str, inputs: &Inputs) -> f64 {
    let tension = inputs.force("tension");
    let force = match case {
        "deflection" => {
            let between = between_from_deflection(inputs.degrees("deflection_deg")).unwrap();
            redirect_force(tension, between)
        }
        "redirect" => redirect_force(tension, inputs.degrees("between_deg")),
        _ => redirect_force_of_two(
            tension,
            inputs.force("other"),
            inputs.degrees("between_deg"),
        ),
    };
    force.unwrap().kilonewtons()
}

fn legs(case: &str, inputs: &Inputs) -> f64 {
    if case == "two-leg-factor" {
        // A table gives what two legs lift over what one lifts: the turned-about share of a leg.
        let included = Angle::from_degrees(2.0 * inputs.number("from_vertical_deg")).unwrap();
        return 1.0
            / even_leg(Force::from_kilonewtons(1.0).unwrap(), included)
                .unwrap()
                .kilonewtons();
    }
    let load = inputs.load();
    let (one, other) = match case {
        "even-leg" => {
            let leg = even_leg(load, inputs.degrees("included_deg")).unwrap();
            if inputs.has("ask") {
                return leg.pounds_force();
            }
            (leg, leg)
        }
        "uneven-leg" => {
            uneven_legs(load, inputs.degrees("one_deg"), inputs.degrees("other_deg")).unwrap()
        }
        _ => {
            let aside = (inputs.metres("one_m"), inputs.metres("other_m"));
            legs_by_measure(load, aside, inputs.metres("height_m")).unwrap()
        }
    };
    match inputs.given("ask") {
        Some("other") => other.kilonewtons(),
        _ => one.kilonewtons(),
    }
}

/// A leg of the tripod or the bridle that a pulley hangs from, its two strands alike.
fn stood(case: &str, inputs: &Inputs) -> f64 {
    let between = inputs.number("between_deg");
    let rig = if case == "tripod-leg" {
        tripod(inputs.number("leg_deg"), between)
    } else {
        let legs = ["left_deg", "right_deg"].map(|leg| inputs.number(leg));
        pulled(&bridle(&legs), between)
    };
    let outfit = turning(rig.as_ref().unwrap(), Efficiency::from_share(1.0).unwrap());
    let forces = solve(&rig.unwrap(), &outfit, inputs.load(), Phase::Lowering).unwrap();
    let leg = usize::from(inputs.given("ask") == Some("right"));
    forces.legs[leg].along.likely().kilonewtons()
}

fn sag(case: &str, inputs: &Inputs) -> f64 {
    let (span, sag) = (inputs.metres("span_m"), inputs.metres("sag_m"));
    match case {
        "line" => line_tension(inputs.load(), span, sag)
            .unwrap()
            .kilonewtons(),
        "parabola" => parabola_level_force(inputs.kilograms_per_metre(), span, sag)
            .unwrap()
            .newtons(),
        _ => {
            let hanging = catenary(inputs.kilograms_per_metre(), span, sag).unwrap();
            match inputs.text("ask") {
                "level_n" => hanging.level.newtons(),
                "greatest_n" => hanging.greatest.newtons(),
                "length_m" => hanging.length.metres(),
                _ => hanging.parameter.metres(),
            }
        }
    }
}

fn friction(case: &str, inputs: &Inputs) -> f64 {
    match case {
        "capstan" => capstan_hold(inputs.load(), inputs.friction(), inputs.turns())
            .unwrap()
            .newtons(),
        "capstan-ratio" => capstan_ratio(inputs.friction(), inputs.turns())
            .unwrap()
            .ratio(),
        "capstan-turns" => capstan_wrap(inputs.load(), inputs.newtons("hold_n"), inputs.friction())
            .unwrap()
            .turns(),
        "sheave-friction" => friction_of_sheave(inputs.efficiency())
            .unwrap()
            .coefficient(),
        _ => {
            // A redirect at the top, then the brake: the sheet of a rig with both.
            let rig = Rig::parse(REDIRECT_AND_BRAKE).unwrap();
            let mut outfit = turning(&rig, inputs.efficiency());
            let mut brake = Fitted::new("brake");
            brake.post = Some(Post {
                friction: Band::exactly(inputs.friction()),
                source: "the line of the file".to_owned(),
            });
            outfit.fit("brake", brake);
            let forces = solve(&rig, &outfit, inputs.load(), Phase::Lowering).unwrap();
            forces.hand.unwrap().likely().newtons()
        }
    }
}

const REDIRECT_AND_BRAKE: &str = r#"
key = "brake"
title = "A redirect and a brake"
when = "Lowering."
limits = []
body = [
    { key = "top", title = "the top", kind = "anchor" },
    { key = "brake-anchor", title = "the anchor of the brake", kind = "anchor" },
    { key = "load", title = "the load", kind = "load" },
]
position = [
    { key = "rope", title = "Rope", accepts = ["rope"], loaded = "straight" },
    { key = "pulley", title = "Pulley", accepts = ["pulley"], loaded = "axle", body = "top" },
    { key = "brake", title = "Brake", accepts = ["descender"], loaded = "body", body = "brake-anchor" },
]
[[rope]]
position = "rope"
path = [
    { meets = "hand" },
    { meets = "post", position = "brake", wrap_degrees = 720 },
    { meets = "sheave", position = "pulley" },
    { meets = "end", body = "load", knot = "figure-eight" },
]
"#;

fn convert(inputs: &Inputs) -> f64 {
    let value = inputs.number("value");
    let force = |force: Force| match inputs.text("to") {
        "n" => force.newtons(),
        "kn" => force.kilonewtons(),
        _ => force.pounds_force(),
    };
    match inputs.text("from") {
        "lb" => Mass::from_pounds(value).unwrap().kilograms(),
        "in" => Length::from_inches(value).unwrap().millimetres(),
        "ft" => Length::from_feet(value).unwrap().metres(),
        "lbf" => force(Force::from_pounds_force(value).unwrap()),
        "kgf" => force(Force::from_kilograms_force(value).unwrap()),
        "kip" => force(Force::from_kips(value).unwrap()),
        _ => force(Force::from_kilonewtons(value).unwrap()),
    }
}

/// 1 if the range of a knot in our table holds the range of a printed list.
fn knot_holds(inputs: &Inputs) -> f64 {
    let knot = knot(inputs.text("knot")).unwrap();
    let holds =
        knot.low.share() <= inputs.number("low") && inputs.number("high") <= knot.high.share();
    f64::from(u8::from(holds))
}

/// What is left of a wet nylon rope, by an assessment of the simplest rig.
fn wet_nylon(inputs: &Inputs) -> f64 {
    wet(Fibre::Polyamide, inputs.force("strength"))
        .effective
        .kilonewtons()
}

/// The strength of a wet rope of this fibre in the simplest rig.
fn wet(fibre: Fibre, strength: Force) -> PartStrength {
    let rating = |mode| (mode, StrengthKind::Breaking, strength, "a test");
    let rig = shipped_rig("two-to-one").unwrap();
    let mut outfit = fitted(rig, rating);
    let mut rope = outfit.at("rope").unwrap().clone();
    rope.fibre = Some(fibre);
    outfit.fit("rope", rope);
    let mut conditions = conditions();
    conditions.wetness = Wetness::Wet;
    let assessment = assess(rig, &outfit, &conditions).unwrap();
    let check = assessment
        .checks
        .iter()
        .find(|check| check.position == "rope" && check.mode == LoadingMode::Straight)
        .unwrap();
    check.strength.clone()
}

/// The pull tests behind the figure for wet nylon were made on rope: for anything else it is said to be assumed.
#[test]
fn the_source_of_the_figure_for_wet_nylon_stands_beside_nylon_rope_alone() {
    let source = |fibre| {
        let strength = wet(fibre, Force::from_kilonewtons(30.0).unwrap());
        strength.reductions.last().unwrap().source.clone()
    };
    assert!(source(Fibre::Polyamide).contains("pull tests of ropes"));
    for fibre in [Fibre::Other, Fibre::Unknown, Fibre::Sewn] {
        let said = source(fibre);
        assert!(
            said.contains("an assumption of this program, no source") && !said.contains("tests"),
            "{said}"
        );
    }
}
