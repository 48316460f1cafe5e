//! The report of a thorough examination: the eleven items that the Lifting Operations and Lifting Equipment
//! Regulations 1998 (UK), Schedule 1, ask for, with what of them is recorded.

use time::Date;

use super::{
    Cell, Column, PaperError, Sheet,
    attachment::attachments,
    record::{CAUTIONS, Imprint, ItemFile, day, ends, identity, open_notices},
};
use crate::{
    domain::{
        Checklist, Examination, ExaminationKind, Holder, Life, Notice, Qualification, Verdict,
        date::write_day, fitness::interval_of, life, rulebook::Rulebook,
    },
    rigging::StrengthKind,
};

/// An examination with what belongs to its report.
pub struct Reported {
    /// The examination.
    pub examination: Examination,
    /// Who wrote it down, by name.
    pub recorder: String,
    /// By what the examiner was competent, where that is recorded.
    pub qualification: Option<Qualification>,
    /// The list that it was done by, as it was on that day.
    pub list: Option<Checklist>,
}

/// The report as a file. `file` is the item with its other examinations.
///
/// # Errors
/// Where it would not hold what it claims to be.
pub fn examination_report(
    imprint: &Imprint<'_>,
    file: &ItemFile,
    reported: &Reported,
    rulebook: &Rulebook,
) -> Result<Vec<u8>, PaperError> {
    let examination = &reported.examination;
    let title = format!("Report of examination: {}", file.item.mark);
    let mut sheet = imprint.sheet(&title);
    sheet.heading("For whom and where (items 1 and 2)");
    sheet.facts(&[
        ("Team", Cell::new(imprint.team)),
        ("Employer, name and address", Cell::NotRecorded),
        ("Premises", Cell::NotRecorded),
        ("Kept in", Cell::of(file.store.as_ref())),
    ]);
    sheet.heading("What was examined (items 3 to 5)");
    let mut facts = identity(file);
    let before = file.examinations.iter();
    let before = before
        .filter(|one| one.id != examination.id && one.on <= examination.on)
        .find(|one| one.kind.is_thorough());
    facts.extend([
        (
            "Previous thorough examination",
            day(before.map(|one| one.on)),
        ),
        ("Safe working load", working_load(file)),
    ]);
    sheet.facts(&facts);
    sheet.heading("The examination (items 6 to 8)");
    sheet.facts(&findings(file, reported, rulebook));
    looked_at(&mut sheet, reported);
    let evidence = file.attachments.iter();
    let evidence = evidence.filter(|one| one.to.id() == examination.id.0);
    attachments(&mut sheet, file, &evidence.collect::<Vec<_>>(), 2);
    examined_by(&mut sheet, reported, imprint.today());
    sheet.heading("What this does not tell");
    for caution in CAUTIONS {
        sheet.caution(caution);
    }
    sheet.caution(
        "The items are those of the Lifting Operations and Lifting Equipment Regulations 1998 (UK), Schedule 1. A \
         report that lacks one of them is not complete under that law; add what is not recorded before it is signed.",
    );
    sheet.written()
}

/// The criteria of the list of that day with their answers.
fn looked_at(sheet: &mut Sheet, reported: &Reported) {
    let Some(list) = &reported.list else { return };
    sheet.heading(&format!("What was looked at, by {}", list.edition.words()));
    let columns = [
        Column {
            name: "Criterion",
            part: 6.0,
        },
        Column {
            name: "Answer",
            part: 2.0,
        },
        Column {
            name: "Seen and measured",
            part: 5.0,
        },
    ];
    let rows = list.criteria.iter().map(|criterion| {
        let mut answers = reported.examination.answers.iter();
        let answer = answers.find(|one| one.criterion == criterion.key);
        let seen = answer.map(|one| [one.measured_words(), one.note.clone()]);
        let mut seen = seen.map_or_else(Vec::new, Vec::from);
        seen.retain(|text| !text.is_empty());
        vec![
            Cell::new(criterion.words.as_str()),
            Cell::new(answer.map_or("not answered", |one| one.outcome.word())),
            Cell::new(if seen.is_empty() {
                "nothing noted".to_owned()
            } else {
                seen.join("; ")
            }),
        ]
    });
    sheet.table(&columns, &rows.collect::<Vec<_>>());
}

