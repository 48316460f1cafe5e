//! A write: what a client asks for under an id of its own, and what of it must be found afterwards.

use serde_json::Value;
use uuid::Uuid;

use super::Failure;
use crate::{
    domain::{
        Change, ExaminationId, IssueId, IssueState, ItemId, JobId, KitLineId,
        checkpoint::Checkpoint, signed_note::Note,
    },
    store::Tx,
};

/// The kind of a change, and the id of what it made: stands in the ledger once.
pub(super) type Mark = (&'static str, Uuid);

/// What is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum What {
    /// An item is added.
    Item,
    /// An item, `of`, is examined.
    Examination,
    /// A job is planned.
    Job,
    /// A whole kit goes onto the list of the job `of`.
    Kit,
    /// The kit of the job `of` is issued.
    Issue,
    /// The issue of the job `of` is taken back.
    TakeBack,
    /// How far the ledger has grown is signed.
    Checkpoint,
}

/// A write.
#[derive(Clone, Debug)]
pub(super) struct Write {
    pub(super) what: What,
    /// The id of what it makes.
    pub(super) id: Uuid,
    /// The record that it belongs to.
    pub(super) of: Uuid,
    /// The ids of the lines of a kit.
    pub(super) lines: Vec<Uuid>,
    pub(super) body: Value,
}

impl Write {
    /// Where it is sent.
    pub(super) fn path(&self) -> String {
        let Self { id, of, .. } = self;
        match self.what {
            What::Item => format!("/api/v1/items?id={id}"),
            What::Examination => format!("/api/v1/items/{of}/examinations?id={id}"),
            What::Job => format!("/api/v1/jobs?id={id}"),
            What::Kit => format!("/api/v1/jobs/{of}/kit/lines"),
            What::Issue => format!("/api/v1/jobs/{of}/issues?id={id}"),
            What::TakeBack => format!("/api/v1/jobs/{of}/issues/{id}/take-back"),
            What::Checkpoint => "/api/v1/checkpoints".to_owned(),
        }
    }

    /// Where it is read again.
    pub(super) fn read_at(&self) -> String {
        let Self { id, of, .. } = self;
        match self.what {
            What::Item => format!("/api/v1/items/{id}"),
            What::Examination => format!("/api/v1/items/{of}/examinations"),
            What::Job => format!("/api/v1/jobs/{id}"),
            What::Kit => format!("/api/v1/jobs/{of}"),
            What::Issue | What::TakeBack => format!("/api/v1/jobs/{of}/issues/{id}"),
            What::Checkpoint => "/api/v1/checkpoints/latest".to_owned(),
        }
    }

    /// What it is, for whoever reads what went wrong.
    pub(super) fn words(&self) -> String {
        let Self { id, of, .. } = self;
        match self.what {
            What::Item => format!("item {id}"),
            What::Examination => format!("examination {id} of item {of}"),
            What::Job => format!("job {id}"),
            What::Kit => format!("kit list of job {of}"),
            What::Issue => format!("issue {id} of job {of}"),
            What::TakeBack => format!("taking back of issue {id} of job {of}"),
            What::Checkpoint => "checkpoint".to_owned(),
        }
    }

    /// What of it stands in the ledger: all of it, one entry after the other, or nothing.
    pub(super) fn marks(&self) -> Vec<Mark> {
        match self.what {
            What::Item => vec![("item-added", self.id)],
            What::Examination => vec![("examination-recorded", self.id)],
            What::Job => vec![("job-planned", self.id)],
            What::Kit => self
                .lines
                .iter()
                .map(|id| ("kit-line-added", *id))
                .collect(),
            What::Issue => vec![("kit-issued", self.id)],
            What::TakeBack => vec![("issue-taken-back", self.id)],
            What::Checkpoint => Vec::new(),
        }
    }

    /// Whether the tables have it.
    ///
    /// # Errors
    /// If they have a part of it.
    pub(super) async fn in_tables(&self, tx: &mut Tx) -> Result<bool, Failure> {
        Ok(match self.what {
            What::Item => tx.item(ItemId(self.id)).await?.is_some(),
            What::Examination => tx.examination(ExaminationId(self.id)).await?.is_some(),
            What::Job => tx.job(JobId(self.id)).await?.is_some(),
            What::Kit => {
                let mut there = 0;
                for id in &self.lines {
                    there += usize::from(tx.kit_line(KitLineId(*id)).await?.is_some());
                }
                if there != 0 && there != self.lines.len() {
                    let all = self.lines.len();
                    return Err(format!("{there} of {all} lines are there").into());
                }
                there != 0
            }
            What::Issue => self.issue(tx).await?.is_some(),
            What::TakeBack => {
                let state = self.issue(tx).await?;
                matches!(state, Some(IssueState::TakenBack { .. }))
            }
            What::Checkpoint => false,
        })
    }

    /// How the issue stands: all of its kit is with the crew, or nothing of it.
    async fn issue(&self, tx: &mut Tx) -> Result<Option<IssueState>, Failure> {
        let issue = tx.issue(IssueId(self.id)).await?;
        let out = tx.out_on(JobId(self.of)).await?.len();
        let must = match &issue {
            Some(issue) if issue.state == IssueState::Out => issue.lines.len(),
            _ => 0,
        };
        if out != must {
            return Err(format!("{out} items are with the crew instead of {must}").into());
        }
        Ok(issue.map(|issue| issue.state))
    }
}

/// What of a change is looked for.
pub(super) fn mark(change: &Change) -> Option<Mark> {
    let id = match change {
        Change::ItemAdded(item) => item.id.0,
        Change::ExaminationRecorded(examination) => examination.id.0,
        Change::JobPlanned(job) => job.id.0,
        Change::KitLineAdded(line) => line.id.0,
        Change::KitIssued(issue) => issue.id.0,
        Change::IssueTakenBack(back) => back.issue.0,
        _ => return None,
    };
    Some((change.kind(), id))
}

/// A checkpoint as a server gave it.
#[derive(Clone, Debug)]
pub(super) struct Seal {
    pub(super) note: String,
    pub(super) checkpoint: Checkpoint,
}

impl Seal {
    /// Reads the answer to a wish for a checkpoint.
    pub(super) fn read(answer: &Value) -> Result<Self, Failure> {
        let note = answer["note"]
            .as_str()
            .ok_or("a checkpoint without a note")?;
        let checkpoint = Checkpoint::read(Note::read(note)?.text())?;
        Ok(Self {
            note: note.to_owned(),
            checkpoint,
        })
    }

    /// Whether it is kept word for word.
    pub(super) async fn is_kept(&self, tx: &mut Tx) -> Result<bool, Failure> {
        let kept = tx.checkpoint(self.checkpoint.size).await?;
        Ok(kept.is_some_and(|kept| kept.note == self.note))
    }
}
