//! The states an item can be in, and the steps between them.

use serde::{Deserialize, Serialize};
use time::{OffsetDateTime, format_description::well_known::Rfc3339};

use super::{
    Event, EventHold, Examination, ExaminationKind, Item, ItemStepped, KitReturn, LONGEST_NOTE,
    LookAsked, NotAllowed, Outcome, RetiredFor, Retirement, ReturnAsked, Usage, UseShown, Verdict,
    Zone,
};

/// The state an item is in. Due, overdue and past life are derived, never kept.
#[derive(
    Clone,
    Copy,
    Debug,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    utoipa::ToSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum ItemState {
    /// May be chosen, if nothing else speaks against it.
    InService,
    /// Out of use until somebody decides.
    Quarantined,
    /// Nobody knows where it is.
    Missing,
    /// Out of use for good.
    Retired,
}

/// A step between states.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ItemStep {
    /// Take it out of use until somebody decides; a missing item that was found goes here too.
    Quarantine,
    /// Back from quarantine.
    ReturnToService,
    /// Nobody knows where it is.
    ReportMissing,
    /// Out of use for good.
    Retire,
}

impl ItemState {
    /// All states.
    pub const ALL: [Self; 4] = [
        Self::InService,
        Self::Quarantined,
        Self::Missing,
        Self::Retired,
    ];

    /// The word for programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::InService => "in-service",
            Self::Quarantined => "quarantined",
            Self::Missing => "missing",
            Self::Retired => "retired",
        }
    }

    /// The word for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::InService => "in service",
            other => other.key(),
        }
    }

    /// Whether it is out of use and may come back.
    pub const fn is_aside(self) -> bool {
        matches!(self, Self::Quarantined | Self::Missing)
    }

    /// Reads the word for programs.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|state| state.key() == key)
    }

    /// The state after a step.
    ///
    /// # Errors
    /// [`NotAllowed`] where the step is not open in this state.
    pub fn after(self, step: ItemStep) -> Result<Self, NotAllowed> {
        match (self, step) {
            (Self::Retired, _) => Err(NotAllowed::Retired),
            (Self::InService | Self::Missing, ItemStep::Quarantine) => Ok(Self::Quarantined),
            (Self::Quarantined, ItemStep::Quarantine) => Err(NotAllowed::AlreadyQuarantined),
            (Self::Quarantined, ItemStep::ReturnToService) => Ok(Self::InService),
            (Self::InService, ItemStep::ReturnToService) => Err(NotAllowed::AlreadyInService),
            (Self::Missing, ItemStep::ReturnToService) => Err(NotAllowed::FoundGoesToQuarantine),
            (Self::Missing, ItemStep::ReportMissing) => Err(NotAllowed::AlreadyMissing),
            (_, ItemStep::ReportMissing) => Ok(Self::Missing),
            (_, ItemStep::Retire) => Ok(Self::Retired),
        }
    }

    /// The state after an examination with this verdict.
    ///
    /// Whoever examines has the item in hand, so a missing one is found by it.
    ///
    /// # Errors
    /// [`NotAllowed`] for a retired item.
    pub fn examined(self, verdict: Verdict) -> Result<Self, NotAllowed> {
        match (self, verdict) {
            (Self::Retired, _) => Err(NotAllowed::Retired),
            (_, Verdict::Fit) => Ok(Self::InService),
            (_, Verdict::Quarantine) => Ok(Self::Quarantined),
            (_, Verdict::Retire) => Ok(Self::Retired),
        }
    }
}

impl ItemStep {
    /// All steps.
    pub const ALL: [Self; 4] = [
        Self::Quarantine,
        Self::ReturnToService,
        Self::ReportMissing,
        Self::Retire,
    ];

