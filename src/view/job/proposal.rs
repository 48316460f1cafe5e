//! A kit put together for the open positions of a job.

use std::collections::HashMap;

use askama::Template;

use super::{
    OtherRig,
    noted::Noted,
    proposal_row::{MissingRow, PickRow, RefusedRow},
};
use crate::{
    domain::{
        Item, ItemId, ItemRefused, Kind, KitEntry, Model, Store, StoreId, Units,
        kit_strength::Outcome,
        proposal::{Missing, Nearest, Pick, Proposal},
    },
    rigging::Rig,
    view::{
        Shell,
        form::{Choices, Form},
        part::{Answer, Badge, Cautions, Empty, SectionNav, Tone},
        reason::Reason,
        sieve::Sieve,
        words,
    },
};

/// A kit that would do, with why each item was chosen and what is missing.
#[derive(Template)]
#[template(path = "job/proposal.html")]
pub struct ProposalSheet {
    /// The frame.
    pub shell: Shell,
    /// The job's address.
    pub job: String,
    /// The pages of the job.
    pub nav: SectionNav,
    /// The answer.
    pub answer: Answer,
    /// What of an earlier proposal may not go any more, each with the reasons.
    pub refused: Vec<RefusedRow>,
    /// What of an earlier proposal was to take the place of something that is off the list already, a sentence each.
    pub gone: Vec<String>,
    /// The store that items are taken from; empty is all.
    pub store: String,
    /// The stores.
    pub stores: Choices,
    /// What the answer rests on, a sentence each.
    pub notes: Vec<String>,
    /// One a position.
    pub picks: Vec<PickRow>,
    /// What is noted of several of the items alike.
    pub noted: Noted,
    /// What can be judged of what is there while a position stays empty, and what not, a sentence each.
    pub rest: Vec<String>,
    /// What a whole kit leaves open, with why, a sentence each.
    pub open: Vec<String>,
    /// One a position that nothing can be taken for.
    pub missing: Vec<MissingRow>,
    /// That records of models lack something, and the form in which all of it is written down.
    pub facts: Option<(String, String)>,
    /// The rig that this is a kit for instead of the planned one, and where the plan is changed to it, for who may.
    pub otherwise: Option<(String, Option<String>)>,
    /// The same rig as it stands in the address; empty is the planned one.
    pub rig_asked: String,
    /// Other rigs that the register fills now.
    pub other_rigs: Vec<OtherRig>,
    /// Those that have no belay while the planned rig has one.
    pub unbelayed: Vec<OtherRig>,
    /// Rigs that it does not fill, each with why in a line.
    pub unfilled: Vec<OtherRig>,
    /// The titles of rigs that the plan says too little for.
    pub unasked: Vec<String>,
    /// What is on the list and may not go, for whose place something is proposed; empty where nothing is.
    pub not_going: String,
    /// What to do where no position is open.
    pub nothing: Option<Empty>,
    /// Whether the person may take the kit.
    pub may_change: bool,
    /// The store that the job takes from first, by name.
    pub first: Option<String>,
    /// What the numbers do not tell.
    pub cautions: Cautions,
}

/// What a sheet is made from.
pub struct Parts<'a> {
    /// The rig of the job.
    pub rig: &'a Rig,
    /// The kit.
    pub proposal: &'a Proposal,
    /// What stands at a position and may not go.
    pub refused: &'a [KitEntry],
    /// The items that it names, with their models.
    pub items: &'a HashMap<ItemId, (Item, Model)>,
    /// The stores of the team.
    pub stores: &'a [Store],
    /// The kinds of which there are more items than were looked at.
    pub cut_off: &'a [Kind],
    /// The store that the job takes from first, by name.
    pub first: Option<String>,
    /// The address of the job.
    pub job: String,
}

