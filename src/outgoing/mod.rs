//! What goes out of the house by itself: letters by e-mail and messages to webhooks. Knows nothing of records and where
//! they are kept; what is to be said it is given.

pub mod guard;
pub mod mail;
pub mod signature;
pub mod target;
mod wire;

pub use target::Target;
pub use wire::{Answered, Unreached, post};
