//! Reads a rulebook's sheet rule by rule; each rule that holds is kept, and each that does not is a fault.

use super::asked::{ApprovalAsked, Minimum, StandardClass, When};
use super::fault::Faults;
use super::measure::{
    force, length, mass, maybe_force, maybe_length, maybe_measure, measure, ratio,
};
use super::named::{ARREST, CATCH, DEPTH, FACTOR, IDENTITY, LIMIT, Named, PERSON};
use super::part::{Lines, Part, parsed, read_whole};
use super::rule::{
    ArrestRule, DepthLimit, Factor, Identity, Interval, LifeRule, LimitRule, Look, PersonMass,
    Retention,
};
use super::{Bound, Ends, FurtherPerson, KindRule, Loosened, Paper, StrengthAsked, Told};
use crate::domain::{Cited, Kind, key_of};

/// What stands in a sheet; a rulebook once what it is based on is put under it.
#[derive(Debug, Default)]
pub(super) struct Sheet {
    pub(super) key: Option<String>,
    pub(super) title: Option<String>,
    pub(super) covers: Option<String>,
    pub(super) leaves_out: Vec<String>,
    pub(super) based_on: Option<String>,
    pub(super) sources: Vec<Cited>,
    pub(super) person: Option<PersonMass>,
    pub(super) factor: Option<Factor>,
    pub(super) limit: Option<LimitRule>,
    pub(super) identity: Option<Identity>,
    pub(super) depth: Option<DepthLimit>,
    pub(super) arrest: Option<ArrestRule>,
    pub(super) catch: Option<Factor>,
    pub(super) intervals: Vec<Interval>,
    pub(super) lives: Vec<LifeRule>,
    pub(super) looks: Vec<Look>,
    pub(super) retentions: Vec<Retention>,
    pub(super) kinds: Vec<KindRule>,
    pub(super) approvals: Vec<ApprovalAsked>,
    pub(super) minimums: Vec<Minimum>,
    pub(super) further: Vec<FurtherPerson>,
    pub(super) bounds: Vec<Bound>,
    pub(super) told: Vec<Told>,
    pub(super) looser: Vec<Loosened>,
}

/// Reads a sheet; what is wrong is noted.
pub(super) fn sheet(text: &str, faults: &mut Faults) -> Sheet {
    let lines = Lines::of(text);
    let table = parsed(text, &lines, faults);
    let part = Part::new(table.get_ref(), "", &lines, faults);
    read_whole(part, |part| Some(whole(part))).unwrap_or_default()
}

fn whole(part: &mut Part<'_>) -> Sheet {
    Sheet {
        key: part.maybe_text("key"),
        title: part.maybe_text("title"),
        covers: part.maybe_text("covers"),
        leaves_out: part.texts("leaves_out"),
        based_on: part.maybe_text("based_on"),
        sources: part.parts("source", cited),
        person: single(part, "person", PERSON, person),
        factor: single(part, "factor", FACTOR, factor),
        limit: single(part, "limit", LIMIT, limit),
        identity: single(part, "identity", IDENTITY, identity),
        depth: single(part, "depth", DEPTH, depth),
        arrest: single(part, "arrest", ARREST, arrest),
        catch: single(part, "catch", CATCH, factor),
        intervals: rules(part, "interval", interval),
        lives: rules(part, "life", life),
        looks: rules(part, "look", look),
        retentions: rules(part, "retention", retention),
        kinds: rules(part, "kind", kind_rule),
        approvals: rules(part, "approval", approval),
        minimums: rules(part, "minimum", minimum),
        further: rules(part, "further_person", further_person),
        bounds: rules(part, "bound", bound),
        told: rules(part, "told", told),
        looser: part.parts("looser", loosened),
    }
}

