//! What waits for somebody.

use super::{
    super::{
        part::{Badge, Tone},
        words,
    },
    Today,
    step::{NOBODY_COMPETENT, steps},
};
use crate::domain::{Deed, Role};

/// How the register stands.
#[derive(Clone, Copy, Debug, Default)]
pub struct Standing {
    /// Items in service that are overdue.
    pub overdue: usize,
    /// Items in service that fall due within so many days.
    pub due_soon: usize,
    /// Items in service that never passed an examination.
    pub never_passed: usize,
    /// Items in service of which nobody noted whether their markings can be read.
    pub markings_unknown: usize,
    /// Items in service whose life is over, by its end or by their use.
    pub life_over: usize,
    /// Items in quarantine.
    pub quarantined: usize,
    /// Items missing.
    pub missing: usize,
    /// Items that whoever counted them back wants looked at.
    pub look_asked: usize,
    /// How many days ahead "soon" looks.
    pub days: u16,
}

/// One thing that waits.
pub(super) struct Wait {
    pub(super) badge: Badge,
    pub(super) words: String,
    pub(super) href: &'static str,
    /// What follows from it; may be empty.
    pub(super) why: &'static str,
}

/// A line for so many; nothing for none.
fn wait(
    count: usize,
    tone: Tone,
    one: &str,
    many: &str,
    word: &str,
    href: &'static str,
) -> Option<Wait> {
    (count > 0).then(|| Wait {
        badge: Badge::new(tone, word),
        words: words::count(count, one, many),
        href,
        why: "",
    })
}

/// What waits, what stops work first.
pub(super) fn waits(role: Role, today: &Today<'_>) -> Vec<Wait> {
    let standing = today.standing;
    let lines = [
        // Steps that are shown say it themselves.
        nobody_competent(role, today).filter(|_| steps(role, today).is_empty()),
        wait(
            standing.overdue,
            Tone::Stop,
            "item is past its examination day",
            "items are past their examination day",
            "overdue",
            "/items?state=in-service&due=overdue&sort=due",
        ),
        wait(
            standing.never_passed,
            Tone::Stop,
            "item never passed an examination",
            "items never passed an examination",
            "not examined",
            "/items?state=in-service&sort=due&down=yes",
        ),
        wait(
            standing.due_soon,
            Tone::Watch,
            "item falls due soon",
            "items fall due soon",
            "due soon",
            "/items?state=in-service&due=30&sort=due",
        ),
        wait(
            standing.life_over,
            Tone::Stop,
            "item in service whose life is over or used up",
            "items in service whose life is over or used up",
            "life over",
            "/items?state=in-service&life=over",
        ),
        unmarked(role, standing.markings_unknown),
    ];
    lines.into_iter().chain(held(standing)).flatten().collect()
}

/// What is held back from work.
fn held(standing: Standing) -> [Option<Wait>; 3] {
    [
        wait(
            standing.quarantined,
            Tone::Hold,
            "item waits for a decision",
            "items wait for a decision",
            "quarantined",
            "/items?state=quarantined",
        ),
        wait(
            standing.look_asked,
            Tone::Hold,
            "item came back from a job to be looked at",
            "items came back from a job to be looked at",
            "to be looked at",
            "/items?waits=look",
        ),
        wait(
            standing.missing,
            Tone::Hold,
            "item is missing",
            "items are missing",
            "missing",
            "/items?state=missing",
        ),
    ]
}

/// That nobody is recorded as competent to examine, for those whom it keeps from their work.
fn nobody_competent(role: Role, today: &Today<'_>) -> Option<Wait> {
    let keeps = role.may(Deed::Examine) && !today.begun.competent;
    keeps.then(|| Wait {
        badge: Badge::new(Tone::Hold, "nobody yet"),
        words: NOBODY_COMPETENT.0.to_owned(),
        href: "/competence",
        why: NOBODY_COMPETENT.1,
    })
}

/// That nobody noted whether the markings of some items can be read; whoever may look leads to the bench with them.
fn unmarked(role: Role, count: usize) -> Option<Wait> {
    let looks = role.may(Deed::ReportEvent);
    (count > 0).then(|| Wait {
        badge: Badge::new(Tone::Stop, "markings not noted"),
        words: words::count(
            count,
            "item whose markings nobody has noted",
            "items whose markings nobody has noted",
        ),
        href: if looks {
            "/bench?state=in-service&markings=unknown"
        } else {
            "/items?state=in-service&markings=unknown"
        },
        why: "No job takes an item until somebody has looked whether its markings can be read.",
    })
}
