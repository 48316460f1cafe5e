//! Answers that are taken over to another list.

use std::collections::{BTreeMap, BTreeSet};

use super::answer::{Answers, Restricted};
use super::field::Field;
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
        carried.competent.clear();
        // That items may go was said of the words of this list; what holds them back holds others too.
        carried.restricted = self
            .restricted
            .filter(|said| *said == Restricted::Quarantine);
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

    /// What of these answers can be said of another file that stands in the place of the first: also whether items are
    /// updated, and what was seen of the items. Rows may have moved, so what was said of some of them goes by their
    /// marks; of rows that are new nothing was said.
    #[must_use]
    pub fn moved(&self, before: &Table, after: &Table) -> Self {
        let mut moved = self.carried(after);
        moved.update = self.update;
        moved.competent.clone_from(&self.competent);
        let (then, now) = (rows_by_mark(before, self), rows_by_mark(after, &moved));
        for (of, seen) in &self.seen {
            let mut seen = seen.clone();
            let was_of_some = !seen.rows.is_empty();
            let still = then
                .iter()
                .filter(|(_, rows)| !rows.is_disjoint(&seen.rows));
            let still = still.filter_map(|(mark, _)| now.get(mark));
            seen.rows = still.flatten().copied().collect();
            // No rows at all would say it of every item.
            if !(was_of_some && seen.rows.is_empty()) {
                moved.seen.insert(*of, seen);
            }
        }
        moved
    }
}

/// The rows of a table that stand under each mark; none where no column is read as the marks.
fn rows_by_mark(table: &Table, answers: &Answers) -> BTreeMap<String, BTreeSet<u32>> {
    let mut by_mark: BTreeMap<String, BTreeSet<u32>> = BTreeMap::new();
    let Ok((headings, rows)) = heading::find(table, answers) else {
        return by_mark;
    };
    let Some(column) = headings.of(Field::Mark) else {
        return by_mark;
    };
    for row in rows {
        if let Some(cell) = row.cell(column.index) {
            let rows = by_mark.entry(fold(&cell.shown())).or_default();
            rows.insert(row.number);
        }
    }
    by_mark
}
