//! What the list tells of an item's past is held against the rules before it is taken over.

use super::assemble::{Assembly, ReadyModel};
use super::history;
use super::row::ReadRow;
use crate::domain::date::{add_months, read_day};

impl Assembly<'_> {
    /// A next due day beyond what the rules allow is not taken over; the rules' own day holds then.
    pub(super) fn keep_to_interval(
        &mut self,
        row: &ReadRow,
        model: Option<&ReadyModel>,
        history: &mut history::History,
    ) {
        let model = model.and_then(|ready| ready.model.as_ref());
        let months = model.and_then(|model| self.known.interval(model));
        if let (Some(months), Some(examination)) = (months, &mut history.examination)
            && let (Ok(on), Ok(due)) = (
                read_day(&examination.on),
                read_day(&examination.next_due_on),
            )
            && due > add_months(on, months)
        {
            examination.next_due_on.clear();
            let sentence = format!(
                "The list says that the next examination is due later than the {months} months that the rules allow; the rules' day holds."
            );
            self.remarks.add(row.number, sentence);
        }
    }
}
