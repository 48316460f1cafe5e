//! Words for days, moments and quantities.
//!
//! Numbers are rounded here, for show, and nowhere else.

use time::Date;

use crate::{
    domain::{Cited, Units, counted},
    rigging::{Force, Length, Mass},
};

pub use crate::rigging::digits;

/// A force with three digits that count: "1.54 kN", "346 lbf".
pub fn force(force: Force, units: Units) -> String {
    units.force(force)
}

/// A mass: "120 kg", "265 lb".
pub fn mass(mass: Mass, units: Units) -> String {
    match units {
        Units::Metric => format!("{} kg", digits(mass.kilograms(), 3)),
        Units::Us => format!("{} lb", digits(mass.pounds(), 3)),
    }
}

/// A thickness or an opening: "12.7 mm", "0.5 in".
pub fn thickness(length: Length, units: Units) -> String {
    match units {
        Units::Metric => format!("{} mm", digits(length.millimetres(), 3)),
        Units::Us => format!("{} in", digits(length.inches(), 3)),
    }
}

/// A length of rope, a depth: "70 m", "230 ft".
pub fn length(length: Length, units: Units) -> String {
    match units {
        Units::Metric => format!("{} m", digits(length.metres(), 3)),
        Units::Us => format!("{} ft", digits(length.feet(), 3)),
    }
}

/// A share of something: "1/4", "5/4", "1", and three digits where it is no small fraction.
pub fn share(ratio: f64) -> String {
    for parts in 1_u8..=32 {
        let whole = (ratio * f64::from(parts)).round();
        if (ratio * f64::from(parts) - whole).abs() < 1e-9 {
            return match parts {
                1 => format!("{whole}"),
                _ => format!("{whole}/{parts}"),
            };
        }
    }
    digits(ratio, 3)
}

/// A day as it is written everywhere: "2026-03-01".
pub fn day(day: Date) -> String {
    day.to_string()
}

/// A day with its weekday: "Sunday 2026-03-01".
pub fn weekday(day: Date) -> String {
    format!("{} {day}", day.weekday())
}

/// The longest time between examinations and its rule, said once: "at least every 6 months: maker's interval". A rule
/// whose own words name the time stands alone.
pub fn every(months: u16, rule: &Cited) -> String {
    let time = count(usize::from(months), "month", "months");
    if rule.source.contains(&format!("every {time}")) {
        rule.to_string()
    } else {
        format!("at least every {time}: {rule}")
    }
}

/// How far `day` is from `today`: "today", "in 12 days", "3 days ago", "in 4 months". Whole months
/// and years of the calendar, never rounded up.
pub fn from_today(day: Date, today: Date) -> String {
    let days = (day - today).whole_days();
    let far = match days.unsigned_abs() {
        0 => return "today".to_owned(),
        1 if days > 0 => return "tomorrow".to_owned(),
        1 => return "yesterday".to_owned(),
        n @ 2..=60 => format!("{n} days"),
        _ => match whole_months(day.min(today), day.max(today)) {
            n @ ..24 => count_of(n, "month"),
            n => count_of(n / 12, "year"),
        },
    };
    if days > 0 {
        format!("in {far}")
    } else {
        format!("{far} ago")
    }
}

fn whole_months(from: Date, to: Date) -> i32 {
    let month = |day: Date| day.year() * 12 + i32::from(u8::from(day.month()));
    month(to) - month(from) - i32::from(to.day() < from.day())
}

fn count_of(n: i32, one: &str) -> String {
    format!("{n} {one}{}", if n == 1 { "" } else { "s" })
}

/// A count with its noun: "1 item", "3 items", "no items".
pub fn count(n: usize, one: &str, many: &str) -> String {
    match n {
        0 => format!("no {many}"),
        n => counted(n, one, many),
    }
}

/// A whole number in groups of three: "3,412".
pub fn grouped(n: u64) -> String {
    let digits = n.to_string();
    let mut text = String::with_capacity(digits.len() + digits.len() / 3);
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::Known;
    use time::macros::date;

    #[test]
    fn digits_that_say_nothing_are_left_out() {
        let cases = [
            (0.0, "0"),
            (1.5396, "1.54"),
            (9.999, "10"),
            (12.7, "12.7"),
            (22.0, "22"),
            (1234.6, "1235"),
            (0.036_15, "0.0362"),
            (-2.5, "-2.5"),
        ];
        for (value, text) in cases {
            assert_eq!(digits(value, 3), text);
        }
    }

    #[test]
    fn a_share_is_told_as_a_fraction_where_it_is_one() {
        let cases = [
            (0.25, "1/4"),
            (1.0, "1"),
            (1.25, "5/4"),
            (2.0 / 9.0, "2/9"),
            (0.5_f64.sqrt(), "0.707"),
            (0.0, "0"),
        ];
        for (ratio, text) in cases {
            assert_eq!(share(ratio), text);
        }
    }

    #[test]
    fn a_quantity_is_shown_as_the_person_reads_it() {
        // 22 kN / 4.4482216152605 N per lbf = 4945.8 lbf; 12.7 mm is half an inch by definition.
        let strength = Force::from_kilonewtons(22.0).unwrap();
        let rope = Length::from_millimetres(12.7).unwrap();
        assert_eq!(force(strength, Units::Us), "4946 lbf");
        assert_eq!(thickness(rope, Units::Us), "0.5 in");
        assert_eq!(force(strength, Units::Metric), "22 kN");
        assert_eq!(thickness(rope, Units::Metric), "12.7 mm");
    }

    #[test]
    fn an_interval_is_said_once() {
        let rule = |source: &str| Cited::new(source, Known::ReadSecondary);
        let named = rule("clause 4.4: examination at least every 12 months");
        assert_eq!(every(12, &named), named.to_string());
        for (months, source) in [
            (6, "clause 4.4: examination at least every 12 months"),
            (2, "clause 4.4: examination at least every 12 months"),
            (1, "maker's interval"),
        ] {
            let words = every(months, &rule(source));
            let time = count(usize::from(months), "month", "months");
            assert_eq!(words, format!("at least every {time}: {}", rule(source)));
        }
    }

    #[test]
    fn great_numbers_stand_in_groups() {
        let cases = [
            (0, "0"),
            (999, "999"),
            (3412, "3,412"),
            (1_000_000, "1,000,000"),
        ];
        for (number, text) in cases {
            assert_eq!(grouped(number), text);
        }
    }

    #[test]
    fn far_days_are_told_in_words() {
        let today = date!(2026 - 03 - 01);
        let cases = [
            (date!(2026 - 03 - 01), "today"),
            (date!(2026 - 03 - 02), "tomorrow"),
            (date!(2026 - 02 - 28), "yesterday"),
            (date!(2026 - 03 - 13), "in 12 days"),
            (date!(2025 - 12 - 31), "60 days ago"),
            (date!(2026 - 07 - 01), "in 4 months"),
            (date!(2031 - 03 - 01), "in 5 years"),
            (date!(2031 - 02 - 28), "in 4 years"),
            (date!(2026 - 05 - 31), "in 2 months"),
        ];
        for (day, words) in cases {
            assert_eq!(from_today(day, today), words);
        }
    }
}
