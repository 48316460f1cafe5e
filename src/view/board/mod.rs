//! The due board: what falls due and whose life ends, as a picture and as a table.

mod picture;

use askama::Template;

use super::{
    Shell,
    file_choice::FileChoice,
    part::{Answer, SectionNav, Tone},
    words,
};
use crate::domain::{Board, Deed, Group, Line, Split, Stretch, date::write_day};
pub use picture::{Bars, Fit};

/// A number with where it leads.
pub struct Counted {
    /// The number.
    pub count: u64,
    /// The list of exactly these items.
    pub href: String,
    /// What the number is of, behind it.
    pub words: String,
    /// The letter of the group and its name, for a part of a line.
    pub of: Option<(String, String)>,
}

/// One line of the table.
pub struct Row {
    /// Its days.
    pub when: String,
    /// What falls due.
    pub due: Option<Counted>,
    /// The same by group.
    pub parts: Vec<Counted>,
    /// What ends.
    pub ends: Option<Counted>,
    /// Where a round of just these is planned, for whoever may.
    pub round: Option<String>,
}

impl Row {
    /// Whether nothing falls due in it and nothing ends.
    fn is_empty(&self) -> bool {
        self.due.is_none() && self.ends.is_none()
    }
}

/// One table.
pub struct Part {
    /// For its heading.
    pub key: &'static str,
    /// What it counts by.
    pub title: &'static str,
    /// For a desk.
    pub wide: Bars,
    /// For a phone.
    pub narrow: Bars,
    /// Its lines.
    pub rows: Vec<Row>,
}

/// The page.
#[derive(Template)]
#[template(path = "board/show.html")]
pub struct DueBoard {
    /// The frame.
    pub shell: Shell,
    answer: Answer,
    looks: Option<String>,
    nav: SectionNav,
    /// The letters of the groups, with their names.
    keys: Vec<(String, String)>,
    parts: Vec<Part>,
    by: &'static str,
    counted: String,
    file: Option<FileChoice>,
    may_plan: bool,
}

impl DueBoard {
    /// The page of a board; whoever may export finds it as a file.
    pub fn new(shell: Shell, board: &Board, file: Option<FileChoice>) -> Self {
        let split = board.split;
        let here = |split: Split| format!("/due?by={}", split.key());
        let nav = SectionNav {
            label: "Split".to_owned(),
            links: vec![
                ("By store".to_owned(), here(Split::Store)),
                ("By kind".to_owned(), here(Split::Kind)),
            ],
            here: here(split),
        };
        let keys = board.groups.iter().enumerate();
        let keys = keys.map(|(at, group)| (letter(at), group.name.clone()));
        let weeks: Vec<&Line> = std::iter::once(&board.over).chain(&board.weeks).collect();
        let months: Vec<&Line> = board
            .months
            .iter()
            .chain([&board.later, &board.never])
            .collect();
        Self {
            answer: answer(board),
            looks: None,
            nav,
            keys: keys.collect(),
            parts: vec![
                part(board, "weeks", "Overdue, and the next 12 weeks", &weeks),
                part(board, "months", "The next 24 months", &months),
            ],
            by: match split {
                Split::Store => "By store",
                Split::Kind => "By kind",
            },
            counted: words::count(
                usize::try_from(board.items()).unwrap_or(usize::MAX),
                "item in service is counted",
                "items in service are counted",
            ),
            file,
            may_plan: shell.may(Deed::Examine),
            shell,
        }
    }

    /// The same board with how many items came back from jobs to be looked at.
    #[must_use]
    pub fn with_looks(mut self, count: u64) -> Self {
        let count = usize::try_from(count).unwrap_or(usize::MAX);
        self.looks = (count > 0).then(|| {
            words::count(
                count,
                "item came back from a job to be looked at",
                "items came back from a job to be looked at",
            )
        });
        self
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::{PROBE, gear::TODAY};
        use crate::domain::DayCount;
        let group = |key: &str| Group {
            key: key.to_owned(),
            name: PROBE.to_owned(),
        };
        let count = |day, group: &str, count| DayCount {
            day,
            group: group.to_owned(),
            count,
        };
        let due = [
            count(TODAY.previous_day(), "rope", 3),
            count(Some(TODAY), "rope", 40),
            count(Some(TODAY), "pulley", 1),
            count(None, "pulley", 2),
        ];
        let groups = vec![group("rope"), group("pulley")];
        let full = Board::new((TODAY, Split::Kind), groups, &due, &due);
        let empty = Board::new((TODAY, Split::Store), Vec::new(), &[], &[]);
        let page = |board: &Board, file| Self::new(Shell::sample("What falls due"), board, file);
        vec![page(&full, Some(FileChoice::sample())), page(&empty, None)]
    }
}

