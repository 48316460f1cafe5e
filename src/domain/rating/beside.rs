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

/// Refuses what is said twice, what it may carry where that is more than breaks it, and a connector that is stronger across
/// or open than along its closed axis. Each rating has its place in the list.
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
    let (bound, by) = match (one.kind, one.mode) {
        (StrengthKind::Breaking, LoadingMode::MinorAxis | LoadingMode::GateOpen) => {
            (LoadingMode::MajorAxis, "the one along its closed axis")
        }
        (StrengthKind::Breaking, _) => return None,
        (_, mode) => (mode, "the breaking strength so loaded"),
    };
    let mut others = all.iter();
    let most = others.find(|other| (other.mode, other.kind) == (bound, StrengthKind::Breaking))?;
    (one.force > most.force).then(|| {
        let message = format!(
            "{} is at most {by}, {}, not {}.",
            one.words(),
            most.given,
            one.given
        );
        ("range", message)
    })
}
