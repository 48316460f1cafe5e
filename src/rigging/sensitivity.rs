//! Which input moves the answer most.
//!
//! Each input is moved by itself to both ends of its range, or by a tenth where it has none, and the
//! least safety factor of the whole rig is looked at again. All other inputs stay as they are, with
//! their ranges, so the answer is about the verdict and not about one part.

use serde::Serialize;

use super::gap::Gap;
use super::{
    Angle, Assessment, Band, Conditions, Efficiency, Fitted, Force, Friction, Outfit, Rig,
    SafetyFactor, Turning, Wetness, assess,
};

/// How far an input without a range is moved, as a share of it.
const STEP: f64 = 0.1;
/// How far the angle of a leg is moved, in degrees.
const ANGLE_STEP: f64 = 5.0;

/// One input, moved to two values, and the least factor of the rig at each.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Swing {
    /// The input in words.
    pub input: String,
    /// The first value, and the least factor with it.
    pub one: End,
    /// The second value, and the least factor with it.
    pub other: End,
}

/// One value of an input and the least factor of the rig with it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct End {
    /// The value in words.
    pub value: String,
    /// The least factor; `None` if no part has a breaking strength, or the rig has no answer there.
    pub factor: Option<SafetyFactor>,
}

impl Swing {
    /// How far apart the two factors are.
    pub fn width(&self) -> f64 {
        match (self.one.factor, self.other.factor) {
            (Some(one), Some(other)) => (one.ratio() - other.ratio()).abs(),
            _ => f64::INFINITY,
        }
    }
}

/// Every input that the verdict rests on, the one that moves the least factor most first.
///
/// Inputs: the load, the efficiency of each pulley, the friction of each post and standing sheave, the
/// rating and the knot of the weakest link, water, and the angles of bridles.
///
/// # Errors
///
/// Everything that keeps the rig from being judged as it stands.
pub fn sensitivity(
    rig: &Rig,
    outfit: &Outfit,
    conditions: &Conditions,
) -> Result<Vec<Swing>, Vec<Gap>> {
    let base = assess(rig, outfit, conditions)?;
    let trial = Trial {
        rig,
        outfit,
        conditions,
    };
    let mut swings = vec![trial.load(), trial.water()];
    for (key, item) in outfit.iter() {
        let Some(position) = rig.position(key) else {
            continue;
        };
        if position.sheaves() > 0 {
            swings.extend(trial.efficiency(key, item));
            swings.extend(
                trial
                    .standing(key, item)
                    .filter(|_| position.needs_capture()),
            );
        }
        if rig.rubs(key) {
            swings.extend(trial.post(key, item));
        }
    }
    swings.extend(trial.weakest(&base));
    swings.extend((0..rig.bridles().len()).map(|bridle| trial.angle(bridle)));
    swings.sort_by(|a, b| b.width().total_cmp(&a.width()));
    Ok(swings)
}

/// Whether a rig holds under a tenth more load, by every check that it is judged by.
pub fn holds_a_tenth_more(rig: &Rig, outfit: &Outfit, conditions: &Conditions) -> bool {
    let mut conditions = conditions.clone();
    let more = Force::from_newtons(conditions.load.newtons() * (1.0 + STEP));
    conditions.load = more.unwrap_or(conditions.load);
    assess(rig, outfit, &conditions).is_ok_and(|answer| answer.passes)
}

/// A rig as it stands, to be asked again with one thing changed.
struct Trial<'a> {
    rig: &'a Rig,
    outfit: &'a Outfit,
    conditions: &'a Conditions,
}

