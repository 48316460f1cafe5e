//! Why a rig cannot be read or solved.

use serde::Serialize;

use super::{Angle, BoundsError, Phase};

/// A rig that is wrong, or that mechanics has no single answer for.
///
/// `place` names the spot in the sheet: "rope main, element 3".
#[derive(Clone, Debug, PartialEq, Serialize, thiserror::Error)]
#[serde(rename_all = "kebab-case", tag = "code")]
#[non_exhaustive]
pub enum RigError {
    /// The sheet is not TOML of the right shape.
    #[error("The sheet cannot be read: {why}")]
    Unreadable {
        /// Where reading stopped, and what was met there.
        why: String,
    },
    /// A list in the sheet is empty, or longer than any real rig.
    #[error("{place} must have {least} to {most} entries, not {count}.")]
    Count {
        /// Which list.
        place: String,
        /// The shortest that is accepted.
        least: usize,
        /// The longest that is accepted.
        most: usize,
        /// How many there are.
        count: usize,
    },
    /// A text is empty, far too long or of several lines.
    #[error("{place} must be one line of 1 to {most} characters, not {count}.")]
    Text {
        /// Which text.
        place: String,
        /// The longest that is accepted.
        most: usize,
        /// How many there are.
        count: usize,
    },
    /// A key with other characters than lower-case letters, digits and hyphens.
    #[error("{place}: the key \"{key}\" must be 1 to 60 lower-case letters, digits and hyphens.")]
    Key {
        /// Whose key.
        place: String,
        /// The key.
        key: String,
    },
    /// Two things with one key.
    #[error("{place}: the key \"{key}\" stands twice; give each its own.")]
    Twice {
        /// Which list.
        place: String,
        /// The key.
        key: String,
    },
    /// A name that nothing in the sheet bears.
    #[error("{place}: there is no {what} \"{key}\".")]
    Unknown {
        /// Where the name is used.
        place: String,
        /// What was looked for.
        what: &'static str,
        /// The name.
        key: String,
    },
    /// Not exactly one load.
    #[error("A rig has exactly one load, not {count}: mark one body as the load.")]
    Loads {
        /// How many there are.
        count: usize,
    },
    /// Not exactly one hand at the main ropes.
    #[error("Exactly one main rope begins at the hand, not {count}.")]
    Hands {
        /// How many there are.
        count: usize,
    },
    /// More than one capture.
    #[error("A rope system has at most one capture that holds the load, not {count}.")]
    Captures {
        /// How many there are.
        count: usize,
    },
    /// A path or chain that is not put together rightly.
    #[error("{place}: {why}")]
    Shape {
        /// Where.
        place: String,
        /// What is wrong and what to do.
        why: &'static str,
    },
    /// Two strands on one sheave.
    #[error("{place}: sheave {sheave} of \"{position}\" already carries a rope.")]
    SheaveTwice {
        /// Where it is used again.
        place: String,
        /// Key of the position.
        position: String,
        /// Number of the sheave.
        sheave: u8,
    },
    /// A gap in the numbers of the sheaves.
    #[error(
        "Position \"{position}\": the sheaves must be numbered 1, 2, 3 without a gap; {sheave} is missing."
    )]
    SheaveMissing {
        /// Key of the position.
        position: String,
        /// The number that no rope uses.
        sheave: u8,
    },
    /// A position that no rope and no chain puts a force on.
    #[error(
        "Nothing loads position \"{position}\": lead a rope over it, put it in a chain, or leave it out."
    )]
    NothingLoads {
        /// Key of the position.
        position: String,
    },
    /// A position that is used in two ways.
    #[error("Position \"{position}\" is used twice: each use needs a position of its own.")]
    TwoUses {
        /// Key of the position.
        position: String,
    },
    /// A rope that is tied to nothing that reaches the load.
    #[error(
        "The rope \"{rope}\" does not reach the load over any body: connect it or leave it out."
    )]
    Unconnected {
        /// Key of the rope's position.
        rope: String,
    },
    /// An angle at or beyond its limit.
    #[error("{place}: the angle must be {allowed}, not {} degrees.", angle.degrees())]
    Angle {
        /// Where.
        place: String,
        /// The limits in words.
        allowed: &'static str,
        /// What was given.
        angle: Angle,
    },
    /// A strand that meets a moving body from the side or the wrong end.
    #[error(
        "{place}: the strand must run in the line of the load here. A rope may turn aside only between \
         anchors and the hand; bodies are named from the top down."
    )]
    OutOfLine {
        /// Which part of which rope.
        place: String,
        /// Key of the rope's position.
        rope: String,
        /// Which element of its path the part begins at, from 1.
        element: usize,
    },
    /// More or fewer unknown tensions than equations.
    #[error(
        "The rig has {parts} unknown tensions and {equations} equations, so it has no single answer: a \
         body is held by too many ropes, or by none."
    )]
    Unbalanced {
        /// Parts of rope.
        parts: usize,
        /// Sheaves, posts and free bodies.
        equations: usize,
    },
    /// The equations contradict or repeat each other.
    #[error(
        "The rig has no single answer: some rope could be tight or slack without the load noticing."
    )]
    Singular,
    /// A rope would have to push.
    #[error("{part} would have to push to keep the load: this rig does not hold it {}.", phase.words())]
    Pushes {
        /// The part in words.
        part: String,
        /// Key of the rope's position.
        rope: String,
        /// Which element of its path the part begins at, from 1.
        element: usize,
        /// The phase.
        phase: Phase,
    },
    /// A rope without tension.
    #[error("{part} is slack {}: it does nothing in this rig, or the load is nothing.", phase.words())]
    Slack {
        /// The part in words.
        part: String,
        /// Key of the rope's position.
        rope: String,
        /// Which element of its path the part begins at, from 1.
        element: usize,
        /// The phase.
        phase: Phase,
    },
    /// The load weighs nothing.
    #[error("The load must be more than nothing: write what is carried.")]
    NoLoad,
    /// A sheave without an efficiency.
    #[error("The efficiency of the sheaves at \"{position}\" is not given.")]
    NoEfficiency {
        /// Key of the position.
        position: String,
    },
    /// A post without a friction.
    #[error("The friction at \"{position}\" is not given.")]
    NoFriction {
        /// Key of the position.
        position: String,
    },
    /// So much wrap that no force comes through.
    #[error(
        "The wrap at \"{position}\" with that friction lets no force through: use fewer turns."
    )]
    Jammed {
        /// Key of the position.
        position: String,
    },
    /// A range at more places than all combinations can be computed for.
    #[error(
        "{count} sheaves and posts have a range; at most {most} are computed in all combinations."
    )]
    TooManyRanges {
        /// How many have a range.
        count: usize,
        /// How many are accepted.
        most: usize,
    },
    /// A phase that the rig does not have.
    #[error("No capture holds the load in this rig.")]
    NoCapture,
    /// Hauling with a rig that is not for it.
    #[error("This rig only lowers: nothing is hauled with it.")]
    OnlyLowers,
    /// A catch in a rig that has no rope for it.
    #[error("No rope of this rig catches the load if another fails.")]
    NoBelay,
    /// Two ropes share the load, and something else is not two ropes or not theirs.
    #[error(
        "Ropes that share the load are exactly two, and no main rope stands beside them; here are \
         {twins} and {mains}."
    )]
    Twins {
        /// How many ropes share the load.
        twins: usize,
        /// How many main ropes there are.
        mains: usize,
    },
    /// A leg that would have to push, or stand on nothing.
    #[error("{leg} would go slack {}: what it carries pulls too far to its other side.", phase.words())]
    LegSlack {
        /// The leg in words.
        leg: String,
        /// Which bridle, from 0; lines are counted behind the bridles.
        bridle: usize,
        /// The phase.
        phase: Phase,
    },
    /// A tripod that is pulled over.
    #[error(
        "{tripod} would tip {}: the pull on its head goes up, or too far off the upright for legs that \
         stand this steep.",
        phase.words()
    )]
    Tips {
        /// The tripod in words.
        tripod: String,
        /// Key of its position.
        position: String,
        /// The phase.
        phase: Phase,
    },
    /// Three legs or more under a pull that is not in their middle.
    #[error(
        "{place}: three legs and more are answered only in line with what they carry, and a rope pulls \
         aside here {}: use two legs.",
        phase.words()
    )]
    LegsAside {
        /// Which bridle.
        place: String,
        /// The same, from 0.
        bridle: usize,
        /// The phase.
        phase: Phase,
    },
    /// A result or a number outside the limits of its quantity.
    #[error("{place}: {error}.")]
    Bounds {
        /// Where in the rig.
        place: String,
        /// The number and its limits.
        error: BoundsError,
    },
}
