//! The page of the bench and the sheets on it, put together from what is asked for.

use time::Date;
use uuid::Uuid;

use super::Asked;
use crate::{
    deed::{
        self, DeedError,
        bench::{Around, Found, Laid, Wanted},
    },
    domain::{
        AttachedTo, Deed, ExaminationDraft, ExaminationId, FieldErrors, Item, ItemId, ItemState,
        JobState, Kind,
    },
    store::{Direction, JobFilter, Tx},
    view::{
        Section,
        attachment::add_href,
        bench::{self as view, Bench, BenchList, BenchRow, BenchSheet, Chooser, Sitting},
        examination::Subject,
        form::Choices,
        item::ItemRow,
        part::{Answer, Tone},
        words,
    },
    web::{App, Problem, Signed, listed::address, way_back::way_to},
};

/// Who asks, and what for.
#[derive(Clone, Copy)]
pub(super) struct Asking<'a> {
    pub app: &'a App,
    pub signed: &'a Signed,
    pub asked: &'a Asked,
}

impl Asking<'_> {
    fn may_thorough(self) -> bool {
        self.signed.actor.role.may(Deed::Examine)
    }

    fn today(self) -> Date {
        self.signed.today(self.app)
    }

    pub(super) fn sitting(self) -> Sitting {
        self.asked.sitting(self.may_thorough(), self.today())
    }

    /// The page of the bench in this sitting, with the list that is worked through and this besides.
    pub(super) fn at(self, sitting: &Sitting, besides: &[(&str, &str)]) -> String {
        let mut pairs = sitting.pairs().to_vec();
        pairs.extend(self.asked.listed());
        pairs.extend(besides);
        address("/bench", &pairs)
    }

    fn opens(self, sitting: &Sitting, item: ItemId) -> String {
        self.at(sitting, &[("item", &item.to_string())])
    }

    /// The sheet of an item with what was typed.
    pub(super) fn sheet(
        self,
        around: &Around,
        laid: &Laid,
        draft: &ExaminationDraft,
        wrong: &FieldErrors,
    ) -> BenchSheet {
        let sitting = self.sitting();
        let id = ExaminationId(self.asked.id.unwrap_or_else(Uuid::now_v7));
        let since = laid.since.in_words(&laid.item, &self.signed.zone);
        let subject = Subject {
            id,
            item: &laid.item,
            model: &laid.model,
            rulebook: &around.rulebook,
            may_thorough: self.may_thorough(),
            may_name: self.may_thorough(),
            // A page that changes what is looked at has every criterion, and hides those that are not.
            thorough: true,
            list: &laid.list,
            competence: (&around.competence, self.today()),
            watching: &laid.watching,
            since: &since,
        };
        let of = view::Laid {
            store: around.stores.iter().find(|one| one.id == laid.item.store),
            codes: &laid.codes,
            last: laid.past.first(),
            today: self.today(),
        };
        let (item, id) = (laid.item.id.to_string(), id.to_string());
        let action = self.at(&sitting, &[("item", &item), ("id", &id)]);
        BenchSheet::new(&subject, &of, (&sitting, action), draft, wrong)
    }

    fn row(self, around: &Around, laid: &Laid, since: Option<Date>) -> BenchRow {
        let sitting = self.sitting();
        let item = &laid.item;
        let store = around.stores.iter().find(|one| one.id == item.store);
        let row = ItemRow::new(item, &laid.model, store, (&around.rulebook, self.today()));
        let open = self.opens(&sitting, item.id);
        BenchRow::new(item.id, (row, open), &laid.past, (&sitting, since))
    }

    /// The list that is worked through, and its items laid out; none if none is asked for.
    pub(super) async fn list(
        self,
        tx: &mut Tx,
        around: &Around,
    ) -> Result<Option<(BenchList, Vec<Laid>)>, Problem> {
        let Some(wanted) = self.asked.wanted(self.today())? else {
            return Ok(None);
        };
        let items = deed::bench::items(tx, &wanted).await?;
        let title = self.title(tx, around, &wanted).await?;
        let since = began(tx, &wanted).await?;
        let laid = deed::bench::lay(tx, items).await?;
        let query = address("", &self.asked.listed());
        let list = BenchList {
            title,
            rows: laid
                .iter()
                .map(|laid| self.row(around, laid, since))
                .collect(),
            query: query.trim_start_matches('?').to_owned(),
            leave: address("/bench", &self.sitting().pairs()),
        };
        Ok(Some((list, laid)))
    }

    /// What the list is of.
    async fn title(self, tx: &mut Tx, around: &Around, wanted: &Wanted) -> Result<String, Problem> {
        Ok(match wanted {
            Wanted::Named(ids) => words::count(ids.len(), "chosen item", "chosen items"),
            Wanted::Round(id) => tx.round(*id).await?.ok_or(Problem::NotFound("round"))?.name,
            Wanted::Kit(job) => {
                let job = tx.job(*job).await?.ok_or(Problem::NotFound("job"))?;
                format!("Kit of {}", job.title)
            }
            Wanted::Found(filter) => {
                let store = around
                    .stores
                    .iter()
                    .find(|one| Some(one.id) == filter.store);
                let store = store.map_or_else(
                    || "Items".to_owned(),
                    |store| format!("Items of {}", store.name),
                );
                match filter.kind {
                    Some(kind) => format!("{store}: {}", kind.word()),
                    None => store,
                }
            }
        })
    }

    /// What a list can be chosen by.
    async fn chooser(self, tx: &mut Tx, around: &Around) -> Result<Chooser, Problem> {
        let none = |words: &str| (String::new(), words.to_owned());
        let planned = JobFilter {
            state: Some(JobState::Planned),
            ends_after: Some(self.app.desk.clock.now()),
            ..JobFilter::default()
        };
        let jobs = tx.jobs(planned, Direction::Up, None, 50).await?.rows;
        let mut chooser = Chooser {
            stores: vec![none("Any store")],
            jobs: vec![none("No job")],
            kinds: vec![none("Every kind")],
            ..Chooser::default()
        };
        let stores = around.stores.iter();
        let stores = stores.map(|store| (store.id.to_string(), store.name.clone()));
        chooser.stores.extend(stores);
        let jobs = jobs.into_iter().map(|job| (job.id.to_string(), job.title));
        chooser.jobs.extend(jobs);
        let kinds = Kind::ALL
            .iter()
            .map(|kind| (kind.key().to_owned(), kind.word().to_owned()));
        chooser.kinds.extend(kinds);
        let chosen = |name: &str| {
            let mut pairs = self.asked.listed().into_iter();
            let found = pairs.find(|(pair, _)| *pair == name);
            found.map(|(_, value)| value.to_owned()).unwrap_or_default()
        };
        chooser.chosen = ["store", "job", "kind"].map(chosen);
        Ok(chooser)
    }

    /// The page, with what was typed into the open sheet and what was wrong.
    pub(super) async fn page(
        self,
        draft: &ExaminationDraft,
        wrong: FieldErrors,
    ) -> Result<Bench, Problem> {
        let mut tx = self.app.desk.database.read(self.signed.actor.team).await?;
        let around = deed::bench::around(&mut tx).await?;
        let (mut above, below) = apart(wrong);
        let opened = self.opened(&mut tx, &mut above).await?;
        let list = match self.list(&mut tx, &around).await {
            Err(Problem::Invalid(wrong)) => {
                above.0.extend(wrong.0);
                None
            }
            list => list?.map(|(list, _)| list),
        };
        let sitting = self.sitting();
        let shell = self.signed.shell_in(Section::Bench, "Bench");
        let may = (&around.competence, self.may_thorough());
        let mut page = Bench::new(shell, &sitting, may, self.today(), &above);
        let kept = self.asked.listed().into_iter();
        page.kept = kept
            .map(|(name, value)| (name.to_owned(), value.to_owned()))
            .collect();
        page.chooser = self.chooser(&mut tx, &around).await?;
        page.photos = self.photos(&mut tx, &sitting).await?;
        page.list = list;
        match opened {
            Opened::Nothing => page.code.clone_from(&self.asked.code),
            Opened::Item(item) => {
                let laid = deed::bench::lay(&mut tx, vec![*item]).await?;
                page.sheet = laid
                    .first()
                    .map(|laid| self.sheet(&around, laid, draft, &below));
            }
            Opened::Several(items) => {
                page.answer = Some(Answer::new(
                    Tone::Hold,
                    "Several items may be meant by this. Which is it?",
                ));
                page.several = self.choices(&mut tx, items).await?;
            }
            Opened::Unknown(answer) => {
                page.code.clone_from(&self.asked.code);
                page.several = vec![(
                    address("/scan", &[("code", &self.asked.code)]),
                    "What this code says, and putting it on an item".to_owned(),
                )];
                page.answer = Some(answer);
            }
        }
        Ok(page)
    }

    /// Where photos go on the examination that was recorded just now, from where the form leads back to this sitting.
    async fn photos(
        self,
        tx: &mut Tx,
        sitting: &Sitting,
    ) -> Result<Option<(String, String)>, Problem> {
        let Some(id) = self.asked.recorded else {
            return Ok(None);
        };
        let Some(found) = tx.examination(id).await? else {
            return Ok(None);
        };
        let item = found.item;
        let to = AttachedTo::Examination {
            item,
            examination: id,
        };
        if !self.signed.actor.role.may(to.deed(Some(&found))) {
            return Ok(None);
        }
        let item = tx.item(item).await?.ok_or(Problem::NotFound("item"))?;
        let href = way_to(&self.at(sitting, &[])).on(&add_href(to));
        Ok(Some((href, format!("Add photos of {}", item.mark))))
    }

    async fn choices(self, tx: &mut Tx, items: Vec<Item>) -> Result<Choices, Problem> {
        let sitting = self.sitting();
        let laid = deed::bench::lay(tx, items).await?.into_iter();
        let choice = |laid: Laid| {
            let words = format!("{}: {}", laid.item.mark, laid.model.title());
            (self.opens(&sitting, laid.item.id), words)
        };
        Ok(laid.map(choice).collect())
    }

    /// What is opened: the item that is named, or what the code leads to.
    pub(super) async fn opened(
        self,
        tx: &mut Tx,
        wrong: &mut FieldErrors,
    ) -> Result<Opened, Problem> {
        let item = match self.asked.item {
            Some(id) => Found::One(Box::new(
                tx.item(id).await?.ok_or(Problem::NotFound("item"))?,
            )),
            None if self.asked.code.trim().is_empty() => return Ok(Opened::Nothing),
            None => match deed::bench::find(tx, &self.asked.code).await {
                Err(DeedError::Invalid(why)) => {
                    wrong.0.extend(why.0);
                    return Ok(Opened::Nothing);
                }
                found => found?,
            },
        };
        Ok(match item {
            Found::One(item) if item.state == ItemState::Retired => {
                let words = format!("{} is retired: it cannot be examined.", item.mark);
                Opened::Unknown(Answer::new(Tone::Out, words).why(item.state_reason.clone()))
            }
            Found::One(item) => Opened::Item(item),
            Found::Several(items) => Opened::Several(items),
            Found::None(_) => {
                let words = "No item has this code, mark or serial.";
                Opened::Unknown(Answer::new(Tone::Hold, words))
            }
        })
    }
}

/// The day from which on a thorough look counts for the list, where it is one of many days.
async fn began(tx: &mut Tx, wanted: &Wanted) -> Result<Option<Date>, Problem> {
    Ok(match wanted {
        Wanted::Round(id) => tx.round(*id).await?.map(|round| round.from),
        _ => None,
    })
}

/// What was opened.
pub(super) enum Opened {
    Nothing,
    Item(Box<Item>),
    Several(Vec<Item>),
    Unknown(Answer),
}

/// What is wrong with what is set once, under the names of its fields, and what is wrong with the sheet.
fn apart(wrong: FieldErrors) -> (FieldErrors, FieldErrors) {
    let above = ["kind", "look", "on", "examiner", "place", "code", "list"];
    let (mut above, below): (Vec<_>, Vec<_>) = wrong
        .0
        .into_iter()
        .partition(|error| above.contains(&error.field.as_str()));
    for error in above.iter_mut().filter(|error| error.field == "kind") {
        "look".clone_into(&mut error.field);
    }
    (FieldErrors(above), FieldErrors(below))
}
