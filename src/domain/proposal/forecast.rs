//! The sets over the days: which items count on each, how many sets they make, and what ends one.

use std::collections::{BTreeSet, VecDeque};

use time::{Date, Duration};

use super::Stock;
use super::classes::Class;
use super::made::{Judge, Made, made};
use super::readiness::{Ended, Span, Step, Why};
use super::sets::{Most, Puzzle};
use super::stock::Market;
use crate::domain::ModelId;
use crate::domain::fitness::Plan;

/// On which days each item of the stock counts.
pub(super) struct Calendar<'a> {
    /// The last day on which it may be used, and what ends it; none where no day does.
    last: Vec<Option<(Date, Why)>>,
    busy: &'a [Vec<Span>],
}

impl<'a> Calendar<'a> {
    pub(super) fn of(plan: &Plan<'_>, stock: &Stock<'_>, busy: &'a [Vec<Span>]) -> Self {
        let last = stock.items.iter().map(|offered| {
            let last = stock.last_day(plan, offered)?;
            let due = plan.days().due_on(offered.item, offered.model);
            let why = match due {
                Some((due, _)) if due == last => Why::Examination,
                _ => Why::Life,
            };
            Some((last, why))
        });
        Self {
            last: last.collect(),
            busy,
        }
    }

    fn held(&self, item: usize) -> impl Iterator<Item = &Span> {
        self.busy.get(item).into_iter().flatten()
    }

    /// Whether an item counts on a day; if not, why.
    fn against(&self, item: usize, day: Date) -> Option<Why> {
        let ended = self.last[item].filter(|(last, _)| day > *last);
        let mut held = self.held(item);
        ended.map(|(_, why)| why).or_else(|| {
            held.any(|(from, to)| *from <= day && day <= *to)
                .then_some(Why::AnotherJob)
        })
    }

    /// The days on which an item begins or ceases to count.
    fn turns(&self, item: usize) -> impl Iterator<Item = Date> {
        let end = self.last[item].and_then(|(last, _)| last.next_day());
        let held = self.held(item);
        let held = held.flat_map(|(from, to)| [Some(*from), to.next_day()]);
        held.flatten().chain(end)
    }
}

/// The sets over the days, with some models passed over.
pub(super) struct Forecast<'a> {
    slots: usize,
    calendar: &'a Calendar<'a>,
    classes: Vec<Class>,
    pub puzzle: Puzzle,
}

/// How many sets are strong enough on each day, those of the first, and what fails.
pub(super) struct Strong {
    pub sets: Vec<usize>,
    pub today: Vec<Made>,
    pub failing: Vec<(usize, ModelId)>,
}

impl Strong {
    /// Takes the other answer for each day on which it has more; what fails there is what fails still.
    pub(super) fn better(&mut self, other: Self) {
        if other.sets.first() > self.sets.first() {
            self.today = other.today;
        }
        for (sets, more) in self.sets.iter_mut().zip(other.sets) {
            *sets = (*sets).max(more);
        }
        self.failing = other.failing;
    }
}

impl<'a> Forecast<'a> {
    pub(super) fn of(market: &Market<'_>, calendar: &'a Calendar<'a>, classes: Vec<Class>) -> Self {
        let slots = market.slots.len();
        let fits = classes.iter().map(|class| class.fits.clone());
        Self {
            slots,
            calendar,
            puzzle: Puzzle::new(slots, fits.collect()),
            classes,
        }
    }

    fn items(&self) -> impl Iterator<Item = usize> {
        self.classes.iter().flat_map(|class| &class.items).copied()
    }

    /// Today and every day on which an item begins or ceases to count.
    pub(super) fn days(&self, today: Date, until: Date) -> BTreeSet<Date> {
        self.items()
            .flat_map(|item| self.calendar.turns(item))
            .chain([today])
            .filter(|day| (today..=until).contains(day))
            .collect()
    }

    /// The items of a class that count on a day.
    fn counting<'b>(&'b self, class: &'b Class, day: Date) -> impl Iterator<Item = usize> + 'b {
        let items = class.items.iter().copied();
        items.filter(move |item| self.calendar.against(*item, day).is_none())
    }

    pub(super) fn counts(&self, day: Date) -> Vec<usize> {
        let classes = self.classes.iter();
        classes
            .map(|class| self.counting(class, day).count())
            .collect()
    }

