//! A range with its likely value: what is known of friction, and of every answer that rests on it.

use std::fmt;

use serde::{Deserialize, Serialize};

/// A low, a likely and a high value, in that order.
///
/// ```
/// use ropeloft::rigging::{Band, Efficiency};
///
/// let share = Efficiency::from_share;
/// let bearing = Band::new(share(0.85)?, share(0.92)?, share(0.95)?)?;
/// assert_eq!(bearing.low().share(), 0.85);
/// assert!(Band::new(share(0.92)?, share(0.85)?, share(0.95)?).is_err());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "Ends<T>", into = "Ends<T>")]
#[serde(bound(
    serialize = "T: Copy + Serialize",
    deserialize = "T: Copy + PartialOrd + Deserialize<'de>"
))]
pub struct Band<T> {
    low: T,
    likely: T,
    high: T,
}

/// How a band is written: three named values.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Ends<T> {
    low: T,
    likely: T,
    high: T,
}

/// The three values of a band were not in order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the low value must not be above the likely one, nor the likely one above the high one")]
pub struct BandError;

impl<T: Copy + PartialOrd> Band<T> {
    /// A range; refused if the three values are not in order.
    pub fn new(low: T, likely: T, high: T) -> Result<Self, BandError> {
        if low <= likely && likely <= high {
            Ok(Self { low, likely, high })
        } else {
            Err(BandError)
        }
    }
}

impl<T: Copy> Band<T> {
    /// A value that is known without a range.
    pub fn exactly(value: T) -> Self {
        Self {
            low: value,
            likely: value,
            high: value,
        }
    }

    /// The lowest value.
    pub fn low(self) -> T {
        self.low
    }

    /// The likely value.
    pub fn likely(self) -> T {
        self.likely
    }

    /// The highest value.
    pub fn high(self) -> T {
        self.high
    }
}

impl<T: Copy + PartialEq> Band<T> {
    /// Whether the range is one single value.
    pub fn is_exact(self) -> bool {
        self.low == self.high
    }
}

impl<T: Copy + PartialOrd> TryFrom<Ends<T>> for Band<T> {
    type Error = BandError;

    fn try_from(ends: Ends<T>) -> Result<Self, BandError> {
        Self::new(ends.low, ends.likely, ends.high)
    }
}

impl<T> From<Band<T>> for Ends<T> {
    fn from(band: Band<T>) -> Self {
        Self {
            low: band.low,
            likely: band.likely,
            high: band.high,
        }
    }
}

impl<T: Copy + fmt::Display> fmt::Display for Band<T> {
    /// One value if its ends look alike, else the likely one with the ends of its range.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [low, likely, high] = [self.low, self.likely, self.high].map(|end| end.to_string());
        if low == high {
            write!(f, "{likely}")
        } else {
            write!(f, "{likely} ({low} to {high})")
        }
    }
}
