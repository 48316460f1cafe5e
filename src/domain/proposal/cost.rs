//! What it costs to take an item, so that the least sum is the kit that is preferred.

use super::search::DEAREST;
use super::spare::{grade, is_scant};
use super::stock::Market;
use crate::domain::{Kind, Model};
use crate::rigging::Position;

/// What it costs to take an item that does not lie where the job takes from first: more than all that follows.
const ELSEWHERE: i64 = 1 << 43;
/// What it costs to take an item that is with another crew still: more than all that follows.
const OUT: i64 = 1 << 42;
/// What it costs to take an item that falls due soon after the job: more than all that follows.
const SOON: i64 = 1 << 41;
/// What it costs to take an item that would fail at a tenth more load: more than any length of rope to spare.
const SCANT: i64 = 1 << 40;
/// What a decimetre of rope beyond the needed costs: more than all parts that are not asked for.
const DECIMETRE: i64 = 1 << 24;
/// Beyond this, six kilometres, ropes count as equally long.
const MOST_DECIMETRES: f64 = 60_000.0;
/// What a sheave or a becket costs that the position does not ask for: more than any strength to spare.
const PART: i64 = 1 << 20;
/// What each grade of strength costs that is not there to spare: more than any place in the order of the marks.
const GRADE: i64 = 1 << 13;

/// What each thousandth costs that is lacking of what is asked, where nothing holds: more than all that is weighed else.
const LACKING: i64 = DEAREST >> 10;

/// What an item costs where nothing holds: it is the nearest that lacks the least, and of two that lack alike the one that
/// would be cheaper.
pub(super) fn cost_of_the_weak(room: f64, usual: i64) -> i64 {
    #[expect(clippy::cast_possible_truncation, reason = "clamped to a thousand")]
    let lacking = ((1.0 - room).clamp(0.0, 1.0) * 1000.0).round() as i64;
    (lacking * LACKING + (usual >> 10)).min(DEAREST)
}

impl Market<'_> {
    /// What an item costs in a slot, beside what all of its group cost there.
    pub(super) fn cost(&self, slot: usize, model: &Model, item: usize) -> i64 {
        let offered = &self.stock.items[item];
        let order = i64::try_from(item).unwrap_or(i64::MAX).min(GRADE - 1);
        let length = match (model.kind, self.surplus(slot, offered)) {
            (Kind::Rope, Some(metres)) => (metres * 10.0).clamp(0.0, MOST_DECIMETRES),
            _ => 0.0,
        };
        #[expect(clippy::cast_possible_truncation, reason = "clamped above")]
        let length = length as i64 * DECIMETRE;
        let soon = if self.soon[item] { SOON } else { 0 };
        let out = if offered.is_out { OUT } else { 0 };
        let elsewhere = match self.lying.is_first(offered) {
            Some(false) => ELSEWHERE,
            Some(true) | None => 0,
        };
        elsewhere + out + soon + length + order
    }

    /// What each item of a group costs in a slot by its model and what is written of it alike.
    pub(super) fn cost_of_group(&self, slot: usize, group: usize) -> i64 {
        let parts = spare_parts(self.groups[group].model, self.slots[slot]) * PART;
        let Some(room) = self.room.at(slot, group) else {
            return parts;
        };
        let scant = if is_scant(room) { SCANT } else { 0 };
        scant + parts + grade(room) * GRADE
    }
}

/// How many parts a model has that a position does not ask for, so that what has more stays for where it must.
fn spare_parts(model: &Model, position: &Position) -> i64 {
    let sheaves = model.attributes.count("sheaves").unwrap_or_default();
    let sheaves = sheaves.saturating_sub(u32::from(position.sheaves())).min(9);
    let becket = model.attributes.yes_no("becket") == Some(true) && !position.needs_becket();
    i64::from(sheaves) + i64::from(becket)
}
