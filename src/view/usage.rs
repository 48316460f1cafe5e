//! Logging use of an item.

use askama::Template;

use super::{
    Shell, attribute,
    form::{Choices, Form},
    part::Facts,
};
use crate::domain::{
    EventKind, FieldErrors, Item, Job, Model, Person, UsageDraft, UsageId, consequences, used,
};

/// The form.
#[derive(Template)]
#[template(path = "usage/new.html")]
pub struct NewUsage {
    /// The frame.
    pub shell: Shell,
    form: Form,
    href: String,
    action: String,
    /// The item's mark, or the title of the job whose whole kit was used.
    title: String,
    /// What was used so far; none for a kit.
    sums: Option<Facts>,
    /// What a fall does; none for a kit, whose falls are logged item by item.
    falls: Option<String>,
    /// The jobs to choose from; none where it is known.
    jobs: Option<Choices>,
    people: Choices,
    draft: UsageDraft,
}

impl NewUsage {
    /// The form with what was typed, with the jobs on which the item was and everybody who may have used it.
    pub fn new(
        shell: Shell,
        id: UsageId,
        (item, model): (&Item, &Model),
        (jobs, people): (&[Job], &[Person]),
        draft: &UsageDraft,
        wrong: &FieldErrors,
    ) -> Self {
        let href = format!("/items/{}", item.id);
        let mut choices: Choices = vec![(String::new(), "on no job".to_owned())];
        let title = |job: &Job| format!("{}, {}", job.title, shell.zone.words(job.starts_at));
        choices.extend(jobs.iter().map(|job| (job.id.to_string(), title(job))));
        let outcome = consequences(EventKind::FallHeld, model).outcome;
        Self {
            form: Form::new(wrong),
            action: format!("{href}/usage?id={id}"),
            href,
            title: item.mark.clone(),
            sums: Some(sums(item, model)),
            falls: Some(format!(
                "Each is an event too: with the first of them {} {}.",
                item.mark,
                outcome.word()
            )),
            jobs: Some(attribute::keeping(choices, &draft.job)),
            people: attribute::keeping(named(people), &draft.by),
            draft: draft.clone(),
            shell,
        }
    }

    /// The form for the whole kit of a job.
    pub fn of_job(
        shell: Shell,
        id: UsageId,
        job: &Job,
        people: &[Person],
        draft: &UsageDraft,
        wrong: &FieldErrors,
    ) -> Self {
        let href = format!("/jobs/{}", job.id);
        Self {
            form: Form::new(wrong),
            action: format!("{href}/usage?id={id}"),
            href,
            title: job.title.clone(),
            sums: None,
            falls: None,
            jobs: None,
            people: attribute::keeping(named(people), &draft.by),
            draft: draft.clone(),
            shell,
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::{PROBE, gear};
        let typed = || PROBE.to_owned();
        let draft = UsageDraft {
            on: typed(),
            since: typed(),
            by: typed(),
            job: typed(),
            hours: typed(),
            uses: typed(),
            falls: typed(),
            loads: typed(),
            note: typed(),
        };
        let wrong = FieldErrors::one("hours", "number", PROBE);
        let (item, model) = (gear::item(), gear::model());
        let shell = Shell::sample("Use");
        let id = UsageId(item.id.0);
        let people = &[];
        vec![
            Self::new(
                shell.clone(),
                id,
                (&item, &model),
                (&[], people),
                &draft,
                &wrong,
            ),
            Self::of_job(shell, id, &gear::job(), people, &draft, &wrong),
        ]
    }
}

/// People to choose from.
fn named(people: &[Person]) -> Choices {
    let people = people.iter();
    people
        .map(|person| (person.id.to_string(), person.name.clone()))
        .collect()
}

/// What was used so far, beside what the maker allows.
pub(super) fn sums(item: &Item, model: &Model) -> Facts {
    let facts = match item.usage.words() {
        words if words.is_empty() => Facts::default().and("Logged so far", "nothing"),
        words => Facts::default().and("Logged so far", words),
    };
    let limits = used(item.usage, model).into_iter();
    limits.fold(facts, |facts, used| {
        facts.and_from(
            "Of the maker's limit",
            used.words.clone(),
            used.reach.word(),
        )
    })
}