impl Parts<'_> {
    pub(super) fn title(&self, position: &str) -> String {
        let position = self.rig.position(position);
        position.map_or_else(String::new, |position| position.title().to_owned())
    }

    fn may_stay_empty(&self, position: &str) -> bool {
        let position = self.rig.position(position);
        position.is_some_and(crate::rigging::Position::is_optional)
    }

    fn store(&self, item: &Item) -> String {
        let store = self.stores.iter().find(|store| store.id == item.store);
        store.map_or_else(String::new, |store| store.name.clone())
    }

    /// The kit in one sentence.
    pub fn answer(&self, units: Units) -> Answer {
        let proposal = self.proposal;
        let missing = proposal.missing.len();
        let items = words::count(proposal.picks.len(), "item", "items");
        if missing > 0 {
            let words = format!(
                "{} cannot be filled",
                words::count(missing, "position", "positions")
            );
            let fails = proposal.rest.as_ref().filter(|rest| rest.fails);
            let why = match (proposal.picks.len(), fails) {
                (_, Some(rest)) => rest.told_in(units).sentence,
                (0, None) => "What would be needed stands below.".to_owned(),
                (_, None) => format!(
                    "{items} for the others stand below; take them now, and the rest once it is there."
                ),
            };
            return Answer::new(Tone::Stop, words).why(why);
        }
        let (tone, words) = match proposal.verdict.outcome {
            Outcome::StrongEnough if proposal.unworn.is_empty() => (
                super::verdict::yes(&proposal.verdict),
                format!("{items} would do"),
            ),
            Outcome::StrongEnough if proposal.picks.is_empty() => (
                Tone::Watch,
                "Only what a person hangs in is not on the list, and none may go".to_owned(),
            ),
            Outcome::StrongEnough => (
                Tone::Watch,
                format!("{items} would do, without what a person hangs in"),
            ),
            Outcome::NotStrongEnough => (
                Tone::Stop,
                "Every position can be filled, but the kit is not strong enough".to_owned(),
            ),
            Outcome::CannotSay => (
                Tone::Watch,
                format!("{items} may go, and more is needed for a verdict"),
            ),
        };
        Answer::new(tone, words).why(proposal.verdict.told_in(units).sentence)
    }

    fn named(&self, stores: &[StoreId]) -> Vec<&str> {
        let named = stores.iter().filter_map(|id| {
            let store = self.stores.iter().find(|store| store.id == *id);
            store.map(|store| store.name.as_str())
        });
        named.collect()
    }

    /// From which stores and bags the new items come.
    fn whence(&self) -> Option<String> {
        let proposal = self.proposal;
        let (stores, bags) = (self.named(&proposal.stores), self.named(&proposal.bags));
        let opened = words::count(bags.len(), "bag", "bags");
        let from = match (stores.is_empty(), bags.is_empty()) {
            (true, true) => return None,
            (false, true) => stores.join(", "),
            (true, false) => format!("{opened} where the others lie: {}", bags.join(", ")),
            (false, false) => format!(
                "{}, with {opened} opened: {}",
                stores.join(", "),
                bags.join(", ")
            ),
        };
        let beside = match &self.first {
            None => String::new(),
            Some(first) => format!(" beside {first}, which the job takes from first,"),
        };
        // Where something is too weak, the strongest is taken from wherever it lies.
        let fails = proposal.picks.iter().any(|pick| pick.fails.is_some());
        let proved = match (proposal.is_least, bags.is_empty()) {
            _ if fails => String::new(),
            (true, true) => format!("; no fewer stores{beside} would do"),
            (true, false) => {
                format!("; no fewer stores{beside} would do, and no fewer bags of as few")
            }
            (false, _) => {
                ". There are too many stores and bags to prove that no fewer would do".to_owned()
            }
        };
        Some(format!("The new items come from {from}{proved}."))
    }

    /// What the answer rests on.
    pub fn notes(&self) -> Vec<String> {
        let proposal = self.proposal;
        let mut notes = vec![format!(
            "{} of {} in the register that are of the kinds of this rig may go on this job.",
            words::grouped(proposal.fit as u64),
            words::count(proposal.looked_at, "item", "items"),
        )];
        notes.extend(self.whence());
        if !self.cut_off.is_empty() {
            let kinds: Vec<&str> = self.cut_off.iter().map(|kind| kind.word()).collect();
            notes.push(format!(
                "There are more items of these kinds than were looked at: {}. Choose one store to look at all of its own.",
                kinds.join(", ")
            ));
        }
        notes
    }

    /// What is noted of several of the picked items alike.
    pub fn noted(&self) -> Noted {
        let picked = self.proposal.picks.iter();
        Noted::of(picked.filter_map(|pick| Some(&self.items.get(&pick.item)?.0)))
    }

    /// One row a pick, apart from what is noted of several alike; `line` makes the id of its line.
    pub fn picks(&self, noted: &Noted, line: impl Fn() -> String, units: Units) -> Vec<PickRow> {
        let row = |pick: &Pick| {
            let (item, model) = self.items.get(&pick.item)?;
            let gone = pick.instead_of;
            let mut refused = self.refused.iter();
            let gone = refused.find(|entry| Some(entry.line.id) == gone);
            let behind = gone.map_or_else(String::new, |gone| format!("/{}", gone.line.id));
            Some(PickRow {
                taken: format!("{}/{}/{}{behind}", line(), pick.position, pick.item),
                instead_of: gone.map(|gone| gone.item.mark.clone()),
                title: self.title(&pick.position),
                others: format!("{}/positions/{}", self.job, pick.position),
                id: item.id.to_string(),
                mark: item.mark.clone(),
                model: model.title(),
                note: noted.own(&item.note),
                store: self.store(item),
                fails: pick
                    .fails
                    .as_deref()
                    .map_or_else(String::new, |fails| units.beside(fails)),
                why: pick.why.iter().map(|why| units.beside(why)).collect(),
            })
        };
        self.proposal.picks.iter().filter_map(row).collect()
    }

    /// One row a position that nothing can be taken for, what people hang in last.
    pub fn missing(&self, shell: &Shell) -> Vec<MissingRow> {
        let row = |missing: &Missing| {
            let all = missing.looked_at;
            let reasons = missing.reasons.iter();
            let reasons =
                reasons.map(|(code, count)| format!("{count} of {all}: {}", code.words()));
            let nearest = missing.nearest.iter();
            MissingRow {
                title: self.title(&missing.position),
                href: format!("{}/positions/{}", self.job, missing.position),
                sentence: shell.units.beside(&missing.sentence),
                may_stay_empty: self.may_stay_empty(&missing.position),
                reasons: reasons.collect(),
                nearest: nearest.filter_map(|near| self.near(near, shell)).collect(),
            }
        };
        let unworn = self.proposal.unworn.iter();
        self.proposal
            .missing
            .iter()
            .chain(unworn)
            .map(row)
            .collect()
    }

    fn near(&self, near: &Nearest, shell: &Shell) -> Option<RefusedRow> {
        let (item, _) = self.items.get(&near.item)?;
        let mut reasons = Reason::all(&near.refusals, shell);
        let gaps = near.gaps.iter();
        reasons.extend(gaps.map(|gap| Reason::of_gap(gap, gap.mend_of_model(item.model), shell)));
        let taken_for = near.taken_for.as_deref();
        Some(RefusedRow {
            href: format!("/items/{}", item.id),
            mark: item.mark.clone(),
            reasons,
            taken_for: taken_for.map_or_else(String::new, |key| self.title(key)),
        })
    }
}

