//! The start: how the register stands today, what waits for somebody, and what is coming.

mod on_job;
mod step;
mod wait;

use std::collections::HashMap;

use askama::Template;
use time::{Date, OffsetDateTime};

pub use self::on_job::OnJob;
pub use self::step::Begun;
pub use self::wait::Standing;

use self::{
    on_job::{RECALLS, line, recall, recalled, unfit},
    step::{Step, steps},
    wait::{Wait, waits},
};
use super::{
    Shell,
    hook::switched_off,
    part::{Answer, Badge, Tone},
    words,
};
use crate::domain::{Job, JobId, Notice, Role, Zone, date::write_day};

/// Everything that the start shows.
pub struct Today<'a> {
    /// How the register stands.
    pub standing: Standing,
    /// What it has.
    pub begun: Begun,
    /// The jobs that are coming, the next first.
    pub jobs: &'a [Job],
    /// Whether more jobs are coming than these.
    pub more_jobs: bool,
    /// What may not go, by its mark, on those of the jobs that are looked at where something may not.
    pub refused: &'a HashMap<JobId, Vec<String>>,
    /// What on planned jobs an open notice covers, with the notice's title, the most pressing first.
    pub recalled: &'a [OnJob],
    /// Whether all of these are shown, or the first few.
    pub all_recalled: bool,
    /// What is with a crew and not in service any more, with the state and why.
    pub unfit: &'a [OnJob],
    /// The jobs whose kit is with a crew, the first to end first.
    pub out: &'a [Job],
    /// Now.
    pub now: OffsetDateTime,
    /// How many webhooks were switched off since they failed too long; none for whoever can do nothing about it.
    pub hooks_off: usize,
    /// The safety notices that were issued last.
    pub notices: &'a [Notice],
    /// How many there are.
    pub all_notices: usize,
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

struct Coming {
    title: String,
    href: Option<String>,
    when: String,
    /// That something on it may not go.
    stop: Option<Badge>,
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
    more_jobs: bool,
    notices: Vec<Coming>,
    more_notices: usize,
    recalled: Option<Answer>,
    recalls: Vec<Coming>,
    more_recalls: usize,
    unfit: Option<Answer>,
    unfits: Vec<Coming>,
    out: Vec<Coming>,
    hooks_off: Option<Answer>,
    /// What is done most by somebody of this role, the first of them shown as the next thing to do.
    acts: Vec<(&'static str, &'static str)>,
}

