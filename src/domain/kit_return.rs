//! A kit counted back: what became of each item, and how it was used, told once for the whole job.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use time::{Date, OffsetDateTime};
use uuid::Uuid;

use super::date::iso;
use super::item::past_day;
use super::{
    FieldErrors, Issue, IssueId, IssuedLine, ItemId, JobId, Names, PersonId, ReturnId, Signer,
    Told, UsageSums, typed_amount,
};

/// How an item came back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Condition {
    /// Back and fine.
    Fine,
    /// Back, and somebody competent is to look at it before it goes out again.
    LookAt,
    /// Back and damaged: it goes to quarantine.
    Damaged,
    /// Not back, and nobody knows where it is.
    Missing,
}

impl Condition {
    /// Every condition, in the order in which they are offered.
    pub const ALL: [Self; 4] = [Self::Fine, Self::LookAt, Self::Damaged, Self::Missing];

    /// The word for programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::Fine => "fine",
            Self::LookAt => "look-at",
            Self::Damaged => "damaged",
            Self::Missing => "missing",
        }
    }

    /// The words for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::LookAt => "to be looked at",
            other => other.key(),
        }
    }

    /// Reads the word for programs.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.key() == key.trim())
    }
}

/// Items of an issue, counted back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct KitReturn {
    /// Its id.
    pub id: ReturnId,
    /// The job.
    pub job: JobId,
    /// The issue.
    pub issue: IssueId,
    /// Who counted.
    pub by: Signer,
    /// When.
    #[serde(with = "time::serde::rfc3339")]
    pub at: OffsetDateTime,
    /// The day of the use that is logged with it.
    #[serde(with = "iso")]
    pub on: Date,
    /// What was counted, in the order of the issue.
    pub lines: Vec<ReturnedLine>,
    /// What else is known of the whole.
    pub note: String,
}

/// An item that was counted back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct ReturnedLine {
    /// The item.
    pub item: ItemId,
    /// How it came back.
    pub condition: Condition,
    /// What was seen.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// How much it was used.
    pub amount: UsageSums,
    /// Whether it was under water.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub water: bool,
    /// Whether it met a chemical.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub chemical: bool,
}

/// That whoever counted an item back wants it looked at.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct LookAsked {
    /// The job that it came back from.
    pub job: JobId,
    /// Who asked.
    pub by: PersonId,
    /// The day.
    #[serde(with = "iso")]
    pub on: Date,
    /// What was seen.
    pub note: String,
}

impl KitReturn {
    /// What was counted, in words.
    pub(super) fn told(&self, names: &Names) -> Told {
        let count = |condition: Condition| {
            let lines = self.lines.iter();
            let count = lines.filter(|line| line.condition == condition).count();
            (count > 0).then(|| format!("{count} {}", condition.word()))
        };
        let parts: Vec<String> = Condition::ALL.into_iter().filter_map(count).collect();
        let marked = self.lines.iter().filter(|line| !line.note.is_empty());
        let mut why: Vec<String> = marked
            .map(|line| format!("{}: {}", names.of(line.item.0), line.note))
            .collect();
        why.extend((!self.note.is_empty()).then(|| self.note.clone()));
        Told::new(format!(
            "Kit of the job {} counted back by {}: {}",
            names.of(self.job.0),
            self.by.name,
            parts.join(", ")
        ))
        .why(why.join("; "))
    }

    /// The job and every item that was counted.
    pub(super) fn subjects(&self) -> Vec<Uuid> {
        let items = self.lines.iter().map(|line| line.item.0);
        std::iter::once(self.job.0).chain(items).collect()
    }

    /// The title and every mark.
    pub(super) fn about(&self, names: &Names) -> Vec<String> {
        let subjects = self.subjects().into_iter();
        subjects.map(|id| names.of(id)).collect()
    }
}

/// One item as it is counted, as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct ReturnedLineDraft {
    /// `fine`, `look-at`, `damaged`, `missing`; empty is not counted yet.
    pub condition: String,
    /// What was seen.
    pub note: String,
    /// Hours, where they are not those of the whole kit.
    pub hours: String,
    /// Times used, where they are not those of the whole kit.
    pub uses: String,
    /// Loads carried, where they are not those of the whole kit.
    pub loads: String,
    /// `yes` or `no`, where it is not with it as with the whole kit.
    pub water: String,
    /// `yes` or `no`, where it is not with it as with the whole kit.
    pub chemical: String,
}

/// A count as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct KitReturnDraft {
    /// The day of the use; empty is today.
    pub on: String,
    /// Hours of use of the whole kit, such as `2.5` or `2:30`.
    pub hours: String,
    /// Times that it was used.
    pub uses: String,
    /// Loads that it carried.
    pub loads: String,
    /// `yes` if all of it was under water.
    pub water: String,
    /// `yes` if all of it met a chemical.
    pub chemical: String,
    /// What else is known; which chemical it was.
    pub note: String,
    /// Codes, marks or serials of what is back and fine, one a line.
    pub scanned: String,
    /// `fine` where what has no answer is back and fine; empty where it is not counted yet.
    pub rest: String,
    /// The items by their ids.
    pub lines: BTreeMap<String, ReturnedLineDraft>,
}

/// What a count is of, by whom and when.
pub struct Counting<'a> {
    /// Its id.
    pub id: ReturnId,
    /// The issue.
    pub issue: &'a Issue,
    /// What of it is with the crew still.
    pub out: &'a [ItemId],
    /// What was scanned as back and fine.
    pub scanned: &'a [ItemId],
    /// Who counts.
    pub by: Signer,
    /// Now.
    pub now: OffsetDateTime,
    /// Today.
    pub today: Date,
}

