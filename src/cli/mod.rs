//! What can be asked on the command line.

mod backup;
mod columns;
pub mod demo;
mod export;
mod fresh;
mod import;
mod ordeal;
mod printed;
mod rebuild;
mod record;
mod rehearsal;
mod rig;
mod rulebook;
mod secret;
mod serve;
mod user;
mod verify;
mod worker;

use std::{error::Error, process::ExitCode};

use clap::{Parser, Subcommand};

/// Keeps a rope team's life-safety gear, decides what may go on a job, and works out whether the
/// chosen kit is strong enough.
#[derive(Parser)]
#[command(name = "ropeloft", version, propagate_version = true)]
struct Line {
    #[command(subcommand)]
    order: Order,
}

#[derive(Subcommand)]
enum Order {
    /// Serve the pages and the API until told to stop
    Serve(serve::Serve),
    /// Bring an existing inventory in from a file
    Import(import::Import),
    /// Write a team's records as a file of rows, to the standard output or to a file
    Export(export::Export),
    /// Copy everything into a folder while the server goes on, and check the copy
    Backup(backup::Backup),
    /// Put a backup back, into a database that is not there yet
    Restore(backup::Restore),
    /// Check a bundle of a team's record, without a server
    Verify(verify::Verify),
    /// Make a team's tables again from its ledger and compare every row
    Rebuild(rebuild::Rebuild),
    /// Check the file of a rig, and whether a kit is strong enough on it
    Rig(rig::CheckRig),
    /// Check a rulebook's sheet
    Rulebook(rulebook::Rulebook),
    /// Keep the people who may sign in
    User(user::User),
    /// Put this program through faults: kill it under load, fill its disk, cut its database, and look that nothing is lost
    Ordeal(ordeal::Ordeal),
    /// Serve an invented team with eight years of history, to look round in
    Demo(demo::ServeDemo),
}

/// Does what the command line asks.
pub fn run() -> ExitCode {
    let line = Line::parse();
    let done = match line.order {
        Order::Serve(order) => with_runtime(order.run()),
        Order::Import(order) => with_runtime(order.run()),
        Order::Export(order) => with_runtime(order.run()),
        Order::Rebuild(order) => with_runtime(order.run()),
        Order::Rig(order) => return order.run(),
        Order::Rulebook(order) => order.run(),
        Order::Backup(order) => with_runtime(order.run()),
        Order::Restore(order) => with_runtime(order.run()),
        Order::Verify(order) => order.run(),
        Order::User(order) => with_runtime(order.run()),
        Order::Ordeal(order) => with_runtime(order.run()),
        Order::Demo(order) => with_runtime(order.run()),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("ropeloft: {error}");
            let mut next = error.source();
            while let Some(cause) = next {
                eprintln!("  because: {cause}");
                next = cause.source();
            }
            ExitCode::FAILURE
        }
    }
}

type Outcome = Result<(), Box<dyn Error + Send + Sync>>;

fn with_runtime(work: impl Future<Output = Outcome>) -> Outcome {
    tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()?
        .block_on(work)
}
