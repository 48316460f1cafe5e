//! What was said of a model beside its rows: it fills what they leave open, as far as it holds.

use uuid::Uuid;

use super::answer::{Answers, ReadIn};
use super::field::{Field, attributes_named};
use super::given::{EFFICIENCY, name_of};
use super::grouping::{Group, is_of_model};
use super::remark::Remarks;
use super::{assumed, becket, load_each, rope_said, standard, unit, word};
use crate::domain::{FieldError, FieldErrors, ModelId};

impl Group {
    /// Fills what the rows leave open from what was said of the model. What does not hold beside the rest is told under
    /// its name and applies to nothing.
    pub(super) fn fill(&mut self, answers: &Answers, faulty: &mut FieldErrors) {
        let title = self.title();
        let mut before = None;
        for (field, text, read) in answers.of_model(&title) {
            let parts = match field {
                Field::RopeRange => &[Field::RopeLeast, Field::RopeMost, field][..],
                _ => &[field],
            };
            let is_open = |part: &Field| !self.unread.contains_key(part);
            if !is_of_model(parts[0], self.kind) || !parts.iter().all(is_open) {
                continue;
            }
            let known = before.take().unwrap_or_else(|| self.faults());
            let bare = self.clone();
            self.fill_one((field, text), read);
            let found = self.faults();
            let new = |fault: &&FieldError| known.iter().all(|one| one.message != fault.message);
            before = Some(match found.iter().find(new) {
                Some(fault) => {
                    faulty.add(name_of(&title, &field.key()), &fault.code, &*fault.message);
                    *self = bare;
                    known
                }
                None => found,
            });
        }
    }

    fn fill_one(&mut self, (field, text): (Field, &str), read: ReadIn) {
        if field == Field::RopeRange {
            for (end, text) in rope_said::fields(rope_said::typed(text)) {
                self.fill_one((end, &text), read);
            }
            return;
        }
        if unit::is_rope(field) && word::says_unknown(text) {
            self.rope_unknown = true;
            return;
        }
        if field == Field::Standard {
            // An approval that is asked for stands beside those of the list.
            for approval in standard::read(text, &Answers::default()).approvals {
                if !self.approvals.contains(&approval) {
                    self.approvals.push(approval);
                }
            }
        }
        // A load for each approval says more than the one number of the list.
        if field == Field::RatedLoad && load_each::read(text).is_some() {
            self.values.remove(&field);
        }
        if field == Field::Standard || !self.values.contains_key(&field) {
            self.read_in.insert(field, read);
        }
        if field == EFFICIENCY {
            return self.fill_efficiency(text, read);
        }
        let text = as_share(field, text).unwrap_or_else(|| text.to_owned());
        let first_row = self.first_row;
        self.values.entry(field).or_insert((text, first_row));
        if becket::is_strength(field) {
            let yes = ("yes".to_owned(), first_row);
            self.values.entry(becket::THERE).or_insert(yes);
        }
    }

    /// An efficiency with its range and with how it is known, where the list has none.
    fn fill_efficiency(&mut self, text: &str, read: ReadIn) {
        let Ok(efficiency) = assumed::read(text) else {
            return;
        };
        if self.values.contains_key(&EFFICIENCY) {
            return;
        }
        let first_row = self.first_row;
        let mut put = |key, text: String| {
            let field = Field::Attribute(key);
            self.values.entry(field).or_insert((text, first_row));
        };
        put("efficiency", efficiency.likely.to_string());
        if let Some((low, high)) = efficiency.range {
            put(assumed::LOW, low.to_string());
            put(assumed::HIGH, high.to_string());
        }
        if let Some(known) = assumed::known(read) {
            put(assumed::KNOWN, known.to_owned());
        }
    }

    /// What the register says against the model as it is put together so far.
    fn faults(&self) -> Vec<FieldError> {
        let draft = self.draft(&mut Remarks::default());
        let checked = draft.check(ModelId(Uuid::nil()), 1);
        checked.err().map_or_else(Vec::new, |wrong| wrong.0)
    }
}

/// A share as the list gives it, whether it was typed so or in per cent; none where the field is no share.
fn as_share(field: Field, text: &str) -> Option<String> {
    let Field::Attribute(key) = field else {
        return None;
    };
    let attribute = attributes_named(key).next()?;
    let share = attribute.read(text).ok();
    share
        .filter(|_| unit::is_share(field))
        .map(|share| share.to_string())
}
