//! The strength of a part: its rating times what knots, water and wear leave of it.

use serde::Serialize;

use super::{
    BoundsError, Fibre, Fitted, Force, LoadingMode, Reduction, ReductionKind, Remaining,
    SafetyFactor, Strength, StrengthKind, Wetness, knot,
};

/// What water leaves of nylon, as a share.
const WET_NYLON: f64 = 0.85;
/// Where that is from: pull tests were made on rope with knots, so it covers rope and cord of nylon and nothing else.
const WET_NYLON_SOURCE: &str = "a rescue exam note (up to 15 % lost) and pull tests of ropes by an independent rope page \
     (about 15 %), read; other pages claim 10 to 20 %, or nothing";
/// What stands in the place of a source where that one covers nothing.
const WET_ASSUMED: &str = "an assumption of this program, no source: the figure is that for nylon rope, so that wet is \
     not counted like dry";

/// What a part holds where it stands, with everything that was taken off.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PartStrength {
    /// The rating that it starts from.
    pub rating: Strength,
    /// What is taken off, in order.
    pub reductions: Vec<Reduction>,
    /// The rating times every share that is left.
    pub effective: Force,
}

impl PartStrength {
    /// How the part is loaded that stands in `mode`, to stand after "loaded": where the rating is that of another way of
    /// loading, as a rope's plain strength at a knot, it says so.
    pub fn loaded(&self, mode: LoadingMode) -> String {
        let is_knot = |taken: &&Reduction| taken.kind == ReductionKind::Knot;
        let knot = self.reductions.iter().find(is_knot);
        match (knot, mode == self.rating.mode) {
            (_, true) => mode.words().to_owned(),
            (Some(knot), false) => format!("at its knotted end: {}", knot.reason),
            (None, false) => {
                let place = match mode {
                    LoadingMode::Terminated => "at its end",
                    mode => mode.words(),
                };
                format!("{place}, rated {}", self.rating.mode.words())
            }
        }
    }

    /// Takes the reductions off a rating.
    fn new(rating: &Strength, reductions: Vec<Reduction>) -> Self {
        let left: f64 = reductions
            .iter()
            .map(|reduction| reduction.remaining.share())
            .product();
        let effective = Force::from_newtons(rating.force.newtons() * left)
            .expect("a share of a force is a smaller force");
        Self {
            rating: rating.clone(),
            reductions,
            effective,
        }
    }
}

/// The safety factor: strength over force.
///
/// ```
/// use ropeloft::rigging::{Force, safety_factor};
///
/// let kilonewtons = Force::from_kilonewtons;
/// assert_eq!(safety_factor(kilonewtons(22.0)?, kilonewtons(2.0)?)?.ratio(), 11.0);
/// assert!(safety_factor(kilonewtons(22.0)?, kilonewtons(0.0)?).is_err());
/// # Ok::<(), ropeloft::rigging::BoundsError>(())
/// ```
///
/// # Errors
///
/// If nothing pulls, or the part holds nothing: there is no such factor.
pub fn safety_factor(strength: Force, force: Force) -> Result<SafetyFactor, BoundsError> {
    SafetyFactor::from_ratio(strength.newtons() / force.newtons())
}

/// The strengths of an item in one mode, at most one of each kind: the lowest rating of the kind.
///
/// A rope's end is answered by the maker's strength with terminations if there is one, and then no
/// knot is counted on top; else by its plain strength and the knot. A rope between its ends is
/// answered by its plain strength, or by the lower one with terminations if that is all there is.
pub(super) fn strengths(
    item: &Fitted,
    mode: LoadingMode,
    knot: Option<&str>,
    wetness: Wetness,
) -> Vec<PartStrength> {
    let kinds = [
        StrengthKind::Breaking,
        StrengthKind::WorkingLimit,
        StrengthKind::RatedLoad,
    ];
    kinds
        .into_iter()
        .filter_map(|kind| {
            let rating = rating(item, mode, kind)?;
            let tied = mode == LoadingMode::Terminated && rating.mode == LoadingMode::Straight;
            let knot = knot.filter(|_| tied).and_then(of_knot);
            // A maker allows the mass of a person wet or dry.
            let water = of_water(item.fibre, wetness).filter(|_| !rating.of_mass);
            let reductions = knot.into_iter().chain(water).chain(item.wear.clone());
            Some(PartStrength::new(rating, reductions.collect()))
        })
        .collect()
}

/// Whether an item has any rating that answers for a mode.
pub(super) fn is_rated(item: &Fitted, mode: LoadingMode) -> bool {
    !strengths(item, mode, None, Wetness::Dry).is_empty()
}

/// Whether an approval stands in the place of a rating for a mode that has none.
pub(super) fn is_by_approval(item: &Fitted, mode: LoadingMode) -> bool {
    mode == LoadingMode::Body && item.by_approval.is_some() && !is_rated(item, mode)
}

/// The lowest rating of a kind that answers for a mode.
fn rating(item: &Fitted, mode: LoadingMode, kind: StrengthKind) -> Option<&Strength> {
    let lowest = |mode: LoadingMode| {
        let rated = item.strengths.iter();
        rated
            .filter(|strength| strength.mode == mode && strength.kind == kind)
            .min_by(|a, b| a.force.newtons().total_cmp(&b.force.newtons()))
    };
    let stand_in = match mode {
        LoadingMode::Terminated => LoadingMode::Straight,
        // A sling end to end has no made ends in this sense, and has its own rating.
        LoadingMode::Straight => LoadingMode::Terminated,
        _ => return lowest(mode),
    };
    lowest(mode).or_else(|| lowest(stand_in))
}

fn of_knot(key: &str) -> Option<Reduction> {
    let knot = knot(key)?;
    Some(Reduction {
        kind: ReductionKind::Knot,
        remaining: knot.low,
        reason: format!("{}, the low end of the lists", knot.title),
        source: knot.source.clone(),
    })
}

fn of_water(fibre: Option<Fibre>, wetness: Wetness) -> Option<Reduction> {
    let (reason, source) = match (wetness, fibre?) {
        (Wetness::Dry, _) => return None,
        (Wetness::Wet, Fibre::Polyamide) => ("wet nylon rope", WET_NYLON_SOURCE),
        (Wetness::Wet, Fibre::Other) => (
            "wet; no figure with a source for rope of this fibre, so that for nylon rope is taken",
            WET_ASSUMED,
        ),
        (Wetness::Wet, Fibre::Unknown) => (
            "wet; the fibre is not known, so that of nylon rope is taken",
            WET_ASSUMED,
        ),
        (Wetness::Wet, Fibre::Sewn) => (
            "wet; no figure with a source for sewn textile, so that for nylon rope is taken",
            WET_ASSUMED,
        ),
    };
    Some(Reduction {
        kind: ReductionKind::Wet,
        remaining: Remaining::from_share(WET_NYLON).expect("0.85 is a share"),
        reason: reason.to_owned(),
        source: source.to_owned(),
    })
}
