//! What a kit file says and no item has, nobody plans with, or does not agree.

use ropeloft::domain::{KIT_EXAMPLE, KitFile};
use ropeloft::rigging::shipped_rig;

#[test]
fn a_kit_file_names_the_position_of_what_no_item_has() {
    let sheet = KIT_EXAMPLE;
    KitFile::parse(sheet).unwrap();
    for (there, instead, words) in [
        (
            "force = \"30 kN\"",
            "force = \"0 kN\"",
            "position rope: The breaking strength, in a straight line, must be above 0, not 0 kN.",
        ),
        (
            "force = \"30 kN\"",
            "force = \"300 kN\"",
            "position rope: Is the breaking strength, in a straight line, really 300 kN? Such gear seldom holds more than 100 kN, and a decimal mark that was lost makes it ten times too strong. Write 30 kN if that is meant, or confirmed = true beside the force if 300 kN is what the maker states.",
        ),
        (
            "force = \"30 kN\"",
            "force = \"-36 kN\"",
            "force must be between 0 and 1000 kN, not -36",
        ),
        (
            "force = \"30 kN\"",
            "force = \"36 mm\"",
            "Write the unit as kN, daN, N, lbf, kgf, kg or lb; \"mm\" is not one of them.",
        ),
        (
            "low = 0.80, likely",
            "low = 0.0001, likely",
            "The efficiency of the wheel must be 0.1 to 1, not 0.0001.",
        ),
    ] {
        assert!(sheet.contains(there));
        let error = KitFile::parse(&sheet.replace(there, instead)).unwrap_err();
        assert!(error.to_string().contains(words), "{error}");
    }
    let sure = "force = \"300 kN\", confirmed = true";
    KitFile::parse(&sheet.replace("force = \"30 kN\"", sure)).unwrap();
}

/// A kit whose rope is rated so.
fn rated(ratings: &str) -> Result<KitFile, String> {
    let head = KIT_EXAMPLE.split("[position").next().unwrap();
    let sheet = format!("{head}\n[position.one]\nlabel = \"G-1\"\nstrength = [{ratings}]\n");
    KitFile::parse(&sheet).map_err(|error| error.to_string())
}

fn rating(mode: &str, kind: &str, force: &str) -> String {
    format!("{{ mode = \"{mode}\", kind = \"{kind}\", force = \"{force}\", source = \"marking\" }}")
}

#[test]
fn ratings_of_a_kit_agree_by_the_rules_of_the_register() {
    for (first, second, words) in [
        (
            ("major-axis", "breaking", "30 kN"),
            ("minor-axis", "breaking", "75 kN"),
            "position one: The breaking strength, across the minor axis, is at most the one along its closed axis, 30 kN, not 75 kN.",
        ),
        (
            ("major-axis", "breaking", "30 kN"),
            ("gate-open", "breaking", "31 kN"),
            "is at most the one along its closed axis, 30 kN, not 31 kN.",
        ),
        (
            ("body", "breaking", "20 kN"),
            ("body", "breaking", "60 kN"),
            "is there already: 20 kN, and 60 kN here.",
        ),
        (
            ("body", "breaking", "12 kN"),
            ("body", "working-limit", "15 kN"),
            "is at most the breaking strength so loaded, 12 kN, not 15 kN.",
        ),
    ] {
        let [one, other] = [first, second].map(|(mode, kind, force)| rating(mode, kind, force));
        let why = rated(&format!("{one}, {other}")).unwrap_err();
        assert!(why.contains(words), "{why}");
    }
    let far = rated(&rating("body", "working-limit", "2400 kg")).unwrap_err();
    assert!(
        far.contains("Is the working limit, as it is made to be used, really 2400 kg?")
            && far.contains("confirmed = true"),
        "{far}"
    );
    rated(&rating("body", "working-limit", "2000 kg")).unwrap();
    let sure = rating("body", "working-limit", "2400 kg").replace(" }", ", confirmed = true }");
    rated(&sure).unwrap();
}

#[test]
fn a_load_of_nothing_and_a_factor_below_one_are_refused_by_their_fields() {
    for (there, instead, words) in [
        (
            "load = \"120 kg\"",
            "load = \"0.5 kg\"",
            "conditions.load: The load must be at least the weight of 1 kg, not 0.5 kg.",
        ),
        (
            "load = \"120 kg\"",
            "load = \"100000 kg\"",
            "conditions.load: The load must be at most the weight of 2000 kg, not 100000 kg.",
        ),
        (
            "load = \"120 kg\"",
            "load = \"5 N\"",
            "conditions.load: The load must be at least the weight of 1 kg, not 5 N.",
        ),
        (
            "factor = 7,",
            "factor = 0.5,",
            "conditions.required: The factor must be at least 1, not 0.5: below 1 the part breaks as planned.",
        ),
        (
            "# exceptional_required = { factor = 2,",
            "exceptional_required = { factor = 0.9,",
            "conditions.exceptional_required: The factor must be at least 1, not 0.9",
        ),
    ] {
        assert!(KIT_EXAMPLE.contains(there), "{there}");
        let error = KitFile::parse(&KIT_EXAMPLE.replace(there, instead))
            .unwrap_err()
            .to_string();
        assert!(error.contains(words), "{error}");
    }
    for (there, on) in [
        ("load = \"120 kg\"", "load = \"1 kg\""),
        ("factor = 7,", "factor = 1,"),
    ] {
        KitFile::parse(&KIT_EXAMPLE.replace(there, on)).unwrap();
    }
}

#[test]
fn the_rig_says_of_which_kind_the_gear_at_a_position_is() {
    let rig = shipped_rig("three-to-one").unwrap();
    KitFile::parse_for(rig, KIT_EXAMPLE).unwrap();
    for (there, instead, words) in [
        (
            "force = \"150 kg\"",
            "force = \"1400 kg\"",
            "position harness: Is the rated load, as it is made to be used, really 1400 kg? The rated load of such gear is seldom above 12 kN",
        ),
        (
            "force = \"35 kN\"",
            "force = \"90 kN\"",
            "position anchor: Is the breaking strength, as it is made to be used, really 90 kN? Such gear seldom holds more than 80 kN",
        ),
        (
            "kind = \"working-limit\", force = \"4 kN\"",
            "kind = \"breaking\", force = \"40 kN\"",
            "position grab: Is the breaking strength, as it is made to be used, really 40 kN? Such gear seldom holds more than 30 kN",
        ),
    ] {
        assert!(KIT_EXAMPLE.contains(there), "{there}");
        let sheet = KIT_EXAMPLE.replace(there, instead);
        let error = KitFile::parse_for(rig, &sheet).unwrap_err().to_string();
        assert!(error.contains(words), "{error}");
        let sure = KIT_EXAMPLE.replace(there, &format!("{instead}, confirmed = true"));
        KitFile::parse_for(rig, &sure).unwrap();
    }
    let both = [
        rating("major-axis", "breaking", "22 kN"),
        rating("major-axis", "working-limit", "15 kN"),
    ];
    let why = rated(&both.join(", ")).unwrap_err();
    assert!(
        why.contains("What breaks it, 22 kN, is only 1.47 times that"),
        "{why}"
    );
}
