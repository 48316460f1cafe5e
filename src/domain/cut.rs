//! Cutting a rope: the rope is closed, and each piece is an item of its own that keeps the rope's past.

use serde::{Deserialize, Serialize};
use time::{Date, OffsetDateTime};

use super::attribute::Value;
use super::date::{iso, write_day};
use super::entered::EnteredLength;
use super::inherited::OF_THE_WHOLE;
use super::{
    CutId, Item, ItemId, ItemState, Kind, Names, NotAllowed, RetiredFor, Retirement, Told,
};

/// The most pieces of one cut.
pub const MOST_PIECES: usize = 20;

/// Where sums of lengths still count as equal, in metres: far below what anybody measures, above what the sum of
/// decimal fractions is off by.
pub(super) const EQUAL: f64 = 1e-6;

/// A rope was cut into pieces.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct RopeCut {
    /// Its id: a cut that is sent twice is made once.
    pub id: CutId,
    /// The rope.
    pub rope: ItemId,
    /// The day on which it was cut.
    #[serde(with = "iso")]
    pub on: Date,
    /// How long it was until then.
    pub length: EnteredLength,
    /// What was thrown away, if somebody wrote it down.
    pub waste: Option<EnteredLength>,
    /// Why.
    pub reason: String,
    /// Whether both ends of every piece were marked anew.
    pub marked: bool,
    /// The pieces.
    pub pieces: Vec<Piece>,
}

/// One piece of a rope that was cut.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Piece {
    /// The id of the item that it is from now on.
    pub id: ItemId,
    /// The team's mark on it.
    pub mark: String,
    /// How long it is.
    pub length: EnteredLength,
    /// The rope's serial with a number behind it, so that no two items share one.
    pub serial: Option<String>,
}

/// The lengths of a cut added up, in metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CutSum {
    /// How long the rope is.
    pub length: f64,
    /// What is in pieces.
    pub pieces: f64,
    /// What was thrown away.
    pub waste: f64,
}

/// What a piece was part of.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct CutFrom {
    /// The ropes that it was part of, the last one first.
    pub ropes: Vec<WholeRope>,
    /// The serial that the maker marked on the first of them.
    pub serial: Option<String>,
}

/// A rope that an item was part of until it was cut.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct WholeRope {
    /// The rope.
    pub item: ItemId,
    /// The day on which it was cut.
    #[serde(with = "iso")]
    pub on: Date,
    /// The ledger's entry of the cut: what is recorded about the rope before it is the piece's past too.
    pub seq: u64,
}

/// What became of a rope that was cut.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct CutInto {
    /// The cut.
    pub cut: CutId,
    /// The day.
    #[serde(with = "iso")]
    pub on: Date,
    /// The pieces.
    pub pieces: Vec<ItemId>,
}

impl RopeCut {
    /// What it was cut into, in words: "A-1 (30 m), A-2 (25 m)".
    pub fn pieces_in_words(&self) -> String {
        let pieces = self.pieces.iter();
        let pieces: Vec<String> = pieces
            .map(|piece| format!("{} ({})", piece.mark, piece.length))
            .collect();
        pieces.join(", ")
    }

    /// The cut in words.
    pub(super) fn told(&self, names: &Names) -> Told {
        let lengths = self.lengths_in_words();
        let why = match self.reason.as_str() {
            "" => lengths,
            reason => format!("{lengths}; {reason}"),
        };
        let (rope, pieces) = (names.of(self.rope.0), self.pieces_in_words());
        Told::new(format!("{rope} cut into {pieces}"))
            .why(why)
            .on(self.on)
    }

    /// Its lengths added up.
    pub fn sum(&self) -> CutSum {
        let pieces = self.pieces.iter().map(|piece| metres(piece.length));
        CutSum {
            length: metres(self.length),
            pieces: pieces.sum(),
            waste: self.waste.map_or(0.0, metres),
        }
    }

    /// The metres that are neither in a piece nor written down as waste.
    pub fn metres_unaccounted(&self) -> f64 {
        self.sum().left().max(0.0)
    }

    /// The lengths in words: "60 m long until then, 1 m waste, 4 m not accounted for".
    pub fn lengths_in_words(&self) -> String {
        let waste = self.waste.map(|waste| format!(", {waste} waste"));
        let left = self.metres_unaccounted();
        let left = (left > 0.0).then(|| format!(", {} m not accounted for", number(left)));
        format!(
            "{} long until then{}{}",
            self.length,
            waste.unwrap_or_default(),
            left.unwrap_or_default()
        )
    }
}

