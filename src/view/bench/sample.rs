//! Pages of the bench to test with.

use super::super::{
    PROBE, Shell,
    examination::Subject,
    gear,
    item::ItemRow,
    part::{Answer, Tone},
};
use super::{Bench, BenchList, BenchRow, BenchSheet, Laid, Sitting};
use crate::domain::{Checklist, Competence, ExaminationDraft, FieldErrors};

fn typed() -> String {
    PROBE.to_owned()
}

fn sitting() -> Sitting {
    Sitting {
        look: typed(),
        on: typed(),
        examiner: typed(),
        place: typed(),
    }
}

fn sheet(wrong: &FieldErrors) -> BenchSheet {
    let (item, model, store, last) = (
        gear::item(),
        gear::model(),
        gear::store(),
        gear::examination(),
    );
    let subject = Subject {
        id: last.id,
        item: &item,
        model: &model,
        rulebook: gear::rulebook(),
        may_thorough: true,
        may_name: true,
        thorough: true,
        list: &Checklist::newest(model.kind, None),
        competence: (&Competence::default(), gear::TODAY),
        watching: &[],
        since: &[typed()],
    };
    let laid = Laid {
        store: Some(&store),
        codes: &[typed()],
        last: Some(&last),
        today: gear::TODAY,
    };
    let draft = ExaminationDraft {
        findings: typed(),
        ..ExaminationDraft::default()
    };
    let sent = (&sitting(), "/bench".to_owned());
    BenchSheet::new(&subject, &laid, sent, &draft, wrong)
}

fn list() -> BenchList {
    let (item, model, store) = (gear::item(), gear::model(), gear::store());
    let row = ItemRow::new(&item, &model, Some(&store), (gear::rulebook(), gear::TODAY));
    let (last, open) = (gear::examination(), "/bench".to_owned());
    BenchList {
        title: typed(),
        rows: vec![BenchRow::new(
            item.id,
            (row, open),
            &[last],
            (&sitting(), None),
        )],
        query: typed(),
        leave: "/bench".to_owned(),
    }
}

impl Bench {
    fn sample(may_thorough: bool, wrong: &FieldErrors) -> Self {
        let may = (&Competence::default(), may_thorough);
        let shell = Shell::sample("Bench");
        let mut page = Self::new(shell, &sitting(), may, gear::TODAY, wrong);
        page.code = typed();
        page.kept = vec![("store".to_owned(), typed())];
        page
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        let mut wrong = FieldErrors::one("verdict", "choice", PROBE);
        for name in ["on", "seen", "checklist"] {
            wrong.add(name, "stale", PROBE);
        }
        let mut open = Self::sample(true, &wrong);
        open.sheet = Some(sheet(&wrong));
        open.list = Some(list());
        open.photos = Some(("/attachments/new".to_owned(), typed()));
        let mut unknown = Self::sample(false, &FieldErrors::one("code", "code", PROBE));
        unknown.answer = Some(Answer::new(Tone::Hold, PROBE));
        unknown.several = vec![("/bench".to_owned(), typed())];
        vec![open, unknown]
    }
}
