//! A file that is kept under the hash of its bytes, and what is known of it.

use std::{fmt, str::FromStr};

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

/// The SHA-256 of a file's bytes: its name where it is kept, in hexadecimal.
#[derive(
    Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, utoipa::ToSchema,
)]
#[serde(try_from = "String", into = "String")]
#[schema(value_type = String)]
pub struct FileHash(String);

/// A text is no SHA-256.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("a SHA-256 is written as 64 digits from 0 to 9 and a to f")]
pub struct NoFileHash;

impl FileHash {
    /// The hash of these bytes.
    pub fn of(bytes: &[u8]) -> Self {
        Self(hex::encode(Sha256::digest(bytes)))
    }

    /// The 64 digits.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl FromStr for FileHash {
    type Err = NoFileHash;
    fn from_str(text: &str) -> Result<Self, NoFileHash> {
        let digits = text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'));
        if digits && text.len() == 64 {
            Ok(Self(text.to_owned()))
        } else {
            Err(NoFileHash)
        }
    }
}

impl TryFrom<String> for FileHash {
    type Error = NoFileHash;
    fn try_from(text: String) -> Result<Self, NoFileHash> {
        text.parse()
    }
}

impl From<FileHash> for String {
    fn from(hash: FileHash) -> Self {
        hash.0
    }
}

impl fmt::Display for FileHash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// What the bytes of a file are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub enum MediaType {
    /// A photo, as it is kept.
    #[serde(rename = "image/jpeg")]
    Jpeg,
    /// A document.
    #[serde(rename = "application/pdf")]
    Pdf,
}

impl MediaType {
    /// As HTTP writes it.
    pub fn key(self) -> &'static str {
        match self {
            Self::Jpeg => "image/jpeg",
            Self::Pdf => "application/pdf",
        }
    }
}

/// How large a picture is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Pixels {
    /// From left to right.
    pub width: u32,
    /// From top to bottom.
    pub height: u32,
}

/// A file that is kept.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct KeptFile {
    /// The SHA-256 of its bytes.
    pub sha256: FileHash,
    /// What they are.
    pub media_type: MediaType,
    /// How many there are.
    pub bytes: usize,
    /// How large the picture is, if it is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pixels: Option<Pixels>,
}

/// A number of bytes in words: `84 KiB`, `1.4 MiB`, `20 MiB`.
pub fn size_words(bytes: usize) -> String {
    const MIB: usize = 1024 * 1024;
    let tenths = bytes / MIB * 10 + bytes % MIB * 10 / MIB;
    match (tenths / 10, tenths % 10) {
        (0, _) => format!("{} KiB", bytes.div_ceil(1024)),
        (whole, 0) => format!("{whole} MiB"),
        (whole, tenth) => format!("{whole}.{tenth} MiB"),
    }
}
