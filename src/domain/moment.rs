//! Moments as they are typed and written: day and time on the clocks of a zone.

use time::{Date, OffsetDateTime, PrimitiveDateTime, Time, UtcOffset};

use super::{
    Local, Zone,
    date::{DateError, read_day, write_day},
};

/// Which moment is meant where the clocks are put back over a time, so that it comes twice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    /// The earlier one.
    First,
    /// The later one.
    Second,
}

/// Why a text is no moment.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum MomentError {
    /// Not a day and a time.
    #[error("Write day and time as 2026-03-01T08:00, not \"{0}\".")]
    Shape(String),
    /// A day out of reach.
    #[error(transparent)]
    Day(DateError),
    /// A time that the clocks jump over.
    #[error(
        "There is no {time} on {day} in {zone}: the clocks are put forward by {minutes} minutes over it. \
         Write an earlier or a later time."
    )]
    Never {
        /// The day.
        day: String,
        /// The time.
        time: String,
        /// The name of the zone.
        zone: String,
        /// How far the clocks jump.
        minutes: i32,
    },
}

/// Reads `2026-03-01T08:00` on the clocks of `zone`; a blank for the `T` and seconds are allowed. With an offset behind
/// it, `Z` or `+01:00`, it is that moment whatever the zone (RFC 3339).
///
/// # Errors
/// [`MomentError`], for a time that the clocks jump over too.
pub fn read_moment(text: &str, zone: &Zone, which: Which) -> Result<OffsetDateTime, MomentError> {
    let text = text.trim();
    let shape = || MomentError::Shape(text.chars().take(40).collect());
    let (day, clock) = text.split_once(['T', 't', ' ']).ok_or_else(shape)?;
    let day = match read_day(day) {
        Err(DateError::Day(_)) => return Err(shape()),
        day => day.map_err(MomentError::Day)?,
    };
    let (clock, offset) = split_offset(clock).ok_or_else(shape)?;
    let clock = PrimitiveDateTime::new(day, read_clock(clock).ok_or_else(shape)?);
    if let Some(offset) = offset {
        let moment = clock.assume_offset(offset);
        return Ok(moment.to_offset(UtcOffset::UTC));
    }
    match (zone.local(clock), which) {
        (Local::Once(moment), _)
        | (Local::Twice(moment, _), Which::First)
        | (Local::Twice(_, moment), Which::Second) => Ok(moment),
        (Local::Never(minutes), _) => Err(MomentError::Never {
            day: write_day(day),
            time: format!("{:02}:{:02}", clock.hour(), clock.minute()),
            zone: zone.to_string(),
            minutes,
        }),
    }
}

/// The time, and the offset behind it if there is one.
fn split_offset(clock: &str) -> Option<(&str, Option<UtcOffset>)> {
    if let Some(clock) = clock.strip_suffix(['Z', 'z']) {
        return Some((clock, Some(UtcOffset::UTC)));
    }
    let Some(at) = clock.find(['+', '-']) else {
        return Some((clock, None));
    };
    let (clock, offset) = clock.split_at(at);
    let sign = if offset.starts_with('-') { -1 } else { 1 };
    let (hours, minutes) = offset[1..].split_once(':')?;
    let (hours, minutes) = (two_digits(hours)?, two_digits(minutes)?);
    if hours > 23 || minutes > 59 {
        return None;
    }
    let [hours, minutes] = [hours, minutes].map(|part| sign * part.cast_signed());
    let offset = UtcOffset::from_hms(hours, minutes, 0).ok()?;
    Some((clock, Some(offset)))
}

/// Reads `08:00`, `08:00:15` or `08:00:15.25`; what is less than a second is left out, since no clock here tells it.
fn read_clock(text: &str) -> Option<Time> {
    let (whole, fraction) = text.split_once('.').unwrap_or((text, "0"));
    let parts = whole.split(':').map(two_digits);
    let parts: Vec<u8> = parts.collect::<Option<_>>()?;
    let fraction = !fraction.is_empty() && fraction.bytes().all(|byte| byte.is_ascii_digit());
    match *parts.as_slice() {
        [hour, minute] if text == whole => Time::from_hms(hour, minute, 0).ok(),
        [hour, minute, second] if fraction => Time::from_hms(hour, minute, second).ok(),
        _ => None,
    }
}

fn two_digits(text: &str) -> Option<u8> {
    let digits = text.len() <= 2 && text.bytes().all(|byte| byte.is_ascii_digit());
    text.parse().ok().filter(|_| digits)
}

/// `2026-03-01T08:00` on the clocks of `zone`, as the form takes it.
pub fn write_moment(at: OffsetDateTime, zone: &Zone) -> String {
    let at = zone.at(at);
    let day: Date = at.date();
    format!("{}T{:02}:{:02}", write_day(day), at.hour(), at.minute())
}

#[cfg(test)]
mod tests {
    use time::macros::datetime;

    use super::*;

    #[test]
    fn a_moment_is_read_on_the_clocks_of_the_zone_or_by_its_offset() {
        let berlin = Zone::read("Europe/Berlin").unwrap();
        let eight = datetime!(2026-03-01 08:00 UTC);
        for text in [
            "2026-03-01T09:00",
            " 2026-03-01 9:00:00 ",
            "2026-03-01T08:00Z",
            "2026-03-01T08:00:00.250Z",
            "2026-03-01t08:00:00z",
            "2026-03-01T13:30:00+05:30",
            "2026-03-01T01:00:00-07:00",
        ] {
            assert_eq!(
                read_moment(text, &berlin, Which::First),
                Ok(eight),
                "{text}"
            );
        }
        assert_eq!(write_moment(eight, &berlin), "2026-03-01T09:00");
        assert_eq!(write_moment(eight, &Zone::UTC), "2026-03-01T08:00");
    }

    #[test]
    fn what_is_no_moment_is_told_as_it_was_given() {
        for text in [
            "",
            "2026-03-01",
            "2026-03-01T25:00",
            "2026-03-01T08",
            "2026-03-01T08:00+1",
            "2026-03-01T08:00:00.Z",
            "2026-03-01T08:00.5",
            "2026-03-01T08:00+24:00",
            "2026-03-01T+08:00",
            "2026-02-30T08:00",
            "2026-03-01T08:00:00:00",
            "2026-03-01T८:00",
        ] {
            let wrong = read_moment(text, &Zone::UTC, Which::First);
            assert_eq!(wrong, Err(MomentError::Shape(text.into())), "{text}");
        }
        let far = read_moment("1066-03-01T08:00", &Zone::UTC, Which::First);
        assert_eq!(far, Err(MomentError::Day(DateError::Year(1066))));
    }

    #[test]
    fn a_time_that_comes_twice_is_the_one_that_is_meant_and_one_that_never_comes_is_refused() {
        let berlin = Zone::read("Europe/Berlin").unwrap();
        let read = |text, which| read_moment(text, &berlin, which);
        let first = read("2026-10-25T02:30", Which::First);
        assert_eq!(first, Ok(datetime!(2026-10-25 00:30 UTC)));
        let second = read("2026-10-25T02:30", Which::Second);
        assert_eq!(second, Ok(datetime!(2026-10-25 01:30 UTC)));
        let never = read("2026-03-29T02:30", Which::Second).unwrap_err();
        assert_eq!(
            never.to_string(),
            "There is no 02:30 on 2026-03-29 in Europe/Berlin: the clocks are put forward by 60 minutes over it. \
             Write an earlier or a later time."
        );
    }
}
