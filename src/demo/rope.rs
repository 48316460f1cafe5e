//! What is measured on ropes: they thin with the years, most in the middle, and are a little shorter after each wash.

use time::Date;

use super::chance::Chance;
use crate::domain::{AnswerDraft, ExaminationDraft, Item, Kind, Model};

/// How much a rope thins in a year, in hundredths of a millimetre, at its three places; the middle runs most.
const THINS: [u8; 3] = [4, 6, 5];

/// Writes down diameters and length of a rope as they are on a day.
pub(super) fn measure(
    draft: &mut ExaminationDraft,
    (item, model): (&Item, &Model),
    on: Date,
    seed: &str,
) {
    let (Kind::Rope, Some(made)) = (model.kind, item.made) else {
        return;
    };
    let days = (on - made.cautious_day()).whole_days().max(0);
    let years = f64::from(u16::try_from(days).unwrap_or(u16::MAX)) / 365.25;
    let mut chance = Chance::named(seed);
    if let Some(nominal) = model.attributes.length("diameter") {
        let values = THINS.map(|thins| {
            let lost = f64::from(thins) * years + f64::from(chance.below(7));
            format!("{:.2} mm", nominal.quantity().millimetres() - lost / 100.0)
        });
        answer(draft, "diameter", values.into());
    }
    let length = |key| item.attributes.length(key);
    if let Some(now) = length("length") {
        // What it loses it loses in its first six years.
        let new = length("length-new").unwrap_or(now).quantity().metres();
        let share = (years / 6.0).min(1.0);
        let metres = new - (new - now.quantity().metres()) * share;
        answer(draft, "length", vec![format!("{metres:.1} m")]);
    }
}

fn answer(draft: &mut ExaminationDraft, key: &str, values: Vec<String>) {
    let answer: &mut AnswerDraft = draft.answers.entry(key.to_owned()).or_default();
    answer.values = values;
}
