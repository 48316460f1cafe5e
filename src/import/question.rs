//! What the file does not say and nobody may guess.

use time::Date;

use super::answer::{DateOrder, DecimalMark};
use super::differs_asked;
use super::field::Field;
use super::guess::Guess;
use super::heading::shortened;
use super::restricting::{self, Restricting};
use super::table::column_letters;
use super::unit::{self, Unit};
use crate::domain::Kind;
use crate::domain::rating::doubt::Doubt;

/// A question about a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Question {
    /// What is this column?
    Heading {
        /// Its heading.
        heading: String,
        /// The letters above it.
        column: String,
        /// How many cells hold something.
        filled: usize,
        /// The first of them.
        example: String,
        /// The likeliest fields.
        suggestions: Vec<Field>,
        /// The heading of the column that is read as the likeliest field already.
        beside: Option<String>,
        /// What it most likely is by what stands in it; somebody has to say so.
        guess: Option<Guess>,
    },
    /// Does the day come first, or the month?
    DateOrder {
        /// The columns in doubt.
        headings: Vec<String>,
        /// The row of the example.
        row: u32,
        /// A day that can be read in two ways.
        example: String,
        /// What was said of an earlier list.
        before: Option<DateOrder>,
    },
    /// Is the decimal mark a point or a comma?
    DecimalMark {
        /// The columns in doubt.
        headings: Vec<String>,
        /// The row of the example.
        row: u32,
        /// A number that can be read in two ways.
        example: String,
        /// What was said of an earlier list.
        before: Option<DecimalMark>,
    },
    /// What do days that name only a month or a year stand for?
    LessThanDay {
        /// The columns.
        headings: Vec<String>,
        /// How many cells.
        cells: usize,
        /// The row of the example.
        row: u32,
        /// The first of them.
        example: String,
    },
    /// Is this one mark, or does the row stand for several items?
    Ranges {
        /// How many rows.
        rows: usize,
        /// The first of them.
        first_row: u32,
        /// The text in it.
        example: String,
        /// How many items it would stand for.
        items: usize,
    },
    /// What do rows stand for that have one mark and a quantity above one?
    Numbered {
        /// How many rows.
        rows: usize,
        /// How many items they would be.
        items: usize,
        /// The first of them.
        first_row: u32,
        /// Its mark.
        example: String,
        /// Its quantity.
        count: usize,
    },
    /// What becomes of items whose remarks restrict them?
    Restricted {
        /// The rows.
        rows: Vec<Restricting>,
    },
    /// In which unit are the numbers of this column that name none?
    Unit {
        /// The column, counted from 0.
        column: usize,
        /// Its heading.
        heading: String,
        /// How many cells wait.
        cells: usize,
        /// The row of the first of them.
        first_row: u32,
        /// The first of them.
        example: String,
        /// A unit that was said but is none of this.
        refused: Option<Unit>,
        /// The units that can be.
        units: Vec<Unit>,
        /// What was said of an earlier list.
        before: Option<Unit>,
    },
    /// What does this word mean?
    Word {
        /// The field in which it stands.
        field: Field,
        /// The word.
        word: String,
        /// How many rows have it.
        rows: usize,
        /// The first of them.
        first_row: u32,
        /// Why such gear hardly ever has such a strength, where that is why it is asked.
        doubts: Option<Doubt>,
        /// What was answered and is no answer.
        refused: Option<String>,
    },
    /// Which of the things holds that rows say of one field of their model?
    Differs {
        /// Maker and name in one line.
        model: String,
        /// The field.
        field: Field,
        /// Each thing with its rows; the one that asks the most caution first, where there is one.
        said: Vec<(String, Vec<u32>)>,
        /// Whether there is.
        has_cautious: bool,
        /// What the register has, where it has the model and says otherwise than these rows.
        register: Option<String>,
        /// Whether all of these rows are of items that are there already.
        is_there: bool,
        /// What was answered and is no answer.
        refused: Option<String>,
    },
    /// To which of the approvals of a model does the rated load belong that the file gives?
    LoadOf {
        /// Maker and name in one line.
        model: String,
        /// The rated load.
        load: String,
        /// The standards.
        standards: Vec<String>,
        /// How many rows are items of it.
        rows: usize,
        /// The first of them.
        first_row: u32,
    },
    /// Which is the other end of the range of ropes that models take, where the file gives only one?
    RopeEnd {
        /// Maker and name of each in one line.
        models: Vec<String>,
        /// The field that is missing.
        missing: Field,
        /// The end that is known.
        given: String,
        /// How many rows are items of it.
        rows: usize,
        /// The first of them.
        first_row: u32,
    },
    /// How many years does the maker let a model live?
    Life {
        /// Maker and name in one line.
        model: String,
        /// From the day made, or from the first use.
        field: Field,
        /// How many rows are items of it.
        rows: usize,
        /// The first of them.
        first_row: u32,
    },
    /// Who made the examinations of which the file names somebody who is not recorded as competent, or nobody?
    Examiner {
        /// The name; empty where the file names nobody.
        name: String,
        /// How many rows.
        rows: usize,
        /// The first of them.
        first_row: u32,
        /// Why they cannot be taken over as they stand.
        why: String,
        /// Those who are or were competent and whose name it may be.
        alike: Vec<String>,
        /// All others who are or were.
        others: Vec<String>,
        /// The kinds of gear that were examined.
        kinds: Vec<Kind>,
        /// The first of the days.
        first_day: Option<Date>,
    },
    /// What holds where the file says nothing?
    Silent {
        /// The field.
        field: Field,
        /// How many rows say nothing.
        rows: usize,
        /// The first of them.
        first_row: u32,
        /// Which kinds of gear it stands for, each with how many rows, where that matters.
        kinds: Vec<(Kind, usize)>,
        /// Where it is the maker: the names of the models, some of which may begin with it.
        names: Vec<String>,
        /// What was answered before for fewer rows.
        earlier: Option<Earlier>,
        /// What was answered and is no answer.
        refused: Option<String>,
    },
}

