//! Finds a place in a text of JSON that was read as a sheet, so that it is known to be well formed.

use super::Place;

/// The byte at which a place stands; that of the nearest part around it where it is left out.
pub(super) fn spot(text: &str, place: &Place) -> Option<usize> {
    let mut json = Json {
        bytes: text.as_bytes(),
        next: 0,
    };
    let mut found = None;
    for (name, entry) in place.steps() {
        let Some(key) = json.member(name) else {
            break;
        };
        found = Some(key);
        let Some(value) = entry.and_then(|entry| json.entry(entry)) else {
            break;
        };
        found = Some(value);
    }
    found
}

/// A text of JSON, read from byte to byte.
struct Json<'a> {
    bytes: &'a [u8],
    next: usize,
}

impl Json<'_> {
    /// The next byte that is neither blank nor between two values.
    fn peek(&mut self) -> Option<u8> {
        loop {
            let byte = *self.bytes.get(self.next)?;
            if !matches!(byte, b' ' | b'\t' | b'\r' | b'\n' | b',' | b':') {
                return Some(byte);
            }
            self.next += 1;
        }
    }

    /// Steps into a table or a list.
    fn open(&mut self, bracket: u8) -> Option<()> {
        (self.peek()? == bracket).then(|| self.next += 1)
    }

    /// Goes to the value of a key of the table that begins here; answers where the key stands.
    fn member(&mut self, name: &str) -> Option<usize> {
        self.open(b'{')?;
        while self.peek()? == b'"' {
            let key = self.next;
            self.pass()?;
            if self.bytes.get(key + 1..self.next - 1) == Some(name.as_bytes()) {
                return Some(key);
            }
            self.pass()?;
        }
        None
    }

    /// Goes to an entry of the list that begins here, counted from 0; answers where it stands.
    fn entry(&mut self, index: usize) -> Option<usize> {
        self.open(b'[')?;
        for _ in 0..index {
            self.pass()?;
        }
        (self.peek()? != b']').then_some(self.next)
    }

    /// Goes past the next value, whatever it is.
    fn pass(&mut self) -> Option<()> {
        let mut depth = 0_usize;
        loop {
            match self.peek()? {
                b'"' => self.string()?,
                b'{' | b'[' => {
                    depth += 1;
                    self.next += 1;
                }
                b'}' | b']' => {
                    depth = depth.checked_sub(1)?;
                    self.next += 1;
                }
                _ => self.word(),
            }
            if depth == 0 {
                return Some(());
            }
        }
    }

    /// Goes past a text.
    fn string(&mut self) -> Option<()> {
        self.next += 1;
        loop {
            let byte = *self.bytes.get(self.next)?;
            self.next += if byte == b'\\' { 2 } else { 1 };
            if byte == b'"' {
                return Some(());
            }
        }
    }

    /// Goes past a number, or a word like `true`.
    fn word(&mut self) {
        let rest = self.bytes.get(self.next..).unwrap_or_default();
        let end = rest
            .iter()
            .position(|byte| !byte.is_ascii_alphanumeric() && !b"+-.".contains(byte));
        self.next += end.unwrap_or(rest.len()).max(1);
    }
}
