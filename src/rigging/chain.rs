//! Links in line and what they carry.

use serde::Serialize;

/// Positions in line, each of which takes the whole force of what the chain carries.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Chain {
    pub(super) carries: Carried,
    pub(super) positions: Vec<usize>,
}

/// What a chain carries.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Carried {
    /// A body, with everything that pulls on it.
    Body(usize),
    /// The item at one position.
    Position(usize),
}

impl Chain {
    /// What it carries.
    pub fn carries(&self) -> Carried {
        self.carries
    }

    /// Indices of its positions.
    pub fn positions(&self) -> &[usize] {
        &self.positions
    }
}
