//! How much of what a verdict needs stands on record.

use crate::domain::kit_strength::KitGap;

/// How much of what the verdict needs stands on the record of a model, the most first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Record {
    /// All of it.
    Whole,
    /// All but what a catch is judged by.
    CatchOpen,
    /// Too little for a verdict.
    Open,
}

impl Record {
    pub(super) fn of(gaps: &[KitGap]) -> Self {
        match gaps {
            [] => Self::Whole,
            gaps if gaps.iter().all(KitGap::is_of_catch_alone) => Self::CatchOpen,
            _ => Self::Open,
        }
    }
}
