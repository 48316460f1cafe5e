//! Whether the rope stays free where it must run both ways: what captures it there cannot be let go of.

use super::{Question, refusal};
use crate::domain::fact::Fact;
use crate::domain::rulebook::Rulebook;
use crate::domain::{Approval, Cited, Kind, Known, Mend, Model, Refusal, RefusalCode};
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

/// Whether nobody wrote down that a pulley captures nothing, and an approval of it is one for what grips a rope.
fn may_capture<'a>(model: &'a Model, rulebook: &Rulebook) -> Option<&'a Approval> {
    if model.kind != Kind::Pulley || model.attributes.yes_no("capture").is_some() {
        return None;
    }
    let grips = |approval: &&Approval| {
        let mut asked = rulebook.approvals().iter();
        asked.any(|asked| {
            let of_clamps = matches!(asked.kind, Kind::RopeClamp | Kind::BackUpDevice);
            of_clamps && asked.takes(approval)
        })
    };
    model.approvals.iter().find(grips)
}

/// Refuses what captures at sheaves that capture nothing. Every rig lowers, and a belay is let out too, so the rope runs
/// back through each of them.
pub(super) fn check(question: &Question<'_>, position: &Position, refusals: &mut Vec<Refusal>) {
    let model = question.candidate.model;
    if position.sheaves() == 0 || position.needs_capture() {
        return;
    }
    let rig = question.plan.rig;
    if let Some(approval) = may_capture(model, question.plan.rulebook) {
        refusals.push(open(position, rig, (model, approval)));
    }
    if !captures(model) {
        return;
    }
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

/// Where nobody wrote down whether a pulley captures the rope, its approval says that it may.
fn open(position: &Position, rig: &Rig, (model, approval): (&Model, &Approval)) -> Refusal {
    let sentence = format!(
        "\"{}\" must let the {} run freely, and whether this pulley has a progress capture is not known; its approval to {} \
         is one for what grips a rope. Write on the model's record whether it captures.",
        position.title(),
        what_runs(rig, position),
        approval.title(),
    );
    let evidence = format!("capture: unknown; {}", approval.title());
    let rule = Cited::new(FREE, Known::Practice);
    refusal(RefusalCode::CapturesHere, sentence, &rule, evidence)
        .mended(Mend::ModelRecord(model.id))
        .lacking(
            "whether it has a progress capture",
            Fact::Attribute("capture"),
        )
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