/// What holds for the whole kit.
struct Whole {
    amount: UsageSums,
    water: bool,
    chemical: bool,
}

impl KitReturnDraft {
    /// What was scanned, line by line.
    pub fn codes(&self) -> impl Iterator<Item = &str> {
        let lines = self.scanned.lines().map(str::trim);
        lines.filter(|line| !line.is_empty())
    }

    /// The count that was typed in.
    ///
    /// # Errors
    /// Every field that does not hold, and where nothing was counted.
    pub fn check(&self, counting: Counting<'_>) -> Result<KitReturn, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let on = match self.on.trim() {
            "" => Some(counting.today),
            text => past_day(&mut wrong, "on", text, counting.today),
        };
        let note = wrong.note("note", &self.note);
        let whole = self.whole(&mut wrong);
        if !matches!(self.rest.trim(), "" | "fine") {
            let words = "Choose whether what has no answer is back and fine, or not counted yet.";
            wrong.add("rest", "choice", words);
        }
        self.strangers(&counting, &mut wrong);
        let there = counting.issue.lines.iter();
        let there = there.filter(|line| counting.out.contains(&line.item));
        let lines = there.filter_map(|line| self.line(line, &counting, &whole, &mut wrong));
        let lines: Vec<ReturnedLine> = lines.collect();
        if lines.is_empty() && wrong.is_empty() {
            let words = "Nothing was counted: answer for an item, scan it, or say that the rest is back and fine.";
            wrong.add("scanned", "required", words);
        }
        if lines
            .iter()
            .any(|line| line.chemical && line.note.is_empty())
            && note.is_empty()
        {
            let words = "Write which chemical it was, as exactly as it is known.";
            wrong.add("note", "required", words);
        }
        match on {
            Some(on) if wrong.is_empty() => Ok(KitReturn {
                id: counting.id,
                job: counting.issue.job.id,
                issue: counting.issue.id,
                by: counting.by,
                at: counting.now,
                on,
                lines,
                note,
            }),
            _ => Err(wrong),
        }
    }

    fn whole(&self, wrong: &mut FieldErrors) -> Whole {
        let typed = [&self.hours, &self.uses, &self.loads];
        if typed.iter().all(|text| text.trim().is_empty()) {
            let words =
                "Write at least one of hours, times used and loads; 0 where it was not used.";
            wrong.add("hours", "required", words);
        }
        Whole {
            amount: typed_amount(wrong, str::to_owned, typed.map(String::as_str)),
            water: yes(wrong, "water", &self.water).unwrap_or(false),
            chemical: yes(wrong, "chemical", &self.chemical).unwrap_or(false),
        }
    }

    /// Answers for what is not out with this issue.
    fn strangers(&self, counting: &Counting<'_>, wrong: &mut FieldErrors) {
        for (key, line) in &self.lines {
            let known = key.parse().is_ok_and(|id| counting.out.contains(&id));
            if !known && !line.condition.trim().is_empty() {
                let given: String = key.chars().take(40).collect();
                let mark = key.parse().ok().and_then(|id| counting.issue.line_of(id));
                let words = match mark {
                    Some(line) => format!("{} is counted already.", line.mark),
                    None => format!("\"{given}\" did not go along with this issue."),
                };
                wrong.add(format!("lines[{given}][condition]"), "choice", words);
            }
        }
    }

    fn line(
        &self,
        line: &IssuedLine,
        counting: &Counting<'_>,
        whole: &Whole,
        wrong: &mut FieldErrors,
    ) -> Option<ReturnedLine> {
        let nothing = ReturnedLineDraft::default();
        let draft = self.lines.get(&line.item.to_string()).unwrap_or(&nothing);
        let field = |name: &str| format!("lines[{}][{name}]", line.item);
        let scanned = counting.scanned.contains(&line.item);
        let condition = match draft.condition.trim() {
            "" if scanned || self.rest.trim() == "fine" => Condition::Fine,
            "" => return None,
            text => {
                let read = Condition::from_key(text);
                if read.is_none() {
                    let given: String = text.chars().take(40).collect();
                    let words = format!("Choose how it came back, not \"{given}\".");
                    wrong.add(field("condition"), "choice", words);
                }
                read?
            }
        };
        let note = wrong.note(&field("note"), &draft.note);
        if matches!(condition, Condition::LookAt | Condition::Damaged) && note.is_empty() {
            let words = format!("Write what was seen on {}.", line.mark);
            wrong.add(field("note"), "required", words);
        }
        let own = [&draft.hours, &draft.uses, &draft.loads].map(|text| text.trim());
        let typed = typed_amount(wrong, field, own);
        let own_or = |text: &str, own: u32, whole: u32| if text.is_empty() { whole } else { own };
        Some(ReturnedLine {
            item: line.item,
            condition,
            note,
            amount: UsageSums {
                minutes: own_or(own[0], typed.minutes, whole.amount.minutes),
                uses: own_or(own[1], typed.uses, whole.amount.uses),
                loads: own_or(own[2], typed.loads, whole.amount.loads),
                falls: 0,
            },
            water: yes(wrong, &field("water"), &draft.water).unwrap_or(whole.water),
            chemical: yes(wrong, &field("chemical"), &draft.chemical).unwrap_or(whole.chemical),
        })
    }
}

/// Reads yes or no; an empty text is neither.
fn yes(wrong: &mut FieldErrors, field: &str, text: &str) -> Option<bool> {
    match text.trim() {
        "" => None,
        "yes" => Some(true),
        "no" => Some(false),
        other => {
            let given: String = other.chars().take(40).collect();
            wrong.add(
                field,
                "choice",
                format!("Choose yes or no, not \"{given}\"."),
            );
            None
        }
    }
}
