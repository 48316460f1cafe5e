//! Application identifiers: the numbers that say what stands in a GS1 element string.
//!
//! Numbers, titles and formats are those of the GS1 General Specifications, section "GS1 Application Identifiers"
//! (from memory). One that is not in the list is refused, since where its value ends is not known.

use Part::{Checked, Day, Digits, Key, Some39, Some82, SomeDigits};

use super::{Fault, check_digit::check_digit};

/// A part of a value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Part {
    /// So many digits.
    Digits(usize),
    /// So many digits, the last of which checks the others.
    Checked(usize),
    /// A year, a month and a day of two digits each.
    Day,
    /// From so many to so many digits.
    SomeDigits(usize, usize),
    /// From so many to so many characters of the 82 that are allowed.
    Some82(usize, usize),
    /// From so many to so many of the 39 that are allowed in part numbers.
    Some39(usize, usize),
    /// At least four digits, then more of the 82, to so many altogether: a key that begins with a company's number.
    Key(usize),
}

/// An application identifier.
#[derive(Debug)]
pub(super) struct Identifier {
    /// The beginnings of its number, blanks between; a point stands for any digit.
    numbers: &'static str,
    /// What it says.
    pub title: &'static str,
    parts: &'static [Part],
}

const fn is(numbers: &'static str, title: &'static str, parts: &'static [Part]) -> Identifier {
    Identifier {
        numbers,
        title,
        parts,
    }
}

