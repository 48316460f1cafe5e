//! How every number of a verdict comes about, with worked examples that are computed and not typed.

mod figure;

use askama::Template;

pub use self::figure::Figures;
use crate::{
    rigging::{
        Angle, Band, CAUTIONS, Efficiency, Fitted, Force, Forces, Friction, Length, Outfit, Phase,
        Turning, Way, Wheel, capstan_hold, even_leg, rope_need, shipped_rig, solve,
    },
    view::{Shell, part::Cautions},
};

/// The sections of the page: anchor and title.
const SECTIONS: [(&str, &str); 8] = [
    ("sheave", "A rope over one sheave"),
    ("system", "A whole rig"),
    ("rest", "At rest, held, and ranges"),
    ("legs", "Bridles, lines and tripods"),
    ("rubbing", "Rope that rubs on what stands still"),
    ("mishap", "A stuck load, and a catch"),
    (
        "strength",
        "How strong a part is, and how much stronger than needed",
    ),
    ("crew", "Rope, people, strokes, speed"),
];

/// The rig of the examples.
const FOUR_TO_ONE: &str = "four-to-one-pull-down";

/// The derivation of every formula.
#[derive(Template)]
#[template(path = "rig/formula.html")]
pub struct Formulas {
    /// The frame.
    pub shell: Shell,
    /// Anchor and title of each section.
    pub sections: [(&'static str, &'static str); 8],
    /// The examples.
    pub worked: Worked,
    /// The same kind of examples, drawn.
    pub figures: Option<Figures>,
    /// What the numbers do not tell.
    pub cautions: Cautions,
}

/// Examples in sentences.
#[derive(Clone, Debug, Default)]
pub struct Worked {
    four_to_one: String,
    half: String,
    bridle: String,
    capstan: String,
    rope: String,
}

impl Formulas {
    /// The page.
    pub fn new(shell: Shell) -> Self {
        Self {
            shell,
            sections: SECTIONS,
            worked: Worked::new().unwrap_or_default(),
            figures: Figures::new(),
            cautions: Cautions {
                lines: CAUTIONS.iter().map(|line| (*line).to_owned()).collect(),
            },
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        vec![Self::new(Shell::sample(crate::view::PROBE))]
    }
}

impl Worked {
    /// The examples; `None` if one of them had no answer.
    fn new() -> Option<Self> {
        Some(Self {
            four_to_one: four_to_one()?,
            half: gain(0.5)?,
            bridle: bridle()?,
            capstan: capstan()?,
            rope: rope()?,
        })
    }
}

/// The forces of a shipped rig under 2 kN, with one efficiency.
fn forces(rig: &str, efficiency: f64, phase: Phase) -> Option<Forces> {
    let rig = shipped_rig(rig)?;
    let mut outfit = Outfit::default();
    for position in rig.positions().iter().filter(|place| place.sheaves() > 0) {
        let wheel = Wheel {
            efficiency: Band::exactly(Efficiency::from_share(efficiency).ok()?),
            source: String::new(),
            turning: Turning::Free,
        };
        outfit.fit(position.key(), Fitted::new("").with_wheel(wheel));
    }
    solve(rig, &outfit, Force::from_kilonewtons(2.0).ok()?, phase).ok()
}

fn gain(efficiency: f64) -> Option<String> {
    let hauling = forces(FOUR_TO_ONE, efficiency, Phase::Hauling)?;
    Some(format!("{:.4}", hauling.advantage?.likely().ratio()))
}

fn kilonewtons(force: Force, places: usize) -> String {
    format!("{:.places$}", force.kilonewtons())
}

/// An angle of an example.
fn example_angle(degrees: f64) -> Option<Angle> {
    Angle::from_degrees(degrees).ok()
}

fn four_to_one() -> Option<String> {
    let hauling = forces(FOUR_TO_ONE, 0.92, Phase::Hauling)?;
    let lowering = forces(FOUR_TO_ONE, 0.92, Phase::Lowering)?;
    let pulls: Vec<String> = hauling
        .parts
        .iter()
        .map(|part| kilonewtons(part.tension.likely(), 4))
        .collect();
    Some(format!(
        "A 4:1 that is pulled down, 2 kN, e = 0.92. Hauling, the parts from the hand on pull with {} kN, so it gains {:.4}, and the anchor takes {} kN. Lowering, the hand holds {} kN.",
        pulls.join(", "),
        hauling.advantage?.likely().ratio(),
        kilonewtons(hauling.on_body("anchor")?.likely(), 4),
        kilonewtons(lowering.hand?.likely(), 4)
    ))
}

fn bridle() -> Option<String> {
    let load = Force::from_kilonewtons(2.0).ok()?;
    let leg = |included: f64| even_leg(load, example_angle(included)?).ok();
    Some(format!(
        "Under 2 kN that is {} kN a leg with 60° between them, {} kN with 90° and {} kN with 120°.",
        kilonewtons(leg(60.0)?, 4),
        kilonewtons(leg(90.0)?, 4),
        kilonewtons(leg(120.0)?, 4)
    ))
}

fn capstan() -> Option<String> {
    let hold = |turns: f64| {
        let friction = Friction::from_coefficient(0.25).ok()?;
        let load = Force::from_kilonewtons(2.0).ok()?;
        capstan_hold(load, friction, Angle::from_turns(turns).ok()?).ok()
    };
    Some(format!(
        "With μ = 0.25, 2 kN are held by {:.0} N after one turn, {:.0} N after two and {:.0} N after three.",
        hold(1.0)?.newtons(),
        hold(2.0)?.newtons(),
        hold(3.0)?.newtons()
    ))
}

fn rope() -> Option<String> {
    let metres = |number: f64| Length::from_metres(number).ok();
    let way = Way {
        depth: metres(15.0)?,
        head_gap: metres(2.1)?,
        block_length: metres(0.6)?,
        tail: metres(3.0)?,
        knots: metres(1.0)?,
        throw: None,
        between_anchors: None,
        hand_speed: None,
    };
    let need = rope_need(shipped_rig(FOUR_TO_ONE)?, &way).ok()?;
    Some(format!(
        "A 4:1 down to 15 m, with 2.1 m up to the anchor, 0.6 m for the blocks, a tail of 3 m and 1 m in knots, needs {:.1} m; {:.0} m of it go through the hands.",
        need.ropes.first()?.length.metres(),
        need.hauled.metres()
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_examples_have_the_printed_numbers() {
        // Computed apart with numpy for e = 0.92 and W = 2 kN; the rope by a scenario worked out apart.
        let worked = Worked::new().expect("every example has an answer");
        assert!(
            worked
                .four_to_one
                .contains("0.6132, 0.5642, 0.5190, 0.4775, 0.4393")
        );
        assert!(
            worked.four_to_one.contains("gains 3.2615") && worked.four_to_one.contains("0.4042")
        );
        assert_eq!(worked.half, "0.9375");
        assert!(worked.bridle.contains("1.1547 kN a leg") && worked.bridle.contains("1.4142"));
        assert!(worked.capstan.contains("416 N") && worked.capstan.contains("86 N"));
        assert!(worked.rope.contains("70.0 m"));
    }
}
