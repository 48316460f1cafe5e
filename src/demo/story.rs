//! What happens to single items and models, and the notices that come.

use time::{Date, Duration, OffsetDateTime};

use super::DemoError;
use super::agenda::{Look, Task};
use super::day::moment;
use super::picture::Picture;
use super::play::Play;
use super::sheet::{Act, What};
use crate::domain::date::write_day;
use crate::domain::{
    AttachmentDraft, AttachmentId, Change, CutDraft, CutId, EventDraft, EventId, EventKind,
    ExaminationKind, ItemId, ItemState, ItemStepped, Job, NoticeClosing, NoticeDraft, NoticeId,
    Usage, UsageDraft, UsageId, Verdict,
};

/// Notes when each thing happens.
pub(super) fn plan(play: &mut Play<'_>) {
    let sheet = &play.sheets.story;
    let mut note = |ago: u16, minutes: usize, task: Task| {
        let minutes = i64::try_from(minutes).unwrap_or_default();
        let day = before(play.today, ago);
        // After the routine examinations of the day.
        play.agenda.add(moment(day, 18, minutes), task);
    };
    for (at, story) in sheet.story.iter().enumerate() {
        for mark in &story.items {
            for act in &story.acts {
                let (mark, act) = (mark.clone(), Box::new(act.clone()));
                note(act.ago, at, Task::Act { mark, act });
            }
        }
    }
    for (at, revision) in sheet.revision.iter().enumerate() {
        note(revision.ago, at, Task::Revise(at));
    }
    for (notice, line) in sheet.notice.iter().enumerate() {
        note(line.ago.saturating_sub(1), 0, Task::OpenNotice(notice));
        for (closing, closed) in line.closed.iter().enumerate() {
            note(
                closed.ago,
                closing + 1,
                Task::CloseNotice { notice, closing },
            );
        }
    }
}

fn before(today: Date, days: u16) -> Date {
    today - Duration::days(days.into())
}

