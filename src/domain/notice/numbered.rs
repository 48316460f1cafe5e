//! Which lots and serials on record a notice is about.

use super::Notice;
use crate::domain::{Among, Item, NumberSpan, Readings, fold};

impl Notice {
    /// How the lot of an item is among those that it names; none where it is none of them.
    fn among_lots(&self, lot: &str) -> Option<Among> {
        if self.lots.iter().any(|named| fold(named) == fold(lot)) {
            return Some(Among::Itself);
        }
        let alone: Vec<NumberSpan> = self.lots.iter().map(|lot| NumberSpan::alone(lot)).collect();
        Readings::of(lot).among(alone.iter().chain(&self.lot_spans))
    }

    fn among_serials(&self, serial: &str) -> Option<Among> {
        Readings::of(serial).among(&self.serials)
    }

    fn asks_lot(&self) -> bool {
        !self.lots.is_empty() || !self.lot_spans.is_empty()
    }

    fn covers_lot(&self, lot: Option<&str>) -> bool {
        let asked = lot.filter(|_| self.asks_lot());
        asked.is_none_or(|lot| self.among_lots(lot).is_some())
    }

    fn covers_serial(&self, serial: Option<&str>) -> bool {
        let asked = serial.filter(|_| !self.serials.is_empty());
        asked.is_none_or(|serial| self.among_serials(serial).is_some())
    }

    /// Whether it asks for the lot, serial and date made of this item, as far as that is known, whatever maker and model it is of.
    pub fn asks_for(&self, item: &Item) -> bool {
        self.covers_lot(item.lot.as_deref())
            && self.covers_serial(item.maker_serial())
            && self.covers_made(item.made)
    }

    /// Why an item counts as covered whose lot or serial does not say plainly that it is: a sentence each.
    pub fn counted_as(&self, item: &Item) -> Vec<String> {
        let lot = item.lot.as_deref().filter(|_| self.asks_lot());
        let lot = lot.and_then(|lot| counted_as("lot", lot, self.among_lots(lot)?));
        let serial = item.maker_serial().filter(|_| !self.serials.is_empty());
        let serial =
            serial.and_then(|serial| counted_as("serial", serial, self.among_serials(serial)?));
        lot.into_iter().chain(serial).collect()
    }
}

fn counted_as(number: &str, noted: &str, among: Among) -> Option<String> {
    match among {
        Among::Itself => None,
        Among::ReadAs(read) => Some(format!(
            "Its {number} on record, \"{noted}\", may be read as {read}, so it counts as covered."
        )),
        Among::NotKnown => Some(format!(
            "Its {number} on record, \"{noted}\", cannot be told from those that are named, so it counts as covered."
        )),
    }
}
