//! The parts that pages are put together from: each is a value that writes itself.
//!
//! In a template a part is written as `{{ part }}`; the look is in `templates/part/`. What a part
//! says is decided in Rust, so a template never chooses a word or a colour.

use askama::Template;

use super::words;
use crate::{domain::Units, rigging::CAUTIONS};

/// Marks parts that write escaped HTML themselves.
macro_rules! html_parts {
    ($($part:ty),+ $(,)?) => { $( impl askama::filters::HtmlSafe for $part {} )+ };
}
pub(super) use html_parts;

/// How grave something is. Each tone has its own shape, so that nobody needs the colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tone {
    /// Holds: in service, passed, strong enough.
    Fit,
    /// Holds now, but look: due soon, past a friendly limit, from memory.
    Watch,
    /// Does not hold: refused, failed, overdue.
    Stop,
    /// Waits for somebody's decision: quarantined, missing.
    Hold,
    /// Neither good nor bad: a plain fact.
    Note,
    /// Out for good: retired, switched off, closed.
    Out,
}

impl Tone {
    /// Every tone.
    pub const ALL: [Self; 6] = [
        Self::Fit,
        Self::Watch,
        Self::Stop,
        Self::Hold,
        Self::Note,
        Self::Out,
    ];

    /// The name of its style.
    pub fn class(self) -> &'static str {
        match self {
            Self::Fit => "tone-fit",
            Self::Watch => "tone-watch",
            Self::Stop => "tone-stop",
            Self::Hold => "tone-hold",
            Self::Note => "tone-note",
            Self::Out => "tone-out",
        }
    }

    /// Its shape.
    pub fn shape(self) -> Shape {
        Shape { tone: self }
    }
}

/// The small drawing of a tone.
#[derive(Clone, Copy, Debug, Template)]
#[template(path = "part/shape.html")]
pub struct Shape {
    /// The tone it stands for.
    pub tone: Tone,
}

/// A word with its shape.
#[derive(Clone, Debug, Template)]
#[template(path = "part/badge.html")]
pub struct Badge {
    /// How grave.
    pub tone: Tone,
    /// The word.
    pub word: String,
}

impl Badge {
    /// A badge that says `word`.
    pub fn new(tone: Tone, word: impl Into<String>) -> Self {
        Self {
            tone,
            word: word.into(),
        }
    }
}

/// The answer of a page: the first thing that is read.
#[derive(Clone, Debug, Template)]
#[template(path = "part/answer.html")]
pub struct Answer {
    /// How grave.
    pub tone: Tone,
    /// The answer: "Fit", "Refused: 3 reasons".
    pub words: String,
    /// One sentence below it; may be empty.
    pub why: String,
}

impl Answer {
    /// An answer in words.
    pub fn new(tone: Tone, words: impl Into<String>) -> Self {
        Self {
            tone,
            words: words.into(),
            why: String::new(),
        }
    }

    /// The same answer with a sentence below it.
    #[must_use]
    pub fn why(mut self, why: impl Into<String>) -> Self {
        self.why = why.into();
        self
    }
}

/// What was just done; shown once on top of the next page.
#[derive(Clone, Debug, Template)]
#[template(path = "part/flash.html")]
pub struct Flash {
    /// How grave.
    pub tone: Tone,
    /// The sentence.
    pub words: String,
    /// What is next, each in a line with where it is done.
    pub ways: Vec<(String, String)>,
}

/// Ways from one page of a long list to its neighbours.
#[derive(Clone, Debug, Default, Template)]
#[template(path = "part/pager.html")]
pub struct Pager {
    /// Where the list begins; none if this is the beginning.
    pub first: Option<String>,
    /// Where it goes on; none if this is the end.
    pub next: Option<String>,
    /// What is shown: "50 items".
    pub shown: String,
}

/// What to do where a list has nothing to show.
#[derive(Clone, Debug, Template)]
#[template(path = "part/empty.html")]
pub struct Empty {
    /// What is not there: "No items yet."
    pub words: String,
    /// What to do about it.
    pub what_next: String,
    /// The first step: its words and where it leads. None if this person may not take it.
    pub step: Option<(String, String)>,
}

