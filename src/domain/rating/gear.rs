//! Gear of which a figure is asked about: of which kind it is, how thick, and what breaks it.

use super::doubt::Doubt;
use super::{RatingDraft, word};
use crate::domain::entered::{EnteredForce, EnteredLength};
use crate::domain::{Kind, ModelDraft};
use crate::rigging::{Force, LoadingMode, StrengthKind, digits};

/// What people hang on by rope breaks below this, in kilonewtons. Common practice, no source.
const BREAKING: f64 = 100.0;
/// What stands on the ground or is fixed in it: usual figures end at about 40 kN, and this is twice that. Common practice,
/// no source.
const BREAKING_OF_ANCHORS: f64 = 80.0;
/// A clamp is tried with 4 kN (EN 567:2013) or 11 kN (NFPA 1983:2012), and ten times 4 kN is well above this. Common
/// practice, no source.
const BREAKING_OF_CLAMPS: f64 = 30.0;
/// Of rope and cord, for each square millimetre of the diameter squared: six times the 0.2 kN that EN 564 asks of cord of
/// 4 to 8 mm. The strongest fibres in use stay below that, and ten times what the standard asks is above it. Common practice,
/// no source.
const BREAKING_BY_THICKNESS: f64 = 1.2;
/// What may be carried by the rest: what breaks it, divided by the smallest factor in use for gear that people hang on, 5.
/// Common practice, no source.
const CARRYING: f64 = BREAKING / 5.0;
/// Slings for lifting goods are made for whole tonnes, as a rule up to this many. Common practice, no source.
const TONNES_OF_SLINGS: f64 = 4.0;
/// The same of what stands or is fixed, for people: a quarter of where its usual figures end. Common practice, no source.
const CARRYING_BY_ANCHORS: f64 = 10.0;
/// The working limit of what is fixed: a quarter of the strongest, 50 kN. Common practice, no source.
const CARRYING_BY_STRONG_ANCHORS: f64 = 12.5;
/// The same of what one or two people hang on or lie in: some 300 kg in use, and well below ten times the least, 100 kg.
/// Common practice, no source.
const CARRYING_PEOPLE: f64 = 8.0;
/// The same of a litter: NFPA 1983 asks 11 kN of it, and ten times the least that litters are rated for, 150 kg, is above this.
/// Common practice, no source but for the former.
const CARRYING_LITTER: f64 = 12.0;
/// The same of what one person wears, and at times a second is carried by: well below ten times a light person. Common
/// practice, no source.
const CARRYING_WEARER: f64 = 5.0;
/// What breaks gear is seldom less than so many times what it may carry. Common practice, no source.
const FACTOR: f64 = 3.0;
/// The same of what stands or is fixed: 29 CFR 1926.502(d)(15) takes an anchor with a factor of 2.
const FACTOR_OF_ANCHORS: f64 = 2.0;

/// What is known of gear of which a figure is asked about.
#[derive(Clone, Debug)]
pub struct Gear {
    /// The kinds that it may be of: where several are possible, what gear of any of them may have is not asked.
    kinds: Vec<Kind>,
    /// The diameter in millimetres, of rope and cord.
    thickness: Option<f64>,
    /// What breaks it, by how it is loaded.
    breaking: Vec<(LoadingMode, EnteredForce)>,
}

impl From<Kind> for Gear {
    fn from(kind: Kind) -> Self {
        Self::of_any(vec![kind])
    }
}

impl Gear {
    /// Gear of one of these kinds, of which no more is known.
    pub fn of_any(kinds: Vec<Kind>) -> Self {
        Self {
            kinds,
            thickness: None,
            breaking: Vec::new(),
        }
    }

    /// Gear of a kind with what is typed of its model.
    pub fn typed(kind: Kind, draft: &ModelDraft) -> Self {
        let mut gear = Self::from(kind);
        if let Some(diameter) = draft.attributes.get("diameter") {
            gear.is_thick(diameter);
        }
        for rating in &draft.ratings {
            gear.is_rated(rating);
        }
        gear
    }

    /// Takes the diameter, where it can be read.
    pub fn is_thick(&mut self, diameter: &str) {
        if let Ok(length) = EnteredLength::read(diameter, None) {
            self.thickness = Some(length.quantity().millimetres());
        }
    }

    /// Takes a rating, where it says what breaks it.
    pub fn is_rated(&mut self, rating: &RatingDraft) {
        if let (Some(StrengthKind::Breaking), Some(mode), Ok(force)) = (
            rating.strength_kind(),
            word(&rating.mode),
            EnteredForce::read(&rating.value, None),
        ) {
            self.breaks_at(mode, force);
        }
    }

