//! What commands print. Whoever reads only the first lines has seen enough: that is no reason to stop half way, nor to
//! end otherwise than the command would.

use std::{
    fmt::Display,
    io::{self, ErrorKind, Write},
};

use super::Outcome;

/// What was written, where a reader that went away is no fault: whatever has much to write stops there.
pub(super) fn until_closed(written: Outcome) -> Outcome {
    let is_closed = |error: &io::Error| error.kind() == ErrorKind::BrokenPipe;
    match written {
        Err(error) if error.downcast_ref().is_some_and(is_closed) => Ok(()),
        written => written,
    }
}

/// Prints a text as it is.
pub(super) fn say(text: impl Display) -> io::Result<()> {
    Printed.write_all(text.to_string().as_bytes())?;
    Printed.flush()
}

/// Prints a line.
pub(super) fn line(text: impl Display) -> io::Result<()> {
    say(format_args!("{text}\n"))
}

/// The standard output, for whoever writes to it in parts.
pub(super) struct Printed;

impl Write for Printed {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        match io::stdout().write(bytes) {
            Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(bytes.len()),
            written => written,
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        match io::stdout().flush() {
            Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
            flushed => flushed,
        }
    }
}
