//! The due board: what falls due and whose life ends, by weeks and months.

use super::{DeedError, Desk, permit};
use crate::domain::{Actor, Board, Deed, Group, Kind, Split};

/// The board of today. Items in service are counted; what is quarantined or missing is looked at before it goes back.
///
/// # Errors
/// [`DeedError::Forbidden`] if this role may not read.
pub async fn show(desk: &Desk, actor: &Actor, split: Split) -> Result<Board, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let today = tx.day(desk.clock.now()).await?;
    let due = tx.due_counted(split).await?;
    let ends = tx.ends_counted(split).await?;
    let groups = match split {
        Split::Store => {
            let stores = tx.stores().await?.into_iter();
            let group = |store: crate::domain::Store| Group {
                key: store.id.to_string(),
                name: store.name,
            };
            stores.map(group).collect()
        }
        Split::Kind => {
            let group = |kind: &Kind| Group {
                key: kind.key().to_owned(),
                name: kind.word().to_owned(),
            };
            Kind::ALL.iter().map(group).collect()
        }
    };
    Ok(Board::new((today, split), groups, &due, &ends))
}
