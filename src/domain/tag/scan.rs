//! What a scanner gave, and what it says.

use time::{Date, Month};

use super::{
    Fault, OwnCode, TagKind,
    check_digit::checks,
    element::{self, Elements, SEPARATOR, bracketed},
    link,
};
use crate::domain::Made;

/// The most characters that a scanned text may have.
pub const LONGEST_SCAN: usize = 500;

/// What a scanner gave, read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Scan {
    /// The text as it came, without blanks and ends of line around it.
    pub text: String,
    /// What kind of code it is.
    pub kind: TagKind,
    /// What the same thing is called however it is written: brackets or not, element string or web address.
    pub key: String,
    /// What it says, where it is a code of GS1.
    pub elements: Elements,
    /// Why it does not tell one item from another, if it does not.
    pub shared: Option<&'static str>,
    own: Option<OwnCode>,
}

impl Scan {
    /// Reads what a scanner gave.
    ///
    /// A text is taken for an element string if a scanner said so in front of it, if a separator or brackets stand in
    /// it, or if it begins with a product or asset number whose check digit is right. Then everything in it must hold.
    /// Any other text is taken as it is.
    ///
    /// # Errors
    /// The first place of an element string that does not hold.
    pub fn read(text: &str) -> Result<Self, Fault> {
        let text = text.trim_matches(|c: char| c.is_whitespace() && c != SEPARATOR);
        let given = text.chars().count();
        if given > LONGEST_SCAN {
            let most = LONGEST_SCAN;
            return Err(Fault::Long { most, given });
        }
        if text.chars().any(|c| c.is_control() && c != SEPARATOR) {
            return Err(Fault::Control);
        }
        let (said, rest) = symbology(text);
        let plain = separated(rest);
        if plain.trim_matches(SEPARATOR).is_empty() {
            return Err(Fault::Empty);
        }
        if said == Said::Article || said == Said::ShortArticle {
            return Self::article(text, &plain);
        }
        if let Some(elements) = link::read(&plain) {
            return elements.map(|elements| Self::of_elements(text, elements));
        }
        if let Some(code) = own(&plain) {
            return Ok(Self::of_own(text, code));
        }
        if plain.starts_with('(') {
            let elements = element::read_bracketed(&plain)?;
            return Ok(Self::of_elements(text, elements));
        }
        if said == Said::Elements || plain.contains(SEPARATOR) {
            let elements = element::read(&plain)?;
            return Ok(Self::of_elements(text, elements));
        }
        if let Some(elements) = begins_with_key(&plain) {
            return Ok(Self::of_elements(text, elements));
        }
        Ok(Self::of_text(text, &plain))
    }

    /// The number below the bars of a product.
    fn article(text: &str, digits: &str) -> Result<Self, Fault> {
        let elements = element::read(&format!("01{digits:0>14}"))?;
        Ok(Self::of_elements(text, elements))
    }

    fn of_own(text: &str, code: OwnCode) -> Self {
        Self {
            text: text.to_owned(),
            kind: TagKind::Own,
            key: TagKind::Own.key_of(&code.plain()),
            elements: Elements::default(),
            shared: None,
            own: Some(code),
        }
    }

    fn of_elements(text: &str, elements: Elements) -> Self {
        let identity = identity(&elements);
        let shared = identity.is_none().then(|| why_shared(&elements));
        let key = identity.unwrap_or_else(|| elements.bracketed());
        Self {
            text: text.to_owned(),
            kind: TagKind::Gs1,
            key: TagKind::Gs1.key_of(&key),
            elements,
            shared,
            own: None,
        }
    }

    fn of_text(text: &str, plain: &str) -> Self {
        Self {
            text: text.to_owned(),
            kind: TagKind::Text,
            key: TagKind::Text.key_of(plain),
            elements: Elements::default(),
            shared: is_article(plain).then_some(ARTICLE),
            own: OwnCode::read(plain),
        }
    }

    /// The keys under which it may be known, the likeliest first: nine characters that somebody typed without dashes
    /// may be a code of our own, and a text may have been typed in small letters or in large ones.
    pub fn keys(&self) -> Vec<String> {
        let own = self.own.map(|code| TagKind::Own.key_of(&code.plain()));
        let mut keys = vec![self.key.clone()];
        keys.extend(own);
        let text = self.key.strip_prefix(&TagKind::Text.key_of(""));
        let cases = text.map(|text| [text.to_uppercase(), text.to_lowercase()]);
        keys.extend(
            cases
                .into_iter()
                .flatten()
                .map(|text| TagKind::Text.key_of(&text)),
        );
        let mut seen = std::collections::HashSet::new();
        keys.retain(|key| seen.insert(key.clone()));
        keys
    }

    /// What the code is called among people.
    pub fn words(&self) -> String {
        match (self.kind, self.own) {
            (TagKind::Own, Some(code)) => code.to_string(),
            (TagKind::Gs1, _) => self.elements.bracketed(),
            _ => self.text.clone(),
        }
    }

    /// The maker's serial that it says.
    pub fn serial(&self) -> Option<&str> {
        let of = |number| self.elements.get(number);
        of("21").or_else(|| of("8011")).or_else(|| of("8004"))
    }

    /// The lot that it says.
    pub fn lot(&self) -> Option<&str> {
        self.elements.get("10")
    }

    /// The number of the product, if it says one.
    pub fn product(&self) -> Option<&str> {
        self.elements.get("01")
    }

