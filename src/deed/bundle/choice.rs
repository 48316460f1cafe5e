//! Which entries a bundle holds: from one to another, or those about something.

use std::{collections::VecDeque, ops::Range};

use time::{OffsetDateTime, UtcOffset};

use super::Wanted;
use crate::{
    deed::{
        DeedError,
        history::{About, in_line},
    },
    export::bundle::Scope,
    store::{Direction, EntryFilter, Span, Tx},
};

/// How many sequence numbers are read at once.
const SEQS: u32 = 10_000;

/// Which entries.
pub(super) enum Choice {
    /// From one to another, and those beside them that are given with them.
    Span { of: Span, with: Span },
    /// These, in their order.
    Some(VecDeque<u64>, EntryFilter),
}

impl Choice {
    /// The first that is wanted of the leaves `part`, from 0, by its sequence number.
    pub(super) fn first_in(&self, part: &Range<u64>) -> Option<u64> {
        let first = match self {
            Self::Span { with, .. } => {
                Some(with.first.max(part.start + 1)).filter(|seq| *seq <= with.last)
            }
            Self::Some(seqs, _) => seqs.front().copied(),
        };
        first.filter(|seq| *seq <= part.end)
    }
}

pub(super) async fn chosen(
    tx: &mut Tx,
    wanted: &Wanted,
    about: &About,
    size: u64,
) -> Result<(Scope, Choice), DeedError> {
    let (scope, subject) = match about {
        About::Team => return of_team(tx, &wanted.filter, size).await,
        About::Item(item, beside) => {
            let ropes = item.whole_ropes().iter().map(|rope| rope.item.0);
            let beside = ropes.chain(beside.ids());
            let scope = Scope::Item {
                ids: std::iter::once(item.id.0).chain(beside).collect(),
                mark: item.mark.clone(),
            };
            (scope, item.id.0)
        }
        About::Job(job) => {
            let scope = Scope::Job {
                id: job.id.0,
                title: job.title.clone(),
            };
            (scope, job.id.0)
        }
    };
    let filter = EntryFilter {
        subject: Some(subject),
        ..EntryFilter::default()
    };
    let filter = in_line(&filter, about);
    let mut span = Span {
        first: 1,
        last: size,
    };
    let mut all = VecDeque::new();
    loop {
        let seqs = tx.seqs(&filter, span, SEQS).await?;
        let Some(last) = seqs.last() else { break };
        span = span.beyond(*last, Direction::Up);
        all.extend(seqs);
    }
    Ok((scope, Choice::Some(all, filter)))
}

/// The team's whole record, or what was recorded in a time of it.
async fn of_team(
    tx: &mut Tx,
    moments: &EntryFilter,
    size: u64,
) -> Result<(Scope, Choice), DeedError> {
    let utc = |at: OffsetDateTime| at.to_offset(UtcOffset::UTC);
    let filter = EntryFilter {
        from: moments.from.map(utc),
        before: moments.before.map(utc),
        ..EntryFilter::default()
    };
    let mut of = tx.entry_span(&filter).await?;
    if filter == EntryFilter::default() {
        return Ok((Scope::Team {}, Choice::Span { of, with: of }));
    }
    if of.is_empty() {
        // Of a time without entries it is told between which two it lies.
        let until = EntryFilter {
            before: filter.from,
            ..EntryFilter::default()
        };
        let last = match filter.from {
            Some(_) => tx.entry_span(&until).await?.last,
            None => 0,
        };
        of = Span {
            first: last + 1,
            last,
        };
    }
    let with = Span {
        first: of.first.saturating_sub(1).max(1),
        last: (of.last + 1).min(size),
    };
    let scope = Scope::Time {
        from: filter.from,
        before: filter.before,
        first: of.first,
        last: of.last,
    };
    Ok((scope, Choice::Span { of, with }))
}
