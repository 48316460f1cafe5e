//! What is said once a list is in: how much of it came, what of it cannot go on jobs yet and why, and what is next.

use crate::{
    deed::import::Taken,
    import::{Foretold, Offer, Reason, SeenOf},
    view::words::count,
    web::Done,
};

/// How many reasons are told.
const MOST: usize = 5;

/// Leads to the items, with what was taken in and what is next.
pub(super) fn done(taken: &Taken, foretold: Option<&Foretold>, may_plan: bool) -> Done {
    let mut done = Done::to("/items").saying(told(taken, foretold));
    if let Some(foretold) = foretold {
        for reason in foretold.reasons.iter().take(MOST) {
            done = done.way(line(reason), href(&reason.offer));
        }
        let more = foretold.reasons.len().saturating_sub(MOST);
        if more > 0 {
            let words = count(more, "more reason", "more reasons");
            done = done.way(format!("{words}: each item says its own"), "/items");
        }
    }
    if may_plan && taken.items > 0 {
        done = done.way("Plan a job", "/jobs/new");
    }
    done
}

fn told(taken: &Taken, foretold: Option<&Foretold>) -> String {
    let waits = match taken.left_out {
        0 => "",
        1 => " It waits as a list of its own under \"Bring in a list\".",
        _ => " They wait as a list of their own under \"Bring in a list\".",
    };
    let looks = foretold.map_or(0, |told| told.rows_of(SeenOf::MarkingsUnknown).len());
    let next = match looks {
        0 => String::new(),
        looks => format!(
            " Next: a first look at {} on the bench.",
            count(looks, "item", "items")
        ),
    };
    let not_yet = foretold.map_or_else(String::new, not_yet);
    taken.sentence() + waits + &next + &not_yet
}

/// How many of them cannot go on jobs yet.
fn not_yet(told: &Foretold) -> String {
    match told.refused {
        0 => String::new(),
        1 => " 1 of them cannot go on a job yet:".to_owned(),
        refused => format!(" {refused} of them cannot go on a job yet:"),
    }
}

/// Why, with how many.
fn line(reason: &Reason) -> String {
    let items = count(reason.rows.len(), "item", "items");
    format!("{items}: {}", reason.sentence)
}

/// Where it is mended.
fn href(offer: &Offer) -> &'static str {
    match offer {
        Offer::Seen(_) => "/bench",
        Offer::Models(_) => "/models",
        Offer::InFile => "/items",
    }
}
