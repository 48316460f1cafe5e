//! What a kit that is proposed leaves open, and what on the list it takes the place of.

use super::proposal::Parts;
use crate::{
    domain::Units,
    rigging::{BELAY_OPEN, CATCH_OPEN, FALL_OPEN},
};

impl Parts<'_> {
    /// What is on the list and may not go, for whose place something is proposed, in one sentence; empty where nothing is.
    pub fn not_going(&self) -> String {
        let named = self.refused.iter().map(|entry| {
            let position = entry.line.position.as_deref().unwrap_or_default();
            format!("{} (\"{}\")", entry.item.mark, self.title(position))
        });
        let named: Vec<String> = named.collect();
        match named.as_slice() {
            [] => String::new(),
            named => format!(
                "On the list and refused: {}. What is proposed for such a place goes in the place of what stands there.",
                named.join(", ")
            ),
        }
    }

    /// What can be judged of what is there while a position stays empty, beside what fails, and what not.
    pub fn rest(&self, units: Units) -> Vec<String> {
        let rest = self.proposal.rest.as_ref();
        let rest = rest.map(|rest| rest.told_in(units));
        rest.map_or_else(Vec::new, |rest| {
            // What fails stands in the answer already.
            let said = (!rest.fails).then_some(rest.sentence);
            said.into_iter().chain(rest.unjudged).collect()
        })
    }

    /// What a whole kit leaves open, and why its belay is not judged, a sentence each.
    pub fn open(&self, units: Units) -> Vec<String> {
        if self.proposal.rest.is_some() {
            return Vec::new();
        }
        let verdict = &self.proposal.verdict;
        let open = verdict.open.iter().map(|open| {
            let belay = [BELAY_OPEN, FALL_OPEN, CATCH_OPEN];
            let because = verdict.catch_lacks.iter();
            let because = because.filter(|_| belay.contains(&open.as_str()));
            let because = because.map(|gap| format!(" {}", units.beside(&gap.sentence)));
            format!("Left open: {open}.{}", because.collect::<String>())
        });
        open.collect()
    }
}
