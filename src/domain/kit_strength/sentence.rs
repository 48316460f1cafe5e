//! The answer in one sentence.

use super::KitGap;
use crate::domain::rulebook::Rulebook;
use crate::rigging::{Assessment, Check, Judged, SafetyFactor, StrengthKind};

pub(super) fn sentence(
    assessment: Option<&Assessment>,
    gaps: &[KitGap],
    rulebook: &Rulebook,
) -> String {
    match assessment {
        None => cannot_say(gaps),
        Some(assessment) if assessment.passes => strong(assessment, rulebook),
        Some(assessment) => weak(assessment),
    }
}

/// One decimal, never rounded up: 9.96 is told as 9.9, so that what fails looks failed.
fn factor(factor: SafetyFactor) -> String {
    // The small step lets 10, stored a hair below ten, still show as 10.0.
    let tenths = (factor.ratio() * (1.0 + 1e-9) * 10.0).floor() / 10.0;
    format!("{tenths:.1}")
}

/// The factor that is asked for, as it is written.
fn asked(factor: SafetyFactor) -> f64 {
    factor.ratio()
}

fn strong(assessment: &Assessment, rulebook: &Rulebook) -> String {
    match &assessment.weakest {
        Some(weakest) => format!(
            "Strong enough: the weakest link is the {} ({}) with a factor of {} {}; {} is asked for.",
            lower(&weakest.title),
            weakest.item,
            factor(weakest.factor),
            weakest.phase.words(),
            asked(rulebook.factor().value)
        ),
        None => {
            "Strong enough: every part is within its working limit or its rated load.".to_owned()
        }
    }
}

fn weak(assessment: &Assessment) -> String {
    let mut failing: Vec<&Check> = assessment.failing().collect();
    failing.sort_by(|a, b| room(a).total_cmp(&room(b)));
    let Some(worst) = failing.first() else {
        // A verdict fails only by a check; without one there is nothing to name.
        return "Not strong enough.".to_owned();
    };
    let mut positions: Vec<&str> = failing
        .iter()
        .map(|check| check.position.as_str())
        .collect();
    positions.sort_unstable();
    positions.dedup();
    let more = match positions.len() {
        0 | 1 => String::new(),
        2 => " One more position fails.".to_owned(),
        count => format!(" {} more positions fail.", count - 1),
    };
    format!("Not strong enough: {}{more}", why(worst))
}

fn why(check: &Check) -> String {
    let part = format!("the {} ({})", lower(&check.title), check.item);
    let phase = check.phase.words();
    match &check.judged {
        Judged::Factor {
            factor: reached,
            required,
            ..
        } => format!(
            "{part} has a factor of {} {phase}; {} is asked for.",
            factor(*reached),
            asked(*required)
        ),
        Judged::Limit { against, what } => format!(
            "{part} meets {against} {phase}, {what}, and its {} is {}.",
            match check.strength.rating.kind {
                StrengthKind::RatedLoad => "rated load",
                StrengthKind::WorkingLimit | StrengthKind::Breaking => "working limit",
            },
            check.strength.effective
        ),
    }
}

/// What a check reaches of what it should; below one fails.
fn room(check: &Check) -> f64 {
    match &check.judged {
        Judged::Factor {
            factor, required, ..
        } => factor.ratio() / required.ratio(),
        Judged::Limit { against, .. } => check.strength.effective.newtons() / against.newtons(),
    }
}

fn cannot_say(gaps: &[KitGap]) -> String {
    let empty = gaps.iter().filter(|gap| gap.code == "empty").count();
    let others: Vec<&KitGap> = gaps.iter().filter(|gap| gap.code != "empty").collect();
    let positions = match empty {
        0 => None,
        1 => Some("1 position is empty".to_owned()),
        count => Some(format!("{count} positions are empty")),
    };
    let facts = match others.as_slice() {
        [] => None,
        [one] => Some(one.sentence.trim_end_matches('.').to_owned()),
        [one, rest @ ..] => {
            let more = match rest.len() {
                1 => "1 more thing is missing".to_owned(),
                count => format!("{count} more things are missing"),
            };
            Some(format!("{}; {more}", one.sentence.trim_end_matches('.')))
        }
    };
    match (positions, facts) {
        (Some(positions), Some(facts)) => format!("Cannot say yet: {positions}. {facts}."),
        (Some(only), None) | (None, Some(only)) => format!("Cannot say yet: {only}."),
        (None, None) => "Cannot say yet.".to_owned(),
    }
}

/// A title inside a sentence begins small.
fn lower(title: &str) -> String {
    let mut letters = title.chars();
    let first = letters.next().map(char::to_lowercase);
    first.into_iter().flatten().chain(letters).collect()
}
