//! What stands above the form where the life of what is examined is over: no verdict brings it back.

use time::Date;

use super::Subject;
use crate::domain::{Life, date::write_day, life};

/// That its life is over or cannot be told; empty where it goes on.
pub(in crate::view) fn over(subject: &Subject<'_>, today: Date) -> String {
    match life(subject.item, subject.model, subject.rulebook) {
        Life::Ends(end) if end.on <= today => format!(
            "Its life ended on {}: {}; {}. No job takes it, whatever is found now.",
            write_day(end.on),
            end.rule,
            end.source
        ),
        Life::Unknown(why) => {
            format!("The end of its life cannot be told, and no job takes it until it can. {why}")
        }
        Life::Ends(_) | Life::ByCondition(_) => String::new(),
    }
}
