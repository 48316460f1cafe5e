//! The function check: what is looked at before a rig is loaded, signed by two different people.
//!
//! What is asked is data, every line with its source; which lines apply follows from what is on the rig. A signature
//! keeps the words that were signed, so that a later sheet changes no past.

use std::{collections::BTreeMap, sync::LazyLock};

use serde::{Deserialize, Serialize};
use time::OffsetDateTime;

use super::{
    Cited, FieldErrors, FunctionCheckId, Issue, IssueId, ItemId, JobId, Kind, Names, Signer, Told,
    Which, Zone, counted, read_moment,
};

/// One line: what is asked, what to do where it is not right, and where that is from.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct FunctionAsk {
    /// Its key, which keeps its meaning.
    pub key: String,
    /// What is looked at, as it is when it is right.
    pub asks: String,
    /// What to do where it is not.
    pub not_right: String,
    /// The kinds of gear in the rig that call for it, any of them; none is every rig.
    #[serde(default)]
    #[schema(value_type = Vec<String>)]
    pub kinds: Vec<Kind>,
    /// Only where progress capture is in the rig.
    #[serde(default)]
    pub captures: bool,
    /// Only where a second rope catches the load.
    #[serde(default)]
    pub belayed: bool,
    /// Of a rig with a second rope, only where that stands alone, or only where it shares something with the main rope.
    #[serde(default)]
    pub belay: Option<BelayAsked>,
    /// Where it is from.
    pub from: Cited,
}

/// Which belay calls for a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, Serialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum BelayAsked {
    /// One that shares nothing with the main rope.
    Apart,
    /// One that shares something with it, such as the head of a tripod.
    Shares,
}

impl FunctionAsk {
    fn applies(&self, issue: &Issue) -> bool {
        let shares = !issue.verdict.belay_shares.is_empty();
        let belay = match self.belay {
            None => true,
            Some(BelayAsked::Apart) => !shares,
            Some(BelayAsked::Shares) => shares,
        };
        let called = self.kinds.is_empty() || self.kinds.iter().any(|kind| issue.has_in_rig(*kind));
        called
            && (!self.captures || issue.verdict.captures)
            && (!self.belayed || issue.verdict.belayed)
            && belay
    }
}

/// The sheet that comes with the program.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FunctionSheet {
    /// Its edition.
    pub edition: u32,
    /// Its lines.
    pub check: Vec<FunctionAsk>,
}

/// The sheet, read once.
pub fn function_sheet() -> &'static FunctionSheet {
    static SHEET: LazyLock<FunctionSheet> = LazyLock::new(|| {
        toml::from_str(include_str!("function_check/sheet.toml"))
            .expect("a test reads the sheet that comes with the program")
    });
    &SHEET
}

/// What is asked of the rig of an issue.
pub fn function_asks(issue: &Issue) -> Vec<&'static FunctionAsk> {
    let lines = function_sheet().check.iter();
    lines.filter(|line| line.applies(issue)).collect()
}

/// A function check that one person signed: everything was right.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct FunctionCheck {
    /// Its id.
    pub id: FunctionCheckId,
    /// The job.
    pub job: JobId,
    /// The issue whose kit was rigged.
    pub issue: IssueId,
    /// The edition of the sheet.
    pub edition: u32,
    /// Who signed.
    pub by: Signer,
    /// Whose device it was signed on, where that was another's: the signer gave their sign-in name and password there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on_device_of: Option<Signer>,
    /// When it was done, which may be before it was recorded.
    #[serde(with = "time::serde::rfc3339")]
    pub at: OffsetDateTime,
    /// What was looked at and found right.
    pub looked: Vec<Looked>,
}

/// A line that was looked at and found right, in the words of that day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Looked {
    /// The line's key.
    pub key: String,
    /// What was asked.
    pub asks: String,
    /// Where it is from.
    pub from: Cited,
    /// What else was seen.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

impl FunctionCheck {
    /// That it was signed outside the time of the job, said plainly; nothing where it was within.
    pub fn outside(&self, issue: &Issue, zone: &Zone) -> Option<String> {
        let (from, until) = (issue.job.starts_at, issue.job.ends_at);
        if self.at < from {
            Some(format!(
                "signed before the job, which is planned from {}",
                zone.words(from)
            ))
        } else if self.at > until {
            Some(format!(
                "signed after the job, which is planned until {}",
                zone.words(until)
            ))
        } else {
            None
        }
    }

    /// That it was signed, in words.
    pub(super) fn told(&self, names: &Names) -> Told {
        let lines = counted(self.looked.len(), "line", "lines");
        Told::new(format!(
            "Function check of the job {} signed by {}: {lines}, all right",
            names.of(self.job.0),
            self.signer_words()
        ))
        .why(self.notes())
    }

    /// Who signed, and on whose device: "Ada Vell, on the device of Odo Brandt".
    pub fn signer_words(&self) -> String {
        match &self.on_device_of {
            None => self.by.name.clone(),
            Some(other) => format!("{}, on the device of {}", self.by.name, other.name),
        }
    }

    /// What was noted beside the lines.
    fn notes(&self) -> String {
        let noted = self.looked.iter().filter(|line| !line.note.is_empty());
        let noted: Vec<String> = noted
            .map(|line| format!("{}: {}", line.key, line.note))
            .collect();
        noted.join("; ")
    }
}

