//! Standards as people write them in one line: "EN 12275:2013 type B, EN 362; UIAA 121".
//!
//! A letter behind a number is a class only where the line says so, or where the standard is known to
//! have that class; anything else is handed back as a rest, and nobody guesses what it is.

use super::standard_class::has_class;

/// A standard that stands in a line, taken apart.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WrittenStandard {
    /// As it is written, with what stands behind it.
    pub written: String,
    /// Its letters and number: `EN 12275`.
    pub standard: String,
    /// Its edition: `2013`, `2012+A1:2018`.
    pub edition: String,
    /// The class, type or grade.
    pub class: String,
    /// What stands behind it and is neither an edition nor a class that it is known to have.
    pub rest: String,
    /// The letters of the body that publishes it; empty where they are none that is known.
    body: String,
}

impl WrittenStandard {
    /// The standard with its edition and class, in words that are read back as the same.
    pub fn title(&self) -> String {
        let mut title = self.standard.clone();
        if !self.edition.is_empty() {
            title = format!("{title}:{}", self.edition);
        }
        if !self.class.is_empty() {
            title = format!("{title} class {}", self.class);
        }
        title
    }

    /// Whether a body that is known publishes it, so that its number was told from what stands behind.
    pub fn is_numbered(&self) -> bool {
        !self.body.is_empty()
    }
}

/// Bodies that publish standards, as their letters stand before a number.
const BODIES: &[&str] = &[
    "EN",
    "BS",
    "DIN",
    "NF",
    "UNI",
    "UNE",
    "NEN",
    "SS",
    "SN",
    "ONORM",
    "ÖNORM",
    "ISO",
    "CEN",
    "CEN/TS",
    "TS",
    "PREN",
    "UIAA",
    "NFPA",
    "ANSI",
    "ANSI/ASSE",
    "ANSI/ASSP",
    "ASSE",
    "ASSP",
    "ASTM",
    "CSA",
    "AS",
    "NZS",
    "AS/NZS",
];

/// Whether a word is the letters of a body that publishes standards, whatever their case.
pub fn is_standards_body(word: &str) -> bool {
    BODIES.contains(&word.to_uppercase().as_str())
}

/// Words that say that a class follows.
const CLASS_WORDS: &[&str] = &[
    "type", "types", "form", "class", "classes", "grade", "typ", "klasse", "cl", "kl",
];

/// The standards that a line names, each with what it says of edition and class.
///
/// ```
/// use ropeloft::domain::standards_in;
///
/// let read = standards_in("EN 12275:2013 B / UIAA 121");
/// let titles: Vec<_> = read.iter().map(|one| one.title()).collect();
/// assert_eq!(titles, ["EN 12275:2013 class B", "UIAA 121"]);
/// ```
pub fn standards_in(line: &str) -> Vec<WrittenStandard> {
    let mut found: Vec<WrittenStandard> = Vec::new();
    for (sign, piece) in pieces(line) {
        let last = found.last_mut().filter(|last| last.is_numbered());
        let follows = last.map_or(Follows::Nothing, |last| last.followed(sign, &piece));
        match follows {
            Follows::Said => {}
            Follows::Another(another) => found.push(another),
            Follows::Nothing => found.push(one(&piece)),
        }
    }
    found
}

/// The pieces of a line, each with the sign before it; a blank where another body's letters begin.
fn pieces(line: &str) -> Vec<(char, String)> {
    let line = line.replace(['(', ')', '[', ']'], " ");
    let mut pieces = vec![(' ', String::new())];
    let mut numbered = false;
    for word in line.split_inclusive(|c: char| c.is_whitespace()) {
        let ends_line = word.ends_with('\n');
        let word = word.trim();
        let joins = matches!(
            word.to_lowercase().as_str(),
            "and" | "und" | "et" | "plus" | "|"
        );
        // Behind a sign and a class, "12841/C EN 15151", another body's letters begin too.
        let mut behind_sign = pieces
            .last()
            .is_some_and(|(sign, piece)| *sign != ' ' && ends_otherwise(piece));
        if joins || ((numbered || behind_sign) && BODIES.contains(&word)) {
            pieces.push((' ', String::new()));
            numbered = false;
        }
        if !joins {
            let mut part = String::new();
            let mut in_word = false;
            for c in word.chars() {
                // "CEN/TS 16415" and "AS/NZS 1891.1" are one name: no number stands before the sign. Behind a sign and
                // a class, "362/B + EN 12275" and "362/B+EN 12275", one stands before that.
                let has_number = numbered || part.contains(|c: char| c.is_ascii_digit());
                let parts = match c {
                    ',' | ';' | '&' => true,
                    '/' | '+' => has_number || behind_sign || (in_word && ends_otherwise(&part)),
                    _ => false,
                };
                if parts {
                    push(&mut pieces, &part);
                    part.clear();
                    pieces.push((c, String::new()));
                    numbered = false;
                    behind_sign = false;
                    in_word = true;
                } else {
                    part.push(c);
                }
            }
            numbered |= part.contains(|c: char| c.is_ascii_digit());
            push(&mut pieces, &part);
        }
        if ends_line {
            pieces.push((' ', String::new()));
            numbered = false;
        }
    }
    let pieces = pieces.into_iter();
    let trimmed = pieces.map(|(sign, piece)| (sign, piece.trim().to_owned()));
    trimmed.filter(|(_, piece)| !piece.is_empty()).collect()
}