/// Every identifier that can be read.
static ALL: &[Identifier] = &[
    is("00", "Shipping container (SSCC)", &[Checked(18)]),
    is("01", "Product (GTIN)", &[Checked(14)]),
    is("02", "Product contained (GTIN)", &[Checked(14)]),
    is("03", "Product made to order (GTIN)", &[Checked(14)]),
    is("10", "Lot", &[Some82(1, 20)]),
    is("11", "Made", &[Day]),
    is("12", "Payment due", &[Day]),
    is("13", "Packed", &[Day]),
    is("15", "Best before", &[Day]),
    is("16", "Sell by", &[Day]),
    is("17", "Expires", &[Day]),
    is("20", "Variant", &[Digits(2)]),
    is("21", "Serial", &[Some82(1, 20)]),
    is("22", "Consumer product variant", &[Some82(1, 20)]),
    is("235", "Third-party serial", &[Some82(1, 28)]),
    is("240", "Further product identification", &[Some82(1, 30)]),
    is("241", "Customer's part number", &[Some82(1, 30)]),
    is("242", "Made-to-order variant", &[SomeDigits(1, 6)]),
    is("243", "Packaging component", &[Some82(1, 20)]),
    is("250", "Secondary serial", &[Some82(1, 30)]),
    is("251", "Serial of the source", &[Some82(1, 30)]),
    is("253", "Document type (GDTI)", &[Checked(13), Some82(0, 17)]),
    is("254", "Extension of a location", &[Some82(1, 20)]),
    is("255", "Coupon (GCN)", &[Checked(13), SomeDigits(0, 12)]),
    is("30 37", "Count", &[SomeDigits(1, 8)]),
    is("31.. 32.. 33.. 34.. 35.. 36..", "Measure", &[Digits(6)]),
    is("390. 392.", "Amount", &[SomeDigits(1, 15)]),
    is(
        "391. 393.",
        "Amount with currency",
        &[Digits(3), SomeDigits(1, 15)],
    ),
    is("394.", "Percentage off", &[Digits(4)]),
    is("395.", "Price by measure", &[Digits(6)]),
    is("400", "Customer's order", &[Some82(1, 30)]),
    is("401", "Consignment", &[Key(30)]),
    is("402", "Shipment", &[Checked(17)]),
    is("403", "Routing code", &[Some82(1, 30)]),
    is(
        "410 411 412 413 414 415 416 417",
        "Party or location (GLN)",
        &[Checked(13)],
    ),
    is("420", "Postal code", &[Some82(1, 20)]),
    is("421", "Country and postal code", &[Digits(3), Some82(1, 9)]),
    is("422 424 426", "Country", &[Digits(3)]),
    is("423 425", "Countries", &[Digits(3), SomeDigits(0, 12)]),
    is("427", "Subdivision of the origin", &[Some82(1, 3)]),
    is("7001", "NATO stock number", &[Digits(13)]),
    is("7002", "Meat cut", &[Some82(1, 30)]),
    is("7003", "Expires at", &[Day, Digits(4)]),
    is("7004", "Active potency", &[SomeDigits(1, 4)]),
    is("7005", "Catch area", &[Some82(1, 12)]),
    is("7006", "First frozen", &[Day]),
    is("7007", "Harvested", &[Day, SomeDigits(0, 6)]),
    is("7008", "Species", &[Some82(1, 3)]),
    is("7009", "Fishing gear", &[Some82(1, 10)]),
    is("7010", "Production method", &[Some82(1, 2)]),
    is("7020 7021 7022", "Refurbishment", &[Some82(1, 20)]),
    is("7023", "Assembly (GIAI)", &[Key(30)]),
    is("703.", "Processor", &[Digits(3), Some82(1, 27)]),
    is(
        "710 711 712 713 714 715 716",
        "Reimbursement number",
        &[Some82(1, 20)],
    ),
    is("723.", "Certification", &[Some82(3, 30)]),
    is("7240", "Protocol", &[Some82(1, 20)]),
    is("8001", "Roll dimensions", &[Digits(14)]),
    is("8002", "Mobile telephone", &[Some82(1, 20)]),
    is(
        "8003",
        "Returnable asset (GRAI)",
        &[Digits(1), Checked(13), Some82(0, 16)],
    ),
    is("8004", "Individual asset (GIAI)", &[Key(30)]),
    is("8005", "Price per unit", &[Digits(6)]),
    is(
        "8006 8026",
        "Piece of a product (ITIP)",
        &[Checked(14), Digits(4)],
    ),
    is("8007", "Bank account", &[Some82(1, 34)]),
    is("8008", "Made at", &[Day, SomeDigits(2, 6)]),
    is("8009", "Sensor", &[Some82(1, 50)]),
    is("8010", "Component (CPID)", &[Some39(1, 30)]),
    is("8011", "Serial of the component", &[SomeDigits(1, 12)]),
    is("8012", "Software version", &[Some82(1, 20)]),
    is("8013", "Model number (GMN)", &[Key(25)]),
    is("8017 8018", "Service relation (GSRN)", &[Checked(18)]),
    is("8019", "Service instance", &[SomeDigits(1, 10)]),
    is("8020", "Payment slip", &[Some82(1, 25)]),
    is("8110 8112", "Coupon", &[Some82(1, 70)]),
    is("8111", "Points", &[Digits(4)]),
    is("8200", "Address for the consumer", &[Some82(1, 70)]),
    is("90", "Agreed between partners", &[Some82(1, 30)]),
    is(
        "91 92 93 94 95 96 97 98 99",
        "Within the company",
        &[Some82(1, 90)],
    ),
];

/// What an element string that has no end of its own begins with: GS1 General Specifications, table "Element strings
/// with predefined length" (from memory).
const PREDEFINED: [&str; 22] = [
    "00", "01", "02", "03", "04", "11", "12", "13", "14", "15", "16", "17", "18", "19", "20", "31",
    "32", "33", "34", "35", "36", "41",
];