fn answer(board: &Board) -> Answer {
    let items = |count: u64| words::count(usize::try_from(count).unwrap_or(0), "item", "items");
    let month = board.months.first().map_or(0, Line::all_due);
    let falls = match month {
        0 => "nothing more falls due this month".to_owned(),
        1 => "1 falls due this month".to_owned(),
        n => format!("{n} fall due this month"),
    };
    let (over, never) = (board.over.all_due(), board.never.all_due());
    let ended = board.over.all_ends();
    let mut why = Vec::new();
    if never > 0 {
        let verb = if never == 1 { "has" } else { "have" };
        why.push(format!(
            "{} {verb} never passed an examination.",
            items(never)
        ));
    }
    if ended > 0 {
        let verb = if ended == 1 { "is" } else { "are" };
        why.push(format!("{} {verb} past the end of life.", items(ended)));
    }
    let tone = match (over + never + ended, month) {
        (0, 0) => Tone::Fit,
        (0, _) => Tone::Watch,
        _ => Tone::Stop,
    };
    let words = match over {
        0 => format!("Nothing is overdue; {falls}"),
        1 => format!("1 item is overdue, {falls}"),
        n => format!("{n} items are overdue, {falls}"),
    };
    Answer::new(tone, words).why(why.join(" "))
}

fn part(board: &Board, key: &'static str, title: &'static str, lines: &[&Line]) -> Part {
    Part {
        key,
        title,
        wide: Bars::new(board, lines, Fit::Wide),
        narrow: Bars::new(board, lines, Fit::Narrow),
        rows: lines.iter().map(|line| row(board, line)).collect(),
    }
}

fn row(board: &Board, line: &Line) -> Row {
    let counted = |count: u64, words: String, href: String| {
        (count > 0).then_some(Counted {
            count,
            href,
            words,
            of: None,
        })
    };
    let (due, ends) = (due_words(line), ends_words(line));
    let parts = board.groups.iter().enumerate().zip(&line.due);
    let parts = parts.filter(|(_, count)| **count > 0);
    Row {
        when: when(line.stretch),
        due: counted(line.all_due(), due, due_href(board, line, None)),
        parts: parts
            .map(|((at, group), count)| Counted {
                count: *count,
                href: due_href(board, line, Some(group)),
                words: format!("in {}, {}", group.name, when(line.stretch)),
                of: Some((letter(at), group.name.clone())),
            })
            .collect(),
        ends: counted(line.all_ends(), ends, ends_href(board, line, None)),
        round: (line.all_due() > 0).then(|| {
            let list = due_href(board, line, None);
            list.replacen("/items", "/rounds/new", 1)
        }),
    }
}

/// What falls due in a line, behind its number.
fn due_words(line: &Line) -> String {
    match line.stretch {
        Stretch::Over => "overdue".to_owned(),
        Stretch::Never => "without a due day".to_owned(),
        stretch => format!("due {}", when(stretch)),
    }
}

/// Whose life ends in a line, behind its number. A life is over on the day on which it ends.
fn ends_words(line: &Line) -> String {
    let one = line.all_ends() == 1;
    let (lives, end) = if one {
        ("life", "ends")
    } else {
        ("lives", "end")
    };
    match line.stretch {
        Stretch::Over => format!("{lives} over by today"),
        Stretch::Never => format!("{lives} that no day ends"),
        stretch => format!("{lives} {end} {}", when(stretch)),
    }
}

/// The days of a line in words.
fn when(stretch: Stretch) -> String {
    match stretch {
        Stretch::Over => "overdue or over".to_owned(),
        Stretch::Never => "no day set".to_owned(),
        Stretch::Week(days) => {
            // The year of the last day is that of the first, or the one after it.
            let to = days.to.map(write_day).unwrap_or_default();
            format!("{} to {}", write_day(days.from), &to[to.len().min(5)..])
        }
        Stretch::Month(days) => {
            let month = write_day(days.from)[..7].to_owned();
            match days.from.day() {
                1 => month,
                day => format!("{month} from {day:02}"),
            }
        }
        Stretch::Later(days) => days.words(),
    }
}

/// The letter by which a group is known in the picture: A to Z, then AA and so on.
fn letter(at: usize) -> String {
    let letter = |at: usize| char::from(b'A' + u8::try_from(at % 26).unwrap_or(0));
    match at.checked_div(26) {
        Some(0) | None => letter(at).to_string(),
        Some(before) => [letter(before - 1), letter(at)].iter().collect(),
    }
}

/// The list of what falls due in a line, of one group or of all.
fn due_href(board: &Board, line: &Line, group: Option<&Group>) -> String {
    href(board, "due", &line.stretch.due_key(), group)
}

/// The list of what ends in a line.
fn ends_href(board: &Board, line: &Line, group: Option<&Group>) -> String {
    href(board, "life", &line.stretch.life_key(), group)
}

fn href(board: &Board, by: &str, days: &str, group: Option<&Group>) -> String {
    let group = group.map(|group| format!("&{}={}", board.split.key(), group.key));
    let group = group.unwrap_or_default();
    format!("/items?state=in-service&{by}={days}{group}&sort=due")
}
