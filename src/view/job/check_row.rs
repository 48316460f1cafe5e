//! One position of a verdict against the worst force on it, or why it is not judged.

use super::forces::range;
use crate::{
    domain::{
        Units,
        kit_strength::{factor_words, is_weakest, spare_words, tightest},
    },
    rigging::{Assessment, ByApproval, Check, Judged, PartStrength, Unjudged},
    view::{
        part::{Badge, Tone},
        words,
    },
};

/// One position against the worst force on it.
pub struct CheckRow {
    /// The number of the position, the same as in the drawing.
    pub number: usize,
    /// The position.
    pub title: String,
    /// The item.
    pub item: String,
    /// Pass, fail, refused, the weakest link, the smallest margin.
    pub badges: Vec<Badge>,
    /// The factor, or the limit, against what is asked.
    pub result: String,
    /// The factor or the limit by itself; empty where none is worked out.
    pub reached: String,
    /// What is asked of it by itself; empty where nothing is compared.
    pub asked: String,
    /// Whether it stands in the short table: what fails, the weakest link, and of each position the least room.
    pub is_short: bool,
    /// When and how it is loaded.
    pub when: String,
    /// The highest force, which is the one that counts.
    pub force: String,
    /// The likely force, which the drawing has, and the least; empty where all three are one.
    pub range: String,
    /// What it holds, and what was taken off, each with its source.
    pub holds: Vec<String>,
}

impl CheckRow {
    /// The row of a check, the position counted from 1.
    pub(super) fn new(
        number: usize,
        check: &Check,
        assessment: &Assessment,
        may_go: bool,
        units: Units,
    ) -> Self {
        let mut badges = match (may_go, check.passes) {
            (true, true) => vec![Badge::new(Tone::Fit, "holds")],
            (true, false) => vec![Badge::new(Tone::Stop, "does not hold")],
            (false, true) => vec![
                Badge::new(Tone::Stop, "may not go"),
                Badge::new(Tone::Note, "would hold"),
            ],
            (false, false) => vec![
                Badge::new(Tone::Stop, "may not go"),
                Badge::new(Tone::Stop, "does not hold"),
            ],
        };
        let mut weakest = assessment.weakest.iter();
        let is_weakest = weakest.any(|weakest| is_weakest(check, weakest));
        if is_weakest {
            badges.push(Badge::new(Tone::Watch, "weakest link"));
        }
        if tightest(&assessment.checks).is_some_and(|least| std::ptr::eq(least, check)) {
            badges.push(Badge::new(Tone::Watch, "smallest margin"));
        }
        Self {
            number,
            title: check.title.clone(),
            item: check.item.clone(),
            badges,
            result: result(check, units),
            reached: reached(check, units),
            asked: asked(check, units),
            is_short: is_weakest || !check.passes || has_least_room(check, assessment),
            when: format!("{}, {}", check.phase.words(), check.spot),
            force: words::force(check.force.high(), units),
            range: range(check.force, units),
            holds: held(&check.strength, units),
        }
    }
}

/// A position that a catch or a stuck load pulls on and that nothing judges; `why` where no catch is worked out.
pub(super) fn unjudged(number: usize, open: &Unjudged, why: &str, units: Units) -> CheckRow {
    let (result, force, range, holds) = match &open.caught {
        None => (
            why.to_owned(),
            "only in a catch".to_owned(),
            String::new(),
            Vec::new(),
        ),
        Some(caught) => (
            match open.times() {
                Some(times) => format!(
                    "not judged: no factor for a catch is set; it holds {} times the peak",
                    words::digits((times * 10.0).floor() / 10.0, 3)
                ),
                None => "not judged by a number: only the load is known that it may carry, not what it holds of this force"
                    .to_owned(),
            },
            words::force(caught.force.high(), units),
            range(caught.force, units),
            caught
                .strength
                .as_ref()
                .map_or_else(Vec::new, |strength| held(strength, units)),
        ),
    };
    CheckRow {
        number,
        title: open.title.clone(),
        item: open.item.clone(),
        badges: vec![Badge::new(Tone::Watch, "not judged")],
        result,
        reached: String::new(),
        asked: String::new(),
        is_short: true,
        when: open.phase.words().to_owned(),
        force,
        range,
        holds,
    }
}

/// A position that is judged by no number.
pub(super) fn by_approval(number: usize, one: &ByApproval) -> CheckRow {
    CheckRow {
        number,
        title: one.title.clone(),
        item: one.item.clone(),
        badges: vec![Badge::new(Tone::Watch, "not judged by a number")],
        result: format!(
            "approved to {}, and no strength is on record: its approval stands for it, and no factor is worked out",
            one.approval
        ),
        reached: String::new(),
        asked: String::new(),
        is_short: true,
        when: "whenever somebody hangs in it".to_owned(),
        force: "not compared".to_owned(),
        range: String::new(),
        holds: Vec::new(),
    }
}

/// What the part holds, and all that was taken off it.
fn held(strength: &PartStrength, units: Units) -> Vec<String> {
    let rating = &strength.rating;
    let (printed, kind, mode) = (
        words::force(rating.force, units),
        rating.kind.words(),
        rating.mode.words(),
    );
    if strength.reductions.is_empty() {
        return vec![format!("{printed} {kind}, {mode} ({})", rating.source)];
    }
    let effective = words::force(strength.effective, units);
    let mut holds = vec![format!(
        "{printed} {kind}, {mode}: {effective} ({})",
        rating.source
    )];
    holds.extend(strength.reductions.iter().map(|taken| {
        format!(
            "times {} for {} ({})",
            words::digits(taken.remaining.share(), 3),
            taken.reason,
            taken.source
        )
    }));
    holds
}

/// What a check comes to, with what is asked of it and what is to spare.
pub(super) fn result(check: &Check, units: Units) -> String {
    let compared = match &check.judged {
        Judged::Factor { .. } => format!(
            "{}; {} is asked for",
            reached(check, units),
            asked(check, units)
        ),
        Judged::Limit { what, .. } => format!(
            "{}; {what} is {}",
            reached(check, units),
            asked(check, units)
        ),
    };
    if check.passes {
        format!("{compared}, {} to spare", spare_words(check))
    } else {
        compared
    }
}

/// What a check comes to by itself: "factor 12.7", "5 kN at most".
fn reached(check: &Check, units: Units) -> String {
    match &check.judged {
        Judged::Factor { factor, .. } => format!("factor {}", factor_words(*factor)),
        Judged::Limit { .. } => {
            format!("{} at most", words::force(check.strength.effective, units))
        }
    }
}

/// What it is held against.
fn asked(check: &Check, units: Units) -> String {
    match &check.judged {
        Judged::Factor { required, .. } => words::digits(required.ratio(), 3),
        Judged::Limit { against, .. } => words::force(*against, units),
    }
}

/// Whether no other check of its position leaves less over.
fn has_least_room(check: &Check, assessment: &Assessment) -> bool {
    let checks = assessment.checks.iter();
    let own = checks.filter(|other| other.position == check.position);
    tightest(own).is_some_and(|least| std::ptr::eq(least, check))
}
