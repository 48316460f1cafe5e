//! How much a check leaves over, and how its numbers are told: alike in the sentence and in the tables.

use crate::rigging::{Assessment, Check, SafetyFactor, Weakest};

/// Two numbers this near are the same: what differs is the rounding of the computer, not the rig.
const SAME: f64 = 1e-9;

/// The check for which `number` is smallest; of equal ones the first, as in the weakest link.
fn least<'a>(
    checks: impl IntoIterator<Item = &'a Check>,
    number: impl Fn(&Check) -> f64,
) -> Option<&'a Check> {
    checks.into_iter().reduce(|least, check| {
        if number(check) < number(least) * (1.0 - SAME) {
            check
        } else {
            least
        }
    })
}

/// The check with the least over what is asked of it, breaking strengths and limits alike.
pub fn tightest<'a>(checks: impl IntoIterator<Item = &'a Check>) -> Option<&'a Check> {
    least(checks, Check::room)
}

/// The same where it is not the weakest link, which is the smallest factor whatever is asked of it; none where no check has a
/// factor.
pub fn tightest_elsewhere(assessment: &Assessment) -> Option<&Check> {
    let weakest = assessment.weakest.as_ref()?;
    tightest(&assessment.checks).filter(|check| !is_weakest(check, weakest))
}

/// The check with the smallest factor, with that factor; none where no check has one.
pub(super) fn least_factor<'a>(
    checks: impl IntoIterator<Item = &'a Check>,
) -> Option<(&'a Check, SafetyFactor)> {
    let factors = checks.into_iter().filter(|check| check.factor().is_some());
    let check = least(factors, |check| {
        check.factor().map_or(f64::INFINITY, SafetyFactor::ratio)
    })?;
    Some((check, check.factor()?))
}

/// The checks of a position that stand for all of its: the smallest factor, the smallest margin of a
/// factor where that is another one, and the smallest margin of a limit.
pub fn worst_of<'a>(assessment: &'a Assessment, position: &str) -> Vec<&'a Check> {
    let own = || {
        let checks = assessment.checks.iter();
        checks.filter(|check| check.position == position)
    };
    let factors = || own().filter(|check| check.factor().is_some());
    let smallest = least_factor(factors()).map(|(check, _)| check);
    let limits = own().filter(|check| check.factor().is_none());
    let mut worst: Vec<&Check> = Vec::new();
    let found = [smallest, tightest(factors()), tightest(limits)];
    for check in found.into_iter().flatten() {
        if !worst.iter().any(|other| std::ptr::eq(*other, check)) {
            worst.push(check);
        }
    }
    worst
}

/// Whether a check is the weakest link.
pub fn is_weakest(check: &Check, weakest: &Weakest) -> bool {
    check.position == weakest.position
        && check.phase == weakest.phase
        && check.mode == weakest.mode
        && check.spot == weakest.spot
        && check.factor() == Some(weakest.factor)
}

/// A factor with one decimal, never rounded up: 9.96 is told as 9.9, so that what fails looks failed.
pub fn factor_words(factor: SafetyFactor) -> String {
    // The small step lets 10, stored a hair below ten, still show as 10.0.
    let tenths = (factor.ratio() * (1.0 + SAME) * 10.0).floor() / 10.0;
    format!("{tenths:.1}")
}

/// How far a check that passes is above what is asked of it, in whole hundredths, never rounded up: "6 %".
pub fn spare_words(check: &Check) -> String {
    format!(
        "{} %",
        ((check.room() * (1.0 + SAME) - 1.0) * 100.0).floor()
    )
}
