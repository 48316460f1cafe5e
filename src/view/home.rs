//! The start: how the register stands today, what waits for somebody, and what is coming.

use askama::Template;
use time::{Date, OffsetDateTime};

use super::{
    Shell,
    part::{Answer, Badge, Tone},
    words,
};
use crate::domain::{Deed, Job, Notice, Role, Zone, date::write_day};

/// How the register stands.
#[derive(Clone, Copy, Debug, Default)]
pub struct Standing {
    /// Items in service that are overdue.
    pub overdue: usize,
    /// Items in service that fall due within so many days.
    pub due_soon: usize,
    /// Items in service that never passed an examination.
    pub never_passed: usize,
    /// Items in quarantine.
    pub quarantined: usize,
    /// Items missing.
    pub missing: usize,
    /// How many days ahead "soon" looks.
    pub days: u16,
}

/// What the register has: each is asked for before the next makes sense.
#[derive(Clone, Copy, Debug, Default)]
pub struct Begun {
    /// A store.
    pub store: bool,
    /// A model.
    pub model: bool,
    /// An item.
    pub item: bool,
}

/// Everything that the start shows.
pub struct Today<'a> {
    /// How the register stands.
    pub standing: Standing,
    /// What it has.
    pub begun: Begun,
    /// The jobs that are coming, the next first.
    pub jobs: &'a [Job],
    /// What on planned jobs an open notice covers: the mark, the job, the notice's title.
    pub recalled: &'a [(String, Job, String)],
    /// The safety notices that were issued last.
    pub notices: &'a [Notice],
    /// How many entries the ledger has.
    pub entries: u64,
    /// The day.
    pub day: Date,
    /// The zone in which it is that day.
    pub zone: &'a Zone,
    /// Whether a page is there.
    pub has: fn(&str) -> bool,
}

impl Today<'_> {
    /// How far a moment is from today, in words.
    fn until(&self, at: OffsetDateTime) -> String {
        words::from_today(self.zone.day(at), self.day)
    }
}

struct Wait {
    badge: Badge,
    words: String,
    href: &'static str,
}

struct Step {
    badge: Badge,
    words: &'static str,
    why: &'static str,
    href: Option<&'static str>,
}

struct Coming {
    title: String,
    href: Option<String>,
    when: String,
}

/// The page.
#[derive(Template)]
#[template(path = "home.html")]
pub struct Home {
    /// The frame.
    pub shell: Shell,
    answer: Answer,
    steps: Vec<Step>,
    waits: Vec<Wait>,
    jobs: Vec<Coming>,
    notices: Vec<Coming>,
    recalled: Option<Answer>,
    recalls: Vec<Coming>,
    acts: Vec<(&'static str, &'static str)>,
}

