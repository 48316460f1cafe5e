//! The words that stand above columns, abbreviations of the trade among them.

use ropeloft::domain::ModelId;
use ropeloft::import::{Answers, ColumnUse, Field, Target};
use ropeloft::rigging::{LoadingMode, StrengthKind};
use uuid::Uuid;

use crate::import_inventory::{rehearsed, said};

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

#[test]
fn german_and_french_headings_are_read_and_what_may_mean_two_things_is_asked() {
    let text = "\
Inventarnummer;Geräteart;Hersteller;Modell;Seriennummer;Baujahr;Lagerort;Letzte Prüfung;Prüfer;Ergebnis;Bemerkungen;Charge
R1;Seil;Greyholm;Beck;S1;2021;Lager;14.05.2026;A. Brook & Co;ok;;K7
";
    let rehearsal = rehearsed("liste.csv", text.as_bytes(), &said());
    let unknown: Vec<&str> = rehearsal
        .headings
        .columns
        .iter()
        .filter(|column| matches!(column.becomes, ColumnUse::Unknown(_)))
        .map(|column| column.heading.as_str())
        .collect();
    assert_eq!(unknown, ["Charge"]);
    let text = "\
N° de série;Fabricant;Modèle;Emplacement;Date de fabrication;Dernier contrôle;Résultat;Remarques;Repère
S1;Greyholm;Beck;Dépôt;2021;14.05.2026;ok;;R1
";
    let rehearsal = rehearsed("liste.csv", text.as_bytes(), &said());
    assert!(
        rehearsal
            .headings
            .columns
            .iter()
            .all(|column| !matches!(column.becomes, ColumnUse::Unknown(_))),
        "{:?}",
        rehearsal.headings
    );
}

#[test]
fn a_heading_may_name_the_body_of_all_standards() {
    for (heading, standard, title) in [
        ("EN / class", "362 B", "EN 362 class B"),
        (
            "EN",
            "362:2004/B + 12275 H",
            "EN 362:2004 class B; EN 12275 class H",
        ),
        ("EN marking", "EN 362/B", "EN 362 class B"),
        ("Standard", "362 B", "362 B"),
    ] {
        let list = format!(
            "mark,kind,maker,model,store,life support,{heading}\n1,connector,F,Oval,B,yes,{standard}\n"
        );
        let mut answers = Answers::default();
        answers
            .headings
            .insert(heading.to_owned(), Target::from_words("standard").unwrap());
        let rehearsal = rehearsed("x.csv", list.as_bytes(), &answers);
        let plan = rehearsal
            .plan
            .as_ref()
            .unwrap_or_else(|| panic!("{heading}: {}", rehearsal.sentence()));
        let model = plan.models[0].draft.check(ModelId(Uuid::nil()), 1).unwrap();
        let titles: Vec<String> = model.approvals.iter().map(|one| one.title()).collect();
        assert_eq!(titles.join("; "), title, "{heading}");
    }
}
