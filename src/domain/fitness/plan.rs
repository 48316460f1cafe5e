//! What a job asks of its gear, worked out once for a whole kit list.

use super::KitItem;
use crate::domain::entered::EnteredLength;
use crate::domain::rulebook::{Rulebook, rulebook};
use crate::domain::{FieldErrors, Job, Kind, Load};
use crate::rigging::{Gap, Mass, Rig, RopeNeed, Speed, Way, rope_need, shipped_rig};

/// A job with its rulebook and rig, and what follows from the three.
#[derive(Clone, Debug)]
pub struct Plan<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its rulebook.
    pub rulebook: &'a Rulebook,
    /// Its rig.
    pub rig: &'a Rig,
    /// The mass of the load, persons counted as the rulebook plans with them.
    pub load: Mass,
    /// The rope that the way needs, or what is missing to tell it.
    pub rope: Result<RopeNeed, Vec<Gap>>,
}

impl<'a> Plan<'a> {
    /// The plan of a job whose rulebook and rig come with the program.
    ///
    /// # Errors
    /// The fields `rulebook` and `rig`, where no such one is known.
    pub fn of(job: &'a Job) -> Result<Self, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let rulebook = rulebook(&job.rulebook);
        if rulebook.is_none() {
            wrong.add(
                "rulebook",
                "choice",
                format!("Choose a rulebook from the list, not \"{}\".", job.rulebook),
            );
        }
        let rig = shipped_rig(&job.rig);
        if rig.is_none() {
            wrong.add(
                "rig",
                "choice",
                format!("Choose a rig from the list, not \"{}\".", job.rig),
            );
        }
        match (rulebook, rig) {
            (Some(rulebook), Some(rig)) => Ok(Self::new(job, rulebook, rig)),
            _ => Err(wrong),
        }
    }

    /// The plan of a job with a rulebook and a rig of any origin.
    pub fn new(job: &'a Job, rulebook: &'a Rulebook, rig: &'a Rig) -> Self {
        Self {
            job,
            rulebook,
            rig,
            load: rulebook.mass(job.load),
            rope: rope_need(rig, &way(job)),
        }
    }

    /// How many persons hang on the rope: as many as the plan says, and no fewer than the rulebook's mass of one goes
    /// into the mass, a part of one as one.
    pub fn persons(&self) -> u8 {
        let said = self.job.people().unwrap_or(1);
        match self.job.load {
            Load::Persons(_) => said,
            Load::Mass(_) => {
                let each = self.rulebook.person().mass.quantity().kilograms();
                let wanted = self.load.kilograms();
                // A hair, so that a sum of decimals is no further person.
                let reaches = |count: &u8| each * f64::from(*count) >= wanted * (1.0 - 1e-9);
                (said..=u8::MAX).find(reaches).unwrap_or(u8::MAX)
            }
        }
    }

    /// The mass that an item would carry: the whole load, but for a person's own gear that is taken
    /// along without a position one of the persons that are counted.
    pub fn load_on(&self, item: &KitItem<'_>) -> Mass {
        let own_gear = matches!(
            item.model.kind,
            Kind::Harness | Kind::Lanyard | Kind::BackUpDevice
        );
        match (item.position, self.job.load) {
            (None, Load::Persons(_)) if own_gear => self.rulebook.mass(Load::Persons(1)),
            _ => self.load,
        }
    }
}

/// The way of a job's load, as the mechanics take it.
pub(in crate::domain) fn way(job: &Job) -> Way {
    let setup = &job.setup;
    Way {
        depth: job.depth.quantity(),
        head_gap: setup.head_gap.quantity(),
        block_length: setup.block_length.quantity(),
        tail: setup.tail.quantity(),
        knots: setup.knots.quantity(),
        throw: setup.throw.map(EnteredLength::quantity),
        between_anchors: setup.between_anchors.map(EnteredLength::quantity),
        hand_speed: setup
            .hand_speed
            .and_then(|second| Speed::from_metres_per_second(second.quantity().metres()).ok()),
    }
}
