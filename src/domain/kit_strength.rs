//! Is this kit strong enough, rigged so? From records to mechanics and back to one sentence.
//!
//! The mechanics know forces and strengths; the records know jobs, items and rulebooks. Here the one is
//! built from the other, and nothing that a record lacks is made up: it is a gap with a name. Where a
//! range of friction is not on record, it is assumed in words that stand among the assumptions.

mod aside;
mod conditions;
mod coverage;
mod friction;
mod gap;
mod margin;
mod outfit;
mod people;
mod rest;
mod round;
mod sentence;
mod somewhere;
mod what_if;
mod worn;

use serde::Serialize;

use super::fitness::{KitItem, Plan, half_range};
use super::{Cited, Edition, Units};
use crate::rigging::{Assessment, CAUTIONS, Gap, Swing, assess, holds_a_tenth_more, sensitivity};
use conditions::conditions;
pub use coverage::Coverage;
use gap::said_better;
pub use gap::{KitGap, gaps_of, gaps_wherever};
pub use somewhere::{AskedSomewhere, OpenPlace, Somewhere, mode_unknown};
pub use what_if::{Moved, Otherwise, RefusedThen, WhatIf, places};
pub use worn::Unworn;
pub(super) use worn::places_unworn;

pub use rest::{Rest, Scale, rest_of};

pub use margin::{factor_words, is_weakest, spare_words, tightest, tightest_elsewhere, worst_of};
pub(super) use sentence::lacking;

/// What the question about a kit comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    /// Every part holds what the rulebook asks.
    StrongEnough,
    /// Some part does not.
    NotStrongEnough,
    /// Something is missing.
    CannotSay,
}

/// How much of an answer is asked for. To try every input costs many times the answer itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Extent {
    /// The answer with its numbers.
    Answer,
    /// Also which input moves it most.
    WithSwings,
}

/// The answer for a kit: one sentence first, then all that it rests on.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct KitVerdict {
    /// What it comes to.
    pub outcome: Outcome,
    /// Whether the kit is strong enough; never true while something is missing.
    pub passes: bool,
    /// The answer in one sentence.
    pub sentence: String,
    /// That nothing holds the load if the main rope fails, in one sentence; none where the rig has a belay or two
    /// ropes that share the load.
    pub unbelayed: Option<String>,
    /// That the load that was typed in is less than the rulebook counts for the people of the plan, in one sentence; none
    /// where it is not.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub light: Option<String>,
    /// That little is left over, in one sentence: a tenth more load and it fails; none where it holds that too, where
    /// something fails already or is missing.
    pub little_left: Option<String>,
    /// Where the least is left over, in one sentence; none where something fails or is missing.
    pub margin: Option<String>,
    /// What the catch does to a person and what the rulebook allows, in one sentence; none where the job
    /// catches nothing or something is missing.
    pub catch: Option<String>,
    /// What a yes leaves open, each in a few words: "a fall into the belay is not judged", or that the load is less than the rulebook
    /// counts for its people; nothing while something is missing.
    pub open: Vec<String>,
    /// What is missing, all at once.
    pub gaps: Vec<KitGap>,
    /// What is missing to judge a catch, all at once; the rest is judged without it. Nothing where the rig catches
    /// nothing.
    pub catch_lacks: Vec<KitGap>,
    /// What nobody said of the plan, and what is therefore not judged; all else is.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub unsaid: Vec<KitGap>,
    /// That what a person hangs in is not on the list; none where it is, or where no person is known to hang there.
    pub unworn: Option<Unworn>,
    /// The numbers; none while something is missing.
    pub assessment: Option<Assessment>,
    /// Which input moves the least factor most, that one first; nothing while something is missing,
    /// none where it was not asked for.
    pub swings: Option<Vec<Swing>>,
    /// Every approval of every device, and whether it covers this rig.
    pub approvals: Vec<Coverage>,
    /// What the rulebook asks.
    pub asked: Asked,
    /// What the numbers rest on, a sentence each.
    pub assumptions: Vec<String>,
    /// What the rig asks for and does not do, as its sheet says, a sentence each.
    pub rig_asks: Vec<String>,
    /// What no such answer can know, a sentence each.
    pub cautions: Vec<String>,
}

/// What the rulebook asks of every part, with its source.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Asked {
    /// The rulebook's key, with the version of a team's own.
    pub rulebook: String,
    /// The rulebook's name, with the version of a team's own.
    pub title: String,
    /// The factor on breaking strengths.
    pub factor: f64,
    /// Why this factor.
    pub reason: String,
    /// Where it is from.
    pub from: Cited,
    /// How working limits and rated loads are judged.
    pub limit: String,
    /// The mass of the load in kilograms.
    pub load_kg: f64,
    /// How the mass came about, where persons are counted.
    pub load_note: Option<String>,
    /// How many people are counted on the rope.
    pub persons: u8,
    /// What follows from how many people hang on the rope, a sentence each.
    pub people: Vec<String>,
}

impl Asked {
    fn new(plan: &Plan<'_>) -> Self {
        let rulebook = plan.rulebook;
        let factor = rulebook.factor();
        let person = rulebook.person();
        Self {
            rulebook: plan.job.rulebook.clone(),
            title: rulebook.title_of(&Edition::read(&plan.job.rulebook)),
            factor: factor.value.ratio(),
            reason: factor.reason.clone(),
            from: factor.from.clone(),
            limit: rulebook.limit().rule.clone(),
            load_kg: plan.load.kilograms(),
            persons: plan.persons(),
            people: people::of_people(plan),
            load_note: match plan.job.load {
                super::Load::Persons(_) => Some(format!(
                    "{}, each counted with {}: {} Source: {}.",
                    plan.job.load, person.mass, person.reason, person.from
                )),
                load => load.counted_mass().map(|is| format!("{load}: {is}.")),
            },
        }
    }
}

