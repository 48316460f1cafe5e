//! Answers that are taken over to another list.

use std::collections::BTreeSet;

use super::answer::Answers;
use super::heading;
use super::left_out::WHY_LEFT_OUT;
use super::table::Table;
use crate::domain::fold;

/// The headings of a table, folded and sorted: lists that have the same are answered alike. None where no line of
/// headings can be found.
pub fn headings_of(table: &Table) -> Option<BTreeSet<String>> {
    let (headings, _) = heading::find(table, &Answers::default()).ok()?;
    let columns = headings.columns.iter();
    let columns = columns.filter(|column| column.heading != WHY_LEFT_OUT);
    Some(columns.map(|column| fold(&column.heading)).collect())
}

impl Answers {
    /// What of these answers can be said of another list: what its headings and words are, in which units, and what holds
    /// of its models. Which rows are left out, what was seen of the items and whether items are updated is said anew of
    /// each list.
    #[must_use]
    pub fn carried(&self, table: &Table) -> Self {
        let there = headings_of(table).unwrap_or_default();
        let mut carried = Self {
            left_out: BTreeSet::new(),
            update: false,
            ..self.clone()
        };
        carried.seen.clear();
        carried
            .headings
            .retain(|heading, _| there.contains(&fold(heading)));
        carried
            .units
            .retain(|heading, _| there.contains(&fold(heading)));
        let sheet = carried.sheet.take();
        carried.sheet = sheet.filter(|sheet| table.sheets.contains(sheet));
        carried
    }
}
