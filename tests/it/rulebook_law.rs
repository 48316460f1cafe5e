//! The rulebooks of law and practice that lie over others: their numbers, and what is law in them.

use ropeloft::domain::rulebook::{Rulebook, rulebook, shipped};
use ropeloft::domain::{Kind, Known, Material};

fn book(key: &str) -> &'static Rulebook {
    rulebook(key).unwrap()
}

#[test]
fn a_sheet_over_another_keeps_what_it_does_not_say() {
    let (uk, european) = (book("uk-lifting"), book("european"));
    assert_eq!(uk.based_on(), Some("european"));
    assert_eq!(uk.minimums(), european.minimums());
    assert_eq!(uk.factor(), european.factor());
    assert!(uk.sources().len() > european.sources().len());
    for told in european.told() {
        assert!(uk.told().contains(told), "{told:?}");
    }
    assert_ne!(uk.leaves_out(), european.leaves_out());
}

#[test]
fn uk_law_examines_lifting_gear_every_six_months() {
    // LOLER 1998 reg 9(3)(a)(i) and (ii), read: 6 months for gear that lifts people and accessories, 12 else.
    let months = |kind, material| book("uk-lifting").interval(kind, material).unwrap();
    for kind in [Kind::Rope, Kind::Pulley, Kind::Connector, Kind::Harness] {
        let interval = months(kind, kind.material());
        assert_eq!(interval.months, 6, "{kind:?}");
        assert!(interval.from.law && interval.from.source.contains("9(3)(a)(i)"));
    }
    assert_eq!(months(Kind::Helmet, Material::Plastic).months, 12);
    // European practice without that law: EN 365, 12 months.
    assert_eq!(
        book("european")
            .interval(Kind::Rope, Material::Textile)
            .unwrap()
            .months,
        12
    );
}

#[test]
fn uk_law_says_how_long_papers_are_kept() {
    // LOLER 1998 reg 11, read: two years; until the next; as long as it is used.
    let kept = |part: &str| {
        let all = book("uk-lifting").retentions();
        let one = all.iter().find(|one| one.from.source.contains(part));
        let one = one.unwrap_or_else(|| panic!("{part}"));
        (one.months, one.until.clone(), one.from.law)
    };
    assert_eq!(kept("11(2)(a)(ii)"), (Some(24), None, true));
    assert_eq!(
        kept("11(2)(a)(iv)"),
        (Some(24), Some("the next report".into()), true)
    );
    assert_eq!(kept("11(2)(b)").1.as_deref(), Some("the next record"));
    assert_eq!(
        kept("11(1)").1.as_deref(),
        Some("the equipment is operated no more")
    );
    assert_eq!(
        kept("SI 2006/2184").1.as_deref(),
        Some("two years after the next report")
    );
    assert!(
        book("uk-lifting")
            .told()
            .iter()
            .any(|told| told.from.source.contains("10(1)(c)"))
    );
}

#[test]
fn rope_access_asks_for_anchors_of_fifteen_kilonewtons() {
    // BS 7985:2013, read in a trade magazine: 15 kN; a consultant's notes: 2.5 x 6 kN.
    let book = book("rope-access");
    let anchors: Vec<_> = book
        .minimums()
        .iter()
        .filter(|one| one.standard.is_none())
        .collect();
    assert_eq!(anchors.len(), 5);
    for anchor in anchors {
        assert_eq!(anchor.at_least.to_string(), "15 kN");
        assert!(anchor.from.disagrees.as_ref().unwrap().contains("16 kN"));
    }
    assert!(
        book.told()
            .iter()
            .any(|told| told.says.contains("2.5 times"))
    );
    let lanyard = |material| book.interval(Kind::Lanyard, material).unwrap().months;
    assert_eq!(
        (lanyard(Material::Textile), lanyard(Material::Metal)),
        (6, 12)
    );
}

#[test]
fn us_law_asks_for_five_thousand_pounds() {
    let book = book("us-general");
    let minimums = book.minimums();
    assert_eq!(minimums.len(), 8);
    for one in minimums {
        // 29 CFR 1926.502(d)(15), letter of 8 February 2011: 5 000 lbf (22.2 kN).
        assert_eq!(one.at_least.to_string(), "5000 lbf");
        assert_eq!(one.or_printed.unwrap().to_string(), "22.2 kN");
        assert!(one.from.law, "{one:?}");
    }
    // 29 CFR 1910.27(b)(2)(i), read: 300 ft (91 m).
    let depth = book.depth().unwrap();
    assert_eq!(depth.at_most.to_string(), "300 ft");
    assert_eq!(depth.or_printed.unwrap().to_string(), "91 m");
    // 29 CFR 1910.140(c)(18), from memory, and 1910.27(b)(2)(iv), read: each work shift.
    let shifts = book
        .looks()
        .iter()
        .filter(|look| look.when.words().contains("shift"));
    let known: Vec<Known> = shifts.map(|look| look.from.known).collect();
    assert_eq!(known, [Known::Read, Known::MemoryHigh]);
    assert!(
        book.told()
            .iter()
            .any(|told| told.says.contains("3600 lbf") && told.from.law)
    );
    assert!(
        book.told()
            .iter()
            .any(|told| told.says.contains("factor of at least 2"))
    );
}

#[test]
fn standards_practice_and_policy_are_not_law() {
    for book in shipped() {
        for number in book.numbers() {
            let cited = number.cited();
            let names_law = ["LOLER", "29 CFR", "Regulations", "SI 2006"]
                .iter()
                .any(|law| cited.source.contains(law));
            assert_eq!(cited.law, names_law, "{}: {cited}", book.key());
        }
    }
}

#[test]
fn what_a_person_may_be_stopped_with_is_six_kilonewtons_or_eighteen_hundred_pounds() {
    // EN 355, from memory; guide to the Alberta OHS Code, s. 828, read; 29 CFR 1926.502(d)(16), from memory.
    let most = |key| {
        let rule = book(key).arrest()?;
        Some((rule.at_most.to_string(), rule.from.known, rule.from.law))
    };
    let six = |known| Some(("6 kN".to_owned(), known, false));
    assert_eq!(most("european"), six(Known::MemoryHigh));
    assert_eq!(most("uk-lifting"), six(Known::MemoryHigh));
    assert_eq!(most("rope-access"), six(Known::Read));
    assert_eq!(
        most("us-general"),
        Some(("1800 lbf".to_owned(), Known::MemoryHigh, true))
    );
    assert_eq!(
        most("us-rescue"),
        None,
        "no number was found for a team's own rescue"
    );
}

#[test]
fn what_is_unsure_stands_as_no_number_but_for_beckets() {
    for book in shipped() {
        let unsure = book.numbers().into_iter();
        let unsure = unsure.filter(|number| number.cited().known == Known::MemoryLow);
        for number in unsure {
            assert!(
                number.of().contains("becket"),
                "{}: {}",
                book.key(),
                number.of()
            );
        }
    }
}

#[test]
fn every_rulebook_says_what_it_leaves_out() {
    for book in shipped() {
        assert!(book.leaves_out().len() >= 4, "{}", book.key());
        assert!(book.lives().len() >= 3 && !book.looks().is_empty());
    }
}
