//! What the ropes and chains of a sheet make of its positions.

use std::collections::BTreeSet;

use crate::rigging::fault::{Faults, Place};
use crate::rigging::{Element, Rig, RigError};

/// Writes down what the ropes ask of the item at each position.
pub(super) fn note_needs(rig: &mut Rig) -> Result<(), Faults> {
    let mut taken = BTreeSet::new();
    for (number, rope) in rig.ropes.iter().enumerate() {
        let rope_key = rig.positions[rope.position].key.clone();
        for (index, element) in rope.path.iter().enumerate() {
            match *element {
                Element::Sheave {
                    position,
                    sheave,
                    capture,
                    ..
                } => {
                    if !taken.insert((position, sheave)) {
                        let at = Place::entry("rope", number).under("path", index);
                        let twice = RigError::SheaveTwice {
                            place: format!("rope {rope_key}, element {}", index + 1),
                            position: rig.positions[position].key.clone(),
                            sheave,
                        };
                        return Err(Faults::one(at.field("sheave"), twice));
                    }
                    let needs = &mut rig.positions[position];
                    needs.sheaves = needs.sheaves.max(sheave);
                    needs.capture |= capture;
                }
                Element::Capture { position } => rig.positions[position].capture = true,
                Element::End {
                    position: Some(position),
                    becket: true,
                    ..
                } => rig.positions[position].becket = true,
                _ => {}
            }
        }
    }
    for (index, position) in rig.positions.iter().enumerate() {
        let missing = (1..=position.sheaves).find(|sheave| !taken.contains(&(index, *sheave)));
        // Sheave 0 would be counted by none of the numbers above.
        if let Some(sheave) = missing.or(taken.contains(&(index, 0)).then_some(1)) {
            let missing = RigError::SheaveMissing {
                position: position.key.clone(),
                sheave,
            };
            return Err(Faults::one(Place::entry("position", index), missing));
        }
    }
    Ok(())
}

/// Each position is used, and in one way only: as a rope, on a rope's path, in a chain or in a leg.
pub(super) fn uses_are_good(rig: &Rig) -> Result<(), RigError> {
    for (index, position) in rig.positions.iter().enumerate() {
        let as_rope = rig.ropes.iter().filter(|rope| rope.position == index);
        let in_legs = rig.bridles.iter().flat_map(|bridle| &bridle.legs);
        let in_legs = in_legs.flat_map(|leg| &leg.positions);
        let in_chains = rig.chains.iter().flat_map(|chain| &chain.positions);
        let in_chains = in_chains.chain(in_legs);
        let met = rig.ropes.iter().flat_map(|rope| &rope.path);
        let met = met.filter(|element| element.position() == Some(index));
        // A pulley is met by several strands; any other device by one.
        let met = match position.sheaves {
            0 => met.count(),
            _ => met.count().min(1),
        };
        let uses = as_rope.count() + in_chains.filter(|used| **used == index).count() + met;
        let position = position.key.clone();
        match uses {
            0 => return Err(RigError::NothingLoads { position }),
            1 => {}
            _ => return Err(RigError::TwoUses { position }),
        }
    }
    Ok(())
}
