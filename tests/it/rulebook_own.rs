//! A team's own rulebook: what it may set otherwise, and what it must say where it asks less.

use ropeloft::domain::rulebook::{LARGEST_SHEET, Rulebook, RulebookDraft, rulebook, shipped};
use ropeloft::domain::{FieldErrors, Kind, Material};

/// A draft that sets these numbers, with these reasons.
pub fn draft(base: &str, numbers: &[(&str, &str)], reasons: &[(&str, &str)]) -> RulebookDraft {
    let texts = |pairs: &[(&str, &str)]| {
        let pairs = pairs.iter();
        pairs
            .map(|(rule, text)| ((*rule).to_owned(), (*text).to_owned()))
            .collect()
    };
    RulebookDraft {
        key: "valley".into(),
        title: "Valley team".into(),
        based_on: base.into(),
        numbers: texts(numbers),
        reasons: texts(reasons),
        ..RulebookDraft::default()
    }
}

pub fn wrong(draft: &RulebookDraft) -> FieldErrors {
    draft.check(None).unwrap_err()
}

const ROPE_A: &str = "minimum-rope-en1891-a-straight";
const PEOPLE: &str = "interval-gear-that-lifts-people-and-lifting-accessories";

/// A sheet of a team's own over the European rulebook.
pub fn sheet(more: &str) -> String {
    format!("key = \"valley\"\ntitle = \"Valley team\"\nbased_on = \"european\"\n{more}")
}

/// The faults of a sheet, in words.
fn faults(more: &str) -> Vec<String> {
    let error = Rulebook::parse_own(&sheet(more)).unwrap_err();
    error.faults.iter().map(ToString::to_string).collect()
}

#[test]
fn a_stricter_number_needs_no_reason_and_says_whose_it_is() {
    let own = draft("european", &[("factor", "12"), (ROPE_A, "24 kN")], &[]);
    let own = own.check(None).unwrap();
    let base = rulebook("european").unwrap();
    assert!((own.factor().value.ratio() - 12.0).abs() < 1e-12);
    assert_eq!(own.factor().reason, "Set by the team.");
    assert!(
        own.factor()
            .from
            .source
            .contains("set by the team in \"Valley team\", instead of 10")
    );
    assert!(own.looser().is_empty());
    let otherwise = own.set_otherwise(base);
    assert_eq!(otherwise.len(), 2, "{otherwise:?}");
    assert_eq!(
        otherwise[0],
        (
            "Factor on breaking strength".into(),
            "12".into(),
            "10".into()
        )
    );
    assert_eq!(own.minimums().len(), base.minimums().len());
    assert_eq!(own.base(), Some(base));
}

#[test]
fn a_looser_number_needs_a_reason_and_says_it_wherever_it_shows() {
    let numbers = [("factor", "8"), (ROPE_A, "20 kN")];
    let errors = wrong(&draft("european", &numbers, &[]));
    let fields: Vec<&str> = errors.0.iter().map(|error| error.field.as_str()).collect();
    assert_eq!(
        fields,
        ["reasons[factor]", "reasons[minimum-rope-en1891-a-straight]"]
    );
    let sentence = &errors.0[0].message;
    assert!(
        sentence.contains("8 instead of 10") && sentence.contains("Write the reason"),
        "{sentence}"
    );
    let reasons = [
        ("factor", "every part is proof-tested"),
        (ROPE_A, "old stock, until May"),
    ];
    let own = draft("european", &numbers, &reasons).check(None).unwrap();
    let told = "looser than European standards (EN), for rope rescue and rope work (8 instead of 10), reason: every part is proof-tested";
    assert!(
        own.factor().from.to_string().contains(told),
        "{}",
        own.factor().from
    );
    assert_eq!(own.factor().reason, "every part is proof-tested");
    let sentences: Vec<&str> = own
        .looser()
        .iter()
        .map(|one| one.sentence.as_str())
        .collect();
    assert_eq!(sentences[0], format!("Factor on breaking strength: {told}"));
    assert!(
        sentences[1].contains("20 kN instead of 22 kN"),
        "{sentences:?}"
    );
    assert_eq!(own.person().from.looser, None);
}

