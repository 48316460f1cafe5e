//! What a job is, fact by fact, in words.

use super::{Fact, JobThen};
use crate::domain::{IssueState, Job, JobState, Names, Zone, counted};

/// The facts of a job on a day; nothing where it was not planned yet. Items, rigs' positions and people are called as
/// they are called today.
pub fn job_facts(then: &JobThen, names: &Names, zone: &Zone) -> Vec<Fact> {
    let Some(job) = &then.job else {
        return Vec::new();
    };
    let mut facts = vec![
        Fact::new("State", state(job)),
        Fact::new("Title", job.title.as_str()),
        Fact::new("Place", job.place.as_str()),
        Fact::new("Begins", zone.words(job.starts_at)),
        Fact::new("Ends", zone.words(job.ends_at)),
        Fact::new("Depth", job.depth.to_string()),
        Fact::new("Load", job.load.to_string()),
        Fact::new("Rulebook", job.rulebook.as_str()),
        Fact::new("Rig", job.rig.as_str()),
        Fact::new("Site", none_if_empty(job.site.in_one_line())),
        Fact::new("Note", none_if_empty(job.note.clone())),
        Fact::new("On its list", counted(then.lines.len(), "item", "items")),
        Fact::new("With the crew", counted(then.out.len(), "item", "items")),
        Fact::new("Attempts refused", then.refused.to_string()),
    ];
    facts.extend(judged(then));
    facts.extend(went_out(then, zone));
    facts.extend(used(then, names));
    facts
}

/// What was judged of its kit, and who does what.
fn judged(then: &JobThen) -> Vec<Fact> {
    let verdict = then.verdict.as_ref().map(|verdict| {
        let words = format!("{}: {}", verdict.outcome(), verdict.sentence);
        Fact::new("Verdict that was kept last", words)
    });
    let crew = then.crew.as_ref().map(|plan| {
        let roles = counted(plan.duties.len(), "role planned", "roles planned");
        Fact::new("Crew", roles)
    });
    verdict.into_iter().chain(crew).collect()
}

/// How its kit went out, was looked at, and came back.
fn went_out(then: &JobThen, zone: &Zone) -> Vec<Fact> {
    let items = |count| counted(count, "item", "items");
    let issues = then.issues.values().map(|issue| {
        let state = match &issue.state {
            IssueState::TakenBack { reason } => format!("taken back: {reason}"),
            other => other.word().to_owned(),
        };
        let (by, to) = (&issue.by.name, &issue.to.name);
        let words = format!("{}, by {by}, to {to}; {state}", items(issue.lines.len()));
        Fact::new(format!("Issue of {}", zone.words(issue.at)), words)
    });
    let checks = then.checks.iter().enumerate().map(|(at, check)| {
        let words = format!("{}, signed by {}", zone.words(check.at), check.by.name);
        Fact::new(format!("Function check {}", at + 1), words)
    });
    let counts = then.counts.iter().enumerate().map(|(at, count)| {
        let (when, lines) = (zone.words(count.at), items(count.lines.len()));
        let words = format!("{when}, {lines}, by {}", count.by.name);
        Fact::new(format!("Count {}", at + 1), words)
    });
    issues.chain(checks).chain(counts).collect()
}

/// What was used on it, and what stands on its list.
fn used(then: &JobThen, names: &Names) -> Vec<Fact> {
    let usage = then.usage.iter().enumerate().map(|(at, usage)| {
        let (item, on) = (names.of(usage.item.0), usage.days_words());
        let words = format!("{item} on {on}: {}", usage.amount.words());
        Fact::new(format!("Use logged {}", at + 1), words)
    });
    let lines = then.lines.values().map(|line| {
        let key = line.position.as_deref();
        let place = key.map_or("spare", |key| names.position(line.job, key));
        let is_out = then.out.contains_key(&line.item);
        let out = if is_out { "; with the crew" } else { "" };
        let title = format!("On its list: {}", names.of(line.item.0));
        Fact::new(title, format!("{place}{out}"))
    });
    usage.chain(lines).collect()
}

fn state(job: &Job) -> String {
    match (job.state, job.issued) {
        (JobState::Planned, Some(_)) => "planned, its kit with a crew".to_owned(),
        (state, _) => state.key().to_owned(),
    }
}

fn none_if_empty(text: String) -> String {
    if text.is_empty() {
        "none".to_owned()
    } else {
        text
    }
}