    /// When it says that the thing was made. Of a year it gives two digits; `today` tells which century is meant.
    pub fn made(&self, today: Date) -> Option<Made> {
        let given = self.elements.get("11");
        let given = given.or_else(|| self.elements.get("8008"))?;
        let year = year(given.get(..2)?.parse().ok()?, today.year());
        let month = Month::try_from(given.get(2..4)?.parse::<u8>().ok()?).ok()?;
        match given.get(4..6)?.parse().ok()? {
            0 => Some(Made::Month(year, month)),
            day => Date::from_calendar_date(year, month, day)
                .ok()
                .map(Made::Day),
        }
    }
}

/// Why the number of a product is no tag of an item.
const ARTICLE: &str = "This is a number as it stands below the bars of a product, and every piece of it has the same. If it is \
                       this item's own, write it as its serial: it is found by that too.";

/// Whether a text is the number below the bars of a product, which many scanners send with nothing in front: 8, 12, 13 or
/// 14 digits, the last of them the right check digit.
fn is_article(text: &str) -> bool {
    let is_long = matches!(text.len(), 8 | 12 | 13 | 14);
    is_long && text.bytes().all(|byte| byte.is_ascii_digit()) && checks(text)
}

/// What a scanner says in front: which code it read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Said {
    Nothing,
    Elements,
    Article,
    ShortArticle,
}

/// The symbology identifier of ISO/IEC 15424 in front of a text, and the rest. Those of GS1's own codes are `]C1`
/// (bars), `]e0` (`DataBar`), `]d2` (Data Matrix), `]Q3` (QR), `]J1` (`DotCode`); `]E0` and `]E4` are the numbers
/// below the bars of a product (from memory: GS1 General Specifications, section "Symbology identifiers").
fn symbology(text: &str) -> (Said, &str) {
    let Some(rest) = text.strip_prefix(']') else {
        return (Said::Nothing, text);
    };
    let mut chars = rest.chars();
    let (Some(code), Some(modifier)) = (chars.next(), chars.next()) else {
        return (Said::Nothing, text);
    };
    if !code.is_ascii_alphabetic() || !modifier.is_ascii_alphanumeric() {
        return (Said::Nothing, text);
    }
    let said = match (code, modifier) {
        ('C' | 'J', '1') | ('e', '0') | ('d', '2') | ('Q', '3') => Said::Elements,
        ('E', '0') => Said::Article,
        ('E', '4') => Said::ShortArticle,
        _ => Said::Nothing,
    };
    (said, chars.as_str())
}

/// The text with real separators, where a keyboard could not type them and the scanner was set to send signs instead.
fn separated(text: &str) -> String {
    let mut text = text.to_owned();
    for sign in ["\u{241d}", "{GS}", "<GS>", "[GS]"] {
        text = text.replace(sign, "\u{1d}");
    }
    // In written examples ^ stands for FNC1; no value of GS1 may hold it.
    if text.starts_with('^') {
        text = text.replace('^', "\u{1d}");
    }
    text
}

/// A code of our own: behind `/t/` in a web address, or in groups of three.
fn own(text: &str) -> Option<OwnCode> {
    if let Some((_, path)) = text.split_once("://") {
        let (_, code) = path.trim_end_matches('/').rsplit_once("/t/")?;
        return OwnCode::read(code);
    }
    let groups: Vec<&str> = text.split('-').collect();
    let in_groups = groups.len() == 3 && groups.iter().all(|group| group.chars().count() == 3);
    in_groups.then(|| OwnCode::read(text)).flatten()
}

/// The elements of a text of which nobody said that it is an element string: it begins with a number whose check digit
/// is right, and all of it can be read.
fn begins_with_key(text: &str) -> Option<Elements> {
    let digits = text.get(2..16).filter(|_| text.starts_with("01"));
    let digits = digits.or_else(|| text.get(4..18).filter(|_| text.starts_with("8003")))?;
    let is_key = digits.bytes().all(|byte| byte.is_ascii_digit()) && checks(digits);
    is_key.then(|| element::read(text).ok()).flatten()
}

/// What names one thing and no other, always written alike; nothing if no element does.
fn identity(elements: &Elements) -> Option<String> {
    let of = |number| Some(bracketed(number, elements.get(number)?));
    let pair = |key, serial| Some(of(key)? + &of(serial)?);
    // Behind the fourteen digits of a returnable asset's type stands the serial, if there is one.
    let asset = elements.get("8003").filter(|value| value.len() > 14);
    pair("01", "21")
        .or_else(|| pair("8006", "21"))
        .or_else(|| pair("8010", "8011"))
        .or_else(|| asset.map(|value| bracketed("8003", value)))
        .or_else(|| of("8004"))
}

fn why_shared(elements: &Elements) -> &'static str {
    let has = |number| elements.get(number).is_some();
    if has("10") {
        "This code names a lot, and every piece of the lot has the same."
    } else if has("01") || has("8003") || has("8010") {
        "This code names a product without a serial, and every piece of it has the same."
    } else {
        "This code holds nothing that tells one piece from another."
    }
}

/// The year that two digits mean: not more than 50 years ahead of this one, and less than 50 behind it. GS1 General
/// Specifications, section "Determination of century in dates" (from memory).
fn year(two: i32, now: i32) -> i32 {
    let century = now - now.rem_euclid(100);
    match two - now.rem_euclid(100) {
        51..=99 => century - 100 + two,
        -99..=-50 => century + 100 + two,
        _ => century + two,
    }
}
