//! What the report of a thorough examination tells beside the findings and the verdict.
//!
//! What is asked stands in the Lifting Operations and Lifting Equipment Regulations 1998 (UK), Schedule 1 (published
//! law): in item 6 whether it is the first after installation or assembly at a new place, and whether it was then
//! installed rightly and is safe to operate; in item 8 which repair, renewal or alteration remedies a defect, whether a
//! defect is a danger to persons now or could become one by which time, and which tests were made.
//!
//! Nothing of it follows from a verdict: what nobody said is not recorded, and the report says so.

use serde::{Deserialize, Serialize};
use time::Date;

use crate::domain::{
    FieldErrors, Verdict,
    date::{in_reach, iso, read_day, write_day},
    key_of,
    rating::optional,
};

/// Whether it is the first examination after the gear was installed or assembled at a new place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum FirstThere {
    /// It is not.
    No,
    /// It is, and the gear was installed rightly and is safe to operate.
    YesSafe,
    /// It is, and the gear was not installed rightly, or is not safe to operate.
    YesNotSafe,
}

impl FirstThere {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::No, Self::YesSafe, Self::YesNotSafe];

    /// The word for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::No => "no",
            Self::YesSafe => "yes; it was installed rightly and is safe to operate",
            Self::YesNotSafe => "yes; it was not installed rightly, or is not safe to operate",
        }
    }
}

/// Whether a defect is a danger to persons.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Danger {
    /// No defect is or could become one.
    None,
    /// A defect is one now.
    Now,
    /// A defect is none yet and could become one by this day.
    By(#[serde(with = "iso")] Date),
}

impl Danger {
    /// The word for programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Now => "now",
            Self::By(_) => "by",
        }
    }

    /// The day by which it could become one, where it is none yet.
    pub fn by(self) -> Option<Date> {
        match self {
            Self::By(day) => Some(day),
            Self::None | Self::Now => None,
        }
    }

    /// The words for people.
    pub fn words(self) -> String {
        match self {
            Self::None => "no defect is or could become a danger to persons".to_owned(),
            Self::Now => "a defect is a danger to persons now".to_owned(),
            Self::By(day) => format!(
                "not yet; a defect could become a danger to persons by {}",
                write_day(day)
            ),
        }
    }
}

/// What the report of a thorough examination tells beside the findings and the verdict.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct ForReport {
    /// Whether it is the first after installation or assembly at a new place; none where nobody said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub first: Option<FirstThere>,
    /// Which repair, renewal or alteration a defect needs; empty where nobody said.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub repair: String,
    /// Whether a defect is a danger, `none`, `now` or `{"by": "2026-03-01"}`; none where nobody said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub danger: Option<Danger>,
    /// Which tests were made; empty where nobody said.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub tests: String,
}

impl ForReport {
    /// Whether nothing was said.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// The day by which a defect could become a danger.
    pub fn danger_by(&self) -> Option<Date> {
        self.danger.and_then(Danger::by)
    }
}

/// The same as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct ForReportDraft {
    /// Whether it is the first after installation or assembly at a new place: `no`; `yes-safe` where it was installed
    /// rightly and is safe to operate, `yes-not-safe` where not; empty where nobody said.
    pub first: String,
    /// Which repair, renewal or alteration a defect needs; may be empty.
    pub repair: String,
    /// Whether a defect is a danger to persons: `none`, `now`, `by` with the day in `danger_by`; empty where nobody
    /// said.
    pub danger: String,
    /// The day by which a defect could become a danger; only with `by`. The next examination is due by then at the latest.
    pub danger_by: String,
    /// Which tests were made; may be empty.
    pub tests: String,
}

/// What the statements are held against.
#[derive(Clone, Copy)]
pub(super) struct Beside {
    pub(super) thorough: bool,
    pub(super) verdict: Option<Verdict>,
    pub(super) on: Option<Date>,
    /// Whether the findings or the list say of anything what was seen.
    pub(super) has_words: bool,
}

impl ForReportDraft {
    /// Whether nothing was typed.
    pub fn is_empty(&self) -> bool {
        self.fields().iter().all(|(_, text)| text.trim().is_empty())
    }

