//! How far aside a rope leaves the head of a tripod, on its way to an anchor that stands elsewhere.

use super::reeving::body_of;
use super::{Angle, BodyKind, Carried, Duty, Element, Length, Position, Rig, Way};

/// Two lengths this near are the same.
const SAME: f64 = 1e-9;

/// A rope that runs from the head of a tripod to another anchor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Aside<'a> {
    /// Where the tripod goes.
    pub tripod: &'a Position,
    /// Title of what the tripod carries.
    pub head: &'a str,
    /// Title of the other anchor.
    pub anchor: &'a str,
    /// What the rope is there for.
    pub duty: Duty,
    /// How far off the upright the rig counts with the rope, 0 to 90 degrees.
    pub counted: Angle,
}

/// How far an angle may lie beyond the one that the rig counts with, in degrees: less nobody measures.
const HAIR: f64 = 0.5;

impl Aside<'_> {
    /// Whether the rope leaves no further aside than the rig counts with, where the anchor stands as low as the ground
    /// under the head: `height` under the head, `straight` along the rope. False where the rope does not reach the ground.
    pub fn is_kept(&self, height: Length, straight: Length) -> bool {
        off_upright(height, straight)
            .is_some_and(|off| off.degrees() <= self.counted.degrees() + HAIR)
    }
}

impl Rig {
    /// For each tripod the first rope that runs from its head to another anchor, such as a belay.
    pub fn asides(&self) -> Vec<Aside<'_>> {
        let tripods = self.tripods.iter();
        tripods
            .filter_map(|tripod| self.aside(tripod.position))
            .collect()
    }

    /// Whether a belay leaves its head further aside than the rig counts with, by what is given of the way: the head as
    /// high as what hangs from it, the anchor straight from it on the same ground.
    pub fn belay_leaves_aside(&self, way: &Way) -> bool {
        let straight = way.between_anchors.filter(|apart| apart.metres() > 0.0);
        let belays = self.asides().into_iter();
        let mut belays = belays.filter(|aside| aside.duty == Duty::Belay);
        straight.is_some_and(|straight| belays.any(|one| !one.is_kept(way.head_gap, straight)))
    }

    fn aside(&self, tripod: usize) -> Option<Aside<'_>> {
        let mut chains = self.chains.iter();
        let head = chains.find_map(|chain| match chain.carries {
            Carried::Body(body) if chain.positions.contains(&tripod) => Some(body),
            _ => None,
        })?;
        let (rope, part, anchor) = self.runs_from(head)?;
        // From straight up or straight down, to either side.
        let line = self.line_of(rope, part)?.degrees().rem_euclid(180.0);
        Some(Aside {
            tripod: &self.positions[tripod],
            head: &self.bodies[head].title,
            anchor: &self.bodies[anchor].title,
            duty: self.ropes[rope].duty,
            counted: Angle::from_degrees(line.min(180.0 - line)).ok()?,
        })
    }

    /// The first part of a rope between a body and another anchor: the rope, the part, and that anchor.
    fn runs_from(&self, head: usize) -> Option<(usize, usize, usize)> {
        let is_other = |body: usize| body != head && self.bodies[body].kind == BodyKind::Anchor;
        let of_rope = |path: &[Element]| {
            let mut pairs = path.windows(2).enumerate();
            pairs.find_map(|(part, pair)| {
                let ends = (body_of(self, &pair[0])?, body_of(self, &pair[1])?);
                match ends {
                    (one, other) if other == head && is_other(one) => Some((part, one)),
                    (one, other) if one == head && is_other(other) => Some((part, other)),
                    _ => None,
                }
            })
        };
        let mut ropes = self.ropes.iter().enumerate();
        ropes.find_map(|(rope, of)| of_rope(&of.path).map(|(part, anchor)| (rope, part, anchor)))
    }
}

/// How far off the upright a rope runs from a head to an anchor as low as the ground under it: `acos(height / straight)`,
/// with the height of the head and the straight way along the rope. `None` where the rope is shorter than the height, so
/// that it does not reach the ground.
///
/// Source: geometry of a right triangle.
///
/// ```
/// use ropeloft::rigging::{Length, off_upright};
///
/// let [height, straight] = [2.0, 4.0].map(|metres| Length::from_metres(metres).unwrap());
/// assert!((off_upright(height, straight).unwrap().degrees() - 60.0).abs() < 1e-9);
/// assert!(off_upright(straight, height).is_none());
/// ```
pub fn off_upright(height: Length, straight: Length) -> Option<Angle> {
    let share = height.metres() / straight.metres();
    if !(0.0..=1.0 + SAME).contains(&share) {
        return None;
    }
    Angle::from_radians(share.min(1.0).acos()).ok()
}
