//! What the register says as a whole, counted a second time record by record.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use rand::{RngExt, SeedableRng, rngs::StdRng, seq::IndexedRandom};
use ropeloft::domain::{
    Change, Event, Examination, Item, ItemId, ItemState, ItemStep, ItemStepped, Kind, Life, Made,
    Model, Price, RetiredFor, UseLimit, Verdict, fold, life,
    rulebook::shipped,
    trend::{Failures, ages, ahead},
};
use ropeloft::store::{OfLot, RetiredFilter};
use time::{Date, Duration};

use crate::{
    stock,
    store_rebuild::again,
    world::{START, World},
};

/// A team with random gear and a random past, and what was recorded of it.
struct Past {
    models: Vec<Model>,
    items: Vec<Item>,
    looks: Vec<Examination>,
    events: Vec<Event>,
    retired: BTreeMap<ItemId, (Date, RetiredFor)>,
}

fn models(rng: &mut StdRng) -> Vec<Model> {
    let kinds = [Kind::Rope, Kind::Pulley, Kind::Harness, Kind::Connector];
    let models = (0..8).map(|at| {
        let mut model = stock::model(kinds[at % 4], "Fjordwerk", &format!("Type {at}"));
        model.life.years_from_made = (at % 3 == 0).then_some(8);
        model.life.years_from_first_use = (at % 3 == 1).then_some(5);
        model.life.by_condition = at % 3 == 2;
        let prices = ["129.90 EUR", "80 USD", "0.125 KWD"];
        model.price = prices
            .choose(rng)
            .filter(|_| at % 2 == 0)
            .map(|text| Price::read(text).unwrap());
        model.use_limit = UseLimit {
            falls: (at == 1).then_some(2),
            ..UseLimit::default()
        };
        model
    });
    models.collect()
}

fn random_day(rng: &mut StdRng, days: i64) -> Date {
    START.date() - Duration::days(rng.random_range(0..days))
}

fn random_item(
    rng: &mut StdRng,
    at: usize,
    model: &Model,
    store: &ropeloft::domain::Store,
) -> Item {
    let mut item = stock::item(&format!("M-{at:03}"), model, store);
    let day = random_day(rng, 6000);
    item.made = match rng.random_range(0..4) {
        0 => None,
        1 => Some(Made::Year(day.year())),
        2 => Some(Made::Month(day.year(), day.month())),
        _ => Some(Made::Day(day)),
    };
    item.first_used_on = rng
        .random_bool(0.7)
        .then(|| Made::Day(random_day(rng, 3000)));
    let lots = ["L 7", "l  7", "L-8", "=9"];
    item.lot = lots
        .choose(rng)
        .filter(|_| rng.random_bool(0.7))
        .map(|lot| (*lot).to_owned());
    item
}

impl Past {
    async fn new(world: &World, seed: u64) -> Self {
        let mut rng = StdRng::seed_from_u64(seed);
        let (models, store) = (models(&mut rng), stock::store("Bay"));
        let mut changes = vec![Change::StoreAdded(store.clone())];
        changes.extend(models.iter().cloned().map(Change::ModelAdded));
        let mut past = Self {
            models,
            items: Vec::new(),
            looks: Vec::new(),
            events: Vec::new(),
            retired: BTreeMap::new(),
        };
        for at in 0..120 {
            let model = past.models.choose(&mut rng).unwrap().clone();
            let item = random_item(&mut rng, at, &model, &store);
            changes.push(Change::ItemAdded(item.clone()));
            past.items.push(item);
        }
        for _ in 0..400 {
            let item = past.items.choose(&mut rng).unwrap().clone();
            changes.extend(past.happens(world, &item, &mut rng));
        }
        let mut tx = world.database.write(world.team).await.unwrap();
        tx.record_all(&world.officer, START, changes).await.unwrap();
        tx.commit().await.unwrap();
        past
    }

