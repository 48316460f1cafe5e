//! Files to take away: whole, harmless, streamed, and the same as the records.

use std::collections::BTreeMap;

use axum::{
    Router,
    body::Body,
    http::{Request, StatusCode, header},
};
use futures::TryStreamExt;
use http_body_util::BodyExt;
use ropeloft::{
    config::Config,
    deed::{
        export::{PAGE, Wanted, begin, begin_from_console},
        history::Of,
    },
    domain::{Actor, Change, Event, Examination, ImportTaken, Item, Job, Kind},
    export::{MARK, harmless, sheet, typed},
    store::EntryFilter,
    web::{self, App},
};
use tower::ServiceExt;

use crate::{
    chance::Chance,
    history::eventful,
    stock,
    world::{START, World, on_sqlite},
};

/// What people type when a spreadsheet is to do their work, and what only looks like it.
pub const TYPED: [&str; 23] = [
    "=HYPERLINK(\"http://x\")",
    "+1",
    "-1",
    "@SUM(1)",
    "\t=1",
    "\r=1",
    "\n=1",
    "＝1",
    "'=1",
    "''+1",
    "'78 rope",
    "plain",
    "a,b;c",
    "x;=1+1",
    "x; \"=1+1\"",
    "x\t@SUM(1)\r\n-2",
    "x;'=1",
    "=1;+1",
    "'+;'+",
    "\t;\t=",
    "say \"no\"",
    "two\r\nlines",
    "Zoë 索",
];

/// The rows of a file, each by its headings, as the csv crate and then a program of ours reads them.
fn read(text: &str) -> Vec<BTreeMap<String, String>> {
    let text = text
        .strip_prefix(MARK)
        .expect("the file begins with the mark");
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let headings: Vec<String> = reader
        .headers()
        .unwrap()
        .iter()
        .map(str::to_owned)
        .collect();
    let rows = reader.records().map(|row| {
        let row = row.unwrap();
        let cells = row.iter().map(|cell| typed(cell).into_owned());
        headings.iter().cloned().zip(cells).collect()
    });
    // A file without rows has one that says so.
    let rows =
        rows.filter(|row: &BTreeMap<String, String>| row.get("end").is_none_or(|end| end != "0"));
    rows.collect()
}

fn column(rows: &[BTreeMap<String, String>], name: &str) -> Vec<String> {
    rows.iter().map(|row| row[name].clone()).collect()
}

async fn file(world: &World, actor: &Actor, path: &str) -> Vec<BTreeMap<String, String>> {
    let answer = world.visitor(actor).await.get(path).await;
    assert_eq!(answer.status, StatusCode::OK, "{path}: {}", answer.text);
    read(&answer.text)
}

pub async fn imports(world: &World, count: u32) {
    let mut tx = world.database.write(world.team).await.unwrap();
    for number in 0..count {
        let taken = Change::ImportTaken(ImportTaken {
            file_name: format!("{number}.csv"),
            sha256: String::new(),
            items: number,
        });
        tx.record(&world.officer, START, taken).await.unwrap();
    }
    tx.commit().await.unwrap();
}

#[test]
fn a_cell_cannot_run_and_gives_back_what_was_typed() {
    for text in TYPED {
        let cell = harmless(text);
        assert!(
            !cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠']),
            "{cell:?} would run"
        );
        assert!(
            cell.split([';', '\t', '\r', '\n']).all(|part| !part
                .trim_start_matches(['"', ' '])
                .starts_with(['=', '+', '-', '@'])),
            "{cell:?} would run where rows are parted otherwise"
        );
        assert_eq!(typed(&cell), text);
    }
    assert_eq!(harmless("=1"), "'=1");
    assert_eq!(harmless("'78 rope"), "'78 rope");
    assert_eq!(harmless("x;=1+1\n- worn"), "x;'=1+1\n'- worn");
    assert_eq!(harmless("11 mm; 2 m - wet"), "11 mm; 2 m - wet");
}

