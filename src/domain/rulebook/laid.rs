//! Lays a sheet over the rulebook that it is based on: what it does not say anew stays as it is.

use super::fault::Faults;
use super::named::{ARREST, CATCH, DEPTH, Named};
use super::read::Sheet;
use super::{Loosened, Rulebook};
use crate::domain::Cited;

/// The rulebook of a sheet; none if something is missing that its base does not have either.
pub(super) fn laid(
    mut sheet: Sheet,
    base: Option<&Rulebook>,
    faults: &mut Faults,
) -> Option<Rulebook> {
    let key = must(sheet.key.take(), "key", faults);
    let title = must(sheet.title.take(), "title", faults);
    let book = match base {
        Some(base) => Some(base.clone()),
        None => alone(&sheet, faults),
    };
    let mut book = book?;
    let drops: Vec<String> = drops(&sheet.looser);
    (book.key, book.title) = (key?, title?);
    book.based_on = sheet.based_on;
    anew(&mut book.covers, sheet.covers);
    anew(&mut book.person, sheet.person);
    anew(&mut book.factor, sheet.factor);
    anew(&mut book.limit, sheet.limit);
    anew(&mut book.identity, sheet.identity);
    if sheet.depth.is_some() || drops.iter().any(|drop| drop == DEPTH) {
        book.depth = sheet.depth;
    }
    if sheet.arrest.is_some() || drops.iter().any(|drop| drop == ARREST) {
        book.arrest = sheet.arrest;
    }
    if sheet.catch.is_some() || drops.iter().any(|drop| drop == CATCH) {
        book.catch = sheet.catch;
    }
    if !sheet.leaves_out.is_empty() {
        book.leaves_out = sheet.leaves_out;
    }
    over(&mut book.intervals, sheet.intervals, &drops);
    over(&mut book.lives, sheet.lives, &drops);
    over(&mut book.looks, sheet.looks, &drops);
    over(&mut book.retentions, sheet.retentions, &drops);
    over(&mut book.kinds, sheet.kinds, &drops);
    over(&mut book.approvals, sheet.approvals, &drops);
    over(&mut book.minimums, sheet.minimums, &drops);
    over(&mut book.further, sheet.further, &drops);
    over(&mut book.bounds, sheet.bounds, &drops);
    over(&mut book.told, sheet.told, &drops);
    book.sources = sources(book.sources, sheet.sources);
    book.looser = sheet.looser;
    Some(book)
}

/// A rulebook that lies over none, its lists still empty.
fn alone(sheet: &Sheet, faults: &mut Faults) -> Option<Rulebook> {
    let covers = must(sheet.covers.clone(), "covers", faults);
    let person = must(sheet.person.clone(), "person", faults);
    let factor = must(sheet.factor.clone(), "factor", faults);
    let limit = must(sheet.limit.clone(), "limit", faults);
    let identity = must(sheet.identity.clone(), "identity", faults);
    Some(Rulebook {
        key: String::new(),
        title: String::new(),
        covers: covers?,
        leaves_out: Vec::new(),
        based_on: None,
        sources: Vec::new(),
        person: person?,
        factor: factor?,
        limit: limit?,
        identity: identity?,
        depth: None,
        arrest: None,
        catch: None,
        intervals: Vec::new(),
        lives: Vec::new(),
        looks: Vec::new(),
        retentions: Vec::new(),
        kinds: Vec::new(),
        approvals: Vec::new(),
        minimums: Vec::new(),
        further: Vec::new(),
        bounds: Vec::new(),
        told: Vec::new(),
        looser: Vec::new(),
    })
}

/// The names of the rules that are taken out.
fn drops(looser: &[Loosened]) -> Vec<String> {
    let drops = looser.iter().filter(|one| one.drop);
    drops.map(|one| one.rule.clone()).collect()
}

/// What must be there; one that is there and could not be read has its fault already.
fn must<T>(own: Option<T>, key: &str, faults: &mut Faults) -> Option<T> {
    if own.is_none() && !faults.knows(key) {
        faults.at(key, "This key is missing: write it.");
    }
    own
}

fn anew<T>(place: &mut T, own: Option<T>) {
    if let Some(own) = own {
        *place = own;
    }
}

/// Puts the sheet's own rules in place of those of the same name, takes out what is dropped, and adds
/// the others.
fn over<T: Named>(rules: &mut Vec<T>, own: Vec<T>, drops: &[String]) {
    rules.retain(|rule| !drops.contains(&rule.name()));
    for rule in own {
        let name = rule.name();
        match rules.iter_mut().find(|other| other.name() == name) {
            Some(other) => *other = rule,
            None => rules.push(rule),
        }
    }
}

/// The sheet's own sources, then those of the base that it does not name.
fn sources(base: Vec<Cited>, own: Vec<Cited>) -> Vec<Cited> {
    let mut all = own;
    for cited in base {
        if !all
            .iter()
            .any(|other| other.source.trim() == cited.source.trim())
        {
            all.push(cited);
        }
    }
    all
}
