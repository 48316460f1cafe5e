//! Each limit, on it and just beyond it, and the sentence that refuses.

use ropeloft::rigging::{
    Angle, Band, BridleAngle, Efficiency, FallFactor, Force, Friction, Length, LinearMass, Mass,
    MethodError, Remaining, SafetyFactor, between_from_deflection, capstan_hold_range,
    capstan_ratio, capstan_wrap, catenary, cord_floor, even_leg, fall_peak, knots, leg_of_many,
    legs_by_measure, line_tension, parabola_level_force, redirect_force, rope_modulus, uneven_legs,
};

fn degrees(number: f64) -> Angle {
    Angle::from_degrees(number).unwrap()
}

fn kilonewtons(number: f64) -> Force {
    Force::from_kilonewtons(number).unwrap()
}

fn metres(number: f64) -> Length {
    Length::from_metres(number).unwrap()
}

#[test]
fn every_quantity_takes_its_limits_and_nothing_beyond() {
    let after = f64::next_up;
    assert!(Force::from_newtons(0.0).is_ok() && Force::from_newtons(1e6).is_ok());
    assert!(Force::from_newtons(after(1e6)).is_err() && Force::from_newtons(-1e-300).is_err());
    assert!(Mass::from_kilograms(1e5).is_ok() && Mass::from_kilograms(after(1e5)).is_err());
    assert!(Length::from_metres(1e5).is_ok() && Length::from_metres(after(1e5)).is_err());
    assert!(Angle::from_degrees(36_000.0).is_ok() && Angle::from_degrees(after(36_000.0)).is_err());
    assert!(Efficiency::from_share(1.0).is_ok() && Efficiency::from_share(after(1.0)).is_err());
    assert!(Efficiency::from_share(f64::MIN_POSITIVE).is_ok());
    assert!(Efficiency::from_share(0.0).is_err());
    assert!(Remaining::from_share(1.0).is_ok() && Remaining::from_share(0.0).is_err());
    assert!(Friction::from_coefficient(0.0).is_ok() && Friction::from_coefficient(2.0).is_ok());
    assert!(Friction::from_coefficient(after(2.0)).is_err());
    assert!(FallFactor::from_ratio(2.0).is_ok() && FallFactor::from_ratio(after(2.0)).is_err());
    assert!(SafetyFactor::from_ratio(0.0).is_err());
    assert!(LinearMass::from_kilograms_per_metre(100.0).is_ok());
    assert!(LinearMass::from_kilograms_per_metre(0.0).is_err());
}

#[test]
fn what_is_no_number_is_no_quantity() {
    for number in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert!(Force::from_kilonewtons(number).is_err());
        assert!(Mass::from_pounds(number).is_err());
        assert!(Length::from_feet(number).is_err());
        assert!(Angle::from_turns(number).is_err());
        assert!(Efficiency::from_share(number).is_err());
        assert!(Friction::from_coefficient(number).is_err());
    }
}

#[test]
fn a_refusal_speaks_in_the_unit_that_was_given() {
    let say = |error: ropeloft::rigging::BoundsError| error.to_string();
    assert_eq!(
        say(Force::from_pounds_force(-3.0).unwrap_err()),
        "force must be between 0 and 224809 lbf, not -3"
    );
    assert_eq!(
        say(Efficiency::from_share(1.2).unwrap_err()),
        "efficiency must be above 0 and at most 1, not 1.2"
    );
    assert_eq!(
        say(Length::from_millimetres(f64::NAN).unwrap_err()),
        "length must be between 0 and 100000000 mm, not NaN"
    );
    let error = Mass::from_pounds(1e9).unwrap_err();
    assert_eq!(
        (error.quantity(), error.unit(), error.given()),
        ("mass", "lb", 1e9)
    );
}