#[test]
fn a_file_is_written_as_its_standard_says() {
    let rows = [["P-1", "a,b"], ["P-2", "say \"no\"\nto it"]];
    let bytes = sheet(
        &["mark", "note"].map(str::to_owned),
        &rows.map(|row| row.map(str::to_owned).to_vec()),
    );
    // RFC 4180, section 2: rows end with CR LF; quotes around commas, quotes and ends of lines; quotes doubled.
    let expected = "\u{feff}mark,note\r\nP-1,\"a,b\"\r\nP-2,\"say \"\"no\"\"\nto it\"\r\n";
    assert_eq!(String::from_utf8(bytes).unwrap(), expected);
}

on_both_databases! {
    async fn the_history_comes_out_as_it_was_recorded(world) {
        let (stock, _) = eventful(&world).await;
        let rows = file(&world, &world.auditor, "/history.csv").await;
        let seqs: Vec<String> = (1..=14).map(|seq: u32| seq.to_string()).collect();
        assert_eq!(column(&rows, "seq"), seqs);
        let mut tx = world.database.read(world.team).await.unwrap();
        let kept = tx.entries_after(0, 100).await.unwrap();
        for (row, sealed) in rows.iter().zip(&kept) {
            assert_eq!(row["kind"], sealed.kind);
            // The team and its people were there before the day of the story.
            let day = if sealed.seq <= 5 { "2022-03-01" } else { "2026-03-01" };
            assert_eq!(row["recorded_at"], format!("{day}T09:30:00Z"));
            assert_eq!(row["leaf_hash"], hex::encode(sealed.leaf));
            assert_eq!(row["root"], hex::encode(sealed.root));
            assert_eq!(row["who_id"], sealed.actor.to_string());
        }
        assert_eq!(rows[10]["sentence"], "P-1 put in quarantine: burr on the sheave.");
        assert_eq!(rows[10]["done_on"], "2026-02-20");
        assert_eq!(rows[10]["who"], "The equipment officer of the north");
        assert_eq!(rows[12]["about"], "Shaft 3; P-2");
        assert_eq!(rows[12]["done_on"], "");
        let of_item = file(&world, &world.crew, &format!("/items/{}/history.csv", stock.first.id)).await;
        assert_eq!(column(&of_item, "seq"), ["6", "8", "11", "14"]);
        let narrowed = file(&world, &world.crew, "/history.csv?kind=item-added&from=2026-03-01").await;
        assert_eq!(column(&narrowed, "about"), ["P-1", "P-2"]);
        let before_the_story = file(&world, &world.crew, "/history.csv?until=2026-02-28").await;
        assert_eq!(column(&before_the_story, "seq"), ["1", "2", "3", "4", "5"]);
        let before_the_team = file(&world, &world.crew, "/history.csv?until=2022-02-28").await;
        assert!(before_the_team.is_empty());
    }

    async fn the_day_that_binds_goes_along_and_the_recorded_one_beside_it(world) {
        let given = crate::item_given::one_rope(&world).await;
        let look = [("kind", "intake"), ("on", "2026-02-01"), ("verdict", "fit")];
        crate::item_given::examine(&given.officer, &given.item, &look).await;
        let recorded = given.officer.get("/api/v1/items").await.json()["rows"][0]["next_due_on"].as_str().unwrap().to_owned();
        // The maker's interval becomes shorter than the one of the rulebook.
        let shorter = crate::item_given::with(&crate::item_given::ROPE, &[("examine_every_months", "3"), ("revision", "1")]);
        let done = given.officer.post(&format!("/models/{}", given.model), &shorter).await;
        assert_eq!(done.status, axum::http::StatusCode::SEE_OTHER, "{}", done.text);
        assert!(recorded.as_str() > "2026-05-01", "{recorded}");
        let rows = file(&world, &world.auditor, "/items.csv").await;
        assert_eq!((rows[0]["next_due_on"].as_str(), rows[0]["next_due_recorded"].as_str()), ("2026-05-01", recorded.as_str()));
        assert!(rows[0]["next_due_by"].contains("maker's interval"), "{}", rows[0]["next_due_by"]);
        let row = given.officer.get("/api/v1/items").await.json()["rows"][0].clone();
        let sheet = given.officer.get(&format!("/api/v1/items/{}", given.item)).await.json()["item"].clone();
        for one in [row, sheet] {
            assert_eq!((one["next_due_on"].as_str(), one["next_due_recorded"].as_str()), (Some("2026-05-01"), Some(recorded.as_str())), "{one}");
            assert!(one["next_due_by"].as_str().unwrap().contains("maker's interval"), "{one}");
        }
    }

    async fn the_register_comes_out_as_the_list_shows_it(world) {
        let (stock, _) = eventful(&world).await;
        let rows = file(&world, &world.auditor, "/items.csv").await;
        assert_eq!(column(&rows, "mark"), ["P-1", "P-2"]);
        let mut tx = world.database.read(world.team).await.unwrap();
        for (row, id) in rows.iter().zip([stock.first.id, stock.second.id]) {
            let item: Item = tx.item(id).await.unwrap().unwrap();
            assert_eq!(row["item_id"], id.to_string());
            assert_eq!(row["serial"], item.serial.unwrap());
            assert_eq!(row["state"], item.state.key());
            assert_eq!(row["state_reason"], item.state_reason);
            assert_eq!(row["next_due_on"], item.next_due_on.map(|day| day.to_string()).unwrap_or_default());
            assert_eq!((row["maker"].as_str(), row["model"].as_str()), ("Fjordwerk", "Twin 60"));
            assert_eq!((row["kind"].as_str(), row["store"].as_str()), (Kind::Pulley.key(), "Van"));
        }
        let quarantined = file(&world, &world.auditor, "/items.csv?state=quarantined").await;
        assert_eq!(column(&quarantined, "mark"), ["P-1"]);
        let down = file(&world, &world.auditor, "/items.csv?sort=mark&down=yes").await;
        assert_eq!(column(&down, "mark"), ["P-2", "P-1"]);
        let outsider = file(&world, &world.outsider, "/items.csv").await;
        assert!(outsider.is_empty());
    }

    async fn examinations_jobs_and_refusals_come_out(world) {
        let (stock, job) = eventful(&world).await;
        let examinations = file(&world, &world.auditor, "/examinations.csv").await;
        assert_eq!(examinations.len(), 1);
        let row = &examinations[0];
        assert_eq!((row["mark"].as_str(), row["model"].as_str()), ("P-2", "Fjordwerk Twin 60"));
        assert_eq!((row["done_on"].as_str(), row["recorded_at"].as_str()), ("2026-02-20", "2026-03-01T09:30:00Z"));
        assert_eq!((row["verdict"].as_str(), row["examination"].as_str()), ("fit", "intake"));
        assert_eq!((row["examiner"].as_str(), row["recorded_by"].as_str()), ("The officer", "The equipment officer of the north"));
        let empty = stock::job("Later", 40);
        world.record(Change::JobPlanned(empty.clone())).await;
        let jobs = file(&world, &world.auditor, "/jobs.csv").await;
        assert_eq!(column(&jobs, "job"), ["Shaft 3", "Later"]);
        assert_eq!(column(&jobs, "mark"), ["P-2", ""]);
        assert_eq!(jobs[0]["job_id"], job.id.to_string());
        assert_eq!(jobs[0]["item_id"], stock.second.id.to_string());
        assert_eq!(jobs[0]["depth"], job.depth.to_string());
        assert_eq!(jobs[0]["load"], "1 person");
        let refusals = file(&world, &world.auditor, "/refusals.csv").await;
        assert_eq!(column(&refusals, "sentence"), ["It is in quarantine.", "No approval."]);
        assert_eq!(column(&refusals, "mark"), ["P-1", "P-1"]);
        assert_eq!((refusals[0]["position"].as_str(), refusals[0]["job"].as_str()), ("head", "Shaft 3"));
        assert_eq!((refusals[0]["source"].as_str(), refusals[0]["known"].as_str()), ("the team's own rule", "a setting, not a standard's text"));
    }

    async fn what_was_typed_cannot_run_in_a_spreadsheet(world) {
        let stock = world.stock().await;
        let at_work = |note: &str| Event { note: note.to_owned(), ..stock::event(&world, &stock.first, START.date()) };
        for text in TYPED {
            world.record(Change::EventReported(at_work(text))).await;
            let examination = Examination { findings: text.to_owned(), ..stock::examination(&world, &stock.second, START.date()) };
            world.record(Change::ExaminationRecorded(examination)).await;
            let job = Job { title: text.to_owned(), note: text.to_owned(), ..stock::job("Typed", 4) };
            world.record(Change::JobPlanned(job)).await;
        }
        let marked = Item { note: TYPED[0].to_owned(), ..stock::item("=P(3)", &stock.model, &stock.store) };
        world.record(Change::ItemAdded(marked)).await;
        let visitor = world.visitor(&world.auditor).await;
        for path in ["/history.csv", "/items.csv", "/examinations.csv", "/jobs.csv", "/refusals.csv"] {
            let text = visitor.get(path).await.text;
            let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.trim_start_matches(MARK).as_bytes());
            for row in reader.records() {
                for cell in &row.unwrap() {
                    assert!(!cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\n', '＝']), "{path}: {cell:?}");
                }
            }
        }
        let findings = column(&file(&world, &world.auditor, "/examinations.csv").await, "findings");
        assert_eq!(findings, TYPED);
        let mut notes = column(&file(&world, &world.auditor, "/jobs.csv").await, "note");
        notes.sort();
        let mut typed = TYPED.map(str::to_owned);
        typed.sort();
        assert_eq!(notes, typed);
        let items = file(&world, &world.auditor, "/items.csv?state=all").await;
        assert!(column(&items, "mark").contains(&"=P(3)".to_owned()), "{items:?}");
    }

    async fn a_file_is_whole_across_the_borders_of_its_pages(world) {
        imports(&world, 2 * PAGE - 5).await;
        // Five entries of the team's beginning fill the second page to its last row: nothing must come after it.
        let rows = file(&world, &world.auditor, "/history.csv").await;
        let seqs: Vec<String> = (1..=2 * PAGE).map(|seq| seq.to_string()).collect();
        assert_eq!(column(&rows, "seq"), seqs);
        let some = file(&world, &world.auditor, "/history.csv?kind=import-taken").await;
        let names: Vec<String> = (0..2 * PAGE - 5).map(|number| format!("{number}.csv")).collect();
        assert_eq!(column(&some, "about"), names);
    }

    async fn lists_are_whole_across_the_borders_of_their_pages(world) {
        let stock = world.stock().await;
        let mut tx = world.database.write(world.team).await.unwrap();
        let mut marks = vec!["P-1".to_owned(), "P-2".to_owned()];
        for number in 0..PAGE {
            let item = stock::item(&format!("N-{number:04}"), &stock.model, &stock.store);
            marks.push(item.mark.clone());
            tx.record(&world.officer, START, Change::ItemAdded(item)).await.unwrap();
        }
        let mut titles = Vec::new();
        for number in 0..101 {
            let job = stock::job(&format!("Shaft {number:03}"), number + 2);
            titles.push(job.title.clone());
            tx.record(&world.officer, START, Change::JobPlanned(job)).await.unwrap();
        }
        tx.commit().await.unwrap();
        marks.sort();
        assert_eq!(column(&file(&world, &world.auditor, "/items.csv").await, "mark"), marks);
        assert_eq!(column(&file(&world, &world.auditor, "/jobs.csv").await, "job"), titles);
    }

    async fn a_random_team_comes_out_whole(world) {
        Chance::new(5).run(&world, &world.admin, 600).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        let kept = tx.entries_after(0, 2000).await.unwrap();
        let rows = file(&world, &world.auditor, "/history.csv").await;
        let kinds: Vec<String> = kept.iter().map(|sealed| sealed.kind.clone()).collect();
        assert_eq!(column(&rows, "kind"), kinds);
        let examined = kinds.iter().filter(|kind| *kind == "examination-recorded").count();
        assert_eq!(file(&world, &world.auditor, "/examinations.csv").await.len(), examined);
    }

    async fn files_have_plain_names_and_every_role_may_take_them(world) {
        for actor in [&world.officer, &world.crew, &world.auditor, &world.admin] {
            let answer = world.visitor(actor).await.get("/history.csv").await;
            assert_eq!(answer.status, StatusCode::OK);
            assert_eq!(answer.header(header::CONTENT_DISPOSITION), "attachment; filename=\"ropeloft-history-2026-03-01.csv\"");
            assert!(answer.header(header::CONTENT_TYPE).starts_with("text/csv; charset=utf-8"));
        }
        let answer = world.stranger().get("/history.csv").await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER);
    }

    async fn what_is_recorded_while_a_history_is_written_is_not_in_it(world) {
        imports(&world, PAGE).await;
        let wanted = Wanted::History(Of::Team, EntryFilter::default());
        let chunks = begin(&world.desk(), &world.auditor, wanted.into()).await.unwrap().chunks;
        let mut chunks = std::pin::pin!(chunks);
        let mut text = chunks.try_next().await.unwrap().unwrap().to_vec();
        imports(&world, 3).await;
        while let Some(chunk) = chunks.try_next().await.unwrap() {
            text.extend(&chunk);
        }
        assert_eq!(read(std::str::from_utf8(&text).unwrap()).len(), PAGE as usize + 5);
    }
}