/// Whether a kit, rigged as its job plans it, is strong enough.
///
/// Spares are passed over. The kit is taken as it stands; whether each item may go on the job is for
/// [`fitness`](super::fitness::fitness) to say.
pub fn kit_verdict(plan: &Plan<'_>, kit: &[KitItem<'_>], extent: Extent) -> KitVerdict {
    let plan = &*plan.under(kit);
    let (outfit, mut own_gaps) = outfit::outfit(plan, kit);
    let (conditions, catch_lacks) = conditions(plan, kit);
    let approvals = coverage::of_kit(plan, kit);
    own_gaps.extend(coverage::gaps(plan, kit));
    let asides = aside::gaps(plan, kit).into_iter();
    own_gaps.extend(asides.filter(|gap| !gap.is_of_catch_alone()));
    let answer = assess(plan.rig, &outfit, &conditions);
    let gaps = missing(&answer, own_gaps);
    let assessment = answer.ok().filter(|_| gaps.is_empty());
    let assessment = assessment.map(|assessment| warned(assessment, plan));
    let outcome = match &assessment {
        None => Outcome::CannotSay,
        Some(assessment) if assessment.passes => Outcome::StrongEnough,
        Some(_) => Outcome::NotStrongEnough,
    };
    let asked = Asked::new(plan);
    let unworn = worn::unworn(plan, kit);
    let beside = (people::light_open(plan), unworn.as_ref());
    let open = worn::all_open(assessment.as_ref(), beside);
    let caught = assessment.as_ref().and_then(|answer| answer.catch.as_ref());
    KitVerdict {
        outcome,
        passes: outcome == Outcome::StrongEnough,
        sentence: sentence::sentence(
            assessment.as_ref(),
            (&gaps, &open),
            Some(&asked.title),
            Units::Metric,
        ),
        unbelayed: (!plan.rig.catches()).then(|| sentence::UNBELAYED.to_owned()),
        light: people::light(plan),
        little_left: assessment
            .as_ref()
            .filter(|_| !holds_a_tenth_more(plan.rig, &outfit, &conditions))
            .and_then(sentence::little_left),
        margin: assessment
            .as_ref()
            .and_then(|assessment| sentence::margin(assessment, Units::Metric)),
        catch: caught.map(|arrest| sentence::caught(arrest, &asked.title, Units::Metric)),
        gaps,
        catch_lacks,
        unsaid: round::unsaid(plan, kit).into_iter().collect(),
        open,
        unworn,
        swings: (extent == Extent::WithSwings).then(|| {
            let answered = assessment.as_ref();
            answered
                .and_then(|_| sensitivity(plan.rig, &outfit, &conditions).ok())
                .unwrap_or_default()
        }),
        approvals,
        assumptions: assumptions((plan, kit), assessment.as_ref()),
        assessment,
        asked,
        rig_asks: plan.rig.limits().to_vec(),
        cautions: CAUTIONS.map(str::to_owned).into(),
    }
}

/// The same numbers with what plan and record do not agree on.
fn warned(mut assessment: Assessment, plan: &Plan<'_>) -> Assessment {
    assessment.warnings.extend(plan.head.warning());
    assessment
}

/// What the mechanics and the records miss, each once.
fn missing(answer: &Result<Assessment, Vec<Gap>>, own: Vec<KitGap>) -> Vec<KitGap> {
    let found = answer.as_ref().err().into_iter().flatten();
    let found = found.filter(|gap| !said_better(gap, &own));
    let mut gaps: Vec<KitGap> = found.map(KitGap::from).collect();
    gaps.extend(own);
    gaps
}

/// What the numbers rest on, a sentence each: what the mechanics take, and what the records and the rulebook
/// bring with them.
fn assumptions(
    (plan, kit): (&Plan<'_>, &[KitItem<'_>]),
    assessment: Option<&Assessment>,
) -> Vec<String> {
    let mut assumptions = assessment
        .map(|assessment| assessment.assumptions.clone())
        .unwrap_or_default();
    assumptions.push(
        "Nothing is taken off for wear: an examination that found an item fit is taken at its word.".to_owned(),
    );
    assumptions.extend(
        plan.rulebook
            .looser()
            .iter()
            .map(|one| one.sentence.clone()),
    );
    assumptions.extend(outfit::untraced(kit));
    assumptions.extend(kit.iter().filter_map(|item| half_range(item, plan, kit)));
    assumptions.extend(too_deep(plan));
    assumptions
}

/// What an answer comes to in one sentence, whatever the rig and the items are from.
pub fn in_one_sentence(answer: &Result<Assessment, Vec<Gap>>) -> String {
    match answer {
        Ok(assessment) => {
            let open: Vec<String> = assessment.open.iter().cloned().collect();
            sentence::sentence(Some(assessment), (&[], &open), None, Units::Metric)
        }
        Err(gaps) => {
            let gaps: Vec<KitGap> = gaps.iter().map(KitGap::from).collect();
            sentence::sentence(None, (&gaps, &[]), None, Units::Metric)
        }
    }
}

/// What the rulebook asks of a job that goes deeper than it plans for, if this one does.
fn too_deep(plan: &Plan<'_>) -> Option<String> {
    let limit = plan.rulebook.depth()?;
    let depth = plan.job.depth;
    (!limit.holds(depth)).then(|| {
        format!(
            "The job goes {depth} deep, and the limit is {}. {} Source: {}.",
            limit.at_most, limit.rule, limit.from
        )
    })
}
