//! What follows from how many people hang on the rope, a sentence each.

use super::Plan;
use crate::domain::Load;
use crate::domain::entered::{ForceUnit, MassUnit};
use crate::domain::kind::Kind;

/// What the verdict counts and asks because of the people on the rope; nothing where the plan names none.
pub(super) fn of_people(plan: &Plan<'_>) -> Vec<String> {
    let mut all: Vec<String> = counted(plan).into_iter().collect();
    if plan.persons() > 1 {
        all.extend(further(plan));
        all.push(format!(
            "A device whose approval is for fewer than {} at once is refused.",
            Load::Persons(plan.persons())
        ));
        let told = plan.rulebook.told().iter().filter(|told| told.several);
        all.extend(told.map(|told| format!("{} Source: {}.", told.says, told.from)));
    }
    all
}

/// For whom the job is planned, and whether the load that was typed in is less than the rulebook counts for them.
fn counted(plan: &Plan<'_>) -> Option<String> {
    let case = plan.job.case?;
    let planned = format!("Planned for {}: {} on the rope.", case.word(), case.load());
    Some(match light(plan) {
        Some(light) => format!("{planned} {light}"),
        None => planned,
    })
}

/// That the load that was typed in is less than the rulebook counts for the people of the plan; nothing where it is not.
pub(super) fn light(plan: &Plan<'_>) -> Option<String> {
    let unit = unit(plan);
    let asked = unit.words(plan.counted_more()?);
    Some(format!(
        "The load that was typed in is {}, less than the {asked} that the rulebook counts with {} each: the numbers are \
         for what was typed in, and rated loads are held against the {asked}.",
        plan.job.load,
        plan.rulebook.person().mass.told_in(unit)
    ))
}

/// The same in a few words, for what a yes leaves open.
pub(super) fn light_open(plan: &Plan<'_>) -> Option<String> {
    let asked = unit(plan).words(plan.counted_more()?);
    Some(format!(
        "the load is {}, not the {asked} that the rulebook counts for {}",
        plan.job.load,
        Load::Persons(plan.job.people()?)
    ))
}

/// The unit in which masses are told beside the load of a plan.
fn unit(plan: &Plan<'_>) -> MassUnit {
    match plan.job.load {
        Load::Mass(mass) => mass.unit(),
        Load::Force(weight) if weight.unit() == ForceUnit::PoundForce => MassUnit::Pound,
        Load::Force(_) => MassUnit::Kilogram,
        Load::Persons(_) => plan.rulebook.person().mass.unit(),
    }
}

/// What the rulebook adds to what anchors must hold.
fn further(plan: &Plan<'_>) -> Vec<String> {
    let more = plan.persons() - 1;
    let of: Vec<_> = plan.rulebook.further().iter().collect();
    let mut said: Vec<(String, Vec<Kind>)> = Vec::new();
    for one in of {
        let standard = one.standard.as_ref();
        let to = standard.map_or_else(String::new, |standard| format!(" to {standard}"));
        let words = format!(
            "{to} must hold {} more for each person beyond the first, here for {more}. Source: {}.",
            one.adds, one.from
        );
        match said.iter_mut().find(|(there, _)| *there == words) {
            Some((_, kinds)) => kinds.push(one.kind),
            None => said.push((words, vec![one.kind])),
        }
    }
    let sentence = |(words, kinds): (String, Vec<Kind>)| {
        let kinds: Vec<&str> = kinds.iter().map(|kind| kind.word()).collect();
        format!("Anchoring gear ({}){words}", kinds.join(", "))
    };
    said.into_iter().map(sentence).collect()
}
