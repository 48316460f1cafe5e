//! The load that words say a thing is made for: "WLL 2 kN", "rated load 136 kg", "max 140 kg", "Nennlast 200 kg",
//! "CMU 6 kN".
//!
//! Common practice, no source: a load is read only with its unit and beside a word that means one thing in the trade.
//! "Max 140 kg" alone is a rated load on what runs on a rope; on other gear nobody can tell what it limits. A range, two
//! loads, a load in one way of loading, and what was tried once are not read: no end of them is made the load.

use super::field::Field;
use super::rope_words::{Token, tokens};
use super::synonym::each;
use crate::domain::Kind;
use crate::domain::entered::{ForceUnit, MassUnit};
use crate::rigging::StrengthKind;

/// Words for the working load limit.
const WORKING: &str = "wll, swl, mwl, cmu, w l l, s w l, c m u, working load limit, working load, working limit, \
     safe working load, arbeitslast, tragfähigkeit, traglast, charge maximale d utilisation, \
     charge maximum d utilisation, charge de travail";
/// Words for the rated load.
const RATED: &str = "rated load, nennlast, charge nominale";
/// Words for the most that a device on a rope is for: its rated load.
const MOST: &str = "max load, maximum load, höchstlast, maximallast, max last, maximale last, charge max, charge maxi, \
     charge maximale, load max, last max";
/// The same where only the number says that a mass is meant.
const BARE: &str = "max, maximum, maxi";
/// Words that may stand between such a word and its number.
const BETWEEN: &str =
    "of, is, up, to, von, bis, zu, de, à, max, maximum, maxi, maximal, load, charge";
/// Words that take it back, or tell what was done once, or of what else it is said.
const NO: &str = "not, no, never, nicht, kein, keine, pas, test, tested, tests, proof, prüflast, prüfung, geprüft, essai, \
     testé, break, breaking, slip, slips, slipped, user, users, person, weight, mass, own";
/// Words behind a load that it is not the load of the thing as a whole.
const PART: &str = "basket, choked, choker, becket, minor, gate, open, cross, axis, per, each, pro, je, par, leg, legs, \
     strand, strands, sheave, side, anchor";
/// How many words in front may take it back.
const BEFORE: usize = 5;

/// The loads that a text says, each with its unit; none of a field of which it says two.
pub(super) fn stated(kind: Kind, text: &str) -> Vec<(Field, String)> {
    if kind.modes().is_empty() {
        return Vec::new();
    }
    let tokens = tokens(&text.to_lowercase().replace(['\'', '’'], " "));
    let all = (0..tokens.len()).filter_map(|at| load_at(kind, &tokens, at));
    let mut found: Vec<(Field, Option<String>)> = Vec::new();
    for (field, value) in all {
        match found.iter_mut().find(|(one, _)| *one == field) {
            Some((_, before)) if *before == value => {}
            Some((_, before)) => *before = None,
            None => found.push((field, value)),
        }
    }
    let clear = found.into_iter();
    clear
        .filter_map(|(field, value)| Some((field, value?)))
        .collect()
}

/// The load whose number stands at `at`, with what it is; without a value where it is said of a part or as a range.
fn load_at(kind: Kind, tokens: &[Token], at: usize) -> Option<(Field, Option<String>)> {
    let (Token::Number(number), Token::Word(unit)) = (tokens.get(at)?, tokens.get(at + 1)?) else {
        return None;
    };
    let unit = Load::of(unit).filter(|_| *number > 0.0)?;
    let (field, from) =
        in_front(kind, tokens, at, unit).or_else(|| behind(kind, tokens, at, unit))?;
    let before = tokens[..from].iter().rev();
    let before = before.take_while(|token| **token != Token::Break);
    if before.take(BEFORE).any(|token| is_of(token, NO)) {
        return None;
    }
    let value = (!goes_on(tokens, at + 2)).then(|| unit.written(field, *number));
    Some((field, value))
}

