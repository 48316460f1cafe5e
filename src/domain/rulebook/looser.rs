//! Where a rulebook asks less than the one that it is based on. What is law is never asked less of;
//! anything else only with a reason, which then shows wherever the rule shows.

use std::collections::HashMap;

use super::fault::Faults;
use super::named::{IDENTITY, Named};
use super::numbered::{Numbered, Stricter};
use super::{
    Amount, ApprovalAsked, LifeBinds, LifeFrom, Minimum, Retention, Rulebook, StrengthAsked,
};
use crate::domain::{Cited, Kind, Material};

/// One rule in which less is asked.
pub(super) struct Less {
    pub(super) rule: String,
    of: String,
    is: String,
    instead_of: String,
    /// Where the base has it from.
    from: Cited,
}

impl Less {
    fn new(was: &impl Named, of: String, (is, instead_of): (String, String), from: &Cited) -> Self {
        Self {
            rule: was.name(),
            of,
            is,
            instead_of,
            from: from.clone(),
        }
    }

    /// Why it may not be, where it is law.
    pub(super) fn forbidden(&self) -> Option<String> {
        let Self {
            of, is, instead_of, ..
        } = self;
        self.from.law.then(|| {
            format!(
                "{of}: {is} is less than the {instead_of} that the law asks for ({}), and that may not be changed.",
                self.from.source
            )
        })
    }

    /// How much less it asks than the base.
    pub(super) fn words(&self, base: &Rulebook) -> String {
        let (is, instead_of) = (&self.is, &self.instead_of);
        format!("looser than {} ({is} instead of {instead_of})", base.title)
    }

    /// The same with what it is about.
    pub(super) fn sentence(&self, base: &Rulebook) -> String {
        format!("{}: {}", self.of, self.words(base))
    }
}

/// Holds a rulebook against its base: every rule that asks less needs a reason, and must not be law.
/// Where it may be, the rule is marked with how much less and why.
pub(super) fn mark(own: &mut Rulebook, base: &Rulebook, faults: &mut Faults) {
    let found = less(own, base);
    for one in &found {
        if let Some(sentence) = one.forbidden() {
            faults.of(&one.rule, "", sentence);
        } else if !own.looser.iter().any(|other| other.rule == one.rule) {
            let sentence = format!(
                "{}. Say why in a [[looser]] with rule = \"{}\" and a reason, or keep it.",
                one.sentence(base),
                one.rule
            );
            faults.of(&one.rule, "", sentence);
        }
    }
    for entry in &own.looser {
        if !found.iter().any(|one| one.rule == entry.rule) {
            let sentence = format!(
                "The rule \"{}\" asks no less than \"{}\" does: take this entry out.",
                entry.rule, base.title
            );
            faults.of(&format!("looser-{}", entry.rule), "rule", sentence);
        }
    }
    tell(own, base, &found);
}

/// Writes beside each rule how much less it asks, and why.
pub(super) fn tell(own: &mut Rulebook, base: &Rulebook, found: &[Less]) {
    let mut told: HashMap<String, String> = HashMap::new();
    for entry in &mut own.looser {
        let Some(one) = found.iter().find(|one| one.rule == entry.rule) else {
            continue;
        };
        let reason = &entry.reason;
        entry.sentence = format!("{}, reason: {reason}", one.sentence(base));
        told.insert(
            one.rule.clone(),
            format!("{}, reason: {reason}", one.words(base)),
        );
    }
    for rule in own.numbers_mut() {
        rule.cited_mut().looser = told.get(&rule.rule()).cloned();
    }
    for asked in &mut own.approvals {
        asked.from.looser = told.get(&asked.name()).cloned();
    }
    own.identity.from.looser = told.get(IDENTITY).cloned();
}

/// Every rule in which `own` asks less than `base`.
pub(super) fn less(own: &Rulebook, base: &Rulebook) -> Vec<Less> {
    let mut found = Vec::new();
    numbers(own, base, &mut found);
    diameters(own, base, &mut found);
    scopes(own, base, &mut found);
    said_otherwise(own, base, &mut found);
    approvals(own, base, &mut found);
    kinds(own, base, &mut found);
    identity(own, base, &mut found);
    found
}

