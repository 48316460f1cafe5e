//! The items of a kit as the mechanics take them.

use super::friction::{post, wheel};
use super::{KitGap, KitItem, Plan};
use crate::domain::entered::ForceUnit;
use crate::domain::fitness::{governing, grips_rope};
use crate::domain::rulebook::StrengthAsked;
use crate::domain::{Approval, Kind, Material, Model, Rating, RatingSource};
use crate::rigging::{Fibre, Fitted, LoadingMode, Outfit, Position, Strength, StrengthKind};

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

/// One item; what its record lacks is added to the gaps.
pub(super) fn fitted(
    plan: &Plan<'_>,
    item: &KitItem<'_>,
    place: Option<&Position>,
    gaps: &mut Vec<KitGap>,
) -> Fitted {
    let model = item.model;
    let mut fitted = Fitted::new(item.label());
    let ratings = model.ratings.iter();
    fitted.strengths = ratings.map(|rating| strength(model.kind, rating)).collect();
    fitted.strengths.extend(approved_loads(plan, item));
    fitted.by_approval = by_approval(plan, item);
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

fn strength(kind: Kind, rating: &Rating) -> Strength {
    Strength {
        of_mass: is_of_mass(kind, rating),
        mode: rating.mode,
        kind: rating.kind,
        force: rating.value.quantity(),
        source: match rating.source {
            RatingSource::NotKnown => "where it was read is not known".to_owned(),
            source => source.key().to_owned(),
        },
    }
}

/// That of some strengths nobody noted where they were read, in one sentence; none where all are traced.
pub(super) fn untraced(kit: &[KitItem<'_>]) -> Option<String> {
    let is_untraced = |item: &&KitItem<'_>| {
        let mut ratings = item.model.ratings.iter();
        item.position.is_some() && ratings.any(|rating| rating.source == RatingSource::NotKnown)
    };
    let named: Vec<String> = kit.iter().filter(is_untraced).map(KitItem::label).collect();
    (!named.is_empty()).then(|| {
        format!(
            "Nobody noted where these strengths were read, and they are taken as they stand on record: {}.",
            named.join(", ")
        )
    })
}

/// The approval that stands in the place of a strength, where the rulebook asks for no more of the item's kind.
fn by_approval(plan: &Plan<'_>, item: &KitItem<'_>) -> Option<String> {
    let asked = plan.rulebook.strength_asked(item.model.kind);
    let deciding = governing(item, plan, &[]).into_iter();
    let mut deciding = deciding.filter(|one| one.asked.is_some());
    let first = (asked == StrengthAsked::Approval).then(|| deciding.next())??;
    Some(first.approval.title())
}

/// Whether a rated load is the mass of a person or of what is carried: it was entered as a mass, or the kind is one
/// whose makers rate it by whom it carries. No strength is one, whatever its unit.
fn is_of_mass(kind: Kind, rating: &Rating) -> bool {
    let by_whom = matches!(
        kind,
        Kind::Harness | Kind::Litter | Kind::RopeClamp | Kind::Descender | Kind::BackUpDevice
    );
    let is_weight = matches!(
        rating.value.unit(),
        ForceUnit::KilogramForce | ForceUnit::PoundForce
    );
    rating.kind == StrengthKind::RatedLoad && (by_whom || is_weight)
}

/// The loads to which its approvals hold an item, in each way of loading that it has a rating for.
///
/// An approval alone is no rating: it says how much may be carried, not how the item holds it. Only a device that grips a
/// rope is rated by its maker with the load that is carried with it, and is held against that load whatever its body holds.
fn approved_loads(plan: &Plan<'_>, item: &KitItem<'_>) -> Vec<Strength> {
    let mut loads = Vec::new();
    for approval in rating_approvals(plan, item) {
        let Some(load) = approval.rated_load else {
            continue;
        };
        let mut modes: Vec<_> = item
            .model
            .ratings
            .iter()
            .map(|rating| rating.mode)
            .collect();
        if grips_rope(item.model.kind) {
            modes.push(LoadingMode::Body);
        }
        modes.sort();
        modes.dedup();
        loads.extend(modes.into_iter().map(|mode| Strength {
            mode,
            of_mass: true,
            kind: StrengthKind::RatedLoad,
            force: load.quantity().weight(),
            source: format!("approval to {}", approval.title()),
        }));
    }
    loads
}

/// The approvals whose loads count: those that decide. Where none of them states a load, all of a device that grips a
/// rope.
fn rating_approvals<'a>(plan: &'a Plan<'_>, item: &KitItem<'a>) -> Vec<&'a Approval> {
    let deciding = governing(item, plan, &[]).into_iter();
    let deciding = deciding.map(|one| one.approval);
    let deciding: Vec<&Approval> = deciding.filter(|one| one.rated_load.is_some()).collect();
    if deciding.is_empty() && grips_rope(item.model.kind) {
        return item.model.approvals.iter().collect();
    }
    deciding
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
