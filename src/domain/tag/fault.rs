//! Why a text is no GS1 element string.

/// Why a text is no element string, in a sentence for whoever scanned it.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Fault {
    /// Nothing stands in it.
    #[error("There is nothing in this code.")]
    Empty,
    /// A number that is no application identifier.
    #[error(
        "\"{0}\" begins with no application identifier that is known here. The scanner may have left out a \
         separator: set it to send FNC1 as the character GS."
    )]
    Unknown(String),
    /// A value that is too short or too long.
    #[error(
        "{title} ({number}) has {}, not {given}. Scan it again; a separator may be missing behind it.",
        characters(*.least, *.most)
    )]
    Length {
        /// The application identifier.
        number: String,
        /// What it stands for.
        title: &'static str,
        /// The fewest characters.
        least: usize,
        /// The most.
        most: usize,
        /// How many there were.
        given: usize,
    },
    /// A character that must not stand in it.
    #[error("{title} ({number}) must not hold the character \"{c}\". Scan it again.")]
    Character {
        /// The application identifier.
        number: String,
        /// What it stands for.
        title: &'static str,
        /// The character.
        c: char,
    },
    /// A check digit that is not right.
    #[error(
        "The check digit of {title} ({number}) is wrong: {value} should end in {wanted}. Scan it again; nothing was taken."
    )]
    CheckDigit {
        /// The application identifier.
        number: String,
        /// What it stands for.
        title: &'static str,
        /// The digits.
        value: String,
        /// What the last of them should be.
        wanted: char,
    },
    /// No day.
    #[error(
        "{title} ({number}) is no day: {value}. It is written as year, month and day of two digits each."
    )]
    Day {
        /// The application identifier.
        number: String,
        /// What it stands for.
        title: &'static str,
        /// The digits.
        value: String,
    },
    /// Said twice, and not the same.
    #[error(
        "{title} ({number}) stands in this code twice, with two values. Which is right cannot be told."
    )]
    Twice {
        /// The application identifier.
        number: String,
        /// What it stands for.
        title: &'static str,
    },
    /// A percent sign that is followed by no two digits.
    #[error(
        "\"{0}\" is not written as a web address writes it: behind each % stand two hexadecimal digits."
    )]
    Escape(String),
    /// More than a tag holds.
    #[error("A code has at most {most} characters; {given} were given.")]
    Long {
        /// The most.
        most: usize,
        /// How many there were.
        given: usize,
    },
    /// A character that cannot be kept.
    #[error(
        "There is a control character in this code that no scanner should send. Scan it again."
    )]
    Control,
}

impl Fault {
    /// A text that begins with no known number.
    pub(super) fn unknown(text: &str) -> Self {
        Self::Unknown(text.chars().take(12).collect())
    }
}

fn characters(least: usize, most: usize) -> String {
    if least == most {
        format!("{most} characters")
    } else {
        format!("from {least} to {most} characters")
    }
}
