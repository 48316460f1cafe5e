//! A cut of a rope as it is typed in.

use serde::{Deserialize, Serialize};
use time::Date;

use super::cut::{CutSum, MOST_PIECES, Piece, RopeCut, metres, number};
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
    /// What became of what is in no piece and no waste: `thrown-away`, or `not-known`. It is asked for where the lengths
    /// leave something over.
    pub rest: String,
    /// How much that was when it was said what became of it, with its unit: if it is another length now, it is asked for
    /// again. Empty is however much it is.
    pub rest_length: String,
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

/// What became of what is left over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rest {
    /// It was thrown away too.
    ThrownAway,
    /// Nobody knows, and the history says so.
    NotKnown,
}

impl Rest {
    /// Both, the better known first.
    pub const ALL: [Self; 2] = [Self::ThrownAway, Self::NotKnown];

    /// The word for programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::ThrownAway => "thrown-away",
            Self::NotKnown => "not-known",
        }
    }
}

impl CutDraft {
    /// The lengths that were typed, added up; nothing where one of them cannot be read, or where none of a piece is there.
    pub fn sum(&self, rope: &Item) -> Option<CutSum> {
        let read = |text: &str| Some(metres(EnteredLength::read(text, None).ok()?));
        let typed = self.pieces.iter().filter(|piece| !piece.is_blank());
        let pieces: Vec<f64> = typed
            .map(|piece| read(&piece.length))
            .collect::<Option<_>>()?;
        let waste = match self.waste.trim() {
            "" => 0.0,
            text if is_nothing(text) => 0.0,
            text => read(text)?,
        };
        (!pieces.is_empty()).then_some(CutSum {
            length: metres(rope.attributes.length("length")?),
            pieces: pieces.iter().sum(),
            waste,
        })
    }

    /// The cut of `rope` that was typed in; the pieces have no serials yet.
    ///
    /// # Errors
    /// Every field that does not hold: among them lengths that together are more than the rope has, and less of which
    /// nobody says what became of the rest.
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
            let text = if is_nothing(text) { "0 m" } else { text };
            wrong.keep("waste", "unit", EnteredLength::read_of_way(text))
        });
        if waste.is_some_and(|waste| waste.value() < 0.0) {
            wrong.add(
                "waste",
                "range",
                "What was thrown away cannot be less than nothing.",
            );
        }
        let reason = wrong.note("reason", &self.reason);
        let marked = wrong.tick("marked", &self.marked);
        match (on, length) {
            (Some(on), Some(length)) if wrong.is_empty() => self.accounted(fits(RopeCut {
                id,
                rope: rope.id,
                on,
                length,
                waste,
                reason,
                marked,
                pieces,
            })?),
            _ => Err(wrong),
        }
    }

    /// The cut, once it is said what became of what is left over, and of as much as is left.
    fn accounted(&self, mut cut: RopeCut) -> Result<RopeCut, FieldErrors> {
        let sum = cut.sum();
        let left = sum.left();
        if left <= 0.0 {
            return Ok(cut);
        }
        let mut wrong = FieldErrors::default();
        let seen = optional(&self.rest_length, |text| {
            wrong.keep("rest_length", "unit", EnteredLength::read_of_way(text))
        });
        let typed = self.rest.trim();
        let rest = Rest::ALL.into_iter().find(|rest| rest.key() == typed);
        let words = sum.words();
        if rest.is_none() && !typed.is_empty() {
            let keys = Rest::ALL.map(Rest::key).join(" or ");
            let given: String = typed.chars().take(60).collect();
            let sentence = format!("Choose {keys}, not \"{given}\".");
            wrong.add("rest", "choice", sentence);
        } else if rest.is_none() {
            let sentence = format!(
                "{words}. Say what became of the {} m, or write the pieces and the waste so that nothing is left over.",
                number(left)
            );
            wrong.add("rest", "required", sentence);
        } else if let Some(seen) = seen.filter(|seen| (metres(*seen) - left).abs() > SEEN) {
            let sentence = format!(
                "{words}. It was {seen} when you said what became of it: say it again of what is left over now."
            );
            wrong.add("rest", "stale", sentence);
        }
        let rest = wrong.or(|| rest)?;
        if rest == Some(Rest::ThrownAway) {
            cut.waste = wasted(sum.waste + left).or(cut.waste);
        }
        Ok(cut)
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
        let length = wrong.keep("length", "unit", EnteredLength::read_of_way(&self.length));
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

/// How far a length that was shown may be off what is left over, in metres: it is shown with three digits.
const SEEN: f64 = 0.001;

/// Whether a text is nothing, which is nothing in every unit.
fn is_nothing(text: &str) -> bool {
    text.chars().all(|c| matches!(c, '0' | '.' | ','))
}

/// So many metres as they would be written, without what the sum of decimal fractions is off by.
fn wasted(metres: f64) -> Option<EnteredLength> {
    let written = format!("{metres:.6} m");
    EnteredLength::read(&written, None).ok()
}

/// Refuses a cut whose pieces and waste are longer than the rope.
fn fits(cut: RopeCut) -> Result<RopeCut, FieldErrors> {
    let sum = cut.sum();
    let over = -sum.left();
    if cut.pieces.len() == 1 && over == 0.0 && sum.waste == 0.0 {
        let sentence = format!(
            "One piece of {} is the whole rope: nothing is cut off it. Write what was cut off or thrown away; a new mark alone \
             is written on its record.",
            cut.length
        );
        return Err(FieldErrors::one("pieces", "range", sentence));
    }
    if over <= 0.0 {
        return Ok(cut);
    }
    let with_waste = cut.waste.map_or_else(String::new, |waste| {
        format!(
            " and the waste {waste}, together {} m",
            number(sum.pieces + sum.waste)
        )
    });
    let sentence = format!(
        "The pieces come to {} m{with_waste}; the rope is {} long: {} m too much.",
        number(sum.pieces),
        cut.length,
        number(over)
    );
    Err(FieldErrors::one("pieces", "range", sentence))
}
