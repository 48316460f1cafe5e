//! A count as it is typed in.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use time::{Date, OffsetDateTime};

use super::{Condition, KitReturn, ReturnedLine};
use crate::domain::date::write_day;
use crate::domain::item::past_day;
use crate::domain::{
    FieldErrors, Issue, IssuedLine, ItemId, ReturnId, Signer, UsageSums, typed_amount,
};

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
    /// The day of the issue.
    pub issued_on: Date,
}

/// By how much more minutes of use may be told than lie between issue and count: a kit may be at work before somebody
/// writes down that it went.
const TO_SPARE: i64 = 120;

impl Counting<'_> {
    /// Refuses a day before the kit was out.
    fn since_issue(&self, on: Date, wrong: &mut FieldErrors) {
        if on < self.issued_on {
            let words = format!(
                "Write a day from that of the issue, {}, until today, {}; not {}.",
                write_day(self.issued_on),
                write_day(self.today),
                write_day(on)
            );
            wrong.add("on", "range", words);
        }
    }

    /// Refuses more use than there was time for.
    fn in_time(&self, field: &str, minutes: u32, wrong: &mut FieldErrors) {
        let out = (self.now - self.issue.at).whole_minutes().max(0);
        if i64::from(minutes) > out + TO_SPARE {
            let words = format!(
                "The kit was issued {} hours ago, and {} hours of use are more than that with {} to spare: write the hours of \
                 this issue alone. What an item was used before is logged on its page.",
                hours(out),
                hours(minutes.into()),
                hours(TO_SPARE)
            );
            wrong.add(field, "range", words);
        }
    }
}

/// Minutes as hours and minutes, as they may be typed: "2:30".
fn hours(minutes: i64) -> String {
    format!("{}:{:02}", minutes / 60, minutes % 60)
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
        if let Some(on) = on {
            counting.since_issue(on, &mut wrong);
        }
        let note = wrong.note("note", &self.note);
        let whole = self.whole(&mut wrong);
        counting.in_time("hours", whole.amount.minutes, &mut wrong);
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
        if scanned && condition != Condition::Fine {
            let words = format!(
                "{} was scanned as back and fine, and is answered for as {}: take its line out of what was scanned, or answer \
                 that it is fine.",
                line.mark,
                condition.word()
            );
            wrong.add(field("condition"), "contradiction", words);
        }
        let note = wrong.note(&field("note"), &draft.note);
        if matches!(condition, Condition::LookAt | Condition::Damaged) && note.is_empty() {
            let words = format!("Write what was seen on {}.", line.mark);
            wrong.add(field("note"), "required", words);
        }
        let own = [&draft.hours, &draft.uses, &draft.loads].map(|text| text.trim());
        let typed = typed_amount(wrong, field, own);
        counting.in_time(&field("hours"), typed.minutes, wrong);
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
