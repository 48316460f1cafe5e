//! The kind of gear of a row: its own word, else what describes the item; beside both, what it is approved as.

use super::answer::{LEAVE_OUT, Stated};
use super::field::Field;
use super::heading::{ColumnUse, shortened};
use super::row::{ReadRow, Reading};
use super::table::{Cell, TableRow};
use super::{kind_word, standard, synonym, word};
use crate::domain::rulebook::{same_class, same_standard};
use crate::domain::{ApprovalDraft, Kind, fold};

impl Reading<'_> {
    pub(super) fn read_kind(&mut self, row: &TableRow, read: &mut ReadRow) {
        let column = self.headings.of(Field::Kind);
        let cell = column.and_then(|column| row.cell(column.index));
        let Some(Cell::Text(text)) =
            cell.filter(|cell| !matches!(cell, Cell::Text(text) if word::says_unknown(text)))
        else {
            let described = self.described_kind(row);
            let said = || self.answers.silent(Field::Kind).and_then(Kind::from_word);
            match described {
                Some(kind) => read.kind = Some(kind),
                None => self.kind_of_description(row, read),
            }
            if read.kind.is_none() && !read.left_out && !read.asked_for(Field::Kind) {
                read.kind = said();
                read.kind_answered = read.kind.is_some();
            }
            return;
        };
        match self.answers.word(Field::Kind, text) {
            Some(LEAVE_OUT) => read.left_out = true,
            Some(said) => read.kind = Kind::from_word(said),
            None => {
                if let Some(found) = kind_word::kind(text) {
                    let kind = self.kind_by_standard(row, text, found.kind);
                    read.kind = Some(kind);
                    if !found.exact && kind == found.kind {
                        self.remark_kind(row.number, text, (kind, found.unsure));
                    }
                }
            }
        }
        read.kind_said = read.kind;
        if read.kind.is_none() && !read.left_out && !text.is_empty() {
            self.ask_word(Field::Kind, text, read);
        }
    }

    /// The kind that somebody said for a description in which none is named; while the list has few such descriptions,
    /// each is asked about.
    fn kind_of_description(&mut self, row: &TableRow, read: &mut ReadRow) {
        /// How many descriptions are asked about, each for itself.
        const MOST_ASKED: usize = 25;
        let Some(text) = self.described_by(row) else {
            return;
        };
        match self.answers.word(Field::Kind, &text) {
            Some(LEAVE_OUT) => read.left_out = true,
            Some(said) => read.kind = Kind::from_word(said),
            None if self.answers.silent(Field::Kind).is_some() => {}
            None => {
                let asked = self.words.contains_key(&(Field::Kind, fold(&text)));
                if asked || self.words.len() < MOST_ASKED {
                    self.ask_word(Field::Kind, &text, read);
                }
            }
        }
    }

    fn described_by(&self, row: &TableRow) -> Option<String> {
        let columns = self.headings.columns.iter();
        let mut columns = columns.filter(|column| {
            column.becomes == ColumnUse::InNote && synonym::is_description(&column.heading)
        });
        match columns.find_map(|column| row.cell(column.index))? {
            Cell::Text(text) => Some(text.clone()),
            _ => None,
        }
    }

    /// Tells as what kind words are read; in the open where they may be another thing's name.
    fn remark_kind(&mut self, row: u32, text: &str, (kind, unsure): (Kind, bool)) {
        let text = shortened(text);
        let kind = kind.word();
        if unsure {
            let sentence = format!(
                "\"{text}\" is read as the kind {kind}, from a word that may name another thing. If it is no {kind}, write its kind in the list."
            );
            self.read.remarks.look_at(row, sentence);
        } else {
            let sentence = format!("\"{text}\" is read as the kind {kind}.");
            self.read.remarks.add(row, sentence);
        }
    }

    /// The kind that a description or a model's name ends in, where no cell is there to say it.
    fn described_kind(&mut self, row: &TableRow) -> Option<Kind> {
        if self.answers.stated == Some(Stated::LeaveOut) {
            return None;
        }
        let texts = self.descriptions(row);
        let found = texts.into_iter().find_map(|(_, text)| {
            let found = kind_word::kind(&text)?;
            Some((text, found.kind, found.unsure))
        });
        let (text, named, unsure) = found?;
        self.described += 1;
        let kind = self.kind_by_standard(row, &text, named);
        if kind == named {
            self.remark_kind(row.number, &text, (kind, unsure));
        }
        Some(kind)
    }

    /// The kind of what several kinds of gear are called, by the standards of its row.
    fn kind_by_standard(&mut self, row: &TableRow, text: &str, kind: Kind) -> Kind {
        let column = self.headings.of(Field::Standard);
        let cell = column.and_then(|column| row.cell(column.index));
        let Some(Cell::Text(standards)) = cell else {
            return kind;
        };
        let heading = column.map_or("", |column| column.heading.as_str());
        let found = standard::read_under(heading, standards, self.answers);
        if !found.asked.is_empty() || found.approvals.is_empty() {
            return kind;
        }
        let Some((other, why)) = approved_as(kind, text, &found.approvals) else {
            return kind;
        };
        let sentence = format!("\"{}\" {why}", shortened(text));
        self.read.remarks.add(row.number, sentence);
        other
    }
}

/// The kind that standards make of what is called so, and the sentence behind its name.
///
/// Common practice, no source: what is named a strop or sling of wire, with EN 795 alone, the standard of anchor
/// devices, is an anchor sling; so is a clamp. A belay device that is approved to EN 12841 type A follows on the line
/// that holds whoever falls: it is a back-up device.
fn approved_as(
    kind: Kind,
    text: &str,
    approvals: &[ApprovalDraft],
) -> Option<(Kind, &'static str)> {
    let is = |one: &ApprovalDraft, standard: &str| same_standard(&one.standard, standard);
    let is_anchor = approvals.iter().all(|one| is(one, "EN 795"));
    match kind {
        Kind::Sling if kind_word::is_wire_strop(text) && is_anchor => Some((
            Kind::AnchorDevice,
            "with EN 795 alone is read as an anchor device (an anchor sling). If it is no such thing, write \"sling\" as its kind.",
        )),
        Kind::RopeClamp if is_anchor => Some((
            Kind::AnchorDevice,
            "with EN 795 alone is read as an anchor device: a clamp that is an anchor grips no rope.",
        )),
        Kind::Descender if kind_word::is_belay(text) => {
            let stops = approvals.iter().any(|one| {
                is(one, "EN 353-2")
                    || is(one, "EN 12841") && same_class(Some(&one.class), Some("A"))
            });
            stops.then_some((
                Kind::BackUpDevice,
                "with an approval for the safety line (EN 12841 type A or EN 353-2) is read as a back-up device. If your team lowers with it, write \"descender\" as its kind.",
            ))
        }
        _ => None,
    }
}
