//! What a change is about, by name.

use super::{guest, look, seal};
use crate::domain::{Change, Names};

/// The marks, titles and names of what a change is about, the same things as [`Change::subjects`].
pub fn about(change: &Change, names: &Names) -> Vec<String> {
    match change {
        Change::TeamFounded(team) | Change::TeamRevised(team) => vec![team.name.clone()],
        Change::PersonAdded(person) | Change::PersonRevised(person) => vec![person.name.clone()],
        Change::QualificationRecorded(one) => look::about(one, names),
        Change::QualificationEnded(_) | Change::QualificationAddressed(_) => {
            vec!["qualification".to_owned()]
        }
        Change::LedgerKeyTaken(_)
        | Change::WitnessNamed(_)
        | Change::WitnessEnded(_)
        | Change::NamesRemoved(_) => seal::about(change),
        Change::StoreAdded(store) | Change::StoreRevised(store) => vec![store.name.clone()],
        Change::BagListed(bag) => vec![names.of(bag.store.0)],
        Change::BagChecked(check) => vec![check.name.clone()],
        Change::ItemMoved(moved) => vec![names.of(moved.item.0)],
        Change::ModelAdded(model) | Change::ModelRevised(model) => vec![model.title()],
        Change::ModelKindChanged(changed) => vec![changed.model.title()],
        Change::RulebookAdded(own) | Change::RulebookRevised(own) => vec![own.book.title().into()],
        Change::RulebookWithdrawn(one) | Change::RulebookTakenUp(one) => vec![one.title.clone()],
        Change::ChecklistRevised(own) => vec![format!("list for {}", own.kind.one())],
        Change::ImportTaken(import) => vec![import.file_name.clone()],
        Change::ItemAdded(item) | Change::ItemRevised(item) => vec![item.mark.clone()],
        Change::ItemStepped(step) => vec![names.of(step.item.0)],
        Change::ReturnAsked(asked) => vec![names.of(asked.item.0)],
        Change::ExaminationRecorded(examination) => vec![names.of(examination.item.0)],
        Change::RopeCut(cut) => {
            let pieces = cut.pieces.iter().map(|piece| names.of(piece.id.0));
            let rope = std::iter::once(names.of(cut.rope.0));
            rope.chain(pieces).collect()
        }
        Change::UsageLogged(usage) => {
            let job = usage.job.map(|job| names.of(job.0));
            std::iter::once(names.of(usage.item.0)).chain(job).collect()
        }
        Change::EventReported(event) => vec![names.of(event.item.0)],
        Change::TagAdded(tag) => vec![names.of(tag.item.0)],
        Change::TagRemoved(removed) => vec![names.of(removed.item.0)],
        Change::RoundPlanned(round) => vec![round.name.clone()],
        Change::RoundClosed(closing) => vec![closing.name.clone()],
        Change::FileAttached(one) => one.about(names),
        Change::FileWithdrawn(end) => end.about(names),
        Change::NoticeOpened(notice) => vec![notice.title.clone()],
        Change::NoticeClosed(end) => vec![names.of(end.notice.0), names.of(end.item.0)],
        Change::NoticeCorrected(to) => vec![to.notice.title.clone()],
        Change::NoticeWithdrawn(end) => vec![names.of(end.notice.0)],
        Change::RigAdded(rig) | Change::RigRevised(rig) => vec![rig.title.clone()],
        Change::RigWithdrawn(offer) | Change::RigTakenUp(offer) => vec![offer.title.clone()],
        other => about_of_job(other, names),
    }
}

/// The same of what is done on a job, and of all else.
fn about_of_job(change: &Change, names: &Names) -> Vec<String> {
    match change {
        Change::JobPlanned(job) | Change::JobRevised(job) => vec![job.title.clone()],
        Change::JobEnded(end) => vec![names.of(end.job.0)],
        Change::KitLineAdded(line) => vec![names.of(line.job.0), names.of(line.item.0)],
        Change::KitLineRemoved(line) => vec![names.of(line.job.0), names.of(line.item.0)],
        Change::ItemRefused(refused) => vec![names.of(refused.job.0), names.of(refused.item.0)],
        Change::VerdictKept(verdict) => vec![names.of(verdict.job.0)],
        Change::KitIssued(issue) => issue.about(names),
        Change::IssueTakenBack(back) => vec![names.of(back.job.0)],
        Change::FunctionCheckSigned(check) => vec![names.of(check.job.0)],
        Change::KitReturned(count) => count.about(names),
        Change::CrewPlanned(plan) => vec![names.of(plan.job.0)],
        Change::PlanPinned(_) | Change::PlanUnpinned(_) => look::pinned_rig(change),
        other => guest::about(other),
    }
}
