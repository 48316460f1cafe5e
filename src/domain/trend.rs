//! What the register says of its gear as a whole: how old it is, what ends when, what failed, what was retired.
//!
//! The store counts items in groups; what a group means is worked out here, so that the rules stand in one place.

mod age;
mod ahead;
mod failure;
mod period;
mod retired;

use time::Date;

use super::{Made, ModelId};

pub use age::{AgeGroup, Ages, KindAges, Lives, ages};
pub use ahead::{Ahead, AheadModel, AheadMonth, AheadRow, MONTHS_AHEAD, UseAhead, ahead};
pub use failure::{FEW, Failures, LotFailures, ModelFailures, failures_by_model};
pub use period::PeriodDraft;
pub use retired::{KindRetired, RetiredGroup, RetiredYear, by_kind, by_year};

/// Items of one model that were made and end at the same time; retired ones are not counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cohort {
    /// The model.
    pub model: ModelId,
    /// When they were made, as exactly as known.
    pub made: Option<Made>,
    /// The first day on which they may no longer be used; none where the condition decides or it cannot be told.
    pub ends_on: Option<Date>,
    /// How many they are.
    pub items: u32,
}

/// The whole years from one day to another; none where it is before.
fn whole_years(from: Date, to: Date) -> u16 {
    let in_year = |day: Date| (u8::from(day.month()), day.day());
    let before = in_year(to) < in_year(from);
    let years = to.year() - from.year() - i32::from(before);
    u16::try_from(years).unwrap_or(0)
}
