//! What rulebooks say of the force that a person may be stopped with.

use ropeloft::domain::rulebook::{Rulebook, rulebook};

use crate::rulebook_own::{draft, sheet, wrong};

#[test]
fn a_rulebook_of_before_learns_what_its_base_says_of_an_arrest() {
    let base = rulebook("european").unwrap();
    assert_eq!(base.arrest().unwrap().at_most.to_string(), "6 kN");
    // A version that was kept before the rule was there has no word on it.
    let own = draft("european", &[], &[]).check(None).unwrap();
    let mut kept = serde_json::to_value(&own).unwrap();
    kept.as_object_mut().unwrap().remove("arrest").unwrap();
    let kept: Rulebook = serde_json::from_value(kept).unwrap();
    assert_eq!(kept.arrest(), None);
    let next = draft("european", &[], &[]).check(Some(&kept)).unwrap();
    assert_eq!(next.arrest(), base.arrest());
    let softer = draft(
        "european",
        &[("arrest", "4 kN")],
        &[("arrest", "our crews are light")],
    );
    let softer = softer.check(Some(&kept)).unwrap();
    let rule = softer.arrest().unwrap();
    assert_eq!(
        (rule.at_most.to_string().as_str(), rule.reason.as_str()),
        ("4 kN", "our crews are light")
    );
    let errors = wrong(&draft("european", &[("arrest", "7 kN")], &[]));
    assert_eq!(errors.0[0].field, "reasons[arrest]", "{errors}");
    // Taken out on purpose, it stays out.
    let without = "[[looser]]\nrule = \"arrest\"\nreason = \"nobody hangs on it\"\ndrop = true\n";
    let without = Rulebook::parse_own(&sheet(without)).unwrap();
    assert_eq!(without.arrest(), None);
    assert_eq!(
        draft("european", &[], &[])
            .check(Some(&without))
            .unwrap()
            .arrest(),
        None
    );
}
