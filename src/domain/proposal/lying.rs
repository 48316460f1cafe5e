//! Where what is offered and what is on the list lies: stores and bags by number.

use std::collections::HashMap;

use super::places::{Place, Places};
use super::{Offered, Stock};
use crate::domain::{Item, StoreId};

/// The stores and bags of a stock.
pub(super) struct Lying<'a> {
    stock: &'a Stock<'a>,
    /// The store or bag from which the job takes first.
    first: Option<StoreId>,
    /// For each store and bag its number, in the order in which they are met.
    numbers: HashMap<StoreId, usize>,
}

impl<'a> Lying<'a> {
    /// Numbers each store and bag that something on offer or on the list lies in.
    pub(super) fn of(stock: &'a Stock<'a>, first: Option<StoreId>) -> Self {
        let mut numbers = HashMap::new();
        let offered = stock.items.iter().map(|offered| offered.item);
        for item in offered.chain(stock.kit.iter().map(|on_list| on_list.item)) {
            let (store, bag) = stock.lies(item);
            for id in std::iter::once(store).chain(bag) {
                let next = numbers.len();
                numbers.entry(id).or_insert(next);
            }
        }
        Self {
            stock,
            first,
            numbers,
        }
    }

    /// Where an item lies.
    pub(super) fn place(&self, item: &Item) -> Place {
        let number = |id: StoreId| self.numbers.get(&id).copied().unwrap_or(usize::MAX);
        let (store, bag) = self.stock.lies(item);
        Place {
            store: number(store),
            bag: bag.map(number),
        }
    }

    /// The places that are gone to anyway, for what is on the list.
    pub(super) fn places_of_kit(&self) -> Places {
        let kit = self.stock.kit.iter();
        kit.map(|on_list| self.place(on_list.item)).collect()
    }

    /// The same, and the place that the job takes from first.
    pub(super) fn free(&self) -> Places {
        let mut free = self.places_of_kit();
        if let Some(first) = self.first {
            let number = |id: &StoreId| self.numbers.get(id).copied();
            let within = self.stock.within.get(&first);
            free.stores.extend(number(within.unwrap_or(&first)));
            free.bags.extend(within.and_then(|_| number(&first)));
        }
        free
    }

    /// Whether an item lies where the job takes from first; none where the job does not say it.
    pub(super) fn is_first(&self, offered: &Offered<'_>) -> Option<bool> {
        let first = self.first?;
        let (store, bag) = self.stock.lies(offered.item);
        Some(store == first || bag == Some(first))
    }
}
