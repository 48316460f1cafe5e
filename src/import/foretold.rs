//! What every job will say of the items that a list brings in, told before they come in.

use std::collections::{BTreeMap, BTreeSet};

use super::failure::MOST_ROWS;
use super::field::Field;
use super::given::SeenOf;
use super::question::counted;
use crate::domain::{Kind, ModelId};

/// What every job will say of the items that would come in.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Foretold {
    /// The rulebook by which it is told.
    pub rulebook: String,
    /// How many items would come in and be in service.
    pub in_service: usize,
    /// How many of them no job will take.
    pub refused: usize,
    /// How many of those only wait for somebody to look at their markings.
    pub first_look: usize,
    /// How many jobs may take, but no verdict will be said with.
    pub lacking: usize,
    /// How many of those that come in are of a model of which some position of a shipped rig asks more.
    pub asked_at_positions: usize,
    /// How many shipped rigs were looked at.
    pub rigs: usize,
    /// How many would come in and be out of service, as the list says.
    pub out: usize,
    /// Why, the reason with the most rows first.
    pub reasons: Vec<Reason>,
    /// What single positions of the shipped rigs ask beside, the reason with the most rows first: other jobs take the items
    /// all the same.
    pub at_positions: Vec<Reason>,
    /// What papers state of new models and some verdict needs: it may stay open, and is not judged then.
    pub papers: Vec<Reason>,
    /// The items that go to quarantine as they come in, since a safety notice is open for them.
    pub held: Vec<ByNotice>,
    /// The rows of which somebody has said that they were seen, by what was seen.
    pub seen: BTreeMap<SeenOf, Vec<u32>>,
}

/// An item that goes to quarantine since a safety notice is open for it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ByNotice {
    /// Its mark.
    pub mark: String,
    /// The title of the notice.
    pub notice: String,
}

/// Why no job takes some of the items, or no verdict is said with them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reason {
    /// A stable word for programs.
    pub code: &'static str,
    /// What is wrong or missing.
    pub sentence: &'static str,
    /// What to do about it.
    pub to_do: String,
    /// The rule that asks for it; empty where it is the mechanics.
    pub rule: String,
    /// The rows.
    pub rows: Vec<u32>,
    /// What one answer mends in all of them.
    pub offer: Offer,
}

/// What one answer mends.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Offer {
    /// Nothing: it is mended in the file.
    InFile,
    /// What somebody has seen of the items.
    Seen(SeenOf),
    /// What holds for each of these models.
    Models(Vec<OfModel>),
}

/// A model whose record lacks something.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OfModel {
    /// Maker and name in one line.
    pub title: String,
    /// Its kind.
    pub kind: Kind,
    /// The model, if the register has it: then it is mended there.
    pub id: Option<ModelId>,
    /// What is wrong with it, and what would mend it.
    pub sentence: String,
    /// The field that one answer fills, if one does.
    pub field: Option<Field>,
    /// How many rows are items of it.
    pub items: usize,
    /// At how many positions that shipped rigs must have filled this is what keeps the nearest model of the list from
    /// going; nothing where the list fills them without it.
    pub opens: usize,
}

impl Reason {
    /// The part with what is asked first, where there is any, and the part with the rest, where there is one. What is said
    /// for all rows at once, and what has to be mended in the file, is first of all.
    pub fn by_need(&self) -> (Option<Self>, Option<Self>) {
        let Offer::Models(models) = &self.offer else {
            return (Some(self.clone()), None);
        };
        let (mut first, rest): (Vec<_>, Vec<_>) =
            models.iter().cloned().partition(|one| one.opens > 0);
        first.sort_by_key(|one| std::cmp::Reverse(one.opens));
        let part = |models: Vec<OfModel>| {
            (!models.is_empty()).then(|| Self {
                offer: Offer::Models(models),
                ..self.clone()
            })
        };
        (part(first), part(rest))
    }

    /// At how many positions what is asked here keeps the nearest model from going.
    pub fn opens(&self) -> usize {
        match &self.offer {
            Offer::Models(models) => models.iter().map(|one| one.opens).max().unwrap_or(0),
            Offer::InFile | Offer::Seen(_) => usize::MAX,
        }
    }

    /// How many items it is about.
    pub fn items(&self) -> usize {
        match &self.offer {
            Offer::Models(models) => models.iter().map(|one| one.items).sum(),
            Offer::InFile | Offer::Seen(_) => self.rows.len(),
        }
    }
}

impl OfModel {
    /// What is wrong with it, without where the register has it mended.
    pub fn lack(&self) -> String {
        let lack = self.sentence.split(": ").next().unwrap_or_default();
        format!("{}.", lack.trim_end_matches('.'))
    }
}

impl Foretold {
    /// The rows that wait for something to be seen.
    pub fn rows_of(&self, seen: SeenOf) -> &[u32] {
        let mut reasons = self.reasons.iter();
        let reason = reasons.find(|reason| reason.offer == Offer::Seen(seen));
        reason.map_or(&[], |reason| reason.rows.as_slice())
    }

