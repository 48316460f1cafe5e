//! May this item go on this job? Every reason against it, at once; none means yes. There is no override.
//!
//! A day rule holds throughout: an examination due on a day is still in date on that day, and a life
//! that ends on a day ends before it. Both are held against the last day of the job, or today where
//! that is later. What is not known is never a pass.

mod approval;
mod belay;
mod both_ways;
mod bound;
mod clash;
mod days;
mod due;
mod girth;
mod head;
mod holding;
mod own;
mod place;
mod plan;
mod record;
mod rope;
mod rope_range;
mod rope_sum;

use time::{Date, OffsetDateTime};

use super::{
    Cited, Item, ItemId, KitLine, Known, Model, Notice, NoticeClosing, Refusal, RefusalCode,
    Shortfall, Zone,
};

pub use approval::{approvals_without_load, grips_rope};
pub(super) use approval::{coverage, governing, outside_its_set};
pub(super) use clash::{Clash, clashes};
pub use days::DayRules;
pub use due::{Due, Intervals, due, due_on, interval_months, interval_of, last_day_in_date};
pub use girth::{goes_round, to_go_round};
pub(super) use girth::{lies_round, takes_strop};
pub use head::Head;
pub use own::{Own, wherever};
pub(super) use place::is_right_kind;
pub use plan::Plan;
pub use rope::is_long_enough;
pub(super) use rope::{needed, through};
pub(super) use rope_range::{half_range, range_lacking};
pub use rope_sum::rope_sum;

/// An item with its model, and where it goes on a job: the candidate, or what is on the kit list.
#[derive(Clone, Copy, Debug)]
pub struct KitItem<'a> {
    /// The item.
    pub item: &'a Item,
    /// Its model.
    pub model: &'a Model,
    /// The key of the position; none is a spare.
    pub position: Option<&'a str>,
}

impl<'a> KitItem<'a> {
    /// The item of a kit line, with its model, where the line puts it.
    pub fn new(line: &'a KitLine, item: &'a Item, model: &'a Model) -> Self {
        Self {
            item,
            model,
            position: line.position.as_deref(),
        }
    }

    /// The item in words: "pulley P-012".
    pub fn label(&self) -> String {
        format!("{} {}", self.model.kind.word(), self.item.mark)
    }
}

/// Another planned job that holds the item.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Elsewhere {
    /// The other job's title.
    pub title: String,
    /// From when it needs the item.
    pub starts_at: OffsetDateTime,
    /// Until when it needs the item.
    pub ends_at: OffsetDateTime,
    /// Who planned it or put the item on it; where it is out, who took it.
    pub who: String,
    /// Whether the item is out with its crew, and only a count brings it back.
    pub is_out: bool,
}

impl Elsewhere {
    fn words(&self, zone: &Zone) -> String {
        format!(
            "\"{}\", {} to {}",
            self.title,
            zone.words(self.starts_at),
            zone.words(self.ends_at)
        )
    }
}

/// What else is known on the day of asking.
#[derive(Clone, Copy, Debug)]
pub struct Circumstances<'a> {
    /// What is on the kit list already, without the line that is asked about.
    pub kit: &'a [KitItem<'a>],
    /// The notices of the team.
    pub notices: &'a [Notice],
    /// Which of them are closed for which items.
    pub closings: &'a [NoticeClosing],
    /// The notices that are open for an item still, though a correction of its record took it out.
    pub still_open: &'a [(ItemId, Notice)],
    /// The other planned jobs that hold the item.
    pub elsewhere: &'a [Elsewhere],
    /// Today, in the team's time zone.
    pub today: Date,
    /// The team's time zone, in which a job ends on a day.
    pub zone: &'a Zone,
}

/// One question: this item, on this job, under these circumstances.
struct Question<'a> {
    candidate: KitItem<'a>,
    plan: &'a Plan<'a>,
    circumstances: &'a Circumstances<'a>,
}

/// Every reason why the item may not go on the job; empty means that it may.
pub fn fitness(
    candidate: KitItem<'_>,
    plan: &Plan<'_>,
    circumstances: &Circumstances<'_>,
) -> Vec<Refusal> {
    let question = Question {
        candidate,
        plan,
        circumstances,
    };
    let mut refusals = Vec::new();
    of_itself(&question, &mut refusals);
    of_what_it_is(&question, &mut refusals);
    refusals
}

/// What speaks against this very item: its state, its days, other jobs, what is on the list.
fn of_itself(question: &Question<'_>, refusals: &mut Vec<Refusal>) {
    record::check(&question.own(), refusals);
    record::elsewhere(question, refusals);
    place::check(question, refusals);
}

/// What speaks against it by its model and its attributes: the same for every item that is alike in these.
fn of_what_it_is(question: &Question<'_>, refusals: &mut Vec<Refusal>) {
    approval::check(question, refusals);
    rope::check(question, refusals);
    holding::check(question, refusals);
    bound::check(question, refusals);
    girth::check(question, refusals);
}

/// Whether nothing speaks against an item itself, whatever its model; with [`is_right`] it may go.
pub(super) fn is_free(
    candidate: KitItem<'_>,
    plan: &Plan<'_>,
    circumstances: &Circumstances<'_>,
) -> bool {
    let question = Question {
        candidate,
        plan,
        circumstances,
    };
    question.is_clear(of_itself)
}

/// Whether nothing speaks against what an item is, by its model and its attributes.
pub(super) fn is_right(
    candidate: KitItem<'_>,
    plan: &Plan<'_>,
    circumstances: &Circumstances<'_>,
) -> bool {
    let question = Question {
        candidate,
        plan,
        circumstances,
    };
    question.is_clear(of_what_it_is)
}

impl<'a> Question<'a> {
    /// Whether a part of the rules finds nothing that speaks against it.
    fn is_clear(&self, of: fn(&Self, &mut Vec<Refusal>)) -> bool {
        let mut refusals = Vec::new();
        of(self, &mut refusals);
        refusals.is_empty()
    }

    /// The item without its place on the job.
    fn own(&self) -> Own<'a> {
        Own {
            item: self.candidate.item,
            model: self.candidate.model,
            rulebook: self.plan.rulebook,
            home: self.plan.home,
            notices: self.circumstances.notices,
            closings: self.circumstances.closings,
            still_open: self.circumstances.still_open,
            today: self.circumstances.today,
            job_end: Some(self.circumstances.zone.day(self.plan.job.ends_at)),
            zone: self.circumstances.zone,
        }
    }
}

/// A reason with the rule of a source.
fn refusal(
    code: RefusalCode,
    sentence: impl Into<String>,
    rule: &Cited,
    evidence: impl Into<String>,
) -> Refusal {
    Refusal {
        code,
        sentence: sentence.into(),
        rule: rule.clone(),
        evidence: evidence.into(),
        who: None,
        mend: None,
        lacks: None,
        fact: None,
        short: Shortfall::default(),
    }
}

/// A rule that this register keeps by itself.
fn own_rule(words: &str) -> Cited {
    Cited::new(format!("rule of this register: {words}"), Known::Setting)
}