    /// Something that is done with an item, or that happens to it; nothing is done with what is retired.
    fn happens(&mut self, world: &World, item: &Item, rng: &mut StdRng) -> Option<Change> {
        let on = random_day(rng, 2000);
        if self.retired.contains_key(&item.id) {
            return None;
        }
        match rng.random_range(0..20) {
            0 => {
                let chosen = [None, Some(RetiredFor::Worn), Some(RetiredFor::Lost)];
                let retired_for = *chosen.choose(rng)?;
                let because = retired_for.unwrap_or(RetiredFor::NotSaid);
                self.retired.insert(item.id, (on, because));
                Some(Change::ItemStepped(ItemStepped {
                    item: item.id,
                    step: ItemStep::Retire,
                    reason: "old".into(),
                    on,
                    retired_for,
                }))
            }
            1..=3 => {
                let event = stock::event(world, item, on);
                self.events.push(event.clone());
                Some(Change::EventReported(event))
            }
            _ => {
                let mut look = stock::examination(world, item, on);
                look.verdict = *[
                    Verdict::Fit,
                    Verdict::Fit,
                    Verdict::Fit,
                    Verdict::Quarantine,
                    Verdict::Retire,
                ]
                .choose(rng)?;
                if look.verdict != Verdict::Fit {
                    look.next_due_on = None;
                    look.findings = "worn".into();
                }
                if look.verdict == Verdict::Retire {
                    self.retired.insert(item.id, (on, RetiredFor::Examination));
                }
                self.looks.push(look.clone());
                Some(Change::ExaminationRecorded(look))
            }
        }
    }

    fn model(&self, item: &Item) -> &Model {
        self.models
            .iter()
            .find(|model| model.id == item.model)
            .unwrap()
    }

    fn in_use(&self) -> impl Iterator<Item = &Item> {
        self.items
            .iter()
            .filter(|item| !self.retired.contains_key(&item.id))
    }

    /// Item by item.
    fn failures(&self, wanted: impl Fn(&Item) -> bool, from: Date, until: Date) -> Failures {
        let mut sum = Failures::default();
        for item in self.items.iter().filter(|item| wanted(item)) {
            let in_time = |on: Date| on >= from && on <= until;
            let looks = self
                .looks
                .iter()
                .filter(|look| look.item == item.id && in_time(look.on));
            let (mut all, mut failed) = (0, 0);
            for look in looks {
                all += 1;
                failed += u32::from(
                    look.verdict == Verdict::Quarantine || look.verdict == Verdict::Retire,
                );
            }
            let events = self
                .events
                .iter()
                .filter(|event| event.item == item.id && in_time(event.on))
                .count();
            sum.items += 1;
            sum.items_examined += u32::from(all > 0);
            sum.items_failed += u32::from(failed > 0);
            sum.examinations += all;
            sum.examinations_failed += failed;
            sum.events += u32::try_from(events).unwrap();
            sum.items_with_event += u32::from(events > 0);
        }
        sum
    }
}

/// The birthdays since a day, one by one.
fn birthdays(born: Date, today: Date) -> u16 {
    let on = |year| {
        Date::from_calendar_date(year, born.month(), born.day())
            .or_else(|_| Date::from_calendar_date(year, time::Month::March, 1))
            .unwrap()
    };
    let mut years = 0;
    while on(born.year() + i32::from(years) + 1) <= today {
        years += 1;
    }
    years
}

