//! Ids that are the same at every run: version 7 in shape, with the moment and a counter inside.

use time::OffsetDateTime;
use uuid::{Builder, Uuid};

use super::chance::Chance;

/// Makes ids.
pub(super) struct Stamp {
    count: u32,
    chance: Chance,
}

impl Stamp {
    /// The first id is the same every time.
    pub(super) fn new() -> Self {
        Self {
            count: 0,
            chance: Chance::named("ropeloft demo"),
        }
    }

    /// The next id, as if it were made at `at`; ids made later sort later.
    pub(super) fn next(&mut self, at: OffsetDateTime) -> Uuid {
        self.count += 1;
        let [_, count @ ..] = self.count.to_be_bytes();
        let chance = self.chance.next().to_be_bytes();
        let millis = u64::try_from(at.unix_timestamp()).unwrap_or_default() * 1000;
        // Twelve bits of the counter right behind the moment, so that ids of one moment sort too; the whole of it further on.
        let rest = [
            count[1], count[2], chance[0], count[0], count[1], count[2], chance[1], chance[2],
            chance[3], chance[4],
        ];
        Builder::from_unix_timestamp_millis(millis, &rest).into_uuid()
    }
}
