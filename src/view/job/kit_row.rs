//! A row of a kit list.

use std::collections::HashMap;

use crate::{
    domain::{Candidate, Job, JobState, Kind, KitEntry, KitLineId, KitList},
    rigging::Position,
    view::{
        Shell,
        part::{Badge, Tone},
        reason::Reason,
        words,
    },
};

/// A position of the rig, or a spare, with the item in it.
pub struct PositionRow {
    /// What the position is, in words.
    pub title: String,
    /// What it takes.
    pub takes: String,
    /// Where its candidates are.
    pub choose: String,
    /// The item's mark and page.
    pub item: Option<(String, String)>,
    /// The model.
    pub model: String,
    /// What was noted of the item; may be empty.
    pub note: String,
    /// Fit, refused, empty.
    pub state: Badge,
    /// Why it may not go.
    pub reasons: Vec<Reason>,
    /// What its record lacks for the verdict.
    pub gaps: Vec<Reason>,
    /// That it is with the crew of another job; may be empty.
    pub with_crew: String,
    /// The line by which it is on the list, while it can be taken off.
    pub line: Option<KitLineId>,
    /// Where its line is taken off.
    pub remove: Option<String>,
    /// What may go in its place, where it may not go.
    pub instead: Option<Instead>,
}

/// What may go in the place of an item that may not.
pub struct Instead {
    line: KitLineId,
    /// Where one of them is put in its place.
    pub action: String,
    /// The id, the mark and the model of each.
    pub offered: Vec<(String, String, String)>,
}

impl Instead {
    fn new(job: &Job, line: KitLineId) -> Self {
        let new = KitLineId::new();
        Self {
            line,
            action: format!("/jobs/{}/kit/{line}/swap?id={new}", job.id),
            offered: Vec::new(),
        }
    }

    /// Takes from what was found what may go here.
    pub(super) fn offer(&mut self, found: &HashMap<KitLineId, Vec<Candidate>>) {
        let offered = found.get(&self.line).into_iter().flatten();
        let offered = offered.map(|one| {
            let words = format!("{}, {}", one.model.title(), one.store);
            (one.item.id.to_string(), one.item.mark.clone(), words)
        });
        self.offered = offered.collect();
    }

    /// One to test with.
    pub(super) fn sample() -> Self {
        use crate::view::PROBE;
        let (id, mark) = ("1".to_owned(), PROBE.to_owned());
        Self {
            line: KitLineId(uuid::Uuid::nil()),
            action: "/jobs/1/kit/1/swap".to_owned(),
            offered: vec![(id, mark.clone(), mark)],
        }
    }
}

impl PositionRow {
    /// The row of a position.
    pub fn of_position(list: &KitList, position: &Position, shell: &Shell) -> Self {
        let job = &list.job;
        let takes = takes(position);
        let mut row = Self {
            title: position.title().to_owned(),
            choose: format!("/jobs/{}/positions/{}", job.id, position.key()),
            takes,
            item: None,
            model: String::new(),
            note: String::new(),
            state: if position.is_optional() {
                Badge::new(Tone::Note, "may stay empty")
            } else {
                Badge::new(Tone::Hold, "empty")
            },
            reasons: Vec::new(),
            gaps: Vec::new(),
            with_crew: String::new(),
            line: None,
            remove: None,
            instead: None,
        };
        if let Some(entry) = list.at(position.key()) {
            let is_caught = list.job.setup.catch_slack.is_some();
            let of_catch = list.verdict.catch_lacks.iter().filter(|_| is_caught);
            let gaps = list.verdict.gaps.iter().chain(of_catch);
            let own = gaps.filter(|gap| gap.position.as_deref() == Some(position.key()));
            row.gaps = own
                .map(|gap| Reason::of_gap(gap, list.mend(gap), shell))
                .collect();
            row.fill(job, entry, shell);
        }
        row
    }

    /// The row of a spare.
    pub fn of_spare(job: &Job, entry: &KitEntry, shell: &Shell) -> Self {
        let mut row = Self {
            title: format!("Spare {}", entry.model.kind.word()),
            takes: String::new(),
            choose: format!("/jobs/{}/positions/spare", job.id),
            item: None,
            model: String::new(),
            note: String::new(),
            state: Badge::new(Tone::Note, ""),
            reasons: Vec::new(),
            gaps: Vec::new(),
            with_crew: String::new(),
            line: None,
            remove: None,
            instead: None,
        };
        row.fill(job, entry, shell);
        row
    }

    fn fill(&mut self, job: &Job, entry: &KitEntry, shell: &Shell) {
        self.item = Some((entry.item.mark.clone(), format!("/items/{}", entry.item.id)));
        self.model = entry.model.title();
        self.note.clone_from(&entry.item.note);
        if job.state != JobState::Planned {
            self.gaps.clear();
            self.state = Badge::new(Tone::Out, "was on the list");
            return;
        }
        self.reasons = Reason::all(&entry.refusals, shell);
        let with = entry.with_crew.as_ref();
        self.with_crew = with.map_or_else(String::new, |with| with.caution(&shell.zone));
        self.state = match (entry.refusals.len(), self.gaps.len()) {
            (0, 0) if with.is_some() => not_back(),
            (0, 0) => Badge::new(Tone::Fit, "may go"),
            (0, n) => may_go_with_gaps(n),
            (1, _) => Badge::new(Tone::Stop, "refused: 1 reason"),
            (n, _) => Badge::new(Tone::Stop, format!("refused: {n} reasons")),
        };
        self.line = Some(entry.line.id);
        self.remove = Some(format!("/jobs/{}/kit/{}/remove", job.id, entry.line.id));
        if !entry.refusals.is_empty() {
            self.instead = Some(Instead::new(job, entry.line.id));
        }
    }
}

/// An item that may go once it is counted back.
pub(super) fn not_back() -> Badge {
    Badge::new(Tone::Watch, "may go once it is counted back")
}

/// An item that may go, but on whose record the verdict finds too little.
pub(super) fn may_go_with_gaps(gaps: usize) -> Badge {
    let lacks = words::count(gaps, "thing", "things");
    Badge::new(Tone::Watch, format!("may go; the verdict lacks {lacks}"))
}

/// What a position takes, in words: "a pulley with 2 sheaves, a becket and a capture".
pub(crate) fn takes(position: &Position) -> String {
    let mut needs = Vec::new();
    match position.sheaves() {
        0 => {}
        1 => needs.push("1 sheave".to_owned()),
        n => needs.push(format!("{n} sheaves")),
    }
    if position.needs_becket() {
        needs.push("a becket".to_owned());
    }
    if position.needs_capture() {
        needs.push("progress capture".to_owned());
    }
    let kinds: Vec<&str> = position
        .accepts()
        .iter()
        .map(|word| match Kind::from_word(word) {
            Some(kind) => kind.word(),
            None => word,
        })
        .collect();
    let kinds = kinds.join(" or ");
    if needs.is_empty() {
        kinds
    } else {
        format!("{kinds} with {}", needs.join(", "))
    }
}