#[test]
fn law_is_never_asked_less_of_whatever_the_reason() {
    // LOLER 1998 reg 9(3)(a)(i): 6 months.
    let reasons = [(PEOPLE, "we look often enough")];
    let errors = wrong(&draft("uk-lifting", &[(PEOPLE, "12 months")], &reasons));
    assert_eq!(errors.0.len(), 1, "{errors}");
    assert_eq!(errors.0[0].field, format!("numbers[{PEOPLE}]"));
    let sentence = &errors.0[0].message;
    assert!(
        sentence.contains("12 months is less than the 6 months that the law asks for"),
        "{sentence}"
    );
    assert!(sentence.contains("9(3)(a)(i)"), "{sentence}");
    // Shorter than the law is the team's own affair.
    let own = draft("uk-lifting", &[(PEOPLE, "3")], &[])
        .check(None)
        .unwrap();
    let interval = own.interval(Kind::Rope, Material::Textile).unwrap();
    assert_eq!((interval.months, interval.from.law), (3, false));
    // 29 CFR 1926.502(d)(15): 5000 lbf; (d)(16): 1800 lbf at most.
    for (rule, text) in [
        ("minimum-tripod-any-body", "4999 lbf"),
        ("bound-lanyard-arrest-limit-at-most-any", "1801 lbf"),
        ("further-person-tripod-any", "4000 lbf"),
        ("retention-cancelled-entry-permits", "11"),
        ("depth", "301 ft"),
        ("arrest", "1801 lbf"),
    ] {
        let errors = wrong(&draft("us-general", &[(rule, text)], &[(rule, "why not")]));
        assert!(
            errors.0[0].message.contains("the law asks for"),
            "{rule}: {errors}"
        );
    }
}

#[test]
fn a_printed_pair_is_not_loosened_by_its_other_unit() {
    // NFPA 1983 prints 40 kN beside 8992 lbf, a hair less; the pair is the base's own.
    let rule = "minimum-rope-nfpa2500-g-straight";
    draft("us-rescue", &[(rule, "8992 lbf")], &[])
        .check(None)
        .unwrap();
    let errors = wrong(&draft("us-rescue", &[(rule, "8991 lbf")], &[]));
    assert!(
        errors.0[0].message.contains("8991 lbf instead of 40 kN"),
        "{errors}"
    );
}

#[test]
fn what_is_set_back_is_the_bases_again() {
    let own = draft(
        "us-rescue",
        &[("minimum-rope-nfpa2500-g-straight", "45 kN")],
        &[],
    );
    let own = own.check(None).unwrap();
    let base = rulebook("us-rescue").unwrap();
    assert_ne!(own.minimums(), base.minimums());
    let back = draft(
        "us-rescue",
        &[("minimum-rope-nfpa2500-g-straight", "40 kN")],
        &[],
    );
    let back = back.check(Some(&own)).unwrap();
    assert_eq!(back.minimums(), base.minimums());
    assert_eq!(back.factor(), base.factor());
}

#[test]
fn a_reason_that_was_given_stays_until_another_is() {
    let first = draft("european", &[("factor", "8")], &[("factor", "tested")]);
    let first = first.check(None).unwrap();
    let next = draft("european", &[(ROPE_A, "30 kN")], &[]);
    let next = next.check(Some(&first)).unwrap();
    assert_eq!(next.looser()[0].reason, "tested");
    assert_eq!(next.factor().reason, "tested");
    // A form that shows the reason empty takes it away.
    let emptied = draft("european", &[("factor", "8")], &[("factor", "")]);
    let errors = emptied.check(Some(&first)).unwrap_err();
    assert_eq!(errors.0[0].field, "reasons[factor]");
    let other = draft("european", &[("factor", "12")], &[]);
    let other = other.check(Some(&first)).unwrap();
    assert!(other.looser().is_empty() && other.factor().from.looser.is_none());
}

