//! Rounds of examinations, half of them done.

use time::{Duration, OffsetDateTime};

use super::DemoError;
use super::agenda::{Look, Task};
use super::day::moment;
use super::play::Play;
use crate::domain::{
    Change, ExaminationKind, ForReportDraft, RoundDraft, RoundId, Verdict, date::write_day,
};

/// Notes when each round is planned, and when its items are looked at.
pub(super) fn plan(play: &mut Play<'_>) {
    for (at, line) in play.sheets.own.round.iter().enumerate() {
        let day = play.today - Duration::days(line.ago.into());
        play.agenda.add(moment(day, 16, 30), Task::PlanRound(at));
        let looked = play.today - Duration::days(line.examined_ago.into());
        for (minutes, mark) in (0_i64..).zip(&line.examined) {
            let look = Look {
                mark: mark.clone(),
                kind: ExaminationKind::Periodic,
                on: looked,
                verdict: Verdict::Fit,
                findings: String::new(),
                due: None,
                examiner: String::new(),
                report: ForReportDraft::default(),
            };
            let at = moment(looked, 17, minutes);
            play.agenda.add(at, Task::Examine(look));
        }
    }
}

impl Play<'_> {
    /// A round is planned for whoever keeps the register.
    pub(super) fn plan_round(&mut self, at: OffsetDateTime, round: usize) -> Result<(), DemoError> {
        let line = &self.sheets.own.round[round];
        let mut items = Vec::new();
        for mark in &line.items {
            items.push(self.item(mark)?.0.id.to_string());
        }
        let draft = RoundDraft {
            name: line.name.clone(),
            from: write_day(at.date()),
            to: write_day(at.date() + Duration::days(line.days.into())),
            examiner: self.people["officer"].name.clone(),
            items: items.join(","),
        };
        let round = draft
            .check(RoundId(self.stamp.next(at)), at.date())
            .map_err(|wrong| DemoError::at(&line.name, wrong))?;
        self.record(at, "officer", Change::RoundPlanned(round))
    }
}
