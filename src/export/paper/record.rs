//! The equipment record of an item: what it is, and everything that was looked at or happened to it.
//!
//! The fields are those that EN 365:2004, clause 4.6 and its record card ask for (from memory): product and type,
//! trade name, maker, serial or batch, year of manufacture or expiry, dates of purchase and first use, other facts;
//! then for each look the date, why, what was found, who looked, and when the next is due.

use time::{Date, OffsetDateTime};

use super::{Cell, Column, PaperError, Sheet, attachment::attachments, photo::Print};
use crate::domain::{
    Attachment, Checklist, Event, Examination, Item, Life, Model, Notice, PaperSize, Zone,
    date::write_day,
    fitness::due_on,
    life,
    rulebook::Rulebook,
    tag::{Tag, words_of},
};

/// What stands on every paper: at the foot of each page, and below the title who took it along.
pub struct Imprint<'a> {
    /// The team's name.
    pub team: &'a str,
    /// Its time zone.
    pub zone: &'a Zone,
    /// Who takes it along, where that is nobody of the team.
    pub by: Option<&'a str>,
    /// When the file is made.
    pub at: OffsetDateTime,
    /// The size of the paper.
    pub paper: PaperSize,
}

impl Imprint<'_> {
    pub(super) fn sheet(&self, title: &str) -> Sheet {
        let foot = format!("{}, as recorded on {}", self.team, self.zone.words(self.at));
        let mut sheet = Sheet::new(self.paper, title, &foot, self.at);
        if let Some(by) = self.by {
            sheet.paragraph(&format!("Exported by {by}."));
        }
        sheet
    }

    pub(super) fn today(&self) -> Date {
        self.zone.day(self.at)
    }
}

/// An item with everything that goes on its papers.
pub struct ItemFile {
    /// The item.
    pub item: Item,
    /// Its model.
    pub model: Model,
    /// Where it lives.
    pub store: Option<String>,
    /// The codes on it.
    pub tags: Vec<Tag>,
    /// Its examinations, the last done first.
    pub examinations: Vec<Examination>,
    /// The lists that they were done by.
    pub lists: Vec<Checklist>,
    /// Its events, the last first.
    pub events: Vec<Event>,
    /// All that happened to it: events, steps between states, and notices with their results; the last first.
    pub happened: Vec<Happened>,
    /// The safety notices that are open for it.
    pub notices: Vec<Notice>,
    /// The photos and documents on it, its examinations and its events, the last first.
    pub attachments: Vec<Attachment>,
    /// The photos that are shown.
    pub prints: Vec<Print>,
}

/// Something that happened to an item.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Happened {
    /// The day.
    pub on: Date,
    /// What.
    pub what: String,
    /// The name of who reported or did it.
    pub by: String,
    /// The reason, the result, what is known of it.
    pub note: String,
}

impl ItemFile {
    /// The list that an examination was done by.
    fn list_of(&self, examination: &Examination) -> Option<&Checklist> {
        let edition = examination.checklist?;
        self.lists.iter().find(|list| list.edition == edition)
    }
}

/// The cautions on every paper.
pub(super) const CAUTIONS: [&str; 3] = [
    "This is what people recorded. It is not a look at the item, and it approves nothing: the maker's instructions, \
     local rules and a competent person decide.",
    "A pass is as good as the last examination, and an event since then counts more than it.",
    "What is not recorded is said so. It may exist elsewhere; it is not known here.",
];

pub(super) fn day(day: Option<Date>) -> Cell {
    Cell::of(day.map(write_day))
}

/// What an item is: the facts on top of each of its papers.
pub(super) fn identity(file: &ItemFile) -> Vec<(&'static str, Cell)> {
    let (item, model) = (&file.item, &file.model);
    let codes: Vec<String> = file.tags.iter().map(|tag| words_of(&tag.text)).collect();
    let precision = item.made.and_then(crate::domain::Made::precision);
    let made = item.made.map(|made| match precision {
        Some(known) => format!("{made} ({known})"),
        None => made.to_string(),
    });
    vec![
        ("Mark of the team", Cell::new(item.mark.as_str())),
        ("Product", Cell::new(model.kind.word())),
        ("Maker", Cell::new(model.maker.as_str())),
        ("Trade name", Cell::new(model.name.as_str())),
        ("Serial", Cell::of(item.serial.as_ref())),
        ("Lot or batch", Cell::of(item.lot.as_ref())),
        ("Codes on it", Cell::new(codes.join("\n"))),
        ("Made", Cell::of(made)),
    ]
}

