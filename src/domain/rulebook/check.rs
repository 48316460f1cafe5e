//! Checks a rulebook: every number inside its limits, every kind spoken of, nothing against itself.

use super::super::kind::ROPE_KINDS;
use super::fault::Faults;
use super::named::{ARREST, CATCH, DEPTH, FACTOR, IDENTITY, Named, PERSON};
use super::{Bound, KindRule, LifeBinds, Measure, Minimum, Rulebook, Side, StrengthAsked};
use crate::domain::{Kind, Material, Takes};

/// The lightest and the heaviest person that a rulebook may plan with, in kilograms.
const PERSON_KG: std::ops::RangeInclusive<f64> = 40.0..=300.0;
/// The factors that a rulebook may ask for.
const FACTORS: std::ops::RangeInclusive<f64> = 1.0..=100.0;

/// How far the two forces of a printed pair may lie apart, as a share.
const FORCES: f64 = 0.005;
/// The same of lengths: half an inch stands beside 12.5 mm.
const LENGTHS: f64 = 0.02;

/// What is wrong with each rule by itself and beside the others.
pub(super) fn check(rulebook: &Rulebook, faults: &mut Faults) {
    names(rulebook, faults);
    numbers(rulebook, faults);
    approvals(rulebook, faults);
    for minimum in &rulebook.minimums {
        check_minimum(minimum, faults);
    }
    for further in &rulebook.further {
        let adds = Measure::Force(further.adds);
        let beside = further.or_printed.map(Measure::Force);
        pair(adds, beside, &further.name(), faults);
        above_zero(adds, &further.name(), "adds", faults);
    }
    for bound in &rulebook.bounds {
        check_bound(bound, rulebook, faults);
    }
    for rule in &rulebook.retentions {
        if rule.months.is_none() && rule.until.is_none() {
            let sentence = "Write months, or until what it is kept.";
            faults.of(&rule.name(), "months", sentence);
        }
        if rule.ends.is_some() && rule.until.is_none() {
            let sentence = "Write in words too until what it is kept.";
            faults.of(&rule.name(), "until", sentence);
        }
        if rule.then_months.is_some() && rule.ends.is_none() {
            let sentence = "Write behind what these months are counted.";
            faults.of(&rule.name(), "ends", sentence);
        }
    }
}

/// What is missing in a rulebook as a whole.
pub(super) fn complete(rulebook: &Rulebook, faults: &mut Faults) {
    if rulebook.sources.is_empty() {
        faults.at(
            "source",
            "There is no source: list the standards and papers behind it.",
        );
    }
    if rulebook.leaves_out.is_empty() {
        faults.at(
            "leaves_out",
            "Write a sentence for each thing that it does not cover.",
        );
    }
    for kind in Kind::ALL {
        check_kind(*kind, rulebook, faults);
    }
    for material in Material::ALL {
        let sets = |rule: &&super::LifeRule| {
            rule.binds == LifeBinds::MakerSilent
                && rule.kinds.is_empty()
                && rule.material.is_none_or(|made_of| made_of == material)
        };
        if !rulebook.lives.iter().any(|rule| sets(&rule)) {
            faults.at(
                "life",
                format!(
                    "No rule says how long {} lives where the maker says nothing: add one with binds = \"maker-silent\".",
                    material.key()
                ),
            );
        }
    }
}

fn names(rulebook: &Rulebook, faults: &mut Faults) {
    let key = &rulebook.key;
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    if key.len() > 40 || !key.chars().all(plain) {
        let shown: String = key.chars().take(60).collect();
        faults.at(
            "key",
            format!("Write 1 to 40 lower-case letters, digits and hyphens, not \"{shown}\"."),
        );
    }
    if rulebook.title.chars().count() > crate::domain::LONGEST_LINE {
        let longest = crate::domain::LONGEST_LINE;
        faults.at("title", format!("Keep the title to {longest} characters."));
    }
    if rulebook.identity.asks.is_empty() {
        let sentence = "Say what must be known of an item: serial, made, markings.";
        faults.of(IDENTITY, "asks", sentence);
    }
    let mut seen = std::collections::BTreeSet::new();
    for (at, cited) in rulebook.sources.iter().enumerate() {
        if !seen.insert(cited.source.trim()) {
            faults.at(
                &format!("source {}", at + 1),
                format!("The source \"{}\" stands twice.", cited.source),
            );
        }
    }
}

