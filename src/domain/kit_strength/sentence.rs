//! The answer in one sentence.

use super::margin::{
    factor_words, is_weakest, least_factor, spare_words, tightest, tightest_elsewhere,
};
use super::{KitGap, KitVerdict, Outcome};
use crate::domain::Units;
use crate::rigging::{
    Arrest, Assessment, BELAY_OPEN, CATCH_OPEN, Check, Judged, SafetyFactor, StrengthKind, Weakest,
};

/// What the answer begins with where every part holds.
const STRONG: &str = "Strong enough: ";
/// What is judged where something is left open: it stands first, so that nobody reads a yes to all of it.
const JUDGED: [&str; 3] = ["Main line", "Pair of ropes", "Rig"];
/// What follows it.
const STRONG_BUT: &str = " strong enough; ";
/// What the answer begins with where every part holds and the catch alone fails.
const TOO_HARD: &str = "Every part holds, but the catch is too hard: ";

/// What the answer begins with where a part fails.
const WEAK: &str = "Not strong enough: ";

/// How many others are named of what fails.
const NAMED: usize = 3;

/// What is said of a rig without a belay.
pub(super) const UNBELAYED: &str = "This rig has no belay: if the main rope or anything that it hangs from fails, nothing else holds the load.";

impl KitVerdict {
    /// The answer with the smallest margin beside the weakest link, and what the catch comes to.
    pub fn whole(&self) -> String {
        match self.besides().as_str() {
            "" => self.sentence.clone(),
            besides => format!("{} {besides}", self.sentence),
        }
    }

    /// What stands beside an answer: that its load is less than its people weigh; that the rig has no belay; and beside a yes how little is left, the smallest
    /// margin where the answer does not say it, and the catch. A no names itself what fails, and where there is no answer yet nothing stands beside it.
    pub fn besides(&self) -> String {
        let catch = self.catch.as_ref().filter(|_| self.passes);
        let answered = self.outcome != Outcome::CannotSay;
        let unbelayed = self.unbelayed.as_ref().filter(|_| answered);
        let light = self.light.as_ref().filter(|_| answered);
        let little = self.little_left.as_ref();
        let is_told = self.assessment.as_ref().is_some_and(has_margin_elsewhere);
        let margin = self.margin.as_ref().filter(|_| !is_told);
        let said: Vec<&str> = [light, unbelayed, little, margin, catch]
            .into_iter()
            .flatten()
            .map(String::as_str)
            .collect();
        said.join(" ")
    }

    /// The same verdict with the forces of its sentences in these units. The numbers themselves stay as they are.
    #[must_use]
    pub fn told_in(&self, units: Units) -> Self {
        let assessment = self.assessment.as_ref();
        let caught = assessment.and_then(|answer| answer.catch.as_ref());
        Self {
            sentence: sentence(
                assessment,
                (&self.gaps, &self.open),
                Some(&self.asked.title),
                units,
            ),
            margin: assessment.and_then(|assessment| margin(assessment, units)),
            catch: caught.map(|arrest| self::caught(arrest, &self.asked.title, units)),
            ..self.clone()
        }
    }

    /// The answer beside items that may not go: that the numbers hold is then said with a "but".
    pub fn beside_refused(&self) -> String {
        let whole = self.whole();
        let but = |of: &str, because: &str| {
            format!(
                "By its numbers alone the {of} is strong enough, but that does not count while an item may not go{because}"
            )
        };
        if let Some(because) = whole.strip_prefix(STRONG) {
            return but("kit", &format!(": {because}"));
        }
        let judged = JUDGED.iter().find_map(|judged| {
            let because = whole.strip_prefix(judged)?.strip_prefix(STRONG_BUT)?;
            Some(but(&lower(judged), &format!("; {because}")))
        });
        judged.unwrap_or(whole)
    }
}

/// The answer, with what is missing and what a yes leaves open; `rulebook` is the name of who limits a catch, where that is a rulebook.
pub(super) fn sentence(
    assessment: Option<&Assessment>,
    (gaps, open): (&[KitGap], &[String]),
    rulebook: Option<&str>,
    units: Units,
) -> String {
    match assessment {
        None => cannot_say(gaps),
        Some(assessment) if assessment.passes => strong(assessment, open, units),
        Some(assessment) => not_enough(assessment, rulebook, units),
    }
}

