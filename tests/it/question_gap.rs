//! What the record lacks, counted a second time entry by entry.

use std::collections::BTreeMap;

use ropeloft::{
    domain::{
        Change, ItemId, ItemState, JobState,
        fitness::interval_of,
        question::{Cell, Question, QuestionDraft, stretches},
        rulebook::shipped,
    },
    store::{Direction, JobFilter},
};
use time::Date;

use crate::{
    past_given::late,
    question::{Known, ask},
    world::START,
};

on_both_databases! {
    async fn what_the_record_lacks(world) {
        let entries = late(&world, crate::past_given::seed(), 300).await;
        let known = Known::of(&world).await;
        let today = known.zone.day(START);
        let mut expected: BTreeMap<&str, u64> = BTreeMap::new();
        let mut add = |gap, count: usize| {
            if count > 0 {
                *expected.entry(gap).or_default() += count as u64;
            }
        };
        let mut tx = world.database.read(world.team).await.unwrap();
        for item in &known.items {
            let model = &known.models[&item.model];
            let line = |id: ItemId, seq: u64| id == item.id || item.whole_ropes().iter().any(|rope| rope.item == id && seq < rope.seq);
            let mut looks: Vec<Date> = entries.iter().filter_map(|entry| match &entry.change {
                Change::ExaminationRecorded(look) if line(look.item, entry.seq) && look.kind.is_thorough() => Some(look.on),
                _ => None,
            }).collect();
            looks.sort_unstable();
            let last = match &item.retired {
                Some(retired) => retired.on,
                None if item.state == ItemState::InService => today,
                None => looks.last().copied().unwrap_or(today),
            };
            add("longer than the interval without an examination", stretches(&looks, &[(Date::MIN, interval_of(item, model, &shipped()[0]).0)], last).len());
            if item.state == ItemState::Retired {
                continue;
            }
            add("never examined", usize::from(item.last_passed_on.is_none() && model.kind.key() != "other-equipment"));
            add("no date made", usize::from(item.made.is_none()));
            let is_asked = model.kind.key() != "other-equipment";
            add("neither lot nor serial", usize::from(item.lot.is_none() && item.serial.is_none() && is_asked));
            let logged = entries.iter().filter_map(|entry| match &entry.change { Change::UsageLogged(one) if one.item == item.id => Some(one.on), _ => None }).max();
            let mut stopped = false;
            for job in tx.jobs_with(item.id, 1000).await.unwrap() {
                let on = known.zone.day(job.starts_at);
                stopped |= job.state != JobState::Cancelled && job.starts_at < START && logged.is_some_and(|last| on > last);
            }
            add("use no longer logged", usize::from(stopped));
        }
        add("model without a rating", known.models.values().filter(|model| model.ratings.is_empty() && !model.kind.modes().is_empty()).count());
        let jobs = tx.jobs(JobFilter::default(), Direction::Up, None, 1000).await.unwrap().rows;
        add("job never closed", jobs.iter().filter(|job| job.state == JobState::Planned && job.ends_at < START).count());
        let mut never_issued = 0;
        for job in jobs.iter().filter(|job| job.state == JobState::Closed) {
            let issued = entries.iter().any(|entry| matches!(&entry.change, Change::KitIssued(issue) if issue.job.id == job.id));
            never_issued += usize::from(!issued && !tx.kit(job.id).await.unwrap().is_empty());
        }
        add("job closed, its kit never issued", never_issued);
        drop(tx);
        let found = ask(&world, Question::Gaps, &QuestionDraft::default()).await;
        assert_eq!(found.tally.parts.clone().into_iter().collect::<BTreeMap<_, _>>(), expected);
        assert!(expected.len() >= 5, "{expected:?}");
        // One kind alone is the rows of that kind.
        let draft = QuestionDraft { gap: "no-made-date".into(), ..QuestionDraft::default() };
        let one = ask(&world, Question::Gaps, &draft).await;
        assert_eq!(Some(&one.tally.found), expected.get("no date made"));
        let of_kind: Vec<_> = found.rows.iter().filter(|row| row.cells[0] == Cell::Text("no date made".into())).cloned().collect();
        assert_eq!(one.rows, of_kind);
    }
}
