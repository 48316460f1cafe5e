//! One rulebook: what it rules, number by number, and what it does not cover.

use askama::Template;

use super::{
    Origin, Standing,
    line::{RuleLine, Source, sample},
    origin::{badge, newest, notes},
};
use crate::{
    domain::{
        Kind,
        rulebook::{About, Interval, KindRule, Minimum, Rulebook},
    },
    view::{
        Shell,
        form::Form,
        offer::Offer,
        part::{Badge, Facts, SectionNav, Tone},
    },
};

/// What is asked of one kind of gear.
struct KindPart {
    word: &'static str,
    facts: Facts,
    lines: Vec<RuleLine>,
    without: Vec<String>,
}

/// Rules that are told, under what they are about.
struct ToldPart {
    about: &'static str,
    rules: Vec<(String, Source)>,
}

/// One rulebook.
#[derive(Template)]
#[template(path = "rulebook/show.html")]
pub struct RulebookSheet {
    /// The frame.
    pub shell: Shell,
    covers: String,
    origin: Badge,
    standing: Standing,
    offer: Option<Offer>,
    parts: SectionNav,
    notes: Vec<(String, String)>,
    edit: Option<String>,
    sheet: String,
    looser: Vec<String>,
    otherwise: Vec<(String, String, String)>,
    leaves_out: Vec<String>,
    planning: Vec<RuleLine>,
    kinds: Vec<KindPart>,
    intervals: Vec<RuleLine>,
    lives: Vec<RuleLine>,
    retentions: Vec<RuleLine>,
    told: Vec<ToldPart>,
    sources: Vec<Source>,
}

impl RulebookSheet {
    /// The page of a rulebook.
    pub fn new(shell: Shell, origin: &Origin<'_>, standing: Standing) -> Self {
        let (book, key) = match origin {
            Origin::Shipped(book) => (*book, book.key().to_owned()),
            Origin::Own(own, _) => (&own.book, own.edition().to_string()),
        };
        let base = book.base();
        Self {
            shell,
            covers: book.covers().to_owned(),
            origin: badge(origin),
            parts: parts(),
            notes: notes(origin),
            edit: newest(origin)
                .filter(|_| standing.may_keep && !standing.withdrawn)
                .map(|page| format!("{page}/edit")),
            offer: newest(origin)
                .filter(|_| standing.may_keep && !standing.is_home)
                .map(|page| Offer::new("rulebook", standing.withdrawn, page)),
            standing,
            sheet: format!("/rulebooks/{key}/sheet.toml"),
            looser: book
                .looser()
                .iter()
                .map(|one| one.sentence.clone())
                .collect(),
            otherwise: match (origin, base) {
                (Origin::Own(..), Some(base)) => book.set_otherwise(base),
                _ => Vec::new(),
            },
            leaves_out: book.leaves_out().to_vec(),
            planning: planning(book),
            kinds: book.kinds().iter().map(|rule| kind(rule, book)).collect(),
            intervals: intervals(book),
            lives: lives(book),
            retentions: retentions(book),
            told: About::ALL
                .iter()
                .filter_map(|about| told(*about, book))
                .collect(),
            sources: book.sources().iter().map(Source::from).collect(),
        }
    }

    /// The same with what was typed to withdraw it or to take it up again, and what is wrong with it.
    #[must_use]
    pub fn with_offer(mut self, reason: String, form: Form) -> Self {
        if let Some(offer) = &mut self.offer {
            offer.with(reason, form);
        }
        self
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        Offer::samples().map(Self::sample).into()
    }

