//! What every page has around it: title, person, navigation, what was just done.

use super::{
    asset::asset_url,
    part::{Flash, Tone},
    way_back::WayBack,
};
use crate::domain::{Deed, PersonId, Role, Units, Zone};

/// A part of the house that the navigation leads to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Section {
    /// The register of items.
    Items,
    /// What makers sell.
    Models,
    /// Where items live.
    Stores,
    /// Safety notices.
    Notices,
    /// Jobs and their kit lists.
    Jobs,
    /// Finding an item by a code on it.
    Scan,
    /// Looking at many items one after another.
    Bench,
    /// What was done, when, by whom.
    History,
    /// What falls due, and when.
    Due,
    /// What numbers say over time.
    Trends,
    /// Files to print and to keep.
    Papers,
    /// How a rope may run.
    Rigs,
    /// Minimum strengths, approvals and intervals.
    Rulebooks,
    /// The people of the team.
    People,
}

impl Section {
    /// The sections in the order of the navigation. A section is added here with its first page;
    /// a test holds that each leads somewhere.
    pub const SHOWN: &[Self] = &[
        Self::Items,
        Self::Jobs,
        Self::Scan,
        Self::History,
        Self::Due,
        Self::Bench,
        Self::Notices,
        Self::Models,
        Self::Stores,
        Self::Trends,
        Self::Papers,
        Self::Rigs,
        Self::Rulebooks,
        Self::People,
    ];

    /// Its word in the navigation.
    pub fn word(self) -> &'static str {
        match self {
            Self::Items => "Items",
            Self::Models => "Models",
            Self::Stores => "Stores",
            Self::Notices => "Notices",
            Self::People => "People",
            Self::Jobs => "Jobs",
            Self::Scan => "Scan",
            Self::Bench => "Bench",
            Self::History => "History",
            Self::Due => "Due",
            Self::Trends => "Trends",
            Self::Papers => "Papers",
            Self::Rigs => "Rigs",
            Self::Rulebooks => "Rulebooks",
        }
    }

    /// The section that an address belongs to.
    pub fn of(path: &str) -> Option<Self> {
        let mut parts = path.split('/').skip(1);
        let first = match parts.next()? {
            "competence" => "people",
            "questions" => "history",
            "readiness" => "trends",
            other => other,
        };
        let mut all = Self::SHOWN.iter();
        all.find(|section| section.href()[1..] == *first).copied()
    }

    /// Where it leads.
    pub fn href(self) -> &'static str {
        match self {
            Self::Items => "/items",
            Self::Models => "/models",
            Self::Stores => "/stores",
            Self::Notices => "/notices",
            Self::Jobs => "/jobs",
            Self::Scan => "/scan",
            Self::Bench => "/bench",
            Self::History => "/history",
            Self::Due => "/due",
            Self::Trends => "/trends",
            Self::Papers => "/papers",
            Self::Rigs => "/rigs",
            Self::Rulebooks => "/rulebooks",
            Self::People => "/people",
        }
    }

    /// What one must be allowed to do to be led there.
    pub fn needs(self) -> Deed {
        match self {
            Self::Items
            | Self::Models
            | Self::Stores
            | Self::Notices
            | Self::Jobs
            | Self::History
            | Self::Scan
            | Self::Due
            | Self::Trends
            | Self::Papers
            | Self::Rigs
            | Self::Rulebooks => Deed::Read,
            Self::Bench => Deed::ReportEvent,
            Self::People => Deed::KeepPeople,
        }
    }
}

/// How many sections have a place of their own at the foot of a phone, beside the one for the rest.
const AT_HAND: usize = 4;

/// Who looks at the page.
#[derive(Clone, Debug)]
pub struct Viewer {
    /// The person.
    pub id: PersonId,
    /// The person's name.
    pub name: String,
    /// What an outside auditor is told at the foot of every page; none for a person of the team.
    pub guest: Option<String>,
    /// The team's name.
    pub team: String,
    /// The role, which decides what is offered.
    pub role: Role,
}

