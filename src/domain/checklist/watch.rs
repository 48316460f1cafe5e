//! What an item is watched for: answers that stand until the same criterion is answered otherwise.

use time::Date;

use super::{Answer, Finding, ListEdition};
use crate::domain::Examination;

/// A criterion that was answered with "watch", and is to be looked at closely next time.
#[derive(Clone, Debug, PartialEq)]
pub struct Watched {
    /// The list in which the criterion stands.
    pub list: ListEdition,
    /// When it was looked at.
    pub on: Date,
    /// What was answered.
    pub answer: Answer,
}

/// What these examinations of an item, the last done first, leave to be watched: of each criterion the last
/// answer counts, and one that says that it does not apply leaves what was said before.
pub fn watched(examinations: &[Examination]) -> Vec<Watched> {
    let mut told: Vec<&str> = Vec::new();
    let mut watched = Vec::new();
    for examination in examinations {
        let Some(list) = examination.checklist else {
            continue;
        };
        for answer in &examination.answers {
            let key = answer.criterion.as_str();
            if answer.outcome == Finding::NotApplicable || told.contains(&key) {
                continue;
            }
            told.push(key);
            if answer.outcome == Finding::Watch {
                watched.push(Watched {
                    list,
                    on: examination.on,
                    answer: answer.clone(),
                });
            }
        }
    }
    watched
}
