//! Pure mechanics: quantities, the reeving solver, friction, bridles, rope length, strength of a part.

mod assess;
mod band;
mod bounds;
mod caution;
mod conditions;
mod error;
mod forces;
mod gap;
mod need;
mod outfit;
mod part;
mod phase;
mod quantity;
mod rig;
mod shipped;
mod solve;

pub use assess::{Assessment, Check, Judged, Weakest, assess};
pub use band::{Band, BandError};
pub use bounds::{BoundsError, Limits};
pub use caution::CAUTIONS;
pub use conditions::{Conditions, Requirement, Way, Wetness};
pub use error::RigError;
pub use forces::{BodyForce, Forces, PartTension, PositionForce, SheaveForce};
pub use gap::Gap;
pub use need::{RopeLength, RopeNeed};
pub use outfit::{
    Fibre, Fitted, LoadingMode, Outfit, Post, Reduction, ReductionKind, Strength, StrengthKind,
    Turning, Wheel,
};
pub use part::PartStrength;
pub use phase::Phase;
pub use quantity::{
    Advantage, Angle, Efficiency, FallFactor, Force, Friction, Length, LinearMass, Mass, Remaining,
    SafetyFactor,
};
pub use rig::{Body, BodyKind, Carried, Chain, Element, Position, Rig, Rope};
pub use shipped::{shipped, shipped_rig};
pub use solve::solve;