impl Home {
    /// The start as it stands for somebody of this role.
    pub fn new(shell: Shell, role: Role, today: &Today<'_>) -> Self {
        let shown = if today.all_recalled {
            today.recalled.len()
        } else {
            RECALLS
        };
        Self {
            answer: answer(role, today),
            steps: steps(role, today),
            waits: waits(role, today),
            jobs: today.jobs.iter().map(|job| coming(job, today)).collect(),
            more_jobs: today.more_jobs,
            notices: today.notices.iter().map(notice).collect(),
            more_notices: today.all_notices.saturating_sub(today.notices.len()),
            recalled: recalled(today),
            hooks_off: switched_off(today.hooks_off),
            recalls: {
                let recalled = today.recalled.iter().take(shown);
                recalled.map(|on| recall(on, today.zone)).collect()
            },
            more_recalls: today.recalled.len().saturating_sub(shown),
            unfit: unfit(today),
            unfits: today.unfit.iter().map(line).collect(),
            out: today.out.iter().map(|job| out(job, today)).collect(),
            acts: acts(role, today),
            shell,
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::gear;
        let notice = gear::notice();
        let on_job = || OnJob {
            mark: super::PROBE.to_owned(),
            job: gear::job(),
            why: super::PROBE.to_owned(),
            is_out: true,
        };
        let mut today = Today {
            standing: Standing {
                overdue: 3,
                due_soon: 7,
                never_passed: 1,
                markings_unknown: 4,
                life_over: 2,
                quarantined: 2,
                missing: 1,
                look_asked: 1,
                days: 30,
            },
            begun: Begun {
                competent: true,
                store: true,
                model: true,
                item: true,
                job: true,
            },
            jobs: &[gear::job()],
            more_jobs: true,
            refused: &HashMap::from([(gear::job().id, vec![super::PROBE.to_owned(); 4])]),
            recalled: &[(); RECALLS + 1].map(|()| on_job()),
            all_recalled: false,
            unfit: &[on_job()],
            out: &[gear::job()],
            now: gear::TODAY.midnight().assume_utc(),
            hooks_off: 1,
            notices: &[notice],
            all_notices: 3,
            entries: 1204,
            day: gear::TODAY,
            zone: &Zone::UTC,
            has: |_| true,
        };
        let mut pages: Vec<Self> = Role::ALL
            .map(|role| Self::new(Shell::sample("Start"), role, &today))
            .into();
        today.begun = Begun {
            item: true,
            ..Begun::default()
        };
        pages.push(Self::new(Shell::sample("Start"), Role::Admin, &today));
        today.begun = Begun::default();
        today.standing = Standing::default();
        today.has = |_| false;
        pages.push(Self::new(Shell::sample("Start"), Role::Officer, &today));
        pages.push(Self::new(Shell::sample("Start"), Role::Crew, &today));
        pages
    }
}

/// How many items a row names one by one.
const NAMED: usize = 3;

/// That something on a job's list may not go, by its mark.
fn stop(job: &Job, today: &Today<'_>) -> Option<Badge> {
    let marks = today.refused.get(&job.id)?;
    let named: Vec<&str> = marks.iter().take(NAMED).map(String::as_str).collect();
    let more = match marks.len().saturating_sub(NAMED) {
        0 => String::new(),
        n => format!(" and {n} more"),
    };
    let words = format!("may not go: {}{more}", named.join(", "));
    Some(Badge::new(Tone::Stop, words))
}

/// A job whose kit is with a crew.
fn out(job: &Job, today: &Today<'_>) -> Coming {
    let until = today.zone.words(job.ends_at);
    Coming {
        title: job.title.clone(),
        href: Some(format!("/jobs/{}", job.id)),
        when: if job.ends_at < today.now {
            format!("planned to be back by {until}, and not counted back")
        } else {
            format!("out until {until}")
        },
        stop: stop(job, today),
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
        stop: stop(job, today),
    }
}

fn notice(notice: &Notice) -> Coming {
    Coming {
        title: notice.title.clone(),
        href: Some(format!("/notices/{}", notice.id)),
        when: {
            let end = notice
                .withdrawn
                .as_ref()
                .map_or("", |_| "; withdrawn since");
            let day = write_day(notice.issued_on);
            format!("{}, issued {day}{end}", notice.maker)
        },
        stop: None,
    }
}

/// What people of this role do most, where the page for it is there; what an empty register needs first is first.
fn acts(role: Role, today: &Today<'_>) -> Vec<(&'static str, &'static str)> {
    const PLAN: (&str, &str) = ("Plan a job", "/jobs/new");
    const IMPORT: (&str, &str) = ("Import a list", "/import");
    const READY: (&str, &str) = ("Complete sets", "/readiness");
    const HELD: (&str, &str) = ("What must not go out", "/questions/held-back");
    let acts: &[(&str, &str)] = match (role, today.begun.item) {
        (Role::Officer, true) => &[
            PLAN,
            ("Add item", "/items/new"),
            IMPORT,
            ("What falls due", "/due"),
            HELD,
            READY,
            ("Open a safety notice", "/notices/new"),
        ],
        (Role::Admin, true) => &[
            PLAN,
            ("Add item", "/items/new"),
            IMPORT,
            HELD,
            ("People", "/people"),
        ],
        (Role::Officer, false) => &[IMPORT, PLAN],
        (Role::Admin, false) => &[IMPORT, PLAN, ("People", "/people")],
        (Role::Crew, _) => &[PLAN, ("Find an item", "/items"), HELD, READY],
        (Role::Auditor, _) => &[
            ("History", "/history"),
            ("Questions", "/questions"),
            ("Items", "/items"),
        ],
    };
    let there = acts.iter().filter(|(_, href)| (today.has)(href));
    there.copied().collect()
}
