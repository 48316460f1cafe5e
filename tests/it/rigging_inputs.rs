//! The inputs of a line of check values, as quantities.

use std::collections::BTreeMap;

use ropeloft::rigging::{
    Angle, Efficiency, FallFactor, Force, Friction, Length, LinearMass, Mass, Rig, shipped_rig,
};

/// The inputs of a line: `name=value` with blanks between.
pub struct Inputs<'a>(BTreeMap<&'a str, &'a str>);

impl<'a> Inputs<'a> {
    pub fn read(text: &'a str) -> Self {
        Self(
            text.split(' ')
                .map(|pair| pair.split_once('=').unwrap())
                .collect(),
        )
    }

    pub fn given(&self, name: &str) -> Option<&'a str> {
        self.0.get(name).copied()
    }

    pub fn has(&self, name: &str) -> bool {
        self.0.contains_key(name)
    }

    pub fn text(&self, name: &str) -> &'a str {
        self.0.get(name).unwrap_or_else(|| panic!("no {name}"))
    }

    pub fn number(&self, name: &str) -> f64 {
        self.text(name).parse().unwrap()
    }

    pub fn newtons(&self, name: &str) -> Force {
        Force::from_newtons(self.number(name)).unwrap()
    }

    pub fn metres(&self, name: &str) -> Length {
        Length::from_metres(self.number(name)).unwrap()
    }

    pub fn degrees(&self, name: &str) -> Angle {
        Angle::from_degrees(self.number(name)).unwrap()
    }

    pub fn turns(&self) -> Angle {
        Angle::from_turns(self.number("turns")).unwrap()
    }

    pub fn friction(&self) -> Friction {
        Friction::from_coefficient(self.number("mu")).unwrap()
    }

    pub fn efficiency(&self) -> Efficiency {
        Efficiency::from_share(self.number("e")).unwrap()
    }

    pub fn mass(&self) -> Mass {
        Mass::from_kilograms(self.number("mass_kg")).unwrap()
    }

    /// A force in whichever unit it is given, such as `load_kn` or `load_lbf`.
    pub fn force(&self, name: &str) -> Force {
        let given = |unit| {
            self.0
                .get(format!("{name}_{unit}").as_str())
                .map(|text| text.parse().unwrap())
        };
        if let Some(newtons) = given("n") {
            return Force::from_newtons(newtons).unwrap();
        }
        if let Some(pounds) = given("lbf") {
            return Force::from_pounds_force(pounds).unwrap();
        }
        Force::from_kilonewtons(given("kn").unwrap()).unwrap()
    }

    pub fn load(&self) -> Force {
        if self.has("mass_kg") {
            self.mass().weight()
        } else {
            self.force("load")
        }
    }

    pub fn fall_factor(&self) -> FallFactor {
        FallFactor::from_ratio(self.number("factor")).unwrap()
    }

    pub fn kilograms_per_metre(&self) -> LinearMass {
        LinearMass::from_kilograms_per_metre(self.number("kg_per_m")).unwrap()
    }

    pub fn rig(&self) -> &'static Rig {
        shipped_rig(self.text("rig")).unwrap()
    }
}
