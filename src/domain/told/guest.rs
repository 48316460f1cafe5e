//! Who from outside was let in, and how much they read, in words.

use super::Told;
use crate::domain::{Change, GuestLink, GuestLinkEnd, GuestReads, counted, date::write_day};

/// A link for an outside auditor: made, withdrawn, or its reads taken up.
pub(super) fn told(change: &Change) -> Told {
    match change {
        Change::GuestLinkMade(link) => made(link),
        Change::GuestLinkWithdrawn(end) => withdrawn(end),
        Change::GuestReadsCounted(reads) => read(reads),
        other => Told::new(other.kind()),
    }
}

fn made(link: &GuestLink) -> Told {
    Told::new(format!(
        "Link for the outside auditor {} made, from {} until {}",
        link.who(),
        write_day(link.from),
        write_day(link.until)
    ))
    .why(link.reason.as_str())
}

fn withdrawn(end: &GuestLinkEnd) -> Told {
    Told::new(format!(
        "Link for the outside auditor {} withdrawn",
        end.name
    ))
    .why(end.withdrawn.reason.as_str())
}

fn read(reads: &GuestReads) -> Told {
    let count = counted(reads.reads, "read", "reads");
    Told::new(format!(
        "{count} by the link of the outside auditor {} taken up by the server",
        reads.name
    ))
    .why(format!("chain of the last {}", reads.chain))
}

/// Whom the link is for.
pub(super) fn about(change: &Change) -> Vec<String> {
    match change {
        Change::GuestLinkMade(link) => vec![link.name.clone()],
        Change::GuestLinkWithdrawn(end) => vec![end.name.clone()],
        Change::GuestReadsCounted(reads) => vec![reads.name.clone()],
        _ => Vec::new(),
    }
}
