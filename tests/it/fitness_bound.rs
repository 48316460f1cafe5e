//! What a rulebook asks beside strengths by class: limits on a record, further persons, life, depth.

use ropeloft::domain::rulebook::{Rulebook, rulebook};
use ropeloft::domain::{Kind, Life, LifeLimit, Made, RefusalCode, life};
use time::macros::date;

use crate::fitness_case::{Case, Thing, lanyard, rope, tripod, verdict};

/// The European rulebook with more written behind it.
fn european_and(more: &str) -> Rulebook {
    let sheet = include_str!("../../src/domain/rulebook/european.toml");
    Rulebook::parse(&format!("{sheet}\n{more}")).unwrap()
}

#[test]
fn a_diameter_outside_its_class_is_refused_in_the_unit_it_was_entered_in() {
    // NFPA 1983 from memory: class G 11 to 16 mm (7/16 to 5/8 in), T 9.5 to below 12.5 mm (3/8 to 1/2 in).
    let line = |class: &str, diameter: &str| {
        let rope = rope()
            .approved(&[&format!("NFPA 2500|{class}")])
            .rated(&["straight|40 kN|breaking"])
            .with(&[("diameter", diameter)]);
        Case::of(rope).on(|draft| draft.rulebook = "us-rescue".into())
    };
    for (class, diameter) in [
        ("G", "11 mm"),
        ("G", "0.4375 in"),
        ("G", "16 mm"),
        ("G", "0.625 in"),
        ("T", "9.5 mm"),
        ("T", "12.4 mm"),
        ("T", "0.375 in"),
    ] {
        line(class, diameter).is_fit();
    }
    for (class, diameter) in [
        ("G", "10.9 mm"),
        ("G", "16.1 mm"),
        ("G", "0.43 in"),
        ("T", "9.4 mm"),
        ("T", "12.5 mm"),
        ("T", "0.5 in"),
    ] {
        let refusals = line(class, diameter).refused(&[RefusalCode::OutOfBounds]);
        assert!(refusals[0].sentence.contains(diameter), "{refusals:?}");
        assert!(refusals[0].rule.to_string().contains("from memory, "));
    }
}

#[test]
fn an_arrest_force_above_the_limit_is_refused_where_it_is_on_record() {
    // EN 355:2002, from memory: 6 kN; 29 CFR 1926.502(d)(16), from memory: 1800 lbf (8 kN).
    let absorber = |limit: &str| {
        let absorber = lanyard()
            .approved(&["EN 355"])
            .with(&[("arrest-limit", limit)]);
        Case::of(absorber)
    };
    absorber("6 kN").is_fit();
    absorber("6.1 kN").refused(&[RefusalCode::OutOfBounds]);
    Case::of(lanyard().approved(&["EN 355"])).is_fit();
    let us = |limit: &str| {
        let lanyard = lanyard()
            .rated(&["straight|22.2 kN|breaking"])
            .with(&[("arrest-limit", limit)]);
        Case::of(lanyard).on(|draft| draft.rulebook = "us-general".into())
    };
    for limit in ["1800 lbf", "8 kN"] {
        us(limit).is_fit();
    }
    for limit in ["1801 lbf", "8.01 kN"] {
        us(limit).refused(&[RefusalCode::OutOfBounds]);
    }
}

#[test]
fn each_further_person_adds_to_an_anchor() {
    // CEN/TS 16415:2013, from memory: 1 kN more for each user beyond the first, on 12 kN of metal.
    let anchor = |strength: &str, load: &str| {
        let rating = format!("body|{strength}|breaking");
        Case::of(tripod().rated(&[&rating])).on(|draft| draft.load = load.into())
    };
    anchor("12 kN", "1 person").is_fit();
    anchor("13 kN", "2 persons").is_fit();
    anchor("14 kN", "3 persons").is_fit();
    let refusals = anchor("12.9 kN", "2 persons").refused(&[RefusalCode::StrengthBelowMinimum]);
    let sentence = &refusals[0].sentence;
    assert!(
        sentence.contains("at least 12 kN, and 1 kN more for each of 1 further person"),
        "{sentence}"
    );
    // A mass counts as so many persons as go into it: 120 kg each.
    anchor("12 kN", "120 kg").is_fit();
    anchor("12 kN", "121 kg").refused(&[RefusalCode::StrengthBelowMinimum]);
    // 29 CFR 1910.27(b)(1)(i), read: 5000 lbf for each person.
    let us = |strength: &str| {
        anchor(strength, "2 persons").on(|draft| {
            draft.rulebook = "us-general".into();
            draft.load = "2 persons".into();
        })
    };
    us("10000 lbf").is_fit();
    us("44.4 kN").is_fit();
    us("9999 lbf").refused(&[RefusalCode::StrengthBelowMinimum]);
}

