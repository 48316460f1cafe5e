//! A cut of a rope as it is typed in.

use serde::{Deserialize, Serialize};
use time::Date;

use super::cut::{EQUAL, MOST_PIECES, Piece, RopeCut, metres, number};
use super::date::{Made, write_day};
use super::entered::EnteredLength;
use super::item::past_day;
use super::rating::optional;
use super::{CutId, FieldErrors, Item, ItemId, LONGEST_LINE, fold};

/// A cut as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct CutDraft {
    /// The day; empty is today.
    pub on: String,
    /// The pieces; blank ones are passed over.
    pub pieces: Vec<PieceDraft>,
    /// What was thrown away, with its unit.
    pub waste: String,
    /// `yes` where both ends of every piece were marked anew.
    pub marked: String,
    /// Why.
    pub reason: String,
}

/// A piece as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct PieceDraft {
    /// The mark that it gets.
    pub mark: String,
    /// How long it is, with its unit.
    pub length: String,
}

impl PieceDraft {
    /// Whether nothing was typed.
    pub fn is_blank(&self) -> bool {
        self.mark.trim().is_empty() && self.length.trim().is_empty()
    }
}

impl CutDraft {
    /// The cut of `rope` that was typed in; the pieces have no serials yet.
    ///
    /// # Errors
    /// Every field that does not hold: among them lengths that together are more than the rope has.
    pub fn check(&self, id: CutId, rope: &Item, today: Date) -> Result<RopeCut, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let on = self.day(&mut wrong, rope, today);
        let length = rope.attributes.length("length");
        if length.is_none() {
            wrong.add(
                "pieces",
                "required",
                format!(
                    "How long {} is now is not known: measure it and write it on its record first.",
                    rope.mark
                ),
            );
        }
        let pieces = self.pieces(&mut wrong, rope);
        let waste = optional(&self.waste, |text| {
            // Nothing is nothing in every unit.
            let nothing = text.chars().all(|c| matches!(c, '0' | '.' | ','));
            let text = if nothing { "0 m" } else { text };
            wrong.keep("waste", "unit", EnteredLength::read(text, None))
        });
        if waste.is_some_and(|waste| waste.value() < 0.0) {
            wrong.add(
                "waste",
                "range",
                "What was thrown away cannot be less than nothing.",
            );
        }
        let reason = wrong.note("reason", &self.reason);
        match (on, length) {
            (Some(on), Some(length)) if wrong.is_empty() => fits(RopeCut {
                id,
                rope: rope.id,
                on,
                length,
                waste,
                reason,
                marked: matches!(self.marked.trim(), "yes" | "on" | "true"),
                pieces,
            }),
            _ => Err(wrong),
        }
    }

    /// The day of the cut: none before the rope was there, and none before it was cut off another.
    fn day(&self, wrong: &mut FieldErrors, rope: &Item, today: Date) -> Option<Date> {
        if self.on.trim().is_empty() {
            return Some(today);
        }
        let on = past_day(wrong, "on", &self.on, today)?;
        let made = rope.made.map(Made::cautious_day);
        let cut = rope.whole_ropes().first().map(|whole| whole.on);
        if let Some(first) = made.max(cut).filter(|first| on < *first) {
            wrong.add(
                "on",
                "range",
                format!(
                    "{} is there since {}; it cannot have been cut on {}.",
                    rope.mark,
                    write_day(first),
                    write_day(on)
                ),
            );
        }
        Some(on)
    }

    fn pieces(&self, wrong: &mut FieldErrors, rope: &Item) -> Vec<Piece> {
        let mut pieces: Vec<Piece> = Vec::new();
        for (at, draft) in self.pieces.iter().enumerate() {
            if draft.is_blank() {
                continue;
            }
            let mut part = FieldErrors::default();
            let piece = draft.check(&mut part);
            let same = |other: &str| fold(other) == fold(&draft.mark);
            if pieces.iter().any(|other| same(&other.mark)) {
                part.add("mark", "taken", "Two pieces cannot have the same mark.");
            } else if same(&rope.mark) {
                let words = "The whole rope has this mark and keeps it: give the piece its own.";
                part.add("mark", "taken", words);
            }
            wrong.nest(&format!("pieces[{at}]"), part);
            pieces.extend(piece);
        }
        let given = self.pieces.iter().filter(|draft| !draft.is_blank()).count();
        if given == 0 {
            let words = "Write the mark and the length of at least one piece.";
            wrong.add("pieces", "required", words);
        } else if given > MOST_PIECES {
            let words = format!("Keep to {MOST_PIECES} pieces in one cut; {given} were given.");
            wrong.add("pieces", "long", words);
        }
        pieces
    }
}

impl PieceDraft {
    fn check(&self, wrong: &mut FieldErrors) -> Option<Piece> {
        let mark = wrong.line("mark", &self.mark);
        let length = wrong.keep("length", "unit", EnteredLength::read(&self.length, None));
        if length.is_some_and(|length| length.value() <= 0.0) {
            let given: String = self.length.trim().chars().take(LONGEST_LINE).collect();
            let words = format!("A piece is longer than nothing, not {given}.");
            wrong.add("length", "range", words);
        }
        length.map(|length| Piece {
            id: ItemId::new(),
            mark,
            length,
            serial: None,
        })
    }
}

/// Refuses a cut whose pieces and waste are longer than the rope.
fn fits(cut: RopeCut) -> Result<RopeCut, FieldErrors> {
    let pieces: f64 = cut.pieces.iter().map(|piece| metres(piece.length)).sum();
    let waste = cut.waste.map_or(0.0, metres);
    let over = pieces + waste - metres(cut.length);
    if over <= EQUAL {
        return Ok(cut);
    }
    let with_waste = cut.waste.map_or_else(String::new, |waste| {
        format!(
            " and the waste {waste}, together {} m",
            number(pieces + metres(waste))
        )
    });
    let sentence = format!(
        "The pieces come to {} m{with_waste}; the rope is {} long: {} m too much.",
        number(pieces),
        cut.length,
        number(over)
    );
    Err(FieldErrors::one("pieces", "range", sentence))
}
