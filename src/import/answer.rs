//! What a person says about a file where the file does not say it itself.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use serde::{Deserialize, Serialize};

use super::doubted_figure::is_figure;
use super::field::Field;
use super::given::{Seen, SeenOf};
use super::said_before::SaidBefore;
use super::synonym;
use super::unit::Unit;
use crate::domain::{QualificationDraft, QualificationId};

macro_rules! answers {
    ($( $(#[$doc:meta])* $name:ident { $( $(#[$each:meta])* $variant:ident, $key:literal, $words:literal; )+ } )+) => {
        $(
            $(#[$doc])*
            #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
            pub enum $name {
                $( $(#[$each])* #[serde(rename = $key)] $variant, )+
            }

            impl $name {
                /// All answers, in the order in which they are offered.
                pub const ALL: &'static [Self] = &[$(Self::$variant),+];

                /// The word for programs.
                pub fn key(self) -> &'static str {
                    match self { $(Self::$variant => $key,)+ }
                }

                /// The words for people.
                pub fn words(self) -> &'static str {
                    match self { $(Self::$variant => $words,)+ }
                }

                /// Reads the word for programs.
                pub fn from_key(key: &str) -> Option<Self> {
                    Self::ALL.iter().copied().find(|one| one.key() == key)
                }

                /// All answers, as the words for programs and for people.
                pub fn choices() -> Vec<(String, String)> {
                    let pair = |one: &Self| (one.key().to_owned(), one.words().to_owned());
                    Self::ALL.iter().map(pair).collect()
                }
            }
        )+
    };
}

answers! {
    /// The order of day and month in a date written as numbers.
    DateOrder {
        /// 31/12/2026.
        DayFirst, "day-first", "day first (31/12/2026)";
        /// 12/31/2026.
        MonthFirst, "month-first", "month first (12/31/2026)";
    }
    /// The mark between whole and broken part of a number.
    DecimalMark {
        /// 22.5.
        Point, "point", "a point (22.5; 1,234 is one thousand two hundred and thirty-four)";
        /// 22,5.
        Comma, "comma", "a comma (22,5; 1,234 is a little more than one)";
    }
    /// What becomes of words that state an attribute which no column holds.
    Stated {
        /// It is taken from them.
        Take, "take", "take it from them";
        /// They stay words.
        LeaveOut, "leave-out", "take nothing from them";
    }
    /// What a month or a year stands for where a day is kept.
    LessThanDay {
        /// Its first day.
        First, "first", "take the first day of it: every date that is reckoned from it comes early, not late";
        /// Nothing that can be kept as a day.
        InNote, "in-note", "keep it in the note; the day is not known";
    }
    /// Where what is said of a model was read.
    ReadIn {
        /// On the thing itself.
        Marking, "marking", "on the gear itself: its marking was seen";
        /// In the maker's paper.
        Paper, "paper", "in the maker's instructions or certificate";
        /// In the report of a test.
        Test, "test", "in the report of a test";
        /// In the team's own papers.
        Note, "note", "in a note of our own";
        /// Somewhere that nobody noted.
        NotKnown, "not-known", "nobody knows any more where";
        /// Nowhere: a sheave's efficiency that somebody takes to be so.
        Assumed, "assumed", "nowhere: it is assumed";
    }
    /// What is said of the markings of all items where nobody says to have seen them.
    Markings {
        /// Nobody has looked.
        NotYet, "not-yet", "Not looked at yet: the items come in, and wait for a first look";
        /// A column of the list says it, row by row.
        List, "list", "A column of the list says it, item by item";
    }
    /// Who the maker is where the list has none.
    MakerIs {
        /// The name of the model begins with it.
        FirstWord, "first-word", "the first word of the model's name, row by row";
        /// It is said for each name of a model.
        Each, "each", "model by model, as the list below says";
        /// It is written once for all of them.
        One, "one", "one maker for all of them, written below";
    }
    /// What marks such as "R1-R12" stand for.
    Ranges {
        /// All marks from the one to the other.
        Several, "several", "several items, each with a mark of its own";
        /// One mark with a dash in it.
        One, "one", "one item with just this mark";
    }
    /// What a row stands for that has one mark and a quantity above one.
    Numbered {
        /// So many items, numbered behind the mark.
        Each, "each", "number them behind the mark, each an item of its own";
        /// One item, such as a set.
        One, "one", "one item each, such as a set; its quantity is kept in the note";
    }
    /// What becomes of items whose remarks restrict them.
    Restricted {
        /// They are held.
        Quarantine, "quarantine", "in quarantine until somebody has looked at each";
        /// They are not.
        Go, "go", "they may go on jobs; the words stay in the note";
    }
    /// What becomes of rows that say otherwise of their model than the rows before.
    Differing {
        /// They become items of a model of their own.
        Apart, "apart", "a model of its own for each, named after what differs";
    }
}

/// What becomes of a column.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub enum Target {
    /// It is read as a field.
    Field(Field),
    /// It is kept in each item's note, behind its heading.
    InNote,
    /// It is left out.
    LeaveOut,
}

impl Target {
    /// The word for programs.
    pub fn key(self) -> String {
        match self {
            Self::Field(field) => field.key(),
            Self::InNote => "in-note".to_owned(),
            Self::LeaveOut => "leave-out".to_owned(),
        }
    }

    /// Reads a word for programs, or a heading that would be recognised.
    pub fn from_words(text: &str) -> Option<Self> {
        match synonym::plain_words(text).as_str() {
            "in note" | "keep in note" => Some(Self::InNote),
            "leave out" | "skip" | "ignore" => Some(Self::LeaveOut),
            _ => Field::from_key(text.trim())
                .or_else(|| synonym::recognise(text).map(|found| found.field))
                .map(Self::Field),
        }
    }
}

impl fmt::Display for Target {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.key())
    }
}

