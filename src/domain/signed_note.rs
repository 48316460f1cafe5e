//! Signed notes: a text, an empty line, and a line for each who signed it, as C2SP's "signed-note" describes them
//! (the form was written from memory of the open specification; a second program, written apart, reads it in the tests).
//!
//! Keys are Ed25519 (RFC 8032). A key has a name and an identifier, the first four bytes of a hash over name, kind and
//! key: it says which key signed, and proves nothing. A witness signs by "cosignature/v1", which binds the moment too.

use base64::{Engine, engine::general_purpose::STANDARD};
use ed25519_dalek::{Signature, Signer, SigningKey, VerifyingKey};
use sha2::{Digest, Sha256};
use time::OffsetDateTime;

/// The most bytes a note may have.
pub const MOST_BYTES: usize = 64 * 1024;
/// The most signatures a note may carry.
pub const MOST_SIGNATURES: usize = 64;
/// What stands before the name in a signature's line.
const DASH: &str = "\u{2014} ";

/// How a key signs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Signs {
    /// The text alone.
    Text,
    /// The text and the moment at which it was seen: a witness.
    Seen,
}

impl Signs {
    fn byte(self) -> u8 {
        match self {
            Self::Text => 0x01,
            Self::Seen => 0x04,
        }
    }
}

/// A key that signatures are held against: `NAME+IDENTIFIER+KEY` as text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Verifier {
    name: String,
    signs: Signs,
    key: VerifyingKey,
}

/// Why something is no key, no note, or not signed as it says.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoteError {
    /// A key's text has not the form that keys have.
    #[error("a key is written NAME+IDENTIFIER+KEY, this is not: {0}")]
    Key(&'static str),
    /// A name is empty, or has what separates the parts of a line.
    #[error("a key's name is one word without a plus sign, this is not: \"{0}\"")]
    Name(String),
    /// The note has not the form that notes have.
    #[error("this is no signed note: {0}")]
    Form(&'static str),
    /// A key that is known is named for a signature that is not its own.
    #[error("the signature of \"{0}\" does not belong to this text")]
    Forged(String),
    /// Nobody whose key is known signed it.
    #[error("none of the keys that are known signed this")]
    Unsigned,
}

impl Verifier {
    /// The key of whoever signs.
    ///
    /// # Errors
    /// If the name cannot be one.
    pub fn new(name: &str, signs: Signs, key: VerifyingKey) -> Result<Self, NoteError> {
        let plain = !name.is_empty() && !name.contains(|c: char| c.is_whitespace() || c == '+');
        if !plain {
            return Err(NoteError::Name(name.to_owned()));
        }
        Ok(Self {
            name: name.to_owned(),
            signs,
            key,
        })
    }

    /// Reads a key from its text.
    ///
    /// # Errors
    /// If it is none, or its identifier is not that of its name and key.
    pub fn read(text: &str) -> Result<Self, NoteError> {
        let mut parts = text.trim().splitn(3, '+');
        let (Some(name), Some(identifier), Some(key)) = (parts.next(), parts.next(), parts.next())
        else {
            return Err(NoteError::Key("it has fewer than three parts"));
        };
        let bytes = STANDARD
            .decode(key)
            .map_err(|_| NoteError::Key("the key is not base64"))?;
        let (signs, bytes) = match bytes.split_first() {
            Some((0x01, key)) => (Signs::Text, key),
            Some((0x04, key)) => (Signs::Seen, key),
            _ => return Err(NoteError::Key("the key is of a kind that is not known")),
        };
        let bytes = <&[u8; 32]>::try_from(bytes)
            .map_err(|_| NoteError::Key("the key is not 32 bytes long"))?;
        let key = VerifyingKey::from_bytes(bytes)
            .ok()
            .filter(|key| !key.is_weak())
            .ok_or(NoteError::Key("the key is no Ed25519 key"))?;
        let verifier = Self::new(name, signs, key)?;
        if hex::encode(verifier.identifier()) != identifier {
            return Err(NoteError::Key(
                "the identifier is not that of its name and key",
            ));
        }
        Ok(verifier)
    }

    /// Its text.
    pub fn text(&self) -> String {
        let mut key = vec![self.signs.byte()];
        key.extend(self.key.as_bytes());
        let identifier = hex::encode(self.identifier());
        format!("{}+{identifier}+{}", self.name, STANDARD.encode(key))
    }

    /// Its name.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// How it signs.
    pub fn signs(&self) -> Signs {
        self.signs
    }

    fn identifier(&self) -> [u8; 4] {
        let hash = Sha256::new()
            .chain_update(&self.name)
            .chain_update([b'\n', self.signs.byte()])
            .chain_update(self.key.as_bytes())
            .finalize();
        [hash[0], hash[1], hash[2], hash[3]]
    }

    /// Who signed, if a signature that names this key is its own for the text.
    fn check(&self, text: &str, signature: &[u8]) -> Option<Signed> {
        let signed = |at| Signed {
            name: self.name.clone(),
            at,
        };
        match self.signs {
            Signs::Text => {
                let signature = Signature::from_slice(signature).ok()?;
                self.key.verify_strict(text.as_bytes(), &signature).ok()?;
                Some(signed(None))
            }
            Signs::Seen => {
                let (at, signature) = signature.split_first_chunk::<8>()?;
                let at = u64::from_be_bytes(*at);
                let signature = Signature::from_slice(signature).ok()?;
                let text = seen_text(text, at);
                self.key.verify_strict(text.as_bytes(), &signature).ok()?;
                Some(signed(Some(at)))
            }
        }
    }
}

fn seen_text(text: &str, at: u64) -> String {
    format!("cosignature/v1\ntime {at}\n{text}")
}

/// A line of a note: who signed, by which key, and what.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    name: String,
    identifier: [u8; 4],
    signature: Vec<u8>,
}

