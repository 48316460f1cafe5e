//! What a rig comes to before anything is fitted: strands, gain, shares of the load, what is needed where.

use serde::Serialize;

use super::solve::one_kilonewton;
use super::{Advantage, LoadingMode, Outfit, Phase, Rig, RigError, solve};

/// What follows from the sheet of a rig alone.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Outline {
    /// How many strands carry the load.
    pub strands_at_load: usize,
    /// Load over hand force without friction.
    pub ideal_advantage: Advantage,
    /// The pull in every part of rope without friction, from the hand on.
    pub parts: Vec<PartShare>,
    /// What each position needs, in the order of a kit list.
    pub needs: Vec<PositionNeed>,
}

/// The pull in a part of rope as a share of the load.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PartShare {
    /// Key of the rope's position.
    pub rope: String,
    /// Number of the part, from 0 at the hand.
    pub part: usize,
    /// What it runs from, on the side of the hand, in words.
    pub from: String,
    /// What it runs to, in words.
    pub to: String,
    /// Its tension over the load; nothing if it is slack.
    pub share: f64,
}

/// What an item must be to fill a position.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PositionNeed {
    /// Key of the position.
    pub position: String,
    /// The position in plain words.
    pub title: String,
    /// The kinds of item that may go here.
    pub accepts: Vec<String>,
    /// How many sheaves it must have.
    pub sheaves: u8,
    /// Whether it must have a becket.
    pub becket: bool,
    /// Whether it must capture the rope one way.
    pub capture: bool,
    /// Whether the rig is complete without it.
    pub optional: bool,
    /// How it is loaded; it needs a rating for each.
    pub modes: Vec<LoadingMode>,
}

impl Rig {
    /// What the rig comes to before anything is fitted.
    ///
    /// ```
    /// use ropeloft::rigging::shipped_rig;
    ///
    /// let outline = shipped_rig("three-to-one").ok_or("no such rig")?.outline()?;
    /// let shares: Vec<f64> = outline.parts.iter().map(|part| part.share).collect();
    /// assert_eq!(outline.strands_at_load, 1);
    /// assert!(shares.iter().any(|share| (share - 1.0 / 3.0).abs() < 1e-12));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    ///
    /// A gain beyond its limits; all else is refused when the rig is read.
    pub fn outline(&self) -> Result<Outline, RigError> {
        let load = one_kilonewton();
        let forces = solve(self, &Outfit::default(), load, Phase::Frictionless)?;
        let parts = forces.parts.into_iter().map(|part| PartShare {
            share: part.tension.likely().newtons() / load.newtons(),
            rope: part.rope,
            part: part.part,
            from: part.from,
            to: part.to,
        });
        let needs = self.positions.iter().enumerate();
        let needs = needs.map(|(index, position)| PositionNeed {
            position: position.key.clone(),
            title: position.title.clone(),
            accepts: position.accepts.clone(),
            sheaves: position.sheaves,
            becket: position.becket,
            capture: position.capture,
            optional: position.optional,
            modes: self.modes_of(index),
        });
        Ok(Outline {
            strands_at_load: self.strands_at_load(),
            ideal_advantage: self.ideal_advantage()?,
            parts: parts.collect(),
            needs: needs.collect(),
        })
    }
}
