//! A rule that is one number: what a team may set otherwise, and which way is stricter.

use super::Amount;
use crate::domain::Cited;

/// Which way a number asks for more.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stricter {
    /// A higher number.
    Higher,
    /// A lower number.
    Lower,
}

/// A rule that is one number.
pub trait Numbered {
    /// The name of the rule.
    fn rule(&self) -> String;
    /// What the number is of, in words.
    fn of(&self) -> String;
    /// The number.
    fn amount(&self) -> Amount;
    /// The same in another unit, as printed beside it.
    fn beside(&self) -> Option<Amount>;
    /// Puts another number of the same kind in its place; false if it is of another kind or outside
    /// the limits of the quantity.
    fn put(&mut self, amount: Amount) -> bool;
    /// Which way it asks for more.
    fn stricter(&self) -> Stricter;
    /// Where it is from.
    fn cited(&self) -> &Cited;
    /// Where it is from, to be changed.
    fn cited_mut(&mut self) -> &mut Cited;
}
