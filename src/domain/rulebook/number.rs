//! The numbers of a rulebook, each a rule of its own.

use super::named::{ARREST, DEPTH, FACTOR, Named, PERSON};
use super::numbered::{Numbered, Stricter};
use super::rule::{ArrestRule, DepthLimit, Factor, Interval, LifeRule, PersonMass, Retention};
use super::{Amount, Bound, FurtherPerson, Measure, Minimum, Rulebook, Side};
use crate::domain::Cited;
use crate::rigging::SafetyFactor;

/// The parts of [`Numbered`] that are alike: name, way and source.
macro_rules! numbered {
    ($rule:ty, $name:expr, $stricter:expr, $of:expr, $amount:expr, $beside:expr, $put:expr) => {
        impl Numbered for $rule {
            fn rule(&self) -> String {
                let name: fn(&$rule) -> String = $name;
                name(self)
            }
            fn of(&self) -> String {
                let of: fn(&$rule) -> String = $of;
                of(self)
            }
            fn amount(&self) -> Amount {
                let amount: fn(&$rule) -> Amount = $amount;
                amount(self)
            }
            fn beside(&self) -> Option<Amount> {
                let beside: fn(&$rule) -> Option<Amount> = $beside;
                beside(self)
            }
            fn put(&mut self, amount: Amount) -> bool {
                let put: fn(&mut $rule, Amount) -> bool = $put;
                put(self, amount)
            }
            fn stricter(&self) -> Stricter {
                let stricter: fn(&$rule) -> Stricter = $stricter;
                stricter(self)
            }
            fn cited(&self) -> &Cited {
                &self.from
            }
            fn cited_mut(&mut self) -> &mut Cited {
                &mut self.from
            }
        }
    };
}

/// Puts the amount into a place if it is of the kind.
macro_rules! put {
    ($place:expr, $amount:expr, $kind:ident) => {
        match $amount {
            Amount::$kind(value) => {
                $place = value;
                true
            }
            _ => false,
        }
    };
}

numbered!(
    Factor,
    |_| FACTOR.to_owned(),
    |_| Stricter::Higher,
    |_| "Factor on breaking strength".to_owned(),
    |rule| Amount::Factor(rule.value.ratio()),
    |_| None,
    |rule, amount| {
        let Amount::Factor(ratio) = amount else {
            return false;
        };
        SafetyFactor::from_ratio(ratio).is_ok_and(|factor| {
            rule.value = factor;
            true
        })
    }
);

numbered!(
    PersonMass,
    |_| PERSON.to_owned(),
    |_| Stricter::Higher,
    |_| "Mass of one person with kit".to_owned(),
    |rule| Amount::Mass(rule.mass),
    |_| None,
    |rule, amount| put!(rule.mass, amount, Mass)
);

numbered!(
    DepthLimit,
    |_| DEPTH.to_owned(),
    |_| Stricter::Lower,
    |_| "Depth without saying why".to_owned(),
    |rule| Amount::Length(rule.at_most),
    |rule| rule.or_printed.map(Amount::Length),
    |rule, amount| {
        rule.or_printed = None;
        put!(rule.at_most, amount, Length)
    }
);

numbered!(
    ArrestRule,
    |_| ARREST.to_owned(),
    |_| Stricter::Lower,
    |_| "Most that a person may be stopped with".to_owned(),
    |rule| Amount::Force(rule.at_most),
    |rule| rule.or_printed.map(Amount::Force),
    |rule, amount| {
        rule.or_printed = None;
        put!(rule.at_most, amount, Force)
    }
);

numbered!(
    Interval,
    Named::name,
    |_| Stricter::Lower,
    |rule| format!("Months between examinations: {}", rule.of),
    |rule| Amount::Months(rule.months),
    |_| None,
    |rule, amount| put!(rule.months, amount, Months)
);

numbered!(
    Retention,
    Named::name,
    |_| Stricter::Higher,
    |rule| format!("Months to keep: {}", rule.of),
    |rule| Amount::Months(rule.months.unwrap_or_default()),
    |_| None,
    |rule, amount| {
        let Amount::Months(months) = amount else {
            return false;
        };
        rule.months = Some(months);
        true
    }
);

