//! What was on record for a while and was changed then: what an item is, what a model holds, what a notice covers.

use std::collections::HashMap;

use time::Date;

use super::To;
use crate::domain::{
    Change, Entry, Item, ItemId, Made, Model, ModelId, Names, Notice, NoticeId, RopeCut, Team,
    Zone, counted,
    date::write_day,
    then::{Fact, model_facts},
};

/// The kinds of changes that correct what was on record.
pub const CORRECTING: &[&str] = &[
    "item-revised",
    "model-revised",
    "model-kind-changed",
    "notice-corrected",
    "notice-withdrawn",
];

/// The kinds of changes that put it on record, and those that correct it.
pub const ON_RECORD: &[&str] = &[
    "item-added",
    "model-added",
    "notice-opened",
    "rope-cut",
    "item-revised",
    "model-revised",
    "model-kind-changed",
    "notice-corrected",
    "notice-withdrawn",
];

/// The kinds of changes that tell how a team is kept.
pub const OF_TEAM: &[&str] = &["team-founded", "team-revised"];

/// That what others went by was changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Corrected {
    /// The day on which it was put on record; of a notice the day on which it was issued.
    pub on_record: Date,
    /// What it is about.
    pub about: To,
    /// Its name: a mark or a title.
    pub name: String,
    /// What it is now and what it was before, in words.
    pub words: String,
}

/// How much of a correction is told.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Told {
    /// By which gear is chosen, found or recalled.
    Binding,
    /// All that was written otherwise.
    Whole,
}

/// What is on record, as entries make it one after another.
#[derive(Debug)]
pub struct OnRecord<'a> {
    names: &'a Names,
    zone: &'a Zone,
    items: HashMap<ItemId, (Date, Item)>,
    models: HashMap<ModelId, (Date, Model)>,
    /// Each with the first day on which it is said to have been issued.
    notices: HashMap<NoticeId, (Date, Notice)>,
    team: Option<Team>,
}

impl<'a> OnRecord<'a> {
    /// Nothing yet.
    pub fn new(names: &'a Names, zone: &'a Zone) -> Self {
        Self {
            names,
            zone,
            items: HashMap::new(),
            models: HashMap::new(),
            notices: HashMap::new(),
            team: None,
        }
    }

    /// Takes an entry of [`ON_RECORD`] or [`OF_TEAM`]; they are given in their order. Tells what it changed, if it did, with
    /// what was before, in words.
    pub fn changed(&mut self, entry: &Entry<Change>) -> Option<String> {
        match &entry.change {
            Change::TeamFounded(team) | Change::TeamRevised(team) => {
                let was = self.team.replace(team.clone())?;
                changed(&team_facts(&was), &team_facts(team))
            }
            _ => self
                .taken(entry, Told::Whole)
                .map(|corrected| corrected.words),
        }
    }

    /// Takes an entry of [`ON_RECORD`]; they are given in their order. Tells what it corrected, if it did: a note, a price or
    /// a place corrects nothing by which gear is chosen, found or recalled.
    pub fn apply(&mut self, entry: &Entry<Change>) -> Option<Corrected> {
        self.taken(entry, Told::Binding)
    }

    fn taken(&mut self, entry: &Entry<Change>, told: Told) -> Option<Corrected> {
        let recorded = entry.recorded_on(self.zone);
        match &entry.change {
            Change::ItemAdded(item) | Change::ItemRevised(item) => self.item(item, recorded),
            Change::RopeCut(cut) => {
                self.cut(cut, recorded);
                None
            }
            Change::NoticeOpened(notice) => {
                let known = (notice.issued_on, notice.clone());
                self.notices.insert(notice.id, known);
                None
            }
            Change::NoticeCorrected(to) => {
                let (issued, was) = self.notices.remove(&to.notice.id)?;
                let first = issued.min(to.notice.issued_on);
                let known = (first, to.notice.clone());
                self.notices.insert(to.notice.id, known);
                let words = changed(&notice_facts(&was, told), &notice_facts(&to.notice, told))?;
                Some(of_notice(&was, issued, words))
            }
            Change::NoticeWithdrawn(end) => {
                let (issued, was) = self.notices.get(&end.notice)?;
                let words = format!("until then it covered {}", was.covers_words());
                Some(of_notice(was, *issued, words))
            }
            change => self.model(change.model()?, recorded, told),
        }
    }

    fn item(&mut self, item: &Item, recorded: Date) -> Option<Corrected> {
        let was = self.items.remove(&item.id);
        let on_record = was.as_ref().map_or(recorded, |(on_record, _)| *on_record);
        self.items.insert(item.id, (on_record, item.clone()));
        let words = changed(&self.item_facts(&was?.1), &self.item_facts(item))?;
        Some(Corrected {
            on_record,
            about: To::Item(item.id),
            name: item.mark.clone(),
            words,
        })
    }

    /// Puts the pieces of a rope on record, each as the rope was.
    fn cut(&mut self, cut: &RopeCut, recorded: Date) {
        let Some((_, rope)) = self.items.get(&cut.rope).cloned() else {
            return;
        };
        for piece in &cut.pieces {
            let item = Item {
                id: piece.id,
                mark: piece.mark.clone(),
                serial: piece.serial.clone(),
                ..rope.clone()
            };
            self.items.insert(piece.id, (recorded, item));
        }
    }

