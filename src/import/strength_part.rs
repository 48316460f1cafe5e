//! One number of a cell of strengths, and what the words beside it say that it is.

use super::field::Field;
use super::load_words::Load;
use super::strength;
use super::synonym::each;
use crate::domain::Kind;
use crate::rigging::{LoadingMode, StrengthKind};

/// Words for a most.
const MOST: &str = "max, maximum, maxi, up to, load, max load, max user, user, höchstens, bis";
/// The mass in kilograms below which a mass under a strength is that of people, and no force at which things break.
const PEOPLE: f64 = 600.0;

/// A number with its unit and the words that stand beside it.
#[derive(Clone, Debug)]
pub(super) struct Part {
    pub(super) number: f64,
    pub(super) unit: Option<Load>,
    pub(super) words: Vec<String>,
    /// Whether the number counts other things: "2 pers".
    pub(super) other: bool,
}

impl Part {
    /// Words that stand without a number.
    pub(super) fn without_number(words: Vec<String>) -> Self {
        Self {
            number: 0.0,
            unit: None,
            words,
            other: false,
        }
    }

    /// The way of loading that its words name.
    pub(super) fn mode(&self) -> Option<LoadingMode> {
        let words = self.words.join(" ");
        match words.as_str() {
            "open" | "gate" => Some(LoadingMode::GateOpen),
            "closed" | "along" => Some(LoadingMode::MajorAxis),
            words => strength::mode(words),
        }
    }

    /// Whether its words say what it is, as far as it has some.
    pub(super) fn is_named(&self) -> bool {
        let words = self.words.join(" ");
        words.is_empty()
            || each(MOST).any(|one| one == words)
            || strength::recognise(&words).is_some()
            || self.mode().is_some()
    }

    /// What its words say that it is, under a heading of such strengths or one that leaves all to the words.
    fn said(&self, heading: Option<StrengthKind>) -> Option<Field> {
        let words = self.words.join(" ");
        if words.is_empty() {
            return heading.map(|of| Field::Strength(of, None));
        }
        let of = heading.unwrap_or(StrengthKind::Breaking);
        let way = self.mode().map(|mode| Field::Strength(of, Some(mode)));
        way.or_else(|| strength::recognise(&words))
    }

    /// What its number is under a heading of such strengths, or one that leaves all to the words; none where it is nothing
    /// that this kind of gear has on record.
    pub(super) fn field(&self, kind: Kind, heading: Option<StrengthKind>) -> Option<Field> {
        let unit = self.unit.filter(|_| !self.other && self.number > 0.0)?;
        let said = self.said(heading);
        let field = if unit.is_mass() {
            self.of_mass((kind, heading), unit, said)?
        } else {
            said?
        };
        on_record(kind, field)
    }

    /// What a mass is, of which the words say this: a working limit, what breaks it, or how heavy who hangs in it may be.
    fn of_mass(
        &self,
        (kind, heading): (Kind, Option<StrengthKind>),
        unit: Load,
        said: Option<Field>,
    ) -> Option<Field> {
        let words = self.words.join(" ");
        let is_heavy = unit.kilograms(self.number) >= PEOPLE;
        let is_bare = heading.is_some() && words.is_empty();
        match said {
            Some(Field::Strength(StrengthKind::WorkingLimit, _)) => return said,
            Some(Field::Strength(StrengthKind::Breaking, None)) if is_bare && is_heavy => {
                return said;
            }
            _ => {}
        }
        let is_most = is_bare || each(MOST).any(|one| one == words);
        let of_people = !is_heavy && holds_people(kind);
        (is_most && of_people).then_some(Field::RatedLoad)
    }

    /// Whether it is a number alone.
    pub(super) fn is_bare(&self) -> bool {
        self.words.is_empty() && !self.other
    }

    /// Whether it counts or measures other things, and no word beside it says that it limits more than those: "2 pers".
    pub(super) fn is_other(&self) -> bool {
        let words = self.words.join(" ");
        self.other && (words.is_empty() || each(MOST).any(|one| one == words))
    }

    /// The strength that its words name, whatever its number.
    pub(super) fn strength(&self, kind: Kind) -> Option<Field> {
        let said = self.said(None);
        let said = said.filter(|field| matches!(field, Field::Strength(..)));
        on_record(kind, said?)
    }

    pub(super) fn value(&self, field: Field) -> String {
        self.unit
            .map_or_else(String::new, |unit| unit.written(field, self.number))
    }
}

/// A strength as a kind of gear has it on record; none where it is never loaded so.
fn on_record(kind: Kind, field: Field) -> Option<Field> {
    let modes = kind.modes();
    match field {
        Field::Strength(of, Some(mode))
            if modes.first() == Some(&mode) && kind != Kind::Connector =>
        {
            Some(Field::Strength(of, None))
        }
        Field::Strength(_, Some(mode)) if !modes.contains(&mode) => None,
        field => Some(field),
    }
}

/// Whether people hang in a kind of gear, or on it, so that a mass is theirs.
fn holds_people(kind: Kind) -> bool {
    matches!(
        kind,
        Kind::Harness
            | Kind::Lanyard
            | Kind::Litter
            | Kind::Descender
            | Kind::BackUpDevice
            | Kind::RopeClamp
            | Kind::AnchorDevice
            | Kind::Tripod
    )
}

/// The lower of the last two of three numbers of which the first is the highest, where neither has a word beside it.
pub(super) fn lower_of_the_last(parts: &[Part]) -> Option<&Part> {
    let [first, second, third] = parts else {
        return None;
    };
    let is_open = second.words.is_empty() && third.words.is_empty() && second.unit == third.unit;
    let (lower, higher) = if second.number <= third.number {
        (second, third)
    } else {
        (third, second)
    };
    let is_highest = first.unit != higher.unit || first.number >= higher.number;
    (is_open && is_highest).then_some(lower)
}
