//! The history in words: one line an entry of the ledger, with both of its clocks.

use askama::Template;
use uuid::Uuid;

use super::part::html_parts;
use crate::domain::{
    AttachedTo, Change, Entry, ExaminationKind, MOST_PIECES, Names, Told, Verdict, Zone, about,
    date::write_day,
};

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
    /// The pages of what it is about: the name and the address.
    pub links: Vec<(String, String)>,
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
    /// The entries in words, with the times of a zone.
    pub fn new(entries: &[Entry<Change>], names: &Names, zone: &Zone) -> Self {
        Self {
            lines: entries
                .iter()
                .map(|entry| PastLine::new(entry, names, zone))
                .collect(),
        }
    }

    /// The same with ways to what each entry is about, apart from the page where one is.
    pub fn with_links(
        entries: &[Entry<Change>],
        names: &Names,
        here: Option<Uuid>,
        zone: &Zone,
    ) -> Self {
        let mut past = Self::new(entries, names, zone);
        for (line, entry) in past.lines.iter_mut().zip(entries) {
            let things = about(&entry.change, names).into_iter();
            let things = things.zip(entry.change.subjects());
            let pages = things.zip(pages(&entry.change));
            line.links = pages
                .filter(|((_, id), _)| Some(*id) != here)
                .map(|((name, id), page)| (name, format!("{page}{id}")))
                .collect();
        }
        past
    }
}

impl PastLine {
    /// An entry in words.
    pub fn new(entry: &Entry<Change>, names: &Names, zone: &Zone) -> Self {
        let Told { words, why, done } = Told::of_entry(entry, names);
        Self {
            links: Vec::new(),
            recorded: zone.words(entry.recorded_at),
            words,
            why,
            by: names.of(entry.actor.0),
            done: done.map(write_day),
            seq: entry.seq,
        }
    }
}

/// Where a page about what bears a photo or a document stands.
fn bearer(to: AttachedTo) -> &'static [&'static str] {
    match to {
        AttachedTo::Model { .. } => &["/models/"],
        AttachedTo::Item { .. } | AttachedTo::Examination { .. } | AttachedTo::Event { .. } => {
            &["/items/"]
        }
    }
}

/// Where a page about the things of a change stands, in the order of [`about`]; nothing where there is none.
fn pages(change: &Change) -> &'static [&'static str] {
    match change {
        Change::QualificationRecorded(_) => &["/competence/", "/people/"],
        Change::QualificationEnded(_) | Change::QualificationAddressed(_) => &["/competence/"],
        Change::ItemAdded(_)
        | Change::ReturnAsked(_)
        | Change::ItemRevised(_)
        | Change::ItemStepped(_)
        | Change::ItemMoved(_)
        | Change::ExaminationRecorded(_)
        | Change::EventReported(_)
        | Change::TagAdded(_)
        | Change::TagRemoved(_) => &["/items/"],
        Change::FileAttached(one) => bearer(one.to),
        Change::FileWithdrawn(end) => bearer(end.to),
        Change::RopeCut(_) => &["/items/"; 1 + MOST_PIECES],
        Change::UsageLogged(_) => &["/items/", "/jobs/"],
        Change::BagListed(_) | Change::BagChecked(_) => &["/stores/"],
        Change::ModelAdded(_) | Change::ModelRevised(_) | Change::ModelKindChanged(_) => {
            &["/models/"]
        }
        Change::RoundPlanned(_) | Change::RoundClosed(_) => &["/rounds/"],
        Change::NoticeOpened(_)
        | Change::NoticeClosed(_)
        | Change::NoticeCorrected(_)
        | Change::NoticeWithdrawn(_) => &["/notices/", "/items/"],
        Change::JobPlanned(_)
        | Change::JobRevised(_)
        | Change::JobEnded(_)
        | Change::VerdictKept(_)
        | Change::KitIssued(_)
        | Change::IssueTakenBack(_)
        | Change::FunctionCheckSigned(_)
        | Change::KitReturned(_)
        | Change::CrewPlanned(_) => &["/jobs/"],
        Change::KitLineAdded(_) | Change::KitLineRemoved(_) | Change::ItemRefused(_) => {
            &["/jobs/", "/items/"]
        }
        Change::TeamFounded(_)
        | Change::TeamRevised(_)
        | Change::PersonAdded(_)
        | Change::PersonRevised(_)
        | Change::LedgerKeyTaken(_)
        | Change::WitnessNamed(_)
        | Change::WitnessEnded(_)
        | Change::NamesRemoved(_)
        | Change::GuestLinkMade(_)
        | Change::GuestLinkWithdrawn(_)
        | Change::GuestReadsCounted(_)
        | Change::StoreAdded(_)
        | Change::StoreRevised(_)
        | Change::PlanPinned(_)
        | Change::PlanUnpinned(_)
        | Change::ImportTaken(_) => &[],
        of_a_sheet => sheets(of_a_sheet),
    }
}

/// The same of a rulebook, a checklist or a rig.
fn sheets(change: &Change) -> &'static [&'static str] {
    match change {
        Change::RulebookAdded(_)
        | Change::RulebookRevised(_)
        | Change::RulebookWithdrawn(_)
        | Change::RulebookTakenUp(_) => &["/rulebooks/"],
        Change::ChecklistRevised(_) => &["/checklists/"],
        Change::RigAdded(_)
        | Change::RigRevised(_)
        | Change::RigWithdrawn(_)
        | Change::RigTakenUp(_) => &["/rigs/"],
        _ => &[],
    }
}

/// The kind of an examination, for people.
pub fn kind_word(kind: ExaminationKind) -> &'static str {
    kind.word()
}

/// The verdict of an examination, for people.
pub fn verdict_word(verdict: Verdict) -> &'static str {
    verdict.word()
}

/// Lines to test with.
pub fn sample() -> Past {
    let line = |seq| PastLine {
        recorded: "2026-02-20 14:05 UTC".to_owned(),
        words: super::PROBE.to_owned(),
        why: super::PROBE.to_owned(),
        by: super::PROBE.to_owned(),
        done: (seq == 2).then(|| "2026-02-19".to_owned()),
        links: vec![(super::PROBE.to_owned(), "/items/1".to_owned())],
        seq,
    };
    Past {
        lines: vec![line(2), line(1)],
    }
}