    fn sample(offer: Offer) -> Self {
        use crate::view::PROBE;
        let probe = || PROBE.to_owned();
        let lines = || vec![sample()];
        Self {
            shell: Shell::sample(PROBE),
            covers: probe(),
            origin: Badge::new(Tone::Note, PROBE),
            standing: Standing {
                may_keep: true,
                is_home: true,
                withdrawn: offer.withdrawn,
            },
            offer: Some(offer),
            parts: parts(),
            notes: vec![(probe(), "/rulebooks/1".to_owned())],
            edit: Some("/rulebooks/1/edit".to_owned()),
            sheet: "/rulebooks/1/sheet.toml".to_owned(),
            looser: vec![probe()],
            otherwise: vec![(probe(), probe(), probe())],
            leaves_out: vec![probe()],
            planning: lines(),
            kinds: vec![KindPart {
                word: "rope",
                facts: Facts::default().and(PROBE, PROBE),
                lines: lines(),
                without: vec![probe()],
            }],
            intervals: lines(),
            lives: lines(),
            retentions: lines(),
            told: vec![ToldPart {
                about: "Life",
                rules: vec![(probe(), sample().source)],
            }],
            sources: vec![sample().source],
        }
    }
}

/// The parts of a long page.
fn parts() -> SectionNav {
    let ids = [
        "planning",
        "kinds",
        "intervals",
        "life",
        "papers",
        "sources",
    ];
    let words = [
        "Factors",
        "Strength by kind",
        "Intervals",
        "Life",
        "Papers",
        "Sources",
    ];
    SectionNav::on_this_page(words.into_iter().zip(ids.map(|id| format!("#{id}"))))
}

/// Factor, limits, mass, depth, and what must be known.
fn planning(book: &Rulebook) -> Vec<RuleLine> {
    let (factor, person, limit) = (book.factor(), book.person(), book.limit());
    let mut lines = vec![
        RuleLine::new(
            format!("Factor on breaking strength. {}", factor.reason),
            factor.value.ratio().to_string(),
            &factor.from,
        ),
        RuleLine::new("Working limits and rated loads", &limit.rule, &limit.from),
        RuleLine::new(
            format!("Mass of one person with kit. {}", person.reason),
            person.mass.to_string(),
            &person.from,
        ),
    ];
    if let Some(depth) = book.depth() {
        let beside = printed(depth.or_printed.as_ref());
        let value = format!("at most {}{beside}", depth.at_most);
        let of = format!("Depth without saying why. {}", depth.rule);
        lines.push(RuleLine::new(of, value, &depth.from));
    }
    if let Some(arrest) = book.arrest() {
        let beside = printed(arrest.or_printed.as_ref());
        let value = format!("at most {}{beside}", arrest.at_most);
        let of = format!("Force that a person is stopped with. {}", arrest.reason);
        lines.push(RuleLine::new(of, value, &arrest.from));
    }
    if let Some(catch) = book.catch() {
        let of = format!("Factor on breaking strength in a catch. {}", catch.reason);
        let value = catch.value.ratio().to_string();
        lines.push(RuleLine::new(of, value, &catch.from));
    }
    let identity = book.identity();
    lines.push(RuleLine::new(
        "Must be known of every item",
        identity.words(),
        &identity.from,
    ));
    lines
}

/// The second number of a printed pair.
fn printed(beside: Option<&impl std::fmt::Display>) -> String {
    beside
        .map(|beside| format!(" (printed as {beside} too)"))
        .unwrap_or_default()
}

