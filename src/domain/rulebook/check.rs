//! Checks a rulebook: every source named, every number inside its limits, every kind spoken of.

use std::collections::BTreeSet;

use super::super::kind::ROPE_KINDS;
use super::{Cited, Kind, Rulebook, StrengthAsked};

/// Everything that is wrong with a rulebook's sheet.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}", faults.join("\n"))]
pub struct RulebookError {
    /// A sentence for each fault.
    pub faults: Vec<String>,
}

/// The lightest and the heaviest person that a rulebook may plan with, in kilograms.
const PERSON: std::ops::RangeInclusive<f64> = 40.0..=300.0;
/// The factors that a rulebook may ask for.
const FACTOR: std::ops::RangeInclusive<f64> = 1.0..=100.0;
/// The intervals between examinations, in months.
const MONTHS: std::ops::RangeInclusive<u16> = 1..=120;

/// How far the numbers of a printed pair may lie apart, as a share.
const PAIR: f64 = 0.005;

/// The rulebook if nothing is wrong with it.
pub(super) fn checked(rulebook: Rulebook) -> Result<Rulebook, RulebookError> {
    let mut faults = Vec::new();
    names(&rulebook, &mut faults);
    sources(&rulebook, &mut faults);
    numbers(&rulebook, &mut faults);
    kinds(&rulebook, &mut faults);
    intervals(&rulebook, &mut faults);
    approvals(&rulebook, &mut faults);
    minimums(&rulebook, &mut faults);
    if faults.is_empty() {
        Ok(rulebook)
    } else {
        Err(RulebookError { faults })
    }
}

fn names(rulebook: &Rulebook, faults: &mut Vec<String>) {
    let key = &rulebook.key;
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    if key.is_empty() || key.len() > 40 || !key.chars().all(plain) {
        faults.push(format!(
            "The key \"{key}\" must be 1 to 40 lower-case letters, digits and hyphens."
        ));
    }
    let texts = [
        ("title", &rulebook.title),
        ("covers", &rulebook.covers),
        ("person.reason", &rulebook.person.reason),
        ("factor.reason", &rulebook.factor.reason),
        ("limit.rule", &rulebook.limit.rule),
    ];
    for (field, text) in texts {
        if text.trim().is_empty() {
            faults.push(format!("{field} is empty: write it."));
        }
    }
    if rulebook.identity.asks.is_empty() {
        faults.push("identity.asks is empty: say what must be known of an item.".to_owned());
    }
}

fn sources(rulebook: &Rulebook, faults: &mut Vec<String>) {
    if rulebook.sources.is_empty() {
        faults.push("There is no source: list the standards and papers behind it.".to_owned());
    }
    for (place, cited) in all_cited(rulebook) {
        if cited.source.trim().is_empty() {
            faults.push(format!("{place} has no source: name it."));
        }
    }
    let mut seen = BTreeSet::new();
    for cited in &rulebook.sources {
        if !seen.insert(cited.source.trim()) {
            faults.push(format!("The source \"{}\" stands twice.", cited.source));
        }
    }
}

/// Every source in the rulebook with the place where it stands.
fn all_cited(rulebook: &Rulebook) -> Vec<(String, &Cited)> {
    let mut all: Vec<(String, &Cited)> = vec![
        ("person".to_owned(), &rulebook.person.from),
        ("factor".to_owned(), &rulebook.factor.from),
        ("limit".to_owned(), &rulebook.limit.from),
        ("identity".to_owned(), &rulebook.identity.from),
    ];
    let numbered = |what: &'static str| move |at: usize| format!("{what} {}", at + 1);
    let source = numbered("source");
    all.extend(
        rulebook
            .sources
            .iter()
            .enumerate()
            .map(|(at, cited)| (source(at), cited)),
    );
    let interval = numbered("interval");
    let intervals = rulebook.intervals.iter().enumerate();
    all.extend(intervals.map(|(at, one)| (interval(at), &one.from)));
    let approval = numbered("approval");
    let approvals = rulebook.approvals.iter().enumerate();
    all.extend(approvals.map(|(at, one)| (approval(at), &one.from)));
    let minimum = numbered("minimum");
    let minimums = rulebook.minimums.iter().enumerate();
    all.extend(minimums.map(|(at, one)| (minimum(at), &one.from)));
    all
}

fn numbers(rulebook: &Rulebook, faults: &mut Vec<String>) {
    let mass = rulebook.person.mass;
    if !PERSON.contains(&mass.quantity().kilograms()) {
        faults.push(format!(
            "The mass of a person must be between {} and {} kg, not {mass}.",
            PERSON.start(),
            PERSON.end()
        ));
    }
    let factor = rulebook.factor.value.ratio();
    if !FACTOR.contains(&factor) {
        faults.push(format!(
            "The factor must be between {} and {}, not {factor}.",
            FACTOR.start(),
            FACTOR.end()
        ));
    }
}

