//! What a piece has from the rope that it was cut from, and how a correction of the rope's record reaches it.

use std::collections::BTreeSet;

use super::{CutFrom, Item};

/// What was measured or marked on a whole rope, which says nothing of a piece.
pub(super) const OF_THE_WHOLE: [&str; 4] = [
    "length-new",
    "length-confirmed",
    "length-new-confirmed",
    "end-marks",
];

/// A piece as a correction of the rope's record leaves it.
#[derive(Clone, Debug, PartialEq)]
pub struct Inherited {
    /// The piece with what was corrected; none where nothing of it is other than it was.
    pub piece: Option<Item>,
    /// What was corrected of the rope and stays as it is of the piece, whose own record says something else by now.
    pub kept: Vec<&'static str>,
}

/// What was on record of a rope, and what is from now on.
type Correction<'a> = (&'a Item, &'a Item);

impl Item {
    /// The piece after a correction of the rope that it was cut from, of which it is the `number`th piece, counted from 1.
    ///
    /// What the correction changed goes on to the piece wherever that still has what it inherited. The marks of the ends and
    /// the lengths are each one's own.
    pub fn inheriting(&self, (before, after): Correction<'_>, number: usize) -> Inherited {
        let mut piece = self.clone();
        let mut kept = Vec::new();
        let mut look = |stays: bool, what| {
            if stays {
                kept.push(what);
            }
        };
        look(
            follow(&mut piece.model, (&before.model, &after.model)),
            "model",
        );
        look(follow(&mut piece.lot, (&before.lot, &after.lot)), "lot");
        look(
            follow(&mut piece.made, (&before.made, &after.made)),
            "date made",
        );
        look(
            follow(&mut piece.bought_on, (&before.bought_on, &after.bought_on)),
            "day bought",
        );
        let first_used = (&before.first_used_on, &after.first_used_on);
        look(follow(&mut piece.first_used_on, first_used), "first use");
        look(
            follow(&mut piece.arduous, (&before.arduous, &after.arduous)),
            "arduous use",
        );
        look(piece.follow_serial((before, after), number), "serial");
        look(piece.follow_attributes((before, after)), "details");
        let piece = Some(Self {
            revision: self.revision + 1,
            ..piece
        });
        Inherited {
            piece: piece.filter(|piece| !piece.is_but_for_its_revision(self)),
            kept,
        }
    }

    fn is_but_for_its_revision(&self, other: &Self) -> bool {
        let revision = other.revision;
        Self {
            revision,
            ..self.clone()
        } == *other
    }

    /// Takes over the serial: that which the maker marked, and the own one with the number of the piece behind it. Tells
    /// whether the own one stays.
    fn follow_serial(&mut self, (before, after): Correction<'_>, number: usize) -> bool {
        if let Some(CutFrom { serial, .. }) = &mut self.cut_from
            && serial.as_deref() == before.maker_serial()
        {
            *serial = after.maker_serial().map(str::to_owned);
        }
        if before.serial == after.serial {
            return false;
        }
        let numbered = |serial: &String, number: &str| format!("{serial}/{number}");
        let number = match (&self.serial, &before.serial) {
            (None, None) => Some(number.to_string()),
            (Some(own), Some(whole)) => {
                let behind = own.strip_prefix(whole.as_str());
                let behind = behind.and_then(|behind| behind.strip_prefix('/'));
                let number = behind.filter(|text| text.parse::<u32>().is_ok());
                number.map(str::to_owned)
            }
            _ => None,
        };
        let Some(number) = number else { return true };
        self.serial = after
            .serial
            .as_ref()
            .map(|serial| numbered(serial, &number));
        false
    }

    /// Takes over what else is written down of the rope; tells whether some of it stays.
    fn follow_attributes(&mut self, (before, after): Correction<'_>) -> bool {
        let both = before.attributes.0.keys().chain(after.attributes.0.keys());
        let of_the_whole = |key: &str| key == "length" || OF_THE_WHOLE.contains(&key);
        let keys: BTreeSet<&String> = both.filter(|key| !of_the_whole(key)).collect();
        let mut stays = false;
        for key in keys {
            let [was, is] = [before, after].map(|rope| rope.attributes.0.get(key).cloned());
            let mut own = self.attributes.0.remove(key);
            stays |= follow(&mut own, (&was, &is));
            if let Some(own) = own {
                self.attributes.0.insert(key.clone(), own);
            }
        }
        stays
    }
}

/// Takes over what is other from now on where `own` is what it was; tells whether it is something else and stays.
fn follow<T: Clone + PartialEq>(own: &mut T, (was, is): (&T, &T)) -> bool {
    if was == is || own == is {
        return false;
    }
    if own == was {
        own.clone_from(is);
        return false;
    }
    true
}
