//! Days that are counted back from the day of the demo.

use time::{Date, Duration, OffsetDateTime, Time, Weekday};

use crate::domain::date::add_months;

/// The day so many calendar months before; a day that the month lacks becomes its last.
pub(super) fn months_before(day: Date, months: u16) -> Date {
    let years = months.div_ceil(12);
    let back = day
        .replace_day(1)
        .unwrap_or(day)
        .replace_year(day.year() - i32::from(years))
        .unwrap_or(day);
    let first = add_months(back, years * 12 - months);
    let last = first.month().length(first.year());
    first.replace_day(day.day().min(last)).unwrap_or(first)
}

/// The day itself, or the Friday before it on a weekend.
pub(super) fn working_day(day: Date) -> Date {
    match day.weekday() {
        Weekday::Saturday => day - Duration::days(1),
        Weekday::Sunday => day - Duration::days(2),
        _ => day,
    }
}

/// So many minutes after an hour of a day.
pub(super) fn moment(day: Date, hour: u8, minutes: i64) -> OffsetDateTime {
    day.with_time(Time::MIDNIGHT).assume_utc()
        + Duration::hours(i64::from(hour))
        + Duration::minutes(minutes)
}

#[cfg(test)]
mod tests {
    use time::macros::date;

    use super::*;

    #[test]
    fn months_go_back_to_the_last_day_there_is() {
        assert_eq!(
            months_before(date!(2028 - 08 - 31), 6),
            date!(2028 - 02 - 29)
        );
        assert_eq!(
            months_before(date!(2026 - 03 - 15), 12),
            date!(2025 - 03 - 15)
        );
        assert_eq!(
            months_before(date!(2026 - 01 - 31), 1),
            date!(2025 - 12 - 31)
        );
    }

    #[test]
    fn a_weekend_is_no_working_day() {
        assert_eq!(working_day(date!(2026 - 11 - 22)), date!(2026 - 11 - 20));
        assert_eq!(working_day(date!(2026 - 11 - 25)), date!(2026 - 11 - 25));
    }
}
