//! The report of a thorough examination: the eleven items that the Lifting Operations and Lifting Equipment
//! Regulations 1998 (UK), Schedule 1 (published law), ask for, with what of them is recorded.

use std::collections::BTreeSet;

use time::Date;

use super::{
    Cell, Column, PaperError, Sheet,
    attachment::attachments,
    record::{CAUTIONS, Imprint, ItemFile, day, ends, identity, open_notices},
};
use crate::{
    domain::{
        Checklist, Danger, Examination, ExaminationKind, Holder, Item, ItemState, Life, Notice,
        Qualification, Verdict, date::write_day, fitness::interval_of, life, rulebook::Rulebook,
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
    /// Name and address of the team's employer.
    pub employer: OnPaper,
    /// The address of the team's premises.
    pub premises: OnPaper,
}

/// What the team's record says, or said when an examination was recorded.
pub struct OnPaper {
    /// What it says; may be empty.
    pub text: String,
    /// Whether it is that of today, since nothing was on record then.
    pub of_today: bool,
}

impl OnPaper {
    /// What was on record `then`, and where that was nothing, what is on record now.
    pub fn of(then: &str, now: &str) -> Self {
        Self {
            text: if then.is_empty() { now } else { then }.to_owned(),
            of_today: then.is_empty() && !now.is_empty(),
        }
    }

    fn cell(&self) -> Cell {
        if self.of_today {
            let text = &self.text;
            Cell::new(format!(
                "{text}\n(as on record now; none was when this was recorded)"
            ))
        } else {
            Cell::new(self.text.as_str())
        }
    }
}

/// A fact on the report, with the number of the item of the Schedule that asks for it; none where none does.
type Asked = (Option<u8>, &'static str, Cell);

/// Facts that no item asks for.
fn unasked(facts: Vec<(&'static str, Cell)>) -> impl Iterator<Item = Asked> {
    facts.into_iter().map(|(name, cell)| (None, name, cell))
}

/// A report that is being written, with the items of which something is not recorded.
struct Report {
    sheet: Sheet,
    lacking: BTreeSet<u8>,
}

impl Report {
    fn facts(&mut self, facts: impl IntoIterator<Item = Asked>) {
        let facts = facts.into_iter().map(|(item, name, cell)| {
            if cell == Cell::NotRecorded {
                self.lacking.extend(item);
            }
            (name, cell)
        });
        let facts: Vec<_> = facts.collect();
        self.sheet.facts(&facts);
    }

    /// What the law says of a report, and what this one lacks of it.
    fn caution(&self, thorough: bool) -> String {
        let law = "The items are those of the Lifting Operations and Lifting Equipment Regulations 1998 (UK), Schedule 1.";
        if !thorough {
            return format!(
                "{law} They are asked of a thorough examination, which this look is not."
            );
        }
        let items: Vec<String> = self.lacking.iter().map(u8::to_string).collect();
        let items = match items.as_slice() {
            [] => return law.to_owned(),
            [one] => format!("item {one}"),
            [rest @ .., last] => format!("items {} and {last}", rest.join(", ")),
        };
        format!(
            "{law} Not recorded here: {items}. A report that lacks one of them is not complete under that law; add what \
             is not recorded before it is signed."
        )
    }
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
    let mut report = Report {
        sheet: imprint.sheet(&title),
        lacking: BTreeSet::new(),
    };
    report.sheet.heading("For whom and where (items 1 and 2)");
    report.facts(for_whom(imprint.team, file, reported));
    report.sheet.heading("What was examined (items 3 to 5)");
    report.facts(unasked(identity(file)).chain([
        (
            Some(4),
            "Previous thorough examination",
            previous(file, examination),
        ),
        (Some(5), "Safe working load", working_load(file)),
    ]));
    report.sheet.heading("The examination (items 6 to 8)");
    report.facts(findings(file, reported, rulebook));
    looked_at(&mut report.sheet, reported);
    let evidence = file.attachments.iter();
    let evidence = evidence.filter(|one| one.to.id() == examination.id.0);
    let evidence: Vec<_> = evidence.collect();
    attachments(&mut report.sheet, file, &evidence, 2);
    report
        .sheet
        .heading("Who examined and reports (items 9 to 11)");
    report.facts(examined_by(reported, imprint.today()));
    report.sheet.heading("What this does not tell");
    for caution in CAUTIONS {
        report.sheet.caution(caution);
    }
    let caution = report.caution(examination.kind.is_thorough());
    report.sheet.caution(&caution);
    report.sheet.written()
}

/// For whom it was examined, and where: on the premises of the team where nobody said otherwise.
fn for_whom(team: &str, file: &ItemFile, reported: &Reported) -> Vec<Asked> {
    let (premises, place) = (&reported.premises, &reported.examination.place);
    let mut facts = vec![
        (None, "Team", Cell::new(team)),
        (
            Some(1),
            "Employer, name and address",
            reported.employer.cell(),
        ),
    ];
    if place.is_empty() {
        facts.push((Some(2), "Premises", premises.cell()));
    } else {
        facts.push((Some(2), "Examined at", Cell::new(place.as_str())));
        if !premises.text.is_empty() {
            facts.push((None, "Premises of the team", premises.cell()));
        }
    }
    facts.push((None, "Kept in", Cell::of(file.store.as_ref())));
    facts
}

/// The day of the thorough examination before this one. Before an intake there need be none.
fn previous(file: &ItemFile, examination: &Examination) -> Cell {
    let mut before = file.examinations.iter();
    let before = before
        .find(|one| one.id != examination.id && one.on <= examination.on && one.kind.is_thorough());
    match (before, examination.kind) {
        (None, ExaminationKind::Intake) => {
            Cell::new("none on record; this is the one of its intake")
        }
        _ => day(before.map(|one| one.on)),
    }
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
        let seen = answer.map(|one| [criterion.measured_in(one), one.note.clone()]);
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

/// Who examined, by what right, and who reports. The people of the team are employed by its employer.
fn examined_by(reported: &Reported, today: Date) -> Vec<Asked> {
    let qualification = reported.qualification.as_ref();
    let employer = qualification.map(|one| match &one.holder {
        Holder::Outside { body, .. } => Cell::new(body.as_str()),
        Holder::Person(_) => reported.employer.cell(),
    });
    let employer = employer.unwrap_or(Cell::NotRecorded);
    vec![
        (
            Some(9),
            "Examined by",
            Cell::new(reported.examination.examiner.as_str()),
        ),
        (
            Some(9),
            "Address",
            Cell::of(qualification.map(|one| &one.address)),
        ),
        (
            Some(9),
            "Qualifications",
            Cell::of(qualification.map(|one| competence(one, &reported.examination))),
        ),
        (Some(9), "Employer of the examiner", employer),
        (None, "Recorded by", Cell::new(reported.recorder.as_str())),
        (
            Some(10),
            "Signed by hand",
            Cell::new("name, address and signature:  ______________________________"),
        ),
        (Some(11), "Date of this report", Cell::new(write_day(today))),
    ]
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

/// What the verdict means, and what an open notice, the state and the life of the item say against it: they are told as
/// of today.
fn safe(examination: &Examination, item: &Item, life: &Life, open: Option<&Notice>) -> String {
    if let (Verdict::Fit, Some(notice)) = (examination.verdict, open) {
        return format!(
            "no: the safety notice \"{}\" of {} is open for it, though the examiner found it fit",
            notice.title,
            write_day(notice.issued_on)
        );
    }
    if examination.verdict == Verdict::Fit && item.state != ItemState::InService {
        return format!(
            "no: it is {} now ({}), though the examiner found it fit",
            item.state.word(),
            item.state_reason
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

/// What was found and what follows, by items 6 to 8.
fn findings(file: &ItemFile, reported: &Reported, rulebook: &Rulebook) -> Vec<Asked> {
    let examination = &reported.examination;
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
    let mut facts = vec![
        (
            Some(8),
            "Date of the examination",
            Cell::new(write_day(examination.on)),
        ),
        (None, "Kind", Cell::new(examination.kind.word())),
    ];
    if examination.kind.is_thorough() {
        let first = examination.report.first;
        let first = Cell::of(first.map(|first| first.word()));
        facts.push((Some(6), "First after installation or assembly", first));
    }
    facts.extend([
        (Some(7), "On what ground", Cell::new(basis)),
        (
            Some(7),
            "Safe to operate",
            Cell::new(safe(examination, &file.item, &life, file.notices.first())),
        ),
        (None, "Open safety notices", open_notices(&file.notices)),
        (None, "Life ends", ends(&life)),
        (Some(8), "Defects, and what was found", found(reported)),
    ]);
    if examination.kind.is_thorough() {
        facts.extend(remedies(examination));
    }
    facts
}

/// What was found; nothing that failed or is to be watched is told as such where the list was gone through.
fn found(reported: &Reported) -> Cell {
    let found = reported.examination.found(reported.list.as_ref());
    if found.is_empty() && reported.list.is_some() {
        return Cell::new("nothing failed, and nothing is to be watched");
    }
    Cell::new(found)
}

/// What a defect needs, how long it may wait, and when the next examination is due: the rest of item 8.
fn remedies(examination: &Examination) -> [Asked; 4] {
    let report = &examination.report;
    let repair = match (report.repair.as_str(), report.danger) {
        ("", Some(Danger::None)) => "none, since no defect is a danger",
        (repair, _) => repair,
    };
    let next = match examination.verdict {
        Verdict::Fit => day(examination.next_due_on),
        Verdict::Quarantine => Cell::new("none; it is out of use until it is found fit"),
        Verdict::Retire => Cell::new("none; it is out of use for good"),
    };
    let danger = report.danger.map(Danger::words);
    [
        (Some(8), "Repair, renewal or alteration", Cell::new(repair)),
        (Some(8), "Danger now, or by which date", Cell::of(danger)),
        (Some(8), "Latest date of the next one", next),
        (Some(8), "Tests made", Cell::new(report.tests.as_str())),
    ]
}

/// Why the examiner was held competent, and that this was taken back since.
fn competence(one: &Qualification, examination: &Examination) -> String {
    let ended = one.ended_before(examination.on);
    let ended = ended.map(|ended| format!("; {ended}")).unwrap_or_default();
    format!("{}{ended}", one.evidence)
}