fn numbers(rulebook: &Rulebook, faults: &mut Faults) {
    let mass = rulebook.person.mass;
    let (least, most) = (PERSON_KG.start(), PERSON_KG.end());
    if !PERSON_KG.contains(&mass.quantity().kilograms()) {
        faults.of(
            PERSON,
            "mass",
            format!("The mass of a person must be between {least} and {most} kg, not {mass}."),
        );
    }
    let factor = rulebook.factor.value.ratio();
    let (least, most) = (FACTORS.start(), FACTORS.end());
    if !FACTORS.contains(&factor) {
        faults.of(
            FACTOR,
            "value",
            format!("The factor must be between {least} and {most}, not {factor}."),
        );
    }
    let catch = rulebook.catch.as_ref().map(|catch| catch.value.ratio());
    if let Some(catch) = catch.filter(|catch| !FACTORS.contains(catch)) {
        let sentence = format!("The factor must be between {least} and {most}, not {catch}.");
        faults.of(CATCH, "value", sentence);
    }
    if let Some(depth) = &rulebook.depth {
        let at_most = Measure::Length(depth.at_most);
        let beside = depth.or_printed.map(Measure::Length);
        pair(at_most, beside, DEPTH, faults);
        above_zero(at_most, DEPTH, "at_most", faults);
    }
    if let Some(arrest) = &rulebook.arrest {
        let at_most = Measure::Force(arrest.at_most);
        let beside = arrest.or_printed.map(Measure::Force);
        pair(at_most, beside, ARREST, faults);
        above_zero(at_most, ARREST, "at_most", faults);
    }
}

fn check_kind(kind: Kind, rulebook: &Rulebook, faults: &mut Faults) {
    let word = kind.word();
    let name = format!("kind-{}", kind.key());
    let Some(rule) = rulebook.kinds.iter().find(|rule| rule.kind == kind) else {
        // Of what is used beside the rig nothing is asked that a rulebook must say.
        if kind.is_beside_the_rig() {
            return;
        }
        faults.at("kind", format!("The kind {word} has no entry: add one."));
        return;
    };
    let has_minimum = rulebook.minimums.iter().any(|one| one.kind == kind);
    let has_approval = rulebook.approvals.iter().any(|one| one.kind == kind);
    let reasons = [
        ("minimum", has_minimum, &rule.no_minimum),
        ("approval", has_approval, &rule.no_approval),
    ];
    for (thing, has, why_not) in reasons {
        let key = format!("no_{thing}");
        match (has, why_not.is_some()) {
            (false, false) => faults.of(
                &name,
                &key,
                format!("The kind {word} has no {thing}: add one, or say why not in {key}."),
            ),
            (true, true) => faults.of(
                &name,
                &key,
                format!(
                    "The kind {word} has a {thing} and a reason why it has none: take one out."
                ),
            ),
            _ => {}
        }
    }
    if has_minimum && rule.strength == StrengthAsked::Nothing {
        faults.of(
            &name,
            "strength",
            format!("The kind {word} has a minimum, and no strength is asked for."),
        );
    }
    by_approval(rulebook, rule, faults);
    for material in Material::ALL {
        if !kind.is_beside_the_rig() && rulebook.interval(kind, material).is_none() {
            let sentence = format!(
                "No interval binds the kind {word} of {}: add one.",
                material.key()
            );
            faults.at("interval", sentence);
        }
    }
}

/// A kind that is taken by its approval alone is asked for one, whatever it is used for.
fn by_approval(rulebook: &Rulebook, rule: &KindRule, faults: &mut Faults) {
    let mut always = rulebook.approvals_asked(rule.kind, &[]);
    if rule.strength == StrengthAsked::Approval && always.next().is_none() {
        let word = rule.kind.word();
        faults.of(
            &rule.name(),
            "strength",
            format!(
                "The kind {word} is taken by its approval alone, and none is asked for always."
            ),
        );
    }
}