/// Puts a word behind the last piece.
fn push(pieces: &mut [(char, String)], word: &str) {
    if let Some((_, piece)) = pieces.last_mut() {
        if !piece.is_empty() && !piece.ends_with(' ') && !word.is_empty() {
            piece.push(' ');
        }
        piece.push_str(word);
    }
}

/// Whether a piece ends in something else than the letters of a body, to which those that follow may belong.
fn ends_otherwise(piece: &str) -> bool {
    let last = piece.split_whitespace().last();
    last.is_some_and(|last| !is_standards_body(last) && last != "CE")
}

/// How a piece goes with the standard before it.
enum Follows {
    /// It says more of it.
    Said,
    /// It is the same body's, or the same standard by another class.
    Another(WrittenStandard),
    /// It does not.
    Nothing,
}

impl WrittenStandard {
    /// Takes an amendment over into the edition: `+A1:2018` behind `EN 12277:2015`.
    fn amended(&mut self, sign: char, piece: &str) -> bool {
        let (letters, year) = piece.split_once(':').unwrap_or((piece, ""));
        let number = letters.strip_prefix("AC").or(letters.strip_prefix('A'));
        let is_number = number.is_some_and(|number| {
            number.len() <= 2 && number.bytes().all(|byte| byte.is_ascii_digit())
        });
        let amends = is_number
            && matches!(sign, '+' | '/')
            && self.class.is_empty()
            && self.rest.is_empty()
            && (year_of(year) || (sign == '+' && !self.edition.is_empty()));
        if amends {
            if !self.edition.is_empty() {
                self.edition.push(sign);
            }
            self.edition.push_str(piece);
            self.written = format!("{}{sign}{piece}", self.written);
        }
        amends
    }

    /// What a piece without letters of a body says behind this standard.
    fn followed(&mut self, sign: char, piece: &str) -> Follows {
        if self.amended(sign, piece) {
            return Follows::Said;
        }
        let digits = piece.chars().take_while(char::is_ascii_digit).count();
        if digits >= 3 {
            let (edition, behind) = edition_of(piece);
            if self.edition.is_empty() && self.rest.is_empty() && !edition.is_empty() {
                self.edition = edition;
                self.written = format!("{} {piece}", self.written);
                if self.class.is_empty() {
                    self.tail(behind);
                }
                return Follows::Said;
            }
            return Follows::Another(one(&format!("{} {piece}", self.body)));
        }
        let (_, class) = said_class(piece);
        let is_class = (1..=2).contains(&class.chars().count())
            && class.chars().all(|c| c.is_ascii_alphanumeric())
            && class.chars().any(|c| c.is_ascii_alphabetic());
        if !is_class && !has_class(&self.standard, piece) {
            return Follows::Nothing;
        }
        let mut another = Self {
            class: String::new(),
            rest: String::new(),
            ..self.clone()
        };
        another.written = format!("{} {piece}", another.title());
        another.tail(piece);
        if self.class.is_empty() && self.rest.is_empty() {
            *self = another;
            return Follows::Said;
        }
        Follows::Another(another)
    }

    /// Takes over what stands behind the number and the edition.
    fn tail(&mut self, text: &str) {
        let sign = |c: char| {
            c.is_whitespace() || matches!(c, '-' | '–' | ':' | '+' | '/' | '&' | ',' | ';')
        };
        let text = text.trim_matches(sign);
        let (is_said, class) = said_class(text);
        if class.is_empty() {
            text.clone_into(&mut self.rest);
        } else if has_class(&self.standard, class) {
            self.class = in_capitals(class);
        } else if is_said {
            let (first, more) = class.split_once(' ').unwrap_or((class, ""));
            self.class = in_capitals(first);
            more.trim().clone_into(&mut self.rest);
        } else {
            text.clone_into(&mut self.rest);
        }
    }
}

