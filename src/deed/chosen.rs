//! The rulebook and the rig of a job, of whatever origin, in the version that it was planned with.

use std::borrow::Cow;

use crate::{
    deed::{
        DeedError,
        rulebook::{self, Found},
    },
    domain::{
        Edition, FieldErrors, Job, OwnRig, Withdrawn,
        entered::EnteredLength,
        fitness::{DayRules, Plan},
        rulebook::Rulebook,
    },
    rigging::{Rig, SpanAsked, shipped_rig, spans_asked},
    store::{KeptRig, StoreError, Tx},
};

/// What a job is judged by.
#[derive(Clone, Debug)]
pub struct Chosen {
    /// Its rulebook.
    pub rulebook: Cow<'static, Rulebook>,
    /// The rulebook that the team works by.
    pub home: Box<Cow<'static, Rulebook>>,
    /// Its rig.
    pub rig: Cow<'static, Rig>,
    /// Whether they are offered for new jobs no more.
    pub withdrawn: Withdrawn,
}

impl Chosen {
    /// What a job that is there was planned with.
    ///
    /// # Errors
    /// The fields `rulebook` and `rig`, where no such one is known any more.
    pub async fn of(tx: &mut Tx, job: &Job) -> Result<Self, DeedError> {
        let mut wrong = FieldErrors::default();
        let rulebook = rulebook::find(tx, &job.rulebook).await?;
        if rulebook.is_none() {
            no_such(&mut wrong, "rulebook", &job.rulebook);
        }
        let edition = Edition::read(&job.rig);
        let rig = rig_of(tx, &edition, &mut wrong).await?;
        let kept = match edition.version {
            Some(_) => tx.rig_of_key(edition.key).await?,
            None => None,
        };
        match (rulebook, rig) {
            (Some(rulebook), Some(rig)) if wrong.is_empty() => Ok(Self {
                withdrawn: Withdrawn {
                    rig: kept.is_some_and(|kept| kept.withdrawn),
                    rulebook: rulebook.is_withdrawn(),
                },
                rulebook: rulebook.into_book(),
                home: Box::new(tx.home_rulebook().await?),
                rig,
            }),
            _ => Err(wrong.into()),
        }
    }

    /// Names in a job that is being planned the version of what it chooses: the newest. An older one, and
    /// what was withdrawn, stay only where the job had it `before`.
    ///
    /// # Errors
    /// The fields `rulebook`, `rig` and `first_from`, where there is no such one to choose.
    pub async fn settle(
        tx: &mut Tx,
        job: &mut Job,
        before: Option<&Job>,
    ) -> Result<Self, DeedError> {
        let mut wrong = FieldErrors::default();
        settle_rulebook(tx, job, before, &mut wrong).await?;
        if let Some(store) = job.first_from
            && tx.store(store).await?.is_none()
        {
            let sentence = "Choose a store from the list, or leave it open.";
            wrong.add("first_from", "choice", sentence);
        }
        let edition = Edition::read(&job.rig);
        let had = before.is_some_and(|before| before.rig == job.rig);
        let kept = tx.rig_of_key(edition.key).await?;
        if let Some(KeptRig { rig, withdrawn }) = kept.filter(|_| !had) {
            let newest = rig.revision;
            match edition.version {
                _ if withdrawn => {
                    let sentence =
                        format!("The rig \"{}\" is withdrawn: choose another.", rig.title);
                    wrong.add("rig", "choice", sentence);
                }
                Some(older) if older < newest => {
                    let sentence = format!(
                        "Version {older} of \"{}\" is not the newest any more: choose version {newest}.",
                        rig.title
                    );
                    wrong.add("rig", "choice", sentence);
                }
                Some(_) => {}
                None => job.rig = rig.edition().to_string(),
            }
        }
        match Self::of(tx, job).await {
            Err(DeedError::Invalid(more)) => {
                wrong.0.extend(more.0);
                Err(wrong.into())
            }
            chosen => {
                let chosen = chosen?;
                chosen.note_spans(job, &mut wrong);
                Ok(wrong.or(|| chosen)?)
            }
        }
    }

