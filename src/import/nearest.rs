//! What of a list is asked first: what keeps the nearest model of it from each position that a rig must have filled.

use std::collections::{BTreeMap, BTreeSet};

use super::plan::ModelRef;
use crate::domain::kit_strength::{KitGap, OpenPlace};
use crate::domain::{Mend, Refusal};

/// At how many positions something that is not on a model's record keeps the nearest model from going.
pub(super) type Opens = BTreeMap<(ModelRef, &'static str), usize>;

/// A model that may take a position, and the codes of what its record lacks for it.
type Near = (ModelRef, BTreeSet<&'static str>);

/// The models that may take each position of the shipped rigs, with what their records lack for it.
#[derive(Default)]
pub(super) struct Nearest {
    places: BTreeMap<(usize, String), Vec<Near>>,
    items: BTreeMap<ModelRef, usize>,
}

impl Nearest {
    /// Takes in a model with the positions that it may take, and what every job and every verdict asks of its record.
    pub(super) fn add(
        &mut self,
        model: ModelRef,
        places: Vec<OpenPlace>,
        (refusals, gaps): (&[Refusal], &[KitGap]),
    ) {
        let of_record = |refusal: &&Refusal| matches!(refusal.mend, Some(Mend::ModelRecord(_)));
        // What no record mends keeps the model away for good.
        let for_good = |refusal: &Refusal| of_record(&refusal) && refusal.lacks.is_none();
        if refusals.iter().any(for_good) {
            return;
        }
        let wherever = refusals.iter().filter(of_record);
        let wherever = wherever.map(|refusal| refusal.code.key());
        let wherever = wherever.chain(gaps.iter().map(|gap| gap.code));
        let wherever: BTreeSet<&'static str> = wherever.collect();
        for place in places {
            let codes = place.codes.union(&wherever).copied().collect();
            let of_place = self.places.entry((place.rig, place.position)).or_default();
            of_place.push((model, codes));
        }
    }

    /// Counts an item of a model.
    pub(super) fn count(&mut self, model: ModelRef) {
        *self.items.entry(model).or_default() += 1;
    }

    /// What is asked first. Of each position it is what the model lacks that lacks least, and of such the one with the most
    /// items; nothing where some model lacks nothing.
    pub(super) fn opens(&self) -> Opens {
        let mut opens = Opens::new();
        for models in self.places.values() {
            let items = |model| self.items.get(model).copied().unwrap_or(0);
            let least = models
                .iter()
                .min_by_key(|(model, codes)| (codes.len(), std::cmp::Reverse(items(model))));
            for (model, code) in least.into_iter().flat_map(|(model, codes)| {
                let codes = codes.iter();
                codes.map(move |code| (*model, *code))
            }) {
                *opens.entry((model, code)).or_default() += 1;
            }
        }
        opens
    }
}
