//! How high over the edge a rig hangs: by the plan, or by the record of the tripod that carries it, whichever is more.

use std::borrow::Cow;

use super::{KitItem, Plan};
use crate::domain::entered::EnteredLength;
use crate::domain::{Job, Kind};
use crate::rigging::rope_need;

/// Two heights this near, in metres, are the same.
const HAIR: f64 = 1e-3;

/// How high over the edge a rig hangs.
#[derive(Clone, Debug, PartialEq)]
pub struct Head {
    planned: EnteredLength,
    tripod: Option<(String, EnteredLength)>,
}

impl Head {
    /// The height of the plan, no tripod looked at.
    pub fn planned(job: &Job) -> Self {
        Self {
            planned: job.setup.head_gap,
            tripod: None,
        }
    }

    /// The same under the tallest of the tripods of a kit whose height is on record. A spare carries nothing.
    pub fn of<'a, 'k: 'a>(job: &Job, kit: impl IntoIterator<Item = &'a KitItem<'k>>) -> Self {
        Self::planned(job).under(kit)
    }

    /// The same with the tallest of these tripods and of the one before.
    fn under<'a, 'k: 'a>(&self, kit: impl IntoIterator<Item = &'a KitItem<'k>>) -> Self {
        let mut head = self.clone();
        for item in kit {
            let height = item.model.attributes.length("height");
            let carries = item.model.kind == Kind::Tripod && item.position.is_some();
            let Some(height) = height.filter(|_| carries) else {
                continue;
            };
            let before = head.tripod.as_ref();
            if before.is_none_or(|(_, before)| before.quantity() < height.quantity()) {
                head.tripod = Some((item.label(), height));
            }
        }
        head
    }

    /// What is counted for the rope: the greater of the two, since a rope that is short is short at the bottom.
    pub fn counted(&self) -> EnteredLength {
        match &self.tripod {
            Some((_, height)) if height.quantity() > self.planned.quantity() => *height,
            _ => self.planned,
        }
    }

    /// What is counted, with whose it is: "2.8 m above the edge, by the record of tripod T-1".
    pub(super) fn words(&self) -> String {
        let counted = self.counted();
        match &self.tripod {
            Some((tripod, height)) if *height == counted && self.differs() => {
                format!("{counted} above the edge, by the record of {tripod}")
            }
            _ => format!("{counted} above the edge"),
        }
    }

    fn differs(&self) -> bool {
        let planned = self.planned.quantity().metres();
        let tripod = self.tripod.as_ref();
        tripod.is_some_and(|(_, height)| (height.quantity().metres() - planned).abs() > HAIR)
    }

    /// That plan and record do not agree, and which of them is counted; none where they do, or where one is not known.
    pub(in crate::domain) fn warning(&self) -> Option<String> {
        let (tripod, height) = self.tripod.as_ref().filter(|_| self.differs())?;
        Some(format!(
            "The plan has {} from the edge up to where the rig hangs, and the record of {tripod} has {height} under its \
             head: for the rope the greater is counted, {}. Measure it, and mend the plan or the record.",
            self.planned,
            self.counted()
        ))
    }
}

impl Plan<'_> {
    /// The same plan under the tripods of a kit: the rope that the way needs goes by the tallest of them where that is
    /// higher than the plan says.
    pub fn under(&self, kit: &[KitItem<'_>]) -> Cow<'_, Self> {
        let head = self.head.under(kit);
        if head == self.head {
            return Cow::Borrowed(self);
        }
        let mut plan = self.clone();
        plan.head = head;
        plan.rope = rope_need(plan.rig, &plan.way());
        Cow::Owned(plan)
    }
}
