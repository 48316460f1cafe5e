//! GS1 Digital Link: the same elements as a web address.
//!
//! GS1 Digital Link Standard, URI Syntax (from memory): behind the host, and whatever path the owner has, stand a key's
//! application identifier and its value, then its qualifiers in the same way; further elements stand in the query,
//! each under its number. What else is in the query is the owner's own.

use super::{Fault, element::Elements, identifier::Identifier};

/// The keys that an address may begin with, and what may stand behind each in the path.
const KEYS: [(&str, &[&str]); 14] = [
    ("00", &[]),
    ("01", &["22", "10", "21", "235"]),
    ("253", &[]),
    ("255", &[]),
    ("401", &[]),
    ("402", &[]),
    ("414", &["254", "7040"]),
    ("417", &["7040"]),
    ("8003", &[]),
    ("8004", &["7040"]),
    ("8006", &["22", "10", "21"]),
    ("8010", &["8011"]),
    ("8013", &[]),
    ("8017", &["8019"]),
];

/// Reads a web address; nothing if it is not such a link.
///
/// # Errors
/// Where it is one, and a value in it does not hold.
pub(super) fn read(address: &str) -> Option<Result<Elements, Fault>> {
    let address = address.split('#').next()?;
    let (path, query) = address.split_once('?').unwrap_or((address, ""));
    let (_, path) = path.split_once("://")?.1.split_once('/')?;
    let segments: Vec<&str> = path.trim_end_matches('/').split('/').collect();
    // The owner's own path may hold anything, so the key is looked for from the left: the first that leaves pairs.
    let begin = (0..segments.len()).find(|at| fits(&segments[*at..]))?;
    Some(elements(&segments[begin..], query))
}

/// Whether these segments are a key, its value, and qualifiers of that key with theirs.
fn fits(segments: &[&str]) -> bool {
    let key = KEYS.iter().find(|(key, _)| *key == segments[0]);
    let Some((_, qualifiers)) = key else {
        return false;
    };
    segments.len().is_multiple_of(2)
        && segments[1]
            .bytes()
            .take(4)
            .filter(u8::is_ascii_digit)
            .count()
            == 4
        && segments[2..]
            .chunks(2)
            .all(|pair| qualifiers.contains(&pair[0]))
}

fn elements(segments: &[&str], query: &str) -> Result<Elements, Fault> {
    let mut elements = Elements::default();
    for pair in segments.chunks(2) {
        add(&mut elements, pair[0], pair[1])?;
    }
    for part in query.split(['&', ';']) {
        let (number, value) = part.split_once('=').unwrap_or((part, ""));
        if Identifier::of(number).is_some() {
            add(&mut elements, number, value)?;
        }
    }
    Ok(elements)
}

fn add(elements: &mut Elements, number: &str, value: &str) -> Result<(), Fault> {
    let identifier = Identifier::of(number).ok_or_else(|| Fault::unknown(number))?;
    let mut value = decoded(value).ok_or_else(|| Fault::Escape(value.to_owned()))?;
    // A GTIN may stand there in the length that is printed below the bars.
    if number == "01" && matches!(value.len(), 8 | 12 | 13) {
        value = format!("{value:0>14}");
    }
    elements.add(number, identifier, &value)
}

/// The text behind percent signs; nothing if they are not followed by two digits each or do not make a text.
fn decoded(text: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text.bytes();
    while let Some(byte) = rest.next() {
        if byte == b'%' {
            let digit = |byte: Option<u8>| char::from(byte?).to_digit(16);
            let (high, low) = (digit(rest.next())?, digit(rest.next())?);
            bytes.push(u8::try_from(high * 16 + low).ok()?);
        } else {
            bytes.push(byte);
        }
    }
    String::from_utf8(bytes).ok()
}