    /// The word for programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::Quarantine => "quarantine",
            Self::ReturnToService => "return-to-service",
            Self::ReportMissing => "report-missing",
            Self::Retire => "retire",
        }
    }

    /// The words for a button.
    pub fn word(self) -> &'static str {
        match self {
            Self::Quarantine => "Put in quarantine",
            Self::ReturnToService => "Return to service",
            Self::ReportMissing => "Report missing",
            Self::Retire => "Retire for good",
        }
    }

    /// Reads the word for programs.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|step| step.key() == key)
    }
}

impl Item {
    /// The state after a step.
    ///
    /// # Errors
    /// [`NotAllowed`] where the step is not open: among others a return from a hold for an event that no after-event
    /// examination has answered.
    pub fn may(&self, step: ItemStep) -> Result<ItemState, NotAllowed> {
        let after = self.state.after(step)?;
        if after == ItemState::InService && self.event_hold.is_some_and(|hold| !hold.examined) {
            return Err(NotAllowed::EventNotExamined);
        }
        Ok(after)
    }

    /// The item after a step that was recorded at `at`.
    ///
    /// # Errors
    /// [`NotAllowed`] where the step is not open.
    pub fn stepped(
        mut self,
        stepped: &ItemStepped,
        at: OffsetDateTime,
    ) -> Result<Self, NotAllowed> {
        self.state = self.may(stepped.step)?;
        if self.state == ItemState::InService {
            self.event_hold = None;
        }
        if matches!(self.state, ItemState::InService | ItemState::Retired) {
            // A competent person decided.
            self.look_asked = None;
        }
        if self.state == ItemState::Retired {
            let because = stepped.retired_for.unwrap_or(RetiredFor::NotSaid);
            self.retired = Some(Retirement {
                on: stepped.on,
                because,
            });
        }
        self.changed(&stepped.reason, at);
        Ok(self)
    }

    /// The item after an examination that was recorded at `at`.
    ///
    /// A look that is not thorough changes the state if its verdict is bad, and no date. Either tells whether the
    /// markings can be read. `zone` is the team's, and says
    /// on which day the item was put aside.
    ///
    /// # Errors
    /// [`NotAllowed`] for a retired item.
    pub fn examined(
        mut self,
        examination: &Examination,
        at: OffsetDateTime,
        zone: &Zone,
    ) -> Result<Self, NotAllowed> {
        let after = self.state.examined(examination.verdict)?;
        self = self.with_use_shown(UseShown::of_look(examination));
        let thorough = examination.kind.is_thorough();
        let newest = self
            .last_passed_on
            .is_none_or(|last| examination.on >= last);
        if newest && examination.markings_readable.is_some() {
            // Who did not look at the markings leaves what was known of them.
            self.markings_readable = examination.markings_readable;
        }
        if newest && let Some(length) = examination.length_now {
            self.attributes.shorten(length);
        }
        if examination.verdict == Verdict::Fit && thorough && newest {
            self.last_passed_on = Some(examination.on);
            self.next_due_on = examination.next_due_on;
        }
        self.answer_event(examination);
        let asked = self.look_asked.as_ref();
        if thorough && asked.is_some_and(|asked| examination.on >= asked.on) {
            self.look_asked = None;
        }
        let since = zone.day(self.state_since);
        let brings_back = thorough
            && examination.on >= since
            && examination.outdone_by.is_none()
            && self.event_hold.is_none();
        if examination.return_waits && brings_back && self.state == ItemState::Quarantined {
            return self.asked_back(&ReturnAsked::by_look(examination));
        }
        if examination.verdict == Verdict::Fit && self.state != ItemState::InService && !brings_back
        {
            // A quick look, or a look from before it was put aside, does not bring an item back.
            self.revision += 1;
            return Ok(self);
        }
        if after == self.state {
            if examination.verdict != Verdict::Fit {
                // Whoever asked for its return did not know of this.
                self.return_asked = None;
            }
            self.revision += 1;
        } else {
            self.state = after;
            self.retired = (after == ItemState::Retired).then_some(Retirement {
                on: examination.on,
                because: RetiredFor::Examination,
            });
            self.changed(&reason(examination), at);
        }
        Ok(self)
    }

