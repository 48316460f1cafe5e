//! The age of the fleet.

use std::collections::BTreeMap;

use serde::Serialize;
use time::Date;

use super::{Cohort, whole_years};
use crate::domain::{Kind, Made, Model, ModelId};

/// Items counted by how they stand to the end of their life.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Lives {
    /// Their life ends on a later day.
    pub within: u32,
    /// Their life is over.
    pub past: u32,
    /// No day ends it: the condition decides, or the end cannot be told.
    pub open: u32,
}

impl Lives {
    /// All of them.
    pub fn items(self) -> u32 {
        self.within + self.past + self.open
    }

    fn add(&mut self, ends_on: Option<Date>, today: Date, items: u32) {
        match ends_on {
            Some(end) if end <= today => self.past += items,
            Some(_) => self.within += items,
            None => self.open += items,
        }
    }
}

/// Items of one age.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct AgeGroup {
    /// Whole years since they were made, counted from the earliest day that the record can mean; none where it is not
    /// known.
    pub years: Option<u16>,
    /// How many, by how they stand to the end of their life.
    #[serde(flatten)]
    pub lives: Lives,
}

/// Items of one kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct KindAges {
    /// The kind.
    pub kind: Kind,
    /// How many, by how they stand to the end of their life.
    #[serde(flatten)]
    pub lives: Lives,
    /// Of how many the date made is not known.
    pub made_unknown: u32,
    /// Of how many only the year or the month made is known.
    pub made_rough: u32,
}

/// The age of everything that is not retired.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Ages {
    /// By age, the youngest first, without a gap; those of unknown age last.
    pub groups: Vec<AgeGroup>,
    /// By kind.
    pub kinds: Vec<KindAges>,
}

/// The ages on `today`, of one kind or of all.
pub fn ages(
    cohorts: &[Cohort],
    models: &BTreeMap<ModelId, Model>,
    today: Date,
    kind: Option<Kind>,
) -> Ages {
    let mut groups: BTreeMap<u16, Lives> = BTreeMap::new();
    let mut unknown = Lives::default();
    let mut kinds: Vec<KindAges> = Vec::new();
    for cohort in cohorts {
        let Some(model) = models.get(&cohort.model) else {
            continue;
        };
        if kind.is_some_and(|kind| kind != model.kind) {
            continue;
        }
        let (made, ends_on) = (cohort.made, cohort.ends_on);
        let group = match made {
            Some(made) => groups
                .entry(whole_years(made.cautious_day(), today))
                .or_default(),
            None => &mut unknown,
        };
        group.add(ends_on, today, cohort.items);
        let of_kind = of_kind(&mut kinds, model.kind);
        of_kind.lives.add(ends_on, today, cohort.items);
        match made {
            None => of_kind.made_unknown += cohort.items,
            Some(Made::Day(_)) => {}
            Some(_) => of_kind.made_rough += cohort.items,
        }
    }
    let oldest = groups.last_key_value().map(|(years, _)| *years);
    let mut all: Vec<AgeGroup> = Vec::new();
    for years in oldest.iter().flat_map(|oldest| 0..=*oldest) {
        all.push(AgeGroup {
            years: Some(years),
            lives: groups.get(&years).copied().unwrap_or_default(),
        });
    }
    if unknown.items() > 0 {
        all.push(AgeGroup {
            years: None,
            lives: unknown,
        });
    }
    kinds.sort_by_key(|of| Kind::ALL.iter().position(|kind| *kind == of.kind));
    Ages { groups: all, kinds }
}

fn of_kind(kinds: &mut Vec<KindAges>, kind: Kind) -> &mut KindAges {
    let at = kinds.iter().position(|of| of.kind == kind);
    let at = at.unwrap_or_else(|| {
        kinds.push(KindAges {
            kind,
            lives: Lives::default(),
            made_unknown: 0,
            made_rough: 0,
        });
        kinds.len() - 1
    });
    &mut kinds[at]
}
