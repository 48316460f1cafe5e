//! What can be done: one function a deed, called by the page, by the API and by the command line,
//! and nothing else does it.
//!
//! A deed asks first whether the actor may ([`permit`]), then checks what was typed, then opens its
//! unit of work, and commits it. It knows nothing of HTTP.

mod chosen;
mod desk;
mod hold;
mod signer;

pub mod attachment;
pub mod bag;
pub mod bench;
pub mod board;
pub mod bundle;
pub mod calendar;
pub mod checklist;
pub mod checkpoint;
pub mod course;
pub mod crew_plan;
pub mod cut;
pub mod digest;
pub mod errand;
pub mod examination;
pub mod export;
pub mod function_check;
pub mod guest;
pub mod history;
pub mod hook;
pub mod house;
pub mod import;
pub mod issue;
pub mod item;
pub mod job;
pub mod kit;
pub mod kit_return;
pub mod label;
pub mod model;
pub mod model_kind;
mod model_limit;
pub mod name;
pub mod notice;
pub mod pack;
pub mod paper;
pub mod password;
pub mod person;
pub mod pin;
pub mod place;
pub mod proof;
pub mod qualification;
pub mod question;
pub mod recall;
pub mod retention;
pub mod rig;
pub mod round;
pub mod rulebook;
mod serial;
pub mod session;
pub mod since_look;
pub mod spoken;
pub mod tag;
pub mod team;
pub mod then;
pub mod token;
pub mod trend;
pub mod usage;

pub use chosen::Chosen;
pub use desk::{DeedError, Desk, Seen, permit, same_revision};
