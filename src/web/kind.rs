//! What each kind of problem means: where the `type` of a problem leads.

use super::{Page, Path, Problem, Visitor};
use crate::view::{
    part::{Answer, Tone},
    problem::{ProblemPage, ways},
};

/// One kind of problem.
pub(super) async fn page_show(
    visitor: Visitor,
    Path(key): Path<String>,
) -> Result<Page<ProblemPage>, Problem> {
    let mut kinds = Problem::KINDS.iter();
    let (_, title, words) = kinds
        .find(|kind| kind.0 == key)
        .ok_or(Problem::NotFound("kind of problem"))?;
    let shell = visitor.shell(title);
    Ok(Page(ProblemPage {
        ways: ways(&shell, None),
        shell,
        answer: Answer::new(Tone::Note, *title).why(*words),
        details: Vec::new(),
        incident: None,
    }))
}
