//! The list of rulebooks, and what a new one may start from.

use askama::Template;

use crate::{
    domain::{
        Known,
        rulebook::{Rulebook, TeamRulebook, shipped},
    },
    view::{
        Shell,
        part::{Badge, Tone},
    },
};

/// Every rulebook: the team's own, and those that come with the program.
#[derive(Template)]
#[template(path = "rulebook/list.html")]
pub struct RulebookList {
    /// The frame.
    pub shell: Shell,
    own: Vec<Row>,
    shipped: Vec<Row>,
    may_keep: bool,
}

struct Row {
    href: String,
    title: String,
    covers: String,
    note: String,
    withdrawn: bool,
    is_home: bool,
}

impl Row {
    fn shipped(book: &Rulebook) -> Self {
        Self {
            href: format!("/rulebooks/{}", book.key()),
            title: book.title().to_owned(),
            covers: book.covers().to_owned(),
            note: String::new(),
            withdrawn: false,
            is_home: false,
        }
    }

    fn at(self, home: &str, key: &str) -> Self {
        Self {
            is_home: home == key,
            ..self
        }
    }

    fn own(own: &TeamRulebook, withdrawn: bool) -> Self {
        let looser = match own.book.looser().len() {
            0 => "asks no less in any rule".to_owned(),
            1 => "asks less in 1 rule".to_owned(),
            n => format!("asks less in {n} rules"),
        };
        let base = own.book.base().map_or("", |base| base.title());
        Self {
            note: format!("Version {}, based on {base}; {looser}.", own.revision),
            withdrawn,
            ..Self::shipped(&own.book)
        }
    }
}

impl RulebookList {
    /// The page of all rulebooks: the team's own, each withdrawn or not, and the key of the one that it works by.
    pub fn new<'a>(
        shell: Shell,
        own: impl Iterator<Item = (&'a TeamRulebook, bool)>,
        home: &str,
        may_keep: bool,
    ) -> Self {
        let mut own: Vec<Row> = own
            .map(|(own, withdrawn)| Row::own(own, withdrawn).at(home, own.book.key()))
            .collect();
        own.sort_by_key(|row| row.withdrawn);
        let shipped = shipped().iter();
        Self {
            shell,
            own,
            shipped: shipped
                .map(|book| Row::shipped(book).at(home, book.key()))
                .collect(),
            may_keep,
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use crate::view::PROBE;
        let row = || Row {
            href: "/rulebooks/1".to_owned(),
            title: PROBE.to_owned(),
            covers: PROBE.to_owned(),
            note: PROBE.to_owned(),
            withdrawn: true,
            is_home: true,
        };
        let page = |own, may_keep| Self {
            shell: Shell::sample("Rulebooks"),
            own,
            shipped: vec![row()],
            may_keep,
        };
        vec![page(vec![row()], true), page(Vec::new(), false)]
    }
}

/// What a rulebook of the team's own may start from.
#[derive(Template)]
#[template(path = "rulebook/start.html")]
pub struct RulebookStart {
    /// The frame.
    pub shell: Shell,
    /// Address, title, what it covers.
    rows: Vec<(String, String, String)>,
}

impl RulebookStart {
    /// The page.
    pub fn new(shell: Shell) -> Self {
        let row = |book: &Rulebook| {
            (
                format!("/rulebooks/new?from={}", book.key()),
                book.title().to_owned(),
                book.covers().to_owned(),
            )
        };
        Self {
            shell,
            rows: shipped().iter().map(row).collect(),
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        vec![Self::new(Shell::sample("A rulebook of your own"))]
    }
}
