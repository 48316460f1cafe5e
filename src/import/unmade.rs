//! Rows that give no date made.

use super::assemble::Assembly;
use super::fate::RemarkKind;
use super::remark::rows_listed;
use crate::domain::rulebook::Mark;

impl Assembly<'_> {
    /// Says in which rows no date made is given, and what comes of that.
    pub(super) fn remark_unmade(&mut self) {
        if self.unmade.is_empty() {
            return;
        }
        let rulebook = self.known.rulebook.as_ref();
        let asked = rulebook.filter(|rulebook| rulebook.identity().asks.contains(&Mark::Made));
        let so = match asked {
            Some(rulebook) => format!(
                "by the rulebook \"{}\" no job takes an item whose date made is not known",
                rulebook.title()
            ),
            None => "the end of a life that counts from it cannot be told".to_owned(),
        };
        let sentence = format!(
            "No date made is given in {}: {so}. Read it on the item or in its papers.",
            rows_listed(&self.unmade)
        );
        self.remarks
            .add_rows(RemarkKind::Unmade, &self.unmade, &sentence);
    }
}