fn approvals(rulebook: &Rulebook, faults: &mut Faults) {
    for asked in &rulebook.approvals {
        if asked.any_of.is_empty() {
            faults.of(&asked.name(), "any_of", "Name a standard that will do.");
        }
        for rope_kind in &asked.rope_kinds {
            if !ROPE_KINDS.contains(&rope_kind.as_str()) {
                let all = ROPE_KINDS.join(", ");
                faults.of(
                    &asked.name(),
                    "rope_kinds",
                    format!("Write words of {all}, not \"{rope_kind}\"."),
                );
            }
        }
    }
}

fn check_minimum(minimum: &Minimum, faults: &mut Faults) {
    let name = minimum.name();
    let word = at_start(minimum.kind);
    if !minimum.kind.modes().contains(&minimum.mode) {
        let mode = minimum.mode.words();
        faults.of(&name, "mode", format!("{word} is not loaded {mode}."));
    }
    if minimum.standard.is_none() && minimum.class.is_some() {
        let sentence = "A class belongs to a standard: name it, or take the class out.";
        faults.of(&name, "class", sentence);
    }
    let at_least = Measure::Force(minimum.at_least);
    above_zero(at_least, &name, "at_least", faults);
    pair(
        at_least,
        minimum.or_printed.map(Measure::Force),
        &name,
        faults,
    );
}

fn above_zero(value: Measure, name: &str, key: &str, faults: &mut Faults) {
    if value.plain() <= 0.0 {
        faults.of(name, key, format!("This must be above 0, not {value}."));
    }
}

/// The second number of a printed pair must be the first in another unit, as far as it is rounded.
fn pair(one: Measure, beside: Option<Measure>, name: &str, faults: &mut Faults) {
    let Some(printed) = beside else { return };
    let apart = (one.plain() - printed.plain()).abs();
    let other = one.cmp_to(printed).is_none() || one.same_unit(printed);
    let share = match one {
        Measure::Force(_) => FORCES,
        Measure::Length(_) => LENGTHS,
    };
    if other || apart > one.plain() * share {
        let sentence = format!("{printed} is not {one} in another unit.");
        faults.of(name, "or_printed", sentence);
    }
}

fn check_bound(bound: &Bound, rulebook: &Rulebook, faults: &mut Faults) {
    let name = bound.name();
    let word = at_start(bound.kind);
    match bound.kind.attribute(&bound.attribute) {
        None => {
            let all = bound.kind.attributes().iter();
            let all = all.filter(|one| matches!(one.takes, Takes::Length | Takes::Force));
            let all: Vec<&str> = all.map(|one| one.key).collect();
            let attribute = &bound.attribute;
            let all = all.join(", ");
            faults.of(
                &name,
                "attribute",
                format!("{word} has no attribute \"{attribute}\"; there are {all}."),
            );
        }
        Some(attribute) => {
            let fits = matches!(
                (attribute.takes, bound.value),
                (Takes::Length, Measure::Length(_)) | (Takes::Force, Measure::Force(_))
            );
            if !fits {
                let (key, value) = (&bound.attribute, bound.value);
                faults.of(
                    &name,
                    "value",
                    format!("{value} is no {key}: write its unit."),
                );
            }
        }
    }
    if bound.standard.is_none() && bound.class.is_some() {
        let sentence = "A class belongs to a standard: name it, or take the class out.";
        faults.of(&name, "class", sentence);
    }
    above_zero(bound.value, &name, "value", faults);
    pair(bound.value, bound.or_printed, &name, faults);
    against(bound, rulebook, faults);
}

/// A least value above a greatest one of the same things leaves nothing.
fn against(bound: &Bound, rulebook: &Rulebook, faults: &mut Faults) {
    if bound.side != Side::AtLeast {
        return;
    }
    let same = |other: &&Bound| {
        other.side != Side::AtLeast
            && (other.kind, &other.attribute) == (bound.kind, &bound.attribute)
            && other.overlaps(bound)
    };
    for other in rulebook.bounds.iter().filter(same) {
        let order = bound.value.cmp_to(other.value);
        if order.is_some_and(|order| order.is_gt() || (order.is_eq() && other.side == Side::Below))
        {
            faults.of(
                &bound.name(),
                "value",
                format!(
                    "At least {} and {} {} leaves nothing: mend one of the two.",
                    bound.value,
                    other.side.words(),
                    other.value
                ),
            );
        }
    }
}

/// One of a kind at the start of a sentence: "An anchor device".
fn at_start(kind: Kind) -> String {
    let one = kind.one();
    format!("A{}", &one[1..])
}
