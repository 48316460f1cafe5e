//! Whether a device that follows or lets down may belay somebody else from an anchor.

use super::approval::uses;
use super::place::said;
use super::{Question, refusal};
use crate::domain::fact::Fact;
use crate::domain::rulebook::{Rulebook, When};
use crate::domain::{Cited, Kind, Known, Mend, Model, Refusal, RefusalCode};
use crate::rigging::{BodyKind, Position};

/// The rule behind a device at a belay.
const BELAYS: &str =
    "at a belay stands what its maker lets belay, or what is approved to stop a fall";

/// A back-up device follows whoever wears it, and a descender lets down. At an anchor such a device belays somebody else,
/// which not every maker allows: his word must be on record, or of a descender an approval that the rulebook takes for
/// catching.
///
/// Common practice, no source; the maker's instructions decide.
pub(super) fn check(question: &Question<'_>, position: &Position, refusals: &mut Vec<Refusal>) {
    let model = question.candidate.model;
    let (what, scope) = match model.kind {
        Kind::BackUpDevice => ("this back-up device", "follows whoever wears it"),
        Kind::Descender => ("this descender", "is made to let down, not to stop a fall"),
        _ => return,
    };
    let may = model.attributes.yes_no("belays");
    let bodies = question.plan.rig.bodies();
    let is_worn = position
        .body()
        .is_some_and(|body| bodies[body].kind() != BodyKind::Anchor);
    let catches = uses(&question.candidate, question.plan).contains(&When::Catches);
    let is_approved = || may.is_none() && is_to_catch(model, question.plan.rulebook);
    if may == Some(true) || is_worn || !catches || is_approved() {
        return;
    }
    let sentence = if may == Some(false) {
        format!(
            "\"{}\" belays somebody else from an anchor, and the record says that the maker of {what} does not allow that: take an item whose maker does.",
            position.title()
        )
    } else {
        format!(
            "\"{}\" belays somebody else from an anchor, and nothing on record says that the maker of {what} allows that; it {scope}. Take an item whose maker does; if the maker's papers say that this one may, write it on the model's record.",
            position.title()
        )
    };
    let mut refusal = refusal(
        RefusalCode::LacksPart,
        sentence,
        &Cited::new(BELAYS, Known::Practice),
        format!("may belay somebody else: {}", said(model, "belays")),
    );
    if may.is_none() {
        refusal = refusal.lacking(
            "whether its maker lets it belay somebody else",
            Fact::Attribute("belays"),
        );
    }
    refusals.push(refusal.mended(Mend::ModelRecord(model.id)));
}

/// Whether a descender is to stop the rope where it stands, at a belay: whether it may, [`check`] asks. No record of
/// a descender tells of a capture.
pub(super) fn is_to_hold(question: &Question<'_>) -> bool {
    let (device, plan) = (&question.candidate, question.plan);
    device.model.kind == Kind::Descender && uses(device, plan).contains(&When::Catches)
}

/// Whether an approval of a descender is one that the rulebook takes for catching a fall.
fn is_to_catch(model: &Model, rulebook: &Rulebook) -> bool {
    let mut asked = rulebook.approvals().iter();
    model.kind == Kind::Descender
        && asked.any(|asked| {
            let mut approvals = model.approvals.iter();
            asked.kind == model.kind
                && asked.when == When::Catches
                && approvals.any(|approval| asked.takes(approval))
        })
}