/// What the catch that a job plans does to a person, against the most that `rulebook` allows.
pub(super) fn caught(arrest: &Arrest, rulebook: &str, units: Units) -> String {
    let likely = units.force(arrest.on_body.likely());
    let high = units.force(arrest.on_body.high());
    match &arrest.limit {
        None => format!(
            "The belay would stop the load with {likely} to {high}; \"{rulebook}\" sets no limit to what a person may be stopped with."
        ),
        Some(limit) if arrest.passes => format!(
            "The belay would stop a person with {likely} to {high}, and the most that \"{rulebook}\" allows is {}.",
            units.force(limit.force)
        ),
        Some(limit) => format!(
            "The belay would stop a person with {likely} to {high}, which is over the {} that \"{rulebook}\" allows at most.",
            units.force(limit.force)
        ),
    }
}

/// The catch as the reason why a kit does not do; `None` where it keeps its limit or has none.
fn too_hard(assessment: &Assessment, rulebook: Option<&str>, units: Units) -> Option<String> {
    let arrest = assessment.catch.as_ref().filter(|catch| !catch.passes)?;
    let limit = arrest.limit.as_ref()?;
    let allowed = match rulebook {
        Some(rulebook) => format!("the most that \"{rulebook}\" allows"),
        None => format!("the most that is allowed ({})", limit.source),
    };
    Some(format!(
        "the belay would stop a person with up to {}, and {} is {allowed}.",
        units.force(arrest.on_body.high()),
        units.force(limit.force)
    ))
}

/// What of a kit is judged where something is left open.
fn judged(assessment: &Assessment) -> &'static str {
    let [main_line, pair, rig] = JUDGED;
    match assessment.open.as_deref() {
        Some(BELAY_OPEN) => main_line,
        Some(CATCH_OPEN) => pair,
        _ => rig,
    }
}

fn strong(assessment: &Assessment, open: &[String], units: Units) -> String {
    let (strong, of) = match open {
        [] => (STRONG.to_owned(), ""),
        open => {
            let open = open.join(", and ");
            let judged = judged(assessment);
            (format!("{judged}{STRONG_BUT}{open}: "), "of the rest, ")
        }
    };
    let Some(weakest) = &assessment.weakest else {
        return format!("{strong}{of}every part is within its working limit or its rated load.");
    };
    let mut checks = assessment.checks.iter();
    let required = checks
        .find(|check| is_weakest(check, weakest))
        .and_then(Check::required)
        .map(|required| format!("; {} is asked for", asked(required)))
        .unwrap_or_default();
    let as_planned = weakest_as_planned(assessment, weakest).unwrap_or_default();
    let margin = margin(assessment, units).filter(|_| has_margin_elsewhere(assessment));
    let margin = margin.map_or_else(String::new, |margin| format!(" {margin}"));
    format!(
        "{strong}{of}the weakest link is the {} ({}) with a factor of {} {}{required}.{as_planned}{margin}",
        lower(&weakest.title),
        weakest.item,
        factor_words(weakest.factor),
        weakest.phase.words(),
    )
}

/// Whether the least is left over elsewhere than at the weakest link: where less is asked, as in a catch, a small factor
/// has much to spare, and a rated load may be nearer than any factor.
fn has_margin_elsewhere(assessment: &Assessment) -> bool {
    tightest_elsewhere(assessment).is_some()
}

/// The weakest link of work as planned, where that of all phases is one of a catch or a stuck load of which less is
/// asked: a small factor that is enough there says nothing of what is asked every day.
fn weakest_as_planned(assessment: &Assessment, weakest: &Weakest) -> Option<String> {
    if !weakest.phase.is_exceptional() {
        return None;
    }
    let checks = assessment.checks.iter();
    let planned = checks.filter(|check| !check.phase.is_exceptional());
    let (check, factor) = least_factor(planned)?;
    let required = check.required()?;
    // The smallest margin follows, and one check is not told twice.
    if tightest_elsewhere(assessment).is_some_and(|least| std::ptr::eq(least, check)) {
        return None;
    }
    Some(format!(
        " In work as planned it is the {} ({}) with {} {}; {} is asked for.",
        lower(&check.title),
        check.item,
        factor_words(factor),
        check.phase.words(),
        asked(required)
    ))
}

