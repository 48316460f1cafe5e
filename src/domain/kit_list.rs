//! A kit list judged: every line with what speaks against it, and the verdict on it all.

use std::borrow::Cow;

use super::fitness::{Head, KitItem, takes_strop, to_go_round};
use super::kit_strength::{KitGap, KitVerdict};
use super::{
    Edition, Item, ItemId, Job, KitLine, Mend, Model, Refusal, WithCrew, Withdrawn, counted,
};
use crate::rigging::{Mass, Rig};

/// A job with its kit list as it stands now.
#[derive(Clone, Debug)]
pub struct KitList {
    /// The job.
    pub job: Job,
    /// Its rig, in the version that it was planned with.
    pub rig: Cow<'static, Rig>,
    /// Whether rig and rulebook are offered for new jobs no more.
    pub withdrawn: Withdrawn,
    /// What is on the list, in the order in which it was put there.
    pub entries: Vec<KitEntry>,
    /// The mass of the load, persons counted as the rulebook plans with them.
    pub load: Mass,
    /// Whether the kit is strong enough, rigged as planned.
    pub verdict: KitVerdict,
}

impl KitList {
    /// How high over the edge the rig hangs.
    pub fn head(&self) -> Head {
        let kit: Vec<KitItem<'_>> = self.entries.iter().map(KitEntry::kit_item).collect();
        Head::of(&self.job, &kit)
    }

    /// How long a strop or a sling at a position must be to go round what the plan says.
    pub fn round(&self, position: &str) -> Option<String> {
        let girth = self.job.setup.anchor_girth?;
        let place = self.rig.position(position)?;
        takes_strop(place).then(|| {
            format!(
                "A strop or a sling here must be at least {} long to go round {girth}.",
                to_go_round(girth)
            )
        })
    }

    /// What fills a position.
    pub fn at(&self, position: &str) -> Option<&KitEntry> {
        self.entries
            .iter()
            .find(|entry| entry.line.position.as_deref() == Some(position))
    }

    /// What is on the list in the order of the rig's positions, then the spares.
    pub fn in_order(&self) -> Vec<&KitEntry> {
        let place = |entry: &KitEntry| {
            let mut positions = self.rig.positions().iter();
            let key = entry.line.position.as_deref();
            let at = key.and_then(|key| positions.position(|position| position.key() == key));
            at.unwrap_or(usize::MAX)
        };
        let mut entries: Vec<&KitEntry> = self.entries.iter().collect();
        entries.sort_by_key(|entry| place(entry));
        entries
    }

    /// The rig in words; of a team's own, the version that the job keeps.
    pub fn rig_words(&self) -> String {
        let title = self.rig.title();
        match Edition::read(&self.job.rig).version {
            Some(version) => format!("{title} (own, version {version})"),
            None => title.to_owned(),
        }
    }

    /// How many of the items may not go any more.
    pub fn refused(&self) -> usize {
        self.entries
            .iter()
            .filter(|entry| !entry.refusals.is_empty())
            .count()
    }

    /// What on the list may not go now, with every reason in a sentence.
    pub fn unfit(&self) -> Vec<(ItemId, Vec<String>)> {
        let unfit = self.in_order().into_iter().filter_map(|entry| {
            let refusals = entry.refusals.iter();
            let words: Vec<String> = refusals.map(|one| one.sentence.clone()).collect();
            (!words.is_empty()).then_some((entry.item.id, words))
        });
        unfit.collect()
    }

    /// Whether everything on the list may go and is strong enough.
    pub fn passes(&self) -> bool {
        self.refused() == 0 && self.verdict.passes
    }
}

/// One line of the kit list with its item, and what speaks against it now.
#[derive(Clone, Debug)]
pub struct KitEntry {
    /// The line.
    pub line: KitLine,
    /// The item.
    pub item: Item,
    /// Its model.
    pub model: Model,
    /// Why it may not go after all: it was fit when it was put on, and something changed since.
    pub refusals: Vec<Refusal>,
    /// With which other job's crew it is, where it is not back yet.
    pub with_crew: Option<WithCrew>,
}

impl KitEntry {
    /// Its mark, and that it is out where another job's crew has it; what speaks against the item itself stands before that.
    pub fn named(&self) -> String {
        let mark = &self.item.mark;
        if self.with_crew.is_none() {
            return mark.clone();
        }
        let mut codes = self.refusals.iter().map(|refusal| refusal.code);
        match codes.find(|code| code.is_of_the_item()) {
            Some(own) => format!("{mark} ({}; out with another crew)", own.in_brackets()),
            None => format!("{mark} (out with another crew)"),
        }
    }

    /// The reasons against the item itself, wherever it goes, each in a sentence.
    pub fn own_faults(&self) -> Vec<String> {
        let refusals = self.refusals.iter();
        let own = refusals.filter(|refusal| refusal.code.is_of_the_item());
        own.map(|refusal| refusal.sentence.clone()).collect()
    }

    /// The item where its line puts it, for the rules and the mechanics.
    pub fn kit_item(&self) -> KitItem<'_> {
        KitItem::new(&self.line, &self.item, &self.model)
    }
}

/// An item that might go on, with what speaks against it.
#[derive(Clone, Debug)]
pub struct Candidate {
    /// The item.
    pub item: Item,
    /// Its model.
    pub model: Model,
    /// The name of the store that it lives in.
    pub store: String,
    /// Every reason against it; none means that it may go.
    pub refusals: Vec<Refusal>,
    /// What its record lacks for the verdict at this position.
    pub gaps: Vec<KitGap>,
    /// With which other job's crew it is, where it is not back yet.
    pub with_crew: Option<WithCrew>,
}

/// How many items a sentence names one by one.
const NAMED: usize = 3;

impl KitList {
    /// Where a gap of the verdict can be mended.
    pub fn mend(&self, gap: &KitGap) -> Option<Mend> {
        let entry = gap.position.as_deref().and_then(|key| self.at(key));
        gap.mend(self.job.id, entry.map(|entry| entry.model.id))
    }

    /// The answer in one sentence: what is refused comes before how strong the rest is.
    pub fn sentence(&self) -> String {
        match self.refusal() {
            None => self.verdict.whole(),
            Some(refusal) => format!("{refusal}. {}", self.verdict.beside_refused()),
        }
    }

    /// Which items may not go: "1 item on the list may not go: pulley P-2"; nothing if all may.
    pub fn refusal(&self) -> Option<String> {
        let refused: Vec<String> = self
            .entries
            .iter()
            .filter(|entry| !entry.refusals.is_empty())
            .map(|entry| format!("{} {}", entry.model.kind.word(), entry.named()))
            .collect();
        if refused.is_empty() {
            return None;
        }
        let items = counted(refused.len(), "item", "items");
        let named = refused[..refused.len().min(NAMED)].join(", ");
        let more = match refused.len().saturating_sub(NAMED) {
            0 => String::new(),
            n => format!(" and {n} more"),
        };
        Some(format!("{items} on the list may not go: {named}{more}"))
    }
}
