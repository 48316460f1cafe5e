//! What can be taken along as rows.

use std::borrow::Cow;

use time::OffsetDateTime;

use super::super::{
    history::Of,
    then::{FACTS, PLACE, PastOf},
};
use crate::{
    domain::{
        Deed, GuestLinkId, ItemId, Kind, NoticeId, Split,
        question::{Question, QuestionDraft},
        ready::ReadinessDraft,
        trend::PeriodDraft,
    },
    export::{self, Column},
    store::{Direction, EntryFilter, ItemFilter, ItemSort, JobFilter, ModelFilter, RetiredFilter},
};

/// What is written.
#[derive(Clone, Debug)]
pub enum Wanted {
    /// A history, narrowed.
    History(Of, EntryFilter),
    /// The register, as a list shows it.
    Items(ItemFilter, (ItemSort, Direction)),
    /// What makers sell, as a list shows it.
    Models(ModelFilter),
    /// The examinations that were recorded in some time.
    Examinations(During),
    /// The jobs of some time with their kit.
    Jobs(During),
    /// The items that were refused for a job in some time, with the reasons.
    Refusals(During),
    /// Who had what a safety notice covers.
    Holders(NoticeId),
    /// What was read by a link of an outside auditor.
    Reads(GuestLinkId),
    /// The answer to a question.
    Answer(Question, Box<QuestionDraft>),
    /// What falls due and whose life ends, by weeks and months.
    Due(Split),
    /// Items by age, of one kind or of all.
    Ages(Option<Kind>),
    /// What ends in the months ahead, of one kind or of all.
    Ahead(Option<Kind>),
    /// What failed in some time, by lot.
    Failures(PeriodDraft),
    /// What was retired, by year.
    Retired(RetiredFilter),
    /// How many complete sets could go out.
    Sets(Box<ReadinessDraft>),
    /// What was measured of an item.
    Measurements(ItemId),
    /// What a record was on a day, as it is typed.
    Then(PastOf, String),
}

/// From one moment until before another; what is none is open.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct During {
    /// The first moment.
    pub from: Option<OffsetDateTime>,
    /// The first that is no longer in it.
    pub before: Option<OffsetDateTime>,
}

/// What a file is about.
#[derive(Clone, Debug)]
pub(super) struct About {
    /// A plain word for the file's name.
    pub word: Cow<'static, str>,
    /// What it is called on top of a page.
    pub title: String,
    /// What is said below that.
    pub told: Vec<String>,
    /// Its columns.
    pub columns: Vec<Column>,
}

impl Wanted {
    pub(super) fn about(&self) -> About {
        let (word, title, columns): (&'static str, _, &[Column]) = match self {
            Self::History(of, _) => return of_history(*of),
            Self::Answer(question, draft) => return of_question(*question, draft),
            Self::Then(of, _) => return of_past(of),
            Self::Items(..) => ("items", "Register of items", &export::item::COLUMNS),
            Self::Models(_) => ("models", "Models", &export::model::COLUMNS),
            Self::Examinations(_) => {
                let columns = &export::examination::COLUMNS;
                ("examinations", "Examinations", columns)
            }
            Self::Jobs(_) => ("jobs", "Jobs with their kit", &export::job::COLUMNS),
            Self::Refusals(_) => {
                let columns = &export::refusal::COLUMNS;
                ("refusals", "Items refused for jobs", columns)
            }
            Self::Holders(_) => {
                let title = "Who had what a notice covers";
                ("notice-holders", title, &export::holder::COLUMNS)
            }
            Self::Reads(_) => {
                let title = "What an outside auditor read";
                ("reads", title, &export::guest::COLUMNS)
            }
            Self::Due(_) => ("due", "What falls due", &export::board::COLUMNS),
            Self::Ages(_) => ("ages", "Age of the fleet", &export::trend::AGES),
            Self::Ahead(_) => ("ends-ahead", "What ends ahead", &export::trend::AHEAD),
            Self::Failures(_) => ("failures", "What failed", &export::trend::FAILURES),
            Self::Retired(_) => ("retired", "What was retired", &export::trend::RETIRED),
            Self::Sets(_) => {
                let columns = &export::readiness::COLUMNS;
                ("complete-sets", "Complete sets", columns)
            }
            Self::Measurements(_) => {
                let columns = &export::course::COLUMNS;
                ("measurements", "What was measured", columns)
            }
        };
        let mut about = About::new(word, title, columns.to_vec());
        if let Self::Items(filter, _) = self
            && filter.without_retired
        {
            about.told.push("Without what is retired.".to_owned());
        }
        about
    }

    /// What one must be allowed to do beside exporting.
    pub(super) fn needs(&self) -> Deed {
        match self {
            Self::Reads(_) => Deed::SeeReads,
            _ => Deed::Export,
        }
    }

    /// Which entries it is made from, if it is made from the ledger.
    pub(super) fn entries(&self) -> Option<EntryFilter> {
        let of_kind = |kind, during: &During| EntryFilter {
            kind: Some(kind),
            from: during.from,
            before: during.before,
            ..EntryFilter::default()
        };
        match self {
            Self::History(_, filter) => Some(filter.clone()),
            Self::Examinations(during) => Some(of_kind("examination-recorded", during)),
            Self::Refusals(during) => Some(of_kind("item-refused", during)),
            _ => None,
        }
    }
}

impl About {
    fn new(word: &'static str, title: &str, columns: Vec<Column>) -> Self {
        Self {
            word: word.into(),
            title: title.to_owned(),
            told: Vec::new(),
            columns,
        }
    }
}

fn of_history(of: Of) -> About {
    let (word, title) = match of {
        Of::Team => ("history", "History of the team"),
        Of::Item(_) => ("item-history", "History of an item"),
        Of::Job(_) => ("job-history", "History of a job"),
    };
    About::new(word, title, export::history::COLUMNS.to_vec())
}

fn of_question(question: Question, draft: &QuestionDraft) -> About {
    let pairs = draft.pairs(question).into_iter();
    let said = pairs.filter(|(_, text)| !text.trim().is_empty());
    let said: Vec<String> = said
        .map(|(name, text)| format!("{name}: {}", text.trim()))
        .collect();
    let columns = export::question::columns(question.columns());
    let mut about = About::new(question.key(), question.title(), columns);
    about.told.push(question.asks().to_owned());
    if !said.is_empty() {
        about.told.push(format!("Asked with {}.", said.join("; ")));
    }
    about
}

fn of_past(of: &PastOf) -> About {
    let columns = match of {
        PastOf::Item(_) | PastOf::Job(_) => FACTS,
        PastOf::Store(_) => PLACE,
    };
    let columns = export::question::columns(columns);
    About::new("as-it-was", "As it was on a day", columns)
}

impl During {
    /// The jobs that take place in it, if only for a moment.
    pub(super) fn jobs(self) -> JobFilter {
        JobFilter {
            ends_after: self.from,
            starts_before: self.before,
            ..JobFilter::default()
        }
    }
}

impl From<EntryFilter> for During {
    fn from(filter: EntryFilter) -> Self {
        Self {
            from: filter.from,
            before: filter.before,
        }
    }
}
