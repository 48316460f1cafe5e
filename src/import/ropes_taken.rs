//! The ropes of one approval or one use: taken from the cells of a row, and put to the approvals of its model.

use super::approvals;
use super::field::Field;
use super::grouping::Group;
use super::heading::{Column, shortened};
use super::remark::Remarks;
use super::rope_said::{self, Said};
use super::rope_uses::{self, Of, Ropes, RopesOf, in_words, narrower};
use super::row::{Given, ReadRow, Reading};
use super::standard;
use crate::domain::{ApprovalDraft, ModelDraft};

/// The standards of devices for rescue whose approvals name the ropes that they take: descenders and lifting devices.
const RESCUE: [&str; 2] = ["341", "1496"];

impl Reading<'_> {
    /// Takes the ropes of a cell that says more than one range of them.
    pub(super) fn take_ropes(
        &mut self,
        (text, ropes): (&str, Ropes),
        heading: &str,
        read: &mut ReadRow,
    ) {
        let mut words: Vec<String> = ropes.all.iter().map(in_words).collect();
        for (field, text_of_end) in rope_said::fields(ropes.all) {
            let given = Given {
                text: text_of_end,
                shown: text.to_owned(),
            };
            read.values.entry(field).or_insert(given);
        }
        for one in &ropes.of {
            words.push(format!("{} {}", one.of.in_words(), in_words(&one.said)));
        }
        read.ropes_of.extend(ropes.of);
        self.notes.read_from(heading);
        let sentence = format!(
            "\"{}\" under \"{}\" is read as the ropes that it takes: {}.",
            shortened(text),
            shortened(heading),
            words.join("; ")
        );
        self.read.remarks.add(read.number, sentence);
    }

    /// The same of a column that holds nothing but them; whether that was done.
    pub(super) fn reads_ropes(&mut self, text: &str, column: &Column, read: &mut ReadRow) -> bool {
        let Some(mut ropes) = rope_uses::read(text) else {
            return false;
        };
        ropes.all = ropes
            .all
            .filter(|all| !self.second_range(all, column, read));
        let standards = ropes.of.iter().filter_map(|one| match &one.of {
            Of::Standard(approval) => Some(approval.as_ref().clone()),
            Of::Use(_) => None,
        });
        read.ropes_name.extend(standards);
        self.take_ropes((text, ropes), &column.heading, read);
        true
    }

    /// Takes a range for that of a use where another column has one for all; whether that was done. Nobody says of which
    /// use it is, so that the narrower of both counts.
    pub(super) fn second_range(
        &mut self,
        said: &Said,
        column: &Column,
        read: &mut ReadRow,
    ) -> bool {
        let columns = self.headings.columns.iter();
        let several = columns.filter(|one| one.field() == Some(Field::RopeRange));
        let ends = [Field::RopeLeast, Field::RopeMost];
        if several.count() < 2 || !ends.iter().any(|end| read.values.contains_key(end)) {
            return false;
        }
        let sentence = format!(
            "\"{}\" under \"{}\" is a second range of rope for the same item, and it is not said for which approval or use.",
            in_words(said),
            shortened(&column.heading)
        );
        self.read.remarks.add(read.number, sentence);
        let (of, said) = (Of::Use(String::new()), said.clone());
        read.ropes_of.push(RopesOf { of, said });
        true
    }

    /// Takes the approvals that a row names with their ropes and nowhere else. A number without its body names none.
    pub(super) fn name_approvals(&mut self, read: &mut ReadRow) {
        let named = std::mem::take(&mut read.ropes_name);
        if read.asked_for(Field::Standard) || read.says(Field::Standard) {
            return;
        }
        for approval in named {
            let is_there = |one: &ApprovalDraft| standard::is_one(one, &approval);
            if standard::is_bare(&approval.standard) || read.approvals.iter().any(is_there) {
                continue;
            }
            let sentence = format!(
                "{} stands with a range of rope and in no column of standards; it is taken as an approval of the model. Hold it against the papers.",
                standard::title(&approval)
            );
            self.read.remarks.look_at(read.number, sentence);
            read.approvals.push(approval);
            let titles = standard::titles(&read.approvals);
            let given = Given {
                text: titles.clone(),
                shown: titles,
            };
            read.values.insert(Field::Standard, given);
        }
    }
}

