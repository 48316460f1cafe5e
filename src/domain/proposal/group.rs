//! Items that are alike, so that what speaks against all of them is looked at once.

use std::collections::HashMap;

use super::Stock;
use crate::domain::fitness::{KitItem, Plan, is_free, is_right};
use crate::domain::{Model, ModelId};

/// Items that are alike in all that a position asks: one model, and the same written down of each.
pub(super) struct Group<'a> {
    pub model: &'a Model,
    /// Indices of the items that may go, the best first.
    pub items: Vec<usize>,
}

/// The items that may go on the job at all, alike ones together. What speaks against a model and what is written of an
/// item is looked at once for all that are alike; what speaks against the item itself, for each.
pub(super) fn groups<'a>(plan: &Plan<'_>, stock: &'a Stock<'a>, soon: &[bool]) -> Vec<Group<'a>> {
    let mut groups: Vec<Group<'a>> = Vec::new();
    let mut known: HashMap<(ModelId, String), Alike> = HashMap::new();
    for (index, offered) in stock.items.iter().enumerate() {
        let spare = KitItem {
            item: offered.item,
            model: offered.model,
            position: None,
        };
        let circumstances = stock.circumstances(stock.kit, offered.elsewhere);
        let written = serde_json::to_string(&offered.item.attributes).unwrap_or_default();
        let key = (offered.model.id, written);
        let alike = known.entry(key).or_insert_with(|| Alike {
            is_right: is_right(spare, plan, &circumstances),
            group: None,
        });
        if !alike.is_right || !is_free(spare, plan, &circumstances) {
            continue;
        }
        let group = *alike.group.get_or_insert_with(|| {
            groups.push(Group {
                model: offered.model,
                items: Vec::new(),
            });
            groups.len() - 1
        });
        groups[group].items.push(index);
    }
    for group in &mut groups {
        group
            .items
            .sort_by_key(|item| (stock.items[*item].is_out, soon[*item]));
    }
    groups
}

/// What is known of items that are alike.
struct Alike {
    is_right: bool,
    /// The group of those that may go, once there is one.
    group: Option<usize>,
}
