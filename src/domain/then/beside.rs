//! What stands around an item and says how it stood: the notices that cover it, its model, and the rulebook of the team.

use std::{
    borrow::Cow,
    collections::{BTreeMap, BTreeSet},
};

use time::Date;

use super::{Fold, Reckoning};
use crate::domain::fitness::{Due, due};
use crate::domain::{
    Change, Edition, Entry, Item, ItemId, ItemState, Model, ModelId, Notice, NoticeId, RopeCut,
    Zone,
    date::write_day,
    life,
    rulebook::{Rulebook, TeamRulebook, rulebook, shipped},
};

/// The kinds of changes that say which rulebook a team goes by, and what its own rulebooks ask.
pub const RULEBOOK_KINDS: &[&str] = &[
    "team-founded",
    "team-revised",
    "rulebook-added",
    "rulebook-revised",
];
/// The kinds of changes of which a model is made.
pub const MODEL_KINDS: &[&str] = &["model-added", "model-revised", "model-kind-changed"];
/// The kinds of changes of which a notice is made, for whatever item.
pub const NOTICE_KINDS: &[&str] = &["notice-opened", "notice-corrected", "notice-withdrawn"];

/// Rulebooks, models and notices on a day, made from entries that are given in their order.
///
/// *As known then* all of it is what was on record that night. *As known now* a notice counts from the day on which it was
/// issued, as it was corrected last, until the day on which it was withdrawn; rulebook and models are those that bind today.
#[derive(Clone, Debug)]
pub struct BesideThen {
    day: Date,
    by: Reckoning,
    days: Zone,
    /// What the team's record names as its rulebook.
    home: String,
    /// The rulebook by which it is reckoned in place of the team's: that of a job.
    asked: Option<String>,
    /// Every version of the team's own, by key and version.
    own: BTreeMap<(String, u32), TeamRulebook>,
    models: BTreeMap<ModelId, Model>,
    notices: BTreeMap<NoticeId, Notice>,
    closed: BTreeSet<(NoticeId, ItemId)>,
    /// What was on record of items and their models when a notice covered them.
    covered: Vec<Covered>,
}

/// An item and its model as they were on record when a notice covered it.
#[derive(Clone, Debug)]
struct Covered {
    notice: NoticeId,
    of: ItemId,
    item: Item,
    model: Model,
}

impl BesideThen {
    /// Nothing yet; `day` is one of `days`.
    pub fn new(day: Date, by: Reckoning, days: Zone) -> Self {
        Self {
            day,
            by,
            days,
            home: String::new(),
            asked: None,
            own: BTreeMap::new(),
            models: BTreeMap::new(),
            notices: BTreeMap::new(),
            closed: BTreeSet::new(),
            covered: Vec::new(),
        }
    }

    /// The model of an item.
    pub fn model(&self, item: &Item) -> Option<&Model> {
        self.models.get(&item.model)
    }

    /// By this rulebook in place of the one of the team.
    #[must_use]
    pub fn under(mut self, rulebook: Option<&str>) -> Self {
        self.asked = rulebook.map(str::to_owned);
        self
    }

    /// What names the rulebook.
    fn named(&self) -> &str {
        self.asked.as_ref().unwrap_or(&self.home)
    }

    /// The rulebook that the team went by; the first shipped one where it had named none. One that comes with the program
    /// is read as this program has it: what an older one asked is in no entry.
    pub fn rulebook(&self) -> &Rulebook {
        let shipped = || rulebook(self.named()).unwrap_or(&shipped()[0]);
        self.own_rulebook().map_or_else(shipped, |own| &own.book)
    }

    fn own_rulebook(&self) -> Option<&TeamRulebook> {
        if rulebook(self.named()).is_some() {
            return None;
        }
        let named = Edition::read(self.named());
        let most = named.version.unwrap_or(u32::MAX);
        let least = named.version.unwrap_or_default();
        let key = named.key.to_owned();
        let mut found = self.own.range((key.clone(), least)..=(key, most));
        found.next_back().map(|(_, own)| own)
    }

    /// By which rulebook it is reckoned, in words.
    pub fn rulebook_words(&self) -> String {
        match self.own_rulebook() {
            Some(own) => format!("{}, version {}", own.book.title(), own.revision),
            None => format!("{}, as this program has it", self.rulebook().title()),
        }
    }

    /// The notices that cover an item and are not closed for it; of what is aside also those that did until its record was
    /// corrected.
    pub fn open_notices(&self, item: &Item) -> Vec<&Notice> {
        let Some(model) = self.model(item) else {
            return Vec::new();
        };
        let open = self.notices.values().filter(|notice| {
            notice.issued_on <= self.day
                && (notice.covers(item, model) || self.has_slipped(notice, item))
                && !self.closed.contains(&(notice.id, item.id))
        });
        open.collect()
    }

