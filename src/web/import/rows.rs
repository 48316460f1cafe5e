//! The rows of a list, as the page of its rehearsal shows them: all of them, in parts, or only some kinds.

use std::collections::BTreeSet;

use serde::Deserialize;

use crate::{
    import::{Fate, Rehearsal, RowFate},
    view::{
        import::{RowFilter, RowLine, RowSheet},
        part::{Badge, Tone},
        words::count,
    },
};

/// How many rows a page shows.
const ROWS: usize = 50;

/// Which rows are shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Show {
    #[default]
    All,
    Wrong,
    Waiting,
    Remarked,
    There,
    LeftOut,
    Fine,
}

impl Show {
    const ALL: [Self; 7] = [
        Self::All,
        Self::Wrong,
        Self::Waiting,
        Self::Remarked,
        Self::There,
        Self::LeftOut,
        Self::Fine,
    ];

    fn key(self) -> &'static str {
        match self {
            Self::All => "all",
            Self::Wrong => "wrong",
            Self::Waiting => "waiting",
            Self::Remarked => "remarked",
            Self::There => "there",
            Self::LeftOut => "left-out",
            Self::Fine => "fine",
        }
    }

    fn words(self) -> &'static str {
        match self {
            Self::All => "All rows",
            Self::Wrong => "Refused",
            Self::Waiting => "Waiting for an answer",
            Self::Remarked => "With remarks",
            Self::There => "There already",
            Self::LeftOut => "Left out",
            Self::Fine => "Coming in",
        }
    }

    fn takes(self, row: &RowFate, remarked: &BTreeSet<u32>) -> bool {
        match self {
            Self::All => true,
            Self::Wrong => matches!(row.fate, Fate::Wrong(_) | Fate::ModelWrong),
            Self::Waiting => row.fate == Fate::Asked,
            Self::Remarked => remarked.contains(&row.row),
            Self::There => matches!(row.fate, Fate::Same | Fate::Differs | Fate::Updated),
            Self::LeftOut => row.fate == Fate::LeftOut,
            Self::Fine => row.fate.comes_in(),
        }
    }
}

/// How many there are of a kind, as the rest of the page counts them: items where they come in or are there, else rows of
/// the file, of which one may stand for several items.
fn counted(show: Show, rows: &[&RowFate]) -> usize {
    match show {
        Show::Fine | Show::There => rows.len(),
        _ => rows
            .iter()
            .map(|row| row.row)
            .collect::<BTreeSet<u32>>()
            .len(),
    }
}

/// Which part of the rows is looked at: `show=wrong&from=50`.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct Part {
    show: String,
    from: String,
}

impl Part {
    /// Reads what a button says: `wrong:50`.
    pub(super) fn of_button(text: &str) -> Self {
        let (show, from) = text.split_once(':').unwrap_or((text, ""));
        Self {
            show: show.to_owned(),
            from: from.to_owned(),
        }
    }

    fn show(&self) -> Show {
        let mut all = Show::ALL.into_iter();
        all.find(|show| show.key() == self.show).unwrap_or_default()
    }

    fn from(&self) -> usize {
        self.from.parse().unwrap_or(0)
    }

    /// What stands behind the page's address.
    pub(super) fn address(&self) -> String {
        format!("?show={}&from={}#rows", self.show().key(), self.from())
    }
}

fn button(show: Show, from: usize) -> String {
    format!("{}:{from}", show.key())
}

pub(super) fn rows(rehearsal: &Rehearsal, part: &Part) -> RowSheet {
    let show = part.show();
    let remarked = rehearsal.remarks.iter().flat_map(|remark| &remark.at);
    let remarked: BTreeSet<u32> = remarked.copied().collect();
    let chosen = |show: Show| {
        let rows = rehearsal.rows.iter();
        rows.filter(|row| show.takes(row, &remarked))
            .collect::<Vec<_>>()
    };
    let filters = Show::ALL.into_iter().filter_map(|one| {
        let rows = counted(one, &chosen(one));
        (rows > 0 || one == show).then(|| RowFilter {
            words: format!("{} ({rows})", one.words()),
            go: button(one, 0),
            here: one == show,
        })
    });
    let filters = filters.collect();
    let rows = chosen(show);
    // The beginning of the part, whatever the address says.
    let from = part.from().min(rows.len().saturating_sub(1)) / ROWS * ROWS;
    let until = (from + ROWS).min(rows.len());
    let wrong = rehearsal.wrong_rows().len();
    RowSheet {
        open: !part.show.is_empty(),
        filters,
        here: button(show, from),
        shown: match rows.len() {
            0 => "No such rows.".to_owned(),
            all => format!(
                "Lines {} to {until} of {}",
                from + 1,
                count(all, "line", "lines")
            ),
        },
        earlier: (from > 0).then(|| button(show, from - ROWS)),
        later: (until < rows.len()).then(|| button(show, until)),
        leave_wrong: match wrong {
            0 => String::new(),
            1 => "Leave out the row with errors".to_owned(),
            rows if rehearsal.are_of_wrong_models() => {
                format!("Leave out all {rows} rows of the models with errors")
            }
            rows => format!("Leave out all {rows} rows with errors"),
        },
        rows: rows[from..until]
            .iter()
            .map(|row| line(row, rehearsal))
            .collect(),
    }
}

fn line(row: &RowFate, rehearsal: &Rehearsal) -> RowLine {
    let fate = match row.fate {
        Fate::NewModel => Badge::new(Tone::Fit, "New item of a new model"),
        Fate::KnownModel => Badge::new(Tone::Fit, "New item of a known model"),
        Fate::Same => Badge::new(Tone::Note, "There already, same"),
        Fate::Differs => Badge::new(Tone::Watch, "There already, differs; stays as it is"),
        Fate::Updated => Badge::new(Tone::Fit, "There already, will be updated"),
        Fate::LeftOut => Badge::new(Tone::Out, "Left out"),
        Fate::Wrong(errors) => Badge::new(Tone::Stop, count(errors, "error", "errors")),
        Fate::ModelWrong => Badge::new(Tone::Stop, "Its model has errors"),
        Fate::Asked => Badge::new(Tone::Hold, "Waits for an answer"),
    };
    let errors = rehearsal.errors_of(row.row);
    let errors = errors.map(|error| match &error.heading {
        Some(heading) => format!("{heading}: {}", error.message),
        None => error.message.clone(),
    });
    let remarks = rehearsal.remarks.iter();
    let remarks = remarks.filter(|remark| remark.at.contains(&row.row));
    let remarks = remarks.map(|remark| remark.sentence.clone());
    let differs = row.differs.iter().map(|differs| differs.words());
    RowLine {
        row: row.row,
        mark: row.mark.clone(),
        title: row.title.clone(),
        store: row.store.clone(),
        fate,
        notes: errors.chain(differs).chain(remarks).collect(),
    }
}
