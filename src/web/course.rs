//! What was measured of an item over time.

use axum::extract::State;

use super::{App, Page, Path, Problem, Signed, export::offered};
use crate::{
    deed::course,
    domain::ItemId,
    view::{Section, course::CourseList},
};

/// What was measured of an item.
pub(super) async fn page_list(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ItemId>,
) -> Result<Page<CourseList>, Problem> {
    let found = course::of_item(&app.desk, &signed.actor, id).await?;
    let title = format!("What was measured of {}", found.item.mark);
    Ok(Page(CourseList::new(
        signed.shell_in(Section::Items, title),
        (&found.item, &found.model),
        &found.courses,
        &found.whole_ropes,
        (
            found.is_cut_off.then_some(course::LOOKED_AT),
            offered("measurements", &[("item", &id.to_string())]),
        ),
    )))
}