#[test]
fn every_wrong_field_is_named_at_once() {
    let mut bad = draft(
        "european",
        &[
            ("factor", "ten"),
            ("person", "80"),
            (ROPE_A, "-3 kN"),
            ("colour", "red"),
        ],
        &[],
    );
    bad.title = String::new();
    let errors = wrong(&bad);
    let mut fields: Vec<&str> = errors.0.iter().map(|error| error.field.as_str()).collect();
    fields.sort_unstable();
    assert_eq!(
        fields,
        [
            "numbers[colour]",
            "numbers[factor]",
            "numbers[minimum-rope-en1891-a-straight]",
            "numbers[person]",
            "title"
        ]
    );
    let range = wrong(&draft(
        "european",
        &[("factor", "0.5"), ("person", "20 kg")],
        &[],
    ));
    assert!(
        range
            .on("numbers[factor]")
            .any(|text| text.contains("between 1 and 100")),
        "{range}"
    );
    assert!(
        range
            .on("numbers[person]")
            .any(|text| text.contains("between 40 and 300 kg")),
        "{range}"
    );
    for key in ["european", "new", "sheet", "Valley", ""] {
        let mut taken = draft("european", &[], &[]);
        taken.key = key.into();
        assert_eq!(wrong(&taken).0[0].field, "key", "{key}");
    }
    assert_eq!(wrong(&draft("imaginary", &[], &[])).0[0].field, "based_on");
}

#[test]
fn a_sheet_that_asks_less_must_say_so() {
    let factor = |value: &str| {
        format!(
            "[factor]\nvalue = {value}\nreason = \"ours\"\nfrom = {{ source = \"team order 4\", known = \"setting\" }}\n"
        )
    };
    Rulebook::parse_own(&sheet(&factor("11.0"))).unwrap();
    let found = faults(&factor("8.0"));
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(
        found[0].starts_with(
            "line 4, factor: Factor on breaking strength: looser than European standards"
        ),
        "{found:?}"
    );
    assert!(found[0].contains("8 instead of 10") && found[0].contains("rule = \"factor\""));
    let why = "[[looser]]\nrule = \"factor\"\nreason = \"tested\"\n";
    let own = Rulebook::parse_own(&sheet(&format!("{}{why}", factor("8.0")))).unwrap();
    assert!(own.factor().from.to_string().ends_with("reason: tested)"));
    let idle = faults(&format!("{}{why}", factor("11.0")));
    assert!(idle[0].contains("asks no less"), "{idle:?}");
}

#[test]
fn what_a_sheet_takes_out_or_narrows_is_less_too() {
    let drop = |rule: &str| {
        format!("[[looser]]\nrule = \"{rule}\"\nreason = \"never used\"\ndrop = true\n")
    };
    let own = Rulebook::parse_own(&sheet(&drop("bound-lanyard-length-at-most-en354"))).unwrap();
    assert_eq!(
        own.bounds().len(),
        rulebook("european").unwrap().bounds().len() - 1
    );
    assert!(
        own.looser()[0].sentence.contains("nothing instead of 2 m"),
        "{:?}",
        own.looser()
    );
    let unknown = faults(&drop("bound-of-nothing"));
    assert!(unknown[0].contains("asks no less"), "{unknown:?}");
    let narrow = "[[interval]]\nof = \"fall-protection gear\"\nmonths = 12\nkinds = [\"rope\"]\nfrom = { source = \"us\", known = \"setting\" }\n";
    let found = faults(&format!(
        "{narrow}[[interval]]\nof = \"the rest\"\nmonths = 60\nfrom = {{ source = \"us\", known = \"setting\" }}\n"
    ));
    assert!(found[0].contains("rope instead of every kind"), "{found:?}");
    let approval = "[[approval]]\nkind = \"cord\"\nwhen = \"always\"\nany_of = [{ standard = \"EN 564\" }, { standard = \"EN 1000\" }]\nfrom = { source = \"us\", known = \"setting\" }\n";
    let found = faults(approval);
    assert!(
        found[0].contains("EN 564, or EN 1000 instead of EN 564"),
        "{found:?}"
    );
    let kind = "[[kind]]\nkind = \"pulley\"\nstrength = \"any\"\n";
    assert!(faults(kind)[0].contains("Strength that must be known of a pulley"));
    let identity =
        "[identity]\nasks = [\"made\"]\nfrom = { source = \"us\", known = \"setting\" }\n";
    assert!(
        faults(identity)[0]
            .contains("when it was made instead of the serial or the lot, when it was made")
    );
    let odd = "[[minimum]]\nkind = \"cord\"\nstandard = \"EN 564\"\nmode = \"straight\"\ndiameter = { value = 6.5, unit = \"mm\" }\nat_least = { value = 1.0, unit = \"kN\" }\nfrom = { source = \"us\", known = \"setting\" }\n";
    assert!(faults(odd)[0].contains("refused for want of a number"));
}