impl CutSum {
    /// What is in no piece and no waste, in metres: less than nothing where these are longer than the rope.
    pub fn left(&self) -> f64 {
        let left = self.length - self.pieces - self.waste;
        if left.abs() < EQUAL { 0.0 } else { left }
    }

    /// The sum in words: "Of 60 m: 40 m in pieces, 1 m thrown away, 19 m not accounted for".
    pub fn words(&self) -> String {
        let (length, pieces) = (number(self.length), number(self.pieces));
        let waste = match self.waste {
            0.0 => String::new(),
            waste => format!(", {} m thrown away", number(waste)),
        };
        let left = match self.left() {
            0.0 => "nothing left over".to_owned(),
            over if over < 0.0 => format!("{} m too much", number(-over)),
            left => format!("{} m not accounted for", number(left)),
        };
        format!("Of {length} m: {pieces} m in pieces{waste}, {left}")
    }
}

pub(super) fn metres(length: EnteredLength) -> f64 {
    length.quantity().metres()
}

/// The number, with at most three digits behind the point.
pub(super) fn number(metres: f64) -> String {
    let text = format!("{metres:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

impl Kind {
    /// Whether things of this kind are cut into pieces that stay in use.
    pub fn is_cut(self) -> bool {
        matches!(self, Self::Rope | Self::Cord)
    }
}

impl ItemState {
    /// Whether a rope in this state may be cut.
    ///
    /// # Errors
    /// [`NotAllowed`] for one that is retired or missing.
    pub fn must_be_at_hand(self) -> Result<(), NotAllowed> {
        match self {
            Self::InService | Self::Quarantined => Ok(()),
            Self::Missing => Err(NotAllowed::MissingIsNotCut),
            Self::Retired => Err(NotAllowed::Retired),
        }
    }
}

impl Item {
    /// The rope as the cut leaves it, and its pieces. `seq` is the ledger's entry of the cut.
    ///
    /// A piece keeps what the rope is made of and when, its days of examination and its state: what waited for a
    /// decision still does. Its markings count as read only if the ends were marked anew.
    ///
    /// # Errors
    /// [`NotAllowed`] for a rope that is retired or missing.
    pub fn cut(
        mut self,
        cut: &RopeCut,
        seq: u64,
        at: OffsetDateTime,
    ) -> Result<(Self, Vec<Self>), NotAllowed> {
        self.state.must_be_at_hand()?;
        let pieces = cut
            .pieces
            .iter()
            .map(|piece| self.piece(piece, cut, seq, at));
        let pieces = pieces.collect();
        self.state = ItemState::Retired;
        self.cut_into = Some(CutInto {
            cut: cut.id,
            on: cut.on,
            pieces: cut.pieces.iter().map(|piece| piece.id).collect(),
        });
        self.retired = Some(Retirement {
            on: cut.on,
            because: RetiredFor::Cut,
        });
        let into = cut.pieces_in_words();
        self.changed(&format!("cut on {} into {into}", write_day(cut.on)), at);
        Ok((self, pieces))
    }

    fn piece(&self, piece: &Piece, cut: &RopeCut, seq: u64, at: OffsetDateTime) -> Self {
        let mut attributes = self.attributes.clone();
        for key in OF_THE_WHOLE {
            attributes.0.remove(key);
        }
        attributes
            .0
            .insert("length".to_owned(), Value::Length(piece.length));
        let (state_reason, state_since) = match self.state {
            ItemState::InService => (format!("cut from {}", self.mark), at),
            _ => (self.state_reason.clone(), self.state_since),
        };
        let here = WholeRope {
            item: self.id,
            on: cut.on,
            seq,
        };
        let before = self.cut_from.iter().flat_map(|from| from.ropes.clone());
        Self {
            id: piece.id,
            revision: 1,
            mark: piece.mark.clone(),
            serial: piece.serial.clone(),
            markings_readable: match self.markings_readable {
                _ if cut.marked => Some(true),
                Some(false) => Some(false),
                _ => None,
            },
            attributes,
            state_reason,
            state_since,
            cut_from: Some(CutFrom {
                ropes: std::iter::once(here).chain(before).collect(),
                serial: self.maker_serial().map(str::to_owned),
            }),
            cut_into: None,
            retired: None,
            return_asked: None,
            ..self.clone()
        }
    }

    /// The serial that the maker marked: on a piece of a rope, that of the whole rope.
    pub fn maker_serial(&self) -> Option<&str> {
        match &self.cut_from {
            Some(from) => from.serial.as_deref(),
            None => self.serial.as_deref(),
        }
    }

    /// The ropes that it was part of, the last one first; none where it was never cut off anything.
    pub fn whole_ropes(&self) -> &[WholeRope] {
        self.cut_from.as_ref().map_or(&[], |from| &from.ropes)
    }
}