    /// Takes what breaks it, loaded so.
    pub fn breaks_at(&mut self, mode: LoadingMode, force: EnteredForce) {
        self.breaking.push((mode, force));
    }

    /// Why a figure of it is asked about; none where such gear may well have it. What an approval rates is rated in no way of
    /// loading, and held against the most that breaks it.
    pub fn doubt(
        &self,
        of: StrengthKind,
        mode: Option<LoadingMode>,
        force: Force,
    ) -> Option<Doubt> {
        let most = self.kinds.iter().map(|kind| kind.most(of, self.thickness));
        let most = most.reduce(f64::max)?;
        let lifts = self.kinds.iter().any(|kind| kind.lifts_goods(of, force));
        if force.kilonewtons() > most && !lifts {
            return Some(Doubt::lost_mark(self.why(of, most)));
        }
        if of == StrengthKind::Breaking {
            return None;
        }
        let breaking = self.breaking.iter();
        let breaking = breaking.filter(|(loaded, _)| mode.is_none_or(|mode| mode == *loaded));
        let strength = |(_, force): &&(LoadingMode, EnteredForce)| force.quantity().newtons();
        let (_, breaking) = breaking.max_by(|a, b| strength(a).total_cmp(&strength(b)))?;
        let times = breaking.quantity().newtons() / force.newtons();
        let factors = self.kinds.iter().map(|kind| kind.least_factor());
        let least = factors.reduce(f64::min)?;
        // A rating that is more than what breaks it is refused beside it.
        let is_refused = mode.is_some() && times < 1.0;
        // A hair, so that a third is not asked.
        (times < least * (1.0 - 1e-9) && !is_refused).then(|| {
            Doubt::of(format!(
                "What breaks it, {breaking}, is only {} times that, and of such gear seldom less than {least} times.",
                digits(times, 3)
            ))
        })
    }

    fn why(&self, of: StrengthKind, most: f64) -> String {
        let lost = "and a decimal mark that was lost makes it ten times too strong.";
        if of == StrengthKind::Breaking {
            let thick = self
                .thickness
                .filter(|_| most < BREAKING && self.is_fibre());
            let thick = thick.map_or_else(String::new, |mm| format!(" of {mm} mm"));
            return format!(
                "Such gear{thick} seldom holds more than {} kN, {lost}",
                digits(most, 3)
            );
        }
        let mass = Force::from_kilonewtons(most).map(Force::kilograms_force);
        let mass = mass.map_or_else(|_| String::new(), |mass| digits(mass, 3));
        format!(
            "The {} of such gear is seldom above {most} kN, the weight of {mass} kg, {lost}",
            of.words()
        )
    }

    fn is_fibre(&self) -> bool {
        let mut kinds = self.kinds.iter();
        kinds.all(|kind| matches!(kind, Kind::Rope | Kind::Cord))
    }
}

impl Kind {
    fn is_anchor(self) -> bool {
        matches!(self, Self::Tripod | Self::AnchorDevice)
    }

    fn least_factor(self) -> f64 {
        if self.is_anchor() {
            FACTOR_OF_ANCHORS
        } else {
            FACTOR
        }
    }

    /// Whether a figure is one of those that slings for lifting goods are made for, which are far above those for people.
    fn lifts_goods(self, of: StrengthKind, force: Force) -> bool {
        let tonnes = force.kilograms_force() / 1000.0;
        let is_whole = (tonnes - tonnes.round()).abs() < 1e-9 && tonnes.round() <= TONNES_OF_SLINGS;
        self == Self::Sling && of == StrengthKind::WorkingLimit && is_whole
    }

    /// What gear of this kind has at most as a rule, in kilonewtons: a strength that breaks it, or what it may carry.
    fn most(self, of: StrengthKind, thickness: Option<f64>) -> f64 {
        if of == StrengthKind::Breaking {
            return match self {
                Self::Rope | Self::Cord => {
                    thickness.map_or(BREAKING, |mm| BREAKING.min(BREAKING_BY_THICKNESS * mm * mm))
                }
                Self::RopeClamp => BREAKING_OF_CLAMPS,
                _ if self.is_anchor() => BREAKING_OF_ANCHORS,
                _ => BREAKING,
            };
        }
        match self {
            Self::AnchorDevice if of == StrengthKind::WorkingLimit => CARRYING_BY_STRONG_ANCHORS,
            Self::Harness | Self::Lanyard => CARRYING_WEARER,
            Self::Litter => CARRYING_LITTER,
            Self::Descender | Self::BackUpDevice | Self::RopeClamp => CARRYING_PEOPLE,
            _ if self.is_anchor() => CARRYING_BY_ANCHORS,
            _ => CARRYING,
        }
    }
}
