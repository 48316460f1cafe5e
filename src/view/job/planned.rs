//! What is planned of a job, in facts.

use crate::{
    domain::{Job, KitList},
    view::{Shell, part::Facts, words},
};

/// What stands beside the rig or the rulebook of a job that no new job may name.
pub(super) fn withdrawn(is_withdrawn: bool) -> &'static str {
    if is_withdrawn {
        "withdrawn since; this job keeps it"
    } else {
        ""
    }
}

/// The plan of a job.
pub(super) fn facts(shell: &Shell, list: &KitList) -> Facts {
    let job = &list.job;
    let depth = words::length(job.depth.quantity(), shell.units);
    let entered = job.depth.to_string();
    let aside = if depth == entered {
        String::new()
    } else {
        format!("entered as {entered}")
    };
    let rope = if job.setup.wet {
        "may get wet"
    } else {
        "stays dry"
    };
    let facts = Facts::default()
        .wide()
        .and("Where", &job.place)
        .and("When", super::when(job, &shell.zone))
        .and_from("Depth", depth, aside)
        .and_from(
            "Load",
            shell.units.beside(&job.load.to_string()),
            planned_for(job),
        )
        .and_from("Rig", list.rig_words(), withdrawn(list.withdrawn.rig))
        .and_from(
            "Rulebook",
            &list.verdict.asked.title,
            withdrawn(list.withdrawn.rulebook),
        )
        .and("Rope", rope);
    with_site(facts, job)
}

/// For whom a job is planned, beside its load.
pub(in crate::view) fn planned_for(job: &Job) -> String {
    let case = job.case.map(|case| format!("planned for {}", case.word()));
    let said = job.load.counted_mass().into_iter().chain(case);
    said.collect::<Vec<_>>().join("; ")
}

/// The facts with what is written of the site, and the note.
pub(in crate::view) fn with_site(facts: Facts, job: &Job) -> Facts {
    let facts = job
        .site
        .said()
        .fold(facts, |facts, (name, text)| facts.and(name, text));
    if job.note.is_empty() {
        facts
    } else {
        facts.and("Note", &job.note)
    }
}
