//! The rules of the questions, each held against a plain count.

use std::collections::{BTreeSet, HashMap, HashSet};

use rand::{RngExt, SeedableRng, rngs::StdRng};
use ropeloft::domain::{
    FieldErrors, Holder, Kind, Qualification, QualificationId,
    date::add_months,
    question::{
        Asked, Beyond, Gap, Held, LONGEST_DELAY, Period, Question, QuestionDraft, Which, beyond,
        stretches, usage_stopped,
    },
};
use time::{Date, Duration, macros::date};

const TODAY: Date = date!(2026 - 03 - 01);

fn seeded() -> StdRng {
    let seed = rand::random();
    println!("the seed of this run is {seed}");
    StdRng::seed_from_u64(seed)
}

#[test]
fn a_stretch_is_every_day_on_which_the_last_look_was_longer_ago_than_the_interval() {
    let mut rng = seeded();
    for _ in 0..300 {
        let months: [u16; 2] = [rng.random_range(1..15), rng.random_range(1..15)];
        let changed = TODAY - Duration::days(rng.random_range(0..1500));
        let days =
            (0..rng.random_range(0..6)).map(|_| TODAY - Duration::days(rng.random_range(0..1500)));
        let mut looks: Vec<Date> = days.collect();
        looks.sort_unstable();
        let last = TODAY - Duration::days(rng.random_range(0..400));
        // Day by day from the first look on, up to the last day that counts or the last look.
        let mut expected = 0;
        if let (Some(first), Some(end)) = (looks.first(), looks.last()) {
            let mut day = first.next_day().unwrap();
            while day <= last.max(*end) {
                let before = looks.iter().filter(|look| **look < day).max().unwrap();
                let months = months[usize::from(day >= changed)];
                expected += i64::from(day > add_months(*before, months));
                day = day.next_day().unwrap();
            }
        }
        let intervals = [(Date::MIN, months[0]), (changed, months[1])];
        let found = stretches(&looks, &intervals, last);
        assert_eq!(
            found.iter().map(|one| one.days).sum::<i64>(),
            expected,
            "{looks:?} {months:?} {changed} {last}"
        );
        assert!(found.iter().all(|one| one.days > 0));
    }
    // On the day on which the interval ends it is in it; on the next it is not.
    let look = date!(2025 - 02 - 28);
    assert_eq!(stretches(&[look], &[(look, 12)], date!(2026 - 02 - 28)), []);
    assert_eq!(stretches(&[look], &[(look, 12)], TODAY)[0].days, 1);
}

/// Qualifications at random, each with the number of the entry that recorded it: an even one.
fn qualifications(rng: &mut StdRng) -> Vec<(Qualification, u64)> {
    let mut held = Vec::new();
    for _ in 0..rng.random_range(0..4) {
        let from = TODAY - Duration::days(rng.random_range(0..60));
        let kinds = match rng.random_range(0..5) {
            0 => Vec::new(),
            1 | 2 => vec![Kind::Rope],
            _ => vec![Kind::Pulley, Kind::Sling],
        };
        let days = rng.random_range(0..30);
        let one = Qualification {
            id: QualificationId::new(),
            holder: Holder::Outside {
                name: "Ada Brook".into(),
                body: String::new(),
            },
            kinds,
            from,
            until: rng.random_bool(0.6).then(|| from + Duration::days(days)),
            evidence: "course".into(),
            address: String::new(),
            ended: None,
        };
        held.push((one, 2 * rng.random_range(1..50)));
    }
    held
}

/// Whether the reason is the one that the qualifications give.
fn must_be(found: Option<&Beyond>, held: &[(Qualification, u64)], on: Date) {
    let covers = |one: &Qualification| one.is_for(Kind::Rope) && one.holds_on(on);
    let all = held.iter().map(|(one, _)| one);
    let of_rope: Vec<&Qualification> = all.filter(|one| one.is_for(Kind::Rope)).collect();
    match found {
        None => {}
        Some(Beyond::NotRecorded) => assert!(held.is_empty()),
        Some(Beyond::OtherKinds(_)) => assert!(!held.is_empty() && of_rope.is_empty()),
        Some(Beyond::RecordedLater(first)) => {
            let later = held.iter().filter(|(one, _)| covers(one));
            assert_eq!(Some(*first), later.map(|(_, seq)| *seq).min());
        }
        Some(Beyond::After(last)) => {
            let ended = of_rope.iter().filter_map(|one| one.until);
            assert_eq!(Some(*last), ended.filter(|until| *until < on).max());
        }
        Some(Beyond::Before(from)) => {
            assert!(of_rope.iter().all(|one| one.from > on));
            assert_eq!(Some(*from), of_rope.iter().map(|one| one.from).min());
        }
    }
}

