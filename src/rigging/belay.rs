//! What stands by in a rig to catch the load, in words and in positions.

use super::solve::{SLACK, one_kilonewton, plain_solutions};
use super::sum::{Sum, Target};
use super::{Duty, Phase, Rig, RigError};

impl Rig {
    /// Whether another rope catches the load if one fails, in a few words: "with an independent belay".
    pub fn belay_words(&self) -> String {
        if self.has_belay() {
            return match self.shared_with_belay().as_slice() {
                [] => "with an independent belay".to_owned(),
                shared => format!(
                    "with a belay that shares {} with the main rope",
                    shared.join(" and ")
                ),
            };
        }
        if self.catches() {
            return "two ropes share the load, each must catch it alone".to_owned();
        }
        "without a belay".to_owned()
    }

    /// Whether a rope stands by that carries nothing until another fails.
    pub fn has_belay(&self) -> bool {
        self.ropes().iter().any(|rope| rope.duty() == Duty::Belay)
    }

    /// The keys of the positions that a catch loads, in the order of the rig; none where nothing catches.
    ///
    /// # Errors
    /// Of the solver.
    pub fn loaded_in_a_catch(&self) -> Result<Vec<&str>, RigError> {
        if !self.catches() {
            return Ok(Vec::new());
        }
        let load = one_kilonewton();
        let solutions = plain_solutions(self, load, Phase::BelayCatch, 2.0)?;
        let loads = |index: usize| {
            let loads_it = |sum: &Sum| {
                let on_it =
                    matches!(sum.on, Target::Position { position, .. } if position == index);
                let mut forces = solutions.iter().map(|tensions| sum.force(tensions));
                on_it && forces.any(|force| force > SLACK * load.newtons())
            };
            self.reeving.sums.iter().any(loads_it)
        };
        let positions = self.positions().iter().enumerate();
        let loaded = positions.filter(|(index, _)| loads(*index));
        Ok(loaded.map(|(_, position)| position.key()).collect())
    }
}
