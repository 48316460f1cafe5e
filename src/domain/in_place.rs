//! What is in a place, and whether it is what belongs there and fit.

use super::{Bag, BagCheck, BagDraft, Contents, Item, ItemId, Model, Refusal, Store, WithCrew};

/// A place with what is in it.
#[derive(Clone, Debug)]
pub struct InPlace {
    /// The place.
    pub store: Store,
    /// The list of what belongs there, if it has one.
    pub bag: Option<Bag>,
    /// The lines of the list in words.
    pub words: Vec<String>,
    /// Every store of the team.
    pub stores: Vec<Store>,
    /// Every bag of the team.
    pub bags: Vec<Bag>,
    /// What is in it, by its marks; each with what speaks against it wherever it goes.
    pub items: Vec<Inside>,
    /// Whether there is more in it than is told.
    pub more: bool,
    /// What is in it beside its list.
    pub contents: Contents,
    /// How it was looked through last, and by whom.
    pub checked: Option<BagCheck>,
    /// The items that the last check names and that are not in it.
    pub elsewhere: Vec<Item>,
    /// The rulebook by which the items are judged.
    pub rulebook: String,
}

/// An item of a place.
#[derive(Clone, Debug)]
pub struct Inside {
    /// The item.
    pub item: Item,
    /// Its model.
    pub model: Model,
    /// What speaks against it, whatever job it is for.
    pub refusals: Vec<Refusal>,
    /// With which job's crew it is; none where it is not out.
    pub with_crew: Option<WithCrew>,
}

impl InPlace {
    /// The list as it may be typed in again.
    pub fn draft(&self) -> BagDraft {
        let Some(bag) = &self.bag else {
            return BagDraft::default();
        };
        let lines = bag.parts.iter().zip(&self.words);
        let lines: Vec<String> = lines
            .map(|(part, words)| format!("{} {words}", part.count))
            .collect();
        BagDraft {
            within: bag
                .within
                .map(|store| store.to_string())
                .unwrap_or_default(),
            list: lines.join("\n"),
        }
    }

    /// How many pieces of its list are not there: nothing that lives here suits them, or what does is with a crew, or was
    /// not found when it was looked through last.
    pub fn lacking(&self) -> usize {
        let Some(bag) = &self.bag else { return 0 };
        let lines = 0..bag.parts.len();
        lines.map(|line| self.lacks(bag, line)).sum()
    }

    /// How many pieces of a line of its list are not there.
    pub fn lacks(&self, bag: &Bag, line: usize) -> usize {
        let filled = self.contents.filled[line].iter();
        let gone = filled.filter(|item| !self.is_there(**item)).count();
        self.contents.lacks(&bag.parts, line) + gone
    }

    /// Whether an item that lives here lies here, as far as is known.
    pub fn is_there(&self, item: ItemId) -> bool {
        let mut missing = self.checked.iter().flat_map(|check| &check.missing);
        let out = self.items.iter().find(|one| one.item.id == item);
        !missing.any(|one| *one == item) && out.is_none_or(|one| one.with_crew.is_none())
    }

    /// How many of the items that live here are with crews.
    pub fn out(&self) -> usize {
        let items = self.items.iter();
        items.filter(|one| one.with_crew.is_some()).count()
    }
}