/// The record as a file.
///
/// # Errors
/// Where it would not hold what it claims to be.
pub fn equipment_record(
    imprint: &Imprint<'_>,
    file: &ItemFile,
    rulebook: &Rulebook,
) -> Result<Vec<u8>, PaperError> {
    let (item, model) = (&file.item, &file.model);
    let mut sheet = imprint.sheet(&format!("Equipment record: {}", item.mark));
    let mut facts = identity(file);
    let maker = facts.iter().position(|(name, _)| *name == "Maker");
    facts.insert(
        maker.map_or(0, |at| at + 1),
        ("Maker's address", Cell::NotRecorded),
    );
    let state = format!("{}: {}", item.state.word(), item.state_reason);
    facts.extend([
        ("Life ends", ends(&life(item, model, rulebook))),
        ("Bought", day(item.bought_on)),
        ("First used", Cell::of(item.first_used_on.as_ref())),
        ("Kept in", Cell::of(file.store.as_ref())),
        ("State", Cell::new(state)),
        ("Open safety notices", open_notices(&file.notices)),
        ("Next examination due", due(item, model, rulebook)),
        ("Instructions", Cell::new(model.instructions.as_str())),
        ("Note", Cell::new(item.note.as_str())),
    ]);
    sheet.facts(&facts);
    strength(&mut sheet, model);
    examinations(&mut sheet, file);
    happened(&mut sheet, file);
    let all: Vec<&Attachment> = file.attachments.iter().collect();
    attachments(&mut sheet, file, &all, 3);
    sheet.heading("What this does not tell");
    for caution in CAUTIONS {
        sheet.caution(caution);
    }
    sheet.caution("The fields follow EN 365:2004, clause 4.6, from memory and to be checked against the standard.");
    sheet.written()
}

/// The notices that are open for it.
pub(super) fn open_notices(notices: &[Notice]) -> Cell {
    let lines = notices.iter().map(|notice| {
        let (title, issuer) = (&notice.title, &notice.issuer);
        format!("{title}; {issuer}, {}", write_day(notice.issued_on))
    });
    let lines: Vec<String> = lines.collect();
    Cell::new(if lines.is_empty() {
        "none".to_owned()
    } else {
        lines.join("\n")
    })
}

pub(super) fn ends(life: &Life) -> Cell {
    Cell::new(match life {
        Life::Ends(end) => format!("{}, {}; {}", write_day(end.on), end.rule, end.source),
        Life::ByCondition(source) => format!("by its condition; {source}"),
        Life::Unknown(why) => format!("cannot be told: {why}"),
    })
}

pub(super) fn due(item: &Item, model: &Model, rulebook: &Rulebook) -> Cell {
    Cell::new(match due_on(item, model, rulebook) {
        Some((day, rule)) => format!("{}; {rule}", write_day(day)),
        None => "no thorough examination that it passed is on record".to_owned(),
    })
}

fn strength(sheet: &mut Sheet, model: &Model) {
    sheet.heading("What its model is rated and approved for");
    if model.ratings.is_empty() {
        sheet.paragraph("No rating is recorded.");
    } else {
        let columns = [
            Column {
                name: "Loaded",
                part: 3.0,
            },
            Column {
                name: "Value as entered",
                part: 2.0,
            },
            Column {
                name: "Kind",
                part: 2.0,
            },
            Column {
                name: "Read from",
                part: 2.0,
            },
        ];
        let rows = model.ratings.iter().map(|rating| {
            vec![
                Cell::new(rating.mode.words()),
                Cell::new(rating.value.to_string()),
                Cell::new(rating.kind.words()),
                Cell::new(rating.source.key()),
            ]
        });
        sheet.table(&columns, &rows.collect::<Vec<_>>());
    }
    let approvals: Vec<String> = model.approvals.iter().map(|one| one.words()).collect();
    sheet.facts(&[("Approvals", Cell::new(approvals.join("\n")))]);
}

fn examinations(sheet: &mut Sheet, file: &ItemFile) {
    sheet.heading("Examinations");
    if file.examinations.is_empty() {
        sheet.paragraph("None is recorded.");
        return;
    }
    let columns = [
        Column {
            name: "Done",
            part: 2.2,
        },
        Column {
            name: "Why",
            part: 2.8,
        },
        Column {
            name: "Found, defects and repairs",
            part: 5.0,
        },
        Column {
            name: "Verdict",
            part: 2.2,
        },
        Column {
            name: "Examined by",
            part: 3.0,
        },
        Column {
            name: "Next due",
            part: 2.2,
        },
    ];
    let rows = file.examinations.iter().map(|one| {
        vec![
            Cell::new(write_day(one.on)),
            Cell::new(one.kind.word()),
            Cell::new(one.found_and_needed(file.list_of(one))),
            Cell::new(one.verdict.word()),
            Cell::new(one.examiner.as_str()),
            day(one.next_due_on),
        ]
    });
    sheet.table(&columns, &rows.collect::<Vec<_>>());
}

fn happened(sheet: &mut Sheet, file: &ItemFile) {
    sheet.heading("What happened to it");
    if file.happened.is_empty() {
        sheet.paragraph("Nothing is recorded.");
        return;
    }
    let columns = [
        Column {
            name: "Day",
            part: 2.0,
        },
        Column {
            name: "What",
            part: 4.5,
        },
        Column {
            name: "Reported or done by",
            part: 3.0,
        },
        Column {
            name: "Reason, result or note",
            part: 6.0,
        },
    ];
    let rows = file.happened.iter().map(|one| {
        vec![
            Cell::new(write_day(one.on)),
            Cell::new(one.what.as_str()),
            Cell::new(one.by.as_str()),
            Cell::new(one.note.as_str()),
        ]
    });
    sheet.table(&columns, &rows.collect::<Vec<_>>());
}
