//! What friction does to a rope at each passage: the ratio of its two tensions, as a range.

use super::capstan::grip;
use super::reeving::{Passage, PassageKind};
use super::{
    Angle, Band, Duty, Efficiency, Fitted, Friction, Outfit, Phase, Rig, RigError, Turning,
};

/// The natural logarithm of the largest ratio that one passage may have. Beyond it, not even a
/// ten-thousand-millionth of the force comes through.
const MOST_GRIP: f64 = 23.0;

/// Tension on the far side over tension on the side of the hand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Ratio {
    pub low: f64,
    pub likely: f64,
    pub high: f64,
}

impl Ratio {
    const ONE: Self = Self {
        low: 1.0,
        likely: 1.0,
        high: 1.0,
    };

    /// An even share.
    const HALF: Self = Self {
        low: 0.5,
        likely: 0.5,
        high: 0.5,
    };
    /// A share that may be nothing or all.
    const NOBODY_KNOWS: Self = Self {
        low: 0.0,
        likely: 0.5,
        high: 1.0,
    };

    /// Whether there is nothing to combine.
    pub fn is_exact(self) -> bool {
        self.low >= self.high
    }

    /// The same friction with the rope going the other way.
    fn reversed(self) -> Self {
        Self {
            low: 1.0 / self.high,
            likely: 1.0 / self.likely,
            high: 1.0 / self.low,
        }
    }
}

/// The efficiency of a sheave that the rope wraps only in part: `e^(wrap / 180)`, with `e` known for
/// half a turn.
///
/// The loss is taken to grow with the wrap as friction round a bar does, so two quarter turns lose
/// what one half turn loses. Limits: clean and dry rope that fits the sheave; bending loss of a stiff
/// rope does not shrink with the wrap, so a small wrap may lose more than this.
///
/// ```
/// use ropeloft::rigging::{Angle, Efficiency, efficiency_of_wrap};
///
/// let half = Efficiency::from_share(0.81)?;
/// let quarter = efficiency_of_wrap(half, Angle::from_degrees(90.0)?)?;
/// assert!((quarter.share() - 0.9).abs() < 1e-12);
/// # Ok::<(), ropeloft::rigging::BoundsError>(())
/// ```
pub fn efficiency_of_wrap(
    half_turn: Efficiency,
    wrap: Angle,
) -> Result<Efficiency, super::BoundsError> {
    Efficiency::from_share(half_turn.share().powf(wrap.degrees() / 180.0))
}

/// The ratio at every passage of a rig in one phase; after them, for two ropes that share the load, the
/// share of the first.
pub(super) fn ratios(rig: &Rig, outfit: &Outfit, phase: Phase) -> Result<Vec<Ratio>, RigError> {
    let passages = rig.reeving.passages.iter();
    let mut ratios = passages
        .map(|passage| ratio(rig, outfit, phase, passage))
        .collect::<Result<Vec<_>, _>>()?;
    if rig.reeving.hands[0].duty == Duty::Twin {
        ratios.push(match phase {
            Phase::Frictionless => Ratio::HALF,
            _ => Ratio::NOBODY_KNOWS,
        });
    }
    Ok(ratios)
}

fn ratio(rig: &Rig, outfit: &Outfit, phase: Phase, passage: &Passage) -> Result<Ratio, RigError> {
    if phase == Phase::Frictionless {
        return Ok(Ratio::ONE);
    }
    let place = &rig.positions[passage.position].key;
    let fitted = outfit.at(place);
    let (hauling, lowering) = match passage.kind {
        PassageKind::Clamp => (Ratio::ONE, Ratio::ONE),
        PassageKind::Post {
            wrap,
            off_in_hauling,
        } => {
            let lowering = round_a_post(fitted, place, wrap)?;
            let hauling = if off_in_hauling {
                Ratio::ONE
            } else {
                lowering.reversed()
            };
            (hauling, lowering)
        }
        PassageKind::Sheave { wrap, capture } => round_a_sheave(fitted, place, wrap, capture)?,
    };
    Ok(match phase {
        Phase::Frictionless => Ratio::ONE,
        Phase::Hauling | Phase::StuckLoad => hauling,
        Phase::Lowering => lowering,
        Phase::Held | Phase::AtRest => Ratio {
            // Nobody pulls a rope back through a brake that only lowers.
            low: if rig.only_lowers { 1.0 } else { hauling.low },
            likely: 1.0,
            high: lowering.high,
        },
        // A rope that catches is pulled towards the load. A brake is there to hold it; what friction at
        // a sheave would spare it is not counted on.
        Phase::OnBelay | Phase::BelayCatch => match passage.kind {
            PassageKind::Post { .. } => lowering,
            PassageKind::Sheave { .. } | PassageKind::Clamp => Ratio {
                low: 1.0,
                ..lowering
            },
        },
    })
}

/// The ratios while hauling and while lowering.
fn round_a_sheave(
    fitted: Option<&Fitted>,
    place: &str,
    wrap: f64,
    capture: bool,
) -> Result<(Ratio, Ratio), RigError> {
    let wheel = fitted.and_then(|fitted| fitted.wheel.as_ref());
    let wheel = wheel.ok_or_else(|| RigError::NoEfficiency {
        position: place.to_owned(),
    })?;
    let share = |efficiency: Efficiency| efficiency.share().powf(wrap / 180.0);
    let hauling = Ratio {
        low: share(wheel.efficiency.low()),
        likely: share(wheel.efficiency.likely()),
        high: share(wheel.efficiency.high()),
    };
    let lowering = match &wheel.turning {
        Turning::OneWay { friction, .. } if capture => rubbing(*friction, wrap),
        Turning::OneWay { .. } | Turning::Free | Turning::Cam => hauling.reversed(),
    };
    if hauling.low.ln() < -MOST_GRIP || lowering.high.ln() > MOST_GRIP {
        return Err(RigError::Jammed {
            position: place.to_owned(),
        });
    }
    Ok((hauling, lowering))
}

/// The ratio while lowering.
fn round_a_post(fitted: Option<&Fitted>, place: &str, wrap: f64) -> Result<Ratio, RigError> {
    let post = fitted.and_then(|fitted| fitted.post.as_ref());
    let post = post.ok_or_else(|| RigError::NoFriction {
        position: place.to_owned(),
    })?;
    if post.friction.high().coefficient() * wrap.to_radians() > MOST_GRIP {
        return Err(RigError::Jammed {
            position: place.to_owned(),
        });
    }
    Ok(rubbing(post.friction, wrap))
}

/// A rope rubbing on something that stands still holds back `exp(mu * wrap)`.
fn rubbing(friction: Band<Friction>, wrap: f64) -> Ratio {
    let ratio = |mu: Friction| grip(mu.coefficient(), wrap.to_radians());
    Ratio {
        low: ratio(friction.low()),
        likely: ratio(friction.likely()),
        high: ratio(friction.high()),
    }
}
