//! The approvals of a model, put together from what its rows and the answers say.

use super::answer::ReadIn;
use super::field::Field;
use super::given::is_strength;
use super::grouping::Group;
use super::plan::PlannedModel;
use super::remark::Remarks;
use super::{load_each, rope_uses};
use crate::domain::rulebook::same_class;
use crate::domain::{ApprovalDraft, Kind, ModelDraft, has_class, rates_load};

/// That a rated load belongs to all approvals.
pub(super) const ALL: &str = "all";

/// The approvals to standards that rate a load.
fn rating(approvals: &mut [ApprovalDraft]) -> Vec<&mut ApprovalDraft> {
    let approvals = approvals.iter_mut();
    approvals.filter(|one| rates_load(&one.standard)).collect()
}

/// An approval as a question names it.
pub(super) fn title(approval: &ApprovalDraft) -> String {
    let parts = [&approval.standard, &approval.class];
    let parts = parts.into_iter().filter(|part| !part.is_empty());
    parts.cloned().collect::<Vec<_>>().join(" ")
}

/// The attribute that holds the class letter of a kind of gear.
fn class_attribute(kind: Kind) -> Option<&'static str> {
    match kind {
        Kind::Rope => Some("rope-class"),
        Kind::Connector => Some("connector-class"),
        _ => None,
    }
}

impl Group {
    pub(super) fn approvals(&self, draft: &mut ModelDraft, remarks: &mut Remarks) {
        if self.unread.contains_key(&Field::Standard) {
            return;
        }
        draft.approvals.clone_from(&self.approvals);
        if draft.approvals.is_empty() {
            self.keep_in_note(draft, remarks);
            return;
        }
        for approval in &mut draft.approvals {
            approval.rope_least = self.text(Field::RopeLeast);
            approval.rope_most = self.text(Field::RopeMost);
            approval.rope_kinds = self.text(Field::RopeKinds);
            approval.least_strands = self.text(Field::LeastStrands);
        }
        self.ropes_by_use(draft, remarks);
        self.one_range(draft, remarks);
        self.rated_load(draft, remarks);
        self.class_and_edition(draft, remarks);
    }

    /// A device may hold two approvals with ranges of their own, and a list has one range: it stands for all of them, and
    /// whoever brings it is told so.
    fn one_range(&self, draft: &ModelDraft, remarks: &mut Remarks) {
        let [first, _, ..] = draft.approvals.as_slice() else {
            return;
        };
        if !self.ropes_of.is_empty() {
            return;
        }
        if first.rope_least.is_empty() && first.rope_most.is_empty() {
            return;
        }
        let titles: Vec<String> = draft.approvals.iter().map(title).collect();
        let sentence = format!(
            "The list gives {} {} one range of rope, {}: each of its approvals, {}, has it now. The maker may state another \
             for one of them, such as a narrower one for rescue: read it in the papers, and write it on the model's record.",
            draft.maker,
            draft.name,
            rope_uses::in_words(&self.ropes()),
            titles.join(" and ")
        );
        remarks.look_at(self.first_row, sentence);
    }

    /// Whether only one end of its range of ropes is known.
    pub(super) fn is_rope_open(&self) -> bool {
        let [least, most] = [Field::RopeLeast, Field::RopeMost].map(|end| self.text(end));
        !self.is_known && least.is_empty() != most.is_empty()
    }

    /// The model as it is planned: whether both ends of its range of ropes are known and no approval is there to hold it.
    pub(super) fn planned(&self, draft: ModelDraft) -> PlannedModel {
        let [least, most] = [Field::RopeLeast, Field::RopeMost].map(|end| self.text(end));
        PlannedModel {
            draft,
            items: self.rows,
            ropes_wait: self.approvals.is_empty() && !least.is_empty() && !most.is_empty(),
        }
    }

    /// The approvals between which a rated load is in doubt, by their titles: each standard has one of its own, and the
    /// list gives one number.
    pub(super) fn load_in_doubt(&self) -> Vec<String> {
        let load = self.text(Field::RatedLoad);
        let is_of_each = load_each::read(&load).is_some();
        if self.approvals.len() < 2 || load.is_empty() || is_of_each || self.rates_load() {
            return Vec::new();
        }
        let rate = self.approvals.iter();
        let rate = rate.filter(|one| rates_load(&one.standard));
        match rate.map(title).collect::<Vec<_>>() {
            none if none.is_empty() => self.approvals.iter().map(title).collect(),
            one if one.len() == 1 => Vec::new(),
            several => several,
        }
    }

