//! What a record was on a day in the past, by two clocks: as it was known then, and as it is known now that it was.
//!
//! Both are read from the entries of the ledger alone. *As known then* goes by the day of recording: what entries up to
//! the end of the day say is applied as it was applied to the tables, so that it is what the tables held that night.
//! *As known now* goes by the day on which something was done: every entry that says it was done on the day or before
//! counts, whenever it was recorded, in the order in which they were recorded. On a day behind all that was done the two
//! are the same, and are the record as it stands.

mod beside;
mod home_rulebook;
mod interval_then;
mod item;
mod item_fact;
mod job;
mod job_fact;
mod model_fact;
mod side;
mod standing_then;

use super::{Change, Entry};

pub use beside::{BesideThen, MODEL_KINDS, NOTICE_KINDS, RULEBOOK_KINDS};
pub use home_rulebook::{Bound, HomeRulebooks};
pub use interval_then::{IntervalThen, ModelVersions, intervals_then, version_on};
pub use item::{ITEM_KINDS, ItemsThen};
pub use item_fact::item_facts;
pub use job::{JOB_KINDS, JobThen};
pub use job_fact::job_facts;
pub use model_fact::model_facts;
pub use side::{Fact, Side, side_by_side};
pub use standing_then::StandingThen;

/// By which clock a past is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reckoning {
    /// By the day of recording: as it was known then.
    Then,
    /// By the day on which it was done: as it is known now.
    Now,
}

/// What entries make, one after another.
pub trait Fold {
    /// Applies an entry; entries are given in the order of their numbers. What does not count, or does not go on what is
    /// there, changes nothing.
    fn apply(&mut self, entry: &Entry<Change>);
}