/// Who examined, by what right, and who reports.
fn examined_by(sheet: &mut Sheet, reported: &Reported, today: Date) {
    sheet.heading("Who examined and reports (items 9 to 11)");
    let qualification = reported.qualification.as_ref();
    let place = Some(&reported.examination.place).filter(|place| !place.is_empty());
    let body = qualification.and_then(|one| match &one.holder {
        Holder::Outside { body, .. } => Some(body),
        Holder::Person(_) => None,
    });
    sheet.facts(&[
        (
            "Examined by",
            Cell::new(reported.examination.examiner.as_str()),
        ),
        ("Address", Cell::NotRecorded),
        ("Where", Cell::of(place)),
        (
            "Qualifications",
            Cell::of(qualification.map(|one| &one.evidence)),
        ),
        ("Employer of the examiner", Cell::of(body)),
        ("Recorded by", Cell::new(reported.recorder.as_str())),
        (
            "Signed by hand",
            Cell::new("name and signature:  ________________________________"),
        ),
        ("Date of this report", Cell::new(write_day(today))),
    ]);
}

/// Rated loads and working limits alone: a breaking strength is no load that a thing may carry.
fn working_load(file: &ItemFile) -> Cell {
    let ratings = file.model.ratings.iter();
    let loads = ratings.filter(|rating| rating.kind != StrengthKind::Breaking);
    let mut loads: Vec<String> = loads
        .map(|one| format!("{} ({}, {})", one.value, one.kind.words(), one.mode.words()))
        .collect();
    let approved = file.model.approvals.iter();
    loads.extend(approved.filter_map(|one| Some(format!("{} ({})", one.rated_load?, one.title()))));
    Cell::new(loads.join("\n"))
}

/// What the verdict means, and what an open notice and the life of the item say against it: they are told as of today.
fn safe(examination: &Examination, life: &Life, open: Option<&Notice>) -> String {
    if let (Verdict::Fit, Some(notice)) = (examination.verdict, open) {
        return format!(
            "no: the safety notice \"{}\" of {} is open for it, though the examiner found it fit",
            notice.title,
            write_day(notice.issued_on)
        );
    }
    match (examination.verdict, life) {
        (Verdict::Quarantine, _) => "no: out of use until somebody competent decides".to_owned(),
        (Verdict::Retire, _) => "no: out of use for good".to_owned(),
        (Verdict::Fit, Life::Ends(end)) if end.on <= examination.on => format!(
            "no: its life ended on {}, though the examiner found it fit",
            write_day(end.on)
        ),
        (Verdict::Fit, Life::Ends(end))
            if examination.next_due_on.is_none_or(|due| end.on <= due) =>
        {
            format!(
                "yes, as the examiner found, until its life ends on {}",
                write_day(end.on)
            )
        }
        (Verdict::Fit, Life::Unknown(_)) => {
            "not known: the examiner found it fit, but the end of its life cannot be told"
                .to_owned()
        }
        (Verdict::Fit, Life::Ends(_) | Life::ByCondition(_)) => {
            "yes, as the examiner found".to_owned()
        }
    }
}

fn findings(
    file: &ItemFile,
    reported: &Reported,
    rulebook: &Rulebook,
) -> Vec<(&'static str, Cell)> {
    let examination = &reported.examination;
    let found = examination.found(reported.list.as_ref());
    let (months, rule) = interval_of(&file.item, &file.model, rulebook);
    let basis = match examination.kind {
        ExaminationKind::Intake => "when it came in".to_owned(),
        ExaminationKind::Periodic => format!("at its interval of {months} months ({rule})"),
        ExaminationKind::AfterEvent => "after exceptional circumstances".to_owned(),
        ExaminationKind::PreUse | ExaminationKind::AfterUse => {
            "a look by the user; it is no thorough examination".to_owned()
        }
    };
    let life = life(&file.item, &file.model, rulebook);
    vec![
        (
            "Date of the examination",
            Cell::new(write_day(examination.on)),
        ),
        ("Kind", Cell::new(examination.kind.word())),
        ("First after installation or assembly", Cell::NotRecorded),
        ("On what ground", Cell::new(basis)),
        (
            "Safe to operate",
            Cell::new(safe(examination, &life, file.notices.first())),
        ),
        ("Open safety notices", open_notices(&file.notices)),
        ("Life ends", ends(&life)),
        ("Defects, and what was found", Cell::new(found)),
        ("Repair, renewal or alteration needed", Cell::NotRecorded),
        ("Danger now, or by which date", Cell::NotRecorded),
        ("Latest date of the next one", day(examination.next_due_on)),
        ("Tests made", Cell::NotRecorded),
    ]
}
