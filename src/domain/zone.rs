//! The time zone of a team: in it the team writes its times and counts its days.

use std::{fmt, sync::LazyLock};

use jiff::{
    Timestamp,
    civil::DateTime,
    tz::{AmbiguousOffset, Offset, TimeZone, TimeZoneDatabase},
};
use serde::{Deserialize, Serialize};
use time::{Date, OffsetDateTime, PrimitiveDateTime, Time, UtcOffset};

/// The IANA database as it is built into the program: no file of the machine is asked, so that every server reads a
/// ledger alike.
static ZONES: LazyLock<TimeZoneDatabase> = LazyLock::new(TimeZoneDatabase::bundled);

/// A time zone of the IANA database.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Zone(TimeZone);

/// A name that no time zone has.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("Write a time zone by its IANA name, such as Europe/Berlin or UTC, not \"{0}\".")]
pub struct ZoneError(String);

/// What a time on the clocks of a zone means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Local {
    /// One moment.
    Once(OffsetDateTime),
    /// Two moments: the clocks are put back over it.
    Twice(OffsetDateTime, OffsetDateTime),
    /// None: the clocks are put forward over it, by so many minutes.
    Never(i32),
}

impl Zone {
    /// Coordinated universal time.
    pub const UTC: Self = Self(TimeZone::UTC);

    /// The zone of this name, in whatever case it is written.
    ///
    /// # Errors
    /// [`ZoneError`] if the database has none.
    pub fn read(name: &str) -> Result<Self, ZoneError> {
        let name = name.trim();
        match ZONES.get(name) {
            Ok(zone) if zone.iana_name().is_some() => Ok(Self(zone)),
            _ => Err(ZoneError(name.chars().take(60).collect())),
        }
    }

    /// The names to choose from, UTC first: one a place, without those that are only other spellings.
    pub fn names() -> &'static [String] {
        static NAMES: LazyLock<Vec<String>> = LazyLock::new(|| {
            let places = ZONES.available().filter(|name| {
                let name = name.as_str();
                let place = name.contains('/') && !name.starts_with("Etc/");
                place && ZONES.get(name).is_ok_and(|zone| zone.is_primary())
            });
            let places = places.map(|name| name.as_str().to_owned());
            std::iter::once(Zone::UTC.to_string())
                .chain(places)
                .collect()
        });
        &NAMES
    }

    /// Its name in the database, such as `Europe/Berlin`.
    pub fn name(&self) -> &str {
        self.0.iana_name().unwrap_or("UTC")
    }

    /// The moment as the clocks of this zone show it.
    pub fn at(&self, moment: OffsetDateTime) -> OffsetDateTime {
        let offset = utc_offset(self.0.to_offset(timestamp(moment)));
        moment.checked_to_offset(offset).unwrap_or(moment)
    }

    /// The day that it is in this zone at a moment.
    pub fn day(&self, moment: OffsetDateTime) -> Date {
        self.at(moment).date()
    }

    /// The first moment of a day. Where the clocks are put forward over midnight, that is when they are.
    pub fn midnight(&self, day: Date) -> OffsetDateTime {
        let midnight = PrimitiveDateTime::new(day, Time::MIDNIGHT);
        match self.ambiguous(midnight) {
            AmbiguousOffset::Unambiguous { offset: first }
            | AmbiguousOffset::Gap { before: first, .. }
            | AmbiguousOffset::Fold { before: first, .. } => moment(midnight, first),
        }
    }

    /// What a time on the clocks of this zone means.
    pub fn local(&self, clock: PrimitiveDateTime) -> Local {
        match self.ambiguous(clock) {
            AmbiguousOffset::Unambiguous { offset } => Local::Once(moment(clock, offset)),
            AmbiguousOffset::Fold { before, after } => {
                Local::Twice(moment(clock, before), moment(clock, after))
            }
            AmbiguousOffset::Gap { before, after } => {
                Local::Never((after.seconds() - before.seconds()) / 60)
            }
        }
    }

    /// The moment for people, with the short name that the zone has then: "2026-03-01 10:30 CET".
    pub fn words(&self, moment: OffsetDateTime) -> String {
        let info = self.0.to_offset_info(timestamp(moment));
        let at = self.at(moment);
        let (day, hour, minute) = (super::date::write_day(at.date()), at.hour(), at.minute());
        let short = match info.abbreviation() {
            short if short.starts_with(['+', '-']) => format!("UTC{}", info.offset()),
            short => short.to_owned(),
        };
        format!("{day} {hour:02}:{minute:02} {short}")
    }

    fn ambiguous(&self, clock: PrimitiveDateTime) -> AmbiguousOffset {
        let year = i16::try_from(clock.year()).unwrap_or_default();
        let [month, day, hour, minute, second] = [
            u8::from(clock.month()),
            clock.day(),
            clock.hour(),
            clock.minute(),
            clock.second(),
        ]
        .map(u8::cast_signed);
        // A day of one calendar is a day of the other.
        let civil = DateTime::new(year, month, day, hour, minute, second, 0);
        self.0
            .to_ambiguous_timestamp(civil.unwrap_or(DateTime::ZERO))
            .offset()
    }
}

fn timestamp(moment: OffsetDateTime) -> Timestamp {
    // Only years near 9999 are beyond it, and nothing is written for them.
    Timestamp::from_second(moment.unix_timestamp()).unwrap_or(Timestamp::MAX)
}

fn utc_offset(offset: Offset) -> UtcOffset {
    UtcOffset::from_whole_seconds(offset.seconds()).unwrap_or(UtcOffset::UTC)
}