/// Shared by all pages.
#[derive(Clone, Debug)]
pub struct Shell {
    /// The title of the page.
    pub title: String,
    /// Where in the house it is.
    pub section: Option<Section>,
    /// Who looks at it; none before signing in.
    pub viewer: Option<Viewer>,
    /// The units in which this person reads quantities.
    pub units: Units,
    /// The time zone in which the page tells days and times: the team's.
    pub zone: Zone,
    /// `auto`, `light` or `dark`.
    pub theme: &'static str,
    /// What was just done.
    pub flash: Option<Flash>,
    /// This page, where forms that are opened from it lead back to it.
    pub here: Option<WayBack>,
    /// The page from which the form of this one was opened, where it leads back to that.
    pub back: Option<WayBack>,
}

impl Shell {
    /// The frame of a page for somebody who has not signed in.
    pub fn for_stranger(title: impl Into<String>) -> Self {
        Self {
            title: title.into(),
            section: None,
            viewer: None,
            units: Units::default(),
            zone: Zone::UTC,
            theme: "auto",
            flash: None,
            here: None,
            back: None,
        }
    }

    /// A frame for samples: somebody with a name that tries to break out.
    pub fn sample(title: &str) -> Self {
        Self {
            viewer: Some(Viewer {
                id: PersonId(uuid::Uuid::nil()),
                name: super::PROBE.to_owned(),
                guest: None,
                team: super::PROBE.to_owned(),
                role: Role::Admin,
            }),
            flash: Some(Flash {
                tone: Tone::Fit,
                words: super::PROBE.to_owned(),
                ways: vec![(super::PROBE.to_owned(), "/bench".to_owned())],
            }),
            ..Self::for_stranger(title)
        }
    }

    /// A frame for samples as an outside auditor sees it.
    pub fn sample_of_guest(title: &str) -> Self {
        let mut shell = Self::sample(title);
        if let Some(viewer) = &mut shell.viewer {
            viewer.guest = Some(super::PROBE.to_owned());
            viewer.role = Role::Auditor;
        }
        shell
    }

    /// Whether an outside auditor looks at it, who has no account here.
    pub fn is_guest(&self) -> bool {
        let viewer = self.viewer.as_ref();
        viewer.is_some_and(|viewer| viewer.guest.is_some())
    }

    /// Where a page finds a static file.
    pub fn asset(&self, name: &str) -> String {
        asset_url(name)
    }

    /// The sections that this person is led to: those that are at hand on a phone too, and those that are one press
    /// further there.
    pub fn sections(&self) -> (Vec<Section>, Vec<Section>) {
        let mut shown = Section::SHOWN.to_vec();
        shown.retain(|section| self.may(section.needs()));
        let far = shown.split_off(AT_HAND.min(shown.len()));
        (shown, far)
    }

    /// The address of a form that is opened from this page, with the way back to it where it has one.
    pub fn leading_back(&self, href: String) -> String {
        self.here
            .as_ref()
            .map_or(href.clone(), |here| here.on(&href))
    }

    /// Where the form of this page is sent, with the way back kept in it.
    pub fn keeping_back(&self, action: String) -> String {
        self.back
            .as_ref()
            .map_or(action.clone(), |back| back.on(&action))
    }

    /// Where this page's form leads when it is left: whence it was opened, or `otherwise`.
    pub fn back_or(&self, otherwise: String) -> String {
        self.back.as_ref().map_or(otherwise, |back| back.to.clone())
    }

    /// Whether this person may do `deed`, so that nobody is offered what would be refused.
    pub fn may(&self, deed: Deed) -> bool {
        self.viewer
            .as_ref()
            .is_some_and(|viewer| viewer.role.may(deed))
    }

    /// Whether the page is in one of `sections`.
    pub fn is_among(&self, sections: &[Section]) -> bool {
        sections.iter().any(|section| self.is_in(section))
    }

    /// Whether the page is in `section`.
    pub fn is_in(&self, section: &Section) -> bool {
        self.section == Some(*section)
    }
}
