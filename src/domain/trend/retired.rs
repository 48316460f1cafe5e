//! What was retired, by year and by kind, and for what.

use std::collections::BTreeMap;

use time::Date;

use crate::domain::{Kind, RetiredFor};

/// Items of one kind that were retired on one day for one thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RetiredGroup {
    /// The kind.
    pub kind: Kind,
    /// For what.
    pub because: RetiredFor,
    /// On which day.
    pub on: Date,
    /// How many.
    pub items: u32,
}

/// How many were retired in one year, for each thing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RetiredYear {
    /// The year.
    pub year: i32,
    /// How many, by what for.
    pub counts: BTreeMap<RetiredFor, u32>,
}

/// How many of one kind were retired, for each thing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KindRetired {
    /// The kind.
    pub kind: Kind,
    /// How many, by what for.
    pub counts: BTreeMap<RetiredFor, u32>,
}

/// By year, the first first, without a gap.
pub fn by_year(groups: &[RetiredGroup]) -> Vec<RetiredYear> {
    let years = || groups.iter().map(|group| group.on.year());
    let (Some(first), Some(last)) = (years().min(), years().max()) else {
        return Vec::new();
    };
    let years = (first..=last).map(|year| RetiredYear {
        year,
        counts: counts(groups, |group| group.on.year() == year),
    });
    years.collect()
}

/// By kind, as far as any was retired.
pub fn by_kind(groups: &[RetiredGroup]) -> Vec<KindRetired> {
    let kinds = Kind::ALL.iter().map(|kind| KindRetired {
        kind: *kind,
        counts: counts(groups, |group| group.kind == *kind),
    });
    kinds.filter(|of| !of.counts.is_empty()).collect()
}

fn counts(
    groups: &[RetiredGroup],
    wanted: impl Fn(&RetiredGroup) -> bool,
) -> BTreeMap<RetiredFor, u32> {
    let mut counts = BTreeMap::new();
    for group in groups.iter().filter(|group| wanted(group)) {
        *counts.entry(group.because).or_default() += group.items;
    }
    counts
}
