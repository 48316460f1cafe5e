//! What is asked: a question with its parameters, as typed and as read.

use serde::{Deserialize, Serialize};
use time::Date;

use super::{Gap, Question};
use crate::domain::date::{in_reach, read_day, write_day};
use crate::domain::item::past_day;
use crate::domain::{FieldErrors, ItemId, LONGEST_LINE, Notice, NoticeId, notice};

/// After how many days a change counts as recorded long after, where nobody says.
pub const USUAL_DELAY: u16 = 14;
/// The most days that may be asked for.
pub const LONGEST_DELAY: u16 = 3650;

/// The parameters of a question as typed; each question reads its own and refuses the others.
#[derive(
    Clone,
    Debug,
    Default,
    PartialEq,
    Eq,
    Serialize,
    Deserialize,
    utoipa::ToSchema,
    utoipa::IntoParams,
)]
#[serde(default)]
#[into_params(parameter_in = Query)]
pub struct QuestionDraft {
    /// The day that is asked about; empty is today. For `not-in-date`.
    pub on: String,
    /// The first day; empty is the beginning of the record.
    pub from: String,
    /// The last day; empty is today. For `held-back` the day that a job would last until, today or later.
    pub until: String,
    /// The item: its mark or its id. For `use-of-an-item`.
    pub item: String,
    /// The id of a safety notice. For `recalled-lot`, which takes a notice or a maker.
    pub notice: String,
    /// The maker. For `recalled-lot`.
    pub maker: String,
    /// The maker's name of the model; empty is every model of the maker. For `recalled-lot`.
    pub model: String,
    /// The lot, or a range such as `A-100 to A-199`; empty is every lot. For `recalled-lot`.
    pub lot: String,
    /// One kind of gap; empty is all. For `gaps`.
    pub gap: String,
    /// After how many days a change counts as recorded long after; empty is 14. For `recorded-late`.
    pub days: String,
}

/// From one day to another, both in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Period {
    /// The first day; none is from the beginning.
    pub from: Option<Date>,
    /// The last day.
    pub until: Date,
}

impl Period {
    /// Whether a day is in it.
    pub fn has(self, day: Date) -> bool {
        self.from.is_none_or(|from| from <= day) && day <= self.until
    }

    /// "from 2026-01-01 until 2026-03-01", "until 2026-03-01".
    pub fn within(self) -> String {
        let until = write_day(self.until);
        match self.from {
            Some(from) => format!("from {} until {until}", write_day(from)),
            None => format!("until {until}"),
        }
    }

    /// The same with a verb behind: "until 2026-03-01 were".
    pub(super) fn words(self) -> String {
        format!("{} were", self.within())
    }
}

/// Which items a recall speaks of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Which {
    /// Those that a notice covers.
    Notice(NoticeId),
    /// Those that a notice with these words would cover.
    Written(Box<Notice>),
}

/// A question with its parameters.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Asked {
    /// See [`Question::HeldBack`].
    HeldBack {
        /// The day that a job would last until.
        until: Date,
    },
    /// See [`Question::NotInDate`].
    NotInDate {
        /// The day.
        on: Date,
    },
    /// See [`Question::Beyond`].
    Beyond(Period),
    /// See [`Question::Used`].
    Used {
        /// The item by its id, or by its mark.
        item: Result<ItemId, String>,
        /// Between these days.
        period: Period,
    },
    /// See [`Question::Recalled`].
    Recalled(Which),
    /// See [`Question::Refused`].
    Refused(Period),
    /// See [`Question::Gaps`].
    Gaps {
        /// One kind alone.
        gap: Option<Gap>,
    },
    /// See [`Question::Late`].
    Late {
        /// After so many days.
        days: u16,
        /// Recorded between these days.
        period: Period,
    },
}

/// The names of the parameters that a question reads.
fn reads(question: Question) -> &'static [&'static str] {
    match question {
        Question::HeldBack => &["until"],
        Question::NotInDate => &["on"],
        Question::Beyond | Question::Refused => &["from", "until"],
        Question::Used => &["item", "from", "until"],
        Question::Recalled => &["notice", "maker", "model", "lot"],
        Question::Gaps => &["gap"],
        Question::Late => &["days", "from", "until"],
    }
}

