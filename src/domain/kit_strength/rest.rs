//! What can be judged of a kit while positions are empty, and how much an item leaves over at a position.
//!
//! What is not there yet is taken to hold and to rub nowhere. At rest a rope may hang as if its sheaves did not rub, so what
//! fails so fails with whatever is put there; what holds may still fail by the friction of it, and that is said.

use serde::Serialize;

use super::outfit::{fitted, outfit};
use super::sentence::{rest_holds, weak};
use super::{KitGap, KitItem, Plan, aside, conditions, coverage, missing, tightest, worn};
use crate::domain::Units;
use crate::rigging::{
    Assessment, BELAY_OPEN, Conditions, Fitted, Gap, Outfit, Position, assess, checks_alone,
};

/// What can be judged of a kit with empty positions.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Rest {
    /// Whether something fails, whatever is put at the empty positions.
    pub fails: bool,
    /// What can be said, in one sentence.
    pub sentence: String,
    /// What is not judged, a sentence each.
    pub unjudged: Vec<String>,
    /// What is missing beside the empty positions, all at once; nothing of the rest is judged then.
    pub gaps: Vec<KitGap>,
    /// The numbers of the positions that are filled; none while something is missing beside the empty ones.
    pub assessment: Option<Assessment>,
}

impl Rest {
    /// The same with the forces of its sentence in these units.
    #[must_use]
    pub fn told_in(&self, units: Units) -> Self {
        Self {
            sentence: sentence(self.assessment.as_ref(), &self.gaps, units),
            ..self.clone()
        }
    }
}

/// The empty positions that must be filled.
fn empty<'a>(plan: &Plan<'a>, kit: &[KitItem<'_>]) -> Vec<&'a Position> {
    let positions = plan.rig.positions().iter();
    let is_empty = |position: &&Position| {
        let mut kit = kit.iter();
        !position.is_optional() && !kit.any(|item| item.position == Some(position.key()))
    };
    positions.filter(is_empty).collect()
}

/// A kit with something standing in at these positions, and what its records lack.
fn stood_in(plan: &Plan<'_>, kit: &[KitItem<'_>], empty: &[&Position]) -> (Outfit, Vec<KitGap>) {
    let (mut outfit, gaps) = outfit(plan, kit);
    for position in empty {
        outfit.fit(position.key(), Fitted::stand_in());
    }
    (outfit, gaps)
}

/// What the mechanics say to a kit with something standing in at these positions, what its records lack for them, and what
/// the job asks.
fn solved(
    plan: &Plan<'_>,
    kit: &[KitItem<'_>],
    empty: &[&Position],
) -> (Result<Assessment, Vec<Gap>>, Vec<KitGap>, Conditions) {
    let (outfit, gaps) = stood_in(plan, kit, empty);
    let (conditions, _) = conditions::conditions(plan, kit);
    let answer = assess(plan.rig, &outfit, &conditions);
    (answer, gaps, conditions)
}

/// What can be judged of a kit beside its empty positions; none where no position is empty or nothing is fitted.
pub fn rest_of(plan: &Plan<'_>, kit: &[KitItem<'_>]) -> Option<Rest> {
    let plan = &*plan.under(kit);
    let empty = empty(plan, kit);
    if empty.is_empty() || kit.iter().all(|item| item.position.is_none()) {
        return None;
    }
    let (answer, mut gaps, _) = solved(plan, kit, &empty);
    gaps.extend(coverage::gaps(plan, kit));
    let asides = aside::gaps(plan, kit).into_iter();
    let (of_belay, asides): (Vec<KitGap>, Vec<KitGap>) =
        asides.partition(KitGap::is_of_catch_alone);
    gaps.extend(asides);
    let gaps = missing(&answer, gaps);
    let assessment = answer.ok().filter(|_| gaps.is_empty());
    Some(Rest {
        fails: assessment.as_ref().is_some_and(|answer| !answer.passes),
        sentence: sentence(assessment.as_ref(), &gaps, Units::Metric),
        unjudged: unjudged(plan, &empty, (assessment.as_ref(), &of_belay)),
        gaps,
        assessment,
    })
}

