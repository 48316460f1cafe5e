//! What the register says of its gear as a whole: age, what failed, what was retired, what ends ahead.

mod age;
mod ahead;
mod failed;
mod failure;
mod retired;

pub use age::AgePage;
pub use ahead::AheadPage;
pub use failed::{FailedPage, Records};
pub use failure::{Counted, FailurePage};
pub use retired::{Narrowed, RetiredPage};

use super::{form::Form, item::kinds, part::SectionNav, sieve::Sieve, words};
use crate::domain::{Kind, trend::Failures};

/// The pages, with the one at `here` marked.
pub(super) fn nav(here: &str) -> SectionNav {
    let pages = [
        ("Age of the fleet", "/trends"),
        ("What failed", "/trends/failures"),
        ("What was retired", "/trends/retired"),
        ("What ends ahead", "/trends/ahead"),
        ("Complete sets", "/readiness"),
    ];
    SectionNav {
        label: "Trends".to_owned(),
        links: pages
            .map(|(word, href)| (word.to_owned(), href.to_owned()))
            .into(),
        here: here.to_owned(),
    }
}

/// The form that narrows a page to a kind.
fn kind_sieve(action: &'static str, kind: Option<Kind>) -> Sieve {
    let key = kind.map_or("", Kind::key);
    Sieve::new(action).filter(Form::default().choice("kind", "Kind", key, kinds()))
}

/// A number of some others: "3 of 24".
fn part_of(part: u32, all: u32) -> String {
    format!("{part} of {all}")
}

/// The same with its share: "3 of 24 (12.5 %)"; no share of nothing.
fn share_of(part: u32, all: u32) -> String {
    if all == 0 {
        return part_of(part, all);
    }
    let percent = 100.0 * f64::from(part) / f64::from(all);
    format!("{} ({} %)", part_of(part, all), words::digits(percent, 3))
}

/// How many of the examined items failed, and that it says little where they are few.
fn failed_share(failures: Failures) -> (String, &'static str) {
    let words = share_of(failures.items_failed, failures.items_examined);
    let little = failures.says_little() && failures.items_examined > 0;
    (words, if little { "few items" } else { "" })
}

fn items(count: u32) -> String {
    words::count(
        usize::try_from(count).unwrap_or(usize::MAX),
        "item",
        "items",
    )
}
