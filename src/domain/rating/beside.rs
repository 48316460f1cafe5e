//! The ratings of one thing beside each other.

use super::Rating;
use crate::domain::FieldErrors;
use crate::rigging::{Force, LoadingMode, StrengthKind};

/// One of several ratings, as it is held against the others.
pub(in crate::domain) struct Said {
    /// The way of loading.
    pub mode: LoadingMode,
    /// Which of the three it is.
    pub kind: StrengthKind,
    /// The value.
    pub force: Force,
    /// The value as it was given.
    pub given: String,
}

impl Said {
    fn words(&self) -> String {
        format!("The {}, {},", self.kind.words(), self.mode.words())
    }
}

/// Refuses what is said twice, and what is more than another rating of it allows: what it may carry more than breaks it, a
/// connector stronger across than along. Each rating has its place in the list.
pub(in crate::domain) fn agree(ratings: &[(usize, Rating)], wrong: &mut FieldErrors) {
    let said = ratings.iter().map(|(_, rating)| Said {
        mode: rating.mode,
        kind: rating.kind,
        force: rating.value.quantity(),
        given: rating.value.to_string(),
    });
    let said: Vec<Said> = said.collect();
    for (nth, (at, _)) in ratings.iter().enumerate() {
        if let Some((code, why)) = against(&said, nth) {
            wrong.add(format!("ratings[{at}][value]"), code, why);
        }
    }
}

/// What nothing exceeds that is loaded in this way: which breaking strength, how many times it, and its words. What may be
/// carried breaks nothing; a gate, a knot or a noose weakens; a basket has two legs; a becket pulls at its own pulley's axle.
fn bound(kind: StrengthKind, mode: LoadingMode) -> Option<(LoadingMode, f64, &'static str)> {
    use LoadingMode as Mode;
    if kind != StrengthKind::Breaking {
        return Some((mode, 1.0, "the breaking strength so loaded"));
    }
    match mode {
        Mode::MinorAxis | Mode::GateOpen => {
            Some((Mode::MajorAxis, 1.0, "the one along its closed axis"))
        }
        Mode::Choked | Mode::Terminated => Some((Mode::Straight, 1.0, "the one pulled straight")),
        Mode::Basket => Some((Mode::Straight, 2.0, "twice the one pulled straight")),
        Mode::Becket => Some((Mode::Axle, 1.0, "the one of the axle")),
        Mode::Straight | Mode::MajorAxis | Mode::Axle | Mode::Body => None,
    }
}

/// Why one of several ratings cannot stand beside the others, with a code; nothing where it can.
pub(in crate::domain) fn against(all: &[Said], nth: usize) -> Option<(&'static str, String)> {
    let one = all.get(nth)?;
    let mut before = all[..nth].iter();
    if let Some(first) = before.find(|other| (other.mode, other.kind) == (one.mode, one.kind)) {
        let message = format!(
            "{} is there already: {}, and {} here. Keep one of them: the lower where both are stated.",
            one.words(),
            first.given,
            one.given
        );
        return Some(("taken", message));
    }
    let (bound, times, by) = bound(one.kind, one.mode)?;
    let mut others = all.iter();
    let most = others.find(|other| (other.mode, other.kind) == (bound, StrengthKind::Breaking))?;
    // A hair, so that twice a product of units is no more than itself.
    let most_of_it = most.force.kilonewtons() * times * (1.0 + 1e-9);
    (one.force.kilonewtons() > most_of_it).then(|| {
        let message = format!(
            "{} is at most {by}, {}, not {}.",
            one.words(),
            most.given,
            one.given
        );
        ("range", message)
    })
}
