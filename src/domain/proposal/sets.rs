//! How many complete sets can be made of counted things, each set with one of some combinations of ropes.
//!
//! Whole numbers under linear limits: with `n(c)` sets of the combination `c`, and `x(c, s, k)` things of the class
//! `k` at the slot `s` of these, every slot of every set is filled (the sum of `x(c, s, k)` over `k` is `n(c)`) and
//! no class is used more often than there are things of it. The sum of `n(c)` is to be as large as possible. Solved
//! by branch and bound in the library `microlp`; that an answer really fits the counts is checked here again.

use std::collections::HashMap;

use microlp::{ComparisonOp, OptimizationDirection, Problem, Variable};

/// Where things of a class can go: for each combination and slot.
pub(super) type Fits = Vec<Vec<bool>>;

/// The most sets, and what they are made of.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Most {
    /// How many sets.
    pub sets: usize,
    /// How many things of each class they use.
    pub used: Vec<usize>,
    /// The sets of each combination.
    pub alike: Vec<Alike>,
}

/// Sets of one combination.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Alike {
    /// For each slot the classes that fill it, and how often each; as many at every slot.
    pub slots: Vec<Vec<(usize, usize)>>,
}

/// A puzzle whose counts change from day to day; what was solved once is kept.
pub(super) struct Puzzle {
    slots: usize,
    classes: Vec<Fits>,
    /// For each class at how many slots a thing of it can be.
    places: Vec<usize>,
    known: HashMap<Vec<usize>, Most>,
}

impl Puzzle {
    pub(super) fn new(slots: usize, classes: Vec<Fits>) -> Self {
        let places = classes.iter();
        let places = places.map(|fits| {
            let at = |slot: &usize| fits.iter().any(|combination| combination[*slot]);
            (0..slots).filter(at).count()
        });
        Self {
            slots,
            places: places.collect(),
            classes,
            known: HashMap::new(),
        }
    }

    /// The most sets of so many things of each class. None where the library gives no answer that holds.
    pub(super) fn most(&mut self, counts: &[usize]) -> Option<Most> {
        let most = self.bound(counts);
        // More of a class than all sets could take changes nothing.
        let counts: Vec<usize> = counts
            .iter()
            .zip(&self.places)
            .map(|(count, places)| (*count).min(most * places))
            .collect();
        if let Some(known) = self.known.get(&counts) {
            return Some(known.clone());
        }
        let solved = most_sets(self.slots, &self.classes, &counts)?;
        self.known.insert(counts, solved.clone());
        Some(solved)
    }

    /// The most sets if there were besides `more` things that can take one slot only, with any ropes.
    pub(super) fn most_with(&self, counts: &[usize], slot: usize, more: usize) -> Option<Most> {
        let one: Vec<bool> = (0..self.slots).map(|other| other == slot).collect();
        let mut classes = self.classes.clone();
        classes.push(vec![one; self.combinations()]);
        let mut counts = counts.to_vec();
        counts.push(more);
        Self::new(self.slots, classes).most(&counts)
    }

    fn combinations(&self) -> usize {
        self.classes.first().map_or(0, Vec::len)
    }

    /// No more sets than there are things for the slot that the fewest suit.
    pub(super) fn bound(&self, counts: &[usize]) -> usize {
        let combinations = 0..self.combinations();
        let suiting = |slot: usize| {
            let classes = self.classes.iter().zip(counts);
            classes
                .filter(|(fits, _)| combinations.clone().any(|of| fits[of][slot]))
                .map(|(_, count)| *count)
                .sum()
        };
        (0..self.slots).map(suiting).min().unwrap_or_default()
    }
}

/// The variables of a problem that is being stated.
struct Stated {
    problem: Problem,
    /// The sets of each combination that can be made at all.
    sets: Vec<(usize, Variable)>,
    /// A combination, a slot, a class, and how often.
    fillings: Vec<(usize, usize, usize, Variable)>,
}

fn most_sets(slots: usize, classes: &[Fits], counts: &[usize]) -> Option<Most> {
    let stated = stated(slots, classes, counts);
    let nothing = Most {
        used: vec![0; classes.len()],
        ..Most::default()
    };
    if slots == 0 || stated.sets.is_empty() {
        return Some(nothing);
    }
    let solution = stated.problem.solve().ok()?.into_solution().ok()?;
    let whole = |variable: Variable| {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "bounded by counts"
        )]
        let number = solution.var_value(variable).round().max(0.0) as usize;
        number
    };
    let mut most = nothing;
    for (combination, sets) in &stated.sets {
        let sets = whole(*sets);
        let mut alike = Alike {
            slots: vec![Vec::new(); slots],
        };
        for (of, slot, class, filling) in &stated.fillings {
            let count = whole(*filling);
            if of == combination && count > 0 {
                alike.slots[*slot].push((*class, count));
                most.used[*class] += count;
            }
        }
        let filled = |slot: &Vec<(usize, usize)>| slot.iter().map(|(_, count)| count).sum();
        if alike
            .slots
            .iter()
            .map(filled)
            .any(|filled: usize| filled != sets)
        {
            return None;
        }
        most.sets += sets;
        if sets > 0 {
            most.alike.push(alike);
        }
    }
    let mut used = most.used.iter().zip(counts);
    used.all(|(used, count)| used <= count).then_some(most)
}