numbered!(
    LifeRule,
    Named::name,
    |_| Stricter::Lower,
    |rule| format!("Years of life: {}", rule.of),
    |rule| Amount::Years(rule.years.unwrap_or_default()),
    |_| None,
    |rule, amount| {
        let Amount::Years(years) = amount else {
            return false;
        };
        rule.years = Some(years);
        true
    }
);

numbered!(
    Minimum,
    Named::name,
    |_| Stricter::Higher,
    Minimum::words,
    |rule| Amount::Force(rule.at_least),
    |rule| rule.or_printed.map(Amount::Force),
    |rule, amount| {
        rule.or_printed = None;
        put!(rule.at_least, amount, Force)
    }
);

numbered!(
    FurtherPerson,
    Named::name,
    |_| Stricter::Higher,
    |rule| format!(
        "Strength of {} for each further person{}",
        rule.kind.one(),
        rule.standard
            .as_ref()
            .map(|standard| format!(", {standard}"))
            .unwrap_or_default()
    ),
    |rule| Amount::Force(rule.adds),
    |rule| rule.or_printed.map(Amount::Force),
    |rule, amount| {
        rule.or_printed = None;
        put!(rule.adds, amount, Force)
    }
);

numbered!(
    Bound,
    Named::name,
    |rule| match rule.side {
        Side::AtLeast => Stricter::Higher,
        Side::AtMost | Side::Below => Stricter::Lower,
    },
    Bound::words,
    |rule| rule.value.into(),
    |rule| rule.or_printed.map(Amount::from),
    |rule, amount| {
        let value = match (rule.value, amount) {
            (Measure::Length(_), Amount::Length(length)) => Measure::Length(length),
            (Measure::Force(_), Amount::Force(force)) => Measure::Force(force),
            _ => return false,
        };
        rule.or_printed = None;
        rule.value = value;
        true
    }
);

impl Rulebook {
    /// Every rule that is one number, in the order of a page.
    pub fn numbers(&self) -> Vec<&dyn Numbered> {
        let mut all: Vec<&dyn Numbered> = vec![&self.factor, &self.person];
        all.extend(self.depth.iter().map(|rule| rule as &dyn Numbered));
        all.extend(self.arrest.iter().map(|rule| rule as &dyn Numbered));
        all.extend(self.minimums.iter().map(|rule| rule as &dyn Numbered));
        all.extend(self.further.iter().map(|rule| rule as &dyn Numbered));
        all.extend(self.bounds.iter().map(|rule| rule as &dyn Numbered));
        all.extend(self.intervals.iter().map(|rule| rule as &dyn Numbered));
        let lives = self.lives.iter().filter(|rule| rule.years.is_some());
        all.extend(lives.map(|rule| rule as &dyn Numbered));
        let kept = self.retentions.iter().filter(|rule| rule.months.is_some());
        all.extend(kept.map(|rule| rule as &dyn Numbered));
        all
    }

    /// The same, to be changed.
    pub(super) fn numbers_mut(&mut self) -> Vec<&mut dyn Numbered> {
        let mut all: Vec<&mut dyn Numbered> = vec![&mut self.factor, &mut self.person];
        all.extend(self.depth.iter_mut().map(|rule| rule as &mut dyn Numbered));
        all.extend(self.arrest.iter_mut().map(|rule| rule as _));
        all.extend(self.minimums.iter_mut().map(|rule| rule as _));
        all.extend(self.further.iter_mut().map(|rule| rule as _));
        all.extend(self.bounds.iter_mut().map(|rule| rule as _));
        all.extend(self.intervals.iter_mut().map(|rule| rule as _));
        let lives = self.lives.iter_mut().filter(|rule| rule.years.is_some());
        all.extend(lives.map(|rule| rule as _));
        let kept = self
            .retentions
            .iter_mut()
            .filter(|rule| rule.months.is_some());
        all.extend(kept.map(|rule| rule as _));
        all
    }
}
