//! Limits of a quantity, and the sentence that refuses what lies outside them.

use std::fmt;

use serde::Serialize;

/// The lowest and the highest value of a quantity.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Limits {
    low: f64,
    high: f64,
    low_end: End,
}

/// Whether a limit itself is accepted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
enum End {
    Closed,
    Open,
}

impl Limits {
    /// Both limits are accepted.
    pub(super) const fn closed(low: f64, high: f64) -> Self {
        Self {
            low,
            high,
            low_end: End::Closed,
        }
    }

    /// The low limit itself is refused, the high one accepted.
    pub(super) const fn low_open(low: f64, high: f64) -> Self {
        Self {
            low,
            high,
            low_end: End::Open,
        }
    }

    /// Whether a number lies inside; what is not a number does not.
    pub(super) fn hold(self, value: f64) -> bool {
        let above = match self.low_end {
            End::Closed => value >= self.low,
            End::Open => value > self.low,
        };
        above && value <= self.high
    }

    /// The same limits told in a unit that is `factor` of the first one.
    pub(super) fn in_unit(self, factor: f64) -> Self {
        Self {
            low: self.low / factor,
            high: self.high / factor,
            low_end: self.low_end,
        }
    }
}

/// A number was outside the limits of its quantity, or was no number at all.
#[derive(Clone, Debug, PartialEq, Serialize, thiserror::Error)]
pub struct BoundsError {
    quantity: &'static str,
    limits: Limits,
    unit: &'static str,
    #[serde(skip)]
    given: f64,
}

impl BoundsError {
    /// Names the quantity, its limits, the unit they are told in, and what was given.
    pub(super) fn new(
        quantity: &'static str,
        limits: Limits,
        unit: &'static str,
        given: f64,
    ) -> Self {
        Self {
            quantity,
            limits,
            unit,
            given,
        }
    }

    /// What was measured, in words.
    pub fn quantity(&self) -> &'static str {
        self.quantity
    }

    /// The limits, told in [`unit`](Self::unit).
    pub fn limits(&self) -> Limits {
        self.limits
    }

    /// The unit that the limits and the given number are told in; empty for a plain ratio.
    pub fn unit(&self) -> &'static str {
        self.unit
    }

    /// The number that was refused; it may be infinite or not a number.
    pub fn given(&self) -> f64 {
        self.given
    }
}

impl fmt::Display for BoundsError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Limits { low, high, low_end } = self.limits;
        let (low, high) = (Short(low), Short(high));
        write!(f, "{} must be ", self.quantity)?;
        match low_end {
            End::Closed => write!(f, "between {low} and {high}")?,
            End::Open => write!(f, "above {low} and at most {high}")?,
        }
        if !self.unit.is_empty() {
            write!(f, " {}", self.unit)?;
        }
        write!(f, ", not {}", self.given)
    }
}

/// A limit with at most six figures: a limit of 1000 kN is told as 224809 lbf, not 224808.943099.
struct Short(f64);

impl fmt::Display for Short {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0 == 0.0 {
            return write!(f, "0");
        }
        let rounded: f64 = format!("{:.5e}", self.0).parse().unwrap_or(self.0);
        write!(f, "{rounded}")
    }
}