impl Home {
    /// The start as it stands for somebody of this role.
    pub fn new(shell: Shell, role: Role, today: &Today<'_>) -> Self {
        Self {
            answer: answer(role, today),
            steps: steps(role, today),
            waits: waits(today.standing),
            jobs: today.jobs.iter().map(|job| coming(job, today)).collect(),
            notices: today.notices.iter().map(notice).collect(),
            recalled: recalled(today),
            recalls: today.recalled.iter().map(recall).collect(),
            acts: acts(role, today),
            shell,
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::gear;
        let notice = gear::notice();
        let mut today = Today {
            standing: Standing {
                overdue: 3,
                due_soon: 7,
                never_passed: 1,
                quarantined: 2,
                missing: 1,
                days: 30,
            },
            begun: Begun {
                store: true,
                model: true,
                item: true,
            },
            jobs: &[],
            recalled: &[(
                super::PROBE.to_owned(),
                gear::job(),
                super::PROBE.to_owned(),
            )],
            notices: &[notice],
            entries: 1204,
            day: gear::TODAY,
            zone: &Zone::UTC,
            has: |_| true,
        };
        let mut pages: Vec<Self> = Role::ALL
            .map(|role| Self::new(Shell::sample("Start"), role, &today))
            .into();
        today.begun = Begun::default();
        today.standing = Standing::default();
        today.has = |_| false;
        pages.push(Self::new(Shell::sample("Start"), Role::Officer, &today));
        pages.push(Self::new(Shell::sample("Start"), Role::Crew, &today));
        pages
    }
}

/// That something is recalled while it is on a job, before anything else is said.
fn recalled(today: &Today<'_>) -> Option<Answer> {
    let count = today.recalled.len();
    (count > 0).then(|| {
        Answer::new(
            Tone::Stop,
            format!(
                "Recalled while on a job: {}",
                words::count(count, "item", "items")
            ),
        )
        .why("An open safety notice covers it: stop using it at once, and take it off the job.")
    })
}

fn recall((mark, job, notice): &(String, Job, String)) -> Coming {
    Coming {
        title: format!("{mark} on {}", job.title),
        href: Some(format!("/jobs/{}", job.id)),
        when: notice.clone(),
    }
}

fn answer(role: Role, today: &Today<'_>) -> Answer {
    if !today.begun.item {
        return Answer::new(Tone::Note, "The register is empty")
            .why("Once items are in it, this page says what falls due and what waits.");
    }
    match (role, today.jobs.first()) {
        (Role::Auditor, _) => Answer::new(
            Tone::Note,
            format!("The ledger holds {} entries", today.entries),
        )
        .why("Every change of every record stands in it, and none can be changed later without showing."),
        (Role::Crew, Some(job)) => Answer::new(
            Tone::Note,
            format!(
                "Next job: {}, {}",
                job.title,
                today.until(job.starts_at)
            ),
        )
        .why(format!(
            "{}, {} to {}.",
            job.place,
            today.zone.words(job.starts_at),
            today.zone.words(job.ends_at)
        )),
        _ => stands(today.standing),
    }
}

fn stands(standing: Standing) -> Answer {
    let items = |count| words::count(count, "item", "items");
    let Standing {
        overdue,
        due_soon,
        never_passed,
        days,
        ..
    } = standing;
    let falls = match due_soon {
        0 => format!("nothing falls due within {days} days"),
        1 => format!("1 falls due within {days} days"),
        n => format!("{n} fall due within {days} days"),
    };
    let never = match never_passed {
        0 => String::new(),
        n => format!(
            "{} in service never passed an examination; no job takes what has not.",
            items(n)
        ),
    };
    match (overdue, due_soon, never_passed) {
        (0, 0, 0) => Answer::new(Tone::Fit, format!("Nothing is overdue, and {falls}")),
        (0, _, 0) => Answer::new(Tone::Watch, format!("Nothing is overdue; {falls}")),
        (0, _, _) => Answer::new(Tone::Stop, format!("Nothing is overdue; {falls}")).why(never),
        (n, ..) => {
            let are = if n == 1 { "is" } else { "are" };
            Answer::new(Tone::Stop, format!("{} {are} overdue, {falls}", items(n))).why(never)
        }
    }
}

fn waits(standing: Standing) -> Vec<Wait> {
    let wait = |count: usize, tone, one: &str, many: &str, word: &str, href| {
        (count > 0).then(|| Wait {
            badge: Badge::new(tone, word),
            words: words::count(count, one, many),
            href,
        })
    };
    let soon = if standing.due_soon == 1 {
        "1 item falls due soon".to_owned()
    } else {
        format!("{} items fall due soon", standing.due_soon)
    };
    let lines = [
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
        (standing.due_soon > 0).then(|| Wait {
            badge: Badge::new(Tone::Watch, "due soon"),
            words: soon,
            href: "/items?state=in-service&due=30&sort=due",
        }),
        wait(
            standing.quarantined,
            Tone::Hold,
            "item waits for a decision",
            "items wait for a decision",
            "quarantined",
            "/items?state=quarantined",
        ),
        wait(
            standing.missing,
            Tone::Hold,
            "item is missing",
            "items are missing",
            "missing",
            "/items?state=missing",
        ),
    ];
    lines.into_iter().flatten().collect()
}

/// The first steps of an empty register, those that were taken marked so.
fn steps(role: Role, today: &Today<'_>) -> Vec<Step> {
    let begun = today.begun;
    if begun.item || !role.may(Deed::KeepRegister) {
        return Vec::new();
    }
    let step = |done: bool, words, why, href: &'static str| Step {
        badge: if done {
            Badge::new(Tone::Fit, "done")
        } else {
            Badge::new(Tone::Note, "to do")
        },
        words,
        why,
        href: (!done && (today.has)(href)).then_some(href),
    };
    let mut steps = vec![step(
        begun.store,
        "Add a store",
        "A bay, a vehicle, a bag: every item lives in one.",
        "/stores/new",
    )];
    if (today.has)("/import") {
        steps.push(step(
            false,
            "Bring in your list",
            "From a CSV or XLSX file; it is rehearsed first, and models are added with it.",
            "/import",
        ));
    }
    steps.push(step(
        begun.model,
        "Or add a model by hand",
        "What a maker sells, with its ratings and approvals; all its items share them.",
        "/models/new",
    ));
    steps.push(step(
        false,
        "Then add its items",
        "Each with its mark, serial and the day it was made.",
        "/items/new",
    ));
    steps
}

fn coming(job: &Job, today: &Today<'_>) -> Coming {
    Coming {
        title: job.title.clone(),
        href: (today.has)("/jobs/{id}").then(|| format!("/jobs/{}", job.id)),
        when: format!(
            "{}, {}; {}",
            today.zone.words(job.starts_at),
            today.until(job.starts_at),
            job.place
        ),
    }
}

fn notice(notice: &Notice) -> Coming {
    Coming {
        title: notice.title.clone(),
        href: Some(format!("/notices/{}", notice.id)),
        when: format!("{}, issued {}", notice.maker, write_day(notice.issued_on)),
    }
}

/// What people of this role do most, where the page for it is there.
fn acts(role: Role, today: &Today<'_>) -> Vec<(&'static str, &'static str)> {
    let acts: &[(&str, &str)] = match role {
        Role::Officer => &[
            ("Add item", "/items/new"),
            ("Import a list", "/import"),
            ("What falls due", "/due"),
            ("Plan a job", "/jobs/new"),
            ("Open a safety notice", "/notices/new"),
        ],
        Role::Crew => &[("Plan a job", "/jobs/new"), ("Find an item", "/items")],
        Role::Auditor => &[("History", "/history"), ("Items", "/items")],
        Role::Admin => &[
            ("Add item", "/items/new"),
            ("Import a list", "/import"),
            ("People", "/people"),
        ],
    };
    let there = acts.iter().filter(|(_, href)| (today.has)(href));
    there.copied().collect()
}
