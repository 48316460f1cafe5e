//! What an examination found, with what was watched or failed on its list, as one text.

use super::{Checklist, Finding};
use crate::domain::Examination;

impl Examination {
    /// What was typed as found, and a line for each criterion that is to be watched, or failed and is not told there
    /// yet. Empty where nothing was found. Without its list a criterion is called by its key.
    pub fn found(&self, list: Option<&Checklist>) -> String {
        let mut lines = vec![self.findings.clone()];
        for (outcome, word) in [(Finding::Fail, "Failed"), (Finding::Watch, "To watch")] {
            for answer in self.answered(outcome) {
                let criterion = list.and_then(|list| list.criterion(&answer.criterion));
                let words = criterion.map_or(answer.criterion.as_str(), |one| one.words.as_str());
                let head = format!("{word}: {words}");
                if self.findings.contains(&head) {
                    continue;
                }
                let mut seen = vec![answer.note.clone(), answer.measured_words()];
                seen.retain(|text| !text.is_empty());
                lines.push(match seen.join("; ") {
                    seen if seen.is_empty() => format!("{head}."),
                    seen => format!("{head}: {seen}."),
                });
            }
        }
        lines.retain(|line| !line.trim().is_empty());
        lines.join("\n")
    }
}