impl Play<'_> {
    /// One act of a story.
    pub(super) fn act(
        &mut self,
        at: OffsetDateTime,
        mark: &str,
        act: &Act,
    ) -> Result<(), DemoError> {
        match &act.what {
            What::Event(kind) => self.event(at, mark, *kind, act),
            What::Verdict(verdict) => self.verdict(at, mark, *verdict, act),
            What::Step(step) => {
                let (item, _) = self.item(mark)?;
                let stepped = ItemStepped {
                    item: item.id,
                    step: *step,
                    reason: act.text.clone(),
                    on: at.date(),
                    retired_for: act.retired_for,
                };
                let item = item
                    .clone()
                    .stepped(&stepped, at)
                    .map_err(|wrong| DemoError::at(mark, wrong))?;
                self.replace(item);
                self.record(at, &act.by, Change::ItemStepped(stepped))
            }
            What::Store(store) => self.move_to(at, mark, store, act),
            What::Cut(draft) => self.cut(at, mark, draft, act),
            What::Use(draft) => {
                // The first of several days stands in the table as how many days ago it was.
                let since = draft.since.parse().ok();
                let since = since.map(|ago| write_day(before(self.today, ago)));
                let draft = UsageDraft {
                    note: act.text.clone(),
                    since: since.unwrap_or_default(),
                    ..draft.clone()
                };
                self.log_use(at, mark, &draft, (act.by.as_str(), None))
            }
            What::Photo(picture) => self.photo(at, mark, *picture, act),
        }
    }

    fn event(
        &mut self,
        at: OffsetDateTime,
        mark: &str,
        kind: EventKind,
        act: &Act,
    ) -> Result<(), DemoError> {
        let (item, model) = self.item(mark)?;
        let (item, model) = (item.clone(), model.clone());
        let draft = EventDraft {
            kind: kind.key().to_owned(),
            on: write_day(at.date()),
            note: act.text.clone(),
        };
        let by = self.people.get(&act.by).map(|person| person.id);
        let by = by.ok_or_else(|| DemoError::at(mark, "nobody signs in like this"))?;
        let event = draft
            .check(EventId(self.stamp.next(at)), item.id, by, at.date())
            .map_err(|wrong| DemoError::at(mark, wrong))?
            .following(&model);
        self.replace(item.after_event(&event, at));
        let fall = (kind == EventKind::FallHeld).then(|| {
            let id = UsageId(self.stamp.next(at));
            Usage::of_fall(id, &event)
        });
        self.record(at, &act.by, Change::EventReported(event))?;
        match fall {
            Some(fall) => self.used(at, mark, &act.by, fall),
            None => Ok(()),
        }
    }

    /// Use of an item is logged.
    pub(super) fn log_use(
        &mut self,
        at: OffsetDateTime,
        mark: &str,
        draft: &UsageDraft,
        (by, job): (&str, Option<&Job>),
    ) -> Result<(), DemoError> {
        let (item, _) = self.item(mark)?;
        let item = item.id;
        let person = self.people.get(by).map(|person| person.id);
        let person = person.ok_or_else(|| DemoError::at(mark, "nobody signs in like this"))?;
        let id = UsageId(self.stamp.next(at));
        let usage = draft
            .check(id, item, (person, job), at.date())
            .map_err(|wrong| DemoError::at(mark, wrong))?;
        self.used(at, mark, by, usage)
    }

    fn used(
        &mut self,
        at: OffsetDateTime,
        mark: &str,
        by: &str,
        usage: Usage,
    ) -> Result<(), DemoError> {
        let (item, _) = self.item(mark)?;
        let item = item.clone().after_use(&usage);
        self.replace(item);
        self.record(at, by, Change::UsageLogged(usage))
    }

    /// A rope is cut; its pieces are looked at from then on when it would have been.
    fn cut(
        &mut self,
        at: OffsetDateTime,
        mark: &str,
        draft: &CutDraft,
        act: &Act,
    ) -> Result<(), DemoError> {
        let (rope, _) = self.item(mark)?;
        let rope = rope.clone();
        let draft = CutDraft {
            on: write_day(at.date()),
            reason: act.text.clone(),
            marked: "yes".to_owned(),
            ..draft.clone()
        };
        let mut cut = draft
            .check(CutId(self.stamp.next(at)), &rope, at.date())
            .map_err(|wrong| DemoError::at(mark, wrong))?;
        for (number, piece) in (1..).zip(&mut cut.pieces) {
            piece.id = ItemId(self.stamp.next(at));
            let serial = rope.serial.as_ref();
            piece.serial = serial.map(|serial| format!("{serial}/{number}"));
        }
        let seq = self.next_seq();
        let (rope, pieces) = rope
            .cut(&cut, seq, at)
            .map_err(|wrong| DemoError::at(mark, wrong))?;
        let model = self.items[mark].1.clone();
        self.replace(rope);
        for piece in pieces {
            let line = (piece, model.clone());
            self.items.insert(line.0.mark.clone(), line);
        }
        self.record(at, &act.by, Change::RopeCut(cut))
    }

    fn verdict(
        &mut self,
        at: OffsetDateTime,
        mark: &str,
        verdict: Verdict,
        act: &Act,
    ) -> Result<(), DemoError> {
        let (item, _) = self.item(mark)?;
        let kind = if item.state == ItemState::InService {
            ExaminationKind::Periodic
        } else {
            ExaminationKind::AfterEvent
        };
        let look = Look {
            mark: mark.to_owned(),
            kind,
            on: at.date(),
            verdict,
            findings: act.text.clone(),
            report: act.report.clone(),
            due: None,
            examiner: String::new(),
        };
        self.examine(at, &look)
    }

    /// A photo of what was found or of what happened, put on the record of it.
    fn photo(
        &mut self,
        at: OffsetDateTime,
        mark: &str,
        picture: Picture,
        act: &Act,
    ) -> Result<(), DemoError> {
        let item = self.item(mark)?.0.id;
        let to = self.last_of(item);
        let to = to.ok_or_else(|| DemoError::at(mark, "nobody has looked at it yet"))?;
        let by = self.people.get(&act.by).map(|person| person.id);
        let by = by.ok_or_else(|| DemoError::at(mark, "nobody signs in like this"))?;
        let draft = AttachmentDraft {
            caption: act.text.clone(),
            name: format!("{mark}.png"),
        };
        let id = AttachmentId(self.stamp.next(at));
        let received = picture.incoming()?.received.clone();
        let attached = draft
            .check(id, to, (by, at.date()), received)
            .map_err(|wrong| DemoError::at(mark, wrong))?;
        self.record(at, &act.by, Change::FileAttached(attached))
    }

    fn move_to(
        &mut self,
        at: OffsetDateTime,
        mark: &str,
        store: &str,
        act: &Act,
    ) -> Result<(), DemoError> {
        let (item, model) = self.item(mark)?;
        let mut draft = item.draft();
        let store = self.stores.get(store).copied();
        draft.note.clone_from(&act.text);
        let item = draft
            .check(Some(model), store, at.date())
            .map_err(|wrong| DemoError::at(mark, wrong))?
            .revise(item);
        self.replace(item.clone());
        self.record(at, &act.by, Change::ItemRevised(item))
    }

    /// A model's record changes.
    pub(super) fn revise(&mut self, at: OffsetDateTime, revision: usize) -> Result<(), DemoError> {
        let line = &self.sheets.story.revision[revision];
        let model = self
            .models
            .get_mut(&line.model)
            .ok_or_else(|| DemoError::at(&line.model, "there is no such model yet"))?;
        let mut draft = model.draft();
        draft.note.clone_from(&line.note);
        *model = draft
            .check(model.id, model.revision + 1)
            .map_err(|wrong| DemoError::at(&line.model, wrong))?;
        let change = Change::ModelRevised(model.clone());
        self.record(at, "officer", change)
    }

    /// A notice comes.
    pub(super) fn open_notice(
        &mut self,
        at: OffsetDateTime,
        notice: usize,
    ) -> Result<(), DemoError> {
        let line = &self.sheets.story.notice[notice];
        let draft = NoticeDraft {
            title: line.title.clone(),
            issuer: line.issuer.clone(),
            issued_on: write_day(before(self.today, line.ago)),
            maker: line.maker.clone(),
            model_name: line.model_name.clone(),
            lots: line.lots.clone(),
            more_models: String::new(),
            serials: String::new(),
            made_from: String::new(),
            made_until: String::new(),
            action: line.action.clone(),
            ..NoticeDraft::default()
        };
        let opened = draft
            .check(NoticeId(self.stamp.next(at)), at.date())
            .map_err(|wrong| DemoError::at(&line.title, wrong))?;
        self.notices.push(opened.clone());
        self.record(at, "officer", Change::NoticeOpened(opened))
    }

    /// A notice is closed for one item, which it must cover.
    pub(super) fn close_notice(
        &mut self,
        at: OffsetDateTime,
        notice: usize,
        closing: usize,
    ) -> Result<(), DemoError> {
        let sheet = &self.sheets.story.notice[notice];
        let line = &sheet.closed[closing];
        let opened = self
            .notices
            .iter()
            .find(|opened| opened.title == sheet.title)
            .ok_or_else(|| DemoError::at(&sheet.title, "it has not come yet"))?;
        let (item, model) = self.item(&line.item)?;
        if !opened.covers(item, model) {
            let why = crate::domain::NotAllowed::NoticeDoesNotCover;
            return Err(DemoError::at(&line.item, why));
        }
        let change = NoticeClosing {
            notice: opened.id,
            item: item.id,
            result: line.result.clone(),
        };
        self.closings.push(change.clone());
        self.record(at, "officer", Change::NoticeClosed(change))
    }
}
