//! The one test program: a module for each noun or rule, and the world they live in.

#[macro_use]
mod world;
mod chance;
mod postgres;
mod source;
mod stock;

mod architecture;
mod client;
mod demo;
mod house;
mod ledger;
mod person;
mod rigging_inputs;
mod rigging_kit;
mod rigging_limits;
mod rigging_need;
mod rigging_property;
mod rigging_published;
mod rigging_read;
mod rigging_scenario;
mod rigging_solve;
mod rulebook;
mod rulebook_fault;
mod schema;
mod security;
mod session;
mod setting;
mod store_booking;
mod store_database;
mod store_item;
mod store_item_list;
mod store_job;
mod store_ledger;
mod store_look;
mod store_model;
mod store_notice;
mod store_person;
mod store_place;
mod store_rebuild;
mod store_session;
mod store_token;
mod store_waiting;
mod token;
mod views;