    /// What has to be done before jobs take the items and verdicts are said with them, in one line; none if nothing has.
    pub fn sentence(&self) -> Option<String> {
        let more = self.refused - self.first_look;
        let need = |count: usize, what: &str| {
            let of = match count {
                _ if self.in_service == 1 => "the item".to_owned(),
                all if all == self.in_service => format!("all {all} items"),
                some => format!("{some} of the {} items", self.in_service),
            };
            let need = if count == 1 { "needs" } else { "need" };
            format!("{of} {need} {what}")
        };
        let look = "no more than a first look at the markings";
        let refused = match (self.first_look, more) {
            (0, 0) => None,
            (0, more) => Some(need(more, "more than the list says")),
            (looks, 0) => Some(need(looks, look)),
            (looks, more) => Some(format!("{}, and {more} need more", need(looks, look))),
        };
        let lacking = match self.lacking {
            0 => None,
            items => Some(format!(
                "No verdict will be said with {} until more is known of what {}.",
                counted(items, "item"),
                if items == 1 { "it is" } else { "they are" }
            )),
        };
        let them = if self.in_service == 1 { "it" } else { "them" };
        let refused = refused.map(|refused| format!("Before jobs take {them}, {refused}."));
        let both: Vec<String> = refused.into_iter().chain(lacking).collect();
        (!both.is_empty()).then(|| both.join(" "))
    }
}

impl Foretold {
    /// What stands where nothing speaks against any item on every job: whether positions of rigs ask more, and what was
    /// not looked at.
    pub fn clear(&self) -> (String, &'static str) {
        let items = match self.in_service {
            1 => "the item".to_owned(),
            items => format!("any of the {items} items"),
        };
        let sentence = match self.asked_at_positions {
            0 => format!(
                "Nothing stands against {items}: not on every job, and nothing is missing at the positions of the {} rigs of the program for which they are made and approved.",
                self.rigs
            ),
            asked => format!(
                "No job refuses {items} whatever it is, but some positions of rigs ask more of {} than is written down.",
                counted(asked, "item")
            ),
        };
        (sentence, NOT_LOOKED_AT)
    }
}

/// What is told only once a kit is put together.
const NOT_LOOKED_AT: &str = "Looked at: the record of each item and of its model, by the rules by which a kit is chosen for one person. Not looked at: whether rope and devices fit each other, whether ropes reach and whether a kit is strong enough; a job tells that of its kit; and whether a pulley that no approval allows to capture a rope does so. Rigs of your own may ask more.";

/// Rows that follow each other, the first and the last of each run.
fn runs(rows: &[u32]) -> Vec<(u32, u32)> {
    let mut runs: Vec<(u32, u32)> = Vec::new();
    for row in rows {
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == *row => *last = *row,
            _ => runs.push((*row, *row)),
        }
    }
    runs
}

/// Rows as a form sends them along: `2-9,12`.
pub fn rows_as_sent(rows: &[u32]) -> String {
    let runs = runs(rows).into_iter();
    let runs: Vec<String> = runs
        .map(|(first, last)| format!("{first}-{last}"))
        .collect();
    runs.join(",")
}

/// Rows that a form sent along; what is no row of any list is passed over.
pub fn rows_sent(text: &str) -> BTreeSet<u32> {
    let most = u32::try_from(2 * MOST_ROWS).unwrap_or(u32::MAX);
    let runs = text.split(',').filter_map(|run| {
        let (first, last) = run.split_once('-').unwrap_or((run, run));
        let (first, last) = (first.parse::<u32>().ok()?, last.parse::<u32>().ok()?);
        (last <= most).then_some(first..=last)
    });
    runs.flatten().collect()
}

/// Rows in words: "rows 2 to 9, 12, 14 to 20 and 31 more".
pub fn rows_in_words(rows: &[u32]) -> String {
    const MOST_RUNS: usize = 4;
    let runs = runs(rows);
    let words = runs
        .iter()
        .take(MOST_RUNS)
        .map(|(first, last)| match last - first {
            0 => first.to_string(),
            1 => format!("{first}, {last}"),
            _ => format!("{first} to {last}"),
        });
    let words: Vec<String> = words.collect();
    let shown = runs.iter().take(MOST_RUNS);
    let shown: usize = shown.map(|(first, last)| (last - first) as usize + 1).sum();
    let more = match rows.len() - shown {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    let noun = if rows.len() == 1 { "row" } else { "rows" };
    format!("{noun} {}{more}", words.join(", "))
}

#[cfg(test)]
mod tests {
    use super::{rows_as_sent, rows_in_words, rows_sent};

    #[test]
    fn rows_that_are_sent_along_come_back() {
        let rows = [2, 3, 4, 9, 11];
        assert_eq!(rows_as_sent(&rows), "2-4,9-9,11-11");
        assert_eq!(
            rows_sent("2-4,9-9,11").into_iter().collect::<Vec<_>>(),
            rows
        );
        assert!(rows_sent("0-4294967295,x,-,").is_empty());
    }

    #[test]
    fn rows_are_told_in_runs() {
        assert_eq!(rows_in_words(&[7]), "row 7");
        assert_eq!(rows_in_words(&[2, 3, 4, 9]), "rows 2 to 4, 9");
        assert_eq!(
            rows_in_words(&[2, 4, 6, 8, 10, 11, 30]),
            "rows 2, 4, 6, 8 and 3 more"
        );
    }
}
