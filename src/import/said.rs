//! What was answered for all rows where the list is silent, and for how many of them it stands.

use super::assemble::Assembly;

impl Assembly<'_> {
    /// Says of each answer for how many rows it stands: other answers may have brought further rows under it since
    /// it was given.
    pub(super) fn remark_said(&mut self) {
        for (field, (rows, first)) in std::mem::take(&mut self.said) {
            let said = self.answers.silent(field).unwrap_or_default();
            let sentence = format!(
                "The list does not say \"{}\": your answer, \"{said}\", is taken for every such row.",
                field.label()
            );
            self.remarks.add_all(rows, first, sentence);
        }
    }
}