#[test]
fn a_minimum_without_a_standard_speaks_of_every_item_of_its_kind() {
    // BS 7985:2013 as read in a trade magazine: 15 kN for each rope access anchor.
    let anchor = |strength: &str| {
        let rating = format!("body|{strength}|breaking");
        Case::of(tripod().rated(&[&rating])).on(|draft| draft.rulebook = "rope-access".into())
    };
    anchor("15 kN").is_fit();
    let refusals = anchor("14.9 kN").refused(&[RefusalCode::StrengthBelowMinimum]);
    assert!(
        refusals[0]
            .sentence
            .contains("the rulebook asks for at least 15 kN")
    );
    assert!(
        refusals[0]
            .rule
            .to_string()
            .contains("sources disagree: Alberta")
    );
    let limit = Case::of(tripod().rated(&["body|10 kN|rated-load"]));
    limit
        .on(|draft| draft.rulebook = "rope-access".into())
        .refused(&[RefusalCode::StrengthUnknown]);
}

#[test]
fn a_rulebook_may_shorten_a_makers_life_and_fill_in_for_a_silent_one() {
    let thing = Thing::new(
        Kind::Sling,
        "S-1",
        &["EN 566"],
        &["straight|22 kN|breaking"],
    );
    let (mut item, mut model) = (thing.item, thing.model);
    item.made = Some(Made::Day(date!(2020 - 05 - 01)));
    item.first_used_on = Some(Made::Day(date!(2021 - 05 - 01)));
    let policy = european_and(
        "[[life]]\nof = \"slings\"\nkinds = [\"sling\"]\nbinds = \"always\"\ncounts_from = \"first-use\"\nyears = 5\nfrom = { source = \"the team\", known = \"setting\" }\n",
    );
    let european = rulebook("european").unwrap();
    let ends = |model: &_, item: &_, book| life(item, model, book).ends_on();
    // The maker's 10 years from made, and the team's 5 from first use.
    assert_eq!(ends(&model, &item, european), Some(date!(2030 - 05 - 01)));
    assert_eq!(ends(&model, &item, &policy), Some(date!(2026 - 05 - 01)));
    model.life = LifeLimit {
        by_condition: true,
        ..LifeLimit::default()
    };
    assert!(matches!(
        life(&item, &model, european),
        Life::ByCondition(_)
    ));
    assert_eq!(ends(&model, &item, &policy), Some(date!(2026 - 05 - 01)));
    // A silent maker, NFPA 1858:2018, A.10.1.2 as a page reports it: 10 years from made.
    model.life = LifeLimit::default();
    item.first_used_on = None;
    assert_eq!(ends(&model, &item, european), Some(date!(2030 - 05 - 01)));
    // The team's 5 years from a first use that is not noted count from the day it was made.
    assert_eq!(ends(&model, &item, &policy), Some(date!(2025 - 05 - 01)));
    item.made = None;
    assert!(matches!(life(&item, &model, european), Life::Unknown(_)));
}

#[test]
fn a_job_that_goes_deeper_than_the_rulebook_plans_for_is_told_so() {
    // 29 CFR 1910.27(b)(2)(i), read: 300 ft (91 m).
    let told = |depth: &str| {
        let job = crate::fitness_case::job(|draft| {
            draft.rulebook = "us-general".into();
            draft.depth = depth.into();
        });
        let assumptions = verdict(&job, &[]).assumptions;
        assumptions
            .iter()
            .any(|text| text.contains("1910.27(b)(2)(i)"))
    };
    assert!(told("301 ft") && told("91.1 m"));
    assert!(!told("300 ft") && !told("91 m"));
}

#[test]
fn hard_use_binds_where_the_record_says_so() {
    use ropeloft::domain::fitness::{due_on, interval_of};
    let book = rulebook("uk-lifting").unwrap();
    let textile = ropeloft::domain::Material::Textile;
    // INDG367, as reported: textile lanyards at least every 6 months, every 3 in arduous use.
    let months = |arduous| {
        book.interval_in(Kind::Lanyard, textile, arduous)
            .unwrap()
            .months
    };
    assert_eq!((months(false), months(true)), (6, 3));
    assert_eq!(book.interval(Kind::Lanyard, textile).unwrap().months, 6);
    let model = crate::stock::model(Kind::Lanyard, "Fjordwerk", "Y 150");
    let mut item = crate::stock::item("L-1", &model, &crate::stock::store("Bay"));
    item.last_passed_on = Some(time::macros::date!(2026 - 08 - 31));
    let until = |item: &ropeloft::domain::Item| due_on(item, &model, book).unwrap();
    assert_eq!(
        until(&item).0,
        time::macros::date!(2027 - 02 - 28),
        "31 August and 6 months"
    );
    item.arduous = Some("salt water".into());
    let (day, rule) = until(&item);
    assert_eq!(
        day,
        time::macros::date!(2026 - 11 - 30),
        "31 August and 3 months"
    );
    assert!(rule.source.contains("INDG367"), "{rule}");
    // No rule for arduous use of a rope: the usual one stays.
    let rope = crate::stock::model(Kind::Rope, "Fjordwerk", "Line");
    assert_eq!(interval_of(&item, &rope, book).0, 6);
}
