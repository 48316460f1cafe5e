//! Checks the sheet of a rulebook before it is brought to a team.

use std::path::PathBuf;

use clap::{Args, Subcommand};

use super::{Outcome, printed::line};
use crate::domain::rulebook::{self as book, RulebookError};

/// Rulebooks as sheets
#[derive(Args)]
pub(super) struct Rulebook {
    #[command(subcommand)]
    order: Order,
}

#[derive(Subcommand)]
enum Order {
    /// Name every fault of a sheet with its line, as the page that takes sheets does
    Check {
        /// The sheet, a TOML file
        file: PathBuf,
    },
}

impl Rulebook {
    pub(super) fn run(self) -> Outcome {
        let Order::Check { file } = self.order;
        let name = file.display().to_string();
        let bytes = std::fs::read(&file).map_err(|error| format!("{name}: {error}"))?;
        let text = String::from_utf8_lossy(&bytes);
        let text = text.trim_start_matches('\u{feff}');
        match read(text) {
            Ok(book) => {
                line(format_args!("{name}: \"{}\" holds.", book.title()))?;
                for one in book.looser() {
                    line(format_args!("  {}", one.sentence))?;
                }
                Ok(())
            }
            Err(RulebookError { faults }) => {
                for fault in &faults {
                    line(format_args!("{name}: {fault}"))?;
                }
                Err(match faults.len() {
                    1 => "1 fault".into(),
                    n => format!("{n} faults").into(),
                })
            }
        }
    }
}

/// A sheet as a team brings it; one that comes with the program as it comes.
fn read(text: &str) -> Result<book::Rulebook, RulebookError> {
    match book::Rulebook::parse(text) {
        Ok(read) if book::rulebook(read.key()) == Some(&read) => Ok(read),
        _ => book::Rulebook::parse_own(text),
    }
}
