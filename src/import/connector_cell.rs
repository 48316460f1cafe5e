//! The three strengths of a connector in one cell: "40/15/12", "45/-/10".

use super::field::Field;
use super::rope_words::Token;
use super::strength_part::{Part, lower_of_the_last};
use super::strength_said::{Said, Unsaid, give_units, parts_of};
use crate::domain::Kind;
use crate::rigging::{LoadingMode, StrengthKind};

/// A dash in the place of a number.
pub(super) const NOT_KNOWN: &[Token] = &[Token::Dash];

/// The strengths of a connector of which one is not known: "45/-/10". The first is that along the major axis; which of the
/// other two a number without a word is of, nobody can tell, so that it is neither.
pub(super) fn one_not_known(
    segments: &[&[Token]],
    (heading, unit): (Option<StrengthKind>, Option<&str>),
) -> Result<Said, Unsaid> {
    let of = heading.ok_or(Unsaid::Unread)?;
    let mut said = Said::default();
    let mut parts = Vec::new();
    for (at, segment) in segments
        .iter()
        .enumerate()
        .filter(|(_, one)| **one != NOT_KNOWN)
    {
        match parts_of(Kind::Connector, segment)?.as_slice() {
            [part] => parts.push((at, part.clone())),
            _ => return Err(Unsaid::Unread),
        }
    }
    let (places, mut parts): (Vec<usize>, Vec<Part>) = parts.into_iter().unzip();
    give_units(&mut parts, unit)?;
    for (at, part) in places.iter().zip(&parts) {
        let mode = part.mode().filter(|_| !part.words.is_empty());
        let mode = mode.or((*at == 0 && part.words.is_empty()).then_some(LoadingMode::MajorAxis));
        let is_force = part.unit.is_some_and(|unit| !unit.is_mass()) && !part.other;
        match mode.filter(|_| is_force) {
            Some(mode) => {
                let field = Field::Strength(of, Some(mode));
                said.fields.push((field, part.value(field)));
            }
            None => said.more = true,
        }
    }
    let has_any = !said.fields.is_empty();
    has_any.then_some(said).ok_or(Unsaid::Unread)
}

/// The three strengths of a connector in the order of its marking, where what words stand there say no other. Some lists
/// have the open gate before the minor axis: where no word tells the two apart, the lower stands for both.
pub(super) fn in_order(kind: Kind, of: StrengthKind, parts: &[Part]) -> Option<Said> {
    const ORDER: [LoadingMode; 3] = [
        LoadingMode::MajorAxis,
        LoadingMode::MinorAxis,
        LoadingMode::GateOpen,
    ];
    if kind != Kind::Connector || parts.len() != ORDER.len() {
        return None;
    }
    let lower = lower_of_the_last(parts);
    if lower.is_none() && parts[1..].iter().all(|part| part.words.is_empty()) {
        return None;
    }
    let all = parts.iter().zip(ORDER).map(|(part, mode)| {
        let is_first = mode == LoadingMode::MajorAxis;
        let said = part.words.is_empty() || part.mode() == Some(mode);
        let part = lower.filter(|_| !is_first).unwrap_or(part);
        let field = Field::Strength(of, Some(mode));
        let is_force = part.unit.is_some_and(|unit| !unit.is_mass());
        (said && is_force && !part.other).then(|| (field, part.value(field)))
    });
    Some(Said {
        fields: all.collect::<Option<_>>()?,
        lower_for_both: lower.is_some(),
        ..Said::default()
    })
}

#[cfg(test)]
mod tests {
    use super::super::strength_said;
    use super::*;

    #[test]
    fn the_lower_of_two_stands_for_both_where_no_word_tells_them_apart() {
        for (text, both) in [
            ("40/15/12 kN", true),
            ("major 40 kN / 15 / 12", true),
            ("40 kN / minor 15 / open 12", false),
            ("45 kN/-/10", false),
        ] {
            let said =
                strength_said::read(Kind::Connector, text, (Some(StrengthKind::Breaking), None));
            assert_eq!(said.map(|said| said.lower_for_both), Ok(both), "{text}");
        }
    }
}