impl Identifier {
    /// The identifier with this number.
    pub(super) fn of(number: &str) -> Option<&'static Self> {
        let fits = |pattern: &str| {
            pattern.len() == number.len()
                && pattern
                    .bytes()
                    .zip(number.bytes())
                    .all(|(p, n)| p == n || (p == b'.' && n.is_ascii_digit()))
        };
        let mut all = ALL.iter();
        all.find(|one| one.numbers.split(' ').any(fits))
    }

    /// The number that a text begins with, and its identifier.
    pub(super) fn at(text: &str) -> Option<(&str, &'static Self)> {
        (2..=4).find_map(|length| {
            let number = text.get(..length)?;
            Some((number, Self::of(number)?))
        })
    }

    /// How many characters its value has where it needs no separator behind it.
    pub(super) fn predefined(&self, number: &str) -> Option<usize> {
        let known = PREDEFINED.iter().any(|prefix| number.starts_with(prefix));
        known.then(|| self.parts.iter().map(|part| part.bounds().1).sum())
    }

    /// Refuses a value that is not of its format.
    pub(super) fn check(&self, number: &str, value: &str) -> Result<(), Fault> {
        let (least, most) = self.parts.iter().fold((0, 0), |(least, most), part| {
            let (low, high) = part.bounds();
            (least + low, most + high)
        });
        let title = self.title;
        let number = number.to_owned();
        let given = value.chars().count();
        if !(least..=most).contains(&given) {
            return Err(Fault::Length {
                number,
                title,
                least,
                most,
                given,
            });
        }
        if let Some(c) = value.chars().find(|c| !in_82(*c)) {
            return Err(Fault::Character { number, title, c });
        }
        let mut rest = value;
        for part in self.parts {
            let (part_value, behind) = rest.split_at(part.bounds().1.min(rest.len()));
            part.check(part_value)
                .map_err(|wrong| wrong.at(&number, title, part_value))?;
            rest = behind;
        }
        Ok(())
    }
}

/// What is wrong with a part of a value.
enum Wrong {
    Character(char),
    Digit(char),
    Day,
}

impl Wrong {
    fn at(self, number: &str, title: &'static str, value: &str) -> Fault {
        let (number, value) = (number.to_owned(), value.to_owned());
        match self {
            Self::Character(c) => Fault::Character { number, title, c },
            Self::Digit(wanted) => Fault::CheckDigit {
                number,
                title,
                value,
                wanted,
            },
            Self::Day => Fault::Day {
                number,
                title,
                value,
            },
        }
    }
}

impl Part {
    fn bounds(self) -> (usize, usize) {
        match self {
            Digits(n) | Checked(n) => (n, n),
            Day => (6, 6),
            SomeDigits(low, high) | Some82(low, high) | Some39(low, high) => (low, high),
            Key(high) => (4, high),
        }
    }

    fn check(self, value: &str) -> Result<(), Wrong> {
        let other = |fits: fn(char) -> bool, among: &str| match among.chars().find(|c| !fits(*c)) {
            Some(c) => Err(Wrong::Character(c)),
            None => Ok(()),
        };
        let digits = |among: &str| other(|c| c.is_ascii_digit(), among);
        match self {
            Digits(_) | SomeDigits(..) => digits(value),
            Checked(n) => {
                digits(value)?;
                match check_digit(&value[..n - 1]) {
                    Some(wanted) if !value.ends_with(wanted) => Err(Wrong::Digit(wanted)),
                    _ => Ok(()),
                }
            }
            Day => {
                digits(value)?;
                if is_day(value) {
                    Ok(())
                } else {
                    Err(Wrong::Day)
                }
            }
            Some82(..) => Ok(()),
            Some39(..) => other(
                |c| c.is_ascii_digit() || c.is_ascii_uppercase() || matches!(c, '#' | '-' | '/'),
                value,
            ),
            Key(_) => digits(&value[..4]),
        }
    }
}

/// Whether six digits are a day that there is. A day of 00 is the month without a day. Which century is meant matters to
/// no month: of those that can be, the year that ends in 00 is 2000, a leap year.
fn is_day(value: &str) -> bool {
    let part = |at: usize| value[at..at + 2].parse::<u8>().unwrap_or(u8::MAX);
    let (year, month, day) = (2000 + i32::from(part(0)), part(2), part(4));
    time::Month::try_from(month).is_ok_and(|month| day <= month.length(year))
}

/// The 82 characters that a value may be made of.
fn in_82(c: char) -> bool {
    c.is_ascii_alphanumeric() || "!\"%&'()*+,-./:;<=>?_".contains(c)
}