impl QuestionDraft {
    /// All parameters by their names.
    fn all(&self) -> [(&'static str, &str); 10] {
        [
            ("on", &self.on),
            ("days", &self.days),
            ("item", &self.item),
            ("notice", &self.notice),
            ("maker", &self.maker),
            ("model", &self.model),
            ("lot", &self.lot),
            ("gap", &self.gap),
            ("from", &self.from),
            ("until", &self.until),
        ]
    }

    /// The parameters that a question reads, by their names.
    pub fn pairs(&self, question: Question) -> Vec<(&'static str, &str)> {
        let read = reads(question);
        let all = self.all().into_iter();
        all.filter(|(name, _)| read.contains(name)).collect()
    }

    /// Refuses what a question does not go by: whoever wrote it would take the answer for another.
    fn refuse_others(&self, wrong: &mut FieldErrors, question: Question) {
        let read = reads(question);
        let all = self.all().into_iter();
        for (name, value) in all.filter(|(name, _)| !read.contains(name)) {
            let value = value.trim();
            if !value.is_empty() {
                let given: String = value.chars().take(60).collect();
                let sentence = format!(
                    "This question does not go by it, only by {}: leave it out; \"{given}\" was given.",
                    read.join(", ")
                );
                wrong.add(name, "unknown", sentence);
            }
        }
    }

    /// Whether enough is said to answer: two questions need to know of what.
    pub fn is_begun(&self, question: Question) -> bool {
        let is_open = matches!(question, Question::Used | Question::Recalled);
        let pairs = self.pairs(question);
        !is_open || pairs.iter().any(|(_, value)| !value.trim().is_empty())
    }

    /// What is asked.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn check(&self, question: Question, today: Date) -> Result<Asked, FieldErrors> {
        let mut wrong = FieldErrors::default();
        self.refuse_others(&mut wrong, question);
        let asked = match question {
            Question::HeldBack => Asked::HeldBack {
                until: self.coming_day(&mut wrong, today),
            },
            Question::NotInDate => {
                let on = past_day(&mut wrong, "on", &self.on, today);
                Asked::NotInDate {
                    on: on.unwrap_or(today),
                }
            }
            Question::Beyond => Asked::Beyond(self.period(&mut wrong, today)),
            Question::Refused => Asked::Refused(self.period(&mut wrong, today)),
            Question::Used => Asked::Used {
                item: self.item(&mut wrong),
                period: self.period(&mut wrong, today),
            },
            Question::Recalled => Asked::Recalled(self.which(&mut wrong, today)),
            Question::Gaps => Asked::Gaps {
                gap: self.gap(&mut wrong),
            },
            Question::Late => Asked::Late {
                days: self.days(&mut wrong),
                period: self.period(&mut wrong, today),
            },
        };
        wrong.or(|| asked)
    }

    fn coming_day(&self, wrong: &mut FieldErrors, today: Date) -> Date {
        let text = self.until.trim();
        if text.is_empty() {
            return today;
        }
        let read = wrong.keep("until", "date", read_day(text).and_then(in_reach));
        if let Some(past) = read.filter(|day| *day < today) {
            let sentence = format!(
                "Write today, {}, or a later day, not {}.",
                write_day(today),
                write_day(past)
            );
            wrong.add("until", "range", sentence);
        }
        read.unwrap_or(today)
    }

    fn period(&self, wrong: &mut FieldErrors, today: Date) -> Period {
        let mut read = |field, text: &str| match text.trim() {
            "" => None,
            text => wrong.keep(field, "date", read_day(text).and_then(in_reach)),
        };
        let (from, until) = (read("from", &self.from), read("until", &self.until));
        let period = Period {
            from,
            until: until.unwrap_or(today),
        };
        if let Some(from) = from.filter(|from| *from > period.until) {
            let sentence = format!(
                "The first day must not be after the last, {}, as {} is.",
                write_day(period.until),
                write_day(from)
            );
            wrong.add("from", "range", sentence);
        }
        period
    }

    fn item(&self, wrong: &mut FieldErrors) -> Result<ItemId, String> {
        let mark = wrong.line("item", &self.item);
        mark.parse().map_err(|_| mark)
    }

    fn which(&self, wrong: &mut FieldErrors, today: Date) -> Which {
        let notice = self.notice.trim();
        let maker = wrong.optional_line("maker", &self.maker);
        let model = wrong.optional_line("model", &self.model);
        let lot = wrong.optional_line("lot", &self.lot);
        if !notice.is_empty() {
            if maker.is_some() || model.is_some() || lot.is_some() {
                let sentence = "Choose a notice, or write maker, model and lot; not both.";
                wrong.add("notice", "choice", sentence);
            }
            let id = notice.parse().ok().map(Which::Notice);
            if let Some(id) = id {
                return id;
            }
            let given: String = notice.chars().take(60).collect();
            let sentence = format!("Choose a notice from the list, not \"{given}\".");
            wrong.add("notice", "choice", sentence);
        }
        if notice.is_empty() && maker.is_none() {
            let sentence = "Write the maker, or choose a notice; one of the two must be there.";
            wrong.add("maker", "required", sentence);
        }
        let (lots, lot_spans) = notice::lots(wrong, "lot", &lot.unwrap_or_default());
        Which::Written(Box::new(Notice {
            id: NoticeId(uuid::Uuid::nil()),
            title: String::new(),
            issuer: String::new(),
            issued_on: today,
            maker: maker.unwrap_or_default(),
            model_name: model.unwrap_or_default(),
            more_models: Vec::new(),
            serials: Vec::new(),
            lots,
            lot_spans,
            made_from: None,
            made_until: None,
            action: String::new(),
            corrected: 0,
            withdrawn: None,
        }))
    }

    fn gap(&self, wrong: &mut FieldErrors) -> Option<Gap> {
        let key = self.gap.trim();
        let gap = Gap::from_key(key);
        if gap.is_none() && !key.is_empty() {
            let keys: Vec<&str> = Gap::ALL.into_iter().map(Gap::key).collect();
            let given: String = key.chars().take(60).collect();
            let sentence = format!(
                "Choose one of {}, or all; not \"{given}\".",
                keys.join(", ")
            );
            wrong.add("gap", "choice", sentence);
        }
        gap
    }

    fn days(&self, wrong: &mut FieldErrors) -> u16 {
        let text = self.days.trim();
        if text.is_empty() {
            return USUAL_DELAY;
        }
        let days = text
            .parse::<u16>()
            .ok()
            .filter(|days| *days <= LONGEST_DELAY);
        days.unwrap_or_else(|| {
            let given: String = text.chars().take(LONGEST_LINE.min(60)).collect();
            let sentence =
                format!("Write a whole number of days from 0 to {LONGEST_DELAY}, not \"{given}\".");
            wrong.add("days", "number", sentence);
            USUAL_DELAY
        })
    }
}
