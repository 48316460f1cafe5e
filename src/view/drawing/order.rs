//! Which rope stands beside which: the order in which the fewest things cross.

use std::collections::BTreeMap;

use super::group::Group;
use super::web::{Bend, Ribbon, bend};
use crate::rigging::Element;

/// The most rounds of changes that are tried; each must bring something.
const ROUNDS: usize = 8;
/// Between two ropes, over the distance of two strands of one rope.
const BETWEEN: f64 = 1.3;

/// One ribbon in the row, and whether it is turned over.
type Slot = (usize, bool);

/// The column of every strand of a group.
///
/// Begins with the order of the sheet; as long as turning one ribbon over or changing two brings something,
/// the best such change is made.
pub(super) fn columns(group: &Group, ribbons: &[Ribbon]) -> BTreeMap<usize, f64> {
    let mut slots: Vec<Slot> = (0..ribbons.len()).map(|ribbon| (ribbon, false)).collect();
    let mut best = placed(group, ribbons, &slots);
    let mut least = cost(group, &best);
    for _ in 0..ROUNDS {
        let mut found = None;
        for tried in changes(&slots) {
            let columns = placed(group, ribbons, &tried);
            let costs = cost(group, &columns) + strangeness(&tried);
            if costs < least - 1e-9 {
                least = costs;
                best = columns;
                found = Some(tried);
            }
        }
        match found {
            Some(better) => slots = better,
            None => break,
        }
    }
    let pitch = group.pitch();
    for column in best.values_mut() {
        *column *= pitch;
    }
    best
}

/// How far a row is from the order of the sheet: a little, so that it decides where nothing else does.
fn strangeness(slots: &[Slot]) -> f64 {
    let turned = slots.iter().filter(|(_, turned)| *turned).count();
    let swapped = slots.windows(2).filter(|pair| pair[0].0 > pair[1].0);
    let count = turned + swapped.count();
    0.05 * f64::from(u32::try_from(count).unwrap_or(u32::MAX))
}

/// The row with one ribbon turned over, with two changed, and with both.
fn changes(slots: &[Slot]) -> Vec<Vec<Slot>> {
    let mut all = Vec::new();
    let turned = |slots: &[Slot], at: usize| {
        let mut turned = slots.to_vec();
        turned[at].1 = !turned[at].1;
        turned
    };
    for at in 0..slots.len() {
        all.push(turned(slots, at));
        for other in at + 1..slots.len() {
            let mut changed = slots.to_vec();
            changed.swap(at, other);
            all.push(turned(&changed, at));
            all.push(turned(&changed, other));
            all.push(changed);
        }
    }
    all
}

/// The columns, in pitches, of ribbons in a row.
fn placed(group: &Group, ribbons: &[Ribbon], slots: &[Slot]) -> BTreeMap<usize, f64> {
    let mut columns = BTreeMap::new();
    let mut free = 0.0;
    for &(index, turned) in slots {
        let ribbon = &ribbons[index];
        #[expect(
            clippy::cast_precision_loss,
            reason = "a path has at most sixty elements"
        )]
        let own: Vec<f64> = ribbon
            .columns
            .iter()
            .map(|&column| {
                if turned {
                    -(column as f64)
                } else {
                    column as f64
                }
            })
            .collect();
        let overhang = group.overhang(ribbon);
        let taken = overhang.iter().map(|(at, side)| own[*at] + side);
        let reach: Vec<f64> = own.iter().copied().chain(taken).collect();
        let low = reach.iter().copied().fold(f64::INFINITY, f64::min);
        let high = reach.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        for (at, column) in own.iter().enumerate() {
            columns.insert(ribbon.first + at, free + column - low);
        }
        free += high - low + BETWEEN;
    }
    columns
}

/// How much a row of ribbons looks like a tangle.
fn cost(group: &Group, columns: &BTreeMap<usize, f64>) -> f64 {
    let bars: f64 = group
        .bodies()
        .into_iter()
        .map(|body| bar_cost(group, columns, body))
        .sum();
    let beyond = |column: f64, side: f64| {
        let others = columns.values();
        let count = others
            .filter(|&&other| (other - column) * side > 0.5)
            .count();
        f64::from(u32::try_from(count).unwrap_or(u32::MAX))
    };
    let mut ways = 0.0;
    for (&strand, &column) in columns {
        let (rope, part) = (
            group.web.strands[strand].rope,
            group.web.strands[strand].part,
        );
        if matches!(group.element((rope, part)), Element::Hand) {
            ways += 2.0 * beyond(column, 1.0).min(beyond(column, -1.0));
        }
        for element in [part, part + 1] {
            if bend(group.element((rope, element))) != Bend::Aside {
                continue;
            }
            let (near, far) = group.web.beside(rope, element);
            let other = near.into_iter().chain(far).find(|&other| other != strand);
            let Some(other) = other else { continue };
            let outward = if other < strand { 0.0 } else { 180.0 };
            let line = group.web.strands[other].line + outward - group.up;
            ways += 1.5 * beyond(column, line.to_radians().sin());
        }
    }
    bars + ways
}

/// How far a bar reaches, and how many strands that are not its own it crosses.
fn bar_cost(group: &Group, columns: &BTreeMap<usize, f64>, body: usize) -> f64 {
    let mut own = Vec::new();
    let mut bar = 0.0;
    for met in group.on(body) {
        bar = group.depth(met) - group.offset.get(&met).copied().unwrap_or(0.0);
        let (near, far) = group.beside(met);
        own.extend(near.into_iter().chain(far));
    }
    let at = own.iter().filter_map(|strand| columns.get(strand));
    let low = at.clone().copied().fold(f64::INFINITY, f64::min);
    let high = at.copied().fold(f64::NEG_INFINITY, f64::max);
    if low > high {
        return 0.0;
    }
    let crossing = columns.iter().filter(|(strand, column)| {
        let (rope, part) = (
            group.web.strands[**strand].rope,
            group.web.strands[**strand].part,
        );
        let ends = [part, part + 1].map(|element| {
            let met = (rope, element);
            match group.node(met) {
                Some(_) => group.depth(met),
                None if group.rises(**strand) => f64::NEG_INFINITY,
                None => f64::INFINITY,
            }
        });
        let (top, end) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
        low < **column && **column < high && !own.contains(strand) && top < bar && bar < end
    });
    let crossed = f64::from(u32::try_from(crossing.count()).unwrap_or(u32::MAX));
    high - low + 3.0 * crossed
}
