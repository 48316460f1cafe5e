//! The models that the rows of a list name, and whether what is said of a model is said of one of them.

use std::collections::BTreeSet;

use super::field::Field;
use super::heading::shortened;
use super::row::ReadRow;
use crate::domain::fold;

/// The models that the rows of a list name, each with its maker, which may be unknown yet.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NamedModels(BTreeSet<(String, String)>);

impl NamedModels {
    pub(super) fn add(&mut self, row: &ReadRow) {
        let name = row.text(Field::Model).trim();
        if !name.is_empty() {
            let maker = row.text(Field::Maker).trim().to_owned();
            self.0.insert((maker, name.to_owned()));
        }
    }

    /// Why what is said of a model is said of none of these; nothing where it is one, or may be once its maker is known.
    pub fn none_is(&self, title: &str) -> Option<String> {
        /// How many models are named.
        const MOST: usize = 8;
        let given = fold(title);
        // A date made may be said of one lot of it.
        let of_lot = given.rsplit_once(", lot ").map(|(model, _)| model);
        let is_it = |(maker, name): &(String, String)| {
            let mut given = [Some(given.as_str()), of_lot].into_iter().flatten();
            given.any(|given| match maker.as_str() {
                "" => given.ends_with(&fold(name)),
                maker => fold(&format!("{maker} {name}")) == given,
            })
        };
        if self.0.iter().any(is_it) {
            return None;
        }
        let titles = self.0.iter();
        let titles = titles.map(|(maker, name)| format!("{maker} {name}").trim().to_owned());
        let mut titles: Vec<String> = titles.collect();
        // What it may be stands first.
        titles.sort_by_key(|one| !fold(one).contains(&given));
        let more = titles.len().saturating_sub(MOST);
        titles.truncate(MOST);
        let titles = titles.iter().map(|one| format!("\"{}\"", shortened(one)));
        let mut there = titles.collect::<Vec<_>>().join(", ");
        if more > 0 {
            there = format!("{there} and {more} more");
        }
        Some(format!(
            "\"{}\" is no model of this list. Write maker and name in one line, as MAKER NAME; the list has {there}.",
            shortened(title)
        ))
    }
}
