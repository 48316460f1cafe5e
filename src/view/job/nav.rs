//! The pages of a job.

use crate::{domain::Job, view::part::SectionNav};

/// The pages of a job; those of its issue are there while its kit is out.
pub(crate) fn job_nav(job: &Job, page: &str) -> SectionNav {
    let base = format!("/jobs/{}", job.id);
    let mut links = vec![
        ("Kit list".to_owned(), base.clone()),
        ("Verdict".to_owned(), format!("{base}/verdict")),
        ("What if".to_owned(), format!("{base}/what-if")),
        ("Crew".to_owned(), format!("{base}/crew")),
    ];
    match job.issued {
        None => links.push(("Issue".to_owned(), format!("{base}/issues"))),
        Some(issue) => {
            let issue = format!("{base}/issues/{issue}");
            links.extend([
                ("Issue".to_owned(), issue.clone()),
                ("Function check".to_owned(), format!("{issue}/check")),
                ("Count back".to_owned(), format!("{issue}/return")),
            ]);
        }
    }
    links.extend([
        (
            "Rulebook".to_owned(),
            format!("/rulebooks/{}", job.rulebook),
        ),
        ("History".to_owned(), format!("{base}/history")),
        ("As it was".to_owned(), format!("{base}/then")),
    ]);
    SectionNav {
        label: "Pages of this job".to_owned(),
        links,
        here: format!("{base}{page}"),
    }
}