impl Group {
    /// The ropes of its rows that stand for all of its approvals.
    pub(super) fn ropes(&self) -> Said {
        let end = |field| Some(self.text(field)).filter(|end| !end.is_empty());
        (end(Field::RopeLeast), end(Field::RopeMost))
    }

    /// Without an approval they stand in the model's note.
    pub(super) fn ropes_in_note(&self, draft: &mut ModelDraft) {
        for one in &self.ropes_of {
            note(draft, &one.of.in_words(), &one.said);
        }
    }

    /// Gives approvals the ropes that their own standard or a use has.
    pub(super) fn ropes_by_use(&self, draft: &mut ModelDraft, remarks: &mut Remarks) {
        if self.ropes_of.is_empty() {
            return;
        }
        let of_uses = || self.ropes_of.iter().filter(|one| one.of.is_use());
        let is_plain = draft.approvals.iter().any(is_for_rescue);
        let mut told = Vec::new();
        for approval in &mut draft.approvals {
            let mut own = self.ropes_of.iter().filter(|one| one.of.is_to(approval));
            let named = own
                .next()
                .map(|first| own.fold(first.said.clone(), |said, one| narrower(&said, &one.said)));
            let mut said = named.unwrap_or_else(|| self.ropes());
            if !is_plain || is_for_rescue(approval) {
                said = of_uses().fold(said, |said, one| narrower(&said, &one.said));
            }
            let range = match in_words(&said) {
                none if none.is_empty() => "none".to_owned(),
                range => range,
            };
            told.push(format!("{} {range}", approvals::title(approval)));
            (approval.rope_least, approval.rope_most) =
                (said.0.unwrap_or_default(), said.1.unwrap_or_default());
        }
        let why = match (of_uses().next().is_some(), is_plain) {
            (false, _) => "as the list names their standards",
            (true, true) => "the narrower range for the approvals for rescue",
            (true, false) => {
                "the narrower range for all of them, since the list does not say for which approval the second range is"
            }
        };
        let sentence = format!(
            "The list says for {} {} which rope it takes for one approval or use; its approvals have these ranges now, {why}: {}. Hold it against the papers.",
            draft.maker,
            draft.name,
            told.join("; ")
        );
        remarks.look_at(self.first_row, sentence);
        self.ropes_of_none(draft, remarks);
    }

    /// Keeps the ropes of a standard that is none of its approvals in the model's note, and those of all where each
    /// approval has its own.
    fn ropes_of_none(&self, draft: &mut ModelDraft, remarks: &mut Remarks) {
        let has_own = |held: &ApprovalDraft| self.ropes_of.iter().any(|one| one.of.is_to(held));
        if self.ropes() != Said::default() && draft.approvals.iter().all(has_own) {
            note(draft, "for no approval that is named", &self.ropes());
        }
        for one in &self.ropes_of {
            if one.of.is_use() || draft.approvals.iter().any(|held| one.of.is_to(held)) {
                continue;
            }
            note(draft, &one.of.in_words(), &one.said);
            let sentence = format!(
                "Rope {} {} is kept in the note of {} {}: that is none of its approvals.",
                one.of.in_words(),
                in_words(&one.said),
                draft.maker,
                draft.name
            );
            remarks.look_at(self.first_row, sentence);
        }
    }
}

/// Whether an approval is for rescue.
fn is_for_rescue(approval: &ApprovalDraft) -> bool {
    let mut numbers = approval.standard.split(|c: char| !c.is_ascii_digit());
    numbers.any(|number| RESCUE.contains(&number))
}

/// Writes into a model's note for what it takes which ropes.
fn note(draft: &mut ModelDraft, of: &str, said: &Said) {
    if !draft.note.is_empty() {
        draft.note.push('\n');
    }
    let line = format!("Rope {of}: {}", in_words(said));
    draft.note.push_str(&line);
}