/// What words right in front of the number say that it is, and where they begin.
fn in_front(kind: Kind, tokens: &[Token], at: usize, unit: Load) -> Option<(Field, usize)> {
    let ends = (0..=at).rev();
    // The number itself, then what may stand between; "WLL max 2 kN" is a working limit.
    let ends = ends.take_while(|end| tokens[*end..at].iter().all(|one| is_of(one, BETWEEN)));
    let found =
        ends.filter_map(|end| named(kind, unit, |phrase| ends_with(&tokens[..end], phrase)));
    found.last()
}

/// What words right behind the unit say that it is, where the number opens a statement and no other number follows them.
fn behind(kind: Kind, tokens: &[Token], at: usize, unit: Load) -> Option<(Field, usize)> {
    let opens = at == 0 || tokens[at - 1] == Token::Break;
    let rest = tokens.get(at + 2..).filter(|_| opens)?;
    let (field, length) = named(kind, unit, |phrase| {
        let words: Vec<&str> = phrase.split(' ').collect();
        let is_there = words.len() <= rest.len()
            && words
                .iter()
                .zip(rest)
                .all(|(word, token)| is_word(token, word));
        is_there.then_some(words.len())
    })?;
    let next = rest.get(length);
    (!matches!(next, Some(Token::Number(_)))).then_some((field, at))
}

/// The field of the longest phrase that is found, with what `find` gives for it.
fn named(kind: Kind, unit: Load, find: impl Fn(&str) -> Option<usize>) -> Option<(Field, usize)> {
    let working = Field::Strength(StrengthKind::WorkingLimit, None);
    let is_device = matches!(kind, Kind::Descender | Kind::RopeClamp | Kind::BackUpDevice);
    let lists = [
        (working, WORKING, true),
        (Field::RatedLoad, RATED, true),
        (Field::RatedLoad, MOST, is_device),
        (Field::RatedLoad, BARE, is_device && unit.is_mass()),
    ];
    let lists = lists.into_iter().filter(|(.., holds)| *holds);
    let all = lists.flat_map(|(field, list, _)| each(list).map(move |phrase| (field, phrase)));
    let found = all.filter_map(|(field, phrase)| Some((phrase.len(), field, find(phrase)?)));
    found
        .max_by_key(|(length, ..)| *length)
        .map(|(_, field, at)| (field, at))
}

/// Where a phrase begins that these tokens end with.
fn ends_with(tokens: &[Token], phrase: &str) -> Option<usize> {
    let words: Vec<&str> = phrase.split(' ').collect();
    let from = tokens.len().checked_sub(words.len())?;
    let mut pairs = words.iter().zip(&tokens[from..]);
    pairs
        .all(|(word, token)| is_word(token, word))
        .then_some(from)
}

/// Whether what follows a load says that it is an end of a range, one of two, or that of a part.
fn goes_on(tokens: &[Token], next: usize) -> bool {
    let is_number = |at: usize| matches!(tokens.get(at), Some(Token::Number(_)));
    match tokens.get(next) {
        None | Some(Token::Number(_)) => is_number(next),
        Some(Token::Dash) => true,
        Some(Token::Break) => {
            // "6 kN / 12 kN": two loads, and nothing says of what the second is.
            let unit = tokens.get(next + 2);
            let is_load = matches!(unit, Some(Token::Word(unit)) if Load::of(unit).is_some());
            is_number(next + 1) && is_load && !matches!(tokens.get(next + 3), Some(Token::Word(_)))
        }
        Some(token) => {
            is_of(token, PART)
                || (is_of(token, "to, bis, à, and, und, et, or, oder, ou") && is_number(next + 1))
        }
    }
}

fn is_word(token: &Token, word: &str) -> bool {
    matches!(token, Token::Word(one) if one == word)
}

fn is_of(token: &Token, list: &str) -> bool {
    each(list).any(|word| is_word(token, word))
}

/// The unit of a load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Load {
    Force(ForceUnit),
    Mass(MassUnit),
}

impl Load {
    pub(super) fn of(word: &str) -> Option<Self> {
        let mass = MassUnit::from_symbol(word).map(Self::Mass);
        mass.or_else(|| ForceUnit::from_symbol(word).map(Self::Force))
    }

    pub(super) fn is_mass(self) -> bool {
        matches!(self, Self::Mass(_))
    }