#[test]
fn quantities_and_bands_are_checked_when_they_are_read() {
    assert_eq!(serde_json::to_string(&kilonewtons(2.0)).unwrap(), "2000.0");
    assert_eq!(
        serde_json::from_str::<Force>("2000").unwrap(),
        kilonewtons(2.0)
    );
    let refused = serde_json::from_str::<Force>("-1").unwrap_err().to_string();
    assert!(
        refused.starts_with("force must be between 0 and 1000000 N, not -1"),
        "{refused}"
    );
    let band = r#"{"low":0.85,"likely":0.9,"high":0.95}"#;
    let band: Band<Efficiency> = serde_json::from_str(band).unwrap();
    assert_eq!(band.high(), Efficiency::from_share(0.95).unwrap());
    let turned = r#"{"low":0.95,"likely":0.9,"high":0.85}"#;
    assert!(serde_json::from_str::<Band<Efficiency>>(turned).is_err());
    let share = |number| Efficiency::from_share(number).unwrap();
    assert!(Band::new(share(0.9), share(0.85), share(0.95)).is_err());
    assert!(Band::new(share(0.85), share(0.95), share(0.9)).is_err());
    assert!(!band.is_exact() && Band::exactly(share(0.9)).is_exact());
}

#[test]
fn a_factor_is_never_shown_rounded_up() {
    let shown = |ratio| SafetyFactor::from_ratio(ratio).unwrap().to_string();
    assert_eq!(shown(9.999), "9.99");
    assert_eq!(shown(10.0), "10.00");
    assert_eq!(shown(30.0 / 3.0), "10.00");
    assert_eq!(shown(11.25), "11.25");
}

#[test]
fn the_legs_of_a_bridle_open_to_170_degrees() {
    let load = kilonewtons(1.0);
    assert!(even_leg(load, degrees(170.0)).is_ok());
    let refused = even_leg(load, degrees(170.0_f64.next_up())).unwrap_err();
    assert!(matches!(refused, MethodError::Angle { .. }));
    assert!(uneven_legs(load, degrees(100.0), degrees(70.0)).is_ok());
    assert!(uneven_legs(load, degrees(100.0), degrees(70.1)).is_err());
    let in_line = uneven_legs(load, degrees(0.0), degrees(0.0));
    assert!(matches!(in_line, Err(MethodError::Beyond(_))));
    assert_eq!(
        leg_of_many(load, degrees(90.0)),
        even_leg(load, degrees(90.0))
    );
    assert!(legs_by_measure(load, (metres(1.0), metres(1.0)), metres(0.0)).is_err());
}

#[test]
fn a_wide_bridle_is_warned_of_above_90_and_above_120_degrees() {
    assert_eq!(BridleAngle::of(degrees(90.0)).warning(), None);
    assert_eq!(BridleAngle::of(degrees(90.1)), BridleAngle::Wide);
    assert_eq!(BridleAngle::of(degrees(120.0)), BridleAngle::Wide);
    let worst = BridleAngle::of(degrees(120.1));
    assert!(worst.warning().unwrap().contains("more than the load"));
}

#[test]
fn strands_part_by_180_degrees_at_most() {
    let tension = kilonewtons(1.0);
    assert!(redirect_force(tension, degrees(180.0)).unwrap().newtons() < 1e-9);
    let refused = redirect_force(tension, degrees(180.1)).unwrap_err();
    assert_eq!(
        refused.to_string(),
        "the angle between two strands must be 0 to 180 degrees, not 180.1 degrees"
    );
    assert_eq!(
        between_from_deflection(degrees(180.0)).unwrap(),
        Angle::NONE
    );
    assert!(between_from_deflection(degrees(180.1)).is_err());
}

#[test]
fn a_line_sags_by_a_two_hundredth_to_a_half_of_its_span() {
    let load = kilonewtons(2.0);
    let rope = LinearMass::from_kilograms_per_metre(0.08).unwrap();
    for (sag, answers) in [(0.499, false), (0.5, true), (50.0, true), (50.1, false)] {
        assert_eq!(
            line_tension(load, metres(100.0), metres(sag)).is_ok(),
            answers,
            "{sag}"
        );
        assert_eq!(
            catenary(rope, metres(100.0), metres(sag)).is_ok(),
            answers,
            "{sag}"
        );
    }
    assert!(line_tension(load, metres(0.0), metres(0.0)).is_err());
    // Twice the sag is half the level force: H = w L² / (8 s).
    let level = |sag| {
        parabola_level_force(rope, metres(100.0), metres(sag))
            .unwrap()
            .newtons()
    };
    assert!((level(2.0) - 2.0 * level(4.0)).abs() < 1e-9);
}

