//! Quantities as they were entered, beside what they are in the units of whoever looks.

use super::{part::Facts, words};
use crate::domain::{
    Attribute, Attributes, Kind, Units, Value, Where,
    entered::{EnteredForce, EnteredLength, EnteredMass, ForceUnit, LengthUnit, MassUnit},
};

/// A quantity in words, and how it was entered where that differs.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Shown {
    /// What is read.
    pub words: String,
    /// "as entered: 5000 lbf"; may be empty.
    pub aside: String,
}

impl Shown {
    /// The same, saying so where such gear hardly ever has it and somebody confirmed that it is so.
    #[must_use]
    pub fn confirmed(mut self, is_confirmed: bool) -> Self {
        if is_confirmed {
            self.words.push_str(", confirmed");
        }
        self
    }
}

fn shown(native: bool, entered: String, converted: impl FnOnce() -> String) -> Shown {
    if native {
        return Shown {
            words: entered,
            aside: String::new(),
        };
    }
    Shown {
        words: converted(),
        aside: format!("as entered: {entered}"),
    }
}

/// A force.
pub fn force(entered: EnteredForce, units: Units) -> Shown {
    let native = match entered.unit() {
        ForceUnit::Kilonewton | ForceUnit::Newton => units == Units::Metric,
        ForceUnit::PoundForce => units == Units::Us,
        ForceUnit::Dekanewton | ForceUnit::KilogramForce => false,
    };
    shown(native, entered.to_string(), || {
        words::force(entered.quantity(), units)
    })
}

/// A mass.
pub fn mass(entered: EnteredMass, units: Units) -> Shown {
    let native = (entered.unit() == MassUnit::Kilogram) == (units == Units::Metric);
    shown(native, entered.to_string(), || {
        words::mass(entered.quantity(), units)
    })
}

/// A thickness or an opening.
pub fn thickness(entered: EnteredLength, units: Units) -> Shown {
    shown(is_native(entered, units), entered.to_string(), || {
        words::thickness(entered.quantity(), units)
    })
}

/// A length of rope or a height.
pub fn length(entered: EnteredLength, units: Units) -> Shown {
    shown(is_native(entered, units), entered.to_string(), || {
        words::length(entered.quantity(), units)
    })
}

fn is_native(entered: EnteredLength, units: Units) -> bool {
    let metric = !matches!(entered.unit(), LengthUnit::Inch | LengthUnit::Foot);
    metric == (units == Units::Metric)
}

/// The value of an attribute.
pub fn value(attribute: &Attribute, value: &Value, units: Units) -> Shown {
    match value {
        Value::Length(entered) if attribute.usual_length_unit() == LengthUnit::Metre => {
            length(*entered, units)
        }
        Value::Length(entered) => thickness(*entered, units),
        Value::Mass(entered) => mass(*entered, units),
        Value::Force(entered) => force(*entered, units),
        other => Shown {
            words: other.to_string(),
            aside: String::new(),
        },
    }
}

/// Every attribute of the kind that is kept there, known or not.
pub fn attribute_facts(kind: Kind, on: Where, known: &Attributes, units: Units) -> Facts {
    let mut facts = Facts::default();
    for attribute in kind.attributes() {
        if attribute.on == on {
            let shown = known
                .0
                .get(attribute.key)
                .map(|known| value(attribute, known, units))
                .unwrap_or_default();
            facts = facts.and_from(attribute.label, shown.words, shown.aside);
        }
    }
    facts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_entered_stays_beside_what_is_read() {
        // 5000 lbf * 4.4482216152605 N per lbf = 22241 N.
        let entered = EnteredForce::read("5000 lbf", None).unwrap();
        assert_eq!(force(entered, Units::Metric).words, "22.2 kN");
        assert_eq!(force(entered, Units::Metric).aside, "as entered: 5000 lbf");
        assert_eq!(force(entered, Units::Us).words, "5000 lbf");
        assert_eq!(force(entered, Units::Us).aside, "");
    }

    #[test]
    fn a_rope_is_long_in_metres_and_thick_in_millimetres() {
        let half_inch = EnteredLength::read("0.5 in", None).unwrap();
        assert_eq!(thickness(half_inch, Units::Metric).words, "12.7 mm");
        let length_ft = EnteredLength::read("200 ft", None).unwrap();
        // 200 ft * 0.3048 m per ft = 60.96 m.
        assert_eq!(length(length_ft, Units::Metric).words, "61 m");
    }
}
