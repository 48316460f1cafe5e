//! Reads the command line and hands over to the library.

use std::process::ExitCode;

fn main() -> ExitCode {
    ropeloft::cli::run()
}
