//! The history in words: one line an entry of the ledger, with both of its clocks.

use std::collections::HashMap;

use askama::Template;
use time::Date;
use uuid::Uuid;

use super::{part::html_parts, words};
use crate::domain::{
    Change, Entry, Examination, ExaminationKind, Item, ItemStep, ItemStepped, Verdict,
    date::write_day,
};

/// The names of what entries speak of, by id; what is not in it is called by its id.
#[derive(Clone, Debug, Default)]
pub struct Names(pub HashMap<Uuid, String>);

impl Names {
    /// Adds the names of these records.
    pub fn add<T>(&mut self, records: Vec<T>, name: impl Fn(T) -> (Uuid, String)) {
        self.0.extend(records.into_iter().map(name));
    }

    /// The name of a record.
    pub fn of(&self, id: Uuid) -> String {
        self.0
            .get(&id)
            .cloned()
            .unwrap_or_else(|| format!("record {id}"))
    }
}

/// One entry.
#[derive(Clone, Debug)]
pub struct PastLine {
    /// When it was recorded.
    pub recorded: String,
    /// What was done.
    pub words: String,
    /// What belongs to it: the reason, the findings. May be empty.
    pub why: String,
    /// Who recorded it.
    pub by: String,
    /// The day it was done, where the entry says one.
    pub done: Option<String>,
    /// Its number in the ledger.
    pub seq: u64,
}

/// Lines of a history, the newest first.
#[derive(Clone, Debug, Default, Template)]
#[template(path = "part/past.html")]
pub struct Past {
    /// One line an entry.
    pub lines: Vec<PastLine>,
}

html_parts!(Past);

impl Past {
    /// The entries in words.
    pub fn new(entries: &[Entry<Change>], names: &Names) -> Self {
        Self {
            lines: entries
                .iter()
                .map(|entry| PastLine::new(entry, names))
                .collect(),
        }
    }
}

impl PastLine {
    /// An entry in words.
    pub fn new(entry: &Entry<Change>, names: &Names) -> Self {
        let Said { words, why, done } = said(&entry.change, names);
        Self {
            recorded: words::moment(entry.recorded_at),
            words,
            why,
            by: names.of(entry.actor.0),
            done: done.map(write_day),
            seq: entry.seq,
        }
    }
}

/// What a change says.
struct Said {
    words: String,
    why: String,
    done: Option<Date>,
}

impl Said {
    fn new(words: impl Into<String>) -> Self {
        Self {
            words: words.into(),
            why: String::new(),
            done: None,
        }
    }

    fn why(mut self, why: impl Into<String>) -> Self {
        self.why = why.into();
        self
    }

    fn on(mut self, day: Date) -> Self {
        self.done = Some(day);
        self
    }
}

fn said(change: &Change, names: &Names) -> Said {
    match change {
        Change::TeamFounded(team) => Said::new(format!("Team {} founded", team.name)),
        Change::TeamRevised(team) => Said::new(format!("Team changed: now {}", team.name))
            .why(format!("rulebook {}", team.rulebook)),
        Change::PersonAdded(person) => {
            Said::new(format!("{} joined as {}", person.name, person.role.word()))
        }
        Change::PersonRevised(person) => Said::new(format!(
            "Account of {} changed: {}, {}",
            person.name,
            person.role.word(),
            if person.active { "active" } else { "closed" }
        )),
        Change::StoreAdded(store) => Said::new(format!("Store {} added", store.name)),
        Change::StoreRevised(store) => Said::new(format!("Store changed: now {}", store.name)),
        Change::ModelAdded(model) => Said::new(format!("Model {} added", model.title())),
        Change::ModelRevised(model) => Said::new(format!(
            "Record of the model {} changed (version {})",
            model.title(),
            model.revision
        )),
        Change::ImportTaken(import) => Said::new(format!(
            "{} taken in from {}",
            words::count(import.items as usize, "item", "items"),
            import.file_name
        )),
        Change::ItemAdded(item) => {
            Said::new(format!("{} added to the register", item.mark)).why(names.of(item.model.0))
        }
        Change::ItemRevised(item) => Said::new(format!(
            "Record of {} changed (version {})",
            item.mark, item.revision
        ))
        .why(details(item, names)),
        Change::ItemStepped(step) => stepped(step, names),
        Change::ExaminationRecorded(examination) => examined(examination, names),
        Change::EventReported(event) => Said::new(format!(
            "{}: {} {}",
            "Event reported",
            names.of(event.item.0),
            event.kind.word()
        ))
        .why(event.note.as_str())
        .on(event.on),
        other => said_of_jobs(other, names),
    }
}

