//! The legs of a bridle: two ropes or slings from one point to two anchors.

use super::legs::WIDEST;
use super::{Angle, Force, Length, MethodError};

/// How a bridle's angle should be looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BridleAngle {
    /// Up to 90 degrees: nothing to say.
    Plain,
    /// Above 90 degrees: a leg carries more than seven tenths of the load.
    Wide,
    /// Above 120 degrees: a leg carries more than the load.
    TooWide,
}

impl BridleAngle {
    /// Judges the angle between two legs.
    pub fn of(included: Angle) -> Self {
        match included.degrees() {
            wide if wide > 120.0 => Self::TooWide,
            wide if wide > 90.0 => Self::Wide,
            _ => Self::Plain,
        }
    }

    /// The warning, if there is one.
    pub fn warning(self) -> Option<&'static str> {
        match self {
            Self::Plain => None,
            Self::Wide => Some(
                "The legs stand wider than 90 degrees: bring the anchors closer or lengthen the legs.",
            ),
            Self::TooWide => Some(
                "The legs stand wider than 120 degrees, so each carries more than the load: do not rig it so.",
            ),
        }
    }
}

/// The force in each leg of an even bridle: W / (2 cos(a/2)), with the angle between the legs.
///
/// Source: statics; agrees with printed sling tables at 60, 45 and 30 degrees from level. Assumes
/// two legs of the same length that share evenly, on anchors that give equally. Limits: the angle
/// between the legs is 0 to 170 degrees.
///
/// ```
/// use ropeloft::rigging::{Angle, Force, even_leg};
///
/// let leg = even_leg(Force::from_kilonewtons(2.0)?, Angle::from_degrees(120.0)?)?;
/// assert!((leg.kilonewtons() - 2.0).abs() < 1e-12);
/// assert!(even_leg(leg, Angle::from_degrees(170.1)?).is_err());
/// # Ok::<(), ropeloft::rigging::MethodError>(())
/// ```
pub fn even_leg(load: Force, included: Angle) -> Result<Force, MethodError> {
    if included.degrees() > WIDEST {
        return Err(too_wide(included));
    }
    let half = included.radians() / 2.0;
    Ok(Force::from_newtons(load.newtons() / (2.0 * half.cos()))?)
}

/// The forces in two uneven legs by the sine rule, from the angle of each leg to the line of the
/// load: T1 = W sin b / sin(a + b), T2 = W sin a / sin(a + b).
///
/// Assumes legs on opposite sides of the line of the load, in one plane with it. Limits: the angles
/// add up to more than 0 and at most 170 degrees; legs in one line share the load by their stretch,
/// which no angle tells.
pub fn uneven_legs(load: Force, one: Angle, other: Angle) -> Result<(Force, Force), MethodError> {
    let (a, b) = (one.radians(), other.radians());
    let included = one.degrees() + other.degrees();
    if included > WIDEST {
        return Err(too_wide(Angle::from_degrees(included)?));
    }
    if included <= 0.0 {
        return Err(MethodError::Beyond(
            "two legs in one line share the load by their stretch, which no angle tells: give the angle of each",
        ));
    }
    let share = load.newtons() / (a + b).sin();
    Ok((
        Force::from_newtons(share * b.sin())?,
        Force::from_newtons(share * a.sin())?,
    ))
}

/// The same two forces from measured lengths: how far each anchor stands aside of the load, and how
/// high both stand above the point where the legs meet.
///
/// T1 = W D2 S1 / (H (D1 + D2)) with the leg length S1 = sqrt(D1² + H²). Source: a rental rigging
/// handbook. Limits as for [`uneven_legs`].
pub fn legs_by_measure(
    load: Force,
    aside: (Length, Length),
    height: Length,
) -> Result<(Force, Force), MethodError> {
    if height.metres() <= 0.0 {
        return Err(MethodError::Beyond(
            "the anchors must stand higher than the point where the legs meet",
        ));
    }
    let angle = |aside: Length| Angle::from_radians((aside.metres() / height.metres()).atan());
    uneven_legs(load, angle(aside.0)?, angle(aside.1)?)
}

/// The force to count for each of three or more legs: any two must carry all, since nothing makes
/// more than two share.
///
/// `widest` is the widest angle between two legs that stand opposite each other. Source: common
/// rigging practice; multi-leg sling tables (EN 13414-1:2003, table 4) also count fewer legs than
/// there are.
pub fn leg_of_many(load: Force, widest: Angle) -> Result<Force, MethodError> {
    even_leg(load, widest)
}

fn too_wide(given: Angle) -> MethodError {
    MethodError::Angle {
        what: "the angle between two legs",
        allowed: "0 to 170 degrees",
        given,
    }
}