impl Empty {
    /// An empty list and what to do about it.
    pub fn new(words: impl Into<String>, what_next: impl Into<String>) -> Self {
        Self {
            words: words.into(),
            what_next: what_next.into(),
            step: None,
        }
    }

    /// The same with a first step.
    #[must_use]
    pub fn step(mut self, words: impl Into<String>, href: impl Into<String>) -> Self {
        self.step = Some((words.into(), href.into()));
        self
    }
}

/// The cautions that stand on every computed page: the first in sight, the others in a fold.
#[derive(Clone, Debug, Template)]
#[template(path = "part/cautions.html")]
pub struct Cautions {
    /// One sentence each.
    pub lines: Vec<String>,
}

impl Cautions {
    /// Those of every result of the mechanics.
    pub fn of_mechanics() -> Self {
        Self {
            lines: CAUTIONS.iter().map(|line| (*line).to_owned()).collect(),
        }
    }

    /// How many stand behind the first, which is always in sight.
    fn others(&self) -> String {
        words::count(self.lines.len() - 1, "point", "points")
    }
}

/// What the sheet of a rig asks for and what it does not do, before the cautions; nothing where it says nothing.
#[derive(Clone, Debug, Template)]
#[template(path = "part/rig_asks.html")]
pub struct RigAsks {
    /// One sentence each.
    pub lines: Vec<String>,
}

impl RigAsks {
    /// These sentences, with their quantities in the reader's units too.
    pub fn new(lines: &[String], units: Units) -> Self {
        let lines = lines.iter();
        Self {
            lines: lines.map(|line| units.beside(line)).collect(),
        }
    }
}

/// Names and values in two columns.
#[derive(Clone, Debug, Default, Template)]
#[template(path = "part/facts.html")]
pub struct Facts {
    /// Each name with its value.
    pub rows: Vec<Fact>,
    /// Side by side on a wide page, else one below the other.
    pub wide: bool,
}

/// One line of [`Facts`].
#[derive(Clone, Debug)]
pub struct Fact {
    /// What it is.
    pub name: String,
    /// Its value; a dash if nobody wrote one.
    pub value: String,
    /// What belongs to it: where it comes from, how it was entered. May be empty.
    pub aside: String,
}

impl Facts {
    /// The same facts and one more.
    #[must_use]
    pub fn and(self, name: impl Into<String>, value: impl Into<String>) -> Self {
        self.and_from(name, value, "")
    }

    /// The same facts and one more with what belongs to it.
    #[must_use]
    pub fn and_from(
        mut self,
        name: impl Into<String>,
        value: impl Into<String>,
        aside: impl Into<String>,
    ) -> Self {
        let value = value.into();
        self.rows.push(Fact {
            name: name.into(),
            value: if value.is_empty() {
                "not known".to_owned()
            } else {
                value
            },
            aside: aside.into(),
        });
        self
    }

    /// Whether there is nothing to show.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// The same facts side by side.
    #[must_use]
    pub fn wide(mut self) -> Self {
        self.wide = true;
        self
    }
}

/// Links between the pages of one subject.
#[derive(Clone, Debug, Template)]
#[template(path = "part/secnav.html")]
pub struct SectionNav {
    /// What the links are about, for those who hear the page.
    pub label: String,
    /// Words and address; the one of this page is marked by its address.
    pub links: Vec<(String, String)>,
    /// The address of this page.
    pub here: String,
}

impl SectionNav {
    /// Links to the parts of a long page.
    pub fn on_this_page<'a>(links: impl IntoIterator<Item = (&'a str, String)>) -> Self {
        let links = links.into_iter();
        Self {
            label: "On this page".to_owned(),
            links: links
                .map(|(words, href)| (words.to_owned(), href))
                .collect(),
            here: String::new(),
        }
    }
}

html_parts!(
    Shape, Badge, Answer, Flash, Pager, Empty, Cautions, Facts, RigAsks, SectionNav
);
