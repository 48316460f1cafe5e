//! The history in words: what a change says, in one plain sentence, to whoever reads a page or a file.

mod about;
mod bag;
mod guest;
mod look;
mod model;
mod seal;

use time::Date;

pub use about::about;

use super::date::write_day;
use super::rulebook::TeamRulebook;
use super::tag::words_of;
use super::{
    Change, Entry, Event, Item, ItemRefused, ItemStep, ItemStepped, JobEnd, KitLine, Names, counted,
};

/// What a change says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Told {
    /// What was done.
    pub words: String,
    /// What belongs to it: the reason, the findings. May be empty.
    pub why: String,
    /// The day it was done, where the change says one; else it was done as it was recorded.
    pub done: Option<Date>,
}

impl Told {
    pub(super) fn new(words: impl Into<String>) -> Self {
        Self {
            words: words.into(),
            why: String::new(),
            done: None,
        }
    }

    #[must_use]
    pub(super) fn why(mut self, why: impl Into<String>) -> Self {
        self.why = why.into();
        self
    }

    #[must_use]
    pub(super) fn on(mut self, day: Date) -> Self {
        self.done = Some(day);
        self
    }

    /// An entry in words, with what it changed and what was on record before, as far as `names` knows it.
    pub fn of_entry(entry: &Entry<Change>, names: &Names) -> Self {
        let mut told = Self::of(&entry.change, names);
        if let Some(changed) = names.changed.get(&entry.seq) {
            told.why = match &*told.why {
                "" => changed.clone(),
                why => format!("{changed}. {why}"),
            };
        }
        told
    }

    /// The change in words.
    pub fn of(change: &Change, names: &Names) -> Self {
        match change {
            Change::TeamFounded(team) => Self::new(format!("Team {} founded", team.name)),
            Change::TeamRevised(team) => {
                Self::new(format!("Team changed: now {}", team.name)).why(team.settled())
            }
            Change::PersonAdded(person) => {
                Self::new(format!("{} joined as {}", person.name, person.role.word()))
            }
            Change::PersonRevised(person) => Self::new(format!(
                "Account of {} changed: {}, {}",
                person.name,
                person.role.word(),
                if person.active { "active" } else { "closed" }
            )),
            Change::QualificationRecorded(_)
            | Change::QualificationEnded(_)
            | Change::QualificationAddressed(_) => look::qualified(change, names),
            Change::LedgerKeyTaken(_)
            | Change::WitnessNamed(_)
            | Change::WitnessEnded(_)
            | Change::NamesRemoved(_) => seal::told(change),
            Change::GuestLinkMade(_)
            | Change::GuestLinkWithdrawn(_)
            | Change::GuestReadsCounted(_) => guest::told(change),
            Change::StoreAdded(store) => Self::new(format!("Store {} added", store.name)),
            Change::StoreRevised(store) => Self::new(format!("Store changed: now {}", store.name)),
            Change::BagListed(_) | Change::BagChecked(_) | Change::ItemMoved(_) => {
                bag::told(change, names)
            }
            Change::ModelAdded(_) | Change::ModelRevised(_) | Change::ModelKindChanged(_) => {
                model::told(change)
            }
            Change::ImportTaken(import) => Self::new(format!(
                "{} taken in from {}",
                counted(import.items, "item", "items"),
                import.file_name
            ))
            .why(format!("SHA-256 of the file {}", import.sha256)),
            Change::NoticeOpened(notice) => {
                Self::new(format!("Safety notice opened: {}", notice.title))
                    .why(notice.action.as_str())
            }
            Change::RoundPlanned(_) | Change::RoundClosed(_) => look::round(change),
            Change::PlanPinned(_) | Change::PlanUnpinned(_) => look::pinned(change),
            Change::JobPlanned(job) => {
                Self::new(format!("Job {} planned", job.title)).why(job.site.in_one_line())
            }
            Change::JobRevised(job) => Self::new(format!(
                "Plan of the job {} changed (version {})",
                job.title, job.revision
            ))
            .why(job.site.in_one_line()),
            other => Self::of_a_sheet(other, names),
        }
    }

