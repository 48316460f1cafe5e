//! Whether a strop or a sling goes round what it is to hold on to.
//!
//! Its two ends meet at a connector with an angle of 60 degrees between the legs, a wider one pulls harder on each of
//! them. Round a convex body of girth C that shows the connector a side as wide as w, the legs begin at the two ends of
//! that side: behind it lie C - w, and each leg is w / 2 / sin 30 degrees = w long. So the length must be C + w: for a
//! square column, w = C / 4, that is 1.25 C. A round one takes less: with a radius of C / (2 pi) the strop lies against
//! it over 180 + 60 degrees, and each leg is radius / tan 30 degrees long, 1.218 C together.

use super::{KitItem, Plan, Question, place::position, refusal};
use crate::domain::entered::{EnteredLength, LengthUnit};
use crate::domain::{Cited, Kind, Known, Mend, Model, Refusal, RefusalCode};
use crate::rigging::{LoadingMode, Position};

/// How often the girth goes into the length that is needed, for a square body and so for a round one too.
const TIMES: f64 = 1.25;
/// A hair, so that a product of decimals does not refuse the exact length.
const HAIR: f64 = 1e-6;

/// The length that goes round a girth, in the unit of the girth and rounded up: what is written is enough.
pub fn to_go_round(girth: EnteredLength) -> String {
    let (places, scale) = match girth.unit() {
        LengthUnit::Metre | LengthUnit::Foot => (2, 100.0),
        LengthUnit::Centimetre | LengthUnit::Inch => (1, 10.0),
        LengthUnit::Millimetre => (0, 1.0),
    };
    let needed = ((girth.value() * TIMES - HAIR) * scale).ceil() / scale;
    format!("{needed:.places$} {}", girth.unit().symbol())
}

/// Whether a length goes round a girth.
pub fn goes_round(length: EnteredLength, girth: EnteredLength) -> bool {
    length.quantity().metres() >= girth.quantity().metres() * TIMES - HAIR
}

/// Whether an item lies round a body where it stands: a sling in a basket or choked, or an anchor device that is a strop.
/// What has a length on record, or a strength in one of these two ways, is taken for a strop; what has neither for a
/// plate or a clamp.
pub(in crate::domain) fn lies_round(item: &KitItem<'_>, plan: &Plan<'_>) -> bool {
    let kind = item.model.kind;
    let Some(place) = position(plan.rig, item.position, kind) else {
        return false;
    };
    match kind {
        Kind::Sling => is_round(place.loaded()),
        Kind::AnchorDevice => {
            item.item.attributes.length("length").is_some() || is_strop(item.model)
        }
        _ => false,
    }
}

/// Whether a strop or a sling may lie round a body at a position.
pub(in crate::domain) fn takes_strop(place: &Position) -> bool {
    let mut kinds = place
        .accepts()
        .iter()
        .filter_map(|word| Kind::from_word(word));
    kinds.any(|kind| match kind {
        Kind::Sling => is_round(place.loaded()),
        kind => kind == Kind::AnchorDevice,
    })
}

fn is_round(mode: LoadingMode) -> bool {
    matches!(mode, LoadingMode::Basket | LoadingMode::Choked)
}

fn is_strop(model: &Model) -> bool {
    model.ratings.iter().any(|rating| is_round(rating.mode))
}

fn rule() -> Cited {
    Cited::new(
        "rule of this register by geometry: round a square body, in a basket with 60 degrees between its two legs, a strop \
         or sling takes 1.25 times the girth, and round a round one a little less; round a flat one it takes more, up to \
         1.5 times",
        Known::Practice,
    )
}

pub(super) fn check(question: &Question<'_>, refusals: &mut Vec<Refusal>) {
    let (candidate, plan) = (&question.candidate, question.plan);
    let Some(girth) = plan.job.setup.anchor_girth else {
        return;
    };
    if !lies_round(candidate, plan) {
        return;
    }
    let needed = to_go_round(girth);
    let sum = format!("needed: {girth} x {TIMES} = {needed}");
    let record = Mend::ItemRecord(candidate.item.id);
    match candidate.item.attributes.length("length") {
        None => refusals.push(
            refusal(
                RefusalCode::DoesNotGoRound,
                format!(
                    "It must be {needed} long to go round {girth}, and how long it is is not known: measure it from end \
                     to end and write it on its record."
                ),
                &rule(),
                format!("no length on record; {sum}"),
            )
            .mended(record),
        ),
        Some(length) if !goes_round(length, girth) => refusals.push(
            refusal(
                RefusalCode::DoesNotGoRound,
                format!(
                    "It is {} long and must be {needed} to go round {girth}: take a longer one, or another anchor.",
                    length.told_in(girth.unit())
                ),
                &rule(),
                format!("length {length}; {sum}"),
            )
            .by(
                length.quantity().metres(),
                girth.quantity().metres() * TIMES,
            ),
        ),
        Some(_) => {}
    }
}
