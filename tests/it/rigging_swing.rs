//! What moves the least factor most: each input at its two values, against sums by hand.
//!
//! In a 4:1 pulled down with every sheave at e the pull of the hand is W / (e + e^2 + e^3 + e^4), and the head takes the
//! load and that pull (the tension method of tackles).

use ropeloft::rigging::{
    Band, Efficiency, Force, LoadingMode, Outfit, StrengthKind, Swing, assess, sensitivity,
    shipped_rig,
};

use crate::rigging_kit::{conditions, fitted};

const E: f64 = 0.92;

fn kilonewtons(number: f64) -> Force {
    Force::from_kilonewtons(number).unwrap()
}

/// Everything strong but the item at one position.
fn weak_at(key: &str, position: &str, force: f64) -> Outfit {
    let rig = shipped_rig(key).unwrap();
    let strong = |mode: LoadingMode| (mode, StrengthKind::Breaking, kilonewtons(500.0), "test");
    let mut outfit = fitted(rig, strong);
    let mut item = outfit.at(position).unwrap().clone();
    for rating in &mut item.strengths {
        rating.force = kilonewtons(force);
    }
    outfit.fit(position, item);
    outfit
}

fn swings(key: &str, outfit: &Outfit) -> Vec<Swing> {
    sensitivity(shipped_rig(key).unwrap(), outfit, &conditions()).unwrap()
}

fn of<'a>(swings: &'a [Swing], input: &str) -> &'a Swing {
    let mut all = swings.iter();
    all.find(|swing| swing.input == input)
        .unwrap_or_else(|| panic!("{input}: {swings:?}"))
}

fn factors(swing: &Swing) -> [f64; 2] {
    [&swing.one, &swing.other].map(|end| end.factor.unwrap().ratio())
}

fn near(found: [f64; 2], wanted: [f64; 2]) {
    for (found, wanted) in found.into_iter().zip(wanted) {
        assert!((found / wanted - 1.0).abs() < 1e-9, "{found} {wanted}");
    }
}

/// The force on the head of a 4:1 that hauls 120 kg, in kN.
fn on_head() -> f64 {
    let load = conditions().load.kilonewtons();
    let gain: f64 = (1..=4).map(|power| E.powi(power)).sum();
    load * (1.0 + 1.0 / gain)
}

#[test]
fn load_and_rating_move_the_factor_by_their_share() {
    let outfit = weak_at("four-to-one-pull-down", "head", 15.0);
    let all = swings("four-to-one-pull-down", &outfit);
    let base = 15.0 / on_head();
    near(factors(of(&all, "The load")), [base / 0.9, base / 1.1]);
    let rating = of(&all, "The rating of the item at head");
    near(factors(rating), [base * 0.9, base * 1.1]);
    assert!((rating.width() - 0.2 * base).abs() < 1e-9, "{rating:?}");
    assert_eq!(
        (rating.one.value.as_str(), rating.other.value.as_str()),
        ("90 % of it", "110 % of it")
    );
}

#[test]
fn what_moves_it_most_comes_first() {
    let all = swings(
        "four-to-one-pull-down",
        &weak_at("four-to-one-pull-down", "head", 15.0),
    );
    assert!(all.len() > 4, "{all:?}");
    assert!(all.is_sorted_by(|a, b| a.width() >= b.width()), "{all:?}");
}

#[test]
fn an_efficiency_is_moved_a_tenth_to_each_side_and_never_above_one() {
    let (key, position) = ("four-to-one-pull-down", "foot");
    let outfit = weak_at(key, "head", 15.0);
    let all = swings(key, &outfit);
    let found = of(&all, "Efficiency of the sheaves of the item at foot");
    let at = |share: f64| {
        let mut outfit = outfit.clone();
        let mut item = outfit.at(position).unwrap().clone();
        item.wheel.as_mut().unwrap().efficiency =
            Band::exactly(Efficiency::from_share(share).unwrap());
        outfit.fit(position, item);
        let judged = assess(shipped_rig(key).unwrap(), &outfit, &conditions()).unwrap();
        judged.weakest.unwrap().factor.ratio()
    };
    near(factors(found), [at(E * 0.9), at(1.0)]);
    assert_eq!(
        (found.one.value.as_str(), found.other.value.as_str()),
        ("0.828", "1.000")
    );
}

#[test]
fn the_legs_of_a_bridle_are_moved_five_degrees_nearer_and_further_off() {
    let key = "bridle-high-point";
    let all = swings(key, &weak_at(key, "left-leg", 5.0));
    let angle = all.iter().find(|swing| swing.input.contains("legs"));
    let angle = angle.unwrap_or_else(|| panic!("{all:?}"));
    // Each of two even legs carries F / (2 cos off).
    let at = |degrees: f64| 5.0 * 2.0 * degrees.to_radians().cos() / on_head();
    near(factors(angle), [at(25.0), at(35.0)]);
    assert_eq!(
        (angle.one.value.as_str(), angle.other.value.as_str()),
        ("-5 degrees each", "+5 degrees each")
    );
}
