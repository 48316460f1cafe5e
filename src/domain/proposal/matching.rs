//! Which slots can be filled at once: a largest matching of slots and offers, and what keeps it from being whole.
//!
//! By augmenting paths, a slot after the other (the method of Kuhn for bipartite graphs). Where a slot stays empty,
//! the slots that an alternating path reaches from it share too few offers among them: by Hall's theorem they can
//! never all be filled from these offers.

/// Something that can fill some of the slots.
pub(super) trait Suits {
    /// Whether it can fill the slot.
    fn suits(&self, slot: usize) -> bool;
}

/// How slots are filled.
#[derive(Debug)]
pub(super) struct Matching {
    /// For each slot the index of the offer that fills it.
    pub filled: Vec<Option<usize>>,
    /// The slots that share too few offers, for each slot that stays empty; nothing if all are filled.
    pub starved: Vec<Vec<usize>>,
}

impl Matching {
    /// A largest matching of the slots, tried in their order.
    pub(super) fn of<S: Suits>(slots: &[usize], offers: &[S]) -> Self {
        let most = slots.iter().max().map_or(0, |slot| slot + 1);
        let mut holder = vec![None; offers.len()];
        let mut starved = Vec::new();
        for &slot in slots {
            let mut seen = vec![false; offers.len()];
            let mut reached = vec![false; most];
            if !augment(slot, offers, &mut holder, &mut seen, &mut reached) {
                starved.push((0..most).filter(|&slot| reached[slot]).collect());
            }
        }
        let mut filled = vec![None; most];
        for (offer, slot) in holder.iter().enumerate() {
            if let Some(slot) = *slot {
                filled[slot] = Some(offer);
            }
        }
        Self { filled, starved }
    }

    /// Whether every slot is filled.
    pub(super) fn is_whole(&self) -> bool {
        self.starved.is_empty()
    }
}

/// Finds an offer for a slot, moving others where that frees one.
fn augment<S: Suits>(
    slot: usize,
    offers: &[S],
    holder: &mut [Option<usize>],
    seen: &mut [bool],
    reached: &mut [bool],
) -> bool {
    reached[slot] = true;
    for offer in 0..offers.len() {
        if seen[offer] || !offers[offer].suits(slot) {
            continue;
        }
        seen[offer] = true;
        let is_free = match holder[offer] {
            None => true,
            Some(other) => augment(other, offers, holder, seen, reached),
        };
        if is_free {
            holder[offer] = Some(slot);
            return true;
        }
    }
    false
}
