//! The answer of a job, the same on every page that gives it.

use super::verdict::yes;
use crate::{
    domain::{JobState, KitEntry, KitList, RefusalCode, Units, kit_strength::Outcome},
    view::part::{Answer, Tone},
};

/// That something on a planned job is recalled, before anything else is said.
pub(super) fn recalled(list: &KitList) -> Option<Answer> {
    let recalled = |entry: &&KitEntry| {
        let mut refusals = entry.refusals.iter();
        refusals.any(|refusal| refusal.code == RefusalCode::Notice)
    };
    let marks = list.entries.iter().filter(recalled);
    let marks: Vec<&str> = marks.map(|entry| entry.item.mark.as_str()).collect();
    let planned = list.job.state == JobState::Planned;
    (planned && !marks.is_empty()).then(|| {
        Answer::new(
            Tone::Stop,
            format!("Recalled while on this job: {}", marks.join(", ")),
        )
        .why("An open safety notice covers it: stop using it at once, tell whoever has it, and take it off this job. Which notice it is stands at its line below.")
    })
}

/// The answer of a job that is over: what its items are today says nothing of it.
fn ended(state: JobState) -> Answer {
    let words = format!("This job is {}", state.key());
    Answer::new(Tone::Out, words).why(
        "What may go is asked of planned jobs only. How its kit stood when it went out is in the record of its issue, and what \
         each item is today on the item's own page.",
    )
}

/// The answer of a job: what is refused first, then how strong the rest is.
pub(super) fn answer(list: &KitList, units: Units) -> Answer {
    if list.job.state != JobState::Planned {
        return ended(list.job.state);
    }
    let verdict = list.verdict.told_in(units);
    if let Some(refusal) = list.refusal() {
        return Answer::new(Tone::Stop, refusal).why(format!(
            "Each reason stands below: mend the record or take another item. {}",
            verdict.beside_refused()
        ));
    }
    let tone = match verdict.outcome {
        Outcome::StrongEnough => yes(&list.verdict),
        Outcome::NotStrongEnough => Tone::Stop,
        Outcome::CannotSay => Tone::Hold,
    };
    let why = match verdict.outcome {
        Outcome::CannotSay => verdict.unbelayed.clone().unwrap_or_default(),
        _ => verdict.besides(),
    };
    // Where the sentence ends in the smallest margin, that stands below with the rest of why.
    let margin = verdict.margin.as_deref().unwrap_or_default();
    match verdict.sentence.strip_suffix(margin) {
        Some(words) if !margin.is_empty() => {
            Answer::new(tone, words.trim_end()).why(format!("{margin} {why}").trim_end())
        }
        _ => Answer::new(tone, verdict.sentence.clone()).why(why),
    }
}
