//! A walk through all that may answer a question, a part at a time.

use std::mem;

use time::{Date, OffsetDateTime};

use super::{beyond, gap, held_back, in_date, late, recalled, refused, used};
use crate::{
    deed::{DeedError, notice, then::of_rulebooks},
    domain::{
        FieldErrors, Item, Model, Notice, Version, Zone,
        date::write_day,
        question::{Asked, Column, Period, Question, QuestionDraft, Row, Tally, Which},
        then::HomeRulebooks,
    },
    store::{Cursor, EntryFilter, Span, Tx},
};

/// How many entries are read at once.
pub(super) const ENTRIES: u32 = 500;
/// How many items are read at once, each with what is known of it.
pub(super) const ITEMS: u32 = 200;

/// A part of an answer: what was counted, and its rows in their order.
#[derive(Default)]
pub(in crate::deed) struct Part {
    pub(in crate::deed) tally: Tally,
    pub(in crate::deed) rows: Vec<Row>,
}

/// Where a walk stands.
pub(super) enum At {
    Begin,
    Entries(EntryFilter, Span),
    Items(Option<Cursor>),
    Models(Option<Cursor>),
    Jobs(Option<Cursor>),
    /// In the items of the first of these models.
    OfModels(Vec<Model>, Option<Cursor>),
    End,
}

/// What was asked about, as it was found.
enum Of {
    All,
    Item(Box<Item>),
    /// The notice as it is, and as it was recorded each time.
    Notice(Box<Notice>, Vec<Version<Notice>>),
    Competent(Box<beyond::Competent>),
}

/// The day, the moment, the zone and the rulebooks by which a question is answered.
pub(super) struct Today {
    pub(super) now: OffsetDateTime,
    pub(super) day: Date,
    pub(super) zone: Zone,
    pub(super) rulebooks: HomeRulebooks,
}

/// A walk.
pub(in crate::deed) struct Walk {
    question: Question,
    asked: Asked,
    of: Of,
    today: Today,
    rulebook: String,
    at: At,
}

impl Walk {
    /// Checks what was typed, and finds what it is about.
    pub(in crate::deed) async fn begin(
        tx: &mut Tx,
        now: OffsetDateTime,
        (question, draft): (Question, &QuestionDraft),
    ) -> Result<Self, DeedError> {
        let zone = tx.zone().await?;
        let day = zone.day(now);
        let kept = of_rulebooks(tx).await?;
        let rulebooks = HomeRulebooks::read(kept.iter().map(|kept| &kept.entry), &zone);
        let asked = draft.check(question, day)?;
        let of = match &asked {
            Asked::Used { item, .. } => Of::Item(Box::new(item_asked(tx, item).await?)),
            Asked::Recalled(Which::Notice(id)) => {
                let notice = tx.notice(*id).await?;
                let notice = notice.ok_or(DeedError::NotFound("notice"))?;
                let versions = notice::past::versions(tx, &notice).await?;
                Of::Notice(Box::new(notice), versions)
            }
            // Words that somebody asks with are held against the record of all times.
            Asked::Recalled(Which::Written(notice)) => {
                Of::Notice(notice.clone(), vec![(0, (**notice).clone())])
            }
            Asked::Beyond(_) => Of::Competent(Box::new(beyond::Competent::read(tx).await?)),
            _ => Of::All,
        };
        Ok(Self {
            question,
            asked,
            of,
            rulebook: tx.home_rulebook().await?.title().to_owned(),
            today: Today {
                now,
                day,
                zone,
                rulebooks,
            },
            at: At::Begin,
        })
    }

    /// The next part; none at the end.
    pub(in crate::deed) async fn step(&mut self, tx: &mut Tx) -> Result<Option<Part>, DeedError> {
        let at = mem::replace(&mut self.at, At::End);
        if matches!(at, At::End) {
            return Ok(None);
        }
        let today = &self.today;
        let (part, next) = match (&self.asked, &self.of) {
            (Asked::HeldBack { until }, _) => held_back::part(tx, today, *until, at).await?,
            (Asked::NotInDate { on }, _) => in_date::part(tx, today, *on, at).await?,
            (Asked::Beyond(period), Of::Competent(competent)) => {
                beyond::part(tx, competent, *period, at).await?
            }
            (Asked::Used { period, .. }, Of::Item(item)) => {
                used::part(tx, today, item, *period).await?
            }
            (Asked::Recalled(_), Of::Notice(notice, versions)) => {
                recalled::part(tx, today, (notice, versions), at).await?
            }
            (Asked::Refused(period), _) => refused::part(tx, today, *period, at).await?,
            (Asked::Gaps { gap }, _) => gap::part(tx, today, *gap, at).await?,
            (Asked::Late { days, period }, _) => {
                late::part(tx, today, (*days, *period), at).await?
            }
            // The three above are begun with what they are about.
            _ => (Part::default(), At::End),
        };
        self.at = next;
        Ok(Some(part))
    }

