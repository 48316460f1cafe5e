//! The verdict as its page tells it: every cell is the number of its own row, the headline is that of the table.

use axum::http::{Method, StatusCode};
use serde_json::{Value, json};

use crate::{
    fitness_case::{Thing, connector, foot, full_kit, head, tripod, verdict},
    job_given::{fill, planned},
    world::World,
};

/// A kit that is strong enough for 160 kg; the connector at the load, 20 kN, is its weakest link.
fn strong_kit() -> Vec<Thing> {
    let mut kit = full_kit();
    kit[1] = head().rated(&["axle|60 kN|breaking", "becket|12 kN|breaking"]);
    kit[3] = tripod().rated(&["body|30 kN|breaking"]);
    kit[4] = connector("C-1", "head-connector").rated(&["major-axis|30 kN|breaking"]);
    kit[5] = connector("C-2", "load-connector").rated(&["major-axis|20 kN|breaking"]);
    kit
}

/// The rows of the table with this caption: the name of each, and its cells under their labels.
fn table(page: &str, caption: &str) -> Vec<(String, Vec<(String, String)>)> {
    let table = page
        .split(&format!("<caption class=\"only-read\">{caption}</caption>"))
        .nth(1)
        .unwrap();
    let body = table.split("</table>").next().unwrap();
    body.split("<tr>")
        .skip(2)
        .map(|row| {
            let mut cells = row.split("<td data-label=\"");
            let name = plain(cells.next().unwrap());
            let cells = cells.map(|cell| {
                let (label, rest) = cell.split_once('"').unwrap();
                (label.to_owned(), plain(rest.split_once('>').unwrap().1))
            });
            (name, cells.collect())
        })
        .collect()
}

/// Text without tags, each run of white space as one blank.
pub fn plain(html: &str) -> String {
    let texts = html
        .split('<')
        .map(|piece| piece.split_once('>').map_or(piece, |(_, text)| text));
    let text: Vec<&str> = texts.flat_map(str::split_whitespace).collect();
    text.join(" ")
}

/// The likely force in kN with three digits that count.
fn kilonewtons(force: &Value) -> f64 {
    force["likely"].as_f64().unwrap() / 1000.0
}

async fn filled(world: &World, kit: &[Thing]) -> (crate::client::Client, String) {
    world.shelve(kit).await;
    let crew = world.visitor(&world.crew).await;
    let job = planned(&crew, json!({"load": "160 kg"})).await;
    fill(&crew, &job, kit).await;
    (crew, job)
}

on_both_databases! {
    async fn every_cell_of_all_forces_is_the_force_of_its_own_row_and_phase(world) {
        let (crew, job) = filled(&world, &full_kit()).await;
        let sheet = crew.get(&format!("/api/v1/jobs/{job}")).await.json();
        let phases = sheet["verdict"]["assessment"]["phases"].as_array().unwrap();
        let page = crew.get(&format!("/jobs/{job}/verdict")).await.text;
        let rows = table(&page, "Pull in every part of the rope, by phase");
        // One rope in five parts: hand, A, B, C, D, becket.
        assert_eq!(rows.len(), 5);
        let mut slack = 0;
        for (at, (name, cells)) in rows.iter().enumerate() {
            assert!(name.starts_with(&format!("Part {}:", at + 1)), "{name}");
            assert_eq!(cells.len(), phases.len(), "{name}");
            for ((label, cell), forces) in cells.iter().zip(phases) {
                let mut parts = forces["parts"].as_array().unwrap().iter();
                if let Some(part) = parts.find(|part| part["part"] == at) {
                    let shown: f64 = cell.split(' ').next().unwrap().parse().unwrap();
                    let force = kilonewtons(&part["tension"]);
                    assert!((shown - force).abs() <= 0.0051 * force, "{name}, {label}: {cell}, not {force}");
                } else {
                    slack += 1;
                    assert_eq!((label.as_str(), cell.as_str()), ("held by the capture", "no pull"), "{name}");
                }
            }
        }
        // The hand lets go while the capture holds.
        assert_eq!(slack, 1);
        assert_eq!(rows[0].1.iter().filter(|(_, cell)| cell == "no pull").count(), 1);
    }

    async fn the_headline_and_the_table_name_one_factor_in_one_phase(world) {
        let (crew, job) = filled(&world, &strong_kit()).await;
        let page = crew.get(&format!("/jobs/{job}/verdict")).await.text;
        // 20 kN / (160 kg x 9.80665 m/s2) = 12.746, in every phase alike.
        assert!(page.contains("(connector C-2) with a factor of 12.7 while hauling; 10 is asked for."), "{page}");
        let rows = table(&page, "Every position at its worst");
        let weakest: Vec<_> = rows.iter().filter(|(_, cells)| cells[0].1.contains("weakest link")).collect();
        assert_eq!(weakest.len(), 1, "{rows:?}");
        let (name, cells) = weakest[0];
        assert!(name.ends_with("connector C-2"), "{name}");
        assert!(cells[0].1.contains("factor 12.7; 10 is asked for, 27 % to spare"), "{cells:?}");
        assert!(cells[1].1.contains("1.57 kN while hauling"), "{cells:?}");
    }

    async fn an_item_that_may_not_go_any_more_is_named_where_the_verdict_is_read(world) {
        let (crew, job) = filled(&world, &strong_kit()).await;
        let officer = world.visitor(&world.officer).await;
        let rope = crew.get(&format!("/api/v1/jobs/{job}")).await.json()["kit"][0]["item"]["id"].as_str().unwrap().to_owned();
        let drop = json!({"kind": "drop", "on": "2026-03-01", "note": "fell down the shaft"});
        let reported = officer.json(Method::POST, &format!("/api/v1/items/{rope}/events"), &drop).await;
        assert_eq!(reported.status, StatusCode::CREATED, "{}", reported.text);
        let sheet = crew.get(&format!("/api/v1/jobs/{job}")).await.json();
        assert_eq!(sheet["passes"], false);
        let sentence = sheet["sentence"].as_str().unwrap();
        assert!(sentence.starts_with("1 item on the list may not go: rope R-1. By its numbers alone the kit is strong enough, but "), "{sentence}");
        let page = crew.get(&format!("/jobs/{job}/verdict")).await.text;
        assert!(page.contains("What may not go") && page.contains("It is in quarantine"), "{page}");
        assert!(page.contains(&format!("href=\"/items/{rope}\"")), "{page}");
        let rows = table(&page, "Every position at its worst");
        for (name, cells) in &rows {
            let refused = name.ends_with("rope R-1");
            assert_eq!(cells[0].1.contains("may not go"), refused, "{name}: {cells:?}");
            assert!(!refused || !cells[0].1.contains("holds"), "{name}: {cells:?}");
        }
        assert!(rows.iter().any(|(name, _)| name.ends_with("rope R-1")));
        for line in page.lines().filter(|line| line.to_lowercase().contains("strong enough")) {
            assert!(line.contains(" but "), "{line}");
        }
    }

    async fn a_verdict_that_cannot_say_yet_is_told_as_such(world) {
        world.shelve(&strong_kit()).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({"title": "Sump", "load": "160 kg"})).await;
        let told = async |outcome: &str| {
            crew.post(&format!("/jobs/{job}/verdict"), &[]).await;
            let page = crew.get(&format!("/jobs/{job}/history")).await.text;
            assert!(page.contains(&format!("Verdict on the job Sump kept: {outcome}")), "{page}");
        };
        told("cannot say yet").await;
        fill(&crew, &job, &strong_kit()).await;
        told("passes").await;
    }
}

