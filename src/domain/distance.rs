//! How far an item is from being allowed on.

use super::{Mend, Refusal, RefusalCode};

/// How far an item is from being allowed where it is refused; the smaller, the nearer.
///
/// What is made for something else is furthest, however few the reasons: no record that is true makes it do. Then count the
/// reasons that nothing mends, then all of them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Distance {
    /// How many reasons say that it is made for something else.
    pub of_another_sort: usize,
    /// How many of the others no record, examination or word of its maker would mend, as far as can be told.
    pub lasting: usize,
    /// How many reasons there are.
    pub reasons: usize,
}

impl Distance {
    /// By what speaks against it.
    pub fn of(refusals: &[Refusal]) -> Self {
        let count = |counts: fn(&Refusal) -> bool| {
            let counted = refusals.iter().filter(|refusal| counts(refusal));
            counted.count()
        };
        Self {
            of_another_sort: count(Refusal::is_of_another_sort),
            lasting: count(|refusal| !refusal.is_of_another_sort() && !refusal.is_mendable()),
            reasons: refusals.len(),
        }
    }
}

impl Refusal {
    /// Whether it says that the item is made for something else: it lacks a part, or its maker had it approved, but to
    /// other standards.
    pub fn is_of_another_sort(&self) -> bool {
        let is_approved_otherwise = self.code == RefusalCode::NotApproved && self.fact.is_none();
        self.is_for_good() || is_approved_otherwise
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
