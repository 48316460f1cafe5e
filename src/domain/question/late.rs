//! What was recorded long after the day on which it was done.

use time::Date;

use crate::domain::{Change, Entry, Zone};

/// The two days of an entry that came late.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Late {
    /// The day on which it says that it was done.
    pub done: Date,
    /// The day on which it was recorded.
    pub recorded: Date,
    /// The days between.
    pub days: u64,
}

/// Whether an entry that names its day was recorded more than so many days after it.
pub fn late(entry: &Entry<Change>, zone: &Zone, more_than: u16) -> Option<Late> {
    let done = entry.change.done_on(zone)?;
    Late::between(done, entry.recorded_on(zone), more_than)
}

impl Late {
    /// The two days, where more than so many days lie between them.
    pub fn between(done: Date, recorded: Date, more_than: u16) -> Option<Self> {
        let days = u64::try_from((recorded - done).whole_days()).ok()?;
        (days > u64::from(more_than)).then_some(Self {
            done,
            recorded,
            days,
        })
    }
}
