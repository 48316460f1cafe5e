//! Remarks that restrict an item, tell of damage or of something that it met, or leave something open: "ONLY", "not for",
//! "missing", "check", "??", "training", "sheath worn", "dropped 3 m", "gate does not close".
//!
//! Common practice, no source: whoever wrote such words wanted somebody to stop at the item. No job reads them, so it is
//! asked what they mean; held until somebody has looked is what is proposed.

use super::answer::Restricted;
use super::assemble::Assembly;
use super::fate::Differs;
use super::field::Field;
use super::question::Question;
use super::row::ReadRow;
use super::synonym::{each, plain_words};
use super::{item, word};
use crate::domain::{Item, ItemState, Verdict, fold};

/// What is told of items that stay as they are.
const STAYS: &str = "The list has remarks that may restrict what items in service are for, and the register does not have them. Items that are there already stay as they are, and in service. Look at each and put it into quarantine at the item, or let the list update them: then it is asked what becomes of them.";

/// Words and phrases that restrict, or ask for a look.
const WORDS: &str = "only, not for, do not, don t, dont, no longer, missing, check, to check, recheck, training, practice, \
     exercise, demo, ask maker, not used, must not, to decide, does not, doesn t, will not, not found, cannot, can t, cover open, unreadable, damaged, defect, \
     not in service, out of service, not to be used, never use, not passed, did not pass, not pass, no pass, no people, \
     no ppe, non ppe, for loads, goods, red tag, tagged out, u s, hold, held, out of date, end of life, over age, over aged, \
     taken out, set aside, written off, see report, needs, not ok, no good, unserviceable, in repair, suspended, blocked, \
     nicht bestanden, ausser dienst, außer dienst, hors service, ne pas, réformé, no usar, fuera de servicio, non usare, \
     niet gebruiken, nur, nicht für, nicht verwenden, fehlt, prüfen, übung, ausbildung, seulement, pas pour, manque, à vérifier, formation";

/// Beginnings of words that tell of damage, or of something that gear met.
const STEMS: &str = "worn, wear, drop, fell, fall, bent, dent, deform, twist, crack, stiff, jam, stick, stuck, seiz, grind, grat, \
     rust, corro, loose, wobbl, burn, melt, glaz, chem, acid, contamin, overload, shock, tow, swap, replac, repair, recall, \
     broke, nick, gouge, fray, fuzz, torn, tear, split, hole, cut, core, sheath, tooth, teeth, groove, lost, gone, \
     swollen, soft, doubt, suspect, mould, mold, mildew, \
     fail, condemn, reject, scrap, retire, withdraw, quarant, unsafe, unfit, defect, fault, damag, expir, dispos, discard, \
     decommission, destroy, stolen, sold, forbid, prohibit, derat, await, unknown, heat, fire, rip, deploy, indicator, drill, \
     modif, resew, proof, bleach, diesel, petrol, solvent, kink, flat, bulg, weak, \
     gesperrt, ausgesondert, ausgemustert, ausgeschieden, defekt, beschaed, abgelaufen, \
     verschl, abgenutz, riss, gerissen, gefallen, sturz, verbogen, beschäd, rost, locker, klemm, schwergängig, verloren, \
     geschnitten, angeschnitten, verbrannt, usé, usure, chute, fissur, tordu, rouill, abîm, coup, cassé, perdu";

/// An item whose remarks restrict it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Restricting {
    /// The row.
    pub row: u32,
    /// The item's mark.
    pub mark: String,
    /// The words.
    pub text: String,
    /// What was said of just these words.
    pub said: Option<Restricted>,
}

/// Whether words restrict an item, or leave something open.
fn restricts(text: &str) -> bool {
    let words = format!(" {} ", plain_words(text));
    text.contains("??")
        || each(WORDS).any(|phrase| words.contains(&format!(" {phrase} ")))
        || each(STEMS).any(|stem| {
            words.contains(&format!(" {stem}")) && (is_of_gear(stem) || !tells_of_markings(&words))
        })
}

/// Whether words are about what is written on the item: whether that can be read is asked by itself.
fn tells_of_markings(words: &str) -> bool {
    const OF_MARKINGS: [&str; 7] = [
        "label", "marking", "number", "tag", "stamp", "print", "etikett",
    ];
    let mut of_markings = OF_MARKINGS.into_iter();
    of_markings.any(|word| words.contains(&format!(" {word}")))
}

/// Whether a stem says something of the gear itself where a label is named beside it. What wears off a label does not.
fn is_of_gear(stem: &str) -> bool {
    const OF_LABELS: [&str; 9] = [
        "worn", "wear", "loose", "lost", "gone", "soft", "replac", "usé", "abgenutz",
    ];
    !OF_LABELS.contains(&stem)
}

/// Whether a note has a text as a line of its own, alone or behind the name of a field.
fn is_noted(note: &str, text: &str) -> bool {
    let text = fold(text);
    let mut lines = note.lines().map(fold);
    lines.any(|line| line == text || line.ends_with(&format!(": {text}")))
}

/// Whether the list itself says that the item is out of service, or did not pass.
fn is_out(row: &ReadRow) -> bool {
    let state = ItemState::from_key(row.text(Field::State));
    let verdict = word::verdict(row.text(Field::Verdict));
    state.is_some_and(|state| state != ItemState::InService)
        || verdict.is_some_and(|verdict| verdict != Verdict::Fit)
}

