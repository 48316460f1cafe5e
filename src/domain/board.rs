//! The due board: what falls due and whose life ends, counted by weeks and by months.

use std::fmt;

use serde::Serialize;
use time::{Date, Duration};

use super::date::{add_months, read_day, write_day};

/// How many weeks are counted one by one, the rest of this week the first.
pub const WEEKS: usize = 12;
/// How many months are counted one by one, the rest of this month the first.
pub const MONTHS: usize = 24;

/// By what a board is split.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Split {
    /// By the store that an item lives in.
    #[default]
    Store,
    /// By the kind of gear.
    Kind,
}

impl Split {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Store, Self::Kind];

    /// The word for programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::Store => "store",
            Self::Kind => "kind",
        }
    }

    /// Reads the word for programs; nothing is by store.
    pub fn from_key(key: &str) -> Option<Self> {
        match key.trim() {
            "" => Some(Self::default()),
            key => Self::ALL.into_iter().find(|split| split.key() == key),
        }
    }
}

/// Days from one to another, both counted; without a last one all that follow.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DayRange {
    /// The first day.
    pub from: Date,
    /// The last day.
    pub to: Option<Date>,
}

impl DayRange {
    /// Reads days written as `2026-03-01..2026-03-31`, or `2026-03-01..` for all that follow.
    pub fn read(text: &str) -> Option<Self> {
        let (from, to) = text.split_once("..")?;
        let from = read_day(from).ok()?;
        let to = match to.trim() {
            "" => None,
            to => Some(read_day(to).ok().filter(|to| from <= *to)?),
        };
        Some(Self { from, to })
    }

    /// The first day that is no more in it.
    pub fn end(self) -> Option<Date> {
        self.to.and_then(Date::next_day)
    }

    /// Whether a day is in it.
    pub fn has(self, day: Date) -> bool {
        self.from <= day && self.to.is_none_or(|to| day <= to)
    }

    /// The days in words.
    pub fn words(self) -> String {
        let from = write_day(self.from);
        match self.to {
            Some(to) if to == self.from => from,
            Some(to) => format!("{from} to {}", write_day(to)),
            None => format!("from {from} on"),
        }
    }
}

impl fmt::Display for DayRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let to = self.to.map(write_day).unwrap_or_default();
        write!(f, "{}..{to}", write_day(self.from))
    }
}

/// What one line of the board counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stretch {
    /// What was due before today, and whose life has ended.
    Over,
    /// A week, from Monday to Sunday; the first from today.
    Week(DayRange),
    /// A month; the first from today.
    Month(DayRange),
    /// What comes after the last month.
    Later(DayRange),
    /// What has no due day, since it never passed an examination; whose end of life is not set by years or not known.
    Never,
}

impl Stretch {
    /// The word for programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::Over => "overdue",
            Self::Week(_) => "week",
            Self::Month(_) => "month",
            Self::Later(_) => "later",
            Self::Never => "never",
        }
    }

    /// Its days, if it has any.
    pub fn days(self) -> Option<DayRange> {
        match self {
            Self::Week(days) | Self::Month(days) | Self::Later(days) => Some(days),
            Self::Over | Self::Never => None,
        }
    }

    /// The words by which a list is narrowed to what falls due in it.
    pub fn due_key(self) -> String {
        self.days()
            .map_or_else(|| self.key().to_owned(), |days| days.to_string())
    }

    /// The same for what ends in it.
    pub fn life_key(self) -> String {
        self.days()
            .map_or_else(|| self.life_word().to_owned(), |days| days.to_string())
    }

    fn life_word(self) -> &'static str {
        match self {
            Self::Over => "over",
            _ => "open",
        }
    }
}

/// What falls due, or ends, on a day among the items of a store or a kind. Without a day: what has none.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DayCount {
    /// The day.
    pub day: Option<Date>,
    /// The key of the group.
    pub group: String,
    /// How many items.
    pub count: u64,
}

/// A store or a kind on the board.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Group {
    /// The store's id or the kind's key.
    pub key: String,
    /// Its name.
    pub name: String,
}

/// One line of the board: how many items of each group, in the order of the groups.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// What it counts.
    pub stretch: Stretch,
    /// What falls due in it.
    pub due: Vec<u64>,
    /// Whose life ends in it.
    pub ends: Vec<u64>,
}

impl Line {
    /// How many fall due in it, all groups together.
    pub fn all_due(&self) -> u64 {
        self.due.iter().sum()
    }

