//! The words that stand above columns, abbreviations of the trade among them.

use ropeloft::import::{Field, Target};
use ropeloft::rigging::{LoadingMode, StrengthKind};

fn reads(heading: &str) -> Option<Field> {
    match Target::from_words(heading) {
        Some(Target::Field(field)) => Some(field),
        _ => None,
    }
}

const BREAKING: Field = Field::Strength(StrengthKind::Breaking, None);

const ABBREVIATIONS: &[(Field, &[&str])] = &[
    (
        Field::Serial,
        &[
            "Mfr serial",
            "MFR S/N",
            "Mfr. Serial No.",
            "Maker's s/n",
            "Ser. No",
            "Mfg S/N",
            "Serial #",
        ],
    ),
    (
        Field::Mark,
        &["Tag #", "Inv. No.", "Equip ID", "Item #", "ID range"],
    ),
    (Field::Quantity, &["Qty", "Qty.", "# of items", "Pcs"]),
    (Field::Maker, &["Mfr", "Mfr.", "Manuf."]),
    (Field::Lot, &["Batch #", "Batch Nr"]),
    (
        Field::Made,
        &[
            "DOM",
            "D.O.M.",
            "Dom (mm/yyyy)",
            "Mfr date",
            "Date of mfr",
            "Yr of manufacture",
            "Mfg. date",
        ],
    ),
    (
        Field::FirstUsed,
        &[
            "Date into service",
            "In service date",
            "In-service date",
            "Date in service",
            "1st use",
            "Date placed in service",
        ],
    ),
    (
        Field::LastExamined,
        &["Last insp", "Insp. date", "Date of last insp."],
    ),
    (
        Field::NextDue,
        &[
            "Insp due",
            "Insp. Due",
            "Next insp",
            "Next Insp.",
            "Next insp due",
            "Next exam date",
            "Date next due",
        ],
    ),
    (Field::Examiner, &["Insp. by", "Inspector's name"]),
    (
        Field::RopeRange,
        &[
            "Rope dia range",
            "Rope dia. range (mm)",
            "Rope ø range",
            "For rope dia (mm)",
        ],
    ),
    (Field::RopeLeast, &["Min rope dia", "Rope dia min"]),
    (Field::RopeMost, &["Max. rope dia.", "Rope Ø max (mm)"]),
    (
        Field::Attribute("diameter"),
        &["Rope dia", "Rope dia (mm)", "Dia."],
    ),
    (
        BREAKING,
        &[
            "MBS",
            "M.B.S.",
            "MBS (kN)",
            "MBL",
            "Min break",
            "Min. break (kN)",
            "Min breaking load lbf",
        ],
    ),
    (
        Field::Strength(StrengthKind::Breaking, Some(LoadingMode::GateOpen)),
        &["MBS gate open", "Min. break gate open (kN)"],
    ),
    (
        Field::Strength(StrengthKind::WorkingLimit, None),
        &["WLL", "W.L.L. (kg)", "SWL"],
    ),
    (Field::Standard, &["Std.", "EN std", "NFPA Std"]),
];

#[test]
fn abbreviations_are_read_as_what_they_stand_for() {
    for (field, headings) in ABBREVIATIONS {
        for heading in *headings {
            assert_eq!(reads(heading), Some(*field), "{heading}");
        }
    }
}

#[test]
fn what_may_mean_two_things_is_asked_about() {
    for heading in [
        "Type letter",
        "Item",
        "S/No",
        "Part no",
        "Description",
        "Unit",
        "Expiry",
        "BS",
        "Min dia",
    ] {
        assert_eq!(reads(heading), None, "{heading}");
    }
}
