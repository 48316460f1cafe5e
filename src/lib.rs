//! Ropeloft keeps a rope team's life-safety gear, decides what may go on a job, and works out
//! whether the chosen kit, rigged as planned, is strong enough.
//!
//! One room a layer, imports only downwards:
//!
//! * [`rigging`]: pure mechanics over quantities; knows nothing of records.
//! * [`domain`]: pure records and rules; knows nothing of where they are kept.
//! * [`store`]: the only SQL, on SQLite and PostgreSQL.

pub mod domain;
pub mod rigging;
pub mod store;