    /// Notes that an after-event examination found it fit: then somebody may return it.
    fn answer_event(&mut self, examination: &Examination) {
        let answers = examination.kind == ExaminationKind::AfterEvent
            && examination.verdict == Verdict::Fit
            && examination.outdone_by.is_none();
        if let Some(hold) = &mut self.event_hold
            && answers
            && examination.on >= hold.since
        {
            hold.examined = true;
        }
    }

    /// The item after an event: held back or retired as the event's rule says, unless it is out for good already.
    #[must_use]
    pub fn after_event(mut self, event: &Event, at: OffsetDateTime) -> Self {
        if self.state == ItemState::Retired {
            return self;
        }
        let outcome = event.follows.as_ref().map(|follows| follows.outcome);
        let reason = format!("{}: {}", event.kind.word(), event.note);
        if outcome == Some(Outcome::Retire) {
            self.state = ItemState::Retired;
            self.retired = Some(Retirement {
                on: event.on,
                because: RetiredFor::Event,
            });
            self.changed(&reason, at);
            return self;
        }
        if outcome.is_some() {
            let since = self
                .event_hold
                .map_or(event.on, |hold| hold.since.max(event.on));
            self.event_hold = Some(EventHold {
                since,
                examined: false,
            });
        }
        match self.state {
            ItemState::InService => {
                self.state = ItemState::Quarantined;
                self.changed(&reason, at);
            }
            _ if outcome.is_some() || self.return_asked.is_some() => self.revision += 1,
            _ => {}
        }
        // Whoever asked for its return did not know of this.
        self.return_asked = None;
        self
    }

    /// The item after use that was logged; its state stays.
    #[must_use]
    pub fn after_use(mut self, usage: &Usage) -> Self {
        self.usage = self.usage.plus(usage.amount);
        self.revision += 1;
        self.with_use_shown(Some(UseShown::of_use(usage)))
    }

    /// The item after whoever counted it back asked for a look at it; its state stays.
    #[must_use]
    pub fn look_asked_by(mut self, count: &KitReturn, note: &str) -> Self {
        self.look_asked = Some(LookAsked {
            job: count.job,
            by: count.by.person,
            on: count.on,
            note: note.to_owned(),
        });
        self.revision += 1;
        self
    }

    /// The item after its return from quarantine was asked for: it waits there for somebody else to confirm.
    ///
    /// # Errors
    /// [`NotAllowed`] where it is not in quarantine.
    pub fn asked_back(mut self, asked: &ReturnAsked) -> Result<Self, NotAllowed> {
        self.may(ItemStep::ReturnToService)?;
        self.return_asked = Some(asked.clone());
        self.revision += 1;
        Ok(self)
    }

    /// Whether it was out of service before, and is back now or waits for a second person alone.
    pub fn is_brought_back_from(&self, before: &Self) -> bool {
        before.state != ItemState::InService
            && (self.state == ItemState::InService
                || self.return_asked.is_some() && self.return_asked != before.return_asked)
    }

    /// Whether it is still in the state that somebody saw: `seen` is what [`Self::state_mark`] said then.
    pub fn is_as_seen(&self, seen: &str) -> bool {
        OffsetDateTime::parse(seen.trim(), &Rfc3339).is_ok_and(|at| at == self.state_since)
    }

    /// What tells its state from every other one that it was or will be in: the moment since which it is in it.
    pub fn state_mark(&self) -> String {
        self.state_since.format(&Rfc3339).unwrap_or_default()
    }

    pub(super) fn changed(&mut self, reason: &str, at: OffsetDateTime) {
        self.state_reason = reason.chars().take(LONGEST_NOTE).collect();
        self.state_since = at;
        self.return_asked = None;
        self.revision += 1;
    }
}

/// Why an examination changes the state.
pub(super) fn reason(examination: &Examination) -> String {
    let (kind, findings) = (examination.kind.key(), &examination.findings);
    format!("{kind} examination: {findings}")
}