/// The class that a text says with a word before it, or the text itself.
fn said_class(text: &str) -> (bool, &str) {
    let sign = |c: char| matches!(c, '.' | ':' | '-') || c.is_whitespace();
    let (first, behind) = text.split_once([' ', ':', '.']).unwrap_or((text, ""));
    if CLASS_WORDS.contains(&first.to_lowercase().as_str()) {
        (true, behind.trim_matches(sign))
    } else {
        (false, text)
    }
}

/// Letters of classes are printed in capitals; words are kept as they are.
fn in_capitals(class: &str) -> String {
    if class.len() <= 2 {
        class.to_uppercase()
    } else {
        class.to_owned()
    }
}

/// One standard: the letters of its body, its number, its edition, and what stands behind them.
fn one(text: &str) -> WrittenStandard {
    let whole = || {
        let (front, class) = by_word(text);
        WrittenStandard {
            written: text.to_owned(),
            standard: front,
            class,
            ..WrittenStandard::default()
        }
    };
    let Some((body, behind)) = body_of(text) else {
        return whole();
    };
    let (number, behind) = number_of(behind);
    if number.is_empty() {
        return whole();
    }
    let (edition, behind) = edition_of(behind);
    let mut found = WrittenStandard {
        written: text.to_owned(),
        standard: format!("{body} {number}"),
        edition,
        body,
        ..WrittenStandard::default()
    };
    found.tail(behind);
    found
}

/// A class that is said with its word behind a name that is not known.
fn by_word(text: &str) -> (String, String) {
    let words: Vec<&str> = text.split_whitespace().collect();
    match words.as_slice() {
        [front @ .., word, class] if CLASS_WORDS.contains(&word.to_lowercase().as_str()) => {
            (front.join(" "), (*class).to_owned())
        }
        _ => (text.to_owned(), String::new()),
    }
}

/// The letters of the body at the front and the text behind them: "BS EN" of "BS EN 795", "EN" of "EN795".
fn body_of(text: &str) -> Option<(String, &str)> {
    let mut body = Vec::new();
    let mut behind = text.strip_prefix("CE ").unwrap_or(text).trim_start();
    loop {
        let end = behind.find(|c: char| !(c.is_alphabetic() || c == '/'));
        let (letters, rest) = behind.split_at(end.unwrap_or(behind.len()));
        let letters = letters.to_uppercase();
        if !BODIES.contains(&letters.as_str()) {
            return (!body.is_empty()).then(|| (body.join(" "), behind));
        }
        body.push(letters);
        behind = rest.trim_start_matches(|c: char| c.is_whitespace() || c == '-');
    }
}

/// The number at the front, such as `1891`, `353-2`, `Z359.12`, and the text behind it.
fn number_of(text: &str) -> (&str, &str) {
    let letter = usize::from(text.starts_with(|c: char| c.is_ascii_uppercase()));
    let digits = |from: usize| {
        let end = text[from..].find(|c: char| !c.is_ascii_digit());
        end.map_or(text.len(), |end| from + end)
    };
    let mut end = digits(letter);
    if end == letter {
        return ("", text);
    }
    while text[end..].starts_with(['.', '-']) {
        let next = digits(end + 1);
        // A year behind a dash is an edition, a letter a class.
        if next == end + 1 || next > end + 3 {
            break;
        }
        end = next;
    }
    text.split_at(end)
}

/// The edition at the front and the text behind it.
fn edition_of(text: &str) -> (String, &str) {
    let sign = |c: char| matches!(c, ':' | '-') || c.is_whitespace();
    let bare = text.trim_start_matches(sign);
    let end = bare.find(|c: char| !(c.is_ascii_digit() || c == '-'));
    let (written, behind) = bare.split_at(end.unwrap_or(bare.len()));
    let (year, month) = written.split_once('-').unwrap_or((written, ""));
    let dated = year_of(year) && matches!(month.len(), 0 | 2);
    let short = text.starts_with(':') && written.len() == 2 && month.is_empty();
    if !dated && !short {
        return (String::new(), text);
    }
    let behind = behind.trim_start();
    let word = ["edition", "ed.", "ed"]
        .iter()
        .find(|word| behind.to_lowercase().starts_with(*word));
    let behind = word.map_or(behind, |word| behind.get(word.len()..).unwrap_or_default());
    (written.trim_end_matches('-').to_owned(), behind)
}

/// Whether a text is a year of an edition. 1983 is none: it is the number of a standard that others name.
fn year_of(text: &str) -> bool {
    text.len() == 4
        && text
            .parse::<u16>()
            .is_ok_and(|year| (1984..=2100).contains(&year))
}