/// What of a row's remarks restricts it and is not noted yet, in the words of the list.
fn words_of(row: &ReadRow, noted: &str) -> String {
    let lines = row.note.iter();
    let lines = lines.map(|line| {
        line.split_once(": ")
            .map_or(line.as_str(), |(_, text)| text)
    });
    let mut found: Vec<&str> = Vec::new();
    let note = row.text(Field::Note).lines();
    for text in note.chain([row.text(Field::StateReason)]).chain(lines) {
        if restricts(text) && !is_noted(noted, text) && !found.contains(&text) {
            found.push(text);
        }
    }
    found.join("; ")
}

impl Assembly<'_> {
    /// Holds an item whose remarks restrict it, as was said; where nothing was, it is asked.
    pub(super) fn restrict(&mut self, row: &mut ReadRow) {
        let text = words_of(row, "");
        if !is_out(row) && !text.is_empty() {
            self.hold_or_ask(row, text);
        }
    }

    /// The same of an item that is there already and in service. What stands in its note was looked at when it came there.
    /// An item that stays as it is, is not held either: that is told.
    pub(super) fn restrict_there(&mut self, row: &mut ReadRow, item: &Item) -> Option<Differs> {
        let text = words_of(row, &item.note);
        if item.state != ItemState::InService || is_out(row) || text.is_empty() {
            return None;
        }
        if self.answers.update {
            self.hold_or_ask(row, text.clone());
        } else {
            self.remarks.look_at(row.number, STAYS.to_owned());
        }
        Some(Differs {
            label: "Remarks that may restrict its use".to_owned(),
            old: String::new(),
            new: text,
        })
    }

    fn hold_or_ask(&mut self, row: &mut ReadRow, text: String) {
        let said = self.answers.word(Field::Note, &text);
        let said = said.and_then(Restricted::from_key);
        match said.or(self.answers.restricted) {
            Some(Restricted::Quarantine) => row.held = Some(text.clone()),
            Some(Restricted::Go) => {}
            None => row.asked = true,
        }
        // The words stay in the note, so that the same list does not ask again.
        let why = row.text(Field::StateReason).to_owned();
        if restricts(&why) && !is_noted(&item::draft(row).note, &why) {
            row.note
                .push(format!("{}: {why}", Field::StateReason.label()));
        }
        // A row that stands for several items is one.
        if self
            .restricting
            .last()
            .is_none_or(|last| last.row != row.number)
        {
            self.restricting.push(Restricting {
                row: row.number,
                mark: row.text(Field::Mark).to_owned(),
                text,
                said,
            });
        }
    }

    /// What is asked of all of them, as long as something is open.
    pub(super) fn ask_restricted(&self) -> Option<Question> {
        if self.answers.restricted.is_some() {
            return None;
        }
        let open = self.restricting.iter().filter(|one| one.said.is_none());
        let open: Vec<Restricting> = open.cloned().collect();
        (!open.is_empty()).then_some(Question::Restricted { rows: open })
    }
}

/// What is asked of rows whose remarks restrict them.
pub(super) fn sentence(rows: &[Restricting]) -> String {
    /// How many are told in the sentence.
    const MOST: usize = 20;
    let told: Vec<String> = rows
        .iter()
        .take(MOST)
        .map(|one| format!("{} \"{}\"", one.mark, super::heading::shortened(&one.text)))
        .collect();
    let more = match rows.len().saturating_sub(MOST) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    let noun = if rows.len() == 1 {
        "row has"
    } else {
        "rows have"
    };
    format!(
        "{} {noun} remarks that may restrict what the items are for, or leave something open: {}{more}. What becomes of these items?",
        rows.len(),
        told.join("; ")
    )
}

#[cfg(test)]
mod tests {
    use super::restricts;

    /// Words that stop somebody.
    const STOP: [&str; 50] = [
        "TRAINING ONLY",
        "not for hauling",
        "1 missing?",
        "measured 38.2 -> check label",
        "over age ?? ask",
        "Training",
        "nur für Übung",
        "sheath worn at 12 m",
        "used as tow rope 18.11.",
        "dropped 3 m in June",
        "gate does not close by itself",
        "not found at count",
        "groove 1½ mm",
        "recall letter of May",
        "edge cut 2 mm",
        "pack cover open",
        "crack?",
        "grinds",
        "failed inspection",
        "FAIL",
        "condemned",
        "harness condemned 2024",
        "rejected by J. Miller",
        "not passed",
        "did not pass",
        "to be scrapped",
        "out of service",
        "taken out of service",
        "withdrawn",
        "in quarantine",
        "unsafe",
        "defective",
        "expired 2025",
        "red tag",
        "U/S",
        "not to be used",
        "never use again",
        "no people",
        "for loads",
        "gesperrt",
        "hors service",
        "heat damage",
        "absorber deployed",
        "history unknown",
        "awaiting inspection",
        "core shot at 12 m, red tag",
        "crack beside the stamp",
        "gate bent, label ok",
        "sheath cut near the number",
        "dropped 20 m, tag 4",
    ];

    #[test]
    fn words_that_stop_somebody_are_found() {
        for text in STOP {
            assert!(restricts(text), "{text}");
        }
        for text in [
            "red, pair with R2",
            "checked 2024",
            "blue tape",
            "new?",
            "commonly used",
            "label worn",
            "tag replaced 2024",
            "goes with harness 4",
        ] {
            assert!(!restricts(text), "{text}");
        }
    }
}
