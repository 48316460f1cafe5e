//! What a job and its rulebook ask of the rig, as the mechanics take it.

use std::collections::BTreeMap;

use super::{KitGap, KitItem, Plan, aside};
use crate::domain::Model;
use crate::domain::rulebook::Rulebook;
use crate::rigging::{
    ArrestLimit, Catch, Conditions, Duty, Exceptional, Force, LoadingMode, Mass, Requirement,
    SafetyFactor, StrengthKind, Wetness,
};

/// The conditions, and what is missing to judge a catch, all at once; nothing where the rig catches nothing.
pub(super) fn conditions(plan: &Plan<'_>, kit: &[KitItem<'_>]) -> (Conditions, Vec<KitGap>) {
    let setup = &plan.job.setup;
    let (catch, lacks) = catch(plan, kit);
    let belay_aside = lacks.iter().any(|gap| gap.code == aside::OF_BELAY);
    let conditions = Conditions {
        load: plan.load.weight(),
        wetness: if setup.wet {
            Wetness::Wet
        } else {
            Wetness::Dry
        },
        required: required(plan.rulebook),
        required_at: BTreeMap::new(),
        pull_each: setup.pull(),
        way: plan.way(),
        line_accepted: setup.line_planned,
        exceptional: Exceptional {
            required: setup.exceptional_factor.and_then(own_factor),
            in_a_catch: in_a_catch(plan.rulebook),
            stuck_pull: setup.stuck_pull.map(|pull| pull.quantity()),
            catch,
            belay_aside,
        },
    };
    (conditions, lacks)
}

fn required(rulebook: &Rulebook) -> Requirement {
    let factor = rulebook.factor();
    Requirement {
        factor: factor.value,
        source: format!("{}: {}", rulebook.title(), factor.from),
    }
}

/// The factor that the rulebook has for a catch, where it has one.
fn in_a_catch(rulebook: &Rulebook) -> Option<Requirement> {
    let factor = rulebook.catch()?;
    Some(Requirement {
        factor: factor.value,
        source: format!("{}: {}", rulebook.title(), factor.from),
    })
}

fn own_factor(ratio: f64) -> Option<Requirement> {
    Some(Requirement {
        factor: SafetyFactor::from_ratio(ratio).ok()?,
        source: "the job's own factor for a stuck load and a catch".to_owned(),
    })
}

/// The catch that the job asks for, on the stiffest of the ropes that may have to hold it, and what is missing to judge
/// one. A catch whose peak cannot be told, or that pulls a tripod further aside than the rig counts with, is left open: it takes nothing from what the kit holds without it.
fn catch(plan: &Plan<'_>, kit: &[KitItem<'_>]) -> (Option<Catch>, Vec<KitGap>) {
    if !plan.rig.catches() {
        return (None, Vec::new());
    }
    let setup = &plan.job.setup;
    let mut lacks = lacks_of_plan(plan);
    let mut stiffest: Option<(Force, String)> = None;
    let asides = aside::gaps(plan, kit).into_iter();
    let asides: Vec<KitGap> = asides.filter(KitGap::is_of_catch_alone).collect();
    let mut is_told = asides.is_empty();
    lacks.extend(asides);
    let ropes = plan.rig.ropes().iter();
    for rope in ropes.filter(|rope| rope.duty() != Duty::Main) {
        let key = plan.rig.positions()[rope.position()].key();
        // An empty position is a gap of its own.
        let Some(item) = kit.iter().find(|item| item.position == Some(key)) else {
            continue;
        };
        match modulus(item, key) {
            Ok(found) if stiffest.as_ref().is_none_or(|(most, _)| found.0 > *most) => {
                stiffest = Some(found);
            }
            Ok(_) => {}
            Err(gap) => {
                is_told = false;
                lacks.push(gap);
            }
        }
    }
    let (Some(slack), Some(in_play), true) = (setup.catch_slack, setup.catch_rope, is_told) else {
        return (None, lacks);
    };
    let catch = stiffest.map(|(modulus, modulus_source)| Catch {
        slack: slack.quantity(),
        in_play: in_play.quantity(),
        modulus,
        modulus_source,
        limit: arrest_limit(plan.rulebook),
    });
    (catch, lacks)
}

/// What the plan, or the rulebook, does not say of a catch.
fn lacks_of_plan(plan: &Plan<'_>) -> Vec<KitGap> {
    let setup = &plan.job.setup;
    let mut lacks = Vec::new();
    let mut lack = |code, sentence: &str| lacks.push(KitGap::at(code, None, sentence.to_owned()));
    if setup.catch_slack.is_none() {
        lack(
            "no-catch-slack",
            "How far the load drops before the belay is tight is not planned: give it in the plan.",
        );
    }
    if setup.catch_rope.is_none() {
        lack(
            "no-catch-rope",
            "How much belay rope is out from the device to the load is not planned: give it in the plan, at its shortest.",
        );
    }
    if setup.exceptional_factor.is_none() && plan.rulebook.catch().is_none() {
        lack(
            "no-catch-factor",
            "No factor for a catch is set: give your team's in the plan, or in the team's rulebook.",
        );
    }
    lacks
}

/// The most that the rulebook lets a person be stopped with; the person is the one that it plans with.
fn arrest_limit(rulebook: &Rulebook) -> Option<ArrestLimit> {
    let rule = rulebook.arrest()?;
    Some(ArrestLimit {
        force: rule.at_most.quantity(),
        source: format!("{}: {}", rulebook.title(), rule.from),
        body: Some(rulebook.person().mass.quantity()),
    })
}

/// The force that would stretch a rope to twice its length: what its elongation was measured with, over
/// the elongation.
fn modulus(item: &KitItem<'_>, position: &str) -> Result<(Force, String), KitGap> {
    let attributes = &item.model.attributes;
    let gap = |what: &str| {
        let sentence = format!(
            "{what} of {} is not on record, so the peak of a catch cannot be told: write it on the model's record. The \
             rest is judged without it.",
            item.label()
        );
        KitGap::at("no-modulus", Some(position), sentence)
    };
    let percent = attributes
        .number("elongation")
        .filter(|percent| *percent > 0.0)
        .ok_or_else(|| gap("The elongation"))?;
    let (between, how) = match attributes.text("elongation-test") {
        Some("50-to-150-kg") => (hundred_kilograms(), "between 50 and 150 kg".to_owned()),
        Some("tenth-of-strength") => {
            let strength = strength(item.model).ok_or_else(|| gap("The breaking strength"))?;
            (
                strength.newtons() / 10.0,
                format!("under a tenth of {strength}"),
            )
        }
        _ => return Err(gap("How the elongation was measured")),
    };
    let modulus = Force::from_newtons(between / (percent / 100.0))
        .map_err(|_| gap("A credible elongation"))?;
    Ok((
        modulus,
        format!("from the elongation of {}, {percent} % {how}", item.label()),
    ))
}

/// EN 1891 measures the elongation between 50 and 150 kg (edition 1998, read in secondary pages).
fn hundred_kilograms() -> f64 {
    let mass = Mass::from_kilograms(100.0).expect("a hundred kilograms are a mass");
    mass.weight().newtons()
}

/// The breaking strength of a rope without terminations.
fn strength(model: &Model) -> Option<Force> {
    let mut ratings = model.ratings.iter();
    let straight = ratings.find(|rating| {
        rating.kind == StrengthKind::Breaking && rating.mode == LoadingMode::Straight
    })?;
    Some(straight.value.quantity())
}
