//! How much rope, how many people, how many strokes.

use serde::Serialize;

use super::Length;

/// The rope that a way needs.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RopeNeed {
    /// Each rope with the length that it must have.
    pub ropes: Vec<RopeLength>,
    /// Rope that passes through the hands to raise the load over the whole depth.
    pub hauled: Length,
    /// For a rig with a travelling pulley: strokes over the whole depth; between two strokes it is
    /// set back.
    pub strokes: Option<u32>,
}

/// The length that one rope must have.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RopeLength {
    /// Key of the rope's position.
    pub rope: String,
    /// The length, tail and knots among it.
    pub length: Length,
}
