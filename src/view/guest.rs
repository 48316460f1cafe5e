//! Links of outside auditors, what was read by each, and what whoever opens one sees first.

mod show;

use askama::Template;
use time::Date;

use super::{
    Shell,
    form::Form,
    part::{Badge, Empty, Pager, SectionNav, Tone},
    team::nav,
};
use crate::domain::{
    FieldErrors, GuestLink, GuestLinkDraft, GuestStanding, KeptGuest, Person, PersonId, Zone,
    date::write_day,
};

pub use show::{ReadsPage, ShowGuestLink};

/// What a page of links is told by: the day, the zone of its times, and the people whose names stand in it.
#[derive(Clone, Copy, Debug)]
pub struct Told<'a> {
    /// The day that it is.
    pub today: Date,
    /// The team's time zone.
    pub zone: &'a Zone,
    /// The people of the team.
    pub people: &'a [Person],
}

impl Told<'_> {
    fn name(&self, id: PersonId) -> &str {
        let person = self.people.iter().find(|person| person.id == id);
        person.map_or("somebody", |person| person.name.as_str())
    }

    /// How a link stands, and what belongs to it.
    fn state(&self, kept: &KeptGuest) -> (Badge, String) {
        let link = &kept.link;
        match link.standing(self.today, kept.maker_active) {
            GuestStanding::NotYet => (
                Badge::new(Tone::Note, "not yet"),
                format!("opens on {}", write_day(link.from)),
            ),
            GuestStanding::Open => (
                Badge::new(Tone::Fit, "open"),
                format!("until {}", write_day(link.until)),
            ),
            GuestStanding::Shut => (
                Badge::new(Tone::Hold, "shut"),
                format!("{} may no longer sign in", kept.maker),
            ),
            GuestStanding::Ended => (
                Badge::new(Tone::Out, "ended"),
                format!("on {}", write_day(link.until)),
            ),
            GuestStanding::Withdrawn => (Badge::new(Tone::Out, "withdrawn"), self.withdrawn(link)),
        }
    }

    fn withdrawn(&self, link: &GuestLink) -> String {
        link.withdrawn.as_ref().map_or_else(String::new, |end| {
            let (at, by) = (self.zone.words(end.at), self.name(end.by));
            format!("on {at} by {by}: {}", end.reason)
        })
    }

    fn last_read(&self, kept: &KeptGuest) -> String {
        let at = kept.last_read_at;
        at.map_or_else(|| "never".to_owned(), |at| self.zone.words(at))
    }
}

/// A link in the list.
struct GuestRow {
    href: String,
    who: String,
    state: Badge,
    aside: String,
    days: String,
    made: String,
    reads: u64,
    last: String,
}

impl GuestRow {
    fn new(kept: &KeptGuest, told: Told<'_>) -> Self {
        let link = &kept.link;
        let (state, aside) = told.state(kept);
        Self {
            href: format!("/guests/{}", link.id),
            who: link.who(),
            state,
            aside,
            days: days(link),
            made: format!("{} by {}", told.zone.words(link.made_at), kept.maker),
            reads: kept.reads,
            last: told.last_read(kept),
        }
    }
}

fn days(link: &GuestLink) -> String {
    format!("{} to {}", write_day(link.from), write_day(link.until))
}

/// Whoever may make a link sees the form for one.
#[derive(Clone, Debug)]
pub struct Making {
    /// What was wrong in it.
    pub wrong: FieldErrors,
    /// What was typed.
    pub draft: GuestLinkDraft,
    /// Where it is sent.
    pub action: String,
}

/// The list, and the form for one more.
#[derive(Template)]
#[template(path = "guest/list.html")]
pub struct GuestLinks {
    /// The frame.
    pub shell: Shell,
    nav: Option<SectionNav>,
    /// The address of the link that was just made; shown here and never again.
    address: Option<String>,
    rows: Vec<GuestRow>,
    pager: Pager,
    making: Option<(Form, GuestLinkDraft, String)>,
}