impl Line {
    /// Reads a line, without its end.
    fn read(line: &str) -> Option<Self> {
        let (name, signed) = line.strip_prefix(DASH)?.split_once(' ')?;
        let bytes = STANDARD.decode(signed).ok()?;
        let (identifier, signature) = bytes.split_first_chunk::<4>()?;
        let plain = !name.is_empty() && !name.contains(['+', ' ']) && !signature.is_empty();
        plain.then(|| Self {
            name: name.to_owned(),
            identifier: *identifier,
            signature: signature.to_vec(),
        })
    }

    fn text(&self) -> String {
        let bytes = [&self.identifier[..], &self.signature].concat();
        format!("{DASH}{} {}\n", self.name, STANDARD.encode(bytes))
    }
}

/// Somebody whose signature holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Signed {
    /// The name of the key.
    pub name: String,
    /// When a witness saw it, in seconds since 1970 began; nobody else's signature says.
    pub at: Option<u64>,
}

impl Signed {
    /// When a witness saw it; none where nobody says, and of seconds that lead to no day that there is.
    pub fn moment(&self) -> Option<OffsetDateTime> {
        let at = i64::try_from(self.at?).ok()?;
        OffsetDateTime::from_unix_timestamp(at).ok()
    }
}

/// A text with signatures.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Note {
    text: String,
    lines: Vec<Line>,
}

impl Note {
    /// A text that nobody has signed yet; every line of it ends with an end of line.
    ///
    /// # Errors
    /// If it is empty, does not end so, or has control characters.
    pub fn of(text: String) -> Result<Self, NoteError> {
        let control = |c: char| c != '\n' && c.is_control();
        if !text.ends_with('\n') || text.len() < 2 {
            return Err(NoteError::Form("its text does not end with an end of line"));
        }
        if text.contains(control) || text.len() > MOST_BYTES {
            return Err(NoteError::Form(
                "its text is too long or holds control characters",
            ));
        }
        let lines = Vec::new();
        Ok(Self { text, lines })
    }