    /// Whether a notice, as it stands, is about what was on record of an item when it covered it.
    fn has_slipped(&self, notice: &Notice, item: &Item) -> bool {
        let mut covered = self.covered.iter();
        item.state.is_aside()
            && covered.any(|one| {
                one.of == item.id && one.notice == notice.id && notice.covers(&one.item, &one.model)
            })
    }

    /// Keeps which notices cover an item as it is on record.
    pub(super) fn keep_covered(&mut self, item: &Item) {
        let Some(model) = self.models.get(&item.model) else {
            return;
        };
        let told = |item: &Item| {
            let serial = item.maker_serial().map(str::to_owned);
            (item.model, item.lot.clone(), serial, item.made)
        };
        for notice in self.notices.values() {
            let mut kept = self.covered.iter();
            let is_kept = kept.any(|one| {
                (one.notice, one.of) == (notice.id, item.id)
                    && told(&one.item) == told(item)
                    && one.model == *model
            });
            if !is_kept && notice.covers(item, model) {
                self.covered.push(Covered {
                    notice: notice.id,
                    of: item.id,
                    item: item.clone(),
                    model: model.clone(),
                });
            }
        }
    }

    /// Gives the pieces of a rope the past of the rope.
    pub(super) fn cut(&mut self, cut: &RopeCut) {
        let of_rope = self.covered.iter().filter(|one| one.of == cut.rope);
        let of_rope: Vec<Covered> = of_rope.cloned().collect();
        for piece in &cut.pieces {
            let of = piece.id;
            let past = of_rope.iter().cloned();
            self.covered.extend(past.map(|one| Covered { of, ..one }));
        }
    }

    /// The first day on which an item's life was over, where its end is a day.
    pub fn life_end(&self, item: &Item) -> Option<Date> {
        life(item, self.model(item)?, self.rulebook()).ends_on()
    }

    /// That the examination of an item was overdue on the day, in words.
    fn late(&self, item: &Item) -> Option<String> {
        match due(item, self.model(item)?, self.rulebook(), self.day) {
            Due::Overdue { until, .. } => Some(format!(
                "overdue for its examination, which was due by {}",
                write_day(until)
            )),
            Due::NeverExamined => Some("without a passed thorough examination".to_owned()),
            Due::NotAsked | Due::DueSoon { .. } | Due::InDate { .. } => None,
        }
    }

    /// How an item stood on the day: its state, that its life was over, that it was not in date with its examination, and that
    /// a notice was open for it.
    pub fn standing(&self, item: &Item) -> Cow<'static, str> {
        let state = item.state.word();
        if item.state == ItemState::Retired {
            return state.into();
        }
        let over = self.life_end(item).filter(|end| *end <= self.day);
        let over = over.map(|end| format!("past its life, which ended on {}", write_day(end)));
        let open = match self.open_notices(item).as_slice() {
            [] => None,
            [one] => Some(format!("under the open notice \"{}\"", one.title)),
            more => Some(format!("under {} open notices", more.len())),
        };
        let beside = over.into_iter().chain(self.late(item)).chain(open);
        let beside: Vec<String> = beside.collect();
        if beside.is_empty() {
            return state.into();
        }
        format!("{state}, {}", beside.join(", and ")).into()
    }

    /// Whether an entry counts by the clock that it is read by.
    fn counts(&self, entry: &Entry<Change>) -> bool {
        match (self.by, &entry.change) {
            (Reckoning::Then, _) => entry.recorded_on(&self.days) <= self.day,
            (Reckoning::Now, Change::NoticeClosed(_) | Change::NoticeWithdrawn(_)) => {
                entry.done_on(&self.days) <= self.day
            }
            (Reckoning::Now, _) => true,
        }
    }
}

impl Fold for BesideThen {
    fn apply(&mut self, entry: &Entry<Change>) {
        if !self.counts(entry) {
            return;
        }
        match &entry.change {
            Change::TeamFounded(team) | Change::TeamRevised(team) => {
                self.home.clone_from(&team.rulebook);
            }
            Change::RulebookAdded(own) | Change::RulebookRevised(own) => {
                let key = (own.book.key().to_owned(), own.revision);
                self.own.insert(key, own.clone());
            }
            Change::NoticeOpened(notice) => {
                self.notices.insert(notice.id, notice.clone());
            }
            Change::NoticeCorrected(to) => {
                let before = self.notices.insert(to.notice.id, to.notice.clone());
                // Another thing to do is answered by none of the results so far.
                if before.is_some_and(|before| before.asks_otherwise(&to.notice)) {
                    self.closed.retain(|(notice, _)| *notice != to.notice.id);
                }
            }
            Change::NoticeWithdrawn(end) => {
                self.notices.remove(&end.notice);
            }
            Change::NoticeClosed(closing) => {
                self.closed.insert((closing.notice, closing.item));
            }
            change => {
                if let Some(model) = change.model() {
                    self.models.insert(model.id, model.clone());
                }
            }
        }
    }
}