impl GuestLinks {
    /// The page; `making` where the reader may make links.
    pub fn new(
        shell: Shell,
        (kept, told): (&[KeptGuest], Told<'_>),
        making: Option<Making>,
        address: Option<String>,
        pager: Pager,
    ) -> Self {
        Self {
            shell,
            nav: making.is_some().then(|| nav("/guests")),
            address,
            rows: kept.iter().map(|kept| GuestRow::new(kept, told)).collect(),
            pager,
            making: making.map(|making| (Form::new(&making.wrong), making.draft, making.action)),
        }
    }

    fn empty() -> Empty {
        Empty::new(
            "No outside auditor was let in yet.",
            "A link lets somebody from outside read everything for some days, without an account. Each read is noted.",
        )
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::PROBE;
        let (people, kept) = samples();
        let zone = Zone::UTC;
        let told = sample_told(&people, &zone);
        let making = Making {
            wrong: FieldErrors::one("until", "range", PROBE),
            draft: GuestLinkDraft {
                name: PROBE.to_owned(),
                organisation: PROBE.to_owned(),
                reason: PROBE.to_owned(),
                from: PROBE.to_owned(),
                until: PROBE.to_owned(),
            },
            action: "/guests".to_owned(),
        };
        let page = |shell, kept: &[KeptGuest], making, address| {
            Self::new(shell, (kept, told), making, address, Pager::default())
        };
        let shell = || Shell::sample("Outside auditors");
        vec![
            page(shell(), &kept, Some(making), Some(PROBE.to_owned())),
            page(Shell::sample_of_guest("Outside auditors"), &[], None, None),
        ]
    }
}

/// What whoever opens a link sees before anything else.
#[derive(Template)]
#[template(path = "guest/welcome.html")]
pub struct WelcomeGuest {
    /// The frame.
    pub shell: Shell,
    /// Whose record it is.
    pub team: String,
    /// Whom the link is for.
    pub who: String,
    /// Who made it.
    pub maker: String,
    /// Until when it lets in.
    pub until: String,
    /// Why it lets nobody in now.
    pub over: Option<String>,
    /// Where a press opens the sitting.
    pub action: String,
    /// Who is signed in with this browser, and will not be any more.
    pub instead_of: Option<String>,
}

impl WelcomeGuest {
    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::PROBE;
        let page = |over: Option<&str>, instead_of: Option<&str>| Self {
            shell: Shell::for_stranger("Read this record"),
            team: PROBE.to_owned(),
            who: PROBE.to_owned(),
            maker: PROBE.to_owned(),
            until: "2026-03-09".to_owned(),
            over: over.map(str::to_owned),
            action: "/guest/1".to_owned(),
            instead_of: instead_of.map(str::to_owned),
        };
        vec![page(None, Some(PROBE)), page(Some(PROBE), None)]
    }
}

fn sample_told<'a>(people: &'a [Person], zone: &'a Zone) -> Told<'a> {
    Told {
        today: super::gear::TODAY,
        zone,
        people,
    }
}

fn samples() -> (Vec<Person>, [KeptGuest; 2]) {
    use super::{PROBE, gear::TODAY};
    use crate::domain::{GuestLinkId, GuestWithdrawal};
    let by = PersonId(uuid::Uuid::nil());
    let open = KeptGuest {
        link: GuestLink {
            id: GuestLinkId(uuid::Uuid::nil()),
            name: PROBE.to_owned(),
            organisation: PROBE.to_owned(),
            reason: PROBE.to_owned(),
            from: TODAY,
            until: TODAY,
            by,
            made_at: TODAY.midnight().assume_utc(),
            withdrawn: None,
        },
        maker: PROBE.to_owned(),
        maker_active: true,
        reads: 3,
        chain: [0; 32],
        last_read_at: Some(TODAY.midnight().assume_utc()),
        counted: 2,
    };
    let withdrawn = KeptGuest {
        link: GuestLink {
            withdrawn: Some(GuestWithdrawal {
                by,
                at: TODAY.midnight().assume_utc(),
                reason: PROBE.to_owned(),
            }),
            ..open.link.clone()
        },
        last_read_at: None,
        ..open.clone()
    };
    (Vec::new(), [open, withdrawn])
}
