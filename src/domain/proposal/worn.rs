//! What people hang in: harnesses before litters.

use super::group::Group;
use crate::domain::{Kind, LoadCase};
use crate::rigging::Position;

/// Where a person may hang in a harness or lie in a litter, a litter is offered only if no harness may go, and none where
/// two people hang on the rope at once and nobody is rescued: one lies in a litter. `fits` says for each group and slot
/// whether it may go there.
pub(super) fn harness_before_litter(
    groups: &[Group<'_>],
    slots: &[&Position],
    case: Option<LoadCase>,
    fits: &mut [Vec<bool>],
) {
    let nobody_lies = case == Some(LoadCase::TwoPersons);
    let is = |group: usize, kind| groups[group].model.kind == kind;
    let slots = slots.iter().enumerate();
    for (slot, _) in slots.filter(|(_, position)| position.is_optional()) {
        let mut all = 0..fits.len();
        if nobody_lies || all.any(|group| fits[group][slot] && is(group, Kind::Harness)) {
            for (group, fits) in fits.iter_mut().enumerate() {
                fits[slot] &= !is(group, Kind::Litter);
            }
        }
    }
}
