//! The kit list of a job to take along, as a PDF.

use super::{DeedError, Desk, kit, paper, permit};
use crate::{
    domain::{
        Actor, Deed, Issue, IssueState, IssuedLine, IssuedVerdict, JobId, KitList, PaperSize,
        Picture, Units, kit_strength::Extent,
    },
    export::paper::pack::{PackSheet, pack_sheet},
    store::Tx,
};

/// The kit list of a job: as it was frozen while the kit is issued, else as it stands now. `address` is what its code
/// leads to, `units` are those of whoever asks, and `draw` draws the rig.
///
/// # Errors
/// [`DeedError::NotFound`] if there is no such job.
pub async fn file(
    desk: &Desk,
    actor: &Actor,
    id: JobId,
    (size, units, address): (PaperSize, Units, String),
    draw: impl FnOnce(&KitList) -> Option<Picture>,
) -> Result<Vec<u8>, DeedError> {
    permit(actor, Deed::Export)?;
    let at = desk.clock.now();
    let mut tx = desk.database.read(actor.team).await?;
    let (list, chosen) = kit::judged(&mut tx, id, at, Extent::Answer).await?;
    let mut issues = tx.issues(id).await?;
    issues.sort_by_key(|issue| issue.at);
    let is_out = |issue: &Issue| list.job.issued == Some(issue.id);
    let out = issues.iter().position(is_out);
    let issue = out.map(|place| issues.remove(place));
    let last_issue = match issues.pop() {
        Some(last) => {
            let how = ended(&mut tx, &last).await?;
            Some((Box::new(last), how))
        }
        None => None,
    };
    let stores = tx.stores().await?;
    let stamp = paper::stamp(&mut tx, actor).await?;
    let picture = draw(&list);
    let unfit = list.unfit();
    let pack = match issue {
        Some(issue) => PackSheet {
            job: issue.job.clone(),
            verdict: issue.verdict.clone(),
            lines: issue.lines.clone(),
            issue: Some(Box::new(issue)),
            last_issue,
            unfit,
            address,
            picture,
            units,
        },
        None => PackSheet {
            verdict: IssuedVerdict::of(&list, env!("CARGO_PKG_VERSION")),
            lines: IssuedLine::all(&list, &chosen.days(), &stores),
            job: list.job,
            issue: None,
            last_issue,
            unfit,
            address,
            picture,
            units,
        },
    };
    let done = paper::laid_out(move || pack_sheet(&paper::imprint(&stamp, at, size), &pack));
    Ok(done.await??)
}

/// By whom and when an issue ended, in a few words.
async fn ended(tx: &mut Tx, issue: &Issue) -> Result<String, DeedError> {
    let zone = tx.zone().await?;
    if let IssueState::TakenBack { .. } = issue.state {
        let taken = tx.last_of_kind(issue.id.0, "issue-taken-back").await?;
        let Some(taken) = taken else {
            return Ok("taken back".to_owned());
        };
        let who = tx.person(taken.actor).await?;
        let by = who.map_or_else(String::new, |who| format!(" by {}", who.name));
        let at = zone.words(taken.recorded_at);
        return Ok(format!("the issue was taken back{by} on {at}"));
    }
    let counts = tx.kit_returns(issue).await?;
    let last = counts.iter().max_by_key(|count| count.at);
    Ok(last.map_or_else(
        || "counted back".to_owned(),
        |last| {
            format!(
                "counted back by {} on {}",
                last.by.name,
                zone.words(last.at)
            )
        },
    ))
}