    /// Reads a note. Signatures are not held against anything yet: [`Note::signed_by`] does.
    ///
    /// # Errors
    /// If it is none.
    pub fn read(note: &str) -> Result<Self, NoteError> {
        if note.len() > MOST_BYTES {
            return Err(NoteError::Form("it is longer than 64 KiB"));
        }
        let at = note
            .rfind("\n\n")
            .ok_or(NoteError::Form("no empty line parts text and signatures"))?;
        let mut read = Self::of(note[..=at].to_owned())?;
        let signatures = note[at + 2..]
            .strip_suffix('\n')
            .ok_or(NoteError::Form("its last line has no end"))?;
        for line in signatures.split('\n') {
            let line = Line::read(line).ok_or(NoteError::Form("a line is no signature"))?;
            read.lines.push(line);
        }
        if read.lines.len() > MOST_SIGNATURES {
            return Err(NoteError::Form("it has more than 64 signatures"));
        }
        Ok(read)
    }

    /// What is signed.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The whole note.
    pub fn whole(&self) -> String {
        let lines: String = self.lines.iter().map(Line::text).collect();
        format!("{}\n{lines}", self.text)
    }

    /// Adds a signature of the text.
    ///
    /// # Errors
    /// If the name cannot be one.
    pub fn sign(&mut self, name: &str, key: &SigningKey) -> Result<(), NoteError> {
        let verifier = Verifier::new(name, Signs::Text, key.verifying_key())?;
        let signature = key.sign(self.text.as_bytes()).to_bytes().to_vec();
        self.add(&verifier, signature);
        Ok(())
    }

    /// Adds what a witness signed, with the moment in seconds since 1970 began.
    ///
    /// # Errors
    /// If the name cannot be one.
    pub fn witness(&mut self, name: &str, key: &SigningKey, at: u64) -> Result<(), NoteError> {
        let verifier = Verifier::new(name, Signs::Seen, key.verifying_key())?;
        let signed = key.sign(seen_text(&self.text, at).as_bytes());
        let signature = [&at.to_be_bytes()[..], &signed.to_bytes()].concat();
        self.add(&verifier, signature);
        Ok(())
    }

    fn add(&mut self, verifier: &Verifier, signature: Vec<u8>) {
        let line = Line {
            name: verifier.name.clone(),
            identifier: verifier.identifier(),
            signature,
        };
        if !self.lines.contains(&line) {
            self.lines.push(line);
        }
    }

    /// Takes over the signatures of the same text by keys that are known, one of each key: the first that came stays. Says
    /// whose they are, with the moments that are kept.
    ///
    /// # Errors
    /// If the other text is not this one, no known key signed it, or there is no room for one more.
    pub fn take(&mut self, other: &Self, known: &[Verifier]) -> Result<Vec<Signed>, NoteError> {
        if other.text != self.text {
            return Err(NoteError::Form("it is signed under another text"));
        }
        other.signed_by(known)?;
        let mut by = Vec::new();
        for line in &other.lines {
            let Some(key) = known.iter().find(|key| line.is_of(key)) else {
                continue;
            };
            by.push(key.clone());
            if self.lines.iter().any(|kept| kept.is_of(key)) {
                continue;
            }
            if self.lines.len() >= MOST_SIGNATURES {
                return Err(NoteError::Form("it carries 64 signatures already"));
            }
            self.lines.push(line.clone());
        }
        self.signed_by(&by)
    }

    /// Who of those whose keys are known signed the text, in the order of the lines. Lines of keys that are not known
    /// say nothing and are passed over.
    ///
    /// # Errors
    /// If a known key is named and its signature does not hold, or none of them signed.
    pub fn signed_by(&self, known: &[Verifier]) -> Result<Vec<Signed>, NoteError> {
        let mut signed: Vec<Signed> = Vec::new();
        for line in &self.lines {
            let Some(key) = known.iter().find(|key| line.is_of(key)) else {
                continue;
            };
            let one = key.check(&self.text, &line.signature);
            signed.push(one.ok_or_else(|| NoteError::Forged(line.name.clone()))?);
        }
        if signed.is_empty() {
            return Err(NoteError::Unsigned);
        }
        Ok(signed)
    }
}

impl Line {
    fn is_of(&self, key: &Verifier) -> bool {
        self.name == key.name && self.identifier == key.identifier()
    }
}