impl From<Target> for String {
    fn from(target: Target) -> Self {
        target.key()
    }
}

impl TryFrom<String> for Target {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        Self::from_words(&text).ok_or_else(|| {
            format!(
                "\"{text}\" is no field. Say in-note or leave-out, or name one of these: {}.",
                Field::keys()
            )
        })
    }
}

/// All that a person said about a file. Keys are compared without regard to case and blanks.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Answers {
    /// The sheet of the workbook; none is the first that has the headings of a list.
    pub sheet: Option<String>,
    /// The order of day and month.
    pub dates: Option<DateOrder>,
    /// The decimal mark.
    pub decimal: Option<DecimalMark>,
    /// What becomes of a column, by its heading.
    pub headings: BTreeMap<String, Target>,
    /// The unit of a column's numbers that name none, by its heading.
    pub units: BTreeMap<String, Unit>,
    /// What a word in a column means, by the field's key and the word; `leave-out` leaves the row out.
    pub words: BTreeMap<String, BTreeMap<String, String>>,
    /// What holds where the file says nothing, by the field's key.
    pub silent: BTreeMap<String, String>,
    /// For how many rows each of these was said; what is not told here was said for all of them. Where there are more
    /// than that, it is asked again.
    pub silent_rows: BTreeMap<String, usize>,
    /// Whether gear of a kind may hold people, `yes` or `no` by the kind's word, where that is not as it was said for all.
    pub people: BTreeMap<String, String>,
    /// The rows that are left out.
    pub left_out: BTreeSet<u32>,
    /// Whether items that the register has already are updated; else they stay as they are.
    pub update: bool,
    /// Who has seen what of the items, and when.
    pub seen: BTreeMap<SeenOf, Seen>,
    /// What holds for all items of a model where the file says nothing, by the model's maker and name in one line
    /// and the field's key.
    pub models: BTreeMap<String, BTreeMap<String, String>>,
    /// Where all of these were read, where nothing else is said.
    pub source: Option<ReadIn>,
    /// Where single ones of them were read, by the same names.
    pub sources: BTreeMap<String, BTreeMap<String, ReadIn>>,
    /// What is said of the markings where nobody says to have seen them; if nothing is said they are not looked at yet.
    pub markings: Option<Markings>,
    /// Whether words of names and descriptions are taken for attributes; if nothing is said they are.
    pub stated: Option<Stated>,
    /// What a month or a year stands for where a day is kept.
    pub less_than_day: Option<LessThanDay>,
    /// What marks such as "R1-R12" stand for.
    pub ranges: Option<Ranges>,
    /// What a row stands for that has one mark and a quantity above one.
    pub numbered: Option<Numbered>,
    /// What becomes of items whose remarks restrict them, but for those of which `words` says it under `note`.
    pub restricted: Option<Restricted>,
    /// What becomes of rows that say otherwise of their model than the rows before; if nothing is said they are refused.
    pub differing: Option<Differing>,
    /// What holds of fields of which rows of a model say several things, by the model's maker and name in one line and the
    /// field's key: one of those things, or `apart` for a model of its own for each.
    pub agreed: BTreeMap<String, BTreeMap<String, String>>,
    /// Who is recorded as competent to examine when the list is taken in, by the name in the list.
    pub competent: BTreeMap<String, Competent>,
    /// Who the maker is where the list has none; if nothing is said it is what `silent` says.
    pub maker_is: Option<MakerIs>,
    /// The maker by the name of the model, as the list writes it, where that is said for each.
    pub makers: BTreeMap<String, String>,
}

