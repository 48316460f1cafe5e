//! How much strength what may go at a slot leaves over there.

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

/// What is left over in whole hundredths of what is asked, as it is told.
fn over(room: f64) -> f64 {
    ((room - 1.0) * 100.0 + 1e-6).floor()
}

/// How many grades what is left over lies below the most that are told apart. What does not hold is told apart as well: where
/// nothing does, the strongest is the nearest.
pub(super) fn grade(room: f64) -> i64 {
    let over = over(room).clamp(-SHORT, GRADES);
    #[expect(clippy::cast_possible_truncation, reason = "clamped above")]
    let below = (GRADES - over) as i64;
    below
}

impl Market<'_> {
    /// The same, with how much each item leaves over: by the forces on the rig with the first that may go at each slot. How
    /// strong the kit is that is chosen, the solver says.
    pub(super) fn measured(self) -> Self {
        let first = |slot: usize| self.suits[slot].iter().position(|suits| *suits);
        let mut kit: Vec<KitItem<'_>> = self.stock.kit.to_vec();
        let slots = self.slots.iter().enumerate();
        kit.extend(
            slots
                .filter_map(|(slot, position)| Some(self.at(&self.groups[first(slot)?], position))),
        );
        let room = Scale::to_choose_by(self.plan, &kit).map(|scale| self.room_by(&scale));
        Self {
            room: room.unwrap_or_default(),
            ..self
        }
    }

    /// How much each item leaves over by the forces on the rig with a kit; none where these cannot be told.
    pub(super) fn room_with(&self, kit: &[KitItem<'_>]) -> Option<Room> {
        Some(self.room_by(&Scale::of(self.plan, kit)?))
    }

    fn room_by(&self, scale: &Scale) -> Room {
        let room = |slot: usize, group: usize| {
            let item = self.at(&self.groups[group], self.slots[slot]);
            self.suits[slot][group]
                .then(|| scale.room(self.plan, &item))
                .flatten()
        };
        let groups = self.groups.len();
        let of_slot = |slot| (0..groups).map(|group| room(slot, group)).collect();
        Room((0..self.slots.len()).map(of_slot).collect())
    }

    /// What there is for a slot beside the item that fills it, by `room`; none where nothing is held against a number there.
    pub(super) fn others(&self, slot: usize, filling: &Filling, room: &Room) -> Option<Others> {
        let chosen = filling.names[slot]?;
        let mut groups = self.groups.iter();
        let own = groups.position(|group| group.items.contains(&chosen))?;
        let of_it = over(room.at(slot, own)?);
        let mut others = Others::default();
        for (group, count) in self.choice_beside(slot, filling) {
            match room.at(slot, group) {
                Some(room) if !holds(room) => others.weak += count,
                Some(room) if over(room) < of_it => others.less += count,
                _ => {}
            }
        }
        let is_free = |item: &&usize| !filling.names.contains(&Some(**item));
        others.more = self.groups.iter().enumerate().any(|(group, own)| {
            let room = room.at(slot, group);
            room.is_some_and(|room| over(room) > of_it)
                && own.items.iter().any(|item| is_free(&item))
        });
        Some(others)
    }
}

/// What there is for a slot beside the item that fills it.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Others {
    /// How many that go with the rest of the kit would not hold there, the one that fills it among them where it does not.
    pub weak: usize,
    /// How many that go with the rest hold with less to spare than it.
    pub less: usize,
    /// Whether anything has more to spare, whether or not it goes with the rest.
    pub more: bool,
}

/// Whether it holds what is asked; exactly that much does.
fn holds(room: f64) -> bool {
    room >= 1.0 - 1e-9
}

/// Whether a tenth more load would be too much.
pub(super) fn is_scant(room: f64) -> bool {
    room < LEAST_ROOM
}
