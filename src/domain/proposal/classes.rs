//! Items that can take the same slots together, and combinations of ropes that let the same devices in.

use std::collections::{BTreeMap, HashMap};

use super::sets::Fits;
use super::stock::{MOST_COMBINATIONS, Market, Meeting};
use crate::domain::{Kind, ModelId};

/// Items that can take the same slots with the same ropes.
pub(super) struct Class {
    /// Where: for each combination and slot.
    pub fits: Fits,
    /// Indices of the items of the stock, those of one model together.
    pub items: Vec<usize>,
}

/// Where each group of a market can go, with each combination of ropes.
pub(super) struct Places {
    /// For each group, combination and slot.
    fits: Vec<Fits>,
    /// Whether every combination was looked at.
    pub is_whole: bool,
}

impl Places {
    pub(super) fn of(market: &Market<'_>) -> Self {
        let combinations = market.combinations();
        let mut meeting = Meeting::default();
        let groups = 0..market.groups.len();
        let fits: Vec<Fits> = groups
            .map(|group| {
                let each = combinations.iter();
                each.map(|ropes| market.fitting(group, ropes, &mut meeting))
                    .collect()
            })
            .collect();
        let is_whole = combinations.len() < MOST_COMBINATIONS;
        let members = if is_whole {
            alike(market, &combinations, &fits)
        } else {
            (0..combinations.len()).map(|one| vec![one]).collect()
        };
        let slots = market.slots.len();
        let merged = |fits: &Fits| -> Fits {
            let joined = members.iter().map(|members| {
                let any = |slot| members.iter().any(|one| fits[*one][slot]);
                (0..slots).map(any).collect()
            });
            joined.collect()
        };
        Self {
            fits: fits.iter().map(merged).collect(),
            is_whole,
        }
    }

    /// The classes of the items, without the models that are `barred` from slots.
    pub(super) fn classes(&self, market: &Market<'_>, barred: &[(usize, ModelId)]) -> Vec<Class> {
        let mut classes: Vec<Class> = Vec::new();
        let mut known: HashMap<Fits, usize> = HashMap::new();
        for (group, fits) in market.groups.iter().zip(&self.fits) {
            let mut fits = fits.clone();
            for (slot, model) in barred {
                if *model == group.model.id {
                    for slots in &mut fits {
                        slots[*slot] = false;
                    }
                }
            }
            if !fits.iter().flatten().any(|fits| *fits) {
                continue;
            }
            let class = *known.entry(fits.clone()).or_insert_with(|| {
                classes.push(Class {
                    fits,
                    items: Vec::new(),
                });
                classes.len() - 1
            });
            classes[class].items.extend(&group.items);
        }
        for class in &mut classes {
            class.items.sort_by_key(|item| (market.model(*item), *item));
        }
        classes
    }
}

/// The combinations in parts that are told apart by no device. A kind of rope stands for another at a slot where
/// every device takes both alike, whatever the other ropes are; so in a part any rope of it goes with any other.
fn alike(
    market: &Market<'_>,
    combinations: &[BTreeMap<usize, usize>],
    fits: &[Fits],
) -> Vec<Vec<usize>> {
    let devices: Vec<&Fits> = fits
        .iter()
        .zip(&market.groups)
        .filter(|(_, group)| group.model.kind != Kind::Rope)
        .map(|(fits, _)| fits)
        .collect();
    // What every device says to a combination, as one number each.
    let mut said: HashMap<Vec<&Vec<bool>>, usize> = HashMap::new();
    let said: Vec<usize> = (0..combinations.len())
        .map(|one| {
            let next = said.len();
            let all = devices.iter().map(|fits| &fits[one]).collect();
            *said.entry(all).or_insert(next)
        })
        .collect();
    // For each slot and rope, what is said to all combinations with it.
    let mut with: BTreeMap<(usize, usize), Vec<usize>> = BTreeMap::new();
    for (ropes, said) in combinations.iter().zip(&said) {
        for (slot, rope) in ropes {
            with.entry((*slot, *rope)).or_default().push(*said);
        }
    }
    let mut parts: BTreeMap<Vec<&Vec<usize>>, Vec<usize>> = BTreeMap::new();
    for (one, ropes) in combinations.iter().enumerate() {
        let key = ropes.iter().map(|(slot, rope)| &with[&(*slot, *rope)]);
        parts.entry(key.collect()).or_default().push(one);
    }
    parts.into_values().collect()
}
