//! What a person should know before they say yes, by its sentence.

use std::collections::BTreeMap;

use super::fate::{Remark, RemarkKind};

/// Remarks by their sentence, each counting its rows.
#[derive(Debug, Default)]
pub(super) struct Remarks(BTreeMap<String, Rows>);

/// Rows that a remark is about.
#[derive(Debug)]
struct Rows {
    kind: RemarkKind,
    count: usize,
    first: u32,
    at: Vec<u32>,
}

impl Remarks {
    pub(super) fn add(&mut self, row: u32, sentence: String) {
        self.add_of(RemarkKind::Other, row, sentence);
    }

    /// A remark that is shown in the open.
    pub(super) fn look_at(&mut self, row: u32, sentence: String) {
        self.add_of(RemarkKind::LookAt, row, sentence);
    }

    fn add_of(&mut self, kind: RemarkKind, row: u32, sentence: String) {
        let seen = self.0.entry(sentence).or_insert(Rows {
            kind,
            count: 0,
            first: row,
            at: Vec::new(),
        });
        // A row that stands for several items is one.
        if seen.at.last() != Some(&row) {
            seen.count += 1;
            seen.at.push(row);
        }
    }

    /// A remark of a kind about these rows.
    pub(super) fn add_rows(&mut self, kind: RemarkKind, rows: &[u32], sentence: &str) {
        for row in rows {
            self.add_of(kind, *row, sentence.to_owned());
        }
    }

    /// A remark about many rows at once.
    pub(super) fn add_all(&mut self, count: usize, first: u32, sentence: String) {
        let rows = Rows {
            kind: RemarkKind::Other,
            count,
            first,
            at: Vec::new(),
        };
        self.0.insert(sentence, rows);
    }

    /// What was found elsewhere, beside what is there.
    pub(super) fn also(&mut self, others: Self) {
        self.0.extend(others.0);
    }

    pub(super) fn list(self) -> Vec<Remark> {
        let all = self.0.into_iter();
        all.map(|(sentence, rows)| Remark {
            kind: rows.kind,
            sentence,
            rows: rows.count,
            first_row: rows.first,
            at: rows.at,
        })
        .collect()
    }
}

/// Row numbers as a list in a sentence, neighbours together: "rows 4 to 9, 12 and 3 more".
pub(super) fn rows_listed(rows: &[u32]) -> String {
    /// How many stretches of rows a sentence names.
    const MOST: usize = 8;
    let mut rows = rows.to_vec();
    rows.dedup();
    let mut stretches: Vec<(u32, u32)> = Vec::new();
    for row in &rows {
        match stretches.last_mut() {
            Some((_, last)) if *last == *row || *last + 1 == *row => *last = *row,
            _ => stretches.push((*row, *row)),
        }
    }
    let named: Vec<String> = stretches
        .iter()
        .take(MOST)
        .map(|(first, last)| match last - first {
            0 => first.to_string(),
            1 => format!("{first}, {last}"),
            _ => format!("{first} to {last}"),
        })
        .collect();
    let shown = stretches.get(MOST).map(|(from, _)| *from);
    let more = shown.map_or(0, |from| rows.iter().filter(|row| **row >= from).count());
    let noun = if rows.len() == 1 { "row" } else { "rows" };
    match more {
        0 => format!("{noun} {}", named.join(", ")),
        more => format!("{noun} {} and {more} more", named.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::rows_listed;

    #[test]
    fn neighbours_are_told_together() {
        assert_eq!(rows_listed(&[4]), "row 4");
        assert_eq!(rows_listed(&[4, 4]), "row 4");
        assert_eq!(rows_listed(&[4, 5, 6, 9, 12, 13]), "rows 4 to 6, 9, 12, 13");
        let odd: Vec<u32> = (0..12).map(|at| at * 2 + 1).collect();
        assert_eq!(
            rows_listed(&odd),
            "rows 1, 3, 5, 7, 9, 11, 13, 15 and 4 more"
        );
    }
}
