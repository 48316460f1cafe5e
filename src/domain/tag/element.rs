//! GS1 element strings, as a scanner sends them and as people read them.

use super::{Fault, identifier::Identifier};

/// The character that ends a value of no set length: what FNC1 becomes in a scanner's message.
pub const SEPARATOR: char = '\u{1d}';

/// One element: what it says, and its value.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, utoipa::ToSchema)]
pub struct Element {
    /// The application identifier.
    pub number: String,
    /// What it stands for.
    pub title: &'static str,
    /// The value.
    pub value: String,
}

/// Elements in the order in which they were given; none twice.
#[derive(Clone, Debug, Default, PartialEq, Eq, serde::Serialize, utoipa::ToSchema)]
#[serde(transparent)]
pub struct Elements(pub Vec<Element>);

impl Elements {
    /// The value behind this application identifier.
    pub fn get(&self, number: &str) -> Option<&str> {
        let mut all = self.0.iter();
        all.find(|element| element.number == number)
            .map(|element| element.value.as_str())
    }

    /// Adds an element. One that says again what was said is passed over.
    ///
    /// # Errors
    /// Where the value is not of its format, or something else was said before.
    pub(super) fn add(
        &mut self,
        number: &str,
        identifier: &'static Identifier,
        value: &str,
    ) -> Result<(), Fault> {
        identifier.check(number, value)?;
        match self.get(number) {
            Some(there) if there == value => Ok(()),
            Some(_) => Err(Fault::Twice {
                number: number.to_owned(),
                title: identifier.title,
            }),
            None => {
                self.0.push(Element {
                    number: number.to_owned(),
                    title: identifier.title,
                    value: value.to_owned(),
                });
                Ok(())
            }
        }
    }

    /// As people read it: `(01)09521234543213(21)A7`.
    pub fn bracketed(&self) -> String {
        let parts = self.0.iter();
        let parts = parts.map(|element| bracketed(&element.number, &element.value));
        parts.collect::<Vec<_>>().concat()
    }
}

/// One element as people read it.
pub(super) fn bracketed(number: &str, value: &str) -> String {
    format!("({number}){value}")
}

/// Reads an element string without brackets, separators where a value has no set length.
///
/// # Errors
/// The first place that does not hold.
pub(super) fn read(text: &str) -> Result<Elements, Fault> {
    let mut elements = Elements::default();
    let mut rest = text.trim_matches(SEPARATOR);
    while !rest.is_empty() {
        let (number, identifier) = Identifier::at(rest).ok_or_else(|| Fault::unknown(rest))?;
        let behind = &rest[number.len()..];
        let end = behind.find(SEPARATOR).unwrap_or(behind.len());
        let end = match identifier.predefined(number) {
            Some(length) if end > length && behind.is_char_boundary(length) => length,
            _ => end,
        };
        elements.add(number, identifier, &behind[..end])?;
        rest = behind[end..].trim_start_matches(SEPARATOR);
    }
    non_empty(elements)
}

/// Reads the form that is printed for people, each number in brackets.
///
/// # Errors
/// The first place that does not hold.
pub(super) fn read_bracketed(text: &str) -> Result<Elements, Fault> {
    let mut elements = Elements::default();
    let mut rest = text;
    while !rest.is_empty() {
        let (number, behind) = bracket(rest).ok_or_else(|| Fault::unknown(rest))?;
        let identifier = Identifier::of(number).ok_or_else(|| Fault::unknown(number))?;
        // A bracket may stand in a value too; only a known number in brackets begins the next.
        let begins = |at: &usize| {
            bracket(&behind[*at..]).is_some_and(|(number, _)| Identifier::of(number).is_some())
        };
        let mut brackets = behind.match_indices('(').map(|(at, _)| at);
        let end = brackets.find(begins).unwrap_or(behind.len());
        elements.add(number, identifier, behind[..end].trim_end())?;
        rest = &behind[end..];
    }
    non_empty(elements)
}

/// The number in brackets that a text begins with, and what follows it.
fn bracket(text: &str) -> Option<(&str, &str)> {
    let (number, behind) = text.strip_prefix('(')?.split_once(')')?;
    let is_number = (2..=4).contains(&number.len()) && number.bytes().all(|b| b.is_ascii_digit());
    is_number.then(|| (number, behind.trim_start()))
}

fn non_empty(elements: Elements) -> Result<Elements, Fault> {
    if elements.0.is_empty() {
        Err(Fault::Empty)
    } else {
        Ok(elements)
    }
}
