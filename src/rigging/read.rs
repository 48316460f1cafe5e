//! Reads a sheet into a rig: every name found, every use counted, every angle inside its limits.
//!
//! Everything that is wrong with an entry by itself is noted at once. How the entries go together is
//! looked at only where all of them hold, and the first thing that is wrong with that is told.

mod legs;
mod rope;
mod uses;

use std::collections::BTreeSet;

use super::fault::{Faults, Mark, Notes, Place};
use super::idle;
use super::reeving::Reeving;
use super::rig::ITEM_KINDS;
use super::sheet::{
    ChainSheet, MOST_MET, PositionSheet, Sheet, count_is_good, few_enough, key_is_good,
    text_is_good, within,
};
use super::{Angle, Body, BodyKind, Position, Rig, RigError};
use super::{Carried, Chain};
use legs::{read_bridle, read_line, read_tripod};
use rope::read_rope;
use uses::{note_needs, uses_are_good};

/// Reads and checks a sheet of TOML.
pub(super) fn read_toml(text: &str) -> Result<Rig, Faults> {
    read(Sheet::from_toml(text)?).map_err(|faults| faults.marked(text))
}

impl Sheet {
    /// Reads a sheet of TOML, without looking whether it is a rig.
    ///
    /// # Errors
    ///
    /// Where reading stopped, and why.
    pub fn from_toml(text: &str) -> Result<Self, Faults> {
        toml::from_str(text).map_err(|error| {
            let mark = error.span().map(|span| Mark::of(text, span.start));
            Faults::unreadable(error.message(), mark)
        })
    }
}

/// Checks a sheet.
pub(super) fn read(sheet: Sheet) -> Result<Rig, Faults> {
    let mut notes = Notes::default();
    let mut rig = blank(&sheet);
    whole(&sheet, &mut notes);
    lists(&sheet, &mut notes);
    rig.bodies = bodies(&sheet, &mut notes);
    rig.positions = positions(&rig, &sheet.positions, &mut notes);
    // What follows names bodies and positions that hold or are noted already.
    let ropes = sheet.ropes.iter().enumerate();
    rig.ropes = ropes
        .filter_map(|(index, rope)| read_rope(&rig, index, rope, &mut notes))
        .collect();
    let chains = sheet.chains.iter().enumerate();
    rig.chains = chains
        .filter_map(|(index, chain)| read_chain(&rig, index, chain, &mut notes))
        .collect();
    for (index, bridle) in sheet.bridles.iter().enumerate() {
        let bridle = read_bridle(&rig, index, bridle, &mut notes);
        rig.bridles.extend(bridle);
    }
    for (index, line) in sheet.lines.iter().enumerate() {
        let line = read_line(&rig, index, line, &mut notes);
        rig.bridles.extend(line);
    }
    notes.done()?;
    tripods(&mut rig, &sheet)?;
    note_needs(&mut rig)?;
    together(&mut rig).map_err(|error| Faults::of_rig(&rig, error))?;
    Ok(rig)
}

/// What follows from all entries together.
fn together(rig: &mut Rig) -> Result<(), RigError> {
    let loads = rig.bodies.iter();
    let loads = loads.filter(|body| body.kind == BodyKind::Load);
    match loads.count() {
        1 => {}
        count => return Err(RigError::Loads { count }),
    }
    uses_are_good(rig)?;
    rig.reeve()?;
    idle::answers(rig)
}

/// A rig with what stands in the sheet as a whole and nothing in it yet.
fn blank(sheet: &Sheet) -> Rig {
    Rig {
        key: sheet.key.clone(),
        title: sheet.title.clone(),
        when: sheet.when.clone(),
        limits: sheet.limits.clone(),
        only_lowers: sheet.only_lowers,
        bodies: Vec::new(),
        positions: Vec::new(),
        ropes: Vec::new(),
        chains: Vec::new(),
        bridles: Vec::new(),
        tripods: Vec::new(),
        reeving: Reeving::default(),
        hauled: None,
    }
}

