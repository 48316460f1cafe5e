//! The answer in one sentence.

use super::margin::{factor_words, is_weakest, spare_words, tightest};
use super::{KitGap, KitVerdict};
use crate::rigging::{Assessment, Check, Judged, SafetyFactor, StrengthKind};

/// What the answer begins with where every part holds.
const STRONG: &str = "Strong enough: ";

impl KitVerdict {
    /// The answer with the smallest margin beside the weakest link.
    pub fn whole(&self) -> String {
        match &self.margin {
            Some(margin) => format!("{} {margin}", self.sentence),
            None => self.sentence.clone(),
        }
    }

    /// The answer beside items that may not go: that the numbers hold is then said with a "but".
    pub fn beside_refused(&self) -> String {
        let whole = self.whole();
        match whole.strip_prefix(STRONG) {
            Some(because) => format!(
                "By its numbers alone the kit is strong enough, but that does not count while an item may not go: {because}"
            ),
            None => whole,
        }
    }
}

pub(super) fn sentence(assessment: Option<&Assessment>, gaps: &[KitGap]) -> String {
    match assessment {
        None => cannot_say(gaps),
        Some(assessment) if assessment.passes => strong(assessment),
        Some(assessment) => weak(assessment),
    }
}

fn strong(assessment: &Assessment) -> String {
    let Some(weakest) = &assessment.weakest else {
        return format!("{STRONG}every part is within its working limit or its rated load.");
    };
    let mut checks = assessment.checks.iter();
    let required = checks
        .find(|check| is_weakest(check, weakest))
        .and_then(required)
        .map(|required| format!("; {} is asked for", asked(required)))
        .unwrap_or_default();
    format!(
        "{STRONG}the weakest link is the {} ({}) with a factor of {} {}{required}.",
        lower(&weakest.title),
        weakest.item,
        factor_words(weakest.factor),
        weakest.phase.words(),
    )
}

/// Where the least is left over, which need not be the weakest link: a rated load may be nearer.
pub(super) fn margin(assessment: &Assessment) -> Option<String> {
    let check = tightest(&assessment.checks).filter(|_| assessment.passes)?;
    let weakest = assessment.weakest.as_ref();
    let left = match &check.judged {
        Judged::Factor { .. } if weakest.is_some_and(|weakest| is_weakest(check, weakest)) => {
            let spare = spare_words(check);
            return Some(format!(
                "No part has a smaller margin: it holds {spare} more than is asked."
            ));
        }
        Judged::Factor {
            factor, required, ..
        } => format!(
            "a factor of {} {} where {} is asked for, {} more",
            factor_words(*factor),
            check.phase.words(),
            asked(*required),
            spare_words(check)
        ),
        Judged::Limit { against, what } => format!(
            "its {} of {} is {} above {what}, {against} {}",
            limit_words(check),
            check.strength.effective,
            spare_words(check),
            check.phase.words()
        ),
    };
    let title = lower(&check.title);
    let item = &check.item;
    Some(format!(
        "The smallest margin is at the {title} ({item}): {left}."
    ))
}

/// The factor that is asked for, of a breaking strength.
fn required(check: &Check) -> Option<SafetyFactor> {
    match check.judged {
        Judged::Factor { required, .. } => Some(required),
        Judged::Limit { .. } => None,
    }
}

/// The factor that is asked for, as it is written.
fn asked(factor: SafetyFactor) -> f64 {
    factor.ratio()
}

fn limit_words(check: &Check) -> &'static str {
    match check.strength.rating.kind {
        StrengthKind::RatedLoad => "rated load",
        StrengthKind::WorkingLimit | StrengthKind::Breaking => "working limit",
    }
}

fn weak(assessment: &Assessment) -> String {
    let failing: Vec<&Check> = assessment.failing().collect();
    let Some(worst) = tightest(failing.iter().copied()) else {
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
            factor_words(*reached),
            asked(*required)
        ),
        Judged::Limit { against, what } => format!(
            "{part} meets {against} {phase}, {what}, and its {} is {}.",
            limit_words(check),
            check.strength.effective
        ),
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
