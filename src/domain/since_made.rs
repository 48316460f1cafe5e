//! Nothing happens to an item before it is made.

use super::date::{read_day, write_day};
use super::{FieldErrors, Item, Made};

impl Item {
    /// Refuses what was typed where its day, typed in `field`, is before the earliest on which the item can have been
    /// made; whatever else is wrong is kept. Where it is not known when it was made, every day holds, and so does a field
    /// that is empty.
    ///
    /// # Errors
    /// What was wrong before, and the day.
    pub fn in_its_time<T>(
        &self,
        field: &str,
        typed: &str,
        checked: Result<T, FieldErrors>,
    ) -> Result<T, FieldErrors> {
        let (Some(made), Ok(on)) = (self.made, read_day(typed)) else {
            return checked;
        };
        let earliest = made.cautious_day();
        if on >= earliest {
            return checked;
        }
        let sentence = format!(
            "{} was made {}, so nothing happened to it before {}, as on {}. Mend the day, or the date made on its record.",
            self.mark,
            told(made),
            write_day(earliest),
            write_day(on)
        );
        let mut wrong = checked.err().unwrap_or_default();
        wrong.add(field, "range", sentence);
        Err(wrong)
    }
}

/// The date made behind "was made".
fn told(made: Made) -> String {
    match made {
        Made::Day(_) => format!("on {made}"),
        Made::Month(..) | Made::Year(_) => format!("in {made}"),
    }
}