fn moment(clock: PrimitiveDateTime, offset: Offset) -> OffsetDateTime {
    let moment = clock.assume_offset(utc_offset(offset));
    moment.checked_to_offset(UtcOffset::UTC).unwrap_or(moment)
}

impl PartialEq for Zone {
    /// By name: two places whose clocks agree are two zones.
    fn eq(&self, other: &Self) -> bool {
        self.name() == other.name()
    }
}

impl Eq for Zone {}

impl Default for Zone {
    fn default() -> Self {
        Self::UTC
    }
}

impl fmt::Display for Zone {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

impl TryFrom<String> for Zone {
    type Error = ZoneError;
    fn try_from(name: String) -> Result<Self, ZoneError> {
        Self::read(&name)
    }
}

impl From<Zone> for String {
    fn from(zone: Zone) -> Self {
        zone.to_string()
    }
}

#[cfg(test)]
mod tests {
    use time::macros::{date, datetime};

    use super::*;

    fn zone(name: &str) -> Zone {
        Zone::read(name).unwrap()
    }

    #[test]
    fn a_zone_is_read_by_its_name_and_keeps_it() {
        assert_eq!(zone(" europe/BERLIN ").name(), "Europe/Berlin");
        assert_eq!(zone("UTC"), Zone::default());
        assert_ne!(zone("Asia/Kolkata"), zone("Asia/Calcutta"));
        for nonsense in ["", "Berlin", "../UTC", "Etc/Unknown", "CET-1CEST", "\0"] {
            assert_eq!(Zone::read(nonsense), Err(ZoneError(nonsense.into())));
        }
        let names = Zone::names();
        assert_eq!(names[0], "UTC");
        for name in ["Europe/Berlin", "America/Denver", "Australia/Lord_Howe"] {
            assert!(names.iter().any(|other| other == name), "{name}");
        }
        assert!(!names.iter().any(|name| name == "Asia/Calcutta"));
        assert!(names.iter().all(|name| zone(name).name() == name));
    }

    /// Directive 2000/84/EC: the last Sundays of March and October, at 01:00 UTC. The Uniform Time Act as amended in
    /// 2005, 15 U.S.C. 260a: the second Sunday of March at 02:00. Kathmandu keeps UTC+05:45 all the year.
    #[test]
    fn the_clocks_of_a_zone_show_a_moment() {
        let berlin = zone("Europe/Berlin");
        for (at, shown) in [
            (datetime!(2026-03-29 00:59:59 UTC), "2026-03-29 01:59 CET"),
            (datetime!(2026-03-29 01:00 UTC), "2026-03-29 03:00 CEST"),
            (datetime!(2026-10-25 00:30 UTC), "2026-10-25 02:30 CEST"),
            (datetime!(2026-10-25 01:30 UTC), "2026-10-25 02:30 CET"),
        ] {
            assert_eq!(berlin.words(at), shown);
        }
        let denver = zone("America/Denver");
        assert_eq!(
            denver.words(datetime!(2026-03-08 09:00 UTC)),
            "2026-03-08 03:00 MDT"
        );
        assert_eq!(
            denver.day(datetime!(2026-03-09 05:59 UTC)),
            date!(2026 - 03 - 08)
        );
        let kathmandu = zone("Asia/Kathmandu");
        let noon = kathmandu.words(datetime!(2026-03-01 06:15 UTC));
        assert!(noon.starts_with("2026-03-01 12:00 UTC+05:45"), "{noon}");
        assert_eq!(
            Zone::UTC.words(datetime!(2026-03-01 9:30 UTC)),
            "2026-03-01 09:30 UTC"
        );
    }

    #[test]
    fn a_time_on_the_clock_is_one_moment_two_or_none() {
        let berlin = zone("Europe/Berlin");
        assert_eq!(
            berlin.local(datetime!(2026-07-01 08:00)),
            Local::Once(datetime!(2026-07-01 06:00 UTC))
        );
        assert_eq!(berlin.local(datetime!(2026-03-29 02:30)), Local::Never(60));
        assert_eq!(
            berlin.local(datetime!(2026-10-25 02:30)),
            Local::Twice(
                datetime!(2026-10-25 00:30 UTC),
                datetime!(2026-10-25 01:30 UTC)
            )
        );
        // The IANA database, file australasia: Lord Howe moves its clocks by half an hour.
        let lord_howe = zone("Australia/Lord_Howe");
        assert_eq!(
            lord_howe.local(datetime!(2026-10-04 02:10)),
            Local::Never(30)
        );
    }

    #[test]
    fn a_day_begins_at_its_first_moment() {
        assert_eq!(
            zone("Europe/Berlin").midnight(date!(2026 - 03 - 29)),
            datetime!(2026-03-28 23:00 UTC)
        );
        // The IANA database, file asia: Beirut puts its clocks forward at midnight, so the day begins at 01:00.
        let beirut = zone("Asia/Beirut");
        let first = beirut.midnight(date!(2026 - 03 - 29));
        assert_eq!(first, datetime!(2026-03-28 22:00 UTC));
        assert_eq!(beirut.at(first).hour(), 1);
    }

    #[test]
    fn a_zone_is_a_plain_name_in_json() {
        let berlin = zone("Europe/Berlin");
        let json = serde_json::to_string(&berlin).unwrap();
        assert_eq!(json, "\"Europe/Berlin\"");
        assert_eq!(serde_json::from_str::<Zone>(&json).unwrap(), berlin);
        assert!(serde_json::from_str::<Zone>("\"Atlantis\"").is_err());
    }
}
