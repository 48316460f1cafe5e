//! The same job and the same kit, planned otherwise: another rig, a heavier load, a wet rope.

use serde::{Deserialize, Serialize};

use super::{KitItem, KitVerdict};
use crate::domain::{FieldErrors, Job, JobDraft, Kind, KitEntry, KitList, LoadCase, Refusal, Zone};
use crate::rigging::{Position, Rig};

/// What is to be otherwise, as typed in; an empty text leaves it as it is planned.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::IntoParams)]
#[serde(default)]
#[into_params(parameter_in = Query)]
pub struct WhatIf {
    /// The other rig's key.
    pub rig: String,
    /// The other load: a mass with its unit, or `1 person`, `2 persons`.
    pub load: String,
    /// The other case, by its key, such as `two-persons`. Without a load beside it, its people hang on the rope with the mass
    /// that the rulebook plans with.
    pub case: String,
    /// `yes` or `no`: whether the rope gets wet.
    pub wet: String,
    /// How far a travelling pulley goes before it is set back, where only the other rig has one.
    pub throw: String,
    /// From one anchor to the other, where only the other rig's rope runs between two.
    pub between_anchors: String,
    /// The other start, as a job's.
    pub starts_at: String,
    /// The other end.
    pub ends_at: String,
}

/// The job planned otherwise, and what its kit comes to then.
#[derive(Clone, Debug, Serialize)]
pub struct Otherwise {
    /// The job as it would be planned.
    pub job: Job,
    /// Whether everything on the list may go then, is strong enough, and no belay of the plan is lost.
    pub passes: bool,
    /// The answer in one sentence: what may not go before how strong the rest is.
    pub sentence: String,
    /// Whether the plan has a belay, or two ropes that share the load, and this has neither.
    pub loses_belay: bool,
    /// What may not go then, with every reason.
    pub refused: Vec<RefusedThen>,
    /// Where each item of the kit would go.
    pub moved: Vec<Moved>,
    /// The verdict then; it passes only where everything does.
    pub verdict: KitVerdict,
    /// The list judged then.
    #[serde(skip)]
    pub list: KitList,
}

/// An item that may not go with the job planned otherwise.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct RefusedThen {
    /// The item.
    pub item: String,
    /// Every reason.
    pub reasons: Vec<Refusal>,
}

/// Where an item of the kit would go in the other rig.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Moved {
    /// The item.
    pub item: String,
    /// Where it stands now, in words; none is a spare.
    pub from: Option<String>,
    /// Where it would stand, in words; none if the other rig has no place for it.
    pub to: Option<String>,
}

impl WhatIf {
    /// Whether nothing is asked to be otherwise.
    pub fn is_blank(&self) -> bool {
        *self == Self::default()
    }

    /// The job as it would be planned; times without an offset are on the clocks of `zone`.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn job(&self, planned: &Job, zone: &Zone) -> Result<Job, FieldErrors> {
        let mut draft = planned.draft(zone);
        let changes = [
            (&self.rig, &mut draft.rig),
            (&self.load, &mut draft.load),
            (&self.wet, &mut draft.wet),
            (&self.throw, &mut draft.throw),
            (&self.between_anchors, &mut draft.between_anchors),
            (&self.starts_at, &mut draft.starts_at),
            (&self.ends_at, &mut draft.ends_at),
        ];
        for (typed, field) in changes {
            if !typed.trim().is_empty() {
                field.clone_from(typed);
            }
        }
        self.put_case(planned, &mut draft);
        draft.check(planned.id, planned.revision, zone)
    }

    /// The case beside the load: another case is another load unless one is typed, and another count of people alone
    /// is another case.
    fn put_case(&self, planned: &Job, draft: &mut JobDraft) {
        let loaded = !self.load.trim().is_empty();
        match self.case.trim() {
            "" if loaded && draft.counts_people() => draft.case.clear(),
            "" => {}
            case => {
                if !loaded && LoadCase::from_key(case) != planned.case {
                    draft.load.clear();
                }
                case.clone_into(&mut draft.case);
            }
        }
    }
}

impl Otherwise {
    /// The plan as it is, and the same list as it was judged with the job planned otherwise: its entries in the same
    /// order, each where [`places`] puts it.
    pub fn new(planned: &KitList, list: KitList) -> Self {
        let title = |rig: &Rig, entry: &KitEntry| {
            let position = rig.position(entry.line.position.as_deref()?)?;
            Some(position.title().to_owned())
        };
        let pairs = planned.entries.iter().zip(&list.entries);
        let moved = pairs.map(|(now, then)| Moved {
            item: now.kit_item().label(),
            from: title(&planned.rig, now),
            to: title(&list.rig, then),
        });
        let refused = list
            .entries
            .iter()
            .filter(|entry| !entry.refusals.is_empty());
        let refused = refused.map(|entry| RefusedThen {
            item: entry.kit_item().label(),
            reasons: entry.refusals.clone(),
        });
        let loses_belay = planned.rig.catches() && !list.rig.catches();
        let passes = list.passes() && !loses_belay;
        Self {
            job: list.job.clone(),
            passes,
            sentence: list.sentence(),
            loses_belay,
            refused: refused.collect(),
            moved: moved.collect(),
            verdict: KitVerdict {
                passes,
                ..list.verdict.clone()
            },
            list,
        }
    }
}

/// Where each item of a list goes in another rig: the key of its position; none is a spare.
pub fn places(list: &KitList, rig: &Rig) -> Vec<Option<String>> {
    let kit: Vec<KitItem<'_>> = list.entries.iter().map(KitEntry::kit_item).collect();
    let placed = placed(rig, &kit).into_iter();
    placed
        .map(|item| item.position.map(str::to_owned))
        .collect()
}

/// The kit on the positions of another rig: each item where its position has the same name and takes
/// it, else at the first free position that takes it; what finds none is a spare.
fn placed<'a>(rig: &'a Rig, kit: &[KitItem<'a>]) -> Vec<KitItem<'a>> {
    let mut placed: Vec<KitItem<'a>> = kit
        .iter()
        .map(|now| KitItem {
            position: now
                .position
                .and_then(|key| rig.position(key))
                .filter(|place| suits(now, place))
                .map(Position::key),
            ..*now
        })
        .collect();
    for place in rig.positions() {
        let taken = placed.iter().any(|item| item.position == Some(place.key()));
        if taken {
            continue;
        }
        let mut free = placed.iter_mut().zip(kit);
        // What stands somewhere now goes before what was only a spare.
        let found = free.find(|(then, now)| {
            then.position.is_none() && now.position.is_some() && suits(now, place)
        });
        if let Some((item, _)) = found {
            item.position = Some(place.key());
        }
    }
    placed
}

/// Whether a position takes an item by its kind and, for a pulley, by its sheaves.
fn suits(item: &KitItem<'_>, place: &Position) -> bool {
    let takes = |word: &String| Kind::from_word(word) == Some(item.model.kind);
    let sheaves = item.model.attributes.count("sheaves");
    let enough = sheaves.is_none_or(|sheaves| sheaves >= u32::from(place.sheaves()));
    place.accepts().iter().any(takes) && enough
}
