//! Who made the examinations of a list is asked once a name, and who is competent is recorded right there.

use axum::http::StatusCode;
use ropeloft::domain::{Holder, Kind, date::write_day};

use crate::item_given::OUTSIDE;

/// Three examinations by one name that is nobody's as it is written, and one by somebody competent.
const LIST: &str = "\
Tag,Type,Maker,Model,Store,PPE,Made,Last examined,Examined by
R-1,Rope,Calder Lines,Ghyll 11,Van 2,yes,2021,2025-12-01,J. Müller
R-2,Rope,Calder Lines,Ghyll 11,Van 2,yes,2021,2025-11-01,J. Müller
H-1,Harness,Fellside,Full,Van 2,yes,2021,2025-12-01,j. müller
R-3,Rope,Calder Lines,Ghyll 11,Van 2,yes,2021,2025-12-01,A. Brook & Co
";

on_both_databases! {
    async fn whoever_may_records_the_examiner_in_the_place_where_it_is_asked(world) {
        world.hold_competent().await;
        let admin = world.visitor(&world.admin).await;
        let page = admin.upload("/import", &[("file", Some("gear.csv"), LIST.as_bytes())]).await.location().to_owned();
        let text = admin.get(&page).await.text;
        let asked = "J. Müller&#34; made the last examination in 3 rows, first in row 2. J. Müller is not recorded as competent to examine. What of these examinations?";
        assert_eq!(text.matches(asked).count(), 1, "{text}");
        for words in [
            "Keep these as notes, not as examinations", "Record that J. Müller is competent (from our team)", "Those that were examined: rope, harness.", "value=\"2025-11-01\"",
            "competent since 2025-11-01, for every kind", "it is you who states it",
        ] {
            assert!(text.contains(words), "{words}\n{text}");
        }
        let typed = |evidence: &'static str| [
            ("meaning-0", "competent-of-team"), ("field-0", "examiner"), ("word-0", "J. Müller"), ("competent-0[name]", "Jürgen Müller"),
            ("competent-0[kinds]", "rope, harness"), ("competent-0[from]", "2025-11-01"), ("competent-evidence", evidence),
        ];
        let wrong = admin.post(&page, &typed("")).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(wrong.text.contains("Write why: training") && wrong.text.contains("value=\"Jürgen Müller\""), "{}", wrong.text);
        let done = admin.post(&page, &typed("a course")).await;
        assert_eq!((done.status, done.location()), (StatusCode::SEE_OTHER, page.as_str()));
        let before = world.database.read(world.team).await.unwrap().qualifications().await.unwrap().len();
        let text = admin.get(&page).await.text;
        assert!(text.contains("4 items can be taken in") && text.contains("The examinations of &#34;J. Müller&#34;"), "{text}");
        assert!(text.contains("Recorded with the taking in: Jürgen Müller, since 2025-11-01, for rope, harness"), "{text}");
        let silent = ("field-0", "examiner");
        let taken = admin.post(&format!("{page}/take"), &[silent, ("word-0", "J. Müller"), ("meaning-0", "Jürgen Müller")]).await;
        assert_eq!(taken.location(), "/items");
        let mut tx = world.database.read(world.team).await.unwrap();
        let item = tx.item_marked("H-1").await.unwrap().unwrap();
        let last = tx.last_examination(item.id).await.unwrap().unwrap();
        assert_eq!(last.examiner, "Jürgen Müller");
        assert!(last.findings.ends_with("The list names \"j. müller\"."), "{}", last.findings);
        let all = tx.qualifications().await.unwrap();
        let one = all.iter().find(|one| Some(one.id) == last.qualification).unwrap();
        assert_eq!((write_day(one.from).as_str(), one.is_for(Kind::Sling)), ("2025-11-01", false));
        assert_eq!(all.len(), before + 1, "nobody is recorded before the list is taken in");
    }

    async fn whoever_may_not_record_people_says_whose_the_examinations_are(world) {
        world.hold_competent().await;
        let officer = world.visitor(&world.officer).await;
        let list = LIST.replace("J. Müller", "\"Brook, A\"");
        let page = officer.upload("/import", &[("file", Some("gear.csv"), list.as_bytes())]).await.location().to_owned();
        let text = officer.get(&page).await.text;
        assert!(text.contains("Keep these as notes, not as examinations") && !text.contains("Record that"), "{text}");
        let said = [("field-0", "examiner"), ("word-0", "brook, a"), ("meaning-0", OUTSIDE)];
        officer.post(&page, &said).await;
        let text = officer.get(&page).await.text;
        assert!(text.contains("j. müller&#34; made the last examination in 1 row"), "{text}");
        let both = [&said[..], &[("field-1", "examiner"), ("word-1", "j. müller"), ("meaning-1", "history")]].concat();
        officer.post(&page, &both).await;
        let text = officer.get(&page).await.text;
        assert!(text.contains("4 items can be taken in"), "{text}");
    }

    async fn another_file_stays_where_the_reason_for_the_competent_is_missing(world) {
        world.hold_competent().await;
        let admin = world.visitor(&world.admin).await;
        let page = admin.upload("/import", &[("file", Some("gear.csv"), LIST.as_bytes())]).await.location().to_owned();
        let text = admin.get(&page).await.text;
        assert!(text.contains("needed where you record somebody"), "{text}");
        // In the mended file another name is asked about first.
        let mended = LIST.replacen("J. Müller", "B. Odell", 1);
        let fields: [(&str, Option<&str>, &[u8]); 8] = [
            ("here", None, b""), ("field-0", None, b"examiner"), ("word-0", None, "J. Müller".as_bytes()),
            ("meaning-0", None, b"competent-of-team"), ("competent-0[name]", None, "Jürgen Müller".as_bytes()),
            ("competent-0[from]", None, b"2025-11-01"), ("competent-evidence", None, b""),
            ("file", Some("mended.csv"), mended.as_bytes()),
        ];
        let sent = admin.upload(&format!("{page}/file"), &fields).await;
        assert_eq!(sent.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", sent.text);
        for words in ["mended.csv", "Your answers are kept", "B. Odell is not recorded", "value=\"Jürgen Müller\""] {
            assert!(sent.text.contains(words), "{words}\n{}", sent.text);
        }
        assert!(admin.get(&page).await.text.contains("mended.csv"), "the file is there");
    }

    async fn several_examiners_are_recorded_in_one_go_or_none_of_them(world) {
        world.hold_competent().await;
        let admin = world.visitor(&world.admin).await;
        let list = LIST.replace("Ghyll 11,Van 2,yes,2021,2025-11-01,J. Müller", "Ghyll 11,Van 2,yes,2021,2025-10-01,K. Odell");
        let page = admin.upload("/import", &[("file", Some("gear.csv"), list.as_bytes())]).await.location().to_owned();
        let text = admin.get(&page).await.text;
        assert_eq!(text.matches("name=\"competent-evidence\"").count(), 1, "{text}");
        let both = |second: &'static str| [
            ("field-0", "examiner"), ("word-0", "J. Müller"), ("meaning-0", "competent-of-team"), ("competent-0[name]", "J. Müller"),
            ("competent-0[from]", "2025-12-01"), ("competent-evidence", "years of practice"),
            ("field-1", "examiner"), ("word-1", "K. Odell"), ("meaning-1", "competent-from-outside"), ("competent-1[name]", "K. Odell"),
            ("competent-1[kinds]", "rope"), ("competent-1[from]", second),
        ];
        let before = world.database.read(world.team).await.unwrap().qualifications().await.unwrap().len();
        let wrong = admin.post(&page, &both("soon")).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(wrong.text.contains("id=\"f-competent-1-from\"") || wrong.text.contains("competent-1[from]"), "{}", wrong.text);
        assert_eq!(world.database.read(world.team).await.unwrap().qualifications().await.unwrap().len(), before);
        let done = admin.post(&page, &both("2025-10-01")).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        let text = admin.get(&page).await.text;
        assert!(text.contains("4 items can be taken in"), "{text}");
        assert_eq!(world.database.read(world.team).await.unwrap().qualifications().await.unwrap().len(), before);
        let kept = [("to-record[J. Müller]", "keep"), ("to-record[K. Odell]", "keep")];
        let taken = admin.post(&format!("{page}/take"), &kept).await;
        assert_eq!(taken.location(), "/items", "{}", taken.text);
        let all = world.database.read(world.team).await.unwrap().qualifications().await.unwrap();
        assert_eq!(all.len(), before + 2);
        let body = |name: &str| all.iter().find_map(|one| match &one.holder {
            Holder::Outside { name: own, body } if own == name => Some(body.clone()),
            _ => None,
        });
        assert!(body("J. Müller").is_some_and(|body| !body.is_empty()), "of the team: {all:?}");
        assert_eq!(body("K. Odell").as_deref(), Some(""));
    }
}
