//! Checkpoints: how far the record had grown, signed.

use askama::Template;

use super::{
    Shell,
    form::Form,
    part::{Answer, Facts, Pager, Tone},
    words,
};
use crate::domain::{FieldErrors, Held, WitnessDraft};

/// A checkpoint in a list.
pub struct CheckpointRow {
    /// Its page.
    pub href: String,
    /// How many entries the record had.
    pub entries: String,
    /// When it was made.
    pub made: String,
    /// Who signed it.
    pub by: String,
}

/// A key that signs, or signed.
pub struct KeyRow {
    /// Which one.
    pub number: u32,
    /// Its text.
    pub verifier: String,
    /// From which entry on.
    pub since: String,
    /// Why it was taken.
    pub reason: String,
    /// Whether the key before it did not sign for it.
    pub is_alone: bool,
}

/// Somebody who signs too.
pub struct WitnessRow {
    /// Who.
    pub who: String,
    /// The text of the key.
    pub verifier: String,
    /// Why it was ended; none while it is asked.
    pub ended: Option<String>,
    /// Where the form that ends it goes.
    pub end: String,
}

/// What was typed into the forms of the page.
#[derive(Clone, Debug, Default)]
pub struct Typed {
    /// Why a key is taken, or a witness ended.
    pub reason: String,
    /// A checkpoint that somebody kept.
    pub note: String,
    /// A witness.
    pub witness: WitnessDraft,
}

/// The list, with what can be done.
#[derive(Template)]
#[template(path = "checkpoint/list.html")]
pub struct Checkpoints {
    /// The frame.
    pub shell: Shell,
    /// That the record is not the one that was signed, if so.
    pub unlike: Option<Answer>,
    /// What came of holding a kept checkpoint against the record.
    pub answer: Option<Answer>,
    /// How many entries a comparison reads at once.
    pub at_once: String,
    /// Behind which entry it is to be read on, and its words; none where all was read.
    pub read_on: Option<(u64, String)>,
    /// How many entries the record has now.
    pub entries: String,
    /// Whether this server can sign.
    pub can_sign: bool,
    /// Whether whoever looks may make one.
    pub may_make: bool,
    /// Whether whoever looks keeps the team's people, and with them keys and witnesses.
    pub may_keep: bool,
    /// Checkpoints.
    pub rows: Vec<CheckpointRow>,
    /// The pages before and behind.
    pub pager: Pager,
    /// Keys, the newest first.
    pub keys: Vec<KeyRow>,
    /// Witnesses.
    pub witnesses: Vec<WitnessRow>,
    /// Where a new witness goes.
    pub witness_action: String,
    /// What was wrong.
    pub form: Form,
    /// What was typed.
    pub typed: Typed,
}

/// One checkpoint.
#[derive(Template)]
#[template(path = "checkpoint/show.html")]
pub struct ShowCheckpoint {
    /// The frame.
    pub shell: Shell,
    /// Who signed it and when.
    pub facts: Facts,
    /// The whole note.
    pub note: String,
    /// Where it is as a file.
    pub file: String,
    /// Where a note with a witness's signature goes; none for whoever may not bring one.
    pub action: Option<String>,
    /// What was wrong.
    pub form: Form,
    /// What was typed.
    pub typed: String,
}

/// What came of holding a kept checkpoint against the record; `keys` are the record's.
pub fn held(outcome: &Held, entries: u64, keys: &[KeyRow]) -> Answer {
    let at = |size: u64| words::grouped(size);
    match outcome {
        Held::GoesOn { size, signed, read } => {
            let (words, how) = match *read {
                (0, to) if to == *size => (
                    format!("Nothing in the first {} entries was changed since", at(*size)),
                    "Every entry was read and every hash worked out from its bytes.".to_owned(),
                ),
                (from, to) => {
                    let part = format!("{} to {}", at(from + 1), at(to));
                    (
                        format!("Nothing in entries {part} was changed since; the others were not read yet"),
                        format!(
                            "Entries {part} were read and their hashes worked out from their bytes; of the others the hashes that are kept were taken."
                        ),
                    )
                }
            };
            Answer::new(Tone::Fit, words).why(format!(
                "The record of now, {} entries, begins with the very record of that checkpoint. {how} {}",
                at(entries),
                by_keys(signed, keys)
            ))
        }
        Held::Changed { size, what } => Answer::new(
            Tone::Stop,
            "This record was changed behind its own hashes",
        )
        .why(format!(
            "The root that is kept of the first {} entries is that of the checkpoint, but {what}. Keep the checkpoint: it is the proof.",
            at(*size)
        )),
        Held::Differs { size } => Answer::new(
            Tone::Stop,
            "This record is not the one of that checkpoint",
        )
        .why(format!(
            "The first {} entries here have another root. Keep the checkpoint: it is the proof.",
            at(*size)
        )),
        Held::Shorter { size } => Answer::new(
            Tone::Stop,
            "This record is shorter than that checkpoint says",
        )
        .why(format!(
            "The checkpoint is of {} entries, and there are {} here. Keep the checkpoint: it is the proof.",
            at(*size),
            at(entries)
        )),
        Held::OtherRecord { origin } => Answer::new(Tone::Hold, "This checkpoint is of another record")
            .why(format!("It names {origin}.")),
    }
}

