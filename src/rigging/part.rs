//! The strength of a part: its rating times what knots, water and wear leave of it.

use serde::Serialize;

use super::{Force, Reduction, Strength};

/// What a part holds where it stands, with everything that was taken off.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PartStrength {
    /// The rating that it starts from.
    pub rating: Strength,
    /// What is taken off, in order.
    pub reductions: Vec<Reduction>,
    /// The rating times every share that is left.
    pub effective: Force,
}
