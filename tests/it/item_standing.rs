//! How an item stands on a day: the edges between in date and out of it.

use ropeloft::domain::{
    ItemState, Kind, Standing, fitness::due, life, rulebook::rulebook, standings,
};
use time::{Date, Month, macros::date};

use crate::fitness_case::Thing;

/// What stands against the thing on a day under the European rulebook.
fn on(thing: &Thing, day: Date) -> Vec<Standing> {
    let (item, model) = (&thing.item, &thing.model);
    let rulebook = rulebook("european").unwrap();
    let due = due(item, model, rulebook, day);
    standings(item, &life(item, model, rulebook), &due, day)
}

/// A rope that was made in May 2022, lasts ten years, and is due on 1 September 2026.
fn rope() -> Thing {
    Thing::new(Kind::Rope, "R-1", &[], &[])
}

#[test]
fn the_due_day_itself_is_still_in_date() {
    let due = date!(2026 - 09 - 01);
    assert_eq!(on(&rope(), date!(2026 - 08 - 01)), []);
    assert_eq!(on(&rope(), date!(2026 - 08 - 02)), [Standing::DueSoon(due)]);
    assert_eq!(on(&rope(), due), [Standing::DueSoon(due)]);
    assert!(!Standing::DueSoon(due).stops());
    assert_eq!(on(&rope(), date!(2026 - 09 - 02)), [Standing::Overdue(due)]);
    assert!(Standing::Overdue(due).stops());
}

#[test]
fn the_day_on_which_a_life_ends_is_not_in_it_any_more() {
    // Only the month made is known, so ten years count from its first day.
    let end = Date::from_calendar_date(2032, Month::May, 1).unwrap();
    let mut rope = rope();
    rope.item.last_passed_on = Some(date!(2032 - 03 - 01));
    rope.item.next_due_on = Some(date!(2033 - 03 - 01));
    assert_eq!(on(&rope, date!(2032 - 03 - 31)), []);
    assert_eq!(
        on(&rope, date!(2032 - 04 - 30)),
        [Standing::LifeEndsSoon(end)]
    );
    assert_eq!(on(&rope, end), [Standing::PastLife(end)]);
    rope.item.made = None;
    assert_eq!(on(&rope, end), [Standing::LifeUnknown]);
}

#[test]
fn everything_that_stands_against_it_is_said_the_gravest_first() {
    let mut rope = rope();
    rope.item.state = ItemState::Quarantined;
    rope.item.made = None;
    rope.item.last_passed_on = None;
    rope.item.next_due_on = None;
    let all = on(&rope, date!(2026 - 03 - 01));
    let expected = [
        Standing::Quarantined,
        Standing::LifeUnknown,
        Standing::NeverPassed,
    ];
    assert_eq!(all, expected);
    rope.item.state = ItemState::Missing;
    assert_eq!(on(&rope, date!(2026 - 03 - 01))[0], Standing::Missing);
    rope.item.state = ItemState::Retired;
    assert_eq!(on(&rope, date!(2026 - 03 - 01)), [Standing::Retired]);
}
