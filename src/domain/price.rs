//! What one of a model costs to replace: an amount and a currency, as entered. Nothing is converted.

use std::collections::BTreeMap;
use std::fmt;

use serde::{Deserialize, Serialize};

use super::entered::{parted_by_point, split_number};

/// The highest price, in whole units of the currency: more is a slip of the pen.
const MOST: f64 = 10_000_000.0;

/// A price as entered: `129.90 EUR`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Price {
    /// Thousandths of the currency's unit: no currency has a smaller part in use.
    thousandths: u64,
    currency: String,
}

impl TryFrom<String> for Price {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        Self::read(&text)
    }
}

impl From<Price> for String {
    fn from(price: Price) -> Self {
        price.to_string()
    }
}

impl utoipa::PartialSchema for Price {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
        String::schema()
    }
}

impl utoipa::ToSchema for Price {}

/// Three letters, as ISO 4217 writes a currency.
fn currency(text: &str) -> Result<String, String> {
    let text = text.trim();
    if text.len() == 3 && text.chars().all(|c| c.is_ascii_alphabetic()) {
        Ok(text.to_ascii_uppercase())
    } else {
        let given: String = text.chars().take(60).collect();
        Err(format!(
            "Write the currency behind the amount as its three letters, such as 129.90 EUR, not \"{given}\"."
        ))
    }
}

impl Price {
    /// Reads an amount and its currency.
    ///
    /// # Errors
    /// A sentence that says what is wrong and what to write.
    pub fn read(text: &str) -> Result<Self, String> {
        let given = || text.trim().chars().take(60).collect::<String>();
        let (amount, rest) = split_number(text).ok_or_else(|| {
            format!(
                "Write the amount and the currency, such as 129.90 EUR, not \"{}\".",
                given()
            )
        })?;
        let currency = currency(rest)?;
        let thousandths = (amount * 1000.0).round();
        if !(0.0..=MOST).contains(&amount) || amount < 0.001 {
            let given = given();
            return Err(format!(
                "The price must be more than 0 and at most {MOST:.0} {currency}, not \"{given}\"."
            ));
        }
        if (thousandths - amount * 1000.0).abs() > 1e-3 {
            let given = given();
            return Err(format!(
                "Keep to three digits behind the point, not \"{given}\"."
            ));
        }
        // Inside the limits, so its digits are those of a whole number.
        let thousandths = format!("{thousandths:.0}").parse().map_err(|_| given())?;
        Ok(Self {
            thousandths,
            currency,
        })
    }
}

impl Price {
    /// Reads what somebody typed. A point with just three digits behind it may set thousands apart: "1.200 EUR" is asked.
    ///
    /// # Errors
    /// As [`read`](Self::read), and both ways to read it.
    pub fn read_typed(text: &str) -> Result<Self, String> {
        match parted_by_point(text) {
            None => Self::read(text),
            Some(two_ways) => Err(two_ways.to_string()),
        }
    }

    /// The price so that it is read as typed: three digits behind the point have a nought behind them.
    pub fn typed(&self) -> String {
        let nought = if self.thousandths.is_multiple_of(10) {
            ""
        } else {
            "0"
        };
        format!("{}{nought} {}", amount(self.thousandths), self.currency)
    }
}

impl fmt::Display for Price {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", amount(self.thousandths), self.currency)
    }
}

/// An amount with two digits behind the point, or three where the third is none of nought.
fn amount(thousandths: u64) -> String {
    let (whole, rest) = (thousandths / 1000, thousandths % 1000);
    if rest % 10 == 0 {
        format!("{whole}.{:02}", rest / 10)
    } else {
        format!("{whole}.{rest:03}")
    }
}

/// What several items cost together: a sum for each currency, and how many have no price on record.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Bill {
    /// How many items.
    pub items: u32,
    /// How many of them have no price on record.
    pub unpriced: u32,
    /// Thousandths by currency.
    sums: BTreeMap<String, u64>,
}

impl Bill {
    /// Adds so many items at a price.
    pub fn add(&mut self, items: u32, price: Option<&Price>) {
        self.items = self.items.saturating_add(items);
        match price {
            Some(price) => {
                let sum = self.sums.entry(price.currency.clone()).or_default();
                let more = price.thousandths.saturating_mul(items.into());
                *sum = sum.saturating_add(more);
            }
            None => self.unpriced = self.unpriced.saturating_add(items),
        }
    }

    /// Adds another bill.
    pub fn add_all(&mut self, other: &Self) {
        self.items = self.items.saturating_add(other.items);
        self.unpriced = self.unpriced.saturating_add(other.unpriced);
        for (currency, more) in &other.sums {
            let sum = self.sums.entry(currency.clone()).or_default();
            *sum = sum.saturating_add(*more);
        }
    }

    /// The sum in each currency: its letters, and the amount in plain digits.
    pub fn sums(&self) -> impl Iterator<Item = (&str, String)> {
        let sums = self.sums.iter();
        sums.map(|(currency, sum)| (currency.as_str(), amount(*sum)))
    }

    /// The sums in words: "1290.00 EUR and 80.00 USD"; empty where nothing has a price.
    pub fn words(&self) -> String {
        let sums: Vec<String> = self
            .sums()
            .map(|(currency, amount)| format!("{amount} {currency}"))
            .collect();
        sums.join(" and ")
    }
}
