//! The extremes of everything that the solver finds.

use super::sum::Sum;

/// The extremes of every tension and every force.
pub(super) struct Envelope {
    pub parts: Vec<[f64; 3]>,
    pub sums: Vec<[f64; 3]>,
}

/// Extremes of a number that has not been seen yet.
const UNSEEN: [f64; 3] = [f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];

impl Envelope {
    /// One that has seen nothing yet.
    pub fn new(parts: usize, sums: usize) -> Self {
        Self {
            parts: vec![UNSEEN; parts],
            sums: vec![UNSEEN; sums],
        }
    }

    /// Makes the low ends smaller and the high ends larger.
    pub fn scale(&mut self, low: f64, high: f64) {
        for seen in self.parts.iter_mut().chain(&mut self.sums) {
            seen[0] *= low;
            seen[2] *= high;
        }
    }

    /// Takes one solution into the extremes; of several likely ones the largest counts.
    pub fn see(&mut self, tensions: &[f64], sums: &[Sum], is_likely: bool) {
        let widen = |seen: &mut [f64; 3], value: f64| {
            seen[0] = seen[0].min(value);
            if is_likely {
                seen[1] = seen[1].max(value);
            }
            seen[2] = seen[2].max(value);
        };
        for (seen, &tension) in self.parts.iter_mut().zip(tensions) {
            widen(seen, tension);
        }
        for (seen, sum) in self.sums.iter_mut().zip(sums) {
            widen(seen, sum.force(tensions));
        }
    }
}
