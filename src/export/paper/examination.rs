//! The report of a thorough examination: the eleven items that the Lifting Operations and Lifting Equipment
//! Regulations 1998 (UK), Schedule 1, ask for, with what of them is recorded.

use super::{
    Cell, PaperError,
    record::{CAUTIONS, Imprint, ItemFile, day, identity},
};
use crate::{
    domain::{
        Examination, ExaminationKind, Verdict, date::write_day, fitness::interval_months,
        rulebook::Rulebook,
    },
    rigging::StrengthKind,
};

/// The report as a file. `file` is the item with its examinations up to this one, `recorder` who wrote it down.
///
/// # Errors
/// Where it would not hold what it claims to be.
pub fn examination_report(
    imprint: &Imprint<'_>,
    file: &ItemFile,
    examination: &Examination,
    (rulebook, recorder): (&Rulebook, &str),
) -> Result<Vec<u8>, PaperError> {
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
    sheet.facts(&findings(file, examination, rulebook));
    sheet.heading("Who examined and reports (items 9 to 11)");
    sheet.facts(&[
        ("Examined by", Cell::new(examination.examiner.as_str())),
        ("Address", Cell::NotRecorded),
        ("Qualifications", Cell::NotRecorded),
        ("Employer of the examiner", Cell::NotRecorded),
        ("Recorded by", Cell::new(recorder)),
        (
            "Signed by hand",
            Cell::new("name and signature:  ________________________________"),
        ),
        ("Date of this report", Cell::new(write_day(imprint.today()))),
    ]);
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

fn findings(
    file: &ItemFile,
    examination: &Examination,
    rulebook: &Rulebook,
) -> Vec<(&'static str, Cell)> {
    let (months, rule) = interval_months(&file.model, rulebook);
    let basis = match examination.kind {
        ExaminationKind::Intake => "when it came in".to_owned(),
        ExaminationKind::Periodic => format!("at its interval of {months} months ({rule})"),
        ExaminationKind::AfterEvent => "after exceptional circumstances".to_owned(),
        ExaminationKind::PreUse | ExaminationKind::AfterUse => {
            "a look by the user; it is no thorough examination".to_owned()
        }
    };
    let safe = match examination.verdict {
        Verdict::Fit => "yes, as the examiner found",
        Verdict::Quarantine => "no: out of use until somebody competent decides",
        Verdict::Retire => "no: out of use for good",
    };
    vec![
        (
            "Date of the examination",
            Cell::new(write_day(examination.on)),
        ),
        ("Kind", Cell::new(examination.kind.word())),
        ("First after installation or assembly", Cell::NotRecorded),
        ("On what ground", Cell::new(basis)),
        ("Safe to operate", Cell::new(safe)),
        (
            "Defects, and what was found",
            Cell::new(examination.findings.as_str()),
        ),
        ("Repair, renewal or alteration needed", Cell::NotRecorded),
        ("Danger now, or by which date", Cell::NotRecorded),
        ("Latest date of the next one", day(examination.next_due_on)),
        ("Tests made", Cell::NotRecorded),
    ]
}
