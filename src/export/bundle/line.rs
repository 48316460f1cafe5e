//! Reads a bundle line by line.

use std::io::{self, BufRead};

use sha2::{Digest, Sha256};

use super::{Fault, Line};
use crate::domain::Hash;

/// The longest line that is read: more than the largest entry could be.
const LONGEST: u64 = 64 * 1024 * 1024;

/// The lines of a file, with the hash of all that was read.
pub(super) struct Lines<R> {
    file: R,
    pub(super) number: u64,
    hash: Sha256,
}

impl<R: BufRead> Lines<R> {
    pub(super) fn new(file: R) -> Self {
        Self {
            file,
            number: 0,
            hash: Sha256::new(),
        }
    }

    pub(super) fn hashed(&self) -> Hash {
        self.hash.clone().finalize().into()
    }

    pub(super) fn next(&mut self) -> Result<Option<Line>, Fault> {
        let mut line = Vec::new();
        let mut rest = io::Read::take(&mut self.file, LONGEST);
        if rest.read_until(b'\n', &mut line)? == 0 {
            return Ok(None);
        }
        self.number += 1;
        self.hash.update(&line);
        serde_json::from_slice(&line)
            .map(Some)
            .map_err(|error| self.form(format!("this is no line of a bundle: {error}")))
    }

    pub(super) fn form(&self, what: impl ToString) -> Fault {
        Fault::Form {
            line: self.number,
            what: what.to_string(),
        }
    }
}