fn numbers(own: &Rulebook, base: &Rulebook, found: &mut Vec<Less>) {
    let mine = own.numbers().into_iter();
    let mine: HashMap<String, &dyn Numbered> = mine.map(|rule| (rule.rule(), rule)).collect();
    for was in base.numbers() {
        let is = match mine.get(&was.rule()) {
            Some(is) if asks_less(*is, was) => is.amount().to_string(),
            Some(_) => continue,
            None => "nothing".to_owned(),
        };
        found.push(Less {
            rule: was.rule(),
            of: was.of(),
            is,
            instead_of: was.amount().to_string(),
            from: was.cited().clone(),
        });
    }
}

/// Whether one of its numbers asks less than the number of the base that is printed in its unit.
fn asks_less(is: &dyn Numbered, was: &dyn Numbered) -> bool {
    let less = |own: Amount| {
        let beside = was.beside().filter(|beside| beside.same_unit(own));
        let had = beside.unwrap_or(was.amount()).plain();
        match was.stricter() {
            Stricter::Higher => own.plain() < had,
            Stricter::Lower => own.plain() > had,
        }
    };
    less(is.amount()) || is.beside().is_some_and(less)
}

/// Minimums for diameters that the base has none for, and so refuses.
fn diameters(own: &Rulebook, base: &Rulebook, found: &mut Vec<Less>) {
    let by_diameter = |one: &Minimum| {
        let like = one.diameter.is_some().then(|| Minimum {
            diameter: None,
            ..one.clone()
        });
        like.map(|like| like.name())
    };
    let had: Vec<String> = base.minimums.iter().filter_map(by_diameter).collect();
    for minimum in &own.minimums {
        let like = by_diameter(minimum).filter(|like| had.contains(like));
        if like.is_some() && same(&base.minimums, minimum).is_none() {
            let words = (
                minimum.at_least.to_string(),
                "refused for want of a number".to_owned(),
            );
            found.push(Less::new(minimum, minimum.words(), words, &base.limit.from));
        }
    }
}

/// Rules whose number is the same, but that bind less gear, or from later on.
fn scopes(own: &Rulebook, base: &Rulebook, found: &mut Vec<Less>) {
    for was in &base.intervals {
        let is = same(&own.intervals, was);
        if let Some(is) = is.filter(|is| {
            !covers((&is.kinds, is.material), (&was.kinds, was.material))
                || (is.harsh && !was.harsh)
        }) {
            let words = (is.scope(), was.scope());
            found.push(Less::new(was, Numbered::of(was), words, &was.from));
        }
    }
    for was in &base.lives {
        let is = same(&own.lives, was);
        if let Some(is) = is.filter(|is| {
            !covers((&is.kinds, is.material), (&was.kinds, was.material))
                || (is.binds == LifeBinds::MakerSilent && was.binds == LifeBinds::Always)
                || (is.counts_from == LifeFrom::FirstUse && was.counts_from == LifeFrom::Made)
        }) {
            let words = (is.scope(), was.scope());
            found.push(Less::new(was, Numbered::of(was), words, &was.from));
        }
    }
}

