//! A round: how far it is, what became of each item, and the form that closes it.

use askama::Template;

use super::{
    super::{
        Shell,
        form::{Field, Form},
        part::{Answer, Badge, Facts, Tone},
        words,
    },
    days,
};
use crate::domain::{
    FieldErrors, InRound, Item, LookedAt, Model, Round, RoundClosingDraft, Store, date::write_day,
};

/// An item of the round.
pub struct StopRow {
    id: String,
    href: String,
    mark: String,
    model: String,
    store: String,
    became: InRound,
    badge: Badge,
    /// The day it was looked at, or why it was not.
    told: String,
}

impl StopRow {
    /// An item of a round in words.
    pub fn new(
        (item, model, store): (&Item, Option<&Model>, Option<&Store>),
        (became, looked): (InRound, Option<&LookedAt>),
        round: &Round,
    ) -> Self {
        let closed = round.closed.as_ref();
        let reason = closed.and_then(|closed| {
            let left = closed.left.iter().find(|left| left.item == item.id);
            left.map(|left| left.reason.clone())
        });
        Self {
            id: item.id.to_string(),
            href: format!("/items/{}", item.id),
            mark: item.mark.clone(),
            model: model.map_or_else(String::new, Model::title),
            store: store.map(|store| store.name.clone()).unwrap_or_default(),
            became,
            badge: Badge::new(tone(became), became.word()),
            told: match (reason, looked) {
                (Some(reason), _) => format!("not examined: {reason}"),
                (None, Some(looked)) => {
                    format!("{}; {} today", looked.in_words(), item.state.word())
                }
                // Of a rope that was cut this names the pieces, which have rows of their own.
                (None, None) if item.cut_into.is_some() => {
                    format!("{}: {}", item.state.word(), item.state_reason)
                }
                (None, None) => item.state.word().to_owned(),
            },
        }
    }
}

fn whom(round: &Round) -> &str {
    match round.examiner.as_str() {
        "" => "nobody yet",
        name => name,
    }
}

fn tone(became: InRound) -> Tone {
    match became {
        InRound::Left => Tone::Watch,
        InRound::NotFound => Tone::Hold,
        InRound::Out => Tone::Out,
        InRound::Done => Tone::Fit,
    }
}

/// The page.
#[derive(Template)]
#[template(path = "round/show.html")]
pub struct ShowRound {
    /// The frame.
    pub shell: Shell,
    answer: Answer,
    facts: Facts,
    form: Form,
    /// What the PDF of its list has no letters for.
    pub lacking: Option<String>,
    here: String,
    bench: Option<String>,
    may_export: bool,
    may_close: bool,
    rows: Vec<StopRow>,
    draft: RoundClosingDraft,
}

impl ShowRound {
    /// A round for somebody who may or may not examine and export, with what was typed to close it. `bench` is where
    /// items are examined one after the other, if anywhere.
    pub fn new(
        shell: Shell,
        (round, rows): (&Round, Vec<StopRow>),
        (may_close, may_export): (bool, bool),
        bench: Option<String>,
        (draft, wrong): (&RoundClosingDraft, &FieldErrors),
    ) -> Self {
        let open = round.closed.is_none();
        let count = |what: InRound| rows.iter().filter(|row| row.became == what).count();
        let counts = InRound::ALL.map(|what| (what, count(what)));
        let facts = Facts::default()
            .wide()
            .and("Days", days(round))
            .and("Planned for", whom(round));
        let facts = counts.iter().fold(facts, |facts, (what, count)| {
            facts.and(capital(what.word()), count.to_string())
        });
        Self {
            answer: answer(round, &counts),
            facts,
            form: Form::new(wrong).failed("The round is still open"),
            here: format!("/rounds/{}", round.id),
            bench: bench.filter(|_| open && may_close),
            lacking: None,
            may_export,
            may_close: may_close && open,
            rows,
            draft: draft.clone(),
            shell,
        }
    }

    /// Whether something is left that needs a reason.
    fn is_left(&self) -> bool {
        self.rows.iter().any(|row| row.became.is_open())
    }

    /// The field for the reason of one item that is left.
    fn own_reason(&self, row: &StopRow) -> Option<Field> {
        let reason = self.draft.reasons.get(&row.id);
        let reason = reason.map_or("", String::as_str);
        (self.may_close && row.became.is_open()).then(|| {
            self.form.line(
                &format!("reasons[{}]", row.id),
                &format!("Why {} was not examined", row.mark),
                reason,
            )
        })
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::super::{PROBE, gear};
        use crate::domain::{LeftOut, RoundClosing, Verdict};
        let (item, model, store) = (gear::item(), gear::model(), gear::store());
        let looked = LookedAt {
            id: gear::examination().id,
            examiner: PROBE.to_owned(),
            on: gear::TODAY,
            verdict: Verdict::Fit,
        };
        let round = super::sample();
        let closed = Round {
            closed: Some(RoundClosing {
                round: round.id,
                name: PROBE.to_owned(),
                on: gear::TODAY,
                left: vec![LeftOut {
                    item: item.id,
                    reason: PROBE.to_owned(),
                    missing: false,
                }],
                looked: Vec::new(),
            }),
            ..round.clone()
        };
        let draft = RoundClosingDraft {
            reason: PROBE.to_owned(),
            ..RoundClosingDraft::default()
        };
        let wrong = FieldErrors::one("reason", "required", PROBE);
        let page = |round: &Round, became, looked| {
            let row = StopRow::new((&item, Some(&model), Some(&store)), (became, looked), round);
            let shell = Shell::sample("Round");
            let bench = Some("/bench?round=1".to_owned());
            let mut page = Self::new(
                shell,
                (round, vec![row]),
                (true, true),
                bench,
                (&draft, &wrong),
            );
            page.lacking = Some(PROBE.to_owned());
            page
        };
        vec![
            page(&round, InRound::Left, None),
            page(&round, InRound::Done, Some(&looked)),
            page(&closed, InRound::Left, None),
        ]
    }
}

fn answer(round: &Round, counts: &[(InRound, usize); 4]) -> Answer {
    let of = |what: InRound| {
        let found = counts.iter().find(|(one, _)| *one == what);
        found.map_or(0, |(_, count)| *count)
    };
    let (left, missing) = (of(InRound::Left), of(InRound::NotFound));
    let all: usize = counts.iter().map(|(_, count)| count).sum();
    let open = left + missing;
    let items = words::count(all, "item", "items");
    let out = match of(InRound::Out) {
        0 => String::new(),
        1 => "1 item is out of service. ".to_owned(),
        n => format!("{n} items are out of service. "),
    };
    match (&round.closed, open) {
        (Some(closed), 0) => Answer::new(Tone::Out, format!("Nothing was left of {items}"))
            .why(format!("{out}Closed on {}.", write_day(closed.on))),
        (Some(closed), _) => Answer::new(Tone::Out, format!("{open} of {items} not examined"))
            .why(format!("{out}Closed on {}.", write_day(closed.on))),
        (None, 0) => Answer::new(Tone::Fit, format!("Nothing is left of {items}"))
            .why(format!("{out}Close the round.")),
        (None, _) => Answer::new(
            Tone::Watch,
            format!("{open} of {items} still to be looked at"),
        )
        .why(format!("{out}{left} left, {missing} not found.")),
    }
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
