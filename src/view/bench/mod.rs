//! The bench: what is set once for a tray, the scan, the item that is open, and the list that is worked through.

mod sample;
mod sheet;
mod show;

pub use sheet::{BenchSheet, Laid, Sheets};
pub use show::{Bench, BenchList, BenchRow, Chooser};

use super::form::{Choices, Form};
use crate::domain::{Competence, ExaminationKind, date::read_day};

/// What is set once for all items of a tray, as typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sitting {
    /// The kind of examination, by its key.
    pub look: String,
    /// The day on which it is done.
    pub on: String,
    /// Who looks; empty is whoever records it.
    pub examiner: String,
    /// Where.
    pub place: String,
}

impl Sitting {
    /// What stands behind the question mark.
    pub fn pairs(&self) -> [(&'static str, &str); 4] {
        [
            ("look", &self.look),
            ("on", &self.on),
            ("examiner", &self.examiner),
            ("place", &self.place),
        ]
    }

    /// Whether the whole list is looked at; what is no kind is thorough, so that nothing is hidden.
    pub fn is_thorough(&self) -> bool {
        ExaminationKind::from_key(&self.look).is_none_or(ExaminationKind::is_thorough)
    }

    /// In one line: "Periodic examination on 2026-03-01 by Ada Brook, in the workshop".
    fn words(&self) -> String {
        let kind = ExaminationKind::from_key(&self.look);
        let mut words = kind
            .map_or("No kind chosen", ExaminationKind::word)
            .to_owned();
        words = match self.on.trim() {
            "" => words,
            on => format!("{words} on {on}"),
        };
        words = match self.examiner.trim() {
            "" => words,
            examiner => format!("{words} by {examiner}"),
        };
        match self.place.trim() {
            "" => words,
            place => format!("{words}, {place}"),
        }
    }

    /// Whether a day is in this sitting: not before the one that is set.
    fn began_by(&self, day: time::Date) -> bool {
        read_day(&self.on).is_ok_and(|on| on <= day)
    }
}

/// Who may be named as the examiner: everybody who holds any qualification; of which kind and on which day is for the
/// record of each item to hold.
fn examiners(competence: &Competence, typed: &str) -> Choices {
    let all = competence.qualifications.iter();
    let mut names: Vec<&str> = all.map(|one| competence.name_of(one)).collect();
    names.sort_unstable();
    names.dedup();
    let mut who: Choices = vec![(String::new(), "I, who record it".to_owned())];
    who.extend(
        names
            .into_iter()
            .map(|name| (name.to_owned(), name.to_owned())),
    );
    super::attribute::keeping(who, typed)
}

/// The kinds of examination that a person may record.
fn kinds(may_thorough: bool, typed: &str) -> Choices {
    let kinds = ExaminationKind::ALL.into_iter();
    let kinds = kinds.filter(|kind| may_thorough || !kind.is_thorough());
    let kinds = kinds.map(|kind| (kind.key().to_owned(), kind.word().to_owned()));
    super::attribute::keeping(kinds.collect(), typed)
}

/// The fields of a sitting.
fn fields(
    form: &Form,
    sitting: &Sitting,
    (competence, may_thorough): (&Competence, bool),
) -> Vec<super::form::Field> {
    let examiner = if may_thorough {
        let who = examiners(competence, &sitting.examiner);
        form.choice("examiner", "Examiner", &sitting.examiner, who)
    } else {
        form.line("examiner", "Who looks", &sitting.examiner)
            .hint("By name; empty is you.")
    };
    vec![
        form.choice(
            "look",
            "Kind",
            &sitting.look,
            kinds(may_thorough, &sitting.look),
        ),
        form.typed("date", "on", "Day it is done", &sitting.on)
            .must(),
        examiner,
        form.line("place", "Where", &sitting.place)
            .hint("Such as the workshop; it stands in the record."),
    ]
}