impl RefusedRow {
    /// An item that was proposed and may not go any more.
    pub fn of(refused: &ItemRefused, mark: String, shell: &Shell) -> Self {
        Self {
            href: format!("/items/{}", refused.item),
            mark,
            reasons: Reason::all(&refused.refusals, shell),
            taken_for: String::new(),
        }
    }
}

impl RefusedRow {
    /// A row to test with.
    fn sample() -> Self {
        use crate::view::PROBE;
        Self {
            href: "/items/1".to_owned(),
            mark: PROBE.to_owned(),
            reasons: vec![Reason::sample()],
            taken_for: PROBE.to_owned(),
        }
    }
}

impl ProposalSheet {
    /// Whether something is not strong enough where it would stand.
    fn has_weak(&self) -> bool {
        self.picks.iter().any(|row| !row.fails.is_empty())
    }

    fn sieve(&self) -> Sieve {
        let here = format!("{}/proposal", self.job);
        let form = Form::default();
        let sieve = Sieve::new(here.as_str()).keep("rig", &self.rig_asked);
        sieve.filter(form.choice("store", "Take items from", &self.store, &self.stores))
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use crate::view::PROBE;
        let other = || OtherRig::new(PROBE, PROBE, 2, "/jobs/1/proposal".to_owned());
        vec![Self {
            shell: Shell::sample(PROBE),
            job: "/jobs/1".to_owned(),
            nav: SectionNav {
                label: "Job".to_owned(),
                links: Vec::new(),
                here: String::new(),
            },
            answer: Answer::new(Tone::Fit, PROBE),
            refused: vec![RefusedRow::sample()],
            gone: vec![PROBE.to_owned()],
            store: String::new(),
            stores: vec![(String::new(), PROBE.to_owned())],
            notes: vec![PROBE.to_owned()],
            picks: vec![PickRow {
                taken: "1/head/2".to_owned(),
                instead_of: Some(PROBE.to_owned()),
                title: PROBE.to_owned(),
                others: "/jobs/1/positions/head".to_owned(),
                id: "2".to_owned(),
                mark: PROBE.to_owned(),
                model: PROBE.to_owned(),
                note: PROBE.to_owned(),
                store: PROBE.to_owned(),
                fails: PROBE.to_owned(),
                why: vec![PROBE.to_owned()],
            }],
            not_going: PROBE.to_owned(),
            noted: Noted::sample(PROBE),
            rest: vec![PROBE.to_owned()],
            open: vec![PROBE.to_owned()],
            missing: vec![MissingRow {
                title: PROBE.to_owned(),
                href: "/jobs/1/positions/rope".to_owned(),
                sentence: PROBE.to_owned(),
                may_stay_empty: true,
                reasons: vec![PROBE.to_owned()],
                nearest: vec![RefusedRow::sample()],
            }],
            facts: Some((PROBE.to_owned(), "/jobs/1/proposal/facts".to_owned())),
            otherwise: Some((PROBE.to_owned(), Some("/jobs/1/edit".to_owned()))),
            rig_asked: PROBE.to_owned(),
            other_rigs: vec![other()],
            unbelayed: vec![other()],
            unfilled: vec![OtherRig::not(PROBE, PROBE, "/jobs/1/proposal".to_owned())],
            unasked: vec![PROBE.to_owned()],
            nothing: None,
            may_change: true,
            first: Some(PROBE.to_owned()),
            cautions: Cautions::of_mechanics(),
        }]
    }
}
