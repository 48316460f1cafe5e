//! How much rope, how many people, how many strokes.

use serde::Serialize;

use super::gap::Gap;
use super::reeving::body_of;
use super::solve::travel;
use super::{BodyKind, BoundsError, Element, Force, Length, Rig, RigError, Speed, Way};

/// Below this share of one, a person or stroke more is rounding and not need.
const ROUNDING: f64 = 1e-9;

/// The rope that a way needs.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RopeNeed {
    /// Each rope with the length that it must have.
    pub ropes: Vec<RopeLength>,
    /// Rope that passes through the hands to raise the load over the whole depth.
    pub hauled: Length,
    /// For a rig with a travelling pulley: strokes over the whole depth.
    pub strokes: Option<u32>,
    /// How often the travelling pulley is set back: once between two strokes.
    pub resets: Option<u32>,
    /// How fast the load moves, at the speed of the hands that the team counts with.
    pub load_speed: Option<Speed>,
    /// How long rope runs through the hands over the whole depth, in seconds; resets come on top.
    pub seconds: Option<f64>,
}

/// The length that one rope must have.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RopeLength {
    /// Key of the rope's position.
    pub rope: String,
    /// The length, tail and knots among it.
    pub length: Length,
}

/// How many people it takes to pull with a force, at a pull each: the quotient, rounded up.
///
/// Nobody is needed for no force, and a pull of nothing needs the most people that can be counted.
pub fn people(hand: Force, pull_each: Force) -> u32 {
    rounded_up(hand.newtons() / pull_each.newtons())
}

/// The rope, strokes and resets for a way, and the time it takes at a speed of the hands.
///
/// Each run of rope between two things that turn or end it is as long as what it joins stands apart
/// with the load at the bottom: anchor and load by the depth and the head gap, for a rope that passes a pulley at the load
/// less what the blocks take; a travelling pulley and an anchor by its throw. A body that is hauled by another system
/// travels further, by the gain between them; two that travel against each other need room for both. To the rope at the hand the tail is added, to each rope
/// its knots. Rope that lies round sheaves is not counted.
///
/// Source: geometry; agrees with n strands times depth for a tackle that spans the whole way.
///
/// # Errors
///
/// Every length that this rig needs and that is not given or makes no sense.
pub fn rope_need(rig: &Rig, way: &Way) -> Result<RopeNeed, Vec<Gap>> {
    let spans = Spans::new(rig, way)?;
    let mut ropes = Vec::new();
    for (index, rope) in rig.ropes.iter().enumerate() {
        let blocks = passes_block_at_load(rig, index);
        let mut metres = way.knots.metres();
        if matches!(rope.path[0], Element::Hand) {
            metres += way.tail.metres();
        }
        metres += runs(rig, index)
            .map(|(near, far)| spans.run(rig, (near, far), blocks))
            .sum::<f64>();
        ropes.push(RopeLength {
            rope: rig.positions[rope.position].key.clone(),
            length: Length::from_metres(metres).map_err(too_long)?,
        });
    }
    let gain = rig.ideal_advantage().map_err(|error| vec![error.into()])?;
    let strokes = spans
        .throw
        .map(|throw| rounded_up(way.depth.metres() / throw).max(1));
    let load_speed = way
        .hand_speed
        .map(|hand| Speed::from_metres_per_second(hand.metres_per_second() / gain.ratio()))
        .transpose()
        .map_err(|error| vec![error.into()])?;
    Ok(RopeNeed {
        ropes,
        hauled: Length::from_metres(gain.ratio() * way.depth.metres()).map_err(too_long)?,
        strokes,
        resets: strokes.map(|strokes| strokes - 1),
        load_speed,
        seconds: load_speed.map(|speed| way.depth.metres() / speed.metres_per_second()),
    })
}

/// A length of the way that only some rigs ask for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SpanAsked<'a> {
    /// How far a travelling pulley goes before it is set back.
    Throw {
        /// Title of what travels.
        body: &'a str,
    },
    /// How far two anchors stand apart that one rope visits in a row, straight along the rope.
    Anchors {
        /// Title of the one.
        near: &'a str,
        /// Title of the other.
        far: &'a str,
    },
}

/// The lengths beside depth and head gap that the ropes of this rig cannot be measured without, each once.
pub fn spans_asked(rig: &Rig) -> Vec<SpanAsked<'_>> {
    let title = |body: usize| rig.bodies[body].title.as_str();
    let mut asked: Vec<_> = (0..rig.bodies.len())
        .filter(|&body| rig.bodies[body].kind == BodyKind::Travelling)
        .map(|body| SpanAsked::Throw { body: title(body) })
        .take(1)
        .collect();
    let apart = (0..rig.ropes.len())
        .flat_map(|rope| runs(rig, rope))
        .filter(|&(near, far)| is_between_anchors(rig, near, far))
        .find_map(|(near, far)| Some((near?, far?)));
    asked.extend(apart.map(|(near, far)| SpanAsked::Anchors {
        near: title(near),
        far: title(far),
    }));
    asked
}

