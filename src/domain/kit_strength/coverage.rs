//! Which approval of each device covers the rig as it is planned, or why none does.

use serde::Serialize;

use super::{KitGap, KitItem, Plan};
use crate::domain::fitness::{coverage, governing, outside_its_set};

/// Whether an approval of a device covers its use in this rig.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Coverage {
    /// The position of the device.
    pub position: String,
    /// How people call the device.
    pub item: String,
    /// The approval, in words.
    pub approval: String,
    /// Whether the rulebook asks for this approval.
    pub asked: bool,
    /// What speaks against it, a sentence each; nothing where it covers the rig.
    pub against: Vec<String>,
}

impl Coverage {
    /// Whether the approval covers the rig.
    pub fn covers(&self) -> bool {
        self.against.is_empty()
    }
}

/// Every approval of every device at a position of the rig.
pub(super) fn of_kit(plan: &Plan<'_>, kit: &[KitItem<'_>]) -> Vec<Coverage> {
    let mut all = Vec::new();
    for device in kit {
        let Some(position) = device.position else {
            continue;
        };
        for (governing, against) in coverage(device, plan, kit) {
            all.push(Coverage {
                position: position.to_owned(),
                item: device.label(),
                approval: governing.approval.title(),
                asked: governing.asked.is_some(),
                against: against
                    .into_iter()
                    .map(|refusal| refusal.sentence)
                    .collect(),
            });
        }
    }
    all
}

/// An approval that decides and holds only in a set keeps the kit from passing until the set is whole.
/// What else speaks against an approval refuses the item, or is judged by its number.
pub(super) fn gaps(plan: &Plan<'_>, kit: &[KitItem<'_>]) -> Vec<KitGap> {
    let placed = kit.iter().filter(|device| device.position.is_some());
    let gaps = placed.flat_map(|device| {
        let deciding = governing(device, plan, &[]);
        let outside = deciding
            .into_iter()
            .filter_map(|governing| outside_its_set(governing.approval, kit));
        outside.map(|refusal| {
            let sentence = format!("{}: {}", device.label(), refusal.sentence);
            KitGap::at("set-not-whole", device.position, sentence)
        })
    });
    gaps.collect()
}
