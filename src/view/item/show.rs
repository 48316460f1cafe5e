//! One item: whether it may be chosen, then why, then everything that is known of it.

use std::borrow::Cow;

use askama::Template;
use time::Date;

use super::{
    super::{
        Shell,
        attachment::Gallery,
        examination::verdict_tone,
        job::when,
        kept_until::KeptUntil,
        part::{Answer, Badge, Facts, Tone},
        past::{Past, kind_word, verdict_word},
        quantity,
        rated::Rated,
        reason::Reason,
        tag::TagsOfItem,
    },
    show_answer,
    show_past::{EventRow, event_row, usage_row},
    show_stands::stands,
};
use crate::domain::{
    BagCheck, Criterion, Deed, Event, Examination, Issue, Item, ItemId, ItemState, Job, LetGo,
    Made, Model, Notice, NoticeClosing, Store, Unanswered, Units, Usage, Where, Zone,
    checklist::Watched, date::write_day, life, rulebook::Rulebook,
};

/// Everything that is known of an item.
#[derive(Clone, Debug)]
pub struct ItemFile {
    /// The item.
    pub item: Item,
    /// Its model.
    pub model: Model,
    /// Where it lives.
    pub store: Option<Store>,
    /// The rulebook of the team.
    pub rulebook: Cow<'static, Rulebook>,
    /// The last examinations, the last done first.
    pub examinations: Vec<Examination>,
    /// What is to be watched, each with its criterion.
    pub watching: Vec<(Criterion, Watched)>,
    /// Whether anything was measured in its examinations.
    pub is_measured: bool,
    /// What happened to it, the last first.
    pub events: Vec<Event>,
    /// The notices that cover it, each with its closing if it is closed.
    pub notices: Vec<(Notice, Option<NoticeClosing>)>,
    /// Those that are open for it still, though a correction of its record took it out.
    pub still_open: Vec<Notice>,
    /// That the notice which put it in quarantine covers it no more.
    pub let_go: Option<LetGo>,
    /// The jobs that hold it from now on.
    pub jobs: Vec<Job>,
    /// The issue by which it is with a crew, if it is.
    pub with_crew: Option<Issue>,
    /// The last look through its store, where it was not found then.
    pub unseen: Option<BagCheck>,
    /// The codes on it.
    pub tags: TagsOfItem,
    /// Who asked for its return from quarantine, by name; empty where nobody did.
    pub asked_by: String,
    /// What did not find it fit, and was answered by nothing since.
    pub unanswered: Unanswered,
    /// What was done with its record.
    pub past: Past,
    /// The ropes that it was part of, the last one first.
    pub whole_ropes: Vec<Item>,
    /// What it was cut into.
    pub pieces: Vec<Item>,
    /// The last of its log of use, the last first.
    pub usage: Vec<Usage>,
    /// Why a rope cannot be cut now; empty where it can, and where nobody asks.
    pub not_cut: String,
    /// Its photos and documents.
    pub gallery: Gallery,
    /// Until when what came with it is kept.
    pub kept: KeptUntil,
}

/// Something that may be done next.
#[derive(Clone, Debug)]
pub struct Act {
    /// The words on the button.
    pub words: &'static str,
    /// Where it leads.
    pub href: String,
    /// `main`, `grave`, or nothing.
    pub style: &'static str,
}

struct ExaminationRow {
    on: String,
    href: String,
    kind: String,
    verdict: Badge,
    examiner: String,
    findings: String,
    next: String,
}

struct NoticeRow {
    href: String,
    title: String,
    state: Badge,
    what: String,
}

struct JobRow {
    href: String,
    title: String,
    when: String,
}