#[test]
fn a_post_answers_only_where_rope_holds_by_it() {
    let load = kilonewtons(2.0);
    let rough = Friction::from_coefficient(0.2).unwrap();
    let smooth = Friction::from_coefficient(0.0).unwrap();
    assert!(capstan_wrap(load, load, rough).is_ok());
    assert!(capstan_wrap(load, kilonewtons(2.1), rough).is_err());
    for (hold, friction) in [(0.0, rough), (1.0, smooth)] {
        let refused = capstan_wrap(load, kilonewtons(hold), friction);
        assert!(
            matches!(refused, Err(MethodError::Beyond(_))),
            "{refused:?}"
        );
    }
    let most = Friction::from_coefficient(2.0).unwrap();
    assert!(capstan_ratio(most, Angle::from_turns(100.0).unwrap()).is_err());
    let band = Band::new(smooth, rough, most).unwrap();
    let hold = capstan_hold_range(load, band, Angle::from_turns(1.0).unwrap()).unwrap();
    assert_eq!(hold.high(), load, "the worst is at the lowest friction");
}

#[test]
fn a_fall_needs_a_mass_a_rope_and_a_test_that_was_one() {
    let mass = Mass::from_kilograms(80.0).unwrap();
    let nothing = Mass::from_kilograms(0.0).unwrap();
    let factor = FallFactor::from_ratio(1.0).unwrap();
    let none = FallFactor::from_ratio(0.0).unwrap();
    assert!(fall_peak(nothing, kilonewtons(20.0), factor).is_err());
    assert!(fall_peak(mass, kilonewtons(0.0), factor).is_err());
    for (mass, factor) in [(mass, none), (nothing, factor)] {
        let refused = rope_modulus(mass, kilonewtons(9.0), factor);
        assert!(
            matches!(refused, Err(MethodError::Beyond(_))),
            "{refused:?}"
        );
    }
    let twice = Force::from_newtons(2.0 * mass.weight().newtons()).unwrap();
    assert!(rope_modulus(mass, twice, factor).is_err());
    let above = Force::from_newtons(twice.newtons() * 1.000_001).unwrap();
    assert!(rope_modulus(mass, above, factor).is_ok());
}

#[test]
fn the_table_of_cord_ends_where_the_standard_does() {
    let floor = |millimetres: f64| cord_floor(Length::from_millimetres(millimetres).unwrap());
    assert!(floor(4.0).is_ok() && floor(8.0).is_ok());
    assert!(floor(3.99).is_err() && floor(8.01).is_err());
}

#[test]
fn every_knot_has_a_range_and_a_source() {
    assert!(knots().len() >= 7);
    for knot in knots() {
        assert!(knot.low <= knot.high, "{}", knot.key);
        assert!(!knot.source.is_empty() && !knot.title.is_empty());
    }
}

#[test]
fn a_limit_is_told_in_the_unit_that_was_typed() {
    // The same lengths in feet: 0.3048 m each, exactly.
    let (metres, feet) = (
        Length::from_metres(1e12).unwrap_err().to_string(),
        Length::from_feet(1e12).unwrap_err().to_string(),
    );
    let last = |words: &str| {
        let mut numbers = words.split(|c: char| !c.is_ascii_digit() && c != '.');
        let numbers: Vec<f64> = numbers
            .by_ref()
            .filter_map(|word| word.parse().ok())
            .collect();
        numbers
            .into_iter()
            .filter(|number| *number < 1e12)
            .fold(0.0, f64::max)
    };
    let ratio = last(&metres) / last(&feet);
    assert!((ratio - 0.3048).abs() < 1e-3, "{metres} / {feet}");
}
