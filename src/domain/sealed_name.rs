//! Names of people, kept apart from the ledger's bytes.
//!
//! Where a name stands in a change, the ledger's entry holds a *seal*: SHA-256 of a random salt of 32 bytes and the
//! name's UTF-8. Salt and name stand apart. Whoever has them can check the seal; without them it says nothing. So a
//! name can be removed on lawful request, and every leaf and every root stays what it was.
//!
//! One name of a team has one seal, so that what one person did still belongs together when the name is gone. Names
//! that somebody wrote into a note, a finding or a reason are part of that text and stay in it.

use std::borrow::Cow;

use serde::de::DeserializeOwned;
use serde_json::{Value, json};
use sha2::{Digest, Sha256};

use super::ledger::{Entry, Hash, Sealed};

/// A step on the way to a name: the key of a field, or [`EACH`] for every element of a list.
type Place = &'static [&'static str];
const EACH: &str = "*";

const PERSON: &[Place] = &[&["name"], &["sign_in"]];
const FUNCTION_CHECK: &[Place] = &[&["by", "name"], &["on_device_of", "name"]];
const SIGNER: &[Place] = &[&["by", "name"]];
const ISSUE: &[Place] = &[&["by", "name"], &["to", "name"]];
const EXAMINATION: &[Place] = &[&["examiner"]];
/// An address names a person as well as a name does.
const QUALIFICATION: &[Place] = &[&["holder", "outside", "name"], &["address"]];
const ADDRESS: &[Place] = &[&["address"]];
const GUEST: &[Place] = &[&["name"]];
const ROUND: &[Place] = &[&["examiner"]];
const REFUSALS: &[Place] = &[&["refusals", EACH, "who"]];
const CREW_PLAN: &[Place] = &[&["duties", EACH, "people", EACH, "name"]];

/// Where names stand in a record, by the kind of the change that wrote it.
pub fn places(kind: &str) -> &'static [Place] {
    match kind {
        "person-added" | "person-revised" => PERSON,
        "qualification-recorded" => QUALIFICATION,
        "qualification-addressed" => ADDRESS,
        "examination-recorded" => EXAMINATION,
        "kit-issued" => ISSUE,
        "function-check-signed" => FUNCTION_CHECK,
        "kit-returned" => SIGNER,
        "crew-planned" => CREW_PLAN,
        "round-planned" => ROUND,
        "item-refused" => REFUSALS,
        "guest-link-made" | "guest-link-withdrawn" | "guest-reads-counted" => GUEST,
        _ => &[],
    }
}

/// A name that stands apart, and what its seal is made of.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct SealedName {
    /// The seal.
    pub seal: Hash,
    /// What is hashed before the name.
    pub salt: [u8; 32],
    /// The name.
    pub name: String,
}

impl SealedName {
    /// Seals a name; the salt has to be random and used for this name alone.
    pub fn new(salt: [u8; 32], name: &str) -> Self {
        let name = name.to_owned();
        let seal = seal(&salt, &name);
        Self { seal, salt, name }
    }

    /// Whether the seal is that of salt and name.
    pub fn holds(&self) -> bool {
        self.seal == seal(&self.salt, &self.name)
    }
}

fn seal(salt: &[u8; 32], name: &str) -> Hash {
    let hash = Sha256::new().chain_update(salt).chain_update(name);
    hash.finalize().into()
}

/// What stands where a name was removed.
pub fn removed_name(seal: &Hash) -> String {
    format!("Removed name {}", hex::encode(&seal[..4]))
}

/// Calls `change` with every name in a record that was written by a change of this kind.
pub fn each_name(kind: &str, record: &mut Value, change: &mut dyn FnMut(&mut Value)) {
    for place in places(kind) {
        follow(record, place, change);
    }
}

fn follow(value: &mut Value, place: &[&str], change: &mut dyn FnMut(&mut Value)) {
    match (place, value) {
        ([], value) => change(value),
        ([EACH, rest @ ..], Value::Array(all)) => {
            for one in all {
                follow(one, rest, change);
            }
        }
        ([key, rest @ ..], Value::Object(fields)) => {
            if let Some(field) = fields.get_mut(*key) {
                follow(field, rest, change);
            }
        }
        // A record of another shape has no name there: a qualification of a person of the team, for one.
        _ => (),
    }
}

/// The names that stand in an entry's JSON where seals are put.
pub fn names_in(kind: &str, entry: &mut Value) -> Vec<String> {
    let mut names = Vec::new();
    each_name(kind, &mut entry["change"]["of"], &mut |place| {
        names.extend(place.as_str().map(str::to_owned));
    });
    names
}

/// Puts seals in the place of the names of an entry's JSON.
pub fn seal_names(kind: &str, entry: &mut Value, seal_of: &mut dyn FnMut(&str) -> Hash) {
    each_name(kind, &mut entry["change"]["of"], &mut |place| {
        if let Value::String(name) = place {
            *place = json!({ "sealed-name": hex::encode(seal_of(name)) });
        }
    });
}

/// An entry's JSON with names in the place of its seals: those that are given, and for each other one
/// [`removed_name`]. A name that stands there as it is, as in entries of before names were sealed, stays.
pub fn open_names<'a>(payload: &'a str, names: &[SealedName]) -> Cow<'a, str> {
    let mut opened = String::new();
    let mut copied = 0;
    for (from, seal) in sealed_places(payload) {
        let known = names.iter().find(|name| name.seal == seal);
        let name = known.map_or_else(|| removed_name(&seal), |known| known.name.clone());
        opened.push_str(&payload[copied..from]);
        opened.push_str(&Value::String(name).to_string());
        copied = from + OPEN.len() + 2 * seal.len() + CLOSE.len();
    }
    if copied == 0 {
        return Cow::Borrowed(payload);
    }
    opened.push_str(&payload[copied..]);
    Cow::Owned(opened)
}

/// The seals in an entry's JSON, in their order; one that stands there twice comes twice.
pub fn seals(payload: &str) -> impl Iterator<Item = Hash> {
    sealed_places(payload).map(|(_, seal)| seal)
}

/// How the object in a name's place is written in canonical JSON, before and behind the seal. Inside a text there is
/// no bare quotation mark, so that nothing that anybody typed reads like this.
const OPEN: &str = r#"{"sealed-name":""#;
const CLOSE: &str = r#""}"#;

/// Where seals stand, each with the place where its object begins.
fn sealed_places(payload: &str) -> impl Iterator<Item = (usize, Hash)> {
    payload.match_indices(OPEN).filter_map(|(from, open)| {
        let mut seal = Hash::default();
        let rest = &payload[from + open.len()..];
        let (digits, rest) = rest.split_at_checked(2 * seal.len())?;
        hex::decode_to_slice(digits, &mut seal).ok()?;
        rest.starts_with(CLOSE).then_some((from, seal))
    })
}

impl Sealed {
    /// The entry behind the bytes, with the names that are there.
    ///
    /// # Errors
    /// If the bytes are no entry.
    pub fn entry<C: DeserializeOwned>(&self) -> Result<Entry<C>, serde_json::Error> {
        serde_json::from_str(&open_names(&self.payload, &self.names))
    }
}