/// What is asked of a kind: strengths, limits, approvals, and where nothing is asked.
fn kind(rule: &KindRule, book: &Rulebook) -> KindPart {
    let of_kind = |kind: Kind| kind == rule.kind;
    let mut lines: Vec<RuleLine> = Vec::new();
    let minimums = book.minimums().iter().filter(|one| of_kind(one.kind));
    lines.extend(minimums.map(|minimum| {
        let value = format!(
            "at least {}{}",
            minimum.at_least,
            printed(minimum.or_printed.as_ref())
        );
        RuleLine::new(of_minimum(minimum), value, &minimum.from)
    }));
    let further = book.further().iter().filter(|one| of_kind(one.kind));
    lines.extend(further.map(|further| {
        let beside = printed(further.or_printed.as_ref());
        let value = format!("{} more{beside}", further.adds);
        let standard = further
            .standard
            .as_deref()
            .unwrap_or("Whatever its standard");
        let of = format!("{standard}, for each person beyond the first");
        RuleLine::new(of, value, &further.from)
    }));
    let bounds = book.bounds().iter().filter(|one| of_kind(one.kind));
    lines.extend(bounds.map(|bound| {
        let beside = printed(bound.or_printed.as_ref());
        let value = format!("{} {}{beside}", bound.side.words(), bound.value);
        let of = match bound.standard {
            Some(_) => format!("{}, {}", bound.title(), lower(bound.label())),
            None => bound.label().to_owned(),
        };
        RuleLine::new(of, value, &bound.from)
    }));
    let approvals = book.approvals().iter().filter(|one| of_kind(one.kind));
    lines.extend(approvals.map(|asked| {
        let of = format!("Approval, {}", asked.when.words());
        RuleLine::new(of, asked.words(), &asked.from)
    }));
    let without = [&rule.no_minimum, &rule.no_approval];
    KindPart {
        word: rule.kind.word(),
        facts: Facts::default().and("Must be known", rule.strength.words()),
        lines,
        without: without.into_iter().flatten().cloned().collect(),
    }
}

/// A standard, a class and a way of loading.
fn of_minimum(minimum: &Minimum) -> String {
    let standard = minimum.standard.as_ref().map(|_| minimum.title());
    let mut words = standard.unwrap_or_else(|| "Whatever its standard".to_owned());
    let mode = Some(minimum.mode.words().to_owned());
    let material = minimum.material.map(|material| material.key().to_owned());
    let diameter = minimum.diameter.map(|diameter| diameter.to_string());
    for part in [mode, material, diameter].into_iter().flatten() {
        words.push_str(", ");
        words.push_str(&part);
    }
    words
}

fn lower(words: &str) -> String {
    words.to_lowercase()
}

/// Thorough examinations and other looks.
fn intervals(book: &Rulebook) -> Vec<RuleLine> {
    let interval = |interval: &Interval| {
        let harsh = if interval.harsh {
            ". No record tells hard use: write it as the model's own interval, and it binds"
        } else {
            ""
        };
        let of = format!(
            "Thorough examination of {} ({}){harsh}",
            interval.of,
            interval.scope()
        );
        let months = format!("at least every {} months", interval.months);
        RuleLine::new(of, months, &interval.from)
    };
    let mut lines: Vec<RuleLine> = book.intervals().iter().map(interval).collect();
    lines.extend(book.looks().iter().map(|look| {
        let written = if look.written { ", in writing" } else { "" };
        let of = format!("Look at {}. {}", look.of, look.says);
        let value = format!("{}{written}", look.when.words());
        RuleLine::new(of, value, &look.from)
    }));
    lines
}

fn lives(book: &Rulebook) -> Vec<RuleLine> {
    let line = |rule: &crate::domain::rulebook::LifeRule| {
        let value = match rule.years {
            Some(1) => "1 year".to_owned(),
            Some(years) => format!("{years} years"),
            None => "by its condition".to_owned(),
        };
        let of = format!("{}: {}", rule.of, rule.scope());
        RuleLine::new(of, value, &rule.from)
    };
    book.lives().iter().map(line).collect()
}

fn retentions(book: &Rulebook) -> Vec<RuleLine> {
    let line = |rule: &crate::domain::rulebook::Retention| {
        let months = rule.months.map(|months| format!("for {months} months"));
        let until = rule.until.as_ref().map(|text| format!("until {text}"));
        let value = match (months, until) {
            (Some(months), Some(until)) => format!("{months} or {until}, whichever is later"),
            (one, other) => one.or(other).unwrap_or_default(),
        };
        RuleLine::new(rule.of.clone(), value, &rule.from)
    };
    book.retentions().iter().map(line).collect()
}

fn told(about: About, book: &Rulebook) -> Option<ToldPart> {
    let rules = book.told().iter().filter(|told| told.about == about);
    let rules: Vec<_> = rules
        .map(|told| (told.says.clone(), Source::from(&told.from)))
        .collect();
    (!rules.is_empty()).then(|| ToldPart {
        about: about.words(),
        rules,
    })
}