fn said_of_jobs(change: &Change, names: &Names) -> Said {
    match change {
        Change::NoticeOpened(notice) => {
            Said::new(format!("Safety notice opened: {}", notice.title)).why(notice.action.as_str())
        }
        Change::NoticeClosed(closing) => Said::new(format!(
            "Safety notice {} closed for {}",
            names.of(closing.notice.0),
            names.of(closing.item.0)
        ))
        .why(closing.result.as_str()),
        Change::JobPlanned(job) => Said::new(format!("Job {} planned", job.title)),
        Change::JobRevised(job) => Said::new(format!("Plan of the job {} changed", job.title)),
        Change::JobEnded(end) => Said::new(format!("Job {} ended", names.of(end.job.0))),
        Change::KitLineAdded(line) => Said::new(format!(
            "{} put on the job {}",
            names.of(line.item.0),
            names.of(line.job.0)
        ))
        .why(
            line.position
                .as_ref()
                .map_or_else(|| "as a spare".to_owned(), |at| format!("at {at}")),
        ),
        Change::KitLineRemoved(line) => Said::new(format!(
            "{} taken off the job {}",
            names.of(line.item.0),
            names.of(line.job.0)
        ))
        .why(line.reason.as_str()),
        Change::ItemRefused(refused) => {
            let reasons: Vec<&str> = refused
                .refusals
                .iter()
                .map(|r| r.sentence.as_str())
                .collect();
            Said::new(format!(
                "{} refused for the job {}",
                names.of(refused.item.0),
                names.of(refused.job.0)
            ))
            .why(reasons.join(" "))
        }
        Change::VerdictKept(verdict) => Said::new(format!(
            "Verdict on the job {} kept: {}",
            names.of(verdict.job.0),
            verdict.sentence
        )),
        // The rest is said above.
        other => Said::new(other.kind().replace('-', " ")),
    }
}

fn stepped(step: &ItemStepped, names: &Names) -> Said {
    let mark = names.of(step.item.0);
    let words = match step.step {
        ItemStep::Quarantine => format!("{mark} put in quarantine"),
        ItemStep::ReturnToService => format!("{mark} returned to service"),
        ItemStep::ReportMissing => format!("{mark} reported missing"),
        ItemStep::Retire => format!("{mark} retired for good"),
    };
    Said::new(words).why(step.reason.as_str()).on(step.on)
}

fn examined(examination: &Examination, names: &Names) -> Said {
    let due = examination
        .next_due_on
        .map(|day| format!(", next due {}", write_day(day)))
        .unwrap_or_default();
    Said::new(format!(
        "{} of {} by {}: {}{due}",
        kind_word(examination.kind),
        names.of(examination.item.0),
        examination.examiner,
        verdict_word(examination.verdict),
    ))
    .why(examination.findings.as_str())
    .on(examination.on)
}

/// The kind of an examination, for people.
pub fn kind_word(kind: ExaminationKind) -> &'static str {
    match kind {
        ExaminationKind::Intake => "Intake examination",
        ExaminationKind::PreUse => "Pre-use check",
        ExaminationKind::Periodic => "Periodic examination",
        ExaminationKind::AfterUse => "After-use check",
        ExaminationKind::AfterEvent => "After-event examination",
    }
}

/// The verdict of an examination, for people.
pub fn verdict_word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Fit => "fit",
        Verdict::Quarantine => "to quarantine",
        Verdict::Retire => "to be retired",
    }
}

/// What an item's record says, on one line.
fn details(item: &Item, names: &Names) -> String {
    let mut parts = vec![names.of(item.model.0), names.of(item.store.0)];
    let mut add = |name: &str, text: Option<String>| {
        if let Some(text) = text {
            parts.push(format!("{name} {text}"));
        }
    };
    add("serial", item.serial.clone());
    add("lot", item.lot.clone());
    add("made", item.made.map(|made| made.to_string()));
    add("bought", item.bought_on.map(write_day));
    add("first used", item.first_used_on.map(write_day));
    parts.join(", ")
}

/// Lines to test with.
pub fn sample() -> Past {
    let line = |seq| PastLine {
        recorded: "2026-02-20 14:05 UTC".to_owned(),
        words: super::PROBE.to_owned(),
        why: super::PROBE.to_owned(),
        by: super::PROBE.to_owned(),
        done: (seq == 2).then(|| "2026-02-19".to_owned()),
        seq,
    };
    Past {
        lines: vec![line(2), line(1)],
    }
}
