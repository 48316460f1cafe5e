//! What one of a model costs, out of a list: the amount as it is written there, and a currency that is never guessed.

use axum::http::StatusCode;
use ropeloft::domain::Price;
use ropeloft::domain::entered::EnteredLength;
use ropeloft::import::{Answers, Field, Question};

use crate::{import_inventory::rehearsed, item_given::one_rope};

fn list(heading: &str, price: &str) -> String {
    format!(
        "mark;kind;maker;model;store;life support;{heading}\n1;connector;F;D;B;yes;{price}\n2;connector;F;E;B;yes;\n"
    )
}

/// The price of the first model, or what is wrong with it.
fn price(heading: &str, price: &str) -> Result<String, String> {
    let text = list(heading, price);
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &Answers::default());
    if let Some(wrong) = rehearsal.errors.first() {
        assert_eq!(wrong.heading.as_deref(), Some(heading));
        return Err(wrong.message.clone());
    }
    let asked: Vec<String> = rehearsal.questions.iter().map(Question::sentence).collect();
    let plan = rehearsal.plan.ok_or_else(|| asked.join(" "))?;
    assert_eq!(plan.models[1].draft.price, "");
    Ok(plan.models[0].draft.price.clone())
}

#[test]
fn a_price_is_read_as_it_is_written() {
    for (heading, written, kept) in [
        ("Price", "129.90 EUR", "129.90 EUR"),
        ("Price", "129,9 eur", "129.90 EUR"),
        ("Price", "€ 129,90", "129.90 EUR"),
        ("Price", "CHF 1'290.00", "1290.00 CHF"),
        ("Price", "1.290,50 EUR", "1290.50 EUR"),
        ("Price", "1,290.50 USD", "1290.50 USD"),
        ("List price", "£12", "12.00 GBP"),
        ("Price (EUR)", "129,90", "129.90 EUR"),
        ("price in chf", "80", "80.00 CHF"),
        ("Replacement cost €", "80", "80.00 EUR"),
        // The cell goes before the heading.
        ("Price (EUR)", "80 NOK", "80.00 NOK"),
        ("Price", "n/a", ""),
    ] {
        assert_eq!(
            price(heading, written).as_deref(),
            Ok(kept),
            "{heading}: {written}"
        );
    }
}

#[test]
fn a_price_without_a_currency_or_an_amount_is_told() {
    for (heading, written, told) in [
        (
            "Price",
            "129.90",
            "Write the currency as its three letters behind \"129.90\"",
        ),
        ("Price", "$ 12", "such as 129.90 EUR, not \"$ 12\""),
        ("Price", "12 $", "not \"$\""),
        ("Price", "dear EUR", "such as 129.90 EUR, not \"dear EUR\""),
        ("Price", "0 EUR", "more than 0"),
        ("Price", "-5 EUR", "more than 0"),
        ("Price", "99999999 EUR", "at most 10000000 EUR"),
    ] {
        let wrong = price(heading, written).unwrap_err();
        assert!(wrong.contains(told), "{heading}: {written}: {wrong}");
    }
}

#[test]
fn a_mark_that_may_part_thousands_is_asked_about() {
    let text = list("Price (EUR)", "1.290").replace(';', ",");
    let asked = rehearsed("x.csv", text.as_bytes(), &Answers::default());
    assert!(
        asked.questions.iter().any(|one| matches!(one, Question::DecimalMark { headings, .. } if headings == &["Price (EUR)"])),
        "{:?}",
        asked.questions
    );
}

#[test]
fn a_price_and_a_depth_that_are_typed_with_a_mark_of_thousands_are_asked_about() {
    for (typed, words) in [
        (
            "1.200 EUR",
            "\"1.200 EUR\" can be read in two ways: write 1200, or 1.2 with a point.",
        ),
        (
            "1.234 KWD",
            "\"1.234 KWD\" can be read in two ways: write 1234, or 1.2340 with a point.",
        ),
    ] {
        assert_eq!(Price::read_typed(typed).unwrap_err(), words);
    }
    // What is on record is read as it was kept, and comes back into the form as it can be read there.
    let kept = Price::read("1.234 KWD").unwrap();
    assert_eq!(
        (kept.to_string(), kept.typed()),
        ("1.234 KWD".to_owned(), "1.2340 KWD".to_owned())
    );
    assert_eq!(Price::read_typed(&kept.typed()), Ok(kept));
    let two_ways = EnteredLength::read_planned("1.500 m")
        .unwrap_err()
        .to_string();
    assert_eq!(
        two_ways,
        "\"1.500 m\" can be read in two ways: write 1500, or 1.5 with a point."
    );
    for typed in ["1.5 m", "59.125 m", "0.500 m"] {
        EnteredLength::read_planned(typed).unwrap();
    }
}

#[test]
fn two_prices_of_one_model_are_asked_about() {
    let text = "mark,kind,maker,model,store,life support,price\n1,connector,F,D,B,yes,10 EUR\n2,connector,F,D,B,yes,11 EUR\n";
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &Answers::default());
    assert_eq!(rehearsal.errors, []);
    let [Question::Differs { field, said, .. }] = rehearsal.questions.as_slice() else {
        panic!("{:?}", rehearsal.questions);
    };
    assert_eq!(*field, Field::Price);
    let said: Vec<&str> = said.iter().map(|(price, _)| price.as_str()).collect();
    assert_eq!(said, ["10.00 EUR", "11.00 EUR"]);
}

on_both_databases! {
    async fn the_register_gives_the_price_of_each_model_away(world) {
        let given = one_rope(&world).await;
        let csv = given.officer.get("/items.csv").await;
        assert_eq!(csv.status, StatusCode::OK, "{}", csv.text);
        // Behind the columns of the register stand the key of each row and the end of the file.
        assert!(csv.text.lines().next().unwrap().ends_with(",price,next_due_by,next_due_recorded,key,end"), "{}", csv.text);
    }
}
