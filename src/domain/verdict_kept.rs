//! A verdict that stands in the ledger.

use serde::{Deserialize, Serialize};

use super::JobId;

/// The verdict on a job's kit, as it was shown, with what it was worked out from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct VerdictKept {
    /// The job.
    pub job: JobId,
    /// The version of the program that worked it out.
    pub version: String,
    /// Pass or fail.
    pub passes: bool,
    /// The sentence that was shown.
    pub sentence: String,
    /// The whole answer.
    pub answer: serde_json::Value,
}

impl VerdictKept {
    /// What it came to, in words. Where an item was refused as well, the sentence is not the answer's own,
    /// and the verdict does not pass whatever else is missing.
    pub fn outcome(&self) -> &'static str {
        let is = |key: &str, text: &str| self.answer[key].as_str() == Some(text);
        if self.passes {
            "passes"
        } else if is("outcome", "cannot-say") && is("sentence", &self.sentence) {
            "cannot say yet"
        } else {
            "does not pass"
        }
    }
}