/// The page.
#[derive(Template)]
#[template(path = "item/show.html")]
pub struct ShowItem {
    /// The frame.
    pub shell: Shell,
    answer: Answer,
    reasons: Vec<Reason>,
    gaps: Vec<Reason>,
    watching: Vec<(String, String)>,
    asked: Option<String>,
    subtitle: String,
    model_href: String,
    acts: Vec<Act>,
    not_cut: String,
    stands: Facts,
    identity: Facts,
    rated: Rated,
    attributes: Facts,
    note: String,
    tags: TagsOfItem,
    notices: Vec<NoticeRow>,
    jobs: Vec<JobRow>,
    examinations: Vec<ExaminationRow>,
    events: Vec<EventRow>,
    cut: Option<super::show_cut::CutPart>,
    sums: Facts,
    usage: Vec<(String, String, String)>,
    gallery: Gallery,
    kept: KeptUntil,
    past: Past,
    /// What leads to more of its past: words and address.
    ways: [(&'static str, String); 3],
    record: String,
    /// What its PDF has no letters for.
    lacking: Option<String>,
    /// What was measured, if anything was.
    measurements: Option<String>,
}

impl ShowItem {
    /// The page of an item on `today`, with what this person may do next.
    pub fn new(shell: Shell, file: ItemFile, acts: Vec<Act>, today: Date) -> Self {
        let (units, zone) = (shell.units, &shell.zone);
        let (item, model) = (&file.item, &file.model);
        let life = life(item, model, &file.rulebook);
        let may_report = shell.may(Deed::ReportEvent);
        let verdict = show_answer::answer(&file, &life, today, &shell);
        Self {
            answer: verdict.answer,
            reasons: verdict.reasons,
            gaps: verdict.gaps,
            watching: file
                .watching
                .iter()
                .map(show_answer::watching_row)
                .collect(),
            subtitle: format!("{}, {}", model.title(), model.kind.word()),
            asked: show_answer::asked(&file),
            model_href: format!("/models/{}", model.id),
            acts,
            stands: stands(&file, &life, (today, zone)),
            identity: identity(item, &file.examinations),
            rated: Rated::new(model, units),
            attributes: attributes(item, model, units),
            note: item.note.clone(),
            tags: file.tags.clone(),
            notices: notice_rows(&file),
            jobs: file.jobs.iter().map(|job| job_row(job, zone)).collect(),
            examinations: file
                .examinations
                .iter()
                .map(|one| examination_row(one, &file))
                .collect(),
            events: file
                .events
                .iter()
                .map(|event| event_row(event, &file, may_report))
                .collect(),
            cut: super::show_cut::CutPart::of(&file, units),
            sums: super::super::usage::sums(item, model),
            usage: file
                .usage
                .iter()
                .map(|usage| usage_row(usage, &file))
                .collect(),
            not_cut: file.not_cut,
            gallery: file.gallery,
            kept: file.kept,
            past: file.past,
            ways: ways(item.id),
            record: format!("/items/{}/record.pdf", item.id),
            lacking: None,
            measurements: file
                .is_measured
                .then(|| format!("/items/{}/measurements", item.id)),
            shell,
        }
    }

    /// The same, which says what its PDF has no letters for.
    #[must_use]
    pub fn with_lacking(mut self, lacking: Option<String>) -> Self {
        self.lacking = lacking;
        self
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::super::{gear, past};
        let file = ItemFile {
            item: gear::item(),
            model: gear::model(),
            store: Some(gear::store()),
            rulebook: Cow::Borrowed(gear::rulebook()),
            examinations: vec![gear::examination_by_list(), gear::examination()],
            watching: crate::domain::checklist::watched(&[gear::examination_by_list()])
                .into_iter()
                .map(|one| {
                    let list = crate::domain::Checklist::newest(gear::model().kind, None);
                    (list.criteria[1].clone(), one)
                })
                .collect(),
            is_measured: true,
            events: vec![gear::event()],
            notices: vec![(gear::notice(), None)],
            still_open: vec![gear::notice()],
            let_go: Some(gear::let_go()),
            jobs: Vec::new(),
            with_crew: Some(super::super::issue::sample()),
            unseen: None,
            tags: TagsOfItem::sample(gear::item().id),
            asked_by: super::super::PROBE.to_owned(),
            unanswered: Unanswered::default(),
            past: past::sample(),
            whole_ropes: vec![gear::item()],
            pieces: vec![gear::item()],
            kept: KeptUntil::sample(),
            usage: vec![gear::usage()],
            not_cut: super::super::PROBE.to_owned(),
            gallery: Gallery::sample(),
        };
        let mut bare = file.clone();
        bare.item.state = ItemState::Quarantined;
        bare.item.return_asked = Some(crate::domain::ReturnAsked {
            item: bare.item.id,
            by: crate::domain::PersonId(uuid::Uuid::nil()),
            reason: super::super::PROBE.to_owned(),
            on: gear::TODAY,
            qualification: None,
        });
        bare.item.next_due_on = None;
        bare.store = None;
        (bare.examinations, bare.events, bare.notices) = (Vec::new(), Vec::new(), Vec::new());
        bare.still_open.clear();
        bare.watching.clear();
        let act = Act {
            words: "Record examination",
            href: "/items/x/examinations/new".to_owned(),
            style: "main",
        };
        let lacking = Some(super::super::PROBE.to_owned());
        let page = |file, acts| {
            let page = Self::new(Shell::sample("Item"), file, acts, gear::TODAY);
            page.with_lacking(lacking.clone())
        };
        vec![page(file, vec![act]), page(bare, Vec::new())]
    }
}

fn identity(item: &Item, past: &[Examination]) -> Facts {
    let text = |text: &Option<String>| text.clone().unwrap_or_default();
    let day = |day: Option<Date>| day.map(write_day).unwrap_or_default();
    let made = item.made.map(|made| made.to_string()).unwrap_or_default();
    let precision = item.made.and_then(Made::precision);
    let first_used = item.first_used_on.map(|first| first.to_string());
    let first_used = first_used.unwrap_or_default();
    let counted = item.counted_from().map(|first| first.note);
    let counted = counted.unwrap_or_default();
    Facts::default()
        .and("Mark", item.mark.as_str())
        .and("Serial", text(&item.serial))
        .and("Lot", text(&item.lot))
        .and_from("Made", made, precision.unwrap_or_default())
        .and("Bought", day(item.bought_on))
        .and_from("First used", first_used, counted)
        .and_from(
            "Markings",
            match item.markings_readable {
                Some(true) => "can be read",
                Some(false) => "cannot be read",
                None => "nobody has looked",
            },
            markings_by(item, past),
        )
}

/// Who looked at its markings last, and when; empty where no examination of these said what is known now.
fn markings_by(item: &Item, past: &[Examination]) -> String {
    let mut past = past.iter();
    let last = past.find(|one| one.markings_readable.is_some());
    let last = last.filter(|one| one.markings_readable == item.markings_readable);
    last.map_or_else(String::new, |one| {
        format!("{} on {}", one.examiner, write_day(one.on))
    })
}

/// What is written down about the item, then about its model.
fn attributes(item: &Item, model: &Model, units: Units) -> Facts {
    let mut facts = quantity::attribute_facts(model.kind, Where::Item, &item.attributes, units);
    let shared = quantity::attribute_facts(model.kind, Where::Model, &model.attributes, units);
    facts.rows.extend(shared.rows);
    facts.wide()
}

fn notice_rows(file: &ItemFile) -> Vec<NoticeRow> {
    let row = |notice: &Notice, state, what: &str| NoticeRow {
        href: format!("/notices/{}", notice.id),
        title: notice.title.clone(),
        state,
        what: what.to_owned(),
    };
    let covering = file.notices.iter().map(|(notice, closing)| match closing {
        Some(closing) => {
            let closed = Badge::new(Tone::Out, "closed for this item");
            row(notice, closed, &closing.result)
        }
        None => row(notice, Badge::new(Tone::Stop, "open"), &notice.action),
    });
    let still = file.still_open.iter().map(|notice| {
        let open = Badge::new(Tone::Stop, "open still: its record was corrected");
        row(notice, open, &notice.action)
    });
    covering.chain(still).collect()
}

fn job_row(job: &Job, zone: &Zone) -> JobRow {
    JobRow {
        href: format!("/jobs/{}", job.id),
        title: job.title.clone(),
        when: when(job, zone),
    }
}

fn examination_row(examination: &Examination, file: &ItemFile) -> ExaminationRow {
    let tone = verdict_tone(examination.verdict);
    let whole = file.as_part_of(examination.item);
    ExaminationRow {
        href: format!(
            "/items/{}/examinations/{}",
            examination.item, examination.id
        ),
        on: write_day(examination.on),
        kind: format!("{}{whole}", kind_word(examination.kind)),
        verdict: Badge::new(tone, verdict_word(examination.verdict)),
        examiner: examination.examiner.clone(),
        findings: examination.findings.clone(),
        next: examination.next_due_on.map(write_day).unwrap_or_default(),
    }
}

/// What leads to more of its past.
fn ways(id: ItemId) -> [(&'static str, String); 3] {
    [
        ("Whole history", format!("/items/{id}/history")),
        ("As it was on a day", format!("/items/{id}/then")),
        (
            "Every use of it",
            format!("/questions/use-of-an-item?item={id}"),
        ),
    ]
}
