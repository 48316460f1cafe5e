//! The answers to the questions, each counted a second time over a random past, entry by entry.

use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};

use futures::TryStreamExt;
use ropeloft::{
    deed::{
        export::{Wanted, begin},
        question::{Answered, answer},
    },
    domain::{
        Change, DATED, Entry, Item, ItemId, ItemState, JobState, Made, Model, Names, Told, Zone,
        fitness::{Due, due},
        question::{Cell, Question, QuestionDraft, To},
        rulebook::shipped,
    },
    store::{Direction, ItemFilter, ItemSort, Tx},
};
use time::{Date, Duration};

use crate::{
    past_given::{DAYS, is_ground, late, replayed},
    world::{START, World},
};

pub async fn ask(world: &World, question: Question, draft: &QuestionDraft) -> Answered {
    let desk = world.desk();
    answer(&desk, &world.auditor, (question, draft), None, 100_000)
        .await
        .unwrap()
}

/// The ids of a column of records, row by row.
fn ids(answered: &Answered, column: usize) -> Vec<uuid::Uuid> {
    let cells = answered.rows.iter().map(|row| &row.cells[column]);
    cells
        .filter_map(|cell| match cell {
            Cell::Record(to, _) => Some(to.id()),
            _ => None,
        })
        .collect()
}

/// The numbers of the entries in the last column.
pub fn seqs(answered: &Answered) -> Vec<u64> {
    let cells = answered.rows.iter().map(|row| row.cells.last().unwrap());
    cells
        .map(|cell| match cell {
            Cell::Number(seq) => *seq,
            other => panic!("{other:?}"),
        })
        .collect()
}

async fn every_item(tx: &mut Tx) -> Vec<Item> {
    let by_mark = (ItemSort::Mark, Direction::Up);
    tx.items(&ItemFilter::default(), by_mark, None, 100_000)
        .await
        .unwrap()
        .rows
}

/// What is known of a team today.
pub struct Known {
    pub zone: Zone,
    pub items: Vec<Item>,
    pub models: BTreeMap<ropeloft::domain::ModelId, Model>,
}

impl Known {
    pub async fn of(world: &World) -> Self {
        let mut tx = world.database.read(world.team).await.unwrap();
        Self {
            zone: tx.zone().await.unwrap(),
            items: every_item(&mut tx).await,
            models: tx.every_model().await.unwrap(),
        }
    }

    fn item(&self, id: ItemId) -> &Item {
        self.items.iter().find(|item| item.id == id).unwrap()
    }
}

/// The items that an entry is about, for who only looks when something was there.
fn about(entry: &Entry<Change>) -> Vec<ItemId> {
    match &entry.change {
        Change::ExaminationRecorded(one) => vec![one.item],
        Change::EventReported(one) => vec![one.item],
        Change::UsageLogged(one) => vec![one.item],
        Change::ItemStepped(one) => vec![one.item],
        Change::ReturnAsked(one) => vec![one.item],
        Change::ItemAdded(one) | Change::ItemRevised(one) => vec![one.id],
        Change::ItemMoved(one) => vec![one.item],
        Change::KitIssued(issue) => issue.lines.iter().map(|line| line.item).collect(),
        Change::KitReturned(count) => count.lines.iter().map(|line| line.item).collect(),
        Change::RopeCut(cut) => std::iter::once(cut.rope)
            .chain(cut.pieces.iter().map(|piece| piece.id))
            .collect(),
        _ => Vec::new(),
    }
}

/// The marks of what had no valid examination on a day, and how many were in service: told by a database in which
/// nothing else was ever recorded than what was done by then.
async fn not_in_date(
    world: &World,
    known: &Known,
    entries: &[Entry<Change>],
    on: Date,
) -> (Vec<String>, u64) {
    let done = entries.iter().filter(|entry| match &entry.change {
        // What was counted back late asks for a look, which no examination answers here.
        Change::ItemAdded(_) => true,
        Change::KitIssued(_) | Change::KitReturned(_) | Change::IssueTakenBack(_) => false,
        _ => is_ground(entry) || entry.done_on(&known.zone) <= on,
    });
    let (_folder, past) = replayed(world, done.cloned()).await;
    let mut tx = past.read(world.team).await.unwrap();
    let (mut marks, mut of) = (Vec::new(), 0);
    for then in every_item(&mut tx).await {
        let now = known.item(then.id);
        let named = [now.bought_on, now.first_used_on.map(Made::last_day)]
            .into_iter()
            .flatten()
            .any(|day| day <= on);
        let told = entries
            .iter()
            .any(|entry| about(entry).contains(&then.id) && entry.done_on(&known.zone) <= on);
        if !(named || told) || then.state != ItemState::InService {
            continue;
        }
        of += 1;
        let item = Item {
            arduous: now.arduous.clone(),
            ..then
        };
        let due = due(&item, &known.models[&now.model], &shipped()[0], on);
        if matches!(due, Due::NeverExamined | Due::Overdue { .. }) {
            marks.push(now.mark.clone());
        }
    }
    marks.sort();
    (marks, of)
}

