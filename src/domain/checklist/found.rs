//! What an examination found, with what was watched or failed on its list, as one text.

use super::{Answer, Checklist, Criterion, Finding};
use crate::domain::{Danger, Examination};

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

    /// The same, and what a defect needs and how long it may wait, as far as somebody said so.
    pub fn found_and_needed(&self, list: Option<&Checklist>) -> String {
        let mut lines = vec![self.found(list)];
        if !self.report.repair.is_empty() {
            lines.push(format!("Repair needed: {}", self.report.repair));
        }
        if let Some(danger @ (Danger::Now | Danger::By(_))) = self.report.danger {
            lines.push(format!("Danger: {}", danger.words()));
        }
        lines.retain(|line| !line.is_empty());
        lines.join("\n")
    }
}

impl Criterion {
    /// What was measured; where something could have been, and was not, that is said.
    pub fn measured_in(&self, answer: &Answer) -> String {
        let is_missing = answer.values.is_empty() && answer.outcome != Finding::NotApplicable;
        match &self.measure {
            Some(_) if is_missing => "not measured".to_owned(),
            _ => answer.measured_words(),
        }
    }
}
