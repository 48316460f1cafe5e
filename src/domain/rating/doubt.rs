//! A strength that such gear hardly ever has: most often its decimal mark was lost, and "225" is 22.5 kN.
//!
//! Common practice, no source: what people hang on by rope breaks below 100 kN; what is said to hold more is asked about.

use serde::{Deserialize, Deserializer};

use super::RatingDraft;
use crate::domain::entered::EnteredForce;
use crate::domain::field::ticked;
use crate::domain::{FieldErrors, Kind};

/// What such gear holds at most as a rule, in kilonewtons.
pub const MOST: f64 = 100.0;

/// Whether it is more than what people hang on by rope holds.
pub fn is_far_out(force: EnteredForce) -> bool {
    force.quantity().kilonewtons() > MOST
}

impl Kind {
    /// Whether nobody takes a strength of [`MOST`] and more of this kind without asking; frames, plates and anchors may
    /// well hold more.
    pub fn seldom_holds_more(self) -> bool {
        matches!(
            self,
            Self::Rope
                | Self::Cord
                | Self::Connector
                | Self::Sling
                | Self::Lanyard
                | Self::Harness
                | Self::Swivel
                | Self::Pulley
                | Self::RopeClamp
                | Self::Descender
                | Self::BackUpDevice
        )
    }
}

/// A force of which the decimal mark was lost: "22.5 kN" for 225 kN.
pub fn tenth(force: EnteredForce) -> String {
    // The mark is moved as a person moves it: no hair is added.
    let value = format!("{}e-1", force.value());
    let value: f64 = value.parse().unwrap_or(f64::NAN);
    format!("{value} {}", force.unit().symbol())
}

/// Why it is asked.
pub fn why() -> String {
    format!(
        "Such gear seldom holds more than {MOST} kN, and a decimal mark that was lost makes it ten times too strong."
    )
}

impl RatingDraft {
    /// The value, if it is one of which it is asked whether it is really so.
    pub fn far_out(&self) -> Option<EnteredForce> {
        let force = EnteredForce::read_with_weight(&self.value).ok()?;
        is_far_out(force).then_some(force)
    }

    /// Whether it is said that this very value is what the maker states: yes, or the value once more.
    pub fn is_confirmed(&self) -> bool {
        ticked(&self.confirmed).unwrap_or_else(|| {
            let of = EnteredForce::read(&self.confirmed, None).ok();
            of.is_some() && of == EnteredForce::read_with_weight(&self.value).ok()
        })
    }

    /// Refuses a value that such gear hardly ever has, where nobody said that it is so.
    pub(super) fn doubted(&self, kind: Kind, force: EnteredForce, wrong: &mut FieldErrors) {
        if is_far_out(force) && kind.seldom_holds_more() && !self.is_confirmed() {
            let message = format!(
                "Is it really {force}? {} Write {} if that is meant, or confirm that {force} is what the maker states.",
                why(),
                tenth(force)
            );
            wrong.add("value", "range", message);
        }
    }
}

/// Reads a tick: `true` and `false` of programs, or what a form sends.
pub(super) fn tick<'de, D: Deserializer<'de>>(from: D) -> Result<String, D::Error> {
    #[derive(Deserialize)]
    #[serde(untagged)]
    enum Tick {
        Said(bool),
        Sent(String),
    }
    Ok(match Tick::deserialize(from)? {
        Tick::Said(true) => "yes".to_owned(),
        Tick::Said(false) => String::new(),
        Tick::Sent(text) => text,
    })
}
