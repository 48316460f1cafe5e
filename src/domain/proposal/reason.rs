//! Why this item was chosen for this position, in sentences.

use super::stock::Market;
use super::{Offered, Stock};
use crate::domain::date::write_day;
use crate::domain::fitness::Plan;

/// Why an item was chosen, a sentence each.
pub(super) fn why(
    plan: &Plan<'_>,
    stock: &Stock<'_>,
    market: &Market<'_>,
    slot: usize,
    offered: &Offered<'_>,
) -> Vec<String> {
    let mut why = vec![match market.choice(slot) {
        0 | 1 => "The only item that may go here.".to_owned(),
        n => format!("One of {n} items that may go here."),
    }];
    if let Some(metres) = market.surplus(slot, offered) {
        // A hair, so that what is exactly long enough is told as no metre more.
        why.push(match (metres * 10.0 + 1e-6).floor() / 10.0 {
            spare if spare < 0.1 => "It is just as long as it must be.".to_owned(),
            spare => format!("It is {spare:.1} m longer than it must be; a shorter one is taken where one will do."),
        });
    }
    why.push(match stock.last_day(plan, offered) {
        None => "No day ends its use.".to_owned(),
        Some(day) if stock.is_soon(plan, offered) => format!(
            "It may be used until {} only, soon after the job: no other would do from as few stores and bags.",
            write_day(day)
        ),
        Some(day) => format!("It may be used until {}.", write_day(day)),
    });
    why
}
