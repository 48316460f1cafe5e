//! One examination as it was recorded, with the list of its day.

use askama::Template;

use super::super::{
    Shell,
    attachment::Gallery,
    kept_until::KeptUntil,
    part::{Answer, Badge, Facts, Tone},
    past::{kind_word, verdict_word},
};
use crate::domain::{
    By, Checklist, Criterion, Danger, Examination, Finding, Item, Model, Out, Qualification,
    Verdict, date::write_day,
};

struct Line {
    words: String,
    how: &'static str,
    outcome: Badge,
    seen: String,
    source: String,
}

/// The page.
#[derive(Template)]
#[template(path = "examination/show.html")]
pub struct ShowExamination {
    /// The frame.
    pub shell: Shell,
    href: String,
    report: String,
    /// What its PDF has no letters for.
    lacking: Option<String>,
    mark: String,
    model: String,
    answer: Answer,
    facts: Facts,
    /// What its report tells beside; nothing of a look that is no thorough examination.
    for_report: Facts,
    findings: String,
    list: Option<String>,
    list_href: String,
    lines: Vec<Line>,
    gallery: Gallery,
    kept: KeptUntil,
}

/// The name of whoever recorded an examination, and the qualification of whoever examined.
type RecordedBy<'a> = (&'a str, Option<&'a Qualification>);

/// The tone of a verdict.
pub fn verdict_tone(verdict: Verdict) -> Tone {
    match verdict {
        Verdict::Fit => Tone::Fit,
        Verdict::Quarantine => Tone::Hold,
        Verdict::Retire => Tone::Out,
    }
}

fn outcome_badge(outcome: Option<Finding>) -> Badge {
    let tone = match outcome {
        Some(Finding::Pass) => Tone::Fit,
        Some(Finding::Fail) => Tone::Stop,
        Some(Finding::Watch) => Tone::Watch,
        Some(Finding::NotApplicable) => Tone::Out,
        None => Tone::Note,
    };
    Badge::new(tone, outcome.map_or("not answered", Finding::word))
}

impl ShowExamination {
    /// The page of an examination of an item, with the list that it was done by, its photos and documents, the name of whoever
    /// recorded it, what its PDF has no letters for, and until when it is kept.
    pub fn new(
        shell: Shell,
        examination: &Examination,
        (item, model): (&Item, &Model),
        (list, gallery): (Option<&Checklist>, Gallery),
        ((recorder, qualification), lacking, kept): (RecordedBy<'_>, Option<String>, KeptUntil),
    ) -> Self {
        let lines = list.map_or_else(Vec::new, |list| {
            let criteria = list.criteria.iter();
            criteria.map(|one| line(one, examination)).collect()
        });
        let verdict = examination.verdict;
        Self {
            shell,
            href: format!("/items/{}", item.id),
            report: format!("/examinations/{}/report.pdf", examination.id),
            lacking,
            mark: item.mark.clone(),
            model: model.title(),
            answer: Answer::new(
                verdict_tone(verdict),
                format!("{}: {}", kind_word(examination.kind), verdict_word(verdict)),
            ),
            facts: facts(examination, (recorder, qualification)),
            for_report: for_report(examination),
            findings: examination.findings.clone(),
            list: list.map(|list| list.edition.words()),
            list_href: list.map_or_else(String::new, |list| {
                format!("/checklists/{}", list.edition.kind.key())
            }),
            lines,
            gallery,
            kept,
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::super::{PROBE, gear};
        let (item, model) = (gear::item(), gear::model());
        let list = Checklist::newest(model.kind, None);
        let page = |examination: &Examination, list| {
            let shell = Shell::sample("Examination");
            Self::new(
                shell,
                examination,
                (&item, &model),
                (list, Gallery::sample()),
                ((PROBE, None), Some(PROBE.to_owned()), KeptUntil::sample()),
            )
        };
        vec![
            page(&gear::examination_by_list(), Some(&list)),
            page(&gear::examination(), None),
        ]
    }
}

fn facts(examination: &Examination, (recorder, qualification): RecordedBy<'_>) -> Facts {
    let markings = match examination.markings_readable {
        Some(true) => "can be read",
        Some(false) => "cannot be read",
        None => "not noted",
    };
    let ended = qualification.and_then(|one| one.ended_before(examination.on));
    let competent = match examination.qualification {
        Some(_) => ended.map_or_else(
            || "recorded as competent for this kind on that day".to_owned(),
            |ended| format!("recorded as competent when it was recorded, but {ended}"),
        ),
        None if examination.kind.is_thorough() => {
            "not told; recorded before qualifications were, or taken over".to_owned()
        }
        None => "needed for no look before or after use".to_owned(),
    };
    let next = match (examination.next_due_on, examination.verdict) {
        (Some(day), _) => write_day(day),
        (None, Verdict::Fit) => "not set by such a look".to_owned(),
        (None, Verdict::Quarantine) => "none; it went to quarantine".to_owned(),
        (None, Verdict::Retire) => "none; it was retired".to_owned(),
    };
    Facts::default()
        .and("Done", write_day(examination.on))
        .and("Examiner", examination.examiner.as_str())
        .and("Where", examination.place.as_str())
        .and("Recorded by", recorder)
        .and("Competent", competent)
        .and("Markings", markings)
        .and("Next due", next)
}

fn for_report(examination: &Examination) -> Facts {
    let report = &examination.report;
    if !examination.kind.is_thorough() {
        return Facts::default();
    }
    let said = |text: String| match text.as_str() {
        "" => "not recorded".to_owned(),
        _ => text,
    };
    let first = report.first.map(|first| first.word().to_owned());
    let danger = report.danger.map(Danger::words);
    Facts::default()
        .and(
            "First after installation or assembly at a new place",
            said(first.unwrap_or_default()),
        )
        .and("Danger to persons", said(danger.unwrap_or_default()))
        .and(
            "Repair, renewal or alteration needed",
            said(report.repair.clone()),
        )
        .and("Tests made", said(report.tests.clone()))
}

fn line(criterion: &Criterion, examination: &Examination) -> Line {
    let mut answers = examination.answers.iter();
    let answer = answers.find(|one| one.criterion == criterion.key);
    let seen = answer.map(|one| [one.measured_words(), one.note.clone()]);
    let mut seen = seen.map_or_else(Vec::new, Vec::from);
    seen.retain(|text| !text.is_empty());
    Line {
        words: criterion.words.clone(),
        how: By::word(criterion.by),
        outcome: outcome_badge(answer.map(|one| one.outcome)),
        seen: seen.join("; "),
        source: match criterion.out {
            Some(out) => format!("{}; {}", criterion.from, Out::words(out)),
            None => criterion.from.to_string(),
        },
    }
}
