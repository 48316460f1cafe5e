//! What the records of models lack for the positions that nothing can be taken for.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use serde::Serialize;

use super::missing::Judged;
use crate::domain::fact::Fact;
use crate::domain::fitness::{KitItem, Plan, range_lacking};
use crate::domain::kit_strength::gaps_of;
use crate::domain::{ItemId, Mend, ModelId, Refusal, RefusalCode};

/// A model whose record lacks something, so that none of its items may go where one is missing.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Lacking {
    /// The model.
    pub model: ModelId,
    /// The keys of the positions, in the order of the rig.
    pub positions: Vec<String>,
    /// How many of its items were looked at for them.
    pub items: usize,
    /// Of how many of these nothing but the record of a model speaks against one of the positions.
    pub ready: usize,
    /// What else speaks against the others, each once.
    pub besides: Vec<RefusalCode>,
    /// What is not on its record, in a few words each.
    pub lacks: Vec<String>,
    /// The same as what would have to be written down.
    #[serde(skip)]
    pub facts: Vec<Fact>,
}

/// What is gathered of one model.
#[derive(Default)]
struct Gathered {
    positions: Vec<String>,
    items: BTreeSet<ItemId>,
    ready: BTreeSet<ItemId>,
    besides: BTreeSet<RefusalCode>,
    lacks: Vec<String>,
    facts: Vec<Fact>,
}

/// What was found to be lacking, model by model.
#[derive(Default)]
pub(super) struct Lack {
    models: BTreeMap<ModelId, Gathered>,
}

impl Lack {
    /// Looks at everything that was judged for one position.
    pub(super) fn at(&mut self, plan: &Plan<'_>, position: &str, judged: &[Judged<'_>]) {
        // The mechanics ask the same of every item of a model.
        let mut gaps: HashMap<ModelId, Vec<(String, Option<Fact>)>> = HashMap::new();
        for (offered, refusals) in judged {
            // Where other approvals are on record, the one that is asked for is most likely not to be had.
            if refusals.iter().any(Refusal::is_of_another_sort) {
                continue;
            }
            let item = KitItem {
                item: offered.item,
                model: offered.model,
                position: Some(position),
            };
            let own = gaps
                .entry(offered.model.id)
                .or_insert_with(|| of_model(plan, &item, refusals));
            let open: Vec<Refusal> = refusals
                .iter()
                .filter(|refusal| refusal.fact.is_none())
                .cloned()
                .collect();
            let of_others = refusals.iter().filter_map(|refusal| {
                let Some(Mend::ModelRecord(model)) = refusal.mend else {
                    return None;
                };
                let lacks = refusal.lacks.clone()?;
                Some((model, (lacks, refusal.fact.clone())))
            });
            let own = own.iter().map(|lack| (offered.model.id, lack.clone()));
            for (model, (lacks, fact)) in of_others.chain(own) {
                let Some(fact) = fact else { continue };
                let gathered = self.models.entry(model).or_default();
                gathered.and(position, lacks, fact);
                if model == offered.model.id {
                    gathered.item(offered.item.id, &open);
                }
            }
        }
    }

    /// Those of whose items most only wait for the record first.
    pub(super) fn into_models(self) -> Vec<Lacking> {
        let models = self.models.into_iter();
        let mut models: Vec<Lacking> = models
            .map(|(model, found)| Lacking {
                model,
                positions: found.positions,
                items: found.items.len(),
                ready: found.ready.len(),
                besides: found.besides.into_iter().collect(),
                lacks: found.lacks,
                facts: found.facts,
            })
            .collect();
        models.sort_by_key(|one| (std::cmp::Reverse(one.ready), one.lacks.len()));
        models
    }
}

impl Gathered {
    fn and(&mut self, position: &str, lacks: String, fact: Fact) {
        if !self.positions.iter().any(|key| key == position) {
            self.positions.push(position.to_owned());
        }
        if !self.facts.contains(&fact) {
            self.facts.push(fact);
            self.lacks.push(lacks);
        }
    }

    fn item(&mut self, item: ItemId, open: &[Refusal]) {
        self.items.insert(item);
        if open.is_empty() {
            self.ready.insert(item);
        }
        self.besides.extend(open.iter().map(|refusal| refusal.code));
    }
}

/// What the mechanics ask of a model at a position, and the ropes that it takes where one will run through it.
fn of_model(
    plan: &Plan<'_>,
    item: &KitItem<'_>,
    refusals: &[Refusal],
) -> Vec<(String, Option<Fact>)> {
    let gaps = gaps_of(plan, item, refusals).into_iter();
    let mut lack: Vec<_> = gaps.map(|gap| (gap.lacks, gap.fact)).collect();
    let range = range_lacking(item, plan);
    lack.extend(range.map(|(lacks, fact)| (lacks.to_owned(), Some(fact))));
    lack
}