/// Somebody who is recorded as competent when a list is taken in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Competent {
    /// The id of the record; one that is there already is not made again.
    pub id: QualificationId,
    /// As it would be typed.
    pub draft: QualificationDraft,
}

/// The answer that keeps a text in the note.
pub(super) const IN_NOTE: &str = "in-note";

/// The answer that leaves a row out.
pub(super) const LEAVE_OUT: &str = "leave-out";

impl Answers {
    /// What was said about a word of a field.
    pub(super) fn word(&self, field: Field, word: &str) -> Option<&str> {
        let words = self.words.get(&field.key())?;
        let word = crate::domain::fold(word);
        let mut said = words.iter();
        said.find(|(key, _)| crate::domain::fold(key) == word)
            .map(|(_, value)| value.trim())
            .filter(|value| !value.is_empty())
    }

    /// The models of which something was said, by their names in one line, each below the answers under which it is.
    pub fn of_models(&self) -> BTreeSet<(&'static str, String)> {
        let below = |name: &'static str| move |title: &String| (name, title.clone());
        let models = self.models.keys().map(below("models"));
        let agreed = self.agreed.keys().map(below("agreed"));
        let sources = self.sources.keys().map(below("sources"));
        models.chain(agreed).chain(sources).collect()
    }

    /// What was said for a field where the file says nothing.
    pub(super) fn silent(&self, field: Field) -> Option<&str> {
        let value = self.silent.get(&field.key())?.trim();
        (!value.is_empty()).then_some(value)
    }

    /// For how many rows it was said.
    pub(super) fn silent_rows(&self, field: Field) -> usize {
        let rows = self.silent_rows.get(&field.key());
        rows.copied().unwrap_or(usize::MAX)
    }

    /// The same answers for other items, and what was said of how their list is written, which is not said of the next.
    /// What was said for rows where the list is silent was said for none of these.
    #[must_use]
    pub fn for_other_items(mut self) -> (Self, SaidBefore) {
        let before = SaidBefore::taken_from(&mut self);
        let said = self.silent.keys().cloned();
        self.silent_rows = said.map(|field| (field, 0)).collect();
        // A figure that was doubted of other gear is doubted of this anew: 250 kN was 25 there, and may be anything here.
        let is_figure = |key: &str| Field::from_key(key).is_some_and(is_figure);
        self.words.retain(|field, _| !is_figure(field));
        // Nobody looked at these items, or at the papers behind this list, when they said it of others.
        self.people.clear();
        self.sources.clear();
        (self.source, self.markings) = (None, None);
        (self, before)
    }

    /// The maker that was said for a name of a model.
    pub(super) fn maker_of(&self, name: &str) -> Option<&str> {
        let name = crate::domain::fold(name);
        let mut said = self.makers.iter();
        said.find(|(of, _)| crate::domain::fold(of) == name)
            .map(|(_, maker)| maker.trim())
            .filter(|maker| !maker.is_empty())
    }

    /// What was said about a heading.
    pub(super) fn heading(&self, heading: &str) -> Option<Target> {
        under(&self.headings, heading)
    }

    /// What was said about the unit of the numbers under a heading.
    pub(super) fn unit(&self, heading: &str) -> Option<Unit> {
        under(&self.units, heading)
    }
}

/// What was said under a heading, however it is written.
fn under<T: Copy>(said: &BTreeMap<String, T>, heading: &str) -> Option<T> {
    let heading = crate::domain::fold(heading);
    let mut said = said.iter();
    said.find(|(key, _)| crate::domain::fold(key) == heading)
        .map(|(_, value)| *value)
}
