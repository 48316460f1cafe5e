//! One link of an outside auditor, with what was read by it.

use askama::Template;

use super::{Told, days, sample_told, samples};
use crate::{
    domain::{FieldErrors, GuestRead, HeldReads, KeptGuest, Zone},
    view::{
        Shell,
        file_choice::FileChoice,
        form::Form,
        part::{Answer, Badge, Facts, Pager, Tone},
    },
};

/// A read in words.
struct ReadRow {
    number: u64,
    at: String,
    what: String,
    status: u16,
    file: String,
}

/// One link with what was read by it.
#[derive(Template)]
#[template(path = "guest/show.html")]
pub struct ShowGuestLink {
    /// The frame.
    pub shell: Shell,
    state: Badge,
    facts: Facts,
    held: Option<Answer>,
    check: String,
    reads: Vec<ReadRow>,
    pager: Pager,
    files: FileChoice,
    /// Where it is withdrawn, where that can be done by the reader.
    withdraw: Option<String>,
    form: Form,
    reason: String,
}

/// What was read by a link, on one page, and ways further.
pub struct ReadsPage {
    /// The reads, the last first.
    pub reads: Vec<GuestRead>,
    /// Ways to the next page.
    pub pager: Pager,
    /// The forms in which all of them are taken along.
    pub files: FileChoice,
    /// What came of holding all of them against the ledger, where that was asked.
    pub held: Option<HeldReads>,
}

impl ShowGuestLink {
    /// The page; `typed` is the reason to withdraw it, where the reader may.
    pub fn new(
        shell: Shell,
        (kept, told): (&KeptGuest, Told<'_>),
        page: ReadsPage,
        typed: Option<(&str, &FieldErrors)>,
    ) -> Self {
        let link = &kept.link;
        let (state, aside) = told.state(kept);
        let taken_up = match kept.counted {
            0 => "none of them taken up by the record yet".to_owned(),
            n => format!("{n} of them taken up by the record"),
        };
        let facts = Facts::default()
            .and("For", link.who())
            .and("Why", link.reason.as_str())
            .and("Days", days(link))
            .and("State", format!("{}, {aside}", state.word))
            .and_from(
                "Made",
                told.zone.words(link.made_at),
                format!("by {}", kept.maker),
            )
            .and_from("Reads", kept.reads.to_string(), taken_up)
            .and("Last read", told.last_read(kept));
        let standing = link.standing(told.today, kept.maker_active);
        let (reason, wrong) = typed.map_or_else(Default::default, |(reason, wrong)| {
            (reason.to_owned(), wrong.clone())
        });
        let reads = page.reads.into_iter().map(|read| ReadRow {
            number: read.number,
            at: told.zone.words(read.at),
            what: format!("{} {}", read.method, read.path),
            status: read.status,
            file: read.file.unwrap_or_default(),
        });
        Self {
            shell,
            facts,
            state,
            held: page.held.as_ref().map(held),
            check: format!("/guests/{}?check=yes", link.id),
            reads: reads.collect(),
            pager: page.pager,
            files: page.files,
            withdraw: (typed.is_some() && !standing.is_over())
                .then(|| format!("/guests/{}/withdraw", link.id)),
            form: Form::new(&wrong),
            reason,
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use crate::view::PROBE;
        let (people, kept) = samples();
        let read = GuestRead {
            number: 1,
            at: kept[0].link.made_at,
            method: "GET".to_owned(),
            path: PROBE.to_owned(),
            status: 200,
            file: Some(PROBE.to_owned()),
        };
        let page = |kept: &KeptGuest, fault| {
            let wrong = FieldErrors::one("reason", "required", PROBE);
            let reads = ReadsPage {
                reads: vec![read.clone()],
                pager: Pager::default(),
                files: FileChoice::sample(),
                held: Some(HeldReads {
                    reads: 1,
                    taken_up: Some((7, 1)),
                    fault,
                }),
            };
            let shell = Shell::sample("Link");
            let zone = Zone::UTC;
            let told = sample_told(&people, &zone);
            Self::new(shell, (kept, told), reads, Some((PROBE, &wrong)))
        };
        vec![page(&kept[0], None), page(&kept[1], Some(PROBE.to_owned()))]
    }
}

fn held(held: &HeldReads) -> Answer {
    if let Some(fault) = &held.fault {
        let words = "What was noted was changed afterwards";
        return Answer::new(Tone::Stop, words).why(fault.as_str());
    }
    let words = match held.reads {
        0 => "Nothing was read yet".to_owned(),
        1 => "The read is as it was noted".to_owned(),
        n => format!("All {n} reads are as they were noted"),
    };
    Answer::new(Tone::Fit, words).why(match held.taken_up {
        Some((seq, reads)) => format!(
            "Entry {seq} of the record vouches for {}; later ones for themselves until their day is over.",
            match reads {
                1 => "the first".to_owned(),
                n => format!("the first {n}"),
            }
        ),
        None => "Each is chained to the one before it; the record takes them up once their day is over.".to_owned(),
    })
}
