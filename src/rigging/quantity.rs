//! Physical quantities with their unit in the constructor.
//!
//! Inside, each quantity is one number in its SI unit; the unit a person wrote is met only at the
//! border. A constructor refuses what is not a number, not finite or outside the limits that are
//! sensible for rope rescue, and the refusal speaks in the unit that was given.
//!
//! Conversions are exact by definition: standard gravity 9.80665 m/s² (3rd CGPM 1901), the pound
//! 0.45359237 kg, the inch 25.4 mm and the foot 0.3048 m (international agreement of 1959), the
//! pound-force their product (NIST SP 811, appendix B).

use std::fmt;

use serde::{Deserialize, Serialize};

use super::bounds::{BoundsError, Limits};
use super::digits;

/// Standard gravity in m/s², exact by definition (3rd CGPM, 1901).
const GRAVITY: f64 = 9.806_65;
/// Kilograms in a pound, exact by definition (agreement of 1959).
const POUND: f64 = 0.453_592_37;
/// Newtons in a pound-force: the pound under standard gravity, exact by definition.
const POUND_FORCE: f64 = 4.448_221_615_260_5;

/// Writes a quantity: a number in its SI unit, limits, and a pair of functions for each unit.
///
/// A reading divides and a constructor multiplies by the same exact factor.
macro_rules! quantity {
    (
        $(#[$doc:meta])*
        $name:ident, $word:literal, $limits:expr;
        $( $(#[$unit_doc:meta])* $from:ident, $read:ident, $unit:literal, $factor:expr; )+
    ) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize, Deserialize)]
        #[serde(try_from = "f64", into = "f64")]
        pub struct $name(f64);

        impl $name {
            /// The smallest and the largest value that is accepted, in the first unit.
            pub const LIMITS: Limits = $limits;

            $(
                $(#[$unit_doc])*
                pub fn $from(value: f64) -> Result<Self, BoundsError> {
                    let inside = value * $factor;
                    if Self::LIMITS.hold(inside) {
                        // Adding zero turns a negative zero into a plain one.
                        Ok(Self(inside + 0.0))
                    } else {
                        Err(BoundsError::new($word, Self::LIMITS.in_unit($factor), $unit, value))
                    }
                }

                /// The same quantity as a plain number in this unit.
                pub fn $read(self) -> f64 {
                    self.0 / $factor
                }
            )+
        }

        impl From<$name> for f64 {
            fn from(quantity: $name) -> Self {
                quantity.0
            }
        }

        impl TryFrom<f64> for $name {
            type Error = BoundsError;

            /// Reads a number in the first unit of the quantity, the one it is written in.
            fn try_from(value: f64) -> Result<Self, BoundsError> {
                quantity!(@first $( $from )+)(value)
            }
        }
    };
    (@first $from:ident $( $rest:ident )*) => { Self::$from };
}

quantity!(
    /// A force, from nothing to 1000 kN.
    ///
    /// ```
    /// use ropeloft::rigging::Force;
    ///
    /// let refused = Force::from_kilonewtons(-1.0).unwrap_err();
    /// assert_eq!(refused.to_string(), "force must be between 0 and 1000 kN, not -1");
    /// ```
    Force, "force", Limits::closed(0.0, 1_000_000.0);
    /// Reads newtons.
    from_newtons, newtons, "N", 1.0;
    /// Reads kilonewtons.
    from_kilonewtons, kilonewtons, "kN", 1000.0;
    /// Reads dekanewtons, each ten newtons.
    from_dekanewtons, dekanewtons, "daN", 10.0;
    /// Reads pounds-force, each 4.4482216152605 N.
    from_pounds_force, pounds_force, "lbf", POUND_FORCE;
    /// Reads kilograms-force, each 9.80665 N.
    from_kilograms_force, kilograms_force, "kgf", GRAVITY;
    /// Reads kips, each a thousand pounds-force.
    from_kips, kips, "kip", POUND_FORCE * 1000.0;
);

quantity!(
    /// A mass, from nothing to 100 000 kg.
    Mass, "mass", Limits::closed(0.0, 100_000.0);
    /// Reads kilograms.
    from_kilograms, kilograms, "kg", 1.0;
    /// Reads pounds, each 0.45359237 kg.
    from_pounds, pounds, "lb", POUND;
);

quantity!(
    /// A length, from nothing to 100 km.
    Length, "length", Limits::closed(0.0, 100_000.0);
    /// Reads metres.
    from_metres, metres, "m", 1.0;
    /// Reads millimetres.
    from_millimetres, millimetres, "mm", 0.001;
    /// Reads centimetres.
    from_centimetres, centimetres, "cm", 0.01;
    /// Reads inches, each 25.4 mm.
    from_inches, inches, "in", 0.0254;
    /// Reads feet, each 0.3048 m.
    from_feet, feet, "ft", 0.3048;
);

quantity!(
    /// An angle, from nothing to a hundred turns: a rope may go many times round a post.
    Angle, "angle", Limits::closed(0.0, 36_000.0);
    /// Reads degrees.
    from_degrees, degrees, "degrees", 1.0;
    /// Reads radians.
    from_radians, radians, "rad", 180.0 / std::f64::consts::PI;
    /// Reads full turns of 360 degrees.
    from_turns, turns, "turns", 360.0;
);

quantity!(
    /// The efficiency of a sheave: the share of the pull that is left after the rope went half way
    /// round it (180 degrees). Above 0 and at most 1.
    Efficiency, "efficiency", Limits::low_open(0.0, 1.0);
    /// Reads a share: 0.92 is 92 of 100.
    from_share, share, "", 1.0;
);

quantity!(
    /// A coefficient of friction between a rope and what it rubs on, from 0 to 2.
    Friction, "coefficient of friction", Limits::closed(0.0, 2.0);
    /// Reads the plain coefficient.
    from_coefficient, coefficient, "", 1.0;
);

quantity!(
    /// The share of strength that is left after a knot, water or wear. Above 0 and at most 1.
    Remaining, "share of strength that is left", Limits::low_open(0.0, 1.0);
    /// Reads a share: 0.75 is 75 of 100.
    from_share, share, "", 1.0;
);

quantity!(
    /// How many times the strength of a part holds the force on it.
    SafetyFactor, "safety factor", Limits::low_open(0.0, 1e15);
    /// Reads the plain ratio.
    from_ratio, ratio, "", 1.0;
);

quantity!(
    /// A mechanical advantage: load over hand force.
    Advantage, "mechanical advantage", Limits::low_open(0.0, 1e15);
    /// Reads the plain ratio.
    from_ratio, ratio, "", 1.0;
);

quantity!(
    /// A fall factor: the height of a fall over the length of rope that stops it, 0 to 2.
    FallFactor, "fall factor", Limits::closed(0.0, 2.0);
    /// Reads the plain ratio.
    from_ratio, ratio, "", 1.0;
);

quantity!(
    /// The speed of a rope through the hands, above nothing and at most 20 m/s.
    Speed, "speed", Limits::low_open(0.0, 20.0);
    /// Reads metres in a second.
    from_metres_per_second, metres_per_second, "m/s", 1.0;
);

quantity!(
    /// The mass of a metre of rope, above nothing and at most 100 kg.
    LinearMass, "mass of a metre of rope", Limits::low_open(0.0, 100.0);
    /// Reads kilograms in a metre.
    from_kilograms_per_metre, kilograms_per_metre, "kg/m", 1.0;
);

impl Mass {
    /// The weight of the mass under standard gravity, W = m g with g = 9.80665 m/s².
    ///
    /// ```
    /// use ropeloft::rigging::Mass;
    ///
    /// let weight = Mass::from_kilograms(100.0)?.weight();
    /// assert_eq!(weight.newtons(), 980.665);
    /// # Ok::<(), ropeloft::rigging::BoundsError>(())
    /// ```
    pub fn weight(self) -> Force {
        // The heaviest mass weighs 980.665 kN, inside the limits of a force.
        Force(self.0 * GRAVITY)
    }
}

impl Force {
    /// The mass whose weight this is, under standard gravity.
    pub fn mass(self) -> Result<Mass, BoundsError> {
        Mass::from_kilograms(self.0 / GRAVITY)
    }
}

impl Angle {
    /// No angle at all.
    pub const NONE: Self = Self(0.0);
}

impl fmt::Display for Force {
    /// Kilonewtons with three digits that count, as in every table and drawing.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} kN", digits(self.kilonewtons(), 3))
    }
}

impl fmt::Display for SafetyFactor {
    /// Two decimals, never rounded up: 9.999 is shown as 9.99, so that what fails looks failed.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // The small step lets 10, stored a hair below ten, still show as 10.00.
        write!(
            f,
            "{:.2}",
            ((self.0 * (1.0 + 1e-12)) * 100.0).floor() / 100.0
        )
    }
}
