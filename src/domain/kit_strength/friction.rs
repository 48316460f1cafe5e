//! How the sheaves of a pulley turn, from its record; what is assumed is said in words.

use super::{KitGap, KitItem};
use crate::rigging::{Band, Efficiency, Friction, Position, Post, Turning, Wheel};

/// How far the stiffness of a rope can move the efficiency of a sheave, as a share of it.
const STIFFNESS: f64 = 0.15;
const STIFFNESS_SOURCE: &str =
    "a trade technical article says that the stiffness of the rope can move it by up to 15 %";

/// The coefficient of friction of rope on a standing sheave: low, likely, high.
const STANDING: [f64; 3] = [0.1, 0.2, 0.3];
const STANDING_SOURCE: &str =
    "an assumed range, from memory, not sure; worked examples in print use 0.2 and 0.3";

/// How the sheaves of a pulley turn at a position, or everything that its record lacks for it.
pub(super) fn wheel(item: &KitItem<'_>, place: &Position) -> Result<Wheel, Vec<KitGap>> {
    match (efficiency(item, place), turning(item, place)) {
        (Ok((efficiency, source)), Ok(turning)) => Ok(Wheel {
            efficiency,
            source,
            turning,
        }),
        (efficiency, turning) => {
            let gaps = [efficiency.err(), turning.err()];
            Err(gaps.into_iter().flatten().collect())
        }
    }
}

fn gap(code: &'static str, place: &Position, sentence: String) -> KitGap {
    KitGap::at(code, Some(place.key()), sentence)
}

/// The band of efficiency and how it is known.
fn efficiency(item: &KitItem<'_>, place: &Position) -> Result<(Band<Efficiency>, String), KitGap> {
    let attributes = &item.model.attributes;
    let label = item.label();
    let Some(likely) = attributes.number("efficiency") else {
        return Err(gap(
            "no-efficiency",
            place,
            format!(
                "The efficiency of {label} at {} is not known: write it on the model's record, with its range.",
                place.title()
            ),
        ));
    };
    let (low, high) = (
        attributes.number("efficiency-low"),
        attributes.number("efficiency-high"),
    );
    let known = match attributes.text("efficiency-source") {
        Some("maker") => "as the maker states it",
        Some("measured") => "as measured",
        Some("assumed") => "as assumed on its record",
        _ => "as entered, without saying how it is known",
    };
    let source = match (low, high) {
        (Some(_), Some(_)) => known.to_owned(),
        _ => format!(
            "{known}; where its range is not on record, 15 % below and above is assumed, but never more than 1: {STIFFNESS_SOURCE}"
        ),
    };
    let low = low.unwrap_or(likely * (1.0 - STIFFNESS));
    // No sheave gives back more than was pulled.
    let high = high.unwrap_or((likely * (1.0 + STIFFNESS)).min(1.0));
    match band([low, likely, high], Efficiency::from_share) {
        Some(band) => Ok((band, source)),
        None => Err(gap(
            "no-efficiency",
            place,
            format!(
                "The efficiency of {label} is {likely} with a range from {low} to {high}: mend the model's record, so that it lies in its range, above 0 and at most 1."
            ),
        )),
    }
}

/// A band of three plain numbers, if each is one of the quantity and they are in order.
fn band<T: Copy + PartialOrd, E>(
    [low, likely, high]: [f64; 3],
    read: impl Fn(f64) -> Result<T, E>,
) -> Option<Band<T>> {
    Band::new(read(low).ok()?, read(likely).ok()?, read(high).ok()?).ok()
}

/// How rope rubs on a post or a brake.
pub(super) fn post(item: &KitItem<'_>, place: &Position) -> Result<Post, KitGap> {
    let (friction, source) = standing(item, place)?;
    Ok(Post { friction, source })
}

/// How rope rubs on what stands still: as the record says, or the range that is assumed where it says
/// nothing.
fn standing(item: &KitItem<'_>, place: &Position) -> Result<(Band<Friction>, String), KitGap> {
    let attributes = &item.model.attributes;
    let given = ["friction-low", "friction", "friction-high"].map(|key| attributes.number(key));
    let (numbers, source) = match given {
        [None, None, None] => (STANDING, STANDING_SOURCE),
        [Some(low), Some(likely), Some(high)] => ([low, likely, high], "as on its record"),
        _ => {
            return Err(gap(
                "no-friction",
                place,
                format!(
                    "The friction of rope on {} is on record only in part: write its low end, the likely value and its high end, or none of the three.",
                    item.label()
                ),
            ));
        }
    };
    match band(numbers, Friction::from_coefficient) {
        Some(friction) => Ok((friction, source.to_owned())),
        None => Err(gap(
            "no-friction",
            place,
            format!(
                "The friction of rope on {} is {} with a range from {} to {}: mend the model's record, so that it lies in its range.",
                item.label(),
                numbers[1],
                numbers[0],
                numbers[2]
            ),
        )),
    }
}

/// Whether the captured sheave turns both ways; asked only where the rig captures.
fn turning(item: &KitItem<'_>, place: &Position) -> Result<Turning, KitGap> {
    let attributes = &item.model.attributes;
    // Whether it has a capture at all is for the mechanics to ask; where that is not known, both are asked at once.
    if !place.needs_capture() || attributes.yes_no("capture") == Some(false) {
        return Ok(Turning::Free);
    }
    match attributes.yes_no("one-way-sheave") {
        Some(false) => Ok(Turning::Cam),
        Some(true) => {
            let (friction, source) = standing(item, place)?;
            Ok(Turning::OneWay { friction, source })
        }
        None => Err(gap(
            "no-turning",
            place,
            format!(
                "Whether the sheave of {} turns only one way, so that it stands still when rope is let out, is not known: write it on the model's record.",
                item.label()
            ),
        )),
    }
}
