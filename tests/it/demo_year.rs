//! The demo has an officer's years in it: ropes that thin and are cut, use that is logged, a bad lot, reasons, prices.

use std::collections::BTreeSet;

use ropeloft::demo::{Demo, demo};
use ropeloft::domain::{Change, Verdict};
use time::macros::date;

use crate::demo_records::Records;

fn today() -> Demo {
    demo(date!(2026 - 11 - 25)).unwrap()
}

#[test]
fn the_demo_has_a_rope_measured_over_eight_years_that_thins_and_stays_within_its_limit() {
    let demo = today();
    let records = Records::of(&demo.history);
    let rope = records.by_mark("TR-01");
    let looks = demo.history.iter().filter_map(|entry| match &entry.change {
        Change::ExaminationRecorded(look) if look.item == rope.id => Some(look),
        _ => None,
    });
    let mut measured = Vec::new();
    for look in looks {
        let answers = look.answers.iter();
        for answer in answers.filter(|one| one.criterion == "diameter" && !one.values.is_empty()) {
            assert!(answer.limit.is_some() && answer.beyond().next().is_none());
            let values = answer
                .values
                .iter()
                .map(|value| value.quantity().millimetres());
            measured.push((look.on, values.fold(f64::INFINITY, f64::min)));
        }
    }
    measured.sort_by_key(|(on, _)| *on);
    let ((first, new), (last, worn)) = (measured[0], measured[measured.len() - 1]);
    assert!(
        measured.len() >= 14 && (last - first).whole_days() > 7 * 365,
        "{measured:?}"
    );
    assert!(
        (0.3..=0.8).contains(&(new - worn)),
        "from {new} to {worn} mm"
    );
}

#[test]
fn the_demo_has_cut_ropes_logged_use_a_bad_lot_prices_and_reasons() {
    let demo = today();
    let records = Records::of(&demo.history);
    let pieces = records.count(|item, _| item.cut_from.is_some());
    assert!(pieces >= 2);
    let near = records.count(|item, model| {
        let uses = model.use_limit.uses.map_or(u32::MAX, u32::from);
        item.usage.uses < uses && u64::from(item.usage.uses) * 10 >= u64::from(uses) * 9
    });
    assert!(near >= 1, "nothing is near the use that its maker allows");
    let failed: BTreeSet<_> = demo
        .history
        .iter()
        .filter_map(|entry| match &entry.change {
            Change::ExaminationRecorded(look) if look.verdict != Verdict::Fit => Some(look.item),
            _ => None,
        })
        .collect();
    let bad = failed
        .iter()
        .filter(|id| records.items[id].lot.as_deref() == Some("HV-3510"));
    assert!(bad.count() >= 4);
    let priced = records
        .models
        .values()
        .filter(|model| model.price.is_some())
        .count();
    assert!(priced > records.models.len() / 2 && priced < records.models.len());
    let reasons: BTreeSet<_> = records
        .items
        .values()
        .filter_map(|item| item.retired)
        .map(|retired| retired.because.key())
        .collect();
    for because in [
        "cut",
        "damaged",
        "end-of-life",
        "event",
        "examination",
        "lost",
        "other",
        "worn",
    ] {
        assert!(reasons.contains(because), "{because} is not in {reasons:?}");
    }
    for entry in &demo.history {
        if let Change::EventReported(event) = &entry.change {
            assert!(event.follows.is_some());
        }
    }
}