/// An answer that was given before there were as many rows as it would stand for now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Earlier {
    /// The answer.
    pub value: String,
    /// For how many rows of this list it was given.
    pub rows: usize,
}

impl Question {
    /// Whether it asks what holds where the list says nothing of a field.
    pub fn is_silent_of(&self, of: Field) -> bool {
        matches!(self, Self::Silent { field, .. } if *field == of)
    }

    /// Whether it must be answered before anything is taken in; else it only decides what jobs say.
    pub fn is_needed(&self) -> bool {
        !matches!(
            self,
            Self::LoadOf { .. }
                | Self::RopeEnd { .. }
                | Self::Life { .. }
                | Self::Word {
                    field: Field::Material | Field::Figures,
                    ..
                }
        )
    }

    /// The question as a sentence; what was answered and is no answer, and what was said of an
    /// earlier list, stands before it.
    pub fn sentence(&self) -> String {
        format!(
            "{}{}{}",
            self.refused_words(),
            self.before_words(),
            self.asked()
        )
    }

    fn asked(&self) -> String {
        match self {
            Self::Heading { .. } => self.heading_sentence(),
            Self::LessThanDay {
                headings,
                cells,
                row,
                example,
            } => format!(
                "\"{example}\" (row {row}, {}; {} such) is less than a day. What does it stand for?",
                headings.join(", "),
                counted(*cells, "cell")
            ),
            Self::Ranges {
                rows,
                first_row,
                example,
                items,
            } => format!(
                "Is \"{}\" (row {first_row}; {} such) one mark, or does the row stand for {items} items?",
                shortened(example),
                counted(*rows, "row")
            ),
            Self::DateOrder {
                headings,
                row,
                example,
                ..
            } => format!(
                "Is \"{example}\" (row {row}, {}) written with the day first or with the month first?",
                headings.join(", ")
            ),
            Self::DecimalMark {
                headings,
                row,
                example,
                ..
            } => format!(
                "Is the decimal mark of \"{example}\" (row {row}, {}) a point or a comma?",
                headings.join(", ")
            ),
            Self::Unit { .. } => self.unit_sentence(),
            Self::Restricted { rows } => restricting::sentence(rows),
            Self::Numbered { .. } => self.numbered_sentence(),
            Self::Word { .. } => self.word_sentence(),
            Self::Differs {
                model,
                field,
                said,
                register,
                ..
            } => differs_asked::sentence((model, *field), said, register.as_deref()),
            _ => self.sentence_of_records(),
        }
    }

    fn numbered_sentence(&self) -> String {
        match self {
            Self::Numbered {
                rows,
                items,
                first_row,
                example,
                count,
            } => {
                let has = if *rows == 1 { "has" } else { "have" };
                format!(
                    "{} {has} one mark and a quantity above one, {items} items in all, such as \"{}\" with {count} (row {first_row}). What do they stand for? As numbers behind the mark they are {example}.1 to {example}.{count}.",
                    counted(*rows, "row"),
                    shortened(example)
                )
            }
            _ => String::new(),
        }
    }

    fn unit_sentence(&self) -> String {
        let Self::Unit {
            column,
            heading,
            cells,
            first_row,
            example,
            refused,
            units,
            ..
        } = self
        else {
            return String::new();
        };
        let refused = refused.map_or(String::new(), |unit| {
            format!(" {} was said, but is no unit of it.", unit.sign())
        });
        format!(
            "In which unit are the numbers under \"{}\" ({}, {}, such as \"{example}\" in row {first_row}): {}? Neither they nor the heading say it.{refused}",
            shortened(heading),
            column_letters(*column),
            counted(*cells, "cell"),
            unit::listed(units)
        )
    }
}

/// "1 row", "2 rows".
pub fn counted(count: usize, noun: &str) -> String {
    if count == 1 {
        format!("1 {noun}")
    } else {
        format!("{count} {noun}s")
    }
}

pub(super) fn lower_first(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map(|first| first.to_lowercase().chain(chars).collect())
        .unwrap_or_default()
}
