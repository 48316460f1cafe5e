//! What one of a model costs: an amount and its currency, in the cell or in the heading; never a guess.

use super::cell::{Place, Reading, Stop};
use super::heading::shortened;
use super::quantity;
use super::synonym::plain_words;
use super::table::Cell;
use crate::domain::Price;

/// Currencies as ISO 4217 writes them (from memory), so far as a heading may name one: there, three letters alone may be
/// a word. A cell may name any.
const CURRENCIES: &str = "AUD BGN BRL CAD CHF CLP CNY CZK DKK EUR GBP HKD HUF ILS INR ISK JPY KRW MXN MYR NOK NZD PEN \
                          PLN RON RSD SEK SGD THB TRY TWD UAH USD ZAR";

/// Signs that stand for one currency alone. The dollar sign stands for many and is none of them.
const SIGNS: [(char, &str); 2] = [('€', "EUR"), ('£', "GBP")];

/// The currency of a word behind the name of a column, in lower case.
pub(super) fn currency_of_word(word: &str) -> Option<&'static str> {
    let mut all = CURRENCIES.split_ascii_whitespace();
    all.find(|one| one.eq_ignore_ascii_case(word))
}

/// The currency that a heading names.
fn in_heading(heading: &str) -> Option<&'static str> {
    let sign = SIGNS.iter().find(|(sign, _)| heading.contains(*sign));
    if let Some((_, currency)) = sign {
        return Some(currency);
    }
    let words = plain_words(heading);
    words.split(' ').find_map(currency_of_word)
}

/// The text with its currency behind it: "€ 129,90" and "EUR 129,90" are "129,90 EUR".
fn turned(text: &str) -> String {
    let mut text = text.trim().to_owned();
    for (sign, currency) in SIGNS {
        text = text.replace(sign, &format!(" {currency} "));
    }
    let text = text.trim();
    let end = text.find(|c: char| !c.is_ascii_alphabetic());
    let (front, rest) = text.split_at(end.unwrap_or(0));
    if front.len() == 3 {
        format!("{} {front}", rest.trim())
    } else {
        text.to_owned()
    }
}

/// Reads a cell.
pub(super) fn read(cell: &Cell, place: Place<'_>) -> Result<Reading, Stop> {
    let wrong = |code, message| Err(Stop::Wrong(code, message));
    let text = turned(&cell.shown());
    let amount = quantity::amount(&text, cell, place.sense);
    let (value, rest) = match amount {
        Err(Stop::Wrong("number", message)) if super::number::split(&text).is_some() => {
            return wrong("number", message);
        }
        Err(Stop::Wrong(..)) => {
            let given = shortened(&cell.shown());
            let message =
                format!("Write the amount and the currency, such as 129.90 EUR, not \"{given}\".");
            return wrong("number", message);
        }
        other => other?,
    };
    let currency = match (rest.as_str(), in_heading(&place.column.heading)) {
        ("", Some(currency)) => currency,
        ("", None) => {
            let message = format!(
                "Write the currency as its three letters behind \"{}\", such as 129.90 EUR, or in the heading, such as \
                 Price (EUR).",
                shortened(&cell.shown())
            );
            return wrong("unit", message);
        }
        (said, _) => said,
    };
    match Price::read(&format!("{value} {currency}")) {
        Ok(price) => Ok(Reading::Value(price.typed())),
        Err(message) => wrong("unit", message),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_currency_stands_before_or_behind() {
        for (text, turned_to) in [
            ("129,90 EUR", "129,90 EUR"),
            ("€ 129,90", "129,90 EUR"),
            ("129,90€", "129,90 EUR"),
            ("chf 1'290.00", "1'290.00 chf"),
            ("£12", "12 GBP"),
            ("$ 12", "$ 12"),
            ("", ""),
            ("abc", "abc"),
        ] {
            assert_eq!(turned(text), turned_to, "{text}");
        }
    }

    #[test]
    fn a_heading_names_a_currency_or_none() {
        for (heading, currency) in [
            ("Price (EUR)", Some("EUR")),
            ("price in chf", Some("CHF")),
            ("List price €", Some("EUR")),
            ("Price per pcs", None),
            ("Price ($)", None),
        ] {
            assert_eq!(in_heading(heading), currency, "{heading}");
        }
    }
}
