//! Whether the rope stays free where it must run both ways: what captures it there cannot be let go of.

use super::{Question, refusal};
use crate::domain::{Cited, Kind, Known, Mend, Model, Refusal, RefusalCode};
use crate::rigging::{Duty, Element, Position, Rig};

/// The rule that refuses.
const FREE: &str = "what captures the rope stands only where the rig captures it: everywhere else the rope runs back when \
                    the load is lowered, and nobody can hold a cam open there";

/// Whether a model captures the rope one way: a rope clamp and a back-up device by what they are, a pulley only if its
/// record says so.
pub(super) fn captures(model: &Model) -> bool {
    matches!(model.kind, Kind::RopeClamp | Kind::BackUpDevice)
        || model.attributes.yes_no("capture") == Some(true)
}

/// Refuses what captures at sheaves that capture nothing. Every rig lowers, and a belay is let out too, so the rope runs
/// back through each of them.
pub(super) fn check(question: &Question<'_>, position: &Position, refusals: &mut Vec<Refusal>) {
    let model = question.candidate.model;
    if position.sheaves() == 0 || position.needs_capture() || !captures(model) {
        return;
    }
    let rig = question.plan.rig;
    let refusal = refusal(
        RefusalCode::CapturesHere,
        format!(
            "\"{}\" must let the {} run {}, and {} with a progress capture holds it: in lowering nobody can let go of \
             its cam there. Take a plain one that captures nothing, or mend the record if it is wrong.",
            position.title(),
            what_runs(rig, position),
            if rig.only_lowers() {
                "out freely"
            } else {
                "both ways"
            },
            model.kind.one(),
        ),
        &Cited::new(FREE, Known::Practice),
        "capture: yes; the rig captures nothing there",
    );
    refusals.push(refusal.mended(Mend::ModelRecord(model.id)));
}

/// What runs over the sheaves at a position.
fn what_runs(rig: &Rig, position: &Position) -> &'static str {
    let meets = |element: &Element| {
        let index = element.position();
        index.is_some_and(|index| rig.positions()[index].key() == position.key())
    };
    let mut ropes = rig.ropes().iter();
    let is_belay = ropes.any(|rope| rope.duty() == Duty::Belay && rope.path().iter().any(meets));
    if is_belay { "belay rope" } else { "rope" }
}
