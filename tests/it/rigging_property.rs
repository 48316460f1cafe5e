//! What holds for every rig, every friction and every number.

use std::f64::consts::PI;

use proptest::prelude::*;
use ropeloft::rigging::{
    Angle, Band, BodyKind, Efficiency, Element, FallFactor, Fitted, Force, Forces, Friction,
    Length, LinearMass, Mass, Outfit, Phase, Rig, Turning, Wheel, capstan_hold, catenary, even_leg,
    fall_peak, line_tension, redirect_force_of_two, rope_modulus, safety_factor, shipped, solve,
    uneven_legs,
};

use crate::rigging_kit::{tackle, turning};

/// Any shipped rig that is of pulleys alone, or a simple tackle of up to eight strands.
fn any_rig() -> impl Strategy<Value = Rig> {
    let of_pulleys = |rig: &&Rig| {
        let positions = rig.positions().iter();
        positions
            .filter(|position| rig.rubs(position.key()))
            .count()
            == 0
    };
    let rigs: Vec<Rig> = shipped().iter().filter(of_pulleys).cloned().collect();
    prop_oneof![
        prop::sample::select(rigs),
        (1_u8..=8, any::<bool>())
            .prop_filter("one strand needs its sheave", |(strands, down)| *strands
                > 1
                || *down)
            .prop_map(|(strands, down)| Rig::parse(&tackle(strands, down)).unwrap()),
    ]
}

fn share(number: f64) -> Efficiency {
    Efficiency::from_share(number).unwrap()
}

/// Every pulley of a rig with its own efficiency, captured sheaves standing still in lowering.
fn turning_each(rig: &Rig, efficiencies: &[Band<Efficiency>]) -> Outfit {
    let mut outfit = Outfit::default();
    let pulleys = rig
        .positions()
        .iter()
        .filter(|position| position.sheaves() > 0);
    for (position, efficiency) in pulleys.zip(efficiencies.iter().cycle()) {
        let wheel = Wheel {
            efficiency: *efficiency,
            source: "the test".to_owned(),
            turning: Turning::Free,
        };
        outfit.fit(position.key(), Fitted::new("pulley").with_wheel(wheel));
    }
    outfit
}

fn hand(forces: &Forces) -> f64 {
    forces.hand.unwrap().likely().newtons()
}

/// Index of the body that an element belongs to, found without the solver.
fn body_of(rig: &Rig, element: &Element) -> Option<usize> {
    match element {
        Element::End { body, .. } => Some(*body),
        _ => rig.positions()[element.position()?].body(),
    }
}

/// What pulls on a body, upwards positive: the strand's other end is above it or below it. A strand
/// to the hand pulls a moving body up in all these rigs.
fn balance(rig: &Rig, forces: &Forces, body: usize) -> f64 {
    let mut sum = 0.0;
    for part in &forces.parts {
        let mut ropes = rig.ropes().iter();
        let rope = ropes
            .find(|rope| rig.positions()[rope.position()].key() == part.rope)
            .unwrap();
        let near = body_of(rig, &rope.path()[part.part]);
        let far = body_of(rig, &rope.path()[part.part + 1]);
        let tension = part.tension.likely().newtons();
        let pull = |other: Option<usize>| {
            if other.is_none_or(|other| other < body) {
                tension
            } else {
                -tension
            }
        };
        if near == Some(body) {
            sum += pull(far);
        }
        if far == Some(body) {
            sum += pull(near);
        }
    }
    sum
}