fn kinds(rulebook: &Rulebook, faults: &mut Vec<String>) {
    for kind in Kind::ALL {
        let rules: Vec<_> = rulebook
            .kinds
            .iter()
            .filter(|rule| rule.kind == *kind)
            .collect();
        let word = kind.word();
        let [rule] = rules.as_slice() else {
            faults.push(format!(
                "The kind {word} must have exactly one entry, not {}.",
                rules.len()
            ));
            continue;
        };
        let has_minimum = rulebook
            .minimums
            .iter()
            .any(|minimum| minimum.kind == *kind);
        let has_approval = rulebook.approvals.iter().any(|asked| asked.kind == *kind);
        either(
            word,
            "minimum",
            has_minimum,
            rule.no_minimum.as_deref(),
            faults,
        );
        either(
            word,
            "approval",
            has_approval,
            rule.no_approval.as_deref(),
            faults,
        );
        if has_minimum && rule.strength == StrengthAsked::Nothing {
            faults.push(format!(
                "The kind {word} has a minimum, and no strength is asked for."
            ));
        }
    }
}

/// A kind has the thing, or says why not; never both, never neither.
fn either(word: &str, thing: &str, has: bool, why_not: Option<&str>, faults: &mut Vec<String>) {
    let says = why_not.is_some_and(|why| !why.trim().is_empty());
    match (has, says) {
        (false, false) => faults.push(format!(
            "The kind {word} has no {thing}: add one, or say why not in no_{thing}."
        )),
        (true, true) => faults.push(format!(
            "The kind {word} has a {thing} and a reason why it has none: take one out."
        )),
        _ => {}
    }
}

fn intervals(rulebook: &Rulebook, faults: &mut Vec<String>) {
    for interval in &rulebook.intervals {
        if !MONTHS.contains(&interval.months) {
            faults.push(format!(
                "An interval must be between {} and {} months, not {}.",
                MONTHS.start(),
                MONTHS.end(),
                interval.months
            ));
        }
    }
    for kind in Kind::ALL {
        if rulebook.interval(*kind).is_none() {
            faults.push(format!(
                "No interval binds the kind {}: add one.",
                kind.word()
            ));
        }
    }
}

fn approvals(rulebook: &Rulebook, faults: &mut Vec<String>) {
    let mut seen = BTreeSet::new();
    for asked in &rulebook.approvals {
        let word = asked.kind.word();
        if !seen.insert((asked.kind, asked.when)) {
            faults.push(format!(
                "Two approvals are asked for of the kind {word} in the same use: join them in any_of."
            ));
        }
        if asked.any_of.is_empty()
            || asked
                .any_of
                .iter()
                .any(|one| one.standard.trim().is_empty())
        {
            faults.push(format!(
                "The approval of the kind {word} names no standard."
            ));
        }
        for rope_kind in &asked.rope_kinds {
            if !ROPE_KINDS.contains(&rope_kind.as_str()) {
                faults.push(format!(
                    "The approval of the kind {word}: \"{rope_kind}\" is not one of {}.",
                    ROPE_KINDS.join(", ")
                ));
            }
        }
    }
}

fn minimums(rulebook: &Rulebook, faults: &mut Vec<String>) {
    for (at, minimum) in rulebook.minimums.iter().enumerate() {
        let title = format!("The minimum of {} {}", minimum.kind.word(), minimum.title());
        if !minimum.kind.modes().contains(&minimum.mode) {
            faults.push(format!(
                "{title}: a {} is not loaded {}.",
                minimum.kind.word(),
                minimum.mode.words()
            ));
        }
        if minimum.at_least.quantity().newtons() <= 0.0 {
            faults.push(format!(
                "{title} must be above 0, not {}.",
                minimum.at_least
            ));
        }
        if let Some(printed) = minimum.or_printed {
            let (one, other) = (minimum.at_least.quantity(), printed.quantity());
            let apart = (one.newtons() - other.newtons()).abs();
            if printed.unit() == minimum.at_least.unit() || apart > one.newtons() * PAIR {
                faults.push(format!(
                    "{title}: {printed} is not {} in another unit.",
                    minimum.at_least
                ));
            }
        }
        if minimum.standard.trim().is_empty() {
            faults.push(format!("{title} names no standard."));
        }
        let same = |other: &super::Minimum| {
            other.kind == minimum.kind
                && other.mode == minimum.mode
                && other.material == minimum.material
                && other.diameter == minimum.diameter
                && super::same_standard(&other.standard, &minimum.standard)
                && (other.class == minimum.class
                    || super::same_class(other.class.as_deref(), minimum.class.as_deref()))
        };
        if rulebook.minimums[..at].iter().any(same) {
            faults.push(format!("{title} {} stands twice.", minimum.mode.words()));
        }
    }
}