/// Papers that are kept until something else, and looks that say something else: whether that is less
/// no program can tell, so it is taken for less.
fn said_otherwise(own: &Rulebook, base: &Rulebook, found: &mut Vec<Less>) {
    for was in &base.retentions {
        let until = |rule: &Retention| {
            let until = rule.until.clone();
            let until =
                until.map_or_else(|| "months alone".to_owned(), |text| format!("until {text}"));
            format!("{until}{}", rule.counted())
        };
        let is = same(&own.retentions, was).map(until);
        // One that is gone with its months is found by its number.
        let gone = is.is_none() && was.months.is_some();
        if was.until.is_some() && !gone && is.as_ref() != Some(&until(was)) {
            let words = (is.unwrap_or_else(|| "nothing".to_owned()), until(was));
            let of = format!("How long to keep: {}", was.of);
            found.push(Less::new(was, of, words, &was.from));
        }
    }
    for was in &base.looks {
        let is = same(&own.looks, was);
        if is.is_none_or(|is| is.says != was.says || (was.written && !is.written)) {
            let is = is.map_or("nothing", |is| is.says.as_str());
            let words = (format!("\"{is}\""), format!("\"{}\"", was.says));
            let of = format!("Look at {}, {}", was.of, was.when.words());
            found.push(Less::new(was, of, words, &was.from));
        }
    }
    for was in &base.told {
        if same(&own.told, was).is_none() {
            let words = ("nothing".to_owned(), format!("\"{}\"", was.says));
            let of = was.about.words().to_owned();
            found.push(Less::new(was, of, words, &was.from));
        }
    }
}

/// The rule of the same name.
fn same<'a, T: Named>(all: &'a [T], one: &T) -> Option<&'a T> {
    let name = one.name();
    all.iter().find(|other| other.name() == name)
}

/// Whether a rule for some kinds and a material binds all that another binds.
fn covers(is: (&[Kind], Option<Material>), was: (&[Kind], Option<Material>)) -> bool {
    let kinds =
        is.0.is_empty() || (!was.0.is_empty() && was.0.iter().all(|kind| is.0.contains(kind)));
    kinds && (is.1.is_none() || is.1 == was.1)
}

fn approvals(own: &Rulebook, base: &Rulebook, found: &mut Vec<Less>) {
    for was in &base.approvals {
        let is = own
            .approvals
            .iter()
            .find(|asked| asked.name() == was.name());
        let is = match is {
            Some(is) if takes_more(is, was) => is.words(),
            Some(_) => continue,
            None => "nothing".to_owned(),
        };
        found.push(Less {
            rule: was.name(),
            of: format!("Approval of {}, {}", was.kind.one(), was.when.words()),
            is,
            instead_of: was.words(),
            from: was.from.clone(),
        });
    }
}

/// Whether an approval will do that did not before, or more rope, or one without a rated load.
fn takes_more(is: &ApprovalAsked, was: &ApprovalAsked) -> bool {
    let other = is.any_of.iter().any(|wanted| {
        !was.any_of.iter().any(|had| {
            super::same_standard(&had.standard, &wanted.standard)
                && (had.classes.is_empty()
                    || (!wanted.classes.is_empty()
                        && wanted.classes.iter().all(|class| {
                            had.classes
                                .iter()
                                .any(|one| super::same_class(Some(one), Some(class)))
                        })))
        })
    });
    let ropes = is
        .rope_kinds
        .iter()
        .any(|kind| !was.rope_kinds.contains(kind));
    other || ropes || (was.rated_load && !is.rated_load)
}

fn kinds(own: &Rulebook, base: &Rulebook, found: &mut Vec<Less>) {
    let rank = |asked| match asked {
        StrengthAsked::Nothing => 0,
        StrengthAsked::Approval => 1,
        StrengthAsked::Any => 2,
        StrengthAsked::Breaking => 3,
    };
    for was in &base.kinds {
        let is = own.strength_asked(was.kind);
        if rank(is) < rank(was.strength) {
            found.push(Less {
                rule: was.name(),
                of: format!("Strength that must be known of {}", was.kind.one()),
                is: is.words().to_owned(),
                instead_of: was.strength.words().to_owned(),
                from: base.limit.from.clone(),
            });
        }
    }
}

fn identity(own: &Rulebook, base: &Rulebook, found: &mut Vec<Less>) {
    if base
        .identity
        .asks
        .iter()
        .any(|mark| !own.identity.covers(*mark))
    {
        found.push(Less {
            rule: IDENTITY.to_owned(),
            of: "What must be known of every item".to_owned(),
            is: own.identity.words(),
            instead_of: base.identity.words(),
            from: base.identity.from.clone(),
        });
    }
}
