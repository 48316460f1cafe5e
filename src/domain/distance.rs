//! How far an item is from being allowed on.

use std::iter::Sum;

use super::{Mend, Refusal, RefusalCode};

/// How far an item is from being allowed where it is refused; the smaller, the nearer.
///
/// What is made for something else is furthest, however few the reasons: no record that is true makes it do. Then count the
/// reasons that nothing mends, one cause once, then all of them, then how much is lacking.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Distance {
    /// How many reasons say that it is made for something else.
    pub of_another_sort: usize,
    /// How many of the others no record, examination or word of its maker would mend, as far as can be told.
    pub lasting: usize,
    /// How many reasons there are, one cause once.
    pub reasons: usize,
    /// How much of what they ask is lacking, all together.
    pub short: Shortfall,
}

impl Distance {
    /// By what speaks against it.
    pub fn of(refusals: &[Refusal]) -> Self {
        let causes = causes(refusals);
        let count = |counts: fn(&Refusal) -> bool| {
            let counted = causes.iter().filter(|(refusal, _)| counts(refusal));
            counted.count()
        };
        Self {
            of_another_sort: count(Refusal::is_of_another_sort),
            lasting: count(|refusal| !refusal.is_of_another_sort() && !refusal.is_mendable()),
            reasons: causes.len(),
            short: causes.iter().map(|(_, short)| *short).sum(),
        }
    }
}

/// The reasons, each cause once, with how much is lacking: that it may carry too little, or holds too little, is one cause
/// however many papers say so, and lacks as much as the least of them.
fn causes(refusals: &[Refusal]) -> Vec<(&Refusal, Shortfall)> {
    let mut causes: Vec<(&Refusal, Shortfall)> = Vec::new();
    for refusal in refusals {
        let mut before = causes.iter_mut().filter(|_| refusal.is_too_little());
        match before.find(|(before, _)| before.code == refusal.code) {
            Some((before, short)) => {
                *short = (*short).max(refusal.short);
                // What nothing mends stands for the others.
                if before.is_mendable() {
                    *before = refusal;
                }
            }
            None => causes.push((refusal, refusal.short)),
        }
    }
    causes
}

/// How much is lacking of what is asked, as a share of it; nothing where that is no matter of more or less.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Shortfall(
    /// In millionths.
    u32,
);

impl Shortfall {
    /// What `has` lacks of what is `asked`, both in one unit; nothing where it is as much, or cannot be told.
    pub fn of(has: f64, asked: f64) -> Self {
        let share = 1.0 - has / asked;
        if !share.is_finite() {
            return Self::default();
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "between none and a million"
        )]
        let millionths = (share.clamp(0.0, 1.0) * 1e6).round() as u32;
        Self(millionths)
    }
}

impl Sum for Shortfall {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        Self(all.fold(0, |sum, one| sum.saturating_add(one.0)))
    }
}

impl Refusal {
    /// Whether it says that the item is made for something else: it lacks a part, or its maker had it approved, but to
    /// other standards.
    pub fn is_of_another_sort(&self) -> bool {
        let is_approved_otherwise = self.code == RefusalCode::NotApproved && self.fact.is_none();
        self.is_for_good() || is_approved_otherwise
    }

    /// Whether it says that the item may carry or holds less than is asked.
    fn is_too_little(&self) -> bool {
        use RefusalCode as Code;
        matches!(self.code, Code::RatedLoad | Code::StrengthBelowMinimum)
    }

    /// Whether something might mend it: an examination, a step, a fact that is not on record. That an approval is not on
    /// record hardly ever means that the item has it.
    fn is_mendable(&self) -> bool {
        use RefusalCode as Code;
        match self.code {
            Code::Retired | Code::PastLife | Code::UsedUp | Code::NotApproved => false,
            Code::OnAnotherJob | Code::OnThisJob | Code::PositionFilled => true,
            _ => self.lacks.is_some() || !matches!(self.mend, None | Some(Mend::ModelRecord(_))),
        }
    }
}
