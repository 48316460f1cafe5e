//! Brings an existing inventory in: CSV or XLSX bytes become drafts, each row with its errors. Pure.
//!
//! [`rehearse`] does all of it: the file is read into a [`Table`], its headings are recognised, what
//! cannot be known from the file is asked ([`Question`]) and never guessed, and every row gets its
//! fate. A [`Plan`] comes out only when nothing is asked and nothing is wrong. Nothing is stored here;
//! the deed takes the plan into the register, all of it or nothing.

mod abroad;
mod against;
mod answer;
mod approvals;
mod archive;
mod assemble;
mod assumed;
mod attachment;
mod becoming;
mod blame;
mod carried;
mod cell;
mod choice;
mod code;
mod column;
mod column_fails;
mod content;
mod day;
mod delimited;
mod differing;
mod examiner;
mod failure;
mod fate;
mod field;
mod file;
mod filled;
mod forecast;
mod foreseen;
mod foretold;
mod found;
mod given;
mod grouping;
mod heading;
mod heading_asked;
mod history;
mod identity;
mod item;
mod item_fate;
mod kind_read;
mod kind_word;
mod known;
mod left_out;
mod load_words;
mod loading_said;
mod locking_said;
mod made_of;
mod maker_word;
mod marking_words;
mod model_asked;
mod nearest;
mod negation;
mod no_item;
mod note_kept;
mod number;
mod number_format;
mod offered;
mod past;
mod people;
mod photo;
mod phrase;
mod plan;
mod price;
mod quantity;
mod question;
mod reason;
mod rehearsal;
mod remark;
mod restricting;
mod rope_length;
mod rope_range;
mod rope_remark;
mod rope_said;
mod rope_words;
mod row;
mod said;
mod serial_or_lot;
mod several;
mod size;
mod standard;
mod state_asked;
mod stated;
mod strength;
mod strength_cell;
mod strength_part;
mod strength_said;
mod synonym;
mod table;
mod there;
mod unit;
mod unit_asked;
mod unmade;
mod wanted;
mod word;
mod worded;
mod workbook;

pub use answer::{
    Answers, Competent, DateOrder, DecimalMark, Differing, LessThanDay, MakerIs, Markings,
    Numbered, Ranges, ReadIn, Restricted, Stated, Target,
};
pub use attachment::{Incoming, Unfit, incoming};
pub use becoming::{Becoming, NotTaken, Recording};
pub use carried::headings_of;
pub use code::code_in;
pub use examiner::{HISTORY, whose};
pub use failure::{
    ImportFailure, LARGEST_FILE, LARGEST_INFLATED, LONGEST_CELL, MOST_CELLS, MOST_COLUMNS,
    MOST_ROWS,
};
pub use fate::{Differs, Fate, Remark, RemarkKind, RowError, RowFate, Tally};
pub use field::Field;
pub use file::read_table;
pub use foretold::{Foretold, OfModel, Offer, Reason, rows_as_sent, rows_in_words, rows_sent};
pub use given::{Seen, SeenOf, read_in, usual_unit, with_unit, wrong_for_model};
pub use heading::{Column, ColumnUse, Headings};
pub use known::Known;
pub use left_out::{LeftOut, leave_out_wrong, left_out};
pub use maker_word::guess as maker_guess;
pub use model_asked::load_choices;
pub use offered::{Group, offered};
pub use photo::MOST_PIXELS;
pub use plan::{ModelRef, Plan, PlannedItem, PlannedModel, PlannedStep, PlannedUpdate, StoreRef};
pub use question::{Earlier, Question, counted};
pub use rehearsal::{Rehearsal, rehearse};
pub use restricting::Restricting;
pub use table::{Cell, Table, column_letters};
pub use unit::Unit;
pub use wanted::{Wanted, wanted};
