//! Ropeloft keeps a rope team's life-safety gear, decides what may go on a job, and works out
//! whether the chosen kit, rigged as planned, is strong enough.
//!
//! One room a layer, imports only downwards:
//!
//! * [`rigging`]: pure mechanics over quantities; knows nothing of records.
//! * [`domain`]: pure records and rules; knows nothing of where they are kept.
//! * [`export`]: pure; records to files.
//! * [`import`]: pure; an existing inventory, CSV or XLSX, becomes drafts, each row with its errors.
//! * [`demo`]: pure; an invented team with eight years of history to look round in.
//! * [`outgoing`]: what goes out by itself: letters and messages to webhooks.
//! * [`store`]: the only SQL, on SQLite and PostgreSQL.
//! * [`deed`]: what can be done, each with its right; both doors call these and nothing else.
//! * [`view`]: template structs; writes pages.
//! * [`web`]: the only HTTP.
//! * [`cli`]: what can be asked on the command line; [`config`] holds its settings.

pub mod cli;
pub mod config;
pub mod deed;
pub mod demo;
pub mod domain;
pub mod export;
pub mod import;
pub mod outgoing;
pub mod rigging;
pub mod store;
pub mod view;
pub mod web;
