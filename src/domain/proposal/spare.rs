//! How much strength what may go at a slot leaves over there.

use super::group::Group;
use super::search::Filling;
use super::stock::Market;
use crate::domain::fitness::KitItem;
use crate::domain::kit_strength::Scale;

/// What leaves less over than this fails at a tenth more load.
const LEAST_ROOM: f64 = 1.1;
/// Of strength to spare a hundredth more or less is told apart, as it is written, up to three quarters more than is asked;
/// beyond that all is alike.
const GRADES: f64 = 77.0;
/// And of what is lacking, where nothing holds, down to half of what is asked.
const SHORT: f64 = 50.0;

/// For each slot and group how much it holds of what is asked of it, as a ratio that is 1 where it just holds.
#[derive(Debug, Default)]
pub(super) struct Room(Vec<Vec<Option<f64>>>);

impl Room {
    /// None where nothing is held against a number, or where it was not looked at.
    pub(super) fn at(&self, slot: usize, group: usize) -> Option<f64> {
        *self.0.get(slot)?.get(group)?
    }
}

/// How many grades what is left over lies below the most that are told apart. What does not hold is told apart as well: where
/// nothing does, the strongest is the nearest.
pub(super) fn grade(room: f64) -> i64 {
    let over = ((room - 1.0) * 100.0 + 1e-6).floor().clamp(-SHORT, GRADES);
    #[expect(clippy::cast_possible_truncation, reason = "clamped above")]
    let below = (GRADES - over) as i64;
    below
}

impl Market<'_> {
    /// The same, with how much each item leaves over: by the forces on the rig with the first that may go at each slot. How
    /// strong the kit is that is chosen, the solver says.
    pub(super) fn measured(mut self) -> Self {
        let first = |slot: usize| self.suits[slot].iter().position(|suits| *suits);
        let mut kit: Vec<KitItem<'_>> = self.stock.kit.to_vec();
        let slots = self.slots.iter().enumerate();
        kit.extend(
            slots
                .filter_map(|(slot, position)| Some(self.at(&self.groups[first(slot)?], position))),
        );
        if let Some(scale) = Scale::of(self.plan, &kit) {
            let room = |slot: usize, group: usize| {
                let item = self.at(&self.groups[group], self.slots[slot]);
                self.suits[slot][group]
                    .then(|| scale.room(self.plan, &item))
                    .flatten()
            };
            let groups = self.groups.len();
            let of_slot = |slot| (0..groups).map(|group| room(slot, group)).collect();
            self.room = Room((0..self.slots.len()).map(of_slot).collect());
        }
        self
    }

    /// Of what may go at a slot and is taken for none: how many items leave less over there than the chosen one, and how many
    /// more, as far as that is told apart.
    pub(super) fn less_and_more(&self, slot: usize, filling: &Filling) -> Option<(usize, usize)> {
        let chosen = filling.names[slot]?;
        let mut groups = self.groups.iter();
        let own = groups.position(|group| group.items.contains(&chosen))?;
        let of_it = (
            is_scant(self.room.at(slot, own)?),
            grade(self.room.at(slot, own)?),
        );
        let free = |group: &Group<'_>| {
            let items = group.items.iter();
            items
                .filter(|item| !filling.names.contains(&Some(**item)))
                .count()
        };
        let (mut less, mut more) = (0, 0);
        for (index, group) in self.groups.iter().enumerate() {
            let Some(room) = self.room.at(slot, index) else {
                continue;
            };
            match (is_scant(room), grade(room)).cmp(&of_it) {
                std::cmp::Ordering::Greater => less += free(group),
                std::cmp::Ordering::Less => more += free(group),
                std::cmp::Ordering::Equal => {}
            }
        }
        Some((less, more))
    }
}

/// Whether a tenth more load would be too much.
pub(super) fn is_scant(room: f64) -> bool {
    room < LEAST_ROOM
}
