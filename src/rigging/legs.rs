//! What stands or hangs on legs: bridles, lines across a span, tripods.
//!
//! A bridle's two legs share by their angles to the line of the load (the sine rule). Nothing makes
//! three or more share, so any two that stand opposite must carry all. A line across a span is two such
//! legs at the angles that its sag gives; it is refused unless the job asks for it, since a hand's
//! breadth of sag decides. A tripod's legs are pushed, and share by the direction of the force on its
//! head.

use serde::Serialize;

use super::Carried;
use super::{Angle, Length};

/// The widest angle between two legs that is answered. At 170 degrees a leg carries almost six times
/// the load, and a degree more or less changes it by a tenth.
pub(super) const WIDEST: f64 = 170.0;
/// The least that a tripod's leg may stand off the upright, in degrees, and the most.
pub(super) const TRIPOD_LEG: std::ops::RangeInclusive<f64> = 5.0..=45.0;

/// Legs that carry a body or the item at a position.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Bridle {
    pub(super) carries: Carried,
    pub(super) legs: Vec<Leg>,
    pub(super) span: Option<Span>,
}

/// One leg of a bridle.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Leg {
    pub(super) off: Angle,
    pub(super) positions: Vec<usize>,
}

/// The measures of a line across a span.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Span {
    pub(super) across: Length,
    pub(super) sag: Length,
    pub(super) from_first: Length,
}

/// Three legs under the item at a position.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Tripod {
    pub(super) position: usize,
    pub(super) off: Angle,
}

impl Bridle {
    /// What it carries.
    pub fn carries(&self) -> Carried {
        self.carries
    }

    /// Its legs; of two, the first stands to the left.
    pub fn legs(&self) -> &[Leg] {
        &self.legs
    }

    /// The measures, if it is a line across a span.
    pub fn span(&self) -> Option<Span> {
        self.span
    }

    /// The widest angle between two of its legs, in degrees.
    pub fn included_degrees(&self) -> f64 {
        let mut offs: Vec<f64> = self.legs.iter().map(|leg| leg.off.degrees()).collect();
        offs.sort_by(f64::total_cmp);
        offs.iter().rev().take(2).sum()
    }

    /// What the pull of each leg is, over a pull in the line of the load, for three legs and more: the
    /// most that it takes with any other leg opposite.
    pub(super) fn share_of(&self, leg: usize) -> f64 {
        let own = self.legs[leg].off.radians();
        let others = self.legs.iter().enumerate();
        others
            .filter(|(other, _)| *other != leg)
            .map(|(_, other)| {
                let other = other.off.radians();
                other.sin() / (own + other).sin()
            })
            .fold(0.0, f64::max)
    }
}

impl Leg {
    /// How far it stands off the line of the load.
    pub fn off(&self) -> Angle {
        self.off
    }

    /// Indices of the positions in it, each of which takes its whole force.
    pub fn positions(&self) -> &[usize] {
        &self.positions
    }
}

impl Span {
    /// Between the two ends, which are level.
    pub fn across(&self) -> Length {
        self.across
    }

    /// How far what is carried hangs below the ends, under load.
    pub fn sag(&self) -> Length {
        self.sag
    }

    /// From the first end to what is carried.
    pub fn from_first(&self) -> Length {
        self.from_first
    }
}

impl Tripod {
    /// Index of its position.
    pub fn position(&self) -> usize {
        self.position
    }

    /// How far its legs stand off the upright.
    pub fn off(&self) -> Angle {
        self.off
    }
}
