//! Scales in round steps: of numbers, and of days.

use time::{Date, Month};

use crate::domain::date::add_months;

/// How many steps a scale has at most.
const STEPS: f64 = 6.0;

/// A scale of numbers, its ends and steps round.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Scale {
    low: f64,
    high: f64,
    step: f64,
}

impl Scale {
    /// From nought up to a count, in whole steps.
    pub fn of_counts(highest: u32) -> Self {
        let highest = f64::from(highest.max(1));
        let step = round_step(highest / STEPS).max(1.0);
        Self {
            low: 0.0,
            high: (highest / step).ceil() * step,
            step,
        }
    }

    /// From below the lowest of some values to above the highest. It need not begin at nought.
    pub fn of_values(values: impl IntoIterator<Item = f64>) -> Self {
        let ends = values.into_iter().fold(None, |ends, value| match ends {
            None => Some((value, value)),
            Some((low, high)) => Some((value.min(low), value.max(high))),
        });
        let (low, high) = ends.unwrap_or((0.0, 1.0));
        // What does not differ still needs a scale: a tenth of it to both sides.
        let room = if high > low {
            (high - low) * 0.08
        } else {
            (low.abs() * 0.1).max(0.1)
        };
        let step = round_step((high - low + 2.0 * room) / STEPS);
        let floor = ((low - room) / step).floor() * step;
        Self {
            // Nothing that is measured is below nought.
            low: if low >= 0.0 { floor.max(0.0) } else { floor },
            high: ((high + room) / step).ceil() * step,
            step,
        }
    }

    /// The lowest number.
    pub fn low(&self) -> f64 {
        self.low
    }

    /// Every step, from below.
    pub fn ticks(&self) -> Vec<f64> {
        let ticks = (0_u32..).map(|at| self.low + self.step * f64::from(at));
        let end = self.high + self.step / 2.0;
        ticks.take_while(|tick| *tick < end).collect()
    }

    /// How far up a value is, from 0 to 1.
    pub fn share(&self, value: f64) -> f64 {
        (value - self.low) / (self.high - self.low)
    }

    /// A step in words, with as many digits behind the point as the steps need.
    pub fn words(&self, tick: f64) -> String {
        let (mut step, mut places) = (self.step, 0);
        while step < 0.999 && places < 9 {
            step *= 10.0;
            places += 1;
        }
        format!("{tick:.places$}")
    }
}

/// The next greater of 1, 2, 5 times a power of ten.
fn round_step(least: f64) -> f64 {
    let power = 10_f64.powf(least.max(1e-9).log10().floor());
    let steps = [1.0, 2.0, 5.0, 10.0].map(|step| step * power);
    let fits = steps.into_iter().find(|step| *step >= least * 0.999_999);
    fits.unwrap_or(10.0 * power)
}

/// A scale of days.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Days {
    first: Date,
    last: Date,
}

impl Days {
    /// From the first of some days to the last, with some months to both sides; none without a day.
    pub fn of(days: impl Iterator<Item = Date> + Clone) -> Option<Self> {
        let (first, last) = (days.clone().min()?, days.max()?);
        let span = (last - first).whole_days() / 20;
        let room = time::Duration::days(span.max(20));
        Some(Self {
            first: first.saturating_sub(room),
            last: last.saturating_add(room),
        })
    }

    /// How far to the right a day is, from 0 to 1.
    pub fn share(&self, day: Date) -> f64 {
        let far = |day: Date| f64::from(day.to_julian_day() - self.first.to_julian_day());
        far(day) / far(self.last).max(1.0)
    }

    /// First days of years, or of months where the time is short, at most so many, with their words.
    pub fn ticks(&self, most: usize) -> Vec<(Date, String)> {
        let steps = [1, 2, 3, 6, 12, 24, 60, 120, 240, 600];
        let ticks = steps.into_iter().map(|step| self.every(step));
        let fits = ticks.into_iter().find(|ticks| ticks.len() <= most.max(1));
        fits.unwrap_or_default()
    }

    /// Every so many months, counted from a January.
    fn every(&self, months: u16) -> Vec<(Date, String)> {
        let year = self.first.year();
        let begin = year - year.rem_euclid(i32::from(months / 12).max(1));
        let begin = Date::from_calendar_date(begin, Month::January, 1).unwrap_or(self.first);
        let days = (0_u16..).map(|step| add_months(begin, step.saturating_mul(months)));
        let days = days.take_while(|day| *day <= self.last && *day < Date::MAX);
        let days = days.filter(|day| *day >= self.first).take(60);
        days.map(|day| {
            let words = if months >= 12 {
                day.year().to_string()
            } else {
                format!("{}-{:02}", day.year(), u8::from(day.month()))
            };
            (day, words)
        })
        .collect()
    }
}
