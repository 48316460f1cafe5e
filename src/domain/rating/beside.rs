//! The ratings of one model beside each other.

use super::Rating;
use crate::domain::FieldErrors;
use crate::rigging::{LoadingMode, StrengthKind};

/// Refuses what is said twice, what it may carry where that is more than breaks it, and a connector that is stronger across
/// or open than along its closed axis. Each rating has its place in the list.
pub(in crate::domain) fn agree(ratings: &[(usize, Rating)], wrong: &mut FieldErrors) {
    for (nth, (at, rating)) in ratings.iter().enumerate() {
        let words = (rating.kind.words(), rating.mode.words());
        let same = |(_, one): &&(usize, Rating)| (one.mode, one.kind) == (rating.mode, rating.kind);
        if let Some((first, there)) = ratings[..nth].iter().find(same) {
            let message = format!(
                "The {}, {}, is there already: {} in rating {}, and {} here. Keep one of them: the lower where both are stated.",
                words.0,
                words.1,
                there.value,
                first + 1,
                rating.value
            );
            wrong.add(format!("ratings[{at}][value]"), "taken", message);
        } else if rating.kind != StrengthKind::Breaking
            && let Some(breaking) = breaking(ratings, rating.mode)
            && rating.value.quantity() > breaking.value.quantity()
        {
            let message = format!(
                "The {}, {}, is at most the breaking strength so loaded, {}, not {}.",
                words.0, words.1, breaking.value, rating.value
            );
            wrong.add(format!("ratings[{at}][value]"), "range", message);
        } else if matches!(rating.mode, LoadingMode::MinorAxis | LoadingMode::GateOpen)
            && rating.kind == StrengthKind::Breaking
            && let Some(along) = breaking(ratings, LoadingMode::MajorAxis)
            && rating.value.quantity() > along.value.quantity()
        {
            let message = format!(
                "The {}, {}, is at most the one along its closed axis, {}, not {}.",
                words.0, words.1, along.value, rating.value
            );
            wrong.add(format!("ratings[{at}][value]"), "range", message);
        }
    }
}

fn breaking(ratings: &[(usize, Rating)], mode: LoadingMode) -> Option<&Rating> {
    let mut all = ratings.iter().map(|(_, rating)| rating);
    all.find(|one| one.mode == mode && one.kind == StrengthKind::Breaking)
}
