//! What the address of the bench asks for: what is set once, what was scanned, and the list that is worked through.

use std::collections::HashSet;

use serde::Deserialize;
use time::Date;
use uuid::Uuid;

use crate::{
    deed::bench::Wanted,
    domain::{
        ExaminationId, ExaminationKind, FieldErrors, ItemId, JobId, RoundId, date::write_day,
    },
    view::bench::Sitting,
    web::{Problem, item},
};

/// What stands behind the question mark: what is set once, what was scanned, and the list that is worked through.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct Asked {
    look: String,
    on: String,
    examiner: String,
    place: String,
    pub(super) code: String,
    /// The item that is open.
    pub(super) item: Option<ItemId>,
    /// The id of the examination that its form makes.
    pub(super) id: Option<Uuid>,
    /// The examination that was recorded just now, whose photos come next.
    pub(super) recorded: Option<ExaminationId>,
    /// The ids of the list's items, with commas between.
    items: String,
    /// The round that is the list.
    round: String,
    /// The job whose kit is the list.
    job: String,
    /// Else the list is what this finds.
    #[serde(flatten)]
    found: item::Asked,
}

impl Asked {
    /// What is set once; the kind is what this person most likely does, the day is today.
    pub(super) fn sitting(&self, may_thorough: bool, today: Date) -> Sitting {
        let usual = if may_thorough {
            ExaminationKind::Periodic
        } else {
            ExaminationKind::PreUse
        };
        let or = |text: &str, usual: String| match text.trim() {
            "" => usual,
            text => text.to_owned(),
        };
        Sitting {
            look: or(&self.look, usual.key().to_owned()),
            on: or(&self.on, write_day(today)),
            examiner: self.examiner.clone(),
            place: self.place.clone(),
        }
    }

    /// What tells which list is worked through.
    pub(super) fn listed(&self) -> Vec<(&'static str, &str)> {
        let mut pairs = vec![
            ("items", self.items.as_str()),
            ("round", self.round.as_str()),
            ("job", self.job.as_str()),
        ];
        pairs.extend(self.found.pairs());
        pairs.retain(|(_, value)| !value.is_empty());
        pairs
    }

    /// The items of the list that is asked for; none if none is.
    pub(super) fn wanted(&self, today: Date) -> Result<Option<Wanted>, Problem> {
        let ways = [
            !self.items.is_empty(),
            !self.round.is_empty(),
            !self.job.is_empty(),
            self.found.is_narrowed(),
        ];
        if ways.into_iter().filter(|way| *way).count() > 1 {
            let sentence = "Choose a job, or a store and a kind of gear, not both.";
            return Err(FieldErrors::one("list", "choice", sentence).into());
        }
        Ok(match ways {
            [true, _, _, _] => Some(Wanted::Named(self.named()?)),
            [_, true, _, _] => {
                let round = self.round.parse::<RoundId>();
                Some(Wanted::Round(
                    round.map_err(|_| Problem::NotFound("round"))?,
                ))
            }
            [_, _, true, _] => {
                let job = self.job.parse::<JobId>();
                Some(Wanted::Kit(job.map_err(|_| Problem::NotFound("job"))?))
            }
            [_, _, _, true] => Some(Wanted::Found(self.found.filter(today)?)),
            _ => None,
        })
    }

    fn named(&self) -> Result<Vec<ItemId>, Problem> {
        let ids = self.items.split(',').map(|id| id.trim().parse::<ItemId>());
        let ids: Result<Vec<ItemId>, _> = ids.collect();
        let mut ids = ids.map_err(|_| Problem::NotFound("item"))?;
        let mut seen = HashSet::new();
        ids.retain(|id| seen.insert(*id));
        Ok(ids)
    }
}
