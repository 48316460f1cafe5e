//! A job of the demo as it is written down.

use serde::Deserialize;

use super::outing::Swap;
use crate::domain::Site;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a mark of its own on the sheet"
)]
pub(super) struct JobLine {
    pub(super) title: String,
    pub(super) place: String,
    /// Days from the day of the demo.
    pub(super) day: i16,
    /// How many days before it was planned.
    #[serde(default = "lead")]
    pub(super) lead: u8,
    /// From and until which hour.
    #[serde(default = "hours")]
    pub(super) hours: [u8; 2],
    pub(super) depth: String,
    #[serde(default = "load")]
    pub(super) load: String,
    #[serde(default = "rulebook")]
    pub(super) rulebook: String,
    #[serde(default = "rig")]
    pub(super) rig: String,
    /// The kit; empty where none was chosen.
    pub(super) kit: String,
    #[serde(default)]
    pub(super) wet: bool,
    #[serde(default)]
    pub(super) case: String,
    #[serde(default)]
    pub(super) site: Site,
    #[serde(default)]
    pub(super) note: String,
    /// What was written when it ended; a planned one has none.
    pub(super) end: Option<String>,
    #[serde(default)]
    pub(super) cancelled: bool,
    /// A line that was changed once more.
    pub(super) swap: Option<Swap>,
    /// Whether the verdict on the kit was kept.
    #[serde(default)]
    pub(super) verdict: bool,
    /// Whether the kit was handed out by the book; it is counted back when the job ends.
    #[serde(default)]
    pub(super) issued: bool,
    /// What the crew wanted looked at when it came back.
    pub(super) doubt: Option<Swap>,
    /// Items that were asked for and refused.
    #[serde(default)]
    pub(super) attempts: Vec<Attempt>,
}

/// An item that was asked for and may not go.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Attempt {
    pub(super) item: String,
    pub(super) position: Option<String>,
}

fn lead() -> u8 {
    5
}

fn hours() -> [u8; 2] {
    [8, 15]
}

fn load() -> String {
    "1 person".to_owned()
}

fn rulebook() -> String {
    "european".to_owned()
}

fn rig() -> String {
    "four-to-one-pull-down".to_owned()
}
