//! What a job asks of its gear, worked out once for a whole kit list.

use super::{DayRules, Head, KitItem};
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
    /// The one that the team works by, whose days bind as well; none where nobody asked for it.
    pub home: Option<&'a Rulebook>,
    /// Its rig.
    pub rig: &'a Rig,
    /// The mass of the load, persons counted as the rulebook plans with them.
    pub load: Mass,
    /// How high over the edge the rig hangs.
    pub head: Head,
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
        let head = Head::planned(job);
        Self {
            job,
            rulebook,
            home: None,
            rig,
            load: rulebook.mass(job.load),
            rope: rope_need(rig, &way(job, &head)),
            head,
        }
    }

    /// The same plan of a team that works by a rulebook.
    #[must_use]
    pub fn at_home(self, home: &'a Rulebook) -> Self {
        Self {
            home: Some(home),
            ..self
        }
    }

    /// The rulebooks whose days bind its gear.
    pub fn days(&self) -> DayRules<'a> {
        DayRules {
            asked: self.rulebook,
            home: self.home,
        }
    }

    /// The way of the load, as the mechanics take it.
    pub(in crate::domain) fn way(&self) -> Way {
        way(self.job, &self.head)
    }

    /// How many persons hang on the rope: as many as the plan says, and no fewer than the rulebook's mass of one goes
    /// into the mass, a part of one as one.
    pub fn persons(&self) -> u8 {
        let said = self.job.people().unwrap_or(1);
        match self.job.load {
            Load::Persons(_) => said,
            Load::Mass(_) | Load::Force(_) => {
                let each = self.rulebook.person().mass.quantity().kilograms();
                let wanted = self.load.kilograms();
                // A hair, so that a sum of decimals is no further person.
                let reaches = |count: &u8| each * f64::from(*count) >= wanted * (1.0 - 1e-9);
                (said..=u8::MAX).find(reaches).unwrap_or(u8::MAX)
            }
        }
    }

    /// The mass that the rulebook counts for the people of the plan, where that is more than the load that was typed in.
    pub fn counted_more(&self) -> Option<Mass> {
        let counted = self.rulebook.mass(Load::Persons(self.job.people()?));
        // A hair of rounding is no lack.
        (self.load.kilograms() < counted.kilograms() * (1.0 - 1e-9)).then_some(counted)
    }

    /// The mass against which the rated load of an item is held: the whole load, but for a person's own gear that is taken
    /// along without a position one person of those that the plan counts. Never less than the rulebook counts for the
    /// people who hang there: a mass that was typed too low rates no device.
    ///
    /// Where their mass was typed in, how it is divided between them is not: each of the others counts with the rulebook's
    /// mass of a person, and this one with what that leaves, but never with less than that mass. So what is heavier than the
    /// rulebook plans for hangs on one, and as many people as the rulebook's mass goes into are carried as if they were
    /// counted. Without a count of people the whole load stays on everything.
    pub fn load_on(&self, item: &KitItem<'_>) -> Mass {
        match (Self::is_own_gear(item), self.job.people()) {
            (true, Some(people)) => self.of_one(people),
            _ => self.counted_more().unwrap_or(self.load),
        }
    }

    /// The least mass that an item would carry: what was typed in may be less than the rulebook counts.
    pub fn least_on(&self, item: &KitItem<'_>) -> Mass {
        let most = self.load_on(item);
        if self.load < most { self.load } else { most }
    }

    /// What hangs on the job and, where an item would carry another mass, why.
    pub fn load_evidence(&self, item: &KitItem<'_>) -> String {
        let load = self.job.load;
        let each = self.rulebook.person().mass;
        match (Self::is_own_gear(item), self.job.people(), load) {
            (true, Some(people @ 2..), Load::Mass(_) | Load::Force(_)) => format!(
                "load of the job {load} for {}; a person's own gear carries what is left of it with {each} for each of the \
                 others, and no less than that",
                Load::Persons(people),
            ),
            (_, Some(people), _) if self.counted_more().is_some() => format!(
                "load of the job {load} for {}, counted with no less than {each} each",
                Load::Persons(people)
            ),
            _ => format!("load of the job {load}"),
        }
    }

    fn is_own_gear(item: &KitItem<'_>) -> bool {
        let kind = item.model.kind;
        item.position.is_none()
            && matches!(kind, Kind::Harness | Kind::Lanyard | Kind::BackUpDevice)
    }

    /// The mass of the heaviest of so many people, as far as the plan tells it.
    fn of_one(&self, people: u8) -> Mass {
        let person = self.rulebook.mass(Load::Persons(1));
        let others = person.kilograms() * f64::from(people.saturating_sub(1));
        match self.job.load {
            Load::Mass(_) | Load::Force(_) => {
                let left = self.load.kilograms() - others;
                Mass::from_kilograms(left.max(person.kilograms())).unwrap_or(self.load)
            }
            Load::Persons(_) => person,
        }
    }
}

/// The way of a job's load, as the mechanics take it.
pub(super) fn way(job: &Job, head: &Head) -> Way {
    let setup = &job.setup;
    Way {
        depth: job.depth.quantity(),
        head_gap: head.counted().quantity(),
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
