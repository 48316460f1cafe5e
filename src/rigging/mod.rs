//! Pure mechanics: quantities, the reeving solver, friction, bridles, rope length, strength of a part.
//!
//! Knows nothing of records, pages or databases. The way through the room:
//!
//! 1. A *sheet* (`rig/*.toml`, [`Sheet`]) says which bodies there are from the top down, which
//!    positions need an item, how each rope runs from the hand to its dead end, and which links hang
//!    in line, or on legs. [`Rig::from_toml`] checks it and works out parts of rope and equations, or
//!    names every [`Fault`] with its place; [`Rig::sheet`] writes a rig back, [`Rig::outline`] says what
//!    it comes to.
//! 2. The caller fills an [`Outfit`] from its records: efficiency, friction, ratings.
//! 3. [`solve`](solve()) answers the [`Forces`] of one [`Phase`]; [`assess`](assess()) runs all phases
//!    under the [`Conditions`] of a job and gives the [`Assessment`], or every [`Gap`] at once.
//!
//! The formulas beside it ([`even_leg`], [`redirect_force`], [`capstan_hold`], [`line_tension`],
//! [`fall_peak`], …) stand alone, each with its source, assumptions and limits.
//!
//! To add a rig, write a sheet and name it in `shipped`; a test reads every sheet, and the count of
//! strands and the gain follow from the paths. To add a knot, add it to `knot.toml` with its lists.

mod alone;
mod aside;
mod assess;
mod assessment;
mod assumption;
mod band;
mod belay;
mod bounds;
mod bridle;
mod capstan;
mod catch;
mod caution;
mod chain;
mod conditions;
mod cord;
mod digits;
mod envelope;
mod error;
mod fall;
mod fault;
mod forces;
mod gap;
mod held;
mod idle;
mod knot;
mod legs;
mod linear;
mod method;
mod motion;
mod need;
mod outfit;
mod outline;
mod part;
mod phase;
mod quantity;
mod read;
mod redirect;
mod reeving;
mod remedy;
mod resistance;
mod rig;
mod rope;
mod sag;
mod sensitivity;
mod sheet;
mod shipped;
mod solve;
mod sum;
mod tell;
mod tenth_rule;
mod words;
mod write;

pub use alone::checks_alone;
pub use aside::{Aside, off_upright};
pub use assess::assess;
pub use assessment::{
    Assessment, BELAY_OPEN, ByApproval, CATCH_OPEN, Caught, Check, FALL_OPEN, Judged, Unjudged,
    Weakest,
};
pub use band::{Band, BandError};
pub use bounds::{BoundsError, Limits};
pub use bridle::{BridleAngle, even_leg, leg_of_many, legs_by_measure, uneven_legs};
pub use capstan::{
    capstan_hold, capstan_hold_range, capstan_ratio, capstan_wrap, friction_of_sheave,
};
pub use catch::Arrest;
pub use caution::CAUTIONS;
pub use chain::{Carried, Chain};
pub use conditions::{ArrestLimit, Catch, Conditions, Exceptional, Requirement, Way, Wetness};
pub use cord::cord_floor;
pub use digits::{digits, digits_down, digits_up};
pub use error::RigError;
pub use fall::{fall_factor_within, fall_peak, rope_modulus};
pub use fault::{Fault, Faults, Mark, Place};
pub use forces::{BodyForce, Forces, HandPull, LegForce, PartTension, PositionForce, SheaveForce};
pub use gap::Gap;
pub use knot::{Knot, knot, knots};
pub use legs::{Bridle, Leg, Span, Tripod};
pub use method::MethodError;
pub use motion::Motion;
pub use need::{RopeLength, RopeNeed, SpanAsked, people, rope_need, spans_asked};
pub use outfit::{
    Fibre, Fitted, LoadingMode, Outfit, Post, Reduction, ReductionKind, Strength, StrengthKind,
    Turning, Wheel,
};
pub use outline::{Outline, PartShare, PositionNeed};
pub use part::{PartStrength, safety_factor};
pub use phase::Phase;
pub use quantity::{
    Advantage, Angle, Efficiency, FallFactor, Force, Friction, Length, LinearMass, Mass, Remaining,
    SafetyFactor, Speed,
};
pub use redirect::{between_from_deflection, redirect_force, redirect_force_of_two};
pub use remedy::{Remedies, Remedy};
pub use resistance::efficiency_of_wrap;
pub use rig::{Body, BodyKind, ITEM_KINDS, Position, Rig};
pub use rope::{Duty, Element, Rope};
pub use sag::{Catenary, catenary, line_tension, parabola_level_force};
pub use sensitivity::{End, Swing, holds_a_tenth_more, sensitivity};
pub use sheet::{
    BodySheet, BridleSheet, ChainSheet, ElementSheet, LegSheet, LineSheet, PositionSheet,
    RIG_SCHEMA, RopeSheet, Sheet, TripodSheet,
};
pub use shipped::{shipped, shipped_rig};
pub use solve::solve;
pub use tenth_rule::hand_by_tenths;