    fn model(&mut self, model: &Model, recorded: Date, told: Told) -> Option<Corrected> {
        let was = self.models.remove(&model.id);
        let on_record = was.as_ref().map_or(recorded, |(on_record, _)| *on_record);
        self.models.insert(model.id, (on_record, model.clone()));
        let words = changed(
            &model_corrected(&was?.1, told),
            &model_corrected(model, told),
        )?;
        Some(Corrected {
            on_record,
            about: To::Model(model.id),
            name: model.title(),
            words,
        })
    }

    /// What an item is, by which notices cover it and its life ends.
    fn item_facts(&self, item: &Item) -> Vec<Fact> {
        let made = |made: Option<Made>| made.map_or_else(unknown, String::from);
        let text = |text: &Option<String>| text.clone().unwrap_or_else(unknown);
        vec![
            Fact::new("mark", item.mark.as_str()),
            Fact::new("model", self.names.of(item.model.0)),
            Fact::new("serial", text(&item.serial)),
            Fact::new("lot", text(&item.lot)),
            Fact::new("date made", made(item.made)),
            Fact::new("first used", made(item.first_used_on)),
        ]
    }
}

/// How a team is kept.
fn team_facts(team: &Team) -> Vec<Fact> {
    let lines = |text: &str| match text {
        "" => unknown(),
        text => text.replace('\n', ", "),
    };
    let by_two = if team.return_by_two { "yes" } else { "no" };
    vec![
        Fact::new("name", team.name.as_str()),
        Fact::new("rulebook", team.rulebook.as_str()),
        Fact::new("time zone", team.time_zone.to_string()),
        Fact::new(
            "a return from quarantine is confirmed by a second person",
            by_two,
        ),
        Fact::new("employer", lines(&team.employer)),
        Fact::new("premises", lines(&team.premises)),
    ]
}

fn of_notice(was: &Notice, on_record: Date, words: String) -> Corrected {
    Corrected {
        on_record,
        about: To::Notice(was.id),
        name: was.title.clone(),
        words,
    }
}

fn notice_facts(notice: &Notice, told: Told) -> Vec<Fact> {
    let mut facts = vec![
        Fact::new("it covers", notice.covers_words()),
        Fact::new("to do", notice.action.as_str()),
        Fact::new("issued on", write_day(notice.issued_on)),
    ];
    if told == Told::Whole {
        facts.extend([
            Fact::new("title", notice.title.as_str()),
            Fact::new("issued by", notice.issuer.as_str()),
        ]);
    }
    facts
}

/// What a model is called, is, holds and is approved to; of the whole also what was noted of it.
fn model_corrected(model: &Model, told: Told) -> Vec<Fact> {
    let mut facts = vec![
        Fact::new("maker", model.maker.as_str()),
        Fact::new("name", model.name.as_str()),
    ];
    facts.extend(model_facts(model));
    if told == Told::Whole {
        let noted = |text: &str| match text.trim() {
            "" => "none on record".to_owned(),
            text => text.replace('\n', ", "),
        };
        facts.extend([
            Fact::new("maker's instructions", noted(&model.instructions)),
            Fact::new("note", noted(&model.note)),
        ]);
    }
    facts
}

/// The facts that differ, in words; none where all are the same. Both are told in the same order.
fn changed(was: &[Fact], is: &[Fact]) -> Option<String> {
    let differ = was.iter().zip(is).filter(|(was, is)| was.value != is.value);
    let told: Vec<String> = differ
        .map(|(was, is)| format!("{}: {}", is.title, otherwise(&was.value, &is.value)))
        .collect();
    (!told.is_empty()).then(|| told.join("; "))
}

/// What a fact is and was. Of a list only the parts that differ are told, and how many stay.
fn otherwise(was: &str, is: &str) -> String {
    let (had, has): (Vec<&str>, Vec<&str>) = (was.split("; ").collect(), is.split("; ").collect());
    let gone: Vec<&str> = had
        .iter()
        .filter(|part| !has.contains(part))
        .copied()
        .collect();
    let new: Vec<&str> = has
        .iter()
        .filter(|part| !had.contains(part))
        .copied()
        .collect();
    let same = has.len() - new.len();
    if new.is_empty() && gone.is_empty() {
        return "the same in another order".to_owned();
    }
    if same == 0 {
        return format!("{is}, before that {was}");
    }
    let or_none = |parts: Vec<&str>| match parts.as_slice() {
        [] => "nothing".to_owned(),
        parts => parts.join("; "),
    };
    let (new, gone) = (or_none(new), or_none(gone));
    format!(
        "{new}, before that {gone}, beside {} that did not change",
        counted(same, "other", "others")
    )
}

fn unknown() -> String {
    "not known".to_owned()
}

#[cfg(test)]
mod tests {
    use super::otherwise;

    #[test]
    fn of_a_list_what_stays_is_counted() {
        for (was, is, told) in [
            ("36 kN", "32 kN", "32 kN, before that 36 kN"),
            (
                "36 kN, straight; 22 kN, becket",
                "32 kN, straight; 22 kN, becket",
                "32 kN, straight, before that 36 kN, straight, beside 1 other that did not change",
            ),
            (
                "EN 12278; EN 567; EN 341",
                "EN 12278; EN 341",
                "nothing, before that EN 567, beside 2 others that did not change",
            ),
            (
                "EN 12278; EN 567",
                "EN 567; EN 12278",
                "the same in another order",
            ),
        ] {
            assert_eq!(otherwise(was, is), told);
        }
    }
}