/// The lengths that runs of rope are made of, in metres.
struct Spans {
    /// Between anchor and load at the bottom.
    full: f64,
    /// The same between the blocks of a tackle.
    between_blocks: f64,
    /// Between two anchors.
    anchors: f64,
    /// The stroke of the pulley that travels on the main line.
    throw: Option<f64>,
    /// How far each body travels in one stroke, over the throw; upwards positive.
    travel: Vec<f64>,
}

impl Spans {
    fn new(rig: &Rig, way: &Way) -> Result<Self, Vec<Gap>> {
        let mut missing = Vec::new();
        let given = |length: Option<Length>| length.map(Length::metres).filter(|&m| m > 0.0);
        let (throw, anchors) = (given(way.throw), given(way.between_anchors));
        let asked = spans_asked(rig);
        let travels = asked
            .iter()
            .any(|span| matches!(span, SpanAsked::Throw { .. }));
        if travels && throw.is_none() {
            missing.push(Gap::NotGiven {
                field: "throw",
                what: "The throw of the travelling pulley",
            });
        }
        let two_anchors = asked
            .iter()
            .any(|span| matches!(span, SpanAsked::Anchors { .. }));
        if two_anchors && anchors.is_none() {
            missing.push(Gap::NotGiven {
                field: "between_anchors",
                what: "The distance between the anchors",
            });
        }
        let full = way.depth.metres() + way.head_gap.metres();
        let between_blocks = full - way.block_length.metres();
        if between_blocks <= 0.0 {
            missing.push(Gap::NotGiven {
                field: "depth",
                what: "A depth and head gap that are longer than the blocks",
            });
        }
        if !missing.is_empty() {
            return Err(missing);
        }
        Ok(Self {
            full,
            between_blocks,
            anchors: anchors.unwrap_or(0.0),
            throw: throw.filter(|_| travels),
            travel: travel(rig).map_err(|error| vec![error.into()])?,
        })
    }

    /// The length of one run of a rope that passes a block at the load or does not.
    fn run(&self, rig: &Rig, (near, far): (Option<usize>, Option<usize>), blocks: bool) -> f64 {
        let kind = |body: Option<usize>| body.map(|body| rig.bodies[body].kind);
        let throw = |body: Option<usize>| {
            body.filter(|&body| rig.bodies[body].kind == BodyKind::Travelling)
                .map_or(0.0, |body| self.travel[body] * self.throw.unwrap_or(0.0))
        };
        let (one, other) = (throw(near), throw(far));
        if near == far {
            return 0.0;
        }
        if is_between_anchors(rig, near, far) {
            return self.anchors;
        }
        match (kind(near), kind(far)) {
            (Some(BodyKind::Travelling), _) | (_, Some(BodyKind::Travelling)) => {
                if one * other < 0.0 {
                    one.abs() + other.abs()
                } else {
                    one.abs().max(other.abs())
                }
            }
            (Some(BodyKind::Load), _) | (_, Some(BodyKind::Load)) if blocks => self.between_blocks,
            (Some(BodyKind::Load), _) | (_, Some(BodyKind::Load)) => self.full,
            // From an anchor to the hand: that is the tail.
            _ => 0.0,
        }
    }
}

/// The runs of a rope between things that turn or end it, as the bodies at their two ends; `None` is
/// the hand. A grab on the way only holds the rope and ends no run.
fn runs(rig: &Rig, rope: usize) -> impl Iterator<Item = (Option<usize>, Option<usize>)> {
    let path = &rig.ropes[rope].path;
    let ends: Vec<_> = path
        .iter()
        .enumerate()
        .filter(|(index, element)| *index == 0 || !matches!(element, Element::Grab { .. }))
        .map(|(_, element)| body_of(rig, element))
        .collect();
    let pairs: Vec<_> = ends.windows(2).map(|pair| (pair[0], pair[1])).collect();
    pairs.into_iter()
}

/// Whether a rope goes round a pulley at the load. One that only ends there runs down to the load itself.
fn passes_block_at_load(rig: &Rig, rope: usize) -> bool {
    let mut path = rig.ropes[rope].path.iter();
    path.any(|element| {
        let body = body_of(rig, element);
        matches!(element, Element::Sheave { .. })
            && body.is_some_and(|body| rig.bodies[body].kind == BodyKind::Load)
    })
}

fn is_between_anchors(rig: &Rig, near: Option<usize>, far: Option<usize>) -> bool {
    let anchor =
        |body: Option<usize>| body.is_some_and(|body| rig.bodies[body].kind == BodyKind::Anchor);
    near != far && anchor(near) && anchor(far)
}

/// Rounds up to a whole number; not a number and infinity become the largest.
fn rounded_up(number: f64) -> u32 {
    let whole = (number * (1.0 - ROUNDING)).ceil();
    if whole < f64::from(u32::MAX) {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a whole number from nothing to below the largest"
        )]
        return whole as u32;
    }
    u32::MAX
}

fn too_long(error: BoundsError) -> Vec<Gap> {
    vec![Gap::Rig {
        error: RigError::Bounds {
            place: "the rope that the way needs".to_owned(),
            error,
        },
    }]
}
