//! A link by which an outside auditor gets in without an account, for some days, and what was read by it.
//!
//! Whoever holds the link's address is no person of the team: they read as an auditor, change nothing, and every read is
//! noted. The notes stand beside the ledger, each chained to the one before it by a hash; now and then the ledger takes
//! up how many there are and the hash of the last, so that none can be changed or taken out afterwards unseen.

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use time::{Date, Duration, OffsetDateTime};

use super::{
    FieldErrors, GuestLinkId, Hash, PersonId,
    date::{iso, read_day, write_day},
};

/// The most days that a link may last, from its first to its last.
pub const MOST_GUEST_DAYS: i64 = 90;
/// How many days ahead a link may begin.
const AHEAD: i64 = 366;

/// A link for an outside auditor.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct GuestLink {
    /// Its id.
    pub id: GuestLinkId,
    /// Whom it is for.
    pub name: String,
    /// The body or firm that they come from; may be empty.
    pub organisation: String,
    /// Why they are let in.
    pub reason: String,
    /// The first day on the team's clocks.
    #[serde(with = "iso")]
    #[schema(value_type = String)]
    pub from: Date,
    /// The last day, all of it.
    #[serde(with = "iso")]
    #[schema(value_type = String)]
    pub until: Date,
    /// Who made it.
    pub by: PersonId,
    /// When it was made.
    #[serde(with = "time::serde::rfc3339")]
    pub made_at: OffsetDateTime,
    /// That it was withdrawn.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub withdrawn: Option<GuestWithdrawal>,
}

/// By whom, when and why a link was withdrawn.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct GuestWithdrawal {
    /// Who did it.
    pub by: PersonId,
    /// When.
    #[serde(with = "time::serde::rfc3339")]
    pub at: OffsetDateTime,
    /// Why.
    pub reason: String,
}

/// That a link was withdrawn.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct GuestLinkEnd {
    /// Which.
    pub link: GuestLinkId,
    /// Whom it was for.
    pub name: String,
    /// How.
    #[serde(flatten)]
    pub withdrawn: GuestWithdrawal,
}

/// How much has been read by a link, and what holds it together.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct GuestReads {
    /// Which.
    pub link: GuestLinkId,
    /// Whom it is for.
    pub name: String,
    /// How many reads have been noted since the link was made.
    pub reads: u64,
    /// The chain of the last of them, in hexadecimal.
    pub chain: String,
}

/// How a link stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GuestStanding {
    /// Its first day is still to come.
    NotYet,
    /// It lets in.
    Open,
    /// Whoever made it may no longer sign in, so that it lets nobody in either.
    Shut,
    /// Its last day is over.
    Ended,
    /// Somebody withdrew it.
    Withdrawn,
}

impl GuestStanding {
    /// The word for programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::NotYet => "not-yet",
            Self::Open => "open",
            Self::Shut => "shut",
            Self::Ended => "ended",
            Self::Withdrawn => "withdrawn",
        }
    }

    /// Whether nothing will be read by it any more.
    pub fn is_over(self) -> bool {
        matches!(self, Self::Ended | Self::Withdrawn)
    }
}

impl GuestLink {
    /// Whom it is for, with where they come from: "Ada Brook of Lowland Surveys".
    pub fn who(&self) -> String {
        match self.organisation.as_str() {
            "" => self.name.clone(),
            organisation => format!("{} of {organisation}", self.name),
        }
    }

    /// How it stands on a day; `maker_active` says whether whoever made it may sign in.
    pub fn standing(&self, today: Date, maker_active: bool) -> GuestStanding {
        if self.withdrawn.is_some() {
            GuestStanding::Withdrawn
        } else if today > self.until {
            GuestStanding::Ended
        } else if !maker_active {
            GuestStanding::Shut
        } else if today < self.from {
            GuestStanding::NotYet
        } else {
            GuestStanding::Open
        }
    }

    /// Who stands on what is taken away by it; `maker` is the name of whoever made it.
    pub fn exporter(&self, maker: &str) -> String {
        format!("outside auditor: {} by the link of {maker}", self.who())
    }
}

/// A link as it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptGuest {
    /// The link.
    pub link: GuestLink,
    /// The name of whoever made it.
    pub maker: String,
    /// Whether they may still sign in.
    pub maker_active: bool,
    /// How many reads have been noted.
    pub reads: u64,
    /// The chain of the last of them; zeros before the first.
    pub chain: Hash,
    /// When it was read by last.
    pub last_read_at: Option<OffsetDateTime>,
    /// How many of the reads the ledger has taken up.
    pub counted: u64,
}

