//! What keeps a fitted rig from being judged.

use serde::Serialize;

use super::part::{is_by_approval, is_rated};
use super::{
    BoundsError, Conditions, Element, Fitted, LoadingMode, Outfit, Position, Rig, RigError, Turning,
};

/// One thing that is missing or wrong; a list of them answers "what is left to do?".
#[derive(Clone, Debug, PartialEq, Serialize, thiserror::Error)]
#[serde(rename_all = "kebab-case", tag = "code")]
pub enum Gap {
    /// Nothing is fitted at a position.
    #[error("Nothing is fitted at {title}: put an item there.")]
    Empty {
        /// Key of the position.
        position: String,
        /// The position in plain words.
        title: String,
    },
    /// An item is named for a position that the rig does not have.
    #[error("The rig has no position {position}: take {item} off, or choose another rig.")]
    NoSuchPosition {
        /// The key that was given.
        position: String,
        /// The item, as the caller calls it.
        item: String,
    },
    /// A pulley without a known efficiency.
    #[error(
        "The efficiency of {item} at {title} is not known: write it down with how it is known."
    )]
    NoEfficiency {
        /// Key of the position.
        position: String,
        /// The position in plain words.
        title: String,
        /// The item, as the caller calls it.
        item: String,
    },
    /// A brake or post without a known friction.
    #[error("The friction of rope on {item} at {title} is not known: write it down as a range.")]
    NoFriction {
        /// Key of the position.
        position: String,
        /// The position in plain words.
        title: String,
        /// The item, as the caller calls it.
        item: String,
    },
    /// A pulley that turns both ways where the rig counts on a capture.
    #[error(
        "{item} at {title} does not hold the rope one way, and the rig counts on it: take one that does."
    )]
    NoCapture {
        /// Key of the position.
        position: String,
        /// The position in plain words.
        title: String,
        /// The item, as the caller calls it.
        item: String,
    },
    /// No rating for the way in which the item is loaded.
    #[error("{item} at {title} has no rating {}: take an item that has one, or write the rating down.", mode.words())]
    NoRating {
        /// Key of the position.
        position: String,
        /// The position in plain words.
        title: String,
        /// The item, as the caller calls it.
        item: String,
        /// How it is loaded here.
        mode: LoadingMode,
    },
    /// A number of the job that this rig needs and that was not given, or that makes no sense.
    #[error("{what} must be given for this rig, and be more than nothing.")]
    NotGiven {
        /// The field.
        field: &'static str,
        /// The number in plain words.
        what: &'static str,
    },
    /// A line across a span that nobody has answered for.
    #[error(
        "This rig hangs from a line across a span of {span} that sags {sag}: it pulls many times the load \
         on its ends, and a little less sag doubles that. It is refused unless the job says that a competent \
         person has planned the line."
    )]
    Line {
        /// The span in words.
        span: String,
        /// The sag in words.
        sag: String,
    },
    /// The rig itself has no answer.
    #[error("{error}")]
    Rig {
        /// Why.
        error: RigError,
    },
}

impl Gap {
    /// The position that it is about, if it is about one.
    pub fn position(&self) -> Option<&str> {
        match self {
            Self::Empty { position, .. }
            | Self::NoSuchPosition { position, .. }
            | Self::NoEfficiency { position, .. }
            | Self::NoFriction { position, .. }
            | Self::NoCapture { position, .. }
            | Self::NoRating { position, .. } => Some(position),
            Self::NotGiven { .. } | Self::Line { .. } | Self::Rig { .. } => None,
        }
    }
}

impl From<RigError> for Gap {
    fn from(error: RigError) -> Self {
        Self::Rig { error }
    }
}

impl From<BoundsError> for Gap {
    fn from(error: BoundsError) -> Self {
        Self::Rig {
            error: RigError::Bounds {
                place: "a result".to_owned(),
                error,
            },
        }
    }
}

/// Everything that is missing at the positions and in the conditions.
pub(super) fn gaps(rig: &Rig, outfit: &Outfit, conditions: &Conditions) -> Vec<Gap> {
    let mut gaps = Vec::new();
    for (position, item) in outfit.iter() {
        if rig.position(position).is_none() {
            gaps.push(Gap::NoSuchPosition {
                position: position.to_owned(),
                item: item.label.clone(),
            });
        }
    }
    for (index, position) in rig.positions.iter().enumerate() {
        match outfit.at(position.key()) {
            Some(item) if item.stands_in => {}
            Some(item) => gaps_of_item(rig, index, item, &mut gaps),
            None if position.is_optional() => {}
            None => gaps.push(Gap::Empty {
                position: position.key().to_owned(),
                title: position.title().to_owned(),
            }),
        }
    }
    if !conditions.line_accepted {
        let lines = rig.bridles.iter().filter_map(|bridle| bridle.span);
        gaps.extend(lines.map(|line| Gap::Line {
            span: format!("{:.1} m", line.across.metres()),
            sag: format!("{:.2} m", line.sag.metres()),
        }));
    }
    if conditions.load.newtons() <= 0.0 {
        gaps.push(Gap::NotGiven {
            field: "load",
            what: "The load",
        });
    }
    if conditions.pull_each.newtons() <= 0.0 {
        gaps.push(Gap::NotGiven {
            field: "pull_each",
            what: "The pull of each person",
        });
    }
    gaps
}

fn gaps_of_item(rig: &Rig, index: usize, item: &Fitted, gaps: &mut Vec<Gap>) {
    let place = &rig.positions[index];
    if place.sheaves() > 0 {
        gaps.extend(gap_of_wheel(place, item));
    }
    let met = rig.ropes.iter().flat_map(|rope| &rope.path);
    let is_post = met
        .filter(|element| element.position() == Some(index))
        .any(|element| matches!(element, Element::Post { .. }));
    if is_post && item.post.is_none() {
        gaps.push(Gap::NoFriction {
            position: place.key().to_owned(),
            title: place.title().to_owned(),
            item: item.label.clone(),
        });
    }
    let mut modes: Vec<LoadingMode> = rig.modes_of(index);
    modes.retain(|mode| !is_rated(item, *mode) && !is_by_approval(item, *mode));
    gaps.extend(modes.into_iter().map(|mode| Gap::NoRating {
        position: place.key().to_owned(),
        title: place.title().to_owned(),
        item: item.label.clone(),
        mode,
    }));
}

fn gap_of_wheel(place: &Position, item: &Fitted) -> Option<Gap> {
    let position = place.key().to_owned();
    let title = place.title().to_owned();
    let item_label = item.label.clone();
    match &item.wheel {
        None => Some(Gap::NoEfficiency {
            position,
            title,
            item: item_label,
        }),
        Some(wheel) if place.needs_capture() && wheel.turning == Turning::Free => {
            Some(Gap::NoCapture {
                position,
                title,
                item: item_label,
            })
        }
        Some(_) => None,
    }
}
