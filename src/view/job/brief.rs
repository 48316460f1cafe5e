//! A verdict in short: what is needed of it before any table is read.

use super::check_row::result;
use super::need::{hands, ropes};
use crate::{
    domain::{
        JobState, KitEntry, KitList, Units,
        kit_strength::{factor_words, is_weakest, tightest_elsewhere},
    },
    rigging::{Assessment, Rig},
    view::{part::Facts, words},
};

/// The load, the weakest link, the smallest margin where that is elsewhere, hands, rope and gear, a line each.
pub(super) fn brief(assessment: &Assessment, list: &KitList, rig: &Rig, units: Units) -> Facts {
    let facts = Facts::default().wide().and_from(
        "Judged for",
        words::mass(list.load, units),
        format!(
            "\"{}\", rigged as \"{}\"",
            list.verdict.asked.title,
            list.rig_words()
        ),
    );
    let facts = weakest(facts, assessment);
    let facts = tightest(facts, assessment, units);
    let facts = hands(facts, assessment, list, units);
    let facts = ropes(facts, assessment, list, rig, units);
    gear(facts, list)
}

fn weakest(facts: Facts, assessment: &Assessment) -> Facts {
    const NAME: &str = "Weakest link";
    let Some(weakest) = &assessment.weakest else {
        return facts.and_from(
            NAME,
            "none by a factor",
            "Every part is judged by its working limit or its rated load.",
        );
    };
    let mut checks = assessment.checks.iter();
    let asked = checks
        .find(|check| is_weakest(check, weakest))
        .and_then(|check| check.required())
        .map(|asked| format!("; {} is asked for", words::digits(asked.ratio(), 3)));
    facts.and_from(
        NAME,
        format!("{}, {}", weakest.title, weakest.item),
        format!(
            "factor {} {}{}",
            factor_words(weakest.factor),
            weakest.phase.words(),
            asked.unwrap_or_default()
        ),
    )
}

/// Where the least is left over of what is asked, or most lacking, where that is not the weakest link.
fn tightest(facts: Facts, assessment: &Assessment, units: Units) -> Facts {
    let Some(check) = tightest_elsewhere(assessment) else {
        return facts;
    };
    let place = format!("{}, {}", check.title, check.item);
    let name = if check.passes {
        "Smallest margin"
    } else {
        "Lacks most"
    };
    let told = format!("{}: {}", check.phase.words(), result(check, units));
    facts.and_from(name, place, told)
}

/// Whether the gear itself is fit to go; of a job that is over nothing is said.
fn gear(facts: Facts, list: &KitList) -> Facts {
    if list.job.state != JobState::Planned {
        return facts;
    }
    let all = list.entries.len();
    let value = match list.refused() {
        0 if all == 1 => "the 1 item on the list may go".to_owned(),
        0 => format!("all {all} items on the list may go"),
        refused => format!("{refused} of {all} items may not go: above stands why"),
    };
    let out = list.entries.iter().filter(|one| one.with_crew.is_some());
    let out: Vec<String> = out.map(KitEntry::named).collect();
    facts.and_from("Gear", value, out.join(", "))
}