    fn fields(&self) -> [(&'static str, &str); 5] {
        [
            ("first", &self.first),
            ("repair", &self.repair),
            ("danger", &self.danger),
            ("danger_by", &self.danger_by),
            ("tests", &self.tests),
        ]
    }

    /// What was typed.
    ///
    /// # Errors
    /// Every field that does not hold, also against the rest of the examination.
    pub(super) fn check(&self, beside: Beside) -> Result<ForReport, FieldErrors> {
        let mut wrong = FieldErrors::default();
        if !beside.thorough {
            for (field, text) in self.fields() {
                if !text.trim().is_empty() {
                    let sentence =
                        "Only the report of a thorough examination tells this; leave it empty.";
                    wrong.add(field, "choice", sentence);
                }
            }
        }
        let report = ForReport {
            first: self.first_there(beside.verdict, &mut wrong),
            repair: wrong.note("repair", &self.repair),
            danger: self.danger(beside.on, &mut wrong),
            tests: wrong.note("tests", &self.tests),
        };
        hold_danger(&report, beside, &mut wrong);
        wrong.or(|| report)
    }

    fn first_there(&self, verdict: Option<Verdict>, wrong: &mut FieldErrors) -> Option<FirstThere> {
        let typed = self.first.trim();
        if typed.is_empty() {
            return None;
        }
        let mut all = FirstThere::ALL.into_iter();
        let Some(first) = all.find(|one| key_of(*one) == typed) else {
            let sentence = format!(
                "Choose no, yes-safe or yes-not-safe, or leave it empty, not \"{}\".",
                cut(typed)
            );
            wrong.add("first", "choice", sentence);
            return None;
        };
        let fit = verdict.map(|verdict| verdict == Verdict::Fit);
        let against = match (first, fit) {
            (FirstThere::YesNotSafe, Some(true)) => {
                "not installed rightly or not safe to operate, and the verdict is fit"
            }
            (FirstThere::YesSafe, Some(false)) => {
                "safe to operate, and the verdict takes it out of use"
            }
            _ => return Some(first),
        };
        let sentence = format!("This says that it is {against}: one of them is wrong.");
        wrong.add("first", "verdict", sentence);
        None
    }

    fn danger(&self, on: Option<Date>, wrong: &mut FieldErrors) -> Option<Danger> {
        let by = optional(&self.danger_by, |text| {
            wrong.keep("danger_by", "date", read_day(text).and_then(in_reach))
        });
        let typed = self.danger.trim();
        if typed != "by" && !self.danger_by.trim().is_empty() {
            let sentence =
                "A day goes with a danger that is none yet: choose that, or leave the day empty.";
            wrong.add("danger_by", "choice", sentence);
        }
        match (typed, by) {
            ("", _) => None,
            ("none", _) => Some(Danger::None),
            ("now", _) => Some(Danger::Now),
            ("by", Some(by)) => {
                if let Some(on) = on.filter(|on| by <= *on) {
                    let sentence = format!(
                        "The day must be after that of the examination, {}, not {}; what is a danger by then is one now.",
                        write_day(on),
                        write_day(by)
                    );
                    wrong.add("danger_by", "range", sentence);
                }
                Some(Danger::By(by))
            }
            ("by", None) => {
                if self.danger_by.trim().is_empty() {
                    let sentence = "Write the day by which the defect could become a danger.";
                    wrong.add("danger_by", "required", sentence);
                }
                None
            }
            (other, _) => {
                let sentence = format!(
                    "Choose none, now or by, or leave it empty, not \"{}\".",
                    cut(other)
                );
                wrong.add("danger", "choice", sentence);
                None
            }
        }
    }
}

/// A danger now and "fit" exclude each other, and no danger is told without a word on what it is.
fn hold_danger(report: &ForReport, beside: Beside, wrong: &mut FieldErrors) {
    let Some(danger @ (Danger::Now | Danger::By(_))) = report.danger else {
        return;
    };
    if danger == Danger::Now && beside.verdict == Some(Verdict::Fit) {
        let sentence = "What is a danger to persons now is not fit: choose quarantine or retire as the verdict, or \
                        say that the danger is not there yet.";
        wrong.add("danger", "verdict", sentence);
    }
    if report.repair.is_empty() && !beside.has_words {
        let sentence = "Write which part has the defect and what it is, under findings, or what remedies it, under \
                        repair: a danger is not told without a word on it.";
        wrong.add("danger", "required", sentence);
    }
}

fn cut(text: &str) -> String {
    text.chars().take(60).collect()
}