    /// Puts the rated load to the approval that it belongs to; to none while that is in doubt.
    fn rated_load(&self, draft: &mut ModelDraft, remarks: &mut Remarks) {
        let load = self.text(Field::RatedLoad);
        if self.rates_load() || load.is_empty() {
            return;
        }
        if let Some(each) = load_each::read(&load) {
            let left = load_each::put(&each, &mut draft.approvals);
            if !left.is_empty() {
                let why = "it names a standard that is none of its approvals";
                self.note_text(draft, remarks, (Field::RatedLoad, &left.join("; ")), why);
            }
            return;
        }
        let of = self.load_of.as_deref();
        if let [only] = draft.approvals.as_mut_slice() {
            load_each::rate(only, &load);
        } else if of.is_none() && !self.load_in_doubt().is_empty() {
            let why = "it is not said to which of its approvals it belongs";
            self.note(draft, remarks, &[Field::RatedLoad], why);
        } else if of.is_some() {
            for approval in &mut draft.approvals {
                if of == Some(ALL) || of == Some(&title(approval)) {
                    load_each::rate(approval, &load);
                }
            }
        } else if let [one] = rating(&mut draft.approvals).as_mut_slice() {
            load_each::rate(one, &load);
            let sentence = format!(
                "Of several standards in one cell only {} rates a load; the rated load is taken as its.",
                one.standard
            );
            remarks.add(self.first_row, sentence);
        }
    }

    /// The class letter of a rope or a connector is that of its approvals, where they name one and no other.
    pub(super) fn class_letter(&self, draft: &mut ModelDraft) {
        let Some(key) = class_attribute(self.kind) else {
            return;
        };
        let approvals = draft.approvals.iter();
        let of_class = approvals.filter(|one| has_class(&one.standard, &one.class));
        let mut classes: Vec<String> = of_class.map(|one| one.class.clone()).collect();
        classes.dedup();
        if let [class] = classes.as_slice() {
            let attribute = draft.attributes.entry(key.to_owned());
            attribute.or_insert_with(|| class.clone());
        }
    }

    /// Puts a class and an edition that stand in columns of their own to the standard that they are of, unless one has
    /// them already.
    fn class_and_edition(&self, draft: &mut ModelDraft, remarks: &mut Remarks) {
        let (class, edition) = (self.text(Field::Class), self.text(Field::Edition));
        if let [one] = draft.approvals.as_mut_slice() {
            for (own, column) in [(&mut one.class, class), (&mut one.edition, edition)] {
                if own.is_empty() {
                    *own = column;
                }
            }
            return;
        }
        let approvals = &mut draft.approvals;
        let mut left = Vec::new();
        if !approvals.iter().any(|one| one.edition == edition) {
            left.push(Field::Edition);
        }
        let is_said = |one: &ApprovalDraft| same_class(Some(&one.class), Some(&class));
        if !approvals.iter().any(is_said) {
            let having = approvals
                .iter_mut()
                .filter(|one| one.class.is_empty() && has_class(&one.standard, &class));
            match having.collect::<Vec<_>>().as_mut_slice() {
                [one] => {
                    let sentence = format!(
                        "Of several standards in one cell only {} has a class {class}; it is taken as its class.",
                        one.standard
                    );
                    one.class = class;
                    remarks.add(self.first_row, sentence);
                }
                _ => left.push(Field::Class),
            }
        }
        self.note(draft, remarks, &left, "several standards share one cell");
    }

    /// Without a standard there is no approval that a rope range could belong to.
    fn keep_in_note(&self, draft: &mut ModelDraft, remarks: &mut Remarks) {
        let class_taken = class_attribute(self.kind).is_some_and(|key| {
            let class = self.text(Field::Class);
            !class.is_empty()
                && draft
                    .attributes
                    .entry(key.to_owned())
                    .or_insert(class.clone())
                    == &class
        });
        let mut fields = vec![
            Field::Edition,
            Field::RopeLeast,
            Field::RopeMost,
            Field::RopeKinds,
            Field::LeastStrands,
        ];
        if !class_taken {
            fields.push(Field::Class);
        }
        if !self.rates_load() {
            fields.push(Field::RatedLoad);
        }
        self.ropes_in_note(draft);
        self.note(
            draft,
            remarks,
            &fields,
            "no standard is named that it belongs to",
        );
    }

    fn note(&self, draft: &mut ModelDraft, remarks: &mut Remarks, fields: &[Field], why: &str) {
        for field in fields {
            let text = self.text(*field);
            if !text.is_empty() {
                self.note_text(draft, remarks, (*field, &text), why);
            }
        }
    }

    /// Keeps a text of a field in the model's note.
    fn note_text(
        &self,
        draft: &mut ModelDraft,
        remarks: &mut Remarks,
        (field, text): (Field, &str),
        why: &str,
    ) {
        let label = field.label();
        if !draft.note.is_empty() {
            draft.note.push('\n');
        }
        draft.note.push_str(&label);
        draft.note.push_str(": ");
        draft.note.push_str(text);
        remarks.add(
            self.first_row,
            format!("\"{label}\" is kept in the model's note: {why}."),
        );
    }

    /// Says in the model's note where that was read which has no source of its own on record.
    pub(super) fn say_where_read(&self, draft: &mut ModelDraft) {
        for (field, read) in &self.read_in {
            let on_record =
                is_strength(*field) && (*field != Field::RatedLoad || self.rates_load());
            if on_record {
                continue;
            }
            if !draft.note.is_empty() {
                draft.note.push('\n');
            }
            let how = match read {
                ReadIn::Assumed => "assumed".to_owned(),
                ReadIn::NotKnown => "where it was read is not known".to_owned(),
                read => format!("read {}", read.words()),
            };
            let line = format!(
                "{}: {how}; said when the list was brought in.",
                field.label()
            );
            draft.note.push_str(&line);
        }
    }
}
