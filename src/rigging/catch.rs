//! The catch: what a belay sees when the main rope fails, and what it does to who hangs on it.

use serde::Serialize;

use super::gap::Gap;
use super::{
    ArrestLimit, Band, Catch, FallFactor, Force, Length, Mass, fall_factor_within, fall_peak,
};

/// How far measured peaks rose above the spring model.
const ABOVE_MODEL: f64 = 1.3;

/// The catch of a rig under its conditions.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Arrest {
    /// The slack over the rope in play.
    pub fall_factor: FallFactor,
    /// The peak on the catching rope: the spring model, and up to 30 % more as measured (rescue
    /// symposium paper, 2002). The verdict rests on the high end.
    pub peak: Band<Force>,
    /// What one body of the load is stopped with. All of the load is slowed down alike, so a body takes
    /// the share of the peak that its mass is of the load; all of it where its mass is not given.
    pub on_body: Band<Force>,
    /// How the modulus of the rope is known.
    pub modulus_source: String,
    /// The most that a body may be stopped with, and who says so.
    pub limit: Option<ArrestLimit>,
    /// The most slack, with as much rope in play, that would keep a limit that is not kept; `None` where
    /// the limit is kept, or where no slack at all is too much already.
    pub most_slack: Option<Length>,
    /// Whether the high end of what a body is stopped with is within that limit; true where nobody sets
    /// one. Exactly the limit passes.
    pub passes: bool,
}

/// The peak of a catch, by [`fall_peak`].
///
/// # Errors
///
/// If the rope in play is nothing, or shorter than half the slack: no rope is fallen past twice.
pub(super) fn arrest(load: Force, catch: &Catch) -> Result<Arrest, Gap> {
    let factor = catch.slack.metres() / catch.in_play.metres();
    let fall_factor = FallFactor::from_ratio(factor).map_err(|_| Gap::NotGiven {
        field: "in_play",
        what: "A length of rope in play of at least half the slack",
    })?;
    let mass = load.mass()?;
    let peak = fall_peak(mass, catch.modulus, fall_factor).map_err(|_| no_modulus())?;
    let share = catch
        .limit
        .as_ref()
        .map_or(1.0, |limit| limit.share_of(mass));
    let peak = up_to_measured(peak)?;
    let on_body = Band::new(
        Force::from_newtons(peak.low().newtons() * share)?,
        Force::from_newtons(peak.likely().newtons() * share)?,
        Force::from_newtons(peak.high().newtons() * share)?,
    )
    .expect("a share keeps the order");
    let within = |limit: &ArrestLimit| {
        super::assess::reaches(limit.force.newtons(), on_body.high().newtons())
    };
    let passes = catch.limit.as_ref().is_none_or(within);
    let over = catch.limit.as_ref().filter(|_| !passes);
    let most_slack = over.map(|limit| most_slack(mass, catch, limit.force.newtons() / share));
    Ok(Arrest {
        fall_factor,
        peak,
        on_body,
        modulus_source: catch.modulus_source.clone(),
        most_slack: most_slack.transpose()?.flatten(),
        passes,
        limit: catch.limit.clone(),
    })
}

impl ArrestLimit {
    /// Which share of a load the body is that the limit is for.
    fn share_of(&self, load: Mass) -> f64 {
        self.body
            .map_or(1.0, |body| (body.kilograms() / load.kilograms()).min(1.0))
    }
}

/// From the spring model up to what was measured above it.
fn up_to_measured(peak: Force) -> Result<Band<Force>, Gap> {
    let high = Force::from_newtons(peak.newtons() * ABOVE_MODEL)?;
    Ok(Band::new(peak, peak, high).expect("a share above one makes it larger"))
}

/// The most slack whose measured peak stays within so many newtons on the rope.
fn most_slack(mass: Mass, catch: &Catch, newtons: f64) -> Result<Option<Length>, Gap> {
    let within = Force::from_newtons(newtons / ABOVE_MODEL)?;
    let factor = fall_factor_within(mass, catch.modulus, within).map_err(|_| no_modulus())?;
    let slack = factor.map(|factor| Length::from_metres(factor.ratio() * catch.in_play.metres()));
    Ok(slack.transpose()?)
}

fn no_modulus() -> Gap {
    Gap::NotGiven {
        field: "modulus",
        what: "The modulus of the belay rope",
    }
}