#[test]
fn a_team_does_not_make_law() {
    let own = "[[interval]]\nof = \"ropes\"\nmonths = 6\nkinds = [\"rope\"]\nfrom = { source = \"our own\", known = \"setting\", law = true }\n";
    let found = faults(own);
    assert!(
        found[0].contains("interval 1, from.law") && found[0].contains("does not say this as law"),
        "{found:?}"
    );
    let uk = "key = \"valley\"\ntitle = \"Valley\"\nbased_on = \"uk-lifting\"\n";
    assert!(Rulebook::parse_own(uk).is_ok());
    let law = format!(
        "{uk}[[interval]]\nof = \"other lifting equipment\"\nmonths = 24\nfrom = {{ source = \"us\", known = \"setting\" }}\n[[looser]]\nrule = \"interval-other-lifting-equipment\"\nreason = \"why not\"\n"
    );
    let error = Rulebook::parse_own(&law).unwrap_err().to_string();
    assert!(
        error.contains("24 months is less than the 12 months that the law asks for"),
        "{error}"
    );
    let gone = format!(
        "{uk}[[looser]]\nrule = \"retention-declaration-of-conformity\"\nreason = \"why not\"\ndrop = true\n"
    );
    let error = Rulebook::parse_own(&gone).unwrap_err().to_string();
    assert!(error.contains("that the law asks for"), "{error}");
}

#[test]
fn a_team_names_what_its_rulebook_is_based_on() {
    let alone = include_str!("../../src/domain/rulebook/european.toml")
        .replace("key = \"european\"", "key = \"valley\"");
    let error = Rulebook::parse_own(&alone).unwrap_err().to_string();
    assert!(error.contains("based_on: Name the rulebook"), "{error}");
    let taken = "key = \"european\"\ntitle = \"Ours\"\nbased_on = \"european\"\n";
    let error = Rulebook::parse_own(taken).unwrap_err().to_string();
    assert!(error.contains("line 1, key: Choose another key"), "{error}");
    let large = "#".repeat(LARGEST_SHEET + 1);
    let error = Rulebook::parse_own(&large).unwrap_err().to_string();
    assert!(error.contains("256 KiB"), "{error}");
}

#[test]
fn a_rulebook_can_be_taken_away_and_read_again() {
    for book in shipped() {
        assert_eq!(
            &Rulebook::parse(&book.sheet()).unwrap(),
            book,
            "{}",
            book.key()
        );
    }
    let numbers = [("factor", "8"), (ROPE_A, "30 kN")];
    let own = draft("european", &numbers, &[("factor", "tested \"twice\"")]);
    let own = own.check(None).unwrap();
    assert_eq!(Rulebook::parse_own(&own.sheet()).unwrap(), own);
    let again: Rulebook = serde_json::from_value(serde_json::to_value(&own).unwrap()).unwrap();
    assert_eq!(again, own);
}