    /// Asks for the lengths that this rig cannot be measured without and that the job does not give.
    fn note_spans(&self, job: &Job, wrong: &mut FieldErrors) {
        let given = |length: Option<&EnteredLength>| {
            length.is_some_and(|length| length.quantity().metres() > 0.0)
        };
        for span in spans_asked(&self.rig) {
            let (field, is_given, what) = match span {
                SpanAsked::Throw { body } => (
                    "throw",
                    given(job.setup.throw.as_ref()),
                    format!("how far {body} goes before it is set back, such as 3 m"),
                ),
                SpanAsked::Anchors { near, far } => (
                    "between_anchors",
                    given(job.setup.between_anchors.as_ref()),
                    format!(
                        "how far {near} and {far} stand apart, straight along the rope, such as 3 m"
                    ),
                ),
            };
            if !is_given {
                let sentence = format!("The rig \"{}\" asks for this: {what}.", self.rig.title());
                wrong.add(field, "required", sentence);
            }
        }
    }

    /// A rig by the edition that a job names, if it is there and still read.
    pub(super) async fn rig(
        tx: &mut Tx,
        edition: &str,
    ) -> Result<Option<Cow<'static, Rig>>, StoreError> {
        let edition = Edition::read(edition);
        let Some(version) = edition.version else {
            return Ok(shipped_rig(edition.key).map(Cow::Borrowed));
        };
        let own = tx.rig_version(edition.key, version).await?;
        Ok(own.and_then(|own| own.rig().ok()).map(Cow::Owned))
    }

    /// The rulebooks whose days bind the gear of the job.
    pub fn days(&self) -> DayRules<'_> {
        DayRules {
            asked: &self.rulebook,
            home: Some(&self.home),
        }
    }

    /// The plan of the job.
    pub fn plan<'a>(&'a self, job: &'a Job) -> Plan<'a> {
        Plan::new(job, &self.rulebook, &self.rig).at_home(&self.home)
    }
}

/// The same for the rulebook alone.
async fn settle_rulebook(
    tx: &mut Tx,
    job: &mut Job,
    before: Option<&Job>,
    wrong: &mut FieldErrors,
) -> Result<(), DeedError> {
    let Some(Found::Own(kept, newest)) = rulebook::find(tx, &job.rulebook).await? else {
        return Ok(());
    };
    let own = &kept.rulebook;
    let had = before.is_some_and(|before| before.rulebook == job.rulebook);
    if kept.withdrawn && !had {
        let title = own.book.title();
        let sentence = format!("The rulebook \"{title}\" is withdrawn: choose another.");
        wrong.add("rulebook", "choice", sentence);
    } else if own.revision < newest && !had {
        let sentence = format!(
            "Version {} of \"{}\" is not the newest any more: choose version {newest}.",
            own.revision,
            own.book.title()
        );
        wrong.add("rulebook", "choice", sentence);
    }
    job.rulebook = own.edition().to_string();
    Ok(())
}

/// The rig of an edition: a version of the team's own, or one that comes with the program.
async fn rig_of(
    tx: &mut Tx,
    edition: &Edition<'_>,
    wrong: &mut FieldErrors,
) -> Result<Option<Cow<'static, Rig>>, DeedError> {
    let Some(version) = edition.version else {
        let shipped = shipped_rig(edition.key).map(Cow::Borrowed);
        if shipped.is_none() {
            no_such(wrong, "rig", edition.key);
        }
        return Ok(shipped);
    };
    let Some(own) = tx.rig_version(edition.key, version).await? else {
        no_such(wrong, "rig", &edition.to_string());
        return Ok(None);
    };
    Ok(read(&own, wrong).map(Cow::Owned))
}

/// A rig that was read once may be refused by a later program, which says why.
fn read(own: &OwnRig, wrong: &mut FieldErrors) -> Option<Rig> {
    let why = match own.rig() {
        Ok(rig) => return Some(rig),
        Err(faults) => faults.to_string(),
    };
    let sentence = format!(
        "Version {} of the rig \"{}\" is not read any more: {why} Write a new version.",
        own.revision, own.title
    );
    wrong.add("rig", "unreadable", sentence);
    None
}

fn no_such(wrong: &mut FieldErrors, what: &str, given: &str) {
    let given: String = given.chars().take(60).collect();
    let sentence = format!("Choose a {what} from the list, not \"{given}\".");
    wrong.add(what, "choice", sentence);
}