    /// The most sets on each day.
    pub(super) fn course(&mut self, days: &[Date]) -> Option<Vec<Most>> {
        let mut course: Vec<Most> = Vec::new();
        let mut then: Vec<usize> = Vec::new();
        for day in days {
            let counts = self.counts(*day);
            let most = match course.last() {
                Some(known) if still_holds(&then, known, &counts) => known.clone(),
                _ => self.puzzle.most(&counts)?,
            };
            course.push(most);
            then = counts;
        }
        Some(course)
    }

    /// The sets that are strong enough.
    pub(super) fn strong(&self, days: &[Date], course: &[Most], judge: &mut Judge<'_>) -> Strong {
        let mut strong = Strong {
            sets: Vec::new(),
            today: Vec::new(),
            failing: Vec::new(),
        };
        let mut failing = BTreeSet::new();
        for (day, most) in days.iter().zip(course) {
            let pools = self.classes.iter();
            let pools = pools.map(|class| self.counting(class, *day).collect::<VecDeque<_>>());
            let mut sets = made(most, pools.collect());
            sets.retain(|set| {
                let judged = judge.judge(set);
                failing.extend(judged.failing.iter().copied());
                judged.passes
            });
            strong.sets.push(sets.len());
            if strong.sets.len() == 1 {
                strong.today = sets;
            }
        }
        strong.failing = failing.into_iter().collect();
        strong
    }

    /// The days on which a number changes, with what ended where there are fewer.
    pub(super) fn steps(
        &mut self,
        days: &[Date],
        sets: &[usize],
        at_most: &[usize],
        stock: &Stock<'_>,
    ) -> Option<Vec<Step>> {
        let mut steps: Vec<Step> = Vec::new();
        for ((day, sets), at_most) in days.iter().zip(sets).zip(at_most) {
            let before = steps.last();
            let ended = match before {
                Some(before) if *sets < before.sets => self.ended(*day, stock)?,
                Some(before) if (before.sets, before.at_most) == (*sets, *at_most) => continue,
                _ => Vec::new(),
            };
            steps.push(Step {
                from: *day,
                sets: *sets,
                at_most: *at_most,
                ended,
            });
        }
        Some(steps)
    }

    /// The items that counted the day before and count no more, and of which those of one class would bring a set
    /// back; all that ceased where none alone would.
    fn ended(&mut self, day: Date, stock: &Stock<'_>) -> Option<Vec<Ended>> {
        let before = day - Duration::days(1);
        let counts = self.counts(day);
        let sets = self.puzzle.most(&counts)?.sets;
        let ceased = |item: usize| {
            let counted = self.calendar.against(item, before).is_none();
            let why = self.calendar.against(item, day).filter(|_| counted)?;
            let item = stock.items[item].item.id;
            Some(Ended { item, why })
        };
        let classes = self.classes.iter();
        let ceased: Vec<Vec<Ended>> = classes
            .map(|class| class.items.iter().copied().filter_map(ceased).collect())
            .collect();
        let mut missed = Vec::new();
        for (class, ceased) in ceased.iter().enumerate() {
            if ceased.is_empty() {
                continue;
            }
            let mut with = counts.clone();
            with[class] += ceased.len();
            if self.puzzle.most(&with)?.sets > sets {
                missed.extend(ceased);
            }
        }
        if missed.is_empty() {
            missed = ceased.concat();
        }
        Some(missed)
    }

    /// The slots that nothing suits; or else those of which one more item would make one more set.
    pub(super) fn short(&mut self, today: Date) -> Option<Vec<usize>> {
        let counts = self.counts(today);
        let sets = self.puzzle.most(&counts)?.sets;
        let suits = |slot: &usize| {
            let classes = self.classes.iter().zip(&counts);
            let mut there = classes.filter(|(_, count)| **count > 0);
            there.any(|(class, _)| class.fits.iter().any(|slots| slots[*slot]))
        };
        let (suited, empty): (Vec<usize>, Vec<usize>) = (0..self.slots).partition(suits);
        if !empty.is_empty() {
            return Some(empty);
        }
        let mut short = Vec::new();
        for slot in suited {
            if self.puzzle.most_with(&counts, slot, 1)?.sets > sets {
                short.push(slot);
            }
        }
        Some(short)
    }
}

/// Whether as many sets as before can be made still, and no more: nothing was added, and what they use is there.
fn still_holds(then: &[usize], known: &Most, counts: &[usize]) -> bool {
    let added = counts.iter().zip(then).any(|(now, then)| now > then);
    let mut used = known.used.iter().zip(counts);
    !added && used.all(|(used, count)| used <= count)
}