    /// What happened to a rulebook or a rig of the team's own.
    fn of_a_sheet(change: &Change, names: &Names) -> Self {
        match change {
            Change::RulebookAdded(own) => Self::new(format!(
                "Rulebook {} added, based on {}",
                own.book.title(),
                own.book.based_on().unwrap_or("none")
            ))
            .why(looser(own)),
            Change::RulebookRevised(own) => Self::new(format!(
                "Rulebook {} changed (version {})",
                own.book.title(),
                own.revision
            ))
            .why(looser(own)),
            Change::RulebookWithdrawn(offer) => {
                Self::new(format!("Rulebook {} withdrawn", offer.title)).why(offer.reason.as_str())
            }
            Change::RulebookTakenUp(offer) => {
                Self::new(format!("Rulebook {} taken up again", offer.title))
                    .why(offer.reason.as_str())
            }
            Change::ChecklistRevised(own) => Self::new(format!(
                "Own criteria for {} changed (edition {})",
                own.kind.one(),
                own.revision
            ))
            .why(own.change.as_str()),
            Change::RigAdded(rig) => {
                Self::new(format!("Rig {} added", rig.title)).why(rig.note.as_str())
            }
            Change::RigRevised(rig) => Self::new(format!(
                "Rig {} changed (version {})",
                rig.title, rig.revision
            ))
            .why(rig.note.as_str()),
            Change::RigWithdrawn(rig) => {
                Self::new(format!("Rig {} withdrawn", rig.title)).why(rig.reason.as_str())
            }
            Change::RigTakenUp(rig) => {
                Self::new(format!("Rig {} taken up again", rig.title)).why(rig.reason.as_str())
            }
            other => Self::of_an_item(other, names),
        }
    }

    /// What happened to an item.
    fn of_an_item(change: &Change, names: &Names) -> Self {
        match change {
            Change::ItemAdded(item) => Self::new(format!("{} added to the register", item.mark))
                .why(names.of(item.model.0)),
            Change::ItemRevised(item) => Self::new(format!(
                "Record of {} changed (version {})",
                item.mark, item.revision
            ))
            .why(details(item, names)),
            Change::ItemStepped(step) => stepped(step, names),
            Change::ReturnAsked(asked) => look::return_asked(asked, names),
            Change::ExaminationRecorded(examination) => look::examined(examination, names),
            Change::RopeCut(cut) => cut.told(names),
            Change::UsageLogged(usage) => usage.told(names),
            Change::EventReported(event) => Self::new(format!(
                "Event reported: {} {}{}",
                names.of(event.item.0),
                event.kind.word(),
                follows(event)
            ))
            .why(event.note.as_str())
            .on(event.on),
            Change::TagAdded(tag) => {
                Self::new(format!("Tag put on {}", names.of(tag.item.0))).why(words_of(&tag.text))
            }
            Change::TagRemoved(removed) => Self::new(format!(
                "Tag {} taken off {}",
                words_of(&removed.text),
                names.of(removed.item.0)
            ))
            .why(removed.reason.as_str()),
            Change::FileAttached(one) => one.told(names),
            Change::FileWithdrawn(end) => end.told(names),
            other => Self::of_a_notice_or_job(other, names),
        }
    }

    /// What became of a notice, or of a job.
    fn of_a_notice_or_job(change: &Change, names: &Names) -> Self {
        match change {
            Change::NoticeClosed(closing) => Self::new(format!(
                "Safety notice {} closed for {}",
                names.of(closing.notice.0),
                names.of(closing.item.0)
            ))
            .why(closing.result.as_str()),
            Change::NoticeCorrected(to) => {
                Self::new(format!("Safety notice corrected: {}", to.notice.title))
                    .why(to.reason.as_str())
            }
            Change::NoticeWithdrawn(end) => Self::new(format!(
                "Safety notice {} withdrawn",
                names.of(end.notice.0)
            ))
            .why(end.reason.as_str()),
            Change::JobEnded(end) => ended(end, names),
            Change::KitLineAdded(line) => put_on(line, names),
            Change::KitLineRemoved(line) => Self::new(format!(
                "{} taken off the job {}",
                names.of(line.item.0),
                names.of(line.job.0)
            ))
            .why(line.reason.as_str()),
            Change::ItemRefused(refused) => refusal(refused, names),
            Change::VerdictKept(verdict) => Self::new(format!(
                "Verdict on the job {} kept: {}",
                names.of(verdict.job.0),
                verdict.outcome()
            ))
            .why(verdict.sentence.as_str()),
            other => Self::of_the_crew(other, names),
        }
    }