on_both_databases! {
    async fn lots_and_models_are_counted_as_their_records_say(world) {
        let past = Past::new(&world, 11).await;
        for days in [400, 3000] {
            let (from, until) = (START.date() - Duration::days(days), START.date() - Duration::days(20));
            let mut tx = world.database.read(world.team).await.unwrap();
            let lots = tx.failures((from, until)).await.unwrap();
            let expected: BTreeSet<_> = past.items.iter().map(|item| (item.model, fold(item.lot.as_deref().unwrap_or("")))).collect();
            assert_eq!(lots.len(), expected.len(), "a line for every lot, and one for those with none noted");
            for lot in &lots {
                let folded = fold(lot.lot.as_deref().unwrap_or(""));
                let of = |item: &Item| item.model == lot.model && fold(item.lot.as_deref().unwrap_or("")) == folded;
                assert_eq!(lot.failures, past.failures(of, from, until), "{lot:?}");
                assert!(lot.lot.is_none() || past.items.iter().any(|item| item.lot == lot.lot), "a lot as somebody wrote it");
                // The records behind the counts.
                let of_lot = OfLot { model: lot.model, lot: Some(folded) };
                let looks = tx.failing_examinations(&of_lot, (from, until), 1000).await.unwrap();
                assert_eq!(looks.len(), lot.failures.examinations_failed as usize);
                assert!(looks.windows(2).all(|pair| pair[0].on >= pair[1].on));
                let events = tx.events_of_lot(&of_lot, (from, until), 1000).await.unwrap();
                assert_eq!(events.len(), lot.failures.events as usize);
            }
            let models = ropeloft::domain::trend::failures_by_model(&lots);
            for model in models {
                assert_eq!(model.failures, past.failures(|item| item.model == model.model, from, until));
                let of = OfLot { model: model.model, lot: None };
                assert_eq!(tx.failing_examinations(&of, (from, until), 1000).await.unwrap().len(), model.failures.examinations_failed as usize);
            }
        }
    }

    async fn ages_are_counted_item_by_item(world) {
        let past = Past::new(&world, 21).await;
        let today = START.date();
        let mut tx = world.database.read(world.team).await.unwrap();
        let (cohorts, models) = (tx.cohorts().await.unwrap(), tx.every_model().await.unwrap());
        assert_eq!(models.len(), past.models.len());
        let counted = ages(&cohorts, &models, today, None);
        let mut groups: HashMap<Option<u16>, (u32, u32, u32)> = HashMap::new();
        for item in past.in_use() {
            let age = item.made.map(|made| birthdays(made.cautious_day(), today));
            let group = groups.entry(age).or_default();
            match life(item, past.model(item), &shipped()[0]) {
                Life::Ends(end) if end.on <= today => group.1 += 1,
                Life::Ends(_) => group.0 += 1,
                _ => group.2 += 1,
            }
        }
        for group in &counted.groups {
            let expected = groups.remove(&group.years).unwrap_or_default();
            assert_eq!((group.lives.within, group.lives.past, group.lives.open), expected, "{:?} years", group.years);
        }
        assert_eq!(groups, HashMap::new(), "no age is left out");
        for of in &counted.kinds {
            let all: Vec<&Item> = past.in_use().filter(|item| past.model(item).kind == of.kind).collect();
            let unknown = all.iter().filter(|item| item.made.is_none()).count();
            let rough = all.iter().filter(|item| matches!(item.made, Some(Made::Year(_) | Made::Month(..)))).count();
            assert_eq!((of.lives.items() as usize, of.made_unknown as usize, of.made_rough as usize), (all.len(), unknown, rough));
            let narrowed = ages(&cohorts, &models, today, Some(of.kind));
            assert_eq!((narrowed.kinds.len(), narrowed.kinds[0]), (1, *of));
        }
    }

    async fn what_ends_ahead_is_counted_and_priced_item_by_item(world) {
        let past = Past::new(&world, 31).await;
        let today = START.date();
        let mut tx = world.database.read(world.team).await.unwrap();
        let (cohorts, models) = (tx.cohorts().await.unwrap(), tx.every_model().await.unwrap());
        let counted = ahead(&cohorts, &models, today, None);
        let (mut items, mut priced, mut later) = (BTreeMap::new(), BTreeMap::new(), 0);
        for item in past.in_use() {
            let model = past.model(item);
            let Some(end) = life(item, model, &shipped()[0]).ends_on() else { continue };
            // 36 months from 2026-03-01.
            if end > time::macros::date!(2029 - 03 - 01) {
                later += 1;
                continue;
            }
            let month = (end > today).then(|| end.to_string()[..7].to_owned());
            *items.entry((month.clone(), model.id)).or_insert(0) += 1;
            *priced.entry((month, model.price.as_ref().map(ToString::to_string))).or_insert(0_u64) += 1;
        }
        let rows: BTreeMap<_, _> = counted.rows.iter().map(|row| ((row.month.clone(), row.model), row.bill.items)).collect();
        assert_eq!(rows, items);
        assert_eq!(counted.later, later);
        let (over, months) = counted.months.split_first().unwrap();
        assert_eq!((over.month.clone(), months.len(), months[0].month.as_deref(), months[36].month.as_deref()), (None, 37, Some("2026-03"), Some("2029-03")));
        for month in &counted.months {
            // In thousandths: 129.90 EUR, 80 USD, 0.125 KWD.
            let sum = |text: &str, thousandths: u64| {
                let price = Some(text.to_owned());
                priced.get(&(month.month.clone(), price)).map(|count| count * thousandths)
            };
            let mut expected = Vec::new();
            for (currency, text, thousandths) in [("EUR", "129.90 EUR", 129_900), ("KWD", "0.125 KWD", 125), ("USD", "80.00 USD", 80_000)] {
                if let Some(sum) = sum(text, thousandths) {
                    let rest = sum % 1000;
                    let rest = if rest % 10 == 0 { format!("{:02}", rest / 10) } else { format!("{rest:03}") };
                    expected.push((currency, format!("{}.{rest}", sum / 1000)));
                }
            }
            assert_eq!(month.bill.sums().collect::<Vec<_>>(), expected, "{:?}", month.month);
            let unpriced = priced.get(&(month.month.clone(), None)).copied().unwrap_or(0);
            assert_eq!(u64::from(month.bill.unpriced), unpriced);
        }
        assert!(counted.rows.iter().any(|row| row.month.is_none()) && counted.rows.iter().any(|row| row.month.is_some()), "the past says something");
        // By use: a page of two at a time, so that the pages are walked.
        let limited: Vec<_> = past.models.iter().filter(|model| model.use_limit.falls.is_some()).map(|model| model.id).collect();
        let (mut found, mut after) = (Vec::new(), String::new());
        loop {
            let page = tx.items_of_models(&limited, &after, 2).await.unwrap();
            let Some(last) = page.last() else { break };
            after = fold(&last.mark);
            found.extend(page.into_iter().map(|item| item.mark));
        }
        let mut marks: Vec<_> = past.in_use().filter(|item| limited.contains(&item.model)).map(|item| item.mark.clone()).collect();
        marks.sort();
        assert_eq!(found, marks);
    }

    async fn retirements_are_counted_as_they_were_recorded(world) {
        let past = Past::new(&world, 41).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        let mut expected: BTreeMap<(String, RetiredFor, Date), u32> = BTreeMap::new();
        for item in &past.items {
            if let Some((on, because)) = past.retired.get(&item.id) {
                *expected.entry((past.model(item).kind.key().to_owned(), *because, *on)).or_default() += 1;
            }
        }
        let groups = tx.retired_groups().await.unwrap();
        let counted: BTreeMap<_, _> = groups.iter().map(|group| ((group.kind.key().to_owned(), group.because, group.on), group.items)).collect();
        assert_eq!(counted, expected);
        let filter = RetiredFilter { because: Some(RetiredFor::Examination), kind: Some(Kind::Rope), year: Some(2024) };
        let listed = tx.retired_items(filter, 1000).await.unwrap();
        let wanted = past.items.iter().filter(|item| {
            past.model(item).kind == Kind::Rope
                && past.retired.get(&item.id).is_some_and(|(on, because)| on.year() == 2024 && *because == RetiredFor::Examination)
        });
        assert_eq!(listed.len(), wanted.count());
        let all = tx.retired_items(RetiredFilter::default(), 1000).await.unwrap();
        assert_eq!(all.len(), past.retired.len());
        assert!(all.iter().all(|item| item.state == ItemState::Retired && !item.state_reason.is_empty() && item.retired.is_some()));
        let years: u32 = ropeloft::domain::trend::by_year(&groups).iter().flat_map(|year| year.counts.values()).sum();
        let kinds: u32 = ropeloft::domain::trend::by_kind(&groups).iter().flat_map(|of| of.counts.values()).sum();
        assert_eq!((years as usize, kinds as usize), (all.len(), all.len()));
        drop(tx);
        assert_eq!(again(&world).await.differences, []);
    }
}