impl Trial<'_> {
    fn with_item(&self, key: &str, value: String, change: impl Fn(&mut Fitted)) -> End {
        let mut outfit = self.outfit.clone();
        if let Some(mut item) = self.outfit.at(key).cloned() {
            change(&mut item);
            outfit.fit(key, item);
        }
        end(value, assess(self.rig, &outfit, self.conditions))
    }

    fn with_conditions(&self, value: String, change: impl Fn(&mut Conditions)) -> End {
        let mut conditions = self.conditions.clone();
        change(&mut conditions);
        end(value, assess(self.rig, self.outfit, &conditions))
    }

    fn load(&self) -> Swing {
        let at = |share: f64| {
            let load = Force::from_newtons(self.conditions.load.newtons() * share);
            let load = load.unwrap_or(self.conditions.load);
            self.with_conditions(load.to_string(), |conditions| conditions.load = load)
        };
        Swing {
            input: "The load".to_owned(),
            one: at(1.0 - STEP),
            other: at(1.0 + STEP),
        }
    }

    fn water(&self) -> Swing {
        let at = |words: &str, wetness| {
            self.with_conditions(words.to_owned(), |conditions| conditions.wetness = wetness)
        };
        Swing {
            input: "Water".to_owned(),
            one: at("dry", Wetness::Dry),
            other: at("wet", Wetness::Wet),
        }
    }

    fn efficiency(&self, key: &str, item: &Fitted) -> Option<Swing> {
        let number = Number {
            input: format!("Efficiency of the sheaves of {}", item.label),
            band: item.wheel.as_ref()?.efficiency,
            plain: Efficiency::share,
            read: |share| Efficiency::from_share(share.min(1.0)).ok(),
        };
        self.moved(key, number, |item, share| {
            if let Some(wheel) = &mut item.wheel {
                wheel.efficiency = share;
            }
        })
    }

    fn standing(&self, key: &str, item: &Fitted) -> Option<Swing> {
        let Turning::OneWay { friction, .. } = &item.wheel.as_ref()?.turning else {
            return None;
        };
        let of = format!("the standing sheave of {}", item.label);
        self.moved(key, Number::friction(&of, *friction), |item, mu| {
            if let Some(Turning::OneWay { friction, .. }) =
                item.wheel.as_mut().map(|wheel| &mut wheel.turning)
            {
                *friction = mu;
            }
        })
    }

    fn post(&self, key: &str, item: &Fitted) -> Option<Swing> {
        let of = format!("rope on {}", item.label);
        let friction = item.post.as_ref()?.friction;
        self.moved(key, Number::friction(&of, friction), |item, mu| {
            if let Some(post) = &mut item.post {
                post.friction = mu;
            }
        })
    }

    /// A number of one item at both ends of its range; `put` writes it where the item has it.
    fn moved<T: Copy + PartialEq>(
        &self,
        key: &str,
        number: Number<T>,
        put: impl Fn(&mut Fitted, Band<T>),
    ) -> Option<Swing> {
        let at = |end: T| {
            let value = format!("{:.3}", (number.plain)(end));
            self.with_item(key, value, |item| put(item, Band::exactly(end)))
        };
        let [one, other] = number.ends()?;
        Some(Swing {
            one: at(one),
            other: at(other),
            input: number.input,
        })
    }

    /// The rating of the weakest link, a tenth less and a tenth more.
    fn weakest(&self, base: &Assessment) -> Option<Swing> {
        let weakest = base.weakest.as_ref()?;
        let at = |share: f64| {
            let words = format!("{:.0} % of it", share * 100.0);
            self.with_item(&weakest.position, words, |item| {
                for rating in &mut item.strengths {
                    let scaled = Force::from_newtons(rating.force.newtons() * share);
                    rating.force = scaled.unwrap_or(rating.force);
                }
            })
        };
        Some(Swing {
            input: format!("The rating of {}", weakest.item),
            one: at(1.0 - STEP),
            other: at(1.0 + STEP),
        })
    }

    /// Every leg of a bridle some degrees nearer and further off.
    fn angle(&self, bridle: usize) -> Swing {
        let of = self.rig.words_of_bridle(bridle);
        let at = |step: f64| {
            let value = format!("{step:+.0} degrees each");
            match self.rig.with_legs_moved(bridle, |off| {
                Angle::from_degrees((off.degrees() + step).max(1.0)).unwrap_or(off)
            }) {
                Ok(rig) => end(value, assess(&rig, self.outfit, self.conditions)),
                Err(_) => End {
                    value,
                    factor: None,
                },
            }
        };
        Swing {
            input: format!("The angle of the legs that carry {of}"),
            one: at(-ANGLE_STEP),
            other: at(ANGLE_STEP),
        }
    }
}

fn end(value: String, answer: Result<Assessment, Vec<Gap>>) -> End {
    let factor = answer
        .ok()
        .and_then(|answer| answer.weakest.map(|weakest| weakest.factor));
    End { value, factor }
}

/// A number of an item that is known within a range.
struct Number<T> {
    /// The input in words.
    input: String,
    band: Band<T>,
    plain: fn(T) -> f64,
    read: fn(f64) -> Option<T>,
}

impl Number<Friction> {
    fn friction(of: &str, band: Band<Friction>) -> Self {
        Self {
            input: format!("Friction of {of}"),
            band,
            plain: Friction::coefficient,
            read: |mu| Friction::from_coefficient(mu).ok(),
        }
    }
}

impl<T: Copy + PartialEq> Number<T> {
    /// The two values that it is moved to: the ends of its range, or a tenth to each side.
    fn ends(&self) -> Option<[T; 2]> {
        if self.band.is_exact() {
            let at = |share: f64| (self.read)((self.plain)(self.band.likely()) * share);
            return Some([at(1.0 - STEP)?, at(1.0 + STEP)?]);
        }
        Some([self.band.low(), self.band.high()])
    }
}