fn whole(sheet: &Sheet, notes: &mut Notes) {
    notes.keep(Place::whole("key"), key_is_good("the rig", &sheet.key));
    let title = text_is_good("the title of the rig", &sheet.title);
    notes.keep(Place::whole("title"), title);
    let when = text_is_good("the sentence on when the rig is used", &sheet.when);
    notes.keep(Place::whole("when"), when);
    for (index, limit) in sheet.limits.iter().enumerate() {
        let good = text_is_good(&format!("limit {} of the rig", index + 1), limit);
        notes.keep(Place::entry("limits", index), good);
    }
}

fn lists(sheet: &Sheet, notes: &mut Notes) {
    let must = [
        ("body", "the list of bodies", sheet.bodies.len()),
        ("position", "the list of positions", sheet.positions.len()),
        ("rope", "the list of ropes", sheet.ropes.len()),
    ];
    for (list, words, count) in must {
        notes.keep(Place::whole(list), count_is_good(words, count));
    }
    let may = [
        ("limits", "the list of limits", sheet.limits.len()),
        ("chain", "the list of chains", sheet.chains.len()),
        ("bridle", "the list of bridles", sheet.bridles.len()),
        ("line", "the list of lines", sheet.lines.len()),
        ("tripod", "the list of tripods", sheet.tripods.len()),
    ];
    for (list, words, count) in may {
        notes.keep(Place::whole(list), few_enough(words, count));
    }
    let met = sheet.ropes.iter().map(|rope| rope.path.len()).sum();
    let met = within("what all ropes meet together", met, 0..=MOST_MET);
    notes.keep(Place::whole("rope"), met);
}

fn bodies(sheet: &Sheet, notes: &mut Notes) -> Vec<Body> {
    let mut seen = BTreeSet::new();
    let bodies = sheet.bodies.iter().enumerate();
    bodies
        .map(|(index, body)| {
            let at = Place::entry("body", index);
            let words = format!("body {}", body.key);
            let key = key_is_new("a body", &body.key, &mut seen);
            notes.keep(at.field("key"), key);
            let title = text_is_good(&format!("the title of {words}"), &body.title);
            notes.keep(at.field("title"), title);
            let line = line_is_good(words, body.kind, body.line_degrees);
            Body {
                key: body.key.clone(),
                title: body.title.clone(),
                kind: body.kind,
                line: notes
                    .keep(at.field("line_degrees"), line)
                    .unwrap_or(Angle::NONE),
            }
        })
        .collect()
}

/// A key that is good and that no other entry of the list has.
fn key_is_new<'a>(place: &str, key: &'a str, seen: &mut BTreeSet<&'a str>) -> Result<(), RigError> {
    key_is_good(place, key)?;
    if seen.insert(key) {
        return Ok(());
    }
    Err(RigError::Twice {
        place: place.to_owned(),
        key: key.to_owned(),
    })
}

/// Only a travelling body may move along another line than the load.
fn line_is_good(place: String, kind: BodyKind, line: Option<Angle>) -> Result<Angle, RigError> {
    match line {
        Some(_) if kind != BodyKind::Travelling => Err(RigError::Shape {
            place,
            why: "only a travelling body has a line of its own; the load pulls straight down.",
        }),
        Some(angle) if angle.degrees() >= 360.0 => Err(RigError::Angle {
            place,
            allowed: "at least 0 and below 360",
            angle,
        }),
        _ => Ok(line.unwrap_or(Angle::NONE)),
    }
}

fn positions(rig: &Rig, sheets: &[PositionSheet], notes: &mut Notes) -> Vec<Position> {
    let mut seen = BTreeSet::new();
    let sheets = sheets.iter().enumerate();
    sheets
        .map(|(index, sheet)| {
            let at = Place::entry("position", index);
            let words = format!("position {}", sheet.key);
            let key = key_is_new("a position", &sheet.key, &mut seen);
            notes.keep(at.field("key"), key);
            let title = text_is_good(&format!("the title of {words}"), &sheet.title);
            notes.keep(at.field("title"), title);
            notes.keep(at.field("accepts"), kinds_are_good(&words, &sheet.accepts));
            let body = sheet.body.as_ref().map(|key| {
                let found = body_index(rig, &words, key);
                // A body that is not there is noted; to what follows it is some body.
                notes.keep(at.field("body"), found).unwrap_or_default()
            });
            Position {
                key: sheet.key.clone(),
                title: sheet.title.clone(),
                accepts: sheet.accepts.clone(),
                body,
                sheaves: 0,
                becket: false,
                capture: false,
                optional: sheet.optional,
                loaded: sheet.loaded,
            }
        })
        .collect()
}