proptest! {
    #[test]
    fn every_free_body_is_in_balance(
        rig in any_rig(),
        efficiencies in prop::collection::vec(0.3..=1.0_f64, 4),
        load in 1.0..50_000.0_f64,
    ) {
        let exact: Vec<_> = efficiencies.into_iter().map(|e| Band::exactly(share(e))).collect();
        let outfit = turning_each(&rig, &exact);
        let weight = Force::from_newtons(load).unwrap();
        for phase in [Phase::Frictionless, Phase::Hauling, Phase::Lowering] {
            let forces = solve(&rig, &outfit, weight, phase).unwrap();
            for (index, body) in rig.bodies().iter().enumerate() {
                let wanted = match body.kind() {
                    BodyKind::Anchor => continue,
                    BodyKind::Load => load,
                    BodyKind::Travelling => 0.0,
                };
                let found = balance(&rig, &forces, index);
                prop_assert!((found - wanted).abs() <= 1e-9 * load, "{}: {found} for {wanted}", body.key());
            }
        }
    }

    #[test]
    fn a_simple_tackle_is_the_geometric_series(
        strands in 2_u8..=9,
        e in 0.3..=0.999_f64,
        down in any::<bool>(),
    ) {
        let rig = Rig::parse(&tackle(strands, down)).unwrap();
        let outfit = turning(&rig, share(e));
        let load = Force::from_kilonewtons(2.0).unwrap();
        let hauling = solve(&rig, &outfit, load, Phase::Hauling).unwrap();
        let found = hauling.advantage.unwrap().likely().ratio();
        let series = (1.0 - e.powi(i32::from(strands))) / (1.0 - e);
        let wanted = if down { e * series } else { series };
        prop_assert!((found - wanted).abs() < 1e-9 * wanted, "{found} for {wanted}");
    }

    #[test]
    fn without_friction_hauling_lowering_and_rest_are_the_ideal(rig in any_rig(), load in 1.0..50_000.0_f64) {
        let outfit = turning(&rig, share(1.0));
        let weight = Force::from_newtons(load).unwrap();
        let ideal = solve(&rig, &outfit, weight, Phase::Frictionless).unwrap();
        let wanted = rig.ideal_advantage().unwrap().ratio();
        for phase in [Phase::Hauling, Phase::Lowering, Phase::AtRest] {
            let forces = solve(&rig, &outfit, weight, phase).unwrap();
            prop_assert_eq!(&forces.parts, &ideal.parts);
            let found = forces.advantage.unwrap().likely().ratio();
            prop_assert!((found - wanted).abs() < 1e-9 * wanted);
        }
    }

    #[test]
    fn lowering_takes_at_most_the_ideal_and_hauling_at_least(
        rig in any_rig(),
        e in 0.3..=1.0_f64,
        loss in 0.0..=0.2_f64,
    ) {
        let load = Force::from_kilonewtons(2.0).unwrap();
        let force = |e: f64, phase| hand(&solve(&rig, &turning(&rig, share(e)), load, phase).unwrap());
        let slack = 1e-9 * load.newtons();
        let ideal = force(e, Phase::Frictionless);
        prop_assert!(force(e, Phase::Lowering) <= ideal + slack);
        prop_assert!(force(e, Phase::Hauling) >= ideal - slack);
        // A poorer sheave asks more in hauling and holds more in lowering.
        let poorer = (e - loss).max(0.2);
        prop_assert!(force(poorer, Phase::Hauling) >= force(e, Phase::Hauling) - slack);
        prop_assert!(force(poorer, Phase::Lowering) <= force(e, Phase::Lowering) + slack);
    }

    #[test]
    fn the_band_holds_whatever_lies_inside_the_ranges(
        rig in any_rig(),
        inside in prop::collection::vec(0.0..=1.0_f64, 4),
    ) {
        let load = Force::from_kilonewtons(2.0).unwrap();
        let range = Band::new(share(0.75), share(0.9), share(0.97)).unwrap();
        let ranged = turning_each(&rig, &[range]);
        let exact: Vec<_> = inside.iter().map(|x| Band::exactly(share(0.75 + x * 0.22))).collect();
        let exact = turning_each(&rig, &exact);
        for phase in [Phase::Hauling, Phase::Lowering] {
            let band = solve(&rig, &ranged, load, phase).unwrap();
            let rest = solve(&rig, &ranged, load, Phase::AtRest).unwrap();
            let one = solve(&rig, &exact, load, phase).unwrap();
            let slack = 1e-9 * load.newtons();
            for ((band, rest), one) in band.positions.iter().zip(&rest.positions).zip(&one.positions) {
                let force = one.force.likely().newtons();
                prop_assert!(force <= band.force.high().newtons() + slack, "{}", one.position);
                prop_assert!(force <= rest.force.high().newtons() + slack, "{} at rest", one.position);
            }
            for (band, one) in band.parts.iter().zip(&one.parts) {
                prop_assert!(one.tension.likely().newtons() >= band.tension.low().newtons() - slack);
            }
        }
    }

    #[test]
    fn twice_the_load_is_twice_every_force(rig in any_rig(), e in 0.3..=1.0_f64, load in 1.0..50_000.0_f64) {
        let outfit = turning(&rig, share(e));
        let solved = |newtons| solve(&rig, &outfit, Force::from_newtons(newtons).unwrap(), Phase::Hauling).unwrap();
        for (one, two) in solved(load).positions.iter().zip(&solved(2.0 * load).positions) {
            let (one, two) = (one.force.high().newtons(), two.force.high().newtons());
            prop_assert!((two - 2.0 * one).abs() <= 1e-9 * load);
        }
    }

    #[test]
    fn held_by_the_capture_the_load_hangs_and_nothing_pulls_at_the_hand(rig in any_rig(), e in 0.3..=1.0_f64) {
        prop_assume!(rig.has_capture());
        let load = Force::from_kilonewtons(2.0).unwrap();
        let held = solve(&rig, &turning(&rig, share(e)), load, Phase::Held).unwrap();
        prop_assert!(held.hand.is_none() && held.advantage.is_none());
        let at_load = held.on_body("load").unwrap();
        prop_assert!((at_load.low().newtons() - 2000.0).abs() < 1e-6);
        prop_assert!((at_load.high().newtons() - 2000.0).abs() < 1e-6);
        prop_assert!(held.parts.iter().all(|part| part.from != "the hand"));
    }

    #[test]
    fn any_number_gives_a_quantity_or_a_refusal(number in any::<f64>()) {
        fn finite<T: Into<f64>, E>(quantity: Result<T, E>) -> bool {
            quantity.map_or(true, |quantity| quantity.into().is_finite())
        }
        prop_assert!(finite(Force::from_newtons(number)) && finite(Force::from_pounds_force(number)));
        prop_assert!(finite(Mass::from_kilograms(number)) && finite(Mass::from_pounds(number)));
        prop_assert!(finite(Length::from_inches(number)) && finite(Length::from_feet(number)));
        prop_assert!(finite(Angle::from_turns(number)) && finite(Angle::from_radians(number)));
        prop_assert!(finite(Efficiency::from_share(number)) && finite(Friction::from_coefficient(number)));
    }

    #[test]
    fn a_unit_read_back_is_what_was_given(number in 0.0..200_000.0_f64) {
        let back = Force::from_pounds_force(number).unwrap().pounds_force();
        prop_assert!((back - number).abs() <= 1e-12 * number.max(1.0));
        let back = Length::from_feet(number).unwrap().feet();
        prop_assert!((back - number).abs() <= 1e-12 * number.max(1.0));
    }

    #[test]
    fn formulas_answer_with_a_number_or_refuse(
        load in 0.0..=1_000_000.0_f64,
        other in 0.0..=1_000_000.0_f64,
        one in 0.0..=36_000.0_f64,
        two in 0.0..=36_000.0_f64,
        mu in 0.0..=2.0_f64,
        span in 0.0..=100_000.0_f64,
        sag in 0.0..=100_000.0_f64,
        ratio in 0.0..=2.0_f64,
    ) {
        let (load, other) = (Force::from_newtons(load).unwrap(), Force::from_newtons(other).unwrap());
        let (one, two) = (Angle::from_degrees(one).unwrap(), Angle::from_degrees(two).unwrap());
        let friction = Friction::from_coefficient(mu).unwrap();
        let (span, sag) = (Length::from_metres(span).unwrap(), Length::from_metres(sag).unwrap());
        let factor = FallFactor::from_ratio(ratio).unwrap();
        let mass = Mass::from_kilograms(load.kilonewtons()).unwrap();
        let rope = LinearMass::from_kilograms_per_metre(mu + 0.01).unwrap();
        let answers = [
            even_leg(load, one).map(Force::newtons),
            uneven_legs(load, one, two).map(|legs| legs.0.newtons() + legs.1.newtons()),
            redirect_force_of_two(load, other, one).map(Force::newtons),
            capstan_hold(load, friction, one).map(Force::newtons),
            line_tension(load, span, sag).map(Force::newtons),
            catenary(rope, span, sag).map(|hanging| hanging.greatest.newtons()),
            fall_peak(mass, other, factor).map(Force::newtons),
            rope_modulus(mass, other, factor).map(Force::newtons),
        ];
        for answer in answers.into_iter().flatten() {
            prop_assert!(answer.is_finite() && answer >= 0.0);
        }
        if let Ok(factor) = safety_factor(load, other) {
            prop_assert!(factor.ratio().is_finite() && factor.ratio() > 0.0);
        }
    }

    #[test]
    fn a_leg_never_carries_less_than_half_and_more_the_flatter_it_lies(a in 0.0..=170.0_f64, b in 0.0..=170.0_f64) {
        let load = Force::from_kilonewtons(1.0).unwrap();
        let leg = |degrees: f64| even_leg(load, Angle::from_degrees(degrees).unwrap()).unwrap();
        prop_assert!(leg(a).kilonewtons() >= 0.5 - 1e-12);
        prop_assert!(leg(a.max(b)) >= leg(a.min(b)));
    }

    #[test]
    fn a_sheave_bent_aside_pulls_by_the_law_of_cosines(degrees in 0.0..179.9_f64, e in 0.3..=1.0_f64) {
        let sheet = tackle(1, true).replace(
            "{ meets = \"sheave\", position = \"head\", sheave = 1 }",
            &format!("{{ meets = \"sheave\", position = \"head\", between_degrees = {degrees} }}"),
        );
        let rig = Rig::parse(&sheet).unwrap();
        let load = Force::from_kilonewtons(2.0).unwrap();
        let forces = solve(&rig, &turning(&rig, share(e)), load, Phase::Hauling).unwrap();
        let wrap = 180.0 - degrees;
        let pulled = 2.0 / e.powf(wrap / 180.0);
        prop_assert!((hand(&forces) / 1000.0 - pulled).abs() < 1e-9 * pulled);
        let angle = degrees / 180.0 * PI;
        let wanted = (4.0 + pulled * pulled + 4.0 * pulled * angle.cos()).sqrt();
        let found = forces.sheaves[0].force.likely().kilonewtons();
        prop_assert!((found - wanted).abs() < 1e-9 * wanted.max(1.0), "{found} for {wanted}");
        let anchored = forces.on_body("anchor").unwrap().likely().kilonewtons();
        prop_assert!((anchored - wanted).abs() < 1e-9 * wanted.max(1.0));
    }

    #[test]
    fn a_sheet_with_a_hole_is_read_or_refused_without_a_panic(
        which in 0..7_usize,
        from in 0.0..1.0_f64,
        length in 0..80_usize,
        filler in "[a-z0-9={}\\[\\]\", \n.-]{0,12}",
    ) {
        let sheet = SHEETS[which];
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss, reason = "a place in a text")]
        let start = (from * sheet.len() as f64) as usize;
        let end = (start + length).min(sheet.len());
        if sheet.is_char_boundary(start) && sheet.is_char_boundary(end) {
            let broken = format!("{}{filler}{}", &sheet[..start], &sheet[end..]);
            if let Err(error) = Rig::parse(&broken) {
                prop_assert!(!error.to_string().is_empty());
            }
        }
    }
}

const SHEETS: [&str; 7] = [
    include_str!("../../src/rigging/rig/two-to-one.toml"),
    include_str!("../../src/rigging/rig/three-to-one.toml"),
    include_str!("../../src/rigging/rig/three-to-one-redirect.toml"),
    include_str!("../../src/rigging/rig/four-to-one-pull-down.toml"),
    include_str!("../../src/rigging/rig/four-to-one-from-load.toml"),
    include_str!("../../src/rigging/rig/five-to-one.toml"),
    include_str!("../../src/rigging/rig/nine-to-one.toml"),
];