    /// What a crew did with a kit.
    fn of_the_crew(change: &Change, names: &Names) -> Self {
        match change {
            Change::KitIssued(issue) => issue.told(names),
            Change::IssueTakenBack(back) => back.told(names),
            Change::FunctionCheckSigned(check) => check.told(names),
            Change::KitReturned(count) => count.told(names),
            Change::CrewPlanned(plan) => plan.told(names),
            // The rest is told by its caller; a new kind of change is told by its name until it has words.
            other => Self::new(other.kind().replace('-', " ")),
        }
    }

    /// Words and reason in one sentence.
    pub fn sentence(&self) -> String {
        let mut text = self.words.clone();
        if !self.why.is_empty() {
            text.push_str(": ");
            text.push_str(&self.why);
        }
        if !text.ends_with(['.', '!', '?']) {
            text.push('.');
        }
        text
    }
}

/// In what a team's own rulebook asks less than what it is based on.
fn looser(own: &TeamRulebook) -> String {
    let sentences = own.book.looser().iter();
    let sentences: Vec<&str> = sentences.map(|one| one.sentence.as_str()).collect();
    sentences.join("; ")
}

fn stepped(step: &ItemStepped, names: &Names) -> Told {
    let mark = names.of(step.item.0);
    let words = match step.step {
        ItemStep::Quarantine => format!("{mark} put in quarantine"),
        ItemStep::ReturnToService => format!("{mark} returned to service"),
        ItemStep::ReportMissing => format!("{mark} reported missing"),
        ItemStep::Retire => match step.retired_for {
            Some(because) => format!("{mark} retired for good: {}", because.word()),
            None => format!("{mark} retired for good"),
        },
    };
    Told::new(words).why(step.reason.as_str()).on(step.on)
}

fn follows(event: &Event) -> String {
    let follows = event.follows.as_ref();
    follows.map_or_else(String::new, |follows| {
        format!("; it {}", follows.outcome.word())
    })
}

fn ended(end: &JobEnd, names: &Names) -> Told {
    Told::new(format!("Job {} {}", names.of(end.job.0), end.state.key())).why(end.reason.as_str())
}

fn put_on(line: &KitLine, names: &Names) -> Told {
    let place = line.position.as_ref();
    let at = |key: &String| format!("at \"{}\"", names.position(line.job, key));
    Told::new(format!(
        "{} put on the job {}",
        names.of(line.item.0),
        names.of(line.job.0)
    ))
    .why(place.map_or_else(|| "as a spare".to_owned(), at))
}

fn refusal(refused: &ItemRefused, names: &Names) -> Told {
    let reasons = refused.refusals.iter().map(|r| r.sentence.as_str());
    let reasons: Vec<&str> = reasons.collect();
    Told::new(format!(
        "{} refused for the job {}",
        names.of(refused.item.0),
        names.of(refused.job.0)
    ))
    .why(reasons.join(" "))
}

/// What an item's record says, on one line.
fn details(item: &Item, names: &Names) -> String {
    let mut parts = vec![names.of(item.model.0), names.of(item.store.0)];
    let mut add = |name: &str, text: Option<String>| {
        parts.extend(text.map(|text| format!("{name} {text}")));
    };
    add("serial", item.serial.clone());
    add("lot", item.lot.clone());
    add("made", item.made.map(|made| made.to_string()));
    add("bought", item.bought_on.map(write_day));
    add(
        "first used",
        item.first_used_on.map(|first| first.to_string()),
    );
    add("arduous use:", item.arduous.clone());
    parts.join(", ")
}