#[test]
fn the_smallest_margin_is_named_beside_the_weakest_link() {
    let job = crate::fitness_case::job(|draft| draft.load = "160 kg".into());
    let mut kit = strong_kit();
    // 20 kN over 10 times the load of 160 kg: 1.2746, cut.
    let answer = verdict(&job, &kit);
    let margin = "No part has a smaller margin: it holds 27 % more than is asked.";
    assert_eq!(answer.margin.as_deref(), Some(margin));
    // At 176 kg the factor is 11.6 still.
    assert_eq!(answer.little_left, None);
    // A rated load for 165 kg is 165 / 160 = 1.03125 of the load.
    kit[2] = foot().approved(&["EN 12278||8 mm|13 mm||165 kg"]);
    let answer = verdict(&job, &kit);
    assert!(answer.passes);
    let margin = "The smallest margin is at the double pulley at the load (pulley P-2): its rated load of 1.62 kN is 3 % above the load that is carried, 1.57 kN while hauling.";
    assert_eq!(answer.margin.as_deref(), Some(margin));
    assert!(
        answer
            .sentence
            .contains("(connector C-2) with a factor of 12.7")
    );
    let little = "3 % to spare: at 10 % more load it fails.";
    assert_eq!(answer.little_left.as_deref(), Some(little));
    let unbelayed = "This rig has no belay: if the main rope or anything that it hangs from fails, nothing else holds the load.";
    // Where it is elsewhere than the weakest link, every sentence says so, with or without what stands beside.
    assert!(
        answer
            .sentence
            .ends_with(&format!("; 10 is asked for. {margin}")),
        "{}",
        answer.sentence
    );
    assert_eq!(
        answer.whole(),
        format!("{} {unbelayed} {little}", answer.sentence)
    );
    // Where something fails there is no margin to speak of.
    kit[2] = foot().approved(&["EN 12278||8 mm|13 mm||100 kg"]);
    let failing = verdict(&job, &kit);
    assert_eq!((failing.margin, failing.little_left), (None, None));
    assert_eq!(failing.unbelayed.as_deref(), Some(unbelayed));
}

/// A factor of exactly 11 over what is asked passes at a tenth more; a hair below it does not.
#[test]
fn a_tenth_more_load_decides_whether_little_is_left() {
    let mut kit = strong_kit();
    // 20 kN / (10 x 1.1 x 9.80665 m/s2) = 185.4 kg, which 10 % more than 185 kg is below and 10 % more than 186 kg is not.
    for (load, little) in [
        ("185 kg", None),
        ("186 kg", Some("9 % to spare: at 10 % more load it fails.")),
    ] {
        kit[1] = head().rated(&["axle|90 kN|breaking", "becket|40 kN|breaking"]);
        kit[2] = foot().rated(&["axle|90 kN|breaking"]);
        kit[3] = tripod().rated(&["body|90 kN|breaking"]);
        let job = crate::fitness_case::job(|draft| draft.load = load.into());
        let answer = verdict(&job, &kit);
        assert!(answer.passes, "{load}: {}", answer.sentence);
        assert_eq!(answer.little_left.as_deref(), little, "{load}");
    }
}

#[test]
fn a_rig_with_a_belay_is_not_said_to_have_none() {
    let job = crate::fitness_case::job(|draft| draft.rig = "tripod-with-belay".into());
    assert_eq!(verdict(&job, &full_kit()).unbelayed, None);
}

#[test]
fn a_factor_is_cut_and_never_rounded_up() {
    use ropeloft::{domain::kit_strength::factor_words, rigging::SafetyFactor};
    for (ratio, words) in [
        (9.96, "9.9"),
        (10.0, "10.0"),
        (12.75, "12.7"),
        (9.999_999_999_999, "10.0"),
    ] {
        assert_eq!(
            factor_words(SafetyFactor::from_ratio(ratio).unwrap()),
            words
        );
    }
}