    /// A number of it as a mass in kilograms; nothing where it is no mass.
    pub(super) fn kilograms(self, number: f64) -> f64 {
        match self {
            Self::Mass(unit) => unit
                .quantity(number)
                .map_or(f64::NAN, |mass| mass.kilograms()),
            Self::Force(_) => f64::NAN,
        }
    }

    /// As the field has it: a strength is a force, so that a mass there is the force of its weight.
    pub(super) fn written(self, field: Field, number: f64) -> String {
        let symbol = match (self, field) {
            (Self::Mass(MassUnit::Kilogram), Field::Strength(..)) => "kgf",
            (Self::Mass(MassUnit::Pound), Field::Strength(..)) => "lbf",
            (Self::Mass(unit), _) => unit.symbol(),
            (Self::Force(unit), _) => unit.symbol(),
        };
        format!("{number} {symbol}")
    }
}

#[cfg(test)]
mod tests {
    use super::super::stated::told;
    use super::stated;
    use crate::domain::Kind;

    #[test]
    fn a_load_beside_its_word_is_read() {
        for (kind, text, read) in [
            (Kind::Pulley, "WLL 2 kN", "working-limit 2 kN"),
            (Kind::Pulley, "blue, W.L.L.: 6kN", "working-limit 6 kN"),
            (Kind::Sling, "SWL = 1000 kg", "working-limit 1000 kgf"),
            (Kind::Connector, "MBS 30 kN WLL 5 kN", "working-limit 5 kN"),
            (Kind::Connector, "30 kN MBS, 5 kN WLL", "working-limit 5 kN"),
            (Kind::Sling, "Tragfähigkeit 2,5 kN", "working-limit 2.5 kN"),
            (Kind::Sling, "CMU 3 kN", "working-limit 3 kN"),
            (
                Kind::Sling,
                "charge maximale d'utilisation: 3 kN",
                "working-limit 3 kN",
            ),
            (Kind::Descender, "rated load 136 kg", "rated-load 136 kg"),
            (
                Kind::Descender,
                "Rated load up to 300 lb",
                "rated-load 300 lb",
            ),
            (Kind::Descender, "WLL max 2 kN", "working-limit 2 kN"),
            (Kind::Descender, "WLL max 200 kg", "working-limit 200 kgf"),
            (Kind::Descender, "Nennlast max. 200 kg", "rated-load 200 kg"),
            (Kind::BackUpDevice, "max 140 kg", "rated-load 140 kg"),
            (Kind::RopeClamp, "140 kg max", "rated-load 140 kg"),
            (Kind::Descender, "charge maxi 150 kg", "rated-load 150 kg"),
            (
                Kind::Descender,
                "max load 2 kN; rope 10-11.5 mm",
                "rated-load 2 kN",
            ),
        ] {
            let told = told(stated(kind, text)).join(", ");
            assert_eq!(told, read, "{text}");
        }
    }

    #[test]
    fn what_is_not_plain_is_not() {
        for (kind, text) in [
            (Kind::Descender, "rated load 40-140 kg"),
            (Kind::Descender, "rated load 40 kg to 140 kg"),
            (Kind::Descender, "rated load 40 to 140 kg"),
            (Kind::Descender, "load 40-140 kg max"),
            (Kind::Pulley, "max 140 kg"),
            (Kind::Harness, "max 140 kg"),
            (Kind::Descender, "max 140"),
            (Kind::Descender, "max 9 kN"),
            (Kind::BackUpDevice, "max user weight 140 kg"),
            (Kind::Pulley, "WLL 6 kN / 12 kN"),
            (Kind::Pulley, "WLL 6 kN, WLL 8 kN"),
            (Kind::Sling, "WLL 6 kN basket"),
            (Kind::Sling, "WLL 1,200 lbf"),
            (Kind::Pulley, "tested at WLL 2 kN"),
            (Kind::Pulley, "no WLL 2 kN"),
            (Kind::Pulley, "WLL 2 x 3 kN"),
            (Kind::Pulley, "22 kN"),
            (Kind::Pulley, "MBS 20 kN WLL"),
            (Kind::Helmet, "rated load 100 kg"),
        ] {
            let told = told(stated(kind, text));
            assert!(told.is_empty(), "{text}: {told:?}");
        }
    }
}
