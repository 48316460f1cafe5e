//! The items of a kit as the mechanics take them.

use super::friction::{post, wheel};
use super::{KitGap, KitItem, Plan};
use crate::domain::fitness::governing;
use crate::domain::{Kind, Material, Model, Rating};
use crate::rigging::{Fibre, Fitted, Outfit, Position, Strength, StrengthKind};

/// Every item that stands at a position, and what its record lacks for the mechanics.
pub(super) fn outfit(plan: &Plan<'_>, kit: &[KitItem<'_>]) -> (Outfit, Vec<KitGap>) {
    let mut outfit = Outfit::default();
    let mut gaps = Vec::new();
    for item in kit {
        let Some(key) = item.position else { continue };
        let place = plan.rig.position(key);
        let fitted = fitted(plan, item, place, &mut gaps);
        if let Some(before) = outfit.fit(key, fitted) {
            gaps.push(KitGap::at(
                "filled-twice",
                Some(key),
                format!(
                    "Both {} and {} stand at \"{}\": take one off.",
                    before.label,
                    item.label(),
                    place.map_or(key, Position::title)
                ),
            ));
        }
    }
    (outfit, gaps)
}

fn fitted(
    plan: &Plan<'_>,
    item: &KitItem<'_>,
    place: Option<&Position>,
    gaps: &mut Vec<KitGap>,
) -> Fitted {
    let model = item.model;
    let mut fitted = Fitted::new(item.label());
    fitted.strengths = model.ratings.iter().map(strength).collect();
    fitted.strengths.extend(approved_loads(plan, item));
    fitted.fibre = fibre(model);
    if let Some(place) = place.filter(|place| place.sheaves() > 0)
        && model.kind == Kind::Pulley
    {
        match wheel(item, place) {
            Ok(wheel) => fitted.wheel = Some(wheel),
            Err(missing) => gaps.extend(missing),
        }
    }
    if let Some(place) = place.filter(|place| plan.rig.rubs(place.key())) {
        match post(item, place) {
            Ok(post) => fitted.post = Some(post),
            Err(gap) => gaps.push(gap),
        }
    }
    fitted
}

fn strength(rating: &Rating) -> Strength {
    Strength {
        mode: rating.mode,
        kind: rating.kind,
        force: rating.value.quantity(),
        source: rating.source.key().to_owned(),
    }
}

/// The loads to which its approvals hold an item, in each way of loading that it has a rating for.
///
/// An approval alone is no rating: it says how much may be carried, not how the item holds it.
fn approved_loads(plan: &Plan<'_>, item: &KitItem<'_>) -> Vec<Strength> {
    let mut loads = Vec::new();
    for governing in governing(item, plan, &[]) {
        let Some(load) = governing.approval.rated_load else {
            continue;
        };
        let mut modes: Vec<_> = item
            .model
            .ratings
            .iter()
            .map(|rating| rating.mode)
            .collect();
        modes.sort();
        modes.dedup();
        loads.extend(modes.into_iter().map(|mode| Strength {
            mode,
            kind: StrengthKind::RatedLoad,
            force: load.quantity().weight(),
            source: format!("approval to {}", governing.approval.title()),
        }));
    }
    loads
}

/// What a part of fibre is made of; a rope of a blend with nylon in it counts as nylon, and what is no rope is sewn.
fn fibre(model: &Model) -> Option<Fibre> {
    if model.material != Material::Textile {
        return None;
    }
    if !matches!(model.kind, Kind::Rope | Kind::Cord) {
        return Some(Fibre::Sewn);
    }
    Some(match model.attributes.text("fibre") {
        None => Fibre::Unknown,
        Some(fibre) if fibre.contains("polyamide") => Fibre::Polyamide,
        Some(_) => Fibre::Other,
    })
}
