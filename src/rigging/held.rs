//! What a progress capture holds: the strand that it grips, against what its maker says of its grip.

use super::part::is_rated;
use super::reeving::PassageKind;
use super::{Forces, LoadingMode, Outfit, Phase, PositionForce, Rig};

/// The force on the grip of each sheave that captures its rope, while it holds the load and the hand is slack: that of the
/// strand beyond it. The axle carries both strands, and the grip carries one. A clamp is all grip, and its position says
/// what is on it.
pub(super) fn grips(rig: &Rig, forces: &Forces) -> Vec<PositionForce> {
    if forces.phase != Phase::Held {
        return Vec::new();
    }
    let passages = rig.reeving.passages.iter();
    let captures = passages
        .filter(|passage| matches!(passage.kind, PassageKind::Sheave { capture: true, .. }));
    let grip = captures.filter_map(|passage| {
        let beyond = &rig.reeving.parts[passage.far];
        let rope = rig.positions[rig.ropes[beyond.rope].position].key();
        let mut parts = forces.parts.iter();
        let strand = parts.find(|part| part.rope == rope && part.part == beyond.near)?;
        Some(PositionForce {
            position: rig.positions[passage.position].key.clone(),
            mode: LoadingMode::Body,
            spot: "the rope in its capture".to_owned(),
            knot: None,
            force: strand.tension,
        })
    });
    grip.collect()
}

/// Which captures are not judged, since no record says what they hold.
pub(super) fn warnings(rig: &Rig, outfit: &Outfit, phases: &[Forces]) -> Vec<String> {
    let grips = phases.iter().flat_map(|forces| grips(rig, forces));
    let open = grips.filter_map(|grip| {
        let item = outfit.item_at(&grip.position)?;
        (!is_rated(item, LoadingMode::Body)).then(|| {
            format!(
                "What the progress capture of {} grips is not judged: it holds a strand with up to {}, and the record of the \
                 model has no strength or limit {} that could be held against it. Read in its maker's papers what it may hold.",
                item.label,
                grip.force.high(),
                LoadingMode::Body.words()
            )
        })
    });
    open.collect()
}