fn stated(slots: usize, classes: &[Fits], counts: &[usize]) -> Stated {
    let mut problem = Problem::new(OptimizationDirection::Maximize);
    let mut of_class: Vec<Vec<(Variable, f64)>> = vec![Vec::new(); classes.len()];
    let (mut sets, mut fillings) = (Vec::new(), Vec::new());
    for combination in 0..classes.first().map_or(0, Vec::len) {
        let bound = bound(slots, combination, classes, counts);
        if bound == 0 {
            continue;
        }
        let set = problem.add_integer_var(1.0, (0, small(bound)));
        sets.push((combination, set));
        for slot in 0..slots {
            let mut row = vec![(set, -1.0)];
            for (class, fits) in classes.iter().enumerate() {
                if fits[combination][slot] && counts[class] > 0 {
                    let most = small(bound.min(counts[class]));
                    let filling = problem.add_integer_var(0.0, (0, most));
                    row.push((filling, 1.0));
                    of_class[class].push((filling, 1.0));
                    fillings.push((combination, slot, class, filling));
                }
            }
            problem.add_constraint(&row, ComparisonOp::Eq, 0.0);
        }
    }
    for (class, row) in of_class.iter().enumerate() {
        if !row.is_empty() {
            problem.add_constraint(row, ComparisonOp::Le, f64::from(small(counts[class])));
        }
    }
    Stated {
        problem,
        sets,
        fillings,
    }
}

/// How many sets of a combination there can be at most: what suits the slot that the fewest things suit.
fn bound(slots: usize, combination: usize, classes: &[Fits], counts: &[usize]) -> usize {
    let suiting = |slot: usize| {
        let fitting = classes.iter().zip(counts);
        fitting
            .filter(|(fits, _)| fits[combination][slot])
            .map(|(_, count)| *count)
            .sum()
    };
    (0..slots).map(suiting).min().unwrap_or_default()
}

fn small(count: usize) -> i32 {
    i32::try_from(count).unwrap_or(i32::MAX)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// The most sets by trying every way to make one more.
    fn exhaustive(slots: usize, classes: &[Fits], counts: &mut [usize]) -> usize {
        let combinations = classes.first().map_or(0, Vec::len);
        let mut most = 0;
        for combination in 0..combinations {
            fill(0, combination, slots, classes, counts, &mut most);
        }
        most
    }

    fn fill(
        slot: usize,
        combination: usize,
        slots: usize,
        classes: &[Fits],
        counts: &mut [usize],
        most: &mut usize,
    ) {
        if slot == slots {
            *most = (*most).max(1 + exhaustive(slots, classes, counts));
            return;
        }
        for class in 0..classes.len() {
            if counts[class] > 0 && classes[class][combination][slot] {
                counts[class] -= 1;
                fill(slot + 1, combination, slots, classes, counts, most);
                counts[class] += 1;
            }
        }
    }

    fn classes() -> impl Strategy<Value = Vec<Fits>> {
        let slots = prop::collection::vec(prop::bool::weighted(0.5), 3);
        prop::collection::vec(prop::collection::vec(slots, 2), 1..5)
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(400))]

        #[test]
        fn equals_exhaustive_search(classes in classes(), counts in prop::collection::vec(0..4_usize, 5)) {
            let mut counts = counts[..classes.len()].to_vec();
            let mut puzzle = Puzzle::new(3, classes.clone());
            let found = puzzle.most(&counts).unwrap();
            prop_assert!(found.sets <= puzzle.bound(&counts));
            prop_assert_eq!(found.sets, exhaustive(3, &classes, &mut counts));
            // What is kept of it is the same.
            prop_assert_eq!(puzzle.most(&counts).unwrap(), found);
        }
    }

    #[test]
    fn one_of_each_is_one_set() {
        let only = |slot: usize| vec![(0..3).map(|other| other == slot).collect::<Vec<bool>>()];
        let mut puzzle = Puzzle::new(3, vec![only(0), only(1), only(2)]);
        assert_eq!(puzzle.most(&[5, 1, 9]).unwrap().sets, 1);
        assert_eq!(puzzle.most(&[5, 0, 9]).unwrap().sets, 0);
        assert_eq!(puzzle.most_with(&[5, 1, 9], 1, 1).unwrap().sets, 2);
    }
}