/// A link as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct GuestLinkDraft {
    /// Whom it is for.
    pub name: String,
    /// The body or firm that they come from; may be empty.
    pub organisation: String,
    /// Why they are let in.
    pub reason: String,
    /// The first day, such as 2026-03-01; empty is today.
    pub from: String,
    /// The last day, all of it.
    pub until: String,
}

impl GuestLinkDraft {
    /// The link that was typed in.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn check(
        &self,
        id: GuestLinkId,
        (by, made_at): (PersonId, OffsetDateTime),
        today: Date,
    ) -> Result<GuestLink, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let name = wrong.line("name", &self.name);
        let organisation = wrong.optional_line("organisation", &self.organisation);
        let reason = wrong.reason("reason", &self.reason);
        let from = self.first_day(today, &mut wrong);
        let until = self.last_day(today, from, &mut wrong);
        match until {
            Some(until) if wrong.is_empty() => Ok(GuestLink {
                id,
                name,
                organisation: organisation.unwrap_or_default(),
                reason,
                from,
                until,
                by,
                made_at,
                withdrawn: None,
            }),
            _ => Err(wrong),
        }
    }

    fn first_day(&self, today: Date, wrong: &mut FieldErrors) -> Date {
        if self.from.trim().is_empty() {
            return today;
        }
        let Some(from) = wrong.keep("from", "date", read_day(&self.from)) else {
            return today;
        };
        let last = today + Duration::days(AHEAD);
        if from < today || from > last {
            let sentence = format!(
                "A link begins today, {}, or on a day up to {}; {} was given.",
                write_day(today),
                write_day(last),
                write_day(from)
            );
            wrong.add("from", "range", sentence);
        }
        from
    }

    fn last_day(&self, today: Date, from: Date, wrong: &mut FieldErrors) -> Option<Date> {
        if self.until.trim().is_empty() {
            let sentence = format!(
                "Write the last day on which the link lets in; {MOST_GUEST_DAYS} days are the most."
            );
            wrong.add("until", "required", sentence);
            return None;
        }
        let until = wrong.keep("until", "date", read_day(&self.until))?;
        let first = from.max(today);
        let last = first + Duration::days(MOST_GUEST_DAYS - 1);
        if until < first || until > last {
            let sentence = format!(
                "A link that begins on {} lasts {MOST_GUEST_DAYS} days at most: its last day is from {} to {}; {} was \
                 given.",
                write_day(first),
                write_day(first),
                write_day(last),
                write_day(until)
            );
            wrong.add("until", "range", sentence);
        }
        Some(until)
    }
}

/// One read by a link: what was asked for, and what it was answered with.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct GuestRead {
    /// Its number among those of the link, from 1.
    pub number: u64,
    /// When.
    #[serde(with = "time::serde::rfc3339")]
    pub at: OffsetDateTime,
    /// The method.
    pub method: String,
    /// The address on this server, with what stands behind the question mark where it was answered.
    pub path: String,
    /// The status of the answer.
    pub status: u16,
    /// The name of the file that was taken away, where it was one.
    pub file: Option<String>,
}

/// The longest address that is noted; the rest of a longer one is cut off.
pub const LONGEST_ADDRESS: usize = 2000;

impl GuestRead {
    /// The hash that holds it to those before it: SHA-256 of the chain of the read before it, 32 zero bytes before the
    /// first, and of its canonical JSON (RFC 8785) with the members `at`, `file`, `method`, `number`, `path` and
    /// `status`.
    ///
    /// # Errors
    /// If JSON cannot say it.
    pub fn chain(&self, before: &Hash) -> Result<Hash, serde_json::Error> {
        let text = serde_json_canonicalizer::to_string(self)?;
        let hash = Sha256::new().chain_update(before).chain_update(text);
        Ok(hash.finalize().into())
    }
}

/// What came of holding the noted reads against each other and against the ledger.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HeldReads {
    /// How many reads are noted.
    pub reads: u64,
    /// The last entry of the ledger that took some up: its number and how many.
    pub taken_up: Option<(u64, u64)>,
    /// What does not agree; none where everything does.
    pub fault: Option<String>,
}