    /// How many lives end in it, all groups together.
    pub fn all_ends(&self) -> u64 {
        self.ends.iter().sum()
    }
}

/// The board of a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Board {
    /// The day.
    pub today: Date,
    /// By what it is split.
    pub split: Split,
    /// The groups that have anything on it.
    pub groups: Vec<Group>,
    /// What is over.
    pub over: Line,
    /// The weeks, in order.
    pub weeks: Vec<Line>,
    /// The months, in order.
    pub months: Vec<Line>,
    /// What comes after them.
    pub later: Line,
    /// What has no day.
    pub never: Line,
}

impl Board {
    /// The board of a day: what falls due and what ends, day by day. An item is in date on its due day; its life is over
    /// on the day on which it ends.
    pub fn new(
        (today, split): (Date, Split),
        groups: Vec<Group>,
        due: &[DayCount],
        ends: &[DayCount],
    ) -> Self {
        let has = |group: &Group| due.iter().chain(ends).any(|one| one.group == group.key);
        let groups: Vec<Group> = groups.into_iter().filter(has).collect();
        let weeks = weeks(today);
        let months = months(today);
        let after = months
            .last()
            .and_then(|last| last.end())
            .unwrap_or(Date::MAX);
        let line = |stretch: Stretch| {
            let sum = |counts: &[DayCount], falls: &dyn Fn(Option<Date>) -> bool| {
                let of = |group: &Group| {
                    let counts = counts.iter();
                    let ours = counts.filter(|one| one.group == group.key && falls(one.day));
                    ours.map(|one| one.count).sum()
                };
                groups.iter().map(of).collect()
            };
            Line {
                stretch,
                due: sum(due, &|day| falls_due(stretch, day, today)),
                ends: sum(ends, &|day| ends_in(stretch, day, today)),
            }
        };
        Self {
            today,
            split,
            over: line(Stretch::Over),
            weeks: weeks
                .into_iter()
                .map(|days| line(Stretch::Week(days)))
                .collect(),
            months: months
                .into_iter()
                .map(|days| line(Stretch::Month(days)))
                .collect(),
            later: line(Stretch::Later(DayRange {
                from: after,
                to: None,
            })),
            never: line(Stretch::Never),
            groups,
        }
    }

    /// Every line: what is over, the weeks, the months, what comes later, what has no day.
    pub fn lines(&self) -> impl Iterator<Item = &Line> {
        std::iter::once(&self.over)
            .chain(&self.weeks)
            .chain(&self.months)
            .chain([&self.later, &self.never])
    }

    /// How many items it counts: each once, by its due day.
    pub fn items(&self) -> u64 {
        let once = [&self.over, &self.later, &self.never];
        let once = once.into_iter().chain(&self.months);
        once.map(Line::all_due).sum()
    }
}

fn falls_due(stretch: Stretch, day: Option<Date>, today: Date) -> bool {
    match (stretch.days(), day) {
        (Some(days), Some(day)) => days.has(day),
        (None, Some(day)) => stretch == Stretch::Over && day < today,
        (None, None) => stretch == Stretch::Never,
        (Some(_), None) => false,
    }
}

/// A life that ends today is over; so it is not counted again among what ends from today on.
fn ends_in(stretch: Stretch, day: Option<Date>, today: Date) -> bool {
    match (stretch.days(), day) {
        (Some(days), Some(day)) => day > today && days.has(day),
        (None, Some(day)) => stretch == Stretch::Over && day <= today,
        (None, None) => stretch == Stretch::Never,
        (Some(_), None) => false,
    }
}

/// The weeks from today on, Monday to Sunday: ISO 8601.
fn weeks(today: Date) -> Vec<DayRange> {
    let left = 7 - i64::from(today.weekday().number_from_monday());
    let first = DayRange {
        from: today,
        to: Some(today + Duration::days(left)),
    };
    let following = |before: &DayRange| {
        let from = before.end()?;
        Some(DayRange {
            from,
            to: from.checked_add(Duration::days(6)),
        })
    };
    std::iter::successors(Some(first), following)
        .take(WEEKS)
        .collect()
}

/// The months from today on.
fn months(today: Date) -> Vec<DayRange> {
    let begins = today.replace_day(1).unwrap_or(today);
    let month = |number: usize| {
        let number = u16::try_from(number).unwrap_or(u16::MAX);
        let from = add_months(begins, number);
        DayRange {
            from: from.max(today),
            to: add_months(begins, number + 1).previous_day(),
        }
    };
    (0..MONTHS).map(month).collect()
}
