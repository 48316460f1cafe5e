//! Ropeloft's own tags: a short code that is easily read aloud, with a character that checks it.

use std::fmt;

/// The characters of a code: none of which looks or sounds like another that is left out. `0 O Q`, `1 I L`, `2 Z`,
/// `5 S`, `8 B` and `U V` are confused in print; of each of them at most one is here. There are 23, a prime number,
/// on which the check rests.
pub const LETTERS: [char; 23] = [
    '2', '3', '4', '6', '7', '9', 'A', 'C', 'D', 'E', 'F', 'G', 'H', 'J', 'K', 'M', 'N', 'P', 'R',
    'T', 'W', 'X', 'Y',
];

/// How many characters a code has before the one that checks it: 23 to the 8th are 78 thousand million.
const FREE: usize = 8;

/// A code of one's own, with the character that checks it: `7KM-3TX-9AF`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OwnCode([u8; FREE + 1]);

impl OwnCode {
    /// The code that this random number chooses.
    pub fn from_random(mut random: u64) -> Self {
        let mut places = [0; FREE + 1];
        for place in &mut places[..FREE] {
            // The remainder is below 23.
            *place = (random % 23) as u8;
            random /= 23;
        }
        places[FREE] = check(&places);
        Self(places)
    }

    /// Reads a code, in capitals or not, with dashes or blanks or without.
    pub fn read(text: &str) -> Option<Self> {
        let mut places = [0; FREE + 1];
        let mut read = 0;
        for c in text.chars().filter(|c| !matches!(c, '-' | ' ')) {
            let c = c.to_ascii_uppercase();
            let at = LETTERS.iter().position(|letter| *letter == c)?;
            *places.get_mut(read)? = u8::try_from(at).ok()?;
            read += 1;
        }
        let whole = read == places.len() && places[FREE] == check(&places);
        whole.then_some(Self(places))
    }

    /// Without dashes, as it stands in an address.
    pub fn plain(self) -> String {
        self.0.iter().map(|at| LETTERS[usize::from(*at)]).collect()
    }
}

/// The place of the character that checks those before it: they are summed up with the weights 1 to 8, modulo 23. As
/// 23 is prime and no weight is used twice, one wrong character is always found, and so are any two that were swapped.
/// The method is that of the ten-digit book number, ISO 2108:1992, with 23 in place of 11.
fn check(places: &[u8; FREE + 1]) -> u8 {
    let weighed = places[..FREE].iter().zip(1_u32..);
    let sum: u32 = weighed.map(|(at, weight)| u32::from(*at) * weight).sum();
    (sum % 23) as u8
}

impl fmt::Display for OwnCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let plain = self.plain();
        write!(f, "{}-{}-{}", &plain[..3], &plain[3..6], &plain[6..])
    }
}
