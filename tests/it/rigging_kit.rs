//! Whole outfits, conditions and tackles for the tests of the rigging room.

use std::collections::BTreeMap;

use ropeloft::rigging::{
    Band, Conditions, Efficiency, Exceptional, Fitted, Force, Friction, Length, LoadingMode, Mass,
    Outfit, Post, Requirement, Rig, SafetyFactor, StrengthKind, Turning, Way, Wetness, Wheel,
};

/// Every position of a rig filled, optional ones left out, each rated in every mode it needs.
pub fn fitted(
    rig: &Rig,
    rating: impl Fn(LoadingMode) -> (LoadingMode, StrengthKind, Force, &'static str),
) -> Outfit {
    let mut outfit = Outfit::default();
    for position in rig
        .positions()
        .iter()
        .filter(|position| !position.is_optional())
    {
        let mut item = Fitted::new(format!("the item at {}", position.key()));
        for mode in rig.modes(position.key()) {
            // A rope without made ends has its plain strength, and the knot is counted.
            if mode != LoadingMode::Terminated {
                let (mode, kind, force, source) = rating(mode);
                item = item.rated(mode, kind, force, source);
            }
        }
        if position.sheaves() > 0 {
            let one_way = Turning::OneWay {
                friction: Band::exactly(Friction::from_coefficient(0.0265).unwrap()),
                source: "as a turning sheave, for the comparison".to_owned(),
            };
            item = item.with_wheel(Wheel {
                efficiency: Band::exactly(Efficiency::from_share(0.92).unwrap()),
                source: "common practice, no source".to_owned(),
                turning: if position.needs_capture() {
                    one_way
                } else {
                    Turning::Free
                },
            });
        }
        if rig.rubs(position.key()) {
            item.post = Some(round_bar());
        }
        outfit.fit(position.key(), item);
    }
    outfit
}

/// Rope on a bar, 0.2 to 0.3.
pub fn round_bar() -> Post {
    let mu = |number| Friction::from_coefficient(number).unwrap();
    Post {
        friction: Band::new(mu(0.2), mu(0.25), mu(0.3)).unwrap(),
        source: "worked examples in print".to_owned(),
    }
}

/// 120 kg, 15 m, ten to one, 0.25 kN each.
pub fn conditions() -> Conditions {
    let metres = |number| Length::from_metres(number).unwrap();
    Conditions {
        load: Mass::from_kilograms(120.0).unwrap().weight(),
        wetness: Wetness::Dry,
        required: factor_of(10.0),
        required_at: BTreeMap::new(),
        pull_each: Force::from_kilonewtons(0.25).unwrap(),
        way: Way {
            depth: metres(15.0),
            head_gap: metres(2.1),
            block_length: metres(0.6),
            tail: metres(3.0),
            knots: metres(1.0),
            throw: Some(metres(3.0)),
            between_anchors: None,
            hand_speed: None,
        },
        line_accepted: false,
        exceptional: Exceptional::default(),
    }
}

/// A factor that must be reached.
pub fn factor_of(ratio: f64) -> Requirement {
    Requirement {
        factor: SafetyFactor::from_ratio(ratio).unwrap(),
        source: "the team's rule".to_owned(),
    }
}

/// Every pulley of a rig with one efficiency.
pub fn turning(rig: &Rig, efficiency: Efficiency) -> Outfit {
    let mut outfit = Outfit::default();
    for position in rig
        .positions()
        .iter()
        .filter(|position| position.sheaves() > 0)
    {
        let wheel = Wheel {
            efficiency: Band::exactly(efficiency),
            source: "the test".to_owned(),
            turning: Turning::Free,
        };
        outfit.fit(position.key(), Fitted::new("pulley").with_wheel(wheel));
    }
    outfit
}

/// Asserts that a number is the printed one.
pub fn near(computed: f64, printed: f64, tolerance: f64) {
    assert!(
        (computed - printed).abs() <= tolerance,
        "{computed}, printed {printed}"
    );
}

/// The sheet of a simple tackle with this many strands at the load. Pulled down, the hand strand goes
/// over one more sheave at the anchor. The dead end is where the number of strands asks for it.
pub fn tackle(strands: u8, pulled_down: bool) -> String {
    let mut path = vec!["{ meets = \"hand\" }".to_owned()];
    let (mut head, mut foot) = (0, 0);
    let mut at_head = pulled_down;
    for _ in 0..strands - 1 + u8::from(pulled_down) {
        let (place, number) = if at_head {
            ("head", &mut head)
        } else {
            ("foot", &mut foot)
        };
        *number += 1;
        path.push(format!(
            "{{ meets = \"sheave\", position = \"{place}\", sheave = {number} }}"
        ));
        at_head = !at_head;
    }
    let end = if at_head { "anchor" } else { "load" };
    path.push(format!(
        "{{ meets = \"end\", body = \"{end}\", knot = \"bowline\" }}"
    ));
    let used = [("head", "anchor", head), ("foot", "load", foot)];
    let positions: Vec<String> = used
        .iter()
        .filter(|(_, _, sheaves)| *sheaves > 0)
        .map(|(key, body, _)| {
            format!(
                "[[position]]\nkey = \"{key}\"\ntitle = \"{key}\"\naccepts = [\"pulley\"]\nloaded = \"axle\"\nbody = \"{body}\"\n"
            )
        })
        .collect();
    let positions = positions.concat();
    format!(
        r#"
key = "tackle"
title = "A tackle"
when = "In a test."
limits = []
body = [
    {{ key = "anchor", title = "the anchor", kind = "anchor" }},
    {{ key = "load", title = "the load", kind = "load" }},
]
{positions}
[[position]]
key = "rope"
title = "Rope"
accepts = ["rope"]
loaded = "straight"
[[rope]]
position = "rope"
path = [{}]
"#,
        path.join(", ")
    )
}