fn kinds_are_good(place: &str, kinds: &[String]) -> Result<(), RigError> {
    count_is_good(&format!("the kinds that {place} accepts"), kinds.len())?;
    let stranger = kinds
        .iter()
        .find(|kind| !ITEM_KINDS.contains(&kind.as_str()));
    match stranger {
        None => Ok(()),
        Some(kind) => Err(RigError::Unknown {
            place: place.to_owned(),
            what: "kind of item",
            key: kind.clone(),
        }),
    }
}

fn read_chain(rig: &Rig, index: usize, sheet: &ChainSheet, notes: &mut Notes) -> Option<Chain> {
    let at = Place::entry("chain", index);
    let words = format!("chain {}", index + 1);
    let carries = (&sheet.carries_body, &sheet.carries_position);
    let carries = read_carried(rig, (&words, &at), carries, notes);
    let positions = read_row(rig, &words, &sheet.positions);
    Some(Chain {
        positions: notes.keep(at.field("positions"), positions)?,
        carries: carries?,
    })
}

/// What a chain or a bridle carries.
fn read_carried(
    rig: &Rig,
    (words, at): (&str, &Place),
    given: (&Option<String>, &Option<String>),
    notes: &mut Notes,
) -> Option<Carried> {
    match given {
        (Some(body), None) => {
            let body = body_index(rig, words, body);
            notes
                .keep(at.field("carries_body"), body)
                .map(Carried::Body)
        }
        (None, Some(position)) => {
            let position = on_a_body(rig, words, position);
            let position = notes.keep(at.field("carries_position"), position);
            position.map(Carried::Position)
        }
        (body, _) => {
            let field = if body.is_some() {
                "carries_position"
            } else {
                "carries_body"
            };
            let neither = Err(RigError::Shape {
                place: words.to_owned(),
                why: "it carries either one body or the item at one position: name just one.",
            });
            notes.keep(at.field(field), neither)
        }
    }
}

/// Tripods stand at a position of a chain, so they are read when all chains hold.
fn tripods(rig: &mut Rig, sheet: &Sheet) -> Result<(), Faults> {
    let mut notes = Notes::default();
    for (index, tripod) in sheet.tripods.iter().enumerate() {
        let tripod = read_tripod(rig, index, tripod, &mut notes);
        rig.tripods.extend(tripod);
    }
    notes.done()
}

/// Positions in line.
fn read_row(rig: &Rig, place: &str, keys: &[String]) -> Result<Vec<usize>, RigError> {
    count_is_good(&format!("the positions of {place}"), keys.len())?;
    keys.iter()
        .map(|key| position_index(rig, place, key))
        .collect()
}

fn position_index(rig: &Rig, place: &str, key: &str) -> Result<usize, RigError> {
    let found = rig
        .positions
        .iter()
        .position(|position| position.key == key);
    found.ok_or_else(|| RigError::Unknown {
        place: place.to_owned(),
        what: "position",
        key: key.to_owned(),
    })
}

/// A position that a rope meets must say which body it is part of.
fn on_a_body(rig: &Rig, place: &str, key: &str) -> Result<usize, RigError> {
    let index = position_index(rig, place, key)?;
    if rig.positions[index].body.is_some() {
        Ok(index)
    } else {
        Err(RigError::Shape {
            place: format!("{place}, position {key}"),
            why: "a rope meets it, so it must name the body that it is part of.",
        })
    }
}

fn body_index(rig: &Rig, place: &str, key: &str) -> Result<usize, RigError> {
    let found = rig.bodies.iter().position(|body| body.key == key);
    found.ok_or_else(|| RigError::Unknown {
        place: place.to_owned(),
        what: "body",
        key: key.to_owned(),
    })
}