/// The router of this world, to be asked without collecting what it answers.
fn router(world: &World) -> Router {
    web::router(App::new(world.desk(), Config::default()))
}

#[tokio::test]
async fn twenty_thousand_entries_arrive_in_pages() {
    on_sqlite(async |world| {
        imports(&world, 20_000).await;
        let cookie = world.visitor(&world.auditor).await.cookie.unwrap();
        let request = Request::builder()
            .uri("/history.csv")
            .header(header::HOST, "gear.test")
            .header(header::COOKIE, cookie)
            .body(Body::empty())
            .unwrap();
        let answer = router(&world).oneshot(request).await.unwrap();
        assert_eq!(answer.status(), StatusCode::OK);
        assert!(answer.headers().get(header::CONTENT_LENGTH).is_none());
        let mut body = answer.into_body();
        let (mut chunks, mut rows, mut longest) = (0, 0, 0);
        while let Some(frame) = body.frame().await {
            let bytes = frame.unwrap().into_data().unwrap();
            let ends = bytes.windows(2).filter(|pair| *pair == b"\r\n").count();
            assert!(ends <= 1 + PAGE as usize, "a chunk of {ends} rows");
            (chunks, rows, longest) = (chunks + 1, rows + ends, longest.max(bytes.len()));
        }
        // The headings with the first of 20,005 entries, in pages of 500.
        assert_eq!((chunks, rows), (41, 1 + 20_005));
        assert!(longest < 400 * PAGE as usize, "a chunk of {longest} bytes");
    })
    .await;
}

#[tokio::test]
async fn nobody_reads_ahead_of_whoever_takes_the_file() {
    on_sqlite(async |world| {
        imports(&world, 3 * PAGE).await;
        let wanted = Wanted::History(Of::Team, EntryFilter::default());
        let begun = begin_from_console(&world.desk(), world.team, wanted.into())
            .await
            .unwrap();
        let mut chunks = std::pin::pin!(begun.chunks);
        chunks.try_next().await.unwrap();
        chunks.try_next().await.unwrap();
        // No page is held in a transaction between two chunks: the database can be closed under the file.
        world.database.close().await;
        assert!(chunks.try_next().await.is_err());
    })
    .await;
}