/// By which keys of the record a checkpoint is signed.
fn by_keys(signed: &[u32], keys: &[KeyRow]) -> String {
    let newest = keys.first().map(|key| key.number);
    let one = |number: &u32| {
        let next = keys.iter().find(|key| key.number == number + 1);
        match next.filter(|_| newest != Some(*number)) {
            Some(next) => format!(
                "key {number} of this record, which was put aside at entry {}",
                next.since
            ),
            None => format!("key {number} of this record"),
        }
    };
    let signed: Vec<String> = signed.iter().map(one).collect();
    if signed.is_empty() {
        return "Nobody whose key is known here signed it; its root is right all the same."
            .to_owned();
    }
    format!("It is signed with {}.", signed.join(" and with "))
}

/// That the record does not go on from the last checkpoint that is kept of it.
pub fn not_as_signed(size: u64) -> Answer {
    Answer::new(
        Tone::Stop,
        format!(
            "This record is not the one of its own last checkpoint, of {} entries",
            words::grouped(size)
        ),
    )
    .why(
        "Nothing is signed until that is cleared up. Keep that checkpoint, and a copy of the database as it is; \
         \"ropeloft rebuild\" names what does not agree.",
    )
}

impl Checkpoints {
    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::PROBE;
        let page = |full: bool, wrong: &FieldErrors| Self {
            shell: Shell::sample("Checkpoints"),
            unlike: full.then(|| not_as_signed(7)),
            at_once: "100,000".to_owned(),
            read_on: full.then(|| (7, PROBE.to_owned())),
            answer: full.then(|| Answer::new(Tone::Fit, PROBE).why(PROBE)),
            entries: "3,412".to_owned(),
            can_sign: full,
            may_make: full,
            may_keep: true,
            rows: Vec::from_iter(full.then(|| CheckpointRow {
                href: "/history/checkpoints/1".to_owned(),
                entries: "1".to_owned(),
                made: "2026-02-20 14:05 UTC".to_owned(),
                by: PROBE.to_owned(),
            })),
            pager: Pager::default(),
            keys: Vec::from_iter(full.then(|| KeyRow {
                number: 1,
                verifier: PROBE.to_owned(),
                since: "5".to_owned(),
                reason: PROBE.to_owned(),
                is_alone: true,
            })),
            witnesses: [None, Some(PROBE.to_owned())]
                .map(|ended| WitnessRow {
                    who: PROBE.to_owned(),
                    verifier: PROBE.to_owned(),
                    ended,
                    end: "/history/checkpoints/witnesses/1/end".to_owned(),
                })
                .into(),
            witness_action: "/history/checkpoints/witnesses?id=1".to_owned(),
            form: Form::new(wrong),
            typed: Typed {
                reason: PROBE.to_owned(),
                note: PROBE.to_owned(),
                witness: WitnessDraft {
                    verifier: PROBE.to_owned(),
                    who: PROBE.to_owned(),
                },
            },
        };
        vec![
            page(true, &FieldErrors::one("verifier", "key", PROBE)),
            page(false, &FieldErrors::one("reason", "required", PROBE)),
        ]
    }
}

impl ShowCheckpoint {
    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::PROBE;
        vec![Self {
            shell: Shell::sample("Checkpoint"),
            facts: Facts::default().and("Signed by", PROBE),
            note: PROBE.to_owned(),
            file: "/history/checkpoints/1/note".to_owned(),
            action: Some("/history/checkpoints/1/note".to_owned()),
            form: Form::new(&FieldErrors::one("note", "signature", PROBE)),
            typed: PROBE.to_owned(),
        }]
    }
}