fn sentence(assessment: Option<&Assessment>, gaps: &[KitGap], units: Units) -> String {
    match (assessment, gaps) {
        (Some(answer), _) if answer.passes => rest_holds(answer, units),
        (Some(answer), _) => format!(
            "Whatever is put at what is empty, this is not strong enough: {}",
            weak(answer, None, units)
        ),
        (None, [first, more @ ..]) => {
            let more = match more.len() {
                0 => String::new(),
                1 => " 1 more thing is missing.".to_owned(),
                count => format!(" {count} more things are missing."),
            };
            format!(
                "How strong the others are cannot be said yet: {}{more}",
                first.sentence
            )
        }
        (None, []) => "How strong the others are cannot be said yet.".to_owned(),
    }
}

/// What the answer for the rest leaves out.
fn unjudged(
    plan: &Plan<'_>,
    empty: &[&Position],
    (assessment, of_belay): (Option<&Assessment>, &[KitGap]),
) -> Vec<String> {
    let named = |positions: &[&Position]| {
        let titles = positions.iter();
        let titles: Vec<String> = titles
            .map(|position| format!("\"{}\"", position.title()))
            .collect();
        titles.join(", ")
    };
    let mut said = vec![format!(
        "Not judged, since nothing is there yet: {}.",
        named(empty)
    )];
    if let Some(answer) = assessment {
        let rub = |position: &&Position| position.sheaves() > 0 || plan.rig.rubs(position.key());
        let rubbing: Vec<&Position> = empty.iter().copied().filter(rub).collect();
        if !rubbing.is_empty() {
            said.push(format!(
                "The forces on the others are counted as if nothing rubbed at {}: what is put there makes them greater, and what has little to spare may then fail.",
                named(&rubbing)
            ));
        }
        let aside = |position: &&&Position| {
            let mut asides = plan.rig.asides().into_iter();
            asides.any(|aside| aside.tripod.key() == position.key())
        };
        if let Some(tripod) = empty.iter().find(aside) {
            said.push(format!(
                "How far aside a rope leaves the head is not told before \"{}\" is there: it is counted as the rig's sheet says, and a rope that leaves further aside is not judged then.",
                tripod.title()
            ));
        }
        let open = worn::all_open(Some(answer), (None, None));
        said.extend(open.iter().map(|open| {
            let because = of_belay.iter().filter(|_| open == BELAY_OPEN);
            let because = because.map(|gap| format!(" {}", gap.sentence));
            format!("Left open: {open}.{}", because.collect::<String>())
        }));
    }
    said
}

/// The forces on a rig with a kit that is much like those that may come, to hold items against.
#[derive(Clone, Debug)]
pub struct Scale {
    answer: Assessment,
    conditions: Conditions,
}

impl Scale {
    /// The forces with a kit, whatever else speaks against it; what it leaves empty is stood in for. None where the plan or
    /// the records say too little.
    pub fn of(plan: &Plan<'_>, kit: &[KitItem<'_>]) -> Option<Self> {
        let plan = &*plan.under(kit);
        let (answer, _, conditions) = solved(plan, kit, &empty(plan, kit));
        let answer = answer.ok()?;
        Some(Self { answer, conditions })
    }

    /// The same to choose by: where it cannot be told how a load hangs on the belay, so that the belay is not judged, it is
    /// taken to hang as the rig's sheet says. What is stronger so is stronger however it hangs.
    pub fn to_choose_by(plan: &Plan<'_>, kit: &[KitItem<'_>]) -> Option<Self> {
        let plan = &*plan.under(kit);
        let scale = Self::of(plan, kit)?;
        if !scale.conditions.exceptional.belay_aside {
            return Some(scale);
        }
        let mut conditions = scale.conditions;
        conditions.exceptional.belay_aside = false;
        let answer = assess(
            plan.rig,
            &stood_in(plan, kit, &empty(plan, kit)).0,
            &conditions,
        )
        .ok()?;
        Some(Self { answer, conditions })
    }

    /// How much more an item holds than is asked of it at its position, as a ratio that is 1 where it just holds; none where
    /// nothing is held against a number there.
    pub fn room(&self, plan: &Plan<'_>, item: &KitItem<'_>) -> Option<f64> {
        let key = item.position?;
        let fitted = fitted(plan, item, plan.rig.position(key), &mut Vec::new());
        let phases = &self.answer.phases;
        let checks = checks_alone(plan.rig, &self.conditions, phases, (key, fitted)).ok()?;
        tightest(&checks).map(crate::rigging::Check::room)
    }
}