#[test]
fn an_examination_is_beyond_where_nothing_that_was_on_record_covers_it() {
    let mut rng = seeded();
    let mut seen = HashSet::new();
    for _ in 0..2000 {
        let held = qualifications(&mut rng);
        let on = TODAY - Duration::days(rng.random_range(0..60));
        let seq = 2 * rng.random_range(1..50) + 1;
        let refs = held.iter().map(|(qualification, seq)| Held {
            qualification,
            seq: *seq,
        });
        let refs: Vec<Held<'_>> = refs.collect();
        let found = beyond(&refs, Kind::Rope, on, seq);
        let is_covered = held.iter().any(|(one, recorded)| {
            let kind = one.kinds.is_empty() || one.kinds.contains(&Kind::Rope);
            let days = one.from <= on && one.until.is_none_or(|until| on <= until);
            kind && days && *recorded < seq
        });
        assert_eq!(found.is_none(), is_covered, "{held:?}");
        must_be(found.as_ref(), &held, on);
        seen.insert(found.map(|why| why.part()));
    }
    assert_eq!(seen.len(), 6, "every reason is among them: {seen:?}");
}

#[test]
fn use_stopped_where_a_job_came_after_the_last_of_it() {
    let day = |n: i64| TODAY + Duration::days(n);
    assert_eq!(usage_stopped(&[], &[day(1)]), None);
    assert_eq!(usage_stopped(&[day(1)], &[]), None);
    assert_eq!(
        usage_stopped(&[day(5), day(2)], &[day(1), day(5)]),
        None,
        "the day of the use itself"
    );
    let stopped = usage_stopped(&[day(2), day(1)], &[day(9), day(3)]).unwrap();
    assert_eq!((stopped.logged, stopped.job), (day(2), day(3)));
}

fn wrong(question: Question, draft: &QuestionDraft) -> FieldErrors {
    draft.check(question, TODAY).unwrap_err()
}

#[test]
fn what_does_not_hold_is_told_with_its_field_its_limit_and_what_was_given() {
    let draft = |field: &str, value: &str| {
        serde_json::from_value::<QuestionDraft>(serde_json::json!({ field: value })).unwrap()
    };
    let told: [(Question, &str, &str, &[&str]); 9] = [
        (
            Question::NotInDate,
            "on",
            "2026-02-30",
            &["not \"2026-02-30\""],
        ),
        (
            Question::NotInDate,
            "on",
            "2026-03-02",
            &["2026-03-01", "2026-03-02"],
        ),
        (Question::NotInDate, "on", "1066-01-01", &["1950", "1066"]),
        (Question::Beyond, "from", "soon", &["not \"soon\""]),
        (
            Question::Refused,
            "from",
            "2026-03-02",
            &["2026-03-01", "2026-03-02"],
        ),
        (
            Question::Gaps,
            "gap",
            "hole",
            &["never-examined", "not \"hole\""],
        ),
        (Question::Late, "days", "3651", &["3650", "3651"]),
        (Question::Late, "days", "-1", &["3650", "-1"]),
        (Question::Recalled, "notice", "this", &["not \"this\""]),
    ];
    for (question, field, value, words) in told {
        let wrong = wrong(question, &draft(field, value));
        let sentences: Vec<&str> = wrong.on(field).collect();
        assert_eq!(sentences.len(), 1, "{field}={value}: {wrong:?}");
        assert!(
            words.iter().all(|words| sentences[0].contains(words)),
            "{field}={value}: {sentences:?}"
        );
    }
}

#[test]
fn what_must_be_there_is_asked_for_and_no_line_is_too_long() {
    let open = QuestionDraft::default();
    let item = wrong(Question::Used, &open);
    assert_eq!(item.on("item").count(), 1, "{item:?}");
    let maker = wrong(Question::Recalled, &open);
    assert_eq!(maker.on("maker").count(), 1, "{maker:?}");
    let long = QuestionDraft {
        item: "x".repeat(201),
        ..QuestionDraft::default()
    };
    let long = wrong(Question::Used, &long);
    let mut sentences = long.on("item");
    assert!(sentences.any(|words| words.contains("200") && words.contains("201")));
}

#[test]
fn what_is_left_out_has_a_plain_meaning() {
    let check = |question| QuestionDraft::default().check(question, TODAY);
    let always = Period {
        from: None,
        until: TODAY,
    };
    assert_eq!(
        check(Question::NotInDate),
        Ok(Asked::NotInDate { on: TODAY })
    );
    assert_eq!(check(Question::Beyond), Ok(Asked::Beyond(always)));
    assert_eq!(check(Question::Gaps), Ok(Asked::Gaps { gap: None }));
    assert_eq!(
        check(Question::Late),
        Ok(Asked::Late {
            days: 14,
            period: always
        })
    );
    let most = QuestionDraft {
        days: LONGEST_DELAY.to_string(),
        ..QuestionDraft::default()
    };
    assert!(most.check(Question::Late, TODAY).is_ok());
    let range = QuestionDraft {
        maker: "Fjordwerk".into(),
        lot: "A-10 to A-19".into(),
        ..QuestionDraft::default()
    };
    let Ok(Asked::Recalled(Which::Written(notice))) = range.check(Question::Recalled, TODAY) else {
        panic!("it holds")
    };
    assert!(notice.lots.is_empty() && notice.lot_spans.len() == 1);
    // Keys are the words of addresses; no two are alike.
    let keys: BTreeSet<&str> = Question::ALL.map(Question::key).into();
    assert_eq!(keys.len(), Question::ALL.len());
    let gaps: HashMap<&str, Gap> = Gap::ALL.map(|gap| (gap.key(), gap)).into();
    assert!(
        gaps.iter()
            .all(|(key, gap)| Gap::from_key(key) == Some(*gap))
            && gaps.len() == Gap::ALL.len()
    );
}
