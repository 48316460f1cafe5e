//! The catch: what a belay sees when the main rope fails.

use serde::Serialize;

use super::gap::Gap;
use super::{Band, Catch, FallFactor, Force, fall_peak};

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
    /// How the modulus of the rope is known.
    pub modulus_source: String,
    /// The most that a body may be stopped with, and who says so.
    pub limit: Option<super::ArrestLimit>,
    /// Whether the high end of the peak is within that limit; true where nobody sets one.
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
    let peak = fall_peak(load.mass()?, catch.modulus, fall_factor).map_err(|_| Gap::NotGiven {
        field: "modulus",
        what: "The modulus of the belay rope",
    })?;
    let high = Force::from_newtons(peak.newtons() * ABOVE_MODEL)?;
    let within = |limit: &super::ArrestLimit| high <= limit.force;
    Ok(Arrest {
        fall_factor,
        peak: Band::new(peak, peak, high).expect("a share above one makes it larger"),
        modulus_source: catch.modulus_source.clone(),
        passes: catch.limit.as_ref().is_none_or(within),
        limit: catch.limit.clone(),
    })
}