    /// The columns of its rows.
    pub(in crate::deed) fn columns(&self) -> &'static [Column] {
        self.question.columns()
    }

    /// By what it is answered, in sentences.
    pub(in crate::deed) fn basis(&self) -> Vec<String> {
        let rulebook = &self.rulebook;
        match (&self.asked, &self.of) {
            (Asked::HeldBack { .. }, _) => vec![
                format!("By the rulebook {rulebook}, as every job is held to it. What only one place in a rig asks, such as a rope's length, is not asked here."),
                "An item with several reasons is counted at each of them.".to_owned(),
                "An item that does not stand here may go on some job, as far as its record tells. Whether it fits one, and what the verdict still lacks, is told there; what stands in notes is read by people alone.".to_owned(),
            ],
            (Asked::NotInDate { on }, _) => vec![
                format!("Everything that says it was done up to {} counts, whenever it was recorded.", write_day(*on)),
                "On the day on which the next examination is due an item is still in date.".to_owned(),
                format!("The interval is the one of the rulebook that the team went by on that day: {}. A shorter one of the maker's binds before it, as it was on record then; what is told of arduous use is that on record now.", self.today.rulebooks.on(*on).words),
            ],
            (Asked::Beyond(_), _) => vec![
                "Thorough examinations (intake, periodic, after an event) are held against the qualifications on record; others ask for none.".to_owned(),
                "Examiners are known by name, or by the qualification that the examination names.".to_owned(),
            ],
            (Asked::Used { .. }, Of::Item(item)) => vec![
                format!("Item {}. What was done with a rope before it was cut is part of the past of each piece.", item.mark),
            ],
            (Asked::Recalled(_), Of::Notice(notice, versions)) => vec![
                recalled::about(notice, versions),
                "What is not known takes no item out: one without a lot or serial counts as covered. Pieces of a cut rope are items of their own, each with the past of the rope.".to_owned(),
            ],
            (Asked::Refused(_), _) => vec![
                "An attempt counts on the day on which it was recorded. Items that were put on a job count as attempts too.".to_owned(),
            ],
            (Asked::Gaps { .. }, _) => vec![
                format!("Each day is held against the interval of the rulebook that the team went by on it: {}. A shorter one of the maker's binds before it, as it was on record then; what is told of arduous use is that on record now.", self.today.rulebooks.words()),
                "That no entry is missing and none was changed is proved elsewhere, by checkpoints and bundles: see History.".to_owned(),
            ],
            (Asked::Late { .. }, _) => vec![
                "Entries that name the day on which something was done: examinations, events, use, steps of items, cuts, checks of bags, issues, counts and function checks; the day on which a notice was issued, and from or until which a qualification holds.".to_owned(),
                "What others went by and was changed: the mark, model, serial, lot, date made or first use of an item, and what a model is called, is, holds, is approved to and how long it lasts, count from the day on which the record was made; a notice that was corrected or withdrawn from the day on which it was issued.".to_owned(),
            ],
            _ => Vec::new(),
        }
    }

    /// What was asked.
    pub(super) fn into_asked(self) -> Asked {
        self.asked
    }
}

async fn item_asked(
    tx: &mut Tx,
    asked: &Result<crate::domain::ItemId, String>,
) -> Result<Item, DeedError> {
    match asked {
        Ok(id) => tx.item(*id).await?.ok_or(DeedError::NotFound("item")),
        Err(mark) => {
            let found = tx.item_marked(mark).await?;
            found.ok_or_else(|| {
                let given: String = mark.chars().take(60).collect();
                let sentence =
                    format!("There is no item with the mark \"{given}\" in your register.");
                FieldErrors::one("item", "choice", sentence).into()
            })
        }
    }
}

/// The entries that a period of recording leaves in.
pub(super) fn recorded_in(period: Period, zone: &Zone, filter: EntryFilter) -> EntryFilter {
    EntryFilter {
        from: period.from.map(|day| zone.midnight(day)),
        // The last day counts whole.
        before: period.until.next_day().map(|day| zone.midnight(day)),
        ..filter
    }
}

/// Where a row of an entry stands.
pub(super) fn place_of(seq: u64) -> String {
    format!("{seq:020}")
}

/// The next page of entries, and where the walk stands behind it.
pub(super) async fn entries(
    tx: &mut Tx,
    filter: EntryFilter,
    span: Span,
) -> Result<(Vec<crate::store::Kept>, At), DeedError> {
    use crate::store::Direction::Up;
    let kept = tx.entries(&filter, span, Up, ENTRIES).await?;
    let last = kept.last().filter(|_| kept.len() == ENTRIES as usize);
    let next = match last {
        Some(last) => {
            let rest = span.beyond(last.entry.seq, Up);
            At::Entries(filter, rest)
        }
        None => At::End,
    };
    Ok((kept, next))
}
