//! The same job and the same kit, planned otherwise: another rig, a heavier load, a wet rope.

use serde::{Deserialize, Serialize};

use super::{Extent, KitItem, KitVerdict, Plan, kit_verdict};
use crate::domain::{FieldErrors, Job, JobDraft, Kind, KitEntry, KitList, LoadCase, Zone};
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
}

/// The job planned otherwise, and what its kit comes to then.
#[derive(Clone, Debug, Serialize)]
pub struct Otherwise {
    /// The job as it would be planned.
    pub job: Job,
    /// Where each item of the kit would go.
    pub moved: Vec<Moved>,
    /// The verdict then.
    pub verdict: KitVerdict,
    /// The rig then.
    #[serde(skip)]
    pub rig: Rig,
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

    /// The job as it would be planned.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn job(&self, planned: &Job) -> Result<Job, FieldErrors> {
        let mut draft = planned.draft(&Zone::UTC);
        let changes = [
            (&self.rig, &mut draft.rig),
            (&self.load, &mut draft.load),
            (&self.wet, &mut draft.wet),
            (&self.throw, &mut draft.throw),
            (&self.between_anchors, &mut draft.between_anchors),
        ];
        for (typed, field) in changes {
            if !typed.trim().is_empty() {
                field.clone_from(typed);
            }
        }
        self.put_case(planned, &mut draft);
        draft.check(planned.id, planned.revision, &Zone::UTC)
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

/// What a kit comes to on another plan of its job. Nothing is stored.
pub fn otherwise(list: &KitList, plan: &Plan<'_>, extent: Extent) -> Otherwise {
    let kit: Vec<KitItem<'_>> = list.entries.iter().map(KitEntry::kit_item).collect();
    let placed = placed(plan.rig, &kit);
    let title = |rig: &Rig, key: Option<&str>| {
        let position = rig.position(key?)?;
        Some(position.title().to_owned())
    };
    let moved = kit.iter().zip(&placed).map(|(now, then)| Moved {
        item: now.label(),
        from: title(&list.rig, now.position),
        to: title(plan.rig, then.position),
    });
    Otherwise {
        job: plan.job.clone(),
        moved: moved.collect(),
        verdict: kit_verdict(plan, &placed, extent),
        rig: plan.rig.clone(),
    }
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