/// A rule that stands once, its place noted.
fn single<T>(
    part: &mut Part<'_>,
    key: &'static str,
    name: &str,
    read: impl FnOnce(&mut Part<'_>) -> Option<T>,
) -> Option<T> {
    part.maybe_part(key, |part| {
        part.named(name.to_owned());
        read(part)
    })
}

/// The rules of a list, the place of each noted under its name.
fn rules<T: Named>(
    part: &mut Part<'_>,
    key: &'static str,
    read: impl Fn(&mut Part<'_>) -> Option<T>,
) -> Vec<T> {
    part.parts(key, |part| {
        let rule = read(part)?;
        part.named(rule.name());
        Some(rule)
    })
}

/// The words that a key takes, as sheets write them.
fn keys<T: serde::Serialize + Copy>(all: &[T]) -> Vec<String> {
    all.iter().map(|one| key_of(*one)).collect()
}

fn kind(part: &mut Part<'_>) -> Option<Kind> {
    part.word("kind", &keys(Kind::ALL))
}

fn kinds(part: &mut Part<'_>) -> Vec<Kind> {
    part.words("kinds", &keys(Kind::ALL))
}

fn material(part: &mut Part<'_>) -> Option<crate::domain::Material> {
    part.maybe_word("material", &keys(&crate::domain::Material::ALL))
}

fn from(part: &mut Part<'_>) -> Option<Cited> {
    part.part("from", cited)
}

fn cited(part: &mut Part<'_>) -> Option<Cited> {
    let source = part.text("source");
    let known = part.word("known", &keys(&crate::domain::Known::ALL));
    let law = part.yes("law");
    let disagrees = part.maybe_text("disagrees");
    Some(Cited {
        law,
        disagrees,
        ..Cited::new(source?, known?)
    })
}

fn person(part: &mut Part<'_>) -> Option<PersonMass> {
    let (mass, reason, from) = (mass(part, "mass"), part.text("reason"), from(part));
    Some(PersonMass {
        mass: mass?,
        reason: reason?,
        from: from?,
    })
}

fn factor(part: &mut Part<'_>) -> Option<Factor> {
    let (value, reason, from) = (ratio(part, "value"), part.text("reason"), from(part));
    Some(Factor {
        value: value?,
        reason: reason?,
        from: from?,
    })
}

fn limit(part: &mut Part<'_>) -> Option<LimitRule> {
    let (rule, from) = (part.text("rule"), from(part));
    Some(LimitRule {
        rule: rule?,
        from: from?,
    })
}

fn identity(part: &mut Part<'_>) -> Option<Identity> {
    let (asks, from) = (part.words("asks", &keys(&super::Mark::ALL)), from(part));
    Some(Identity { asks, from: from? })
}

fn depth(part: &mut Part<'_>) -> Option<DepthLimit> {
    let at_most = length(part, "at_most");
    let or_printed = maybe_length(part, "or_printed");
    let (rule, from) = (part.text("rule"), from(part));
    Some(DepthLimit {
        at_most: at_most?,
        or_printed,
        rule: rule?,
        from: from?,
    })
}

fn arrest(part: &mut Part<'_>) -> Option<ArrestRule> {
    let at_most = force(part, "at_most");
    let or_printed = maybe_force(part, "or_printed");
    let (reason, from) = (part.text("reason"), from(part));
    Some(ArrestRule {
        at_most: at_most?,
        or_printed,
        reason: reason?,
        from: from?,
    })
}

/// The months of an interval or of keeping a paper.
const MONTHS: std::ops::RangeInclusive<u16> = 1..=1200;
/// The years of a life.
const YEARS: std::ops::RangeInclusive<u16> = 1..=60;

fn interval(part: &mut Part<'_>) -> Option<Interval> {
    let of = part.text("of");
    let months = part.count("months", 1..=120);
    let (kinds, material, harsh) = (kinds(part), material(part), part.yes("harsh"));
    let from = from(part);
    Some(Interval {
        of: of?,
        months: months?,
        kinds,
        material,
        harsh,
        from: from?,
    })
}

fn life(part: &mut Part<'_>) -> Option<LifeRule> {
    use super::rule::{LifeBinds, LifeFrom};
    let of = part.text("of");
    let (kinds, material) = (kinds(part), material(part));
    let all = [LifeBinds::MakerSilent, LifeBinds::Always];
    let binds = part.word("binds", &keys(&all));
    let counts_from = part.maybe_word("counts_from", &keys(&[LifeFrom::Made, LifeFrom::FirstUse]));
    let years = part.maybe_count("years", YEARS);
    let from = from(part);
    Some(LifeRule {
        of: of?,
        kinds,
        material,
        binds: binds?,
        counts_from: counts_from.unwrap_or(LifeFrom::Made),
        years,
        from: from?,
    })
}

fn look(part: &mut Part<'_>) -> Option<Look> {
    use super::LookWhen;
    let of = part.text("of");
    let when = part.word("when", &keys(&LookWhen::ALL));
    let written = part.yes("written");
    let (says, from) = (part.text("says"), from(part));
    Some(Look {
        of: of?,
        when: when?,
        written,
        says: says?,
        from: from?,
    })
}

fn retention(part: &mut Part<'_>) -> Option<Retention> {
    let of = part.text("of");
    let months = part.maybe_count("months", MONTHS);
    let until = part.maybe_text("until");
    let paper = part.maybe_word("paper", &keys(&Paper::ALL));
    let ends = part.maybe_word("ends", &keys(&Ends::ALL));
    let then_months = part.maybe_count("then_months", MONTHS);
    let from = from(part);
    Some(Retention {
        of: of?,
        months,
        until,
        paper,
        ends,
        then_months,
        from: from?,
    })
}

fn kind_rule(part: &mut Part<'_>) -> Option<KindRule> {
    let kind = kind(part);
    let strength = part.word("strength", &keys(&StrengthAsked::ALL));
    let no_minimum = part.maybe_text("no_minimum");
    let no_approval = part.maybe_text("no_approval");
    Some(KindRule {
        kind: kind?,
        strength: strength?,
        no_minimum,
        no_approval,
    })
}

fn approval(part: &mut Part<'_>) -> Option<ApprovalAsked> {
    let kind = kind(part);
    let when = part.word("when", &keys(&When::ALL));
    let any_of = part.parts("any_of", |part| {
        let (standard, classes) = (part.text("standard"), part.texts("classes"));
        Some(StandardClass {
            standard: standard?,
            classes,
        })
    });
    let rope_kinds = part.texts("rope_kinds");
    let rated_load = part.yes("rated_load");
    let from = from(part);
    Some(ApprovalAsked {
        kind: kind?,
        when: when?,
        any_of,
        rope_kinds,
        rated_load,
        from: from?,
    })
}

fn minimum(part: &mut Part<'_>) -> Option<Minimum> {
    let kind = kind(part);
    let (standard, class) = (part.maybe_text("standard"), part.maybe_text("class"));
    let mode = part.word("mode", &keys(&crate::rigging::LoadingMode::ALL));
    let (material, diameter) = (material(part), maybe_length(part, "diameter"));
    let (at_least, or_printed) = (force(part, "at_least"), maybe_force(part, "or_printed"));
    let from = from(part);
    Some(Minimum {
        kind: kind?,
        standard,
        class,
        mode: mode?,
        material,
        diameter,
        at_least: at_least?,
        or_printed,
        from: from?,
    })
}

fn further_person(part: &mut Part<'_>) -> Option<FurtherPerson> {
    let (kind, standard) = (kind(part), part.maybe_text("standard"));
    let (adds, or_printed) = (force(part, "adds"), maybe_force(part, "or_printed"));
    let from = from(part);
    Some(FurtherPerson {
        kind: kind?,
        standard,
        adds: adds?,
        or_printed,
        from: from?,
    })
}

fn bound(part: &mut Part<'_>) -> Option<Bound> {
    use super::Side;
    let (kind, attribute) = (kind(part), part.text("attribute"));
    let (standard, class) = (part.maybe_text("standard"), part.maybe_text("class"));
    let side = part.word("side", &keys(&[Side::AtLeast, Side::AtMost, Side::Below]));
    let (value, or_printed) = (measure(part, "value"), maybe_measure(part, "or_printed"));
    let from = from(part);
    Some(Bound {
        kind: kind?,
        attribute: attribute?,
        standard,
        class,
        side: side?,
        value: value?,
        or_printed,
        from: from?,
    })
}

fn told(part: &mut Part<'_>) -> Option<Told> {
    let about = part.word("about", &keys(&super::About::ALL));
    let several = part.yes("several");
    let (says, from) = (part.text("says"), from(part));
    Some(Told {
        about: about?,
        several,
        says: says?,
        from: from?,
    })
}

fn loosened(part: &mut Part<'_>) -> Option<Loosened> {
    let (rule, reason) = (part.text("rule"), part.text("reason"));
    let drop = part.yes("drop");
    let rule = rule?;
    part.named(format!("looser-{rule}"));
    Some(Loosened {
        rule,
        reason: reason?,
        drop,
        sentence: String::new(),
    })
}