on_both_databases! {
    async fn what_was_not_in_date_on_a_day(world) {
        let entries = late(&world, crate::past_given::seed(), 260).await;
        let known = Known::of(&world).await;
        let mut some = 0;
        for days in [0, 1, 40, 200, 450, DAYS + 30] {
            let on = START.date() - Duration::days(days);
            let draft = QuestionDraft { on: on.to_string(), ..QuestionDraft::default() };
            let found = ask(&world, Question::NotInDate, &draft).await;
            let (marks, of) = not_in_date(&world, &known, &entries, on).await;
            let ids: BTreeSet<_> = ids(&found, 0).into_iter().map(ItemId).collect();
            let mut told: Vec<String> = ids.into_iter().map(|id| known.item(id).mark.clone()).collect();
            told.sort();
            assert_eq!((told, found.tally.of), (marks, of), "on {on}");
            assert_eq!(usize::try_from(found.tally.found), Ok(found.rows.len()));
            some += found.rows.len();
        }
        assert!(some > 10, "the past says something: {some}");
    }

    async fn who_examined_beyond_a_qualification(world) {
        let entries = late(&world, crate::past_given::seed(), 300).await;
        let known = Known::of(&world).await;
        let found = ask(&world, Question::Beyond, &QuestionDraft::default()).await;
        let mut expected = Vec::new();
        let mut of = 0;
        for entry in &entries {
            let Change::ExaminationRecorded(look) = &entry.change else { continue };
            if !look.kind.is_thorough() {
                continue;
            }
            of += 1;
            let gear = known.models[&known.item(look.item).model].kind;
            let covered = entries.iter().any(|other| match &other.change {
                Change::QualificationRecorded(one) => {
                    let ropeloft::domain::Holder::Outside { name, .. } = &one.holder else { return false };
                    let kind = one.kinds.is_empty() || one.kinds.contains(&gear);
                    let days = one.from <= look.on && one.until.is_none_or(|until| look.on <= until);
                    *name == look.examiner && kind && days && other.seq < entry.seq
                }
                _ => false,
            });
            if !covered {
                expected.push(entry.seq);
            }
        }
        assert_eq!((seqs(&found), found.tally.of), (expected, of));
        let draft = QuestionDraft { from: "2025-06-01".into(), until: "2025-12-31".into(), ..QuestionDraft::default() };
        let some = ask(&world, Question::Beyond, &draft).await;
        let looked = entries.iter().filter(|entry| matches!(&entry.change, Change::ExaminationRecorded(look)
            if look.kind.is_thorough() && look.on.year() == 2025 && u8::from(look.on.month()) >= 6));
        assert_eq!(usize::try_from(some.tally.of), Ok(looked.count()));
    }

    async fn every_use_of_an_item(world) {
        let entries = late(&world, crate::past_given::seed(), 400).await;
        let known = Known::of(&world).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        let mut some = HashSet::new();
        for item in &known.items {
            let draft = QuestionDraft { item: item.id.to_string(), ..QuestionDraft::default() };
            let found = ask(&world, Question::Used, &draft).await;
            // The item itself, and each rope that it was part of until its cut.
            let line = |id: ItemId, seq: u64| id == item.id || item.whole_ropes().iter().any(|rope| rope.item == id && seq < rope.seq);
            let off: HashSet<_> = entries.iter().filter_map(|entry| match &entry.change { Change::KitLineRemoved(one) => Some(one.line), _ => None }).collect();
            let back: HashSet<_> = entries.iter().filter_map(|entry| match &entry.change { Change::IssueTakenBack(one) => Some(one.issue), _ => None }).collect();
            let mut expected = Vec::new();
            for entry in &entries {
                match &entry.change {
                    Change::UsageLogged(one) if line(one.item, entry.seq) => expected.push((one.on, entry.seq, "use logged")),
                    Change::EventReported(one) if line(one.item, entry.seq) => expected.push((one.on, entry.seq, "event")),
                    Change::KitIssued(issue) if issue.lines.iter().any(|gone| line(gone.item, entry.seq)) => {
                        let sort = if back.contains(&issue.id) { "issue taken back" } else { "issued for a job" };
                        expected.push((known.zone.day(issue.at), entry.seq, sort));
                    }
                    Change::KitLineAdded(put) if line(put.item, entry.seq) && !off.contains(&put.id) => {
                        let job = tx.job(put.job).await.unwrap().unwrap();
                        let issued = entries.iter().any(|other| matches!(&other.change, Change::KitIssued(issue)
                            if line(put.item, other.seq) && !back.contains(&issue.id) && issue.job.id == put.job && issue.lines.iter().any(|gone| gone.item == put.item)));
                        let on = known.zone.day(job.starts_at);
                        if !issued && job.state != JobState::Cancelled && on <= known.zone.day(START) {
                            expected.push((on, entry.seq, "on the list of a job that was never issued"));
                        }
                    }
                    _ => {}
                }
            }
            expected.sort_unstable();
            let told: Vec<(Cell, Cell)> = found.rows.iter().map(|row| (row.cells[0].clone(), row.cells[1].clone())).collect();
            let expected_cells: Vec<(Cell, Cell)> = expected.iter().map(|(on, _, sort)| (Cell::Day(*on), Cell::Text((*sort).to_owned()))).collect();
            assert_eq!(told, expected_cells, "{}", item.mark);
            assert_eq!(seqs(&found), expected.iter().map(|(_, seq, _)| *seq).collect::<Vec<_>>());
            some.extend(expected.into_iter().map(|(.., sort)| sort));
        }
        assert!(some.len() >= 4, "the past says something: {some:?}");
    }

    async fn all_that_a_lot_touched(world) {
        let entries = late(&world, crate::past_given::seed(), 400).await;
        let known = Known::of(&world).await;
        let draft = QuestionDraft { maker: "fjordwerk".into(), lot: "l 7".into(), ..QuestionDraft::default() };
        let found = ask(&world, Question::Recalled, &draft).await;
        // What has no lot noted may be of it, and what was of it before a correction was made with it.
        let is_of = |item: &Item| item.lot.as_deref().is_none_or(|lot| lot == "L 7");
        let mut once = HashSet::new();
        for entry in &entries {
            match &entry.change {
                Change::ItemAdded(was) | Change::ItemRevised(was) if is_of(was) => {
                    once.insert((was.id, was.model));
                }
                // A piece has the past of the rope.
                Change::RopeCut(cut) => {
                    let of_rope: Vec<_> = once.iter().filter(|(id, _)| *id == cut.rope).copied().collect();
                    for (_, model) in of_rope {
                        once.extend(cut.pieces.iter().map(|piece| (piece.id, model)));
                    }
                }
                _ => {}
            }
        }
        let covered = known.items.iter().filter(|item| is_of(item) || once.contains(&(item.id, item.model)));
        let covered: BTreeSet<uuid::Uuid> = covered.map(|item| item.id.0).collect();
        let told: BTreeSet<uuid::Uuid> = ids(&found, 0).into_iter().collect();
        assert_eq!(told, covered);
        let counted = [found.tally.found, found.tally.of].map(|count| usize::try_from(count).unwrap());
        // What was taken out by a correction stands beside what is covered.
        assert_eq!(counted, [known.items.iter().filter(|item| is_of(item)).count(), known.items.len()]);
        let pieces = known.items.iter().filter(|item| !item.whole_ropes().is_empty()).count();
        assert!(pieces > 0, "a rope was cut");
        let mut sorts: BTreeSet<String> = BTreeSet::new();
        // Every use of an item is what its own uses tell: jobs, logged use and events.
        for item in known.items.iter().filter(|item| covered.contains(&item.id.0)) {
            let draft = QuestionDraft { item: item.mark.clone(), ..QuestionDraft::default() };
            let uses = ask(&world, Question::Used, &draft).await;
            let told: Vec<&Cell> = uses.rows.iter().map(|row| &row.cells[1]).collect();
            sorts.extend(uses.rows.iter().filter_map(|row| match &row.cells[1] { Cell::Text(sort) => Some(sort.clone()), _ => None }));
            let rows: Vec<_> = found.rows.iter().filter(|row| matches!(&row.cells[0], Cell::Record(To::Item(id), _) if *id == item.id)).collect();
            assert_eq!(rows.len(), told.len().max(1), "{}", item.mark);
            for row in &rows {
                let Cell::Text(how) = &row.cells[6] else { panic!("{row:?}") };
                let is_told = told.iter().any(|one| matches!(one, Cell::Text(sort) if how.starts_with(sort.as_str())));
                assert_eq!(is_told, !told.is_empty(), "{how}");
                assert_eq!(how == "no use on record", told.is_empty(), "{how}");
            }
            let Cell::Text(fate) = &rows[0].cells[3] else { panic!("{:?}", rows[0]) };
            assert_eq!(fate.contains("in service"), item.state == ItemState::InService, "{fate}");
            assert_eq!(fate.starts_with("cut from"), !item.whole_ropes().is_empty(), "{fate}");
            assert!(!fate.contains("notice"), "there is none: {fate}");
            assert_eq!(fate.contains("covered no more, by a correction"), !is_of(item), "{fate}");
        }
        assert!(sorts.contains("use logged") && sorts.contains("event") && sorts.len() >= 4, "{sorts:?}");
        let other = QuestionDraft { maker: "Nobody".into(), ..QuestionDraft::default() };
        assert_eq!(ask(&world, Question::Recalled, &other).await.tally.of, 0);
    }

    async fn pages_and_files_are_the_whole_answer_in_parts(world) {
        late(&world, crate::past_given::seed(), 300).await;
        let known = Known::of(&world).await;
        let item = known.items.iter().max_by_key(|item| item.revision).unwrap();
        let asked = |question| match question {
            Question::Used => QuestionDraft { item: item.mark.clone(), ..QuestionDraft::default() },
            Question::Late => QuestionDraft { days: "0".into(), ..QuestionDraft::default() },
            Question::Recalled => QuestionDraft { maker: "Fjordwerk".into(), ..QuestionDraft::default() },
            _ => QuestionDraft::default(),
        };
        for question in Question::ALL {
            let draft = &asked(question);
            let whole = ask(&world, question, draft).await;
            let (mut rows, mut after) = (Vec::new(), None);
            loop {
                let page = answer(&world.desk(), &world.auditor, (question, draft), after.as_ref(), 3).await.unwrap();
                assert_eq!(page.tally, whole.tally, "{question:?}");
                assert!(page.rows.len() <= 3);
                rows.extend(page.rows);
                after = page.next;
                if after.is_none() {
                    break;
                }
            }
            assert_eq!(rows, whole.rows, "{question:?}");
            let places: Vec<&String> = rows.iter().map(|row| &row.place).collect();
            assert!(places.is_sorted_by(|a, b| a < b), "{question:?}: {places:?}");
            assert!(rows.iter().all(|row| row.cells.len() == question.columns().len()));
            let wanted = Wanted::Answer(question, Box::new(draft.clone()));
            let begun = begin(&world.desk(), &world.auditor, wanted.into()).await.unwrap();
            let chunks: Vec<_> = begun.chunks.try_collect().await.unwrap();
            let bytes = chunks.concat();
            let mut reader = csv::ReaderBuilder::new().from_reader(&bytes[3..]);
            let records: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
            // A file without rows has one that says so.
            assert_eq!(records.len(), rows.len().max(1), "{question:?}");
            let headings = reader.headers().unwrap();
            let ids = question.columns().iter().filter(|column| column.id.is_some()).count();
            assert_eq!(headings.len(), question.columns().len() + ids + 2, "with key and end");
        }
    }

    async fn an_entry_says_the_day_that_its_words_say(world) {
        let entries = late(&world, crate::past_given::seed(), 200).await;
        let names = Names::default();
        let mut kinds: HashMap<&str, usize> = HashMap::new();
        for entry in &entries {
            let said = entry.change.done_on(&Zone::UTC);
            assert_eq!(said.is_some(), DATED.contains(&entry.change.kind()));
            if let Some(done) = Told::of(&entry.change, &names).done {
                assert_eq!(Some(done), said, "{}", entry.change.kind());
            }
            *kinds.entry(entry.change.kind()).or_default() += 1;
        }
        assert!(kinds.len() > 12, "{kinds:?}");
    }
}
