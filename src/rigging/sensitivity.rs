//! Which input moves the answer most.
//!
//! Each input is moved by itself to both ends of its range, or by a tenth where it has none, and the
//! least safety factor of the whole rig is looked at again. All other inputs stay as they are, with
//! their ranges, so the answer is about the verdict and not about one part.

use serde::Serialize;

use super::gap::Gap;
use super::{
    Angle, Assessment, Band, Conditions, Efficiency, Fitted, Force, Friction, Outfit, Post, Rig,
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
        let ends = ends(
            item.wheel.as_ref()?.efficiency,
            Efficiency::share,
            |share| Efficiency::from_share(share.min(1.0)).ok(),
        )?;
        let at = |share: Efficiency| {
            self.with_item(key, format!("{:.3}", share.share()), |item| {
                if let Some(wheel) = &mut item.wheel {
                    wheel.efficiency = Band::exactly(share);
                }
            })
        };
        Some(Swing {
            input: format!("Efficiency of the sheaves of {}", item.label),
            one: at(ends[0]),
            other: at(ends[1]),
        })
    }

    fn standing(&self, key: &str, item: &Fitted) -> Option<Swing> {
        let Turning::OneWay { friction, source } = &item.wheel.as_ref()?.turning else {
            return None;
        };
        let at = |mu: Friction| {
            self.with_item(key, format!("{:.3}", mu.coefficient()), |item| {
                if let Some(wheel) = &mut item.wheel {
                    wheel.turning = Turning::OneWay {
                        friction: Band::exactly(mu),
                        source: source.clone(),
                    };
                }
            })
        };
        let ends = ends(*friction, Friction::coefficient, |mu| {
            Friction::from_coefficient(mu).ok()
        })?;
        Some(Swing {
            input: format!("Friction of the standing sheave of {}", item.label),
            one: at(ends[0]),
            other: at(ends[1]),
        })
    }

    fn post(&self, key: &str, item: &Fitted) -> Option<Swing> {
        let Post { friction, source } = item.post.as_ref()?;
        let at = |mu: Friction| {
            self.with_item(key, format!("{:.3}", mu.coefficient()), |item| {
                item.post = Some(Post {
                    friction: Band::exactly(mu),
                    source: source.clone(),
                });
            })
        };
        let ends = ends(*friction, Friction::coefficient, |mu| {
            Friction::from_coefficient(mu).ok()
        })?;
        Some(Swing {
            input: format!("Friction of rope on {}", item.label),
            one: at(ends[0]),
            other: at(ends[1]),
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

/// The two values that an input is moved to.
fn ends<T: Copy + PartialEq>(
    band: Band<T>,
    number: impl Fn(T) -> f64,
    read: impl Fn(f64) -> Option<T>,
) -> Option<[T; 2]> {
    if band.is_exact() {
        let likely = number(band.likely());
        return Some([read(likely * (1.0 - STEP))?, read(likely * (1.0 + STEP))?]);
    }
    Some([band.low(), band.high()])
}