/// One list, signed by one person, or by a second one too.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SignedList<'a> {
    /// The first signature.
    pub first: &'a FunctionCheck,
    /// The second one, by somebody else.
    pub second: Option<&'a FunctionCheck>,
}

/// The first signature of a list that waits for its second one.
pub fn half_signed(checks: &[FunctionCheck]) -> Option<&FunctionCheck> {
    let last = signed_lists(checks).pop()?;
    last.second.is_none().then_some(last.first)
}

/// The lists of an issue in the order in which they were begun: each second signature ends one.
pub fn signed_lists(checks: &[FunctionCheck]) -> Vec<SignedList<'_>> {
    let pairs = checks.chunks(2);
    pairs
        .map(|pair| SignedList {
            first: &pair[0],
            second: pair.get(1),
        })
        .collect()
}

/// The answer to one line, as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct LookedDraft {
    /// `right` or `not-right`.
    pub answer: String,
    /// What else was seen.
    pub note: String,
}

/// A function check as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct FunctionCheckDraft {
    /// When it was done; empty is now.
    pub at: String,
    /// The answers by the keys of the lines.
    pub answers: BTreeMap<String, LookedDraft>,
}

/// For what a function check is signed, by whom and when.
pub struct Signing<'a> {
    /// Its id.
    pub id: FunctionCheckId,
    /// The issue.
    pub issue: &'a Issue,
    /// The signatures so far.
    pub before: &'a [FunctionCheck],
    /// What of the kit is not fit any more by its own record, with the reasons.
    pub since: &'a [(ItemId, Vec<String>)],
    /// Who signs.
    pub by: Signer,
    /// Whose device they sign on, where that is another's.
    pub on_device_of: Option<Signer>,
    /// Now.
    pub now: OffsetDateTime,
    /// On whose clocks a time without an offset is.
    pub zone: &'a Zone,
}

impl FunctionCheckDraft {
    /// The signature, where every line is right and the same person has not signed this list already.
    ///
    /// # Errors
    /// Every line without an answer, every line that is not right with what to do about it, and under `kit` every reason
    /// for which something in the kit is not fit any more.
    pub fn check(&self, signing: Signing<'_>) -> Result<FunctionCheck, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let at = self.moment(&signing, &mut wrong);
        let asks = function_asks(signing.issue);
        let looked = asks.iter().map(|line| self.looked(line, &mut wrong));
        let looked: Vec<Looked> = looked.collect();
        for key in self.answers.keys() {
            if !asks.iter().any(|line| line.key == *key) {
                let given: String = key.chars().take(40).collect();
                let words = format!("This rig is not asked \"{given}\". Open the list again.");
                wrong.add("answers", "choice", words);
            }
        }
        for (item, reasons) in signing.since {
            let mark = signing
                .issue
                .line_of(*item)
                .map_or("", |line| line.mark.as_str());
            for reason in reasons {
                wrong.add("kit", "unfit", format!("Not signed. {mark}: {reason}"));
            }
        }
        let first = half_signed(signing.before);
        if first.is_some_and(|first| first.by.person == signing.by.person) {
            let words = format!(
                "{} signed this list already. The second signature is somebody else's, who looks at everything again.",
                signing.by.name
            );
            wrong.add("answers", "same", words);
        }
        wrong.or(|| FunctionCheck {
            id: signing.id,
            job: signing.issue.job.id,
            issue: signing.issue.id,
            edition: function_sheet().edition,
            by: signing.by,
            on_device_of: signing.on_device_of,
            at: at.unwrap_or(signing.now),
            looked,
        })
    }

    fn moment(&self, signing: &Signing<'_>, wrong: &mut FieldErrors) -> Option<OffsetDateTime> {
        if self.at.trim().is_empty() {
            return None;
        }
        let at = read_moment(&self.at, signing.zone, Which::First);
        let at = wrong.keep("at", "date", at)?;
        if at > signing.now || at < signing.issue.at {
            let words = format!(
                "Write a time from the issue, {}, until now, {}; not {}.",
                signing.zone.words(signing.issue.at),
                signing.zone.words(signing.now),
                signing.zone.words(at)
            );
            wrong.add("at", "range", words);
        }
        Some(at)
    }

    fn looked(&self, line: &FunctionAsk, wrong: &mut FieldErrors) -> Looked {
        let given = self.answers.get(&line.key).cloned().unwrap_or_default();
        let field = format!("answers[{}][answer]", line.key);
        match given.answer.trim() {
            "right" => {}
            "not-right" => wrong.add(
                field,
                "not-right",
                format!("Not signed. {}", line.not_right),
            ),
            "" => wrong.add(field, "required", "Look, then answer right or not right."),
            other => {
                let other: String = other.chars().take(40).collect();
                let words = format!("Answer right or not right, not \"{other}\".");
                wrong.add(field, "choice", words);
            }
        }
        Looked {
            key: line.key.clone(),
            asks: line.asks.clone(),
            from: line.from.clone(),
            note: wrong.note(&format!("answers[{}][note]", line.key), &given.note),
        }
    }
}