/// How little is left of what a tenth more load would take.
pub(super) fn little_left(assessment: &Assessment) -> Option<String> {
    let check = tightest(&assessment.checks).filter(|_| assessment.passes)?;
    Some(format!(
        "{} to spare: at 10 % more load it fails.",
        spare_words(check)
    ))
}

/// Where the least is left over, which need not be the weakest link: a rated load may be nearer.
pub(super) fn margin(assessment: &Assessment, units: Units) -> Option<String> {
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
            "its {} of {} is {} above {what}, {} {}",
            limit_words(check),
            units.force(check.strength.effective),
            spare_words(check),
            units.force(*against),
            check.phase.words()
        ),
    };
    let title = lower(&check.title);
    let item = &check.item;
    Some(format!(
        "The smallest margin is at the {title} ({item}): {left}."
    ))
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

/// What the answer for a kit with empty positions comes to where everything that is there holds.
pub(super) fn rest_holds(assessment: &Assessment, units: Units) -> String {
    let holds = "As far as it can be judged, the rest is strong enough: ";
    let whole = match &assessment.weakest {
        None => format!("{holds}every part is within its working limit or its rated load."),
        Some(weakest) => format!(
            "{holds}the weakest link is the {} ({}) with a factor of {} {}.",
            lower(&weakest.title),
            weakest.item,
            factor_words(weakest.factor),
            weakest.phase.words(),
        ),
    };
    match margin(assessment, units) {
        Some(margin) => format!("{whole} {margin}"),
        None => whole,
    }
}

/// The same without what every answer begins with.
pub(super) fn weak(assessment: &Assessment, rulebook: Option<&str>, units: Units) -> String {
    let whole = not_enough(assessment, rulebook, units);
    whole
        .strip_prefix(WEAK)
        .map_or(whole.clone(), str::to_owned)
}

fn not_enough(assessment: &Assessment, rulebook: Option<&str>, units: Units) -> String {
    let failing: Vec<&Check> = assessment.failing().collect();
    let too_hard = too_hard(assessment, rulebook, units);
    let Some(worst) = tightest(failing.iter().copied()) else {
        // A verdict fails only by a check or by its catch; without either there is nothing to name.
        return too_hard.map_or_else(
            || "Not strong enough.".to_owned(),
            |why| format!("{TOO_HARD}{why}"),
        );
    };
    let more = also(&failing, &worst.position);
    let catch = too_hard.map_or_else(String::new, |why| format!(" And {why}"));
    format!("{WEAK}{}{more}{catch}", why(worst, units))
}

/// What fails beside the worst, by name, of many the first few.
fn also(failing: &[&Check], worst: &str) -> String {
    let mut others: Vec<(&str, String)> = Vec::new();
    for check in failing {
        let key = check.position.as_str();
        if key != worst && !others.iter().any(|(named, _)| *named == key) {
            others.push((key, part(check)));
        }
    }
    let mut named: Vec<String> = others.into_iter().map(|(_, part)| part).collect();
    let more = named.len().saturating_sub(NAMED);
    named.truncate(NAMED);
    if more > 0 {
        named.push(format!("{more} more"));
    }
    match named.split_last() {
        None => String::new(),
        Some((one, [])) => format!(" Not strong enough either: {one}."),
        Some((last, first)) => {
            format!(
                " Not strong enough either: {} and {last}.",
                first.join(", ")
            )
        }
    }
}

/// A position with its item, inside a sentence.
fn part(check: &Check) -> String {
    format!("the {} ({})", lower(&check.title), check.item)
}

fn why(check: &Check, units: Units) -> String {
    format!("{} {}.", part(check), lacking(check, units))
}

/// What a part that does not hold reaches, against what is asked of it, behind its name.
pub(in crate::domain) fn lacking(check: &Check, units: Units) -> String {
    let phase = check.phase.words();
    match &check.judged {
        Judged::Factor {
            factor: reached,
            required,
            ..
        } => format!(
            "has a factor of {} {phase}; {} is asked for",
            factor_words(*reached),
            asked(*required)
        ),
        Judged::Limit { against, what } => format!(
            "meets {} {phase}, {what}, and its {} is {}",
            units.force(*against),
            limit_words(check),
            units.force(check.strength.effective)
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
