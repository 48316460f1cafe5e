//! What hangs at one position of a kit file.

use serde::Deserialize;

use super::super::Kind;
use super::super::attribute::LEAST_SHARE;
use super::super::entered::EnteredForce;
use super::super::rating::{
    Gear,
    beside::{Said, against},
};
use super::{Weight, Written};
use crate::rigging::{
    Efficiency, Fibre, Fitted, LoadingMode, Post, Reduction, ReductionKind, Remaining, Strength,
    StrengthKind, Wheel,
};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FittedSheet {
    label: String,
    #[serde(default)]
    strength: Vec<StrengthSheet>,
    fibre: Option<Fibre>,
    wheel: Option<Wheel>,
    post: Option<Post>,
    #[serde(default)]
    wear: Vec<WearSheet>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct StrengthSheet {
    mode: LoadingMode,
    kind: StrengthKind,
    force: Written<Weight>,
    source: String,
    #[serde(default)]
    confirmed: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WearSheet {
    remaining: Remaining,
    reason: String,
    source: String,
}

impl StrengthSheet {
    fn said(&self) -> Said {
        let Weight(force, _, given) = &self.force.0;
        Said {
            mode: self.mode,
            kind: self.kind,
            force: *force,
            given: given.clone(),
        }
    }
}

impl FittedSheet {
    /// What no item has: strengths of nothing or far beyond what such gear has, strengths that do not agree, and sheaves
    /// that let next to nothing through.
    pub(super) fn check(&self, kinds: &[Kind]) -> Result<(), String> {
        for strength in &self.strength {
            let Weight(force, _, given) = &strength.force.0;
            let what = format!("{}, {}", strength.kind.words(), strength.mode.words());
            if force.newtons() <= 0.0 {
                return Err(format!("The {what}, must be above 0, not {given}."));
            }
            let doubt =
                self.gear(kinds, strength.mode)
                    .doubt(strength.kind, Some(strength.mode), *force);
            if let Some(doubt) = doubt.filter(|_| !strength.confirmed) {
                return Err(format!(
                    "Is the {what}, really {given}? {} {}, or confirmed = true beside the force if {given} is what the maker states.",
                    doubt.why(),
                    doubt.instead(given)
                ));
            }
        }
        let said: Vec<Said> = self.strength.iter().map(StrengthSheet::said).collect();
        let mut against = (0..said.len()).filter_map(|nth| against(&said, nth));
        if let Some((_, why)) = against.next() {
            return Err(why);
        }
        let efficiency = self.wheel.as_ref().map(|wheel| wheel.efficiency.low());
        match efficiency.map(Efficiency::share) {
            Some(share) if share < LEAST_SHARE => Err(format!(
                "The efficiency of the wheel must be {LEAST_SHARE} to 1, not {share}."
            )),
            _ => Ok(()),
        }
    }

    /// What it can be: of the kinds that the position takes those that are loaded so, or else any that is.
    fn gear(&self, kinds: &[Kind], mode: LoadingMode) -> Gear {
        let loaded = |kinds: &[Kind]| -> Vec<Kind> {
            let kinds = kinds.iter().copied();
            kinds.filter(|kind| kind.modes().contains(&mode)).collect()
        };
        let of_position = loaded(kinds);
        let mut gear = Gear::of_any(if of_position.is_empty() {
            loaded(Kind::ALL)
        } else {
            of_position
        });
        let strengths = self.strength.iter();
        for one in strengths.filter(|one| one.kind == StrengthKind::Breaking) {
            if let Ok(force) = EnteredForce::read(&one.force.0.2, None) {
                gear.breaks_at(one.mode, force);
            }
        }
        gear
    }

    pub(super) fn fitted(self) -> Fitted {
        let strengths = self.strength.into_iter().map(|strength| Strength {
            mode: strength.mode,
            kind: strength.kind,
            force: strength.force.0.0,
            source: strength.source,
            of_mass: strength.force.0.1,
        });
        let wear = self.wear.into_iter().map(|wear| Reduction {
            kind: ReductionKind::Wear,
            remaining: wear.remaining,
            reason: wear.reason,
            source: wear.source,
        });
        Fitted {
            label: self.label,
            strengths: strengths.collect(),
            wheel: self.wheel,
            post: self.post,
            fibre: self.fibre,
            by_approval: None,
            wear: wear.collect(),
            stands_in: false,
        }
    }
}
