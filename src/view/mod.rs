//! Template structs: one struct a page, in the file of its noun; the text is in `templates/` under
//! the same path. A view asks nobody and decides nothing but words: it is given what it shows.
//!
//! Every page holds a [`Shell`] and extends `base.html`. Its parts (fields, badges, the answer, an
//! empty list) are values from [`part`] and [`form`] that write themselves. Every page gives
//! samples to [`samples`], and a test renders them all, with [`PROBE`] in the place of typed text.

pub mod along;
pub mod asset;
pub mod attachment;
mod attribute;
pub mod bag;
pub mod bench;
pub mod board;
pub mod calendar;
pub mod chart;
pub mod checklist;
pub mod checkpoint;
pub mod competence;
pub mod course;
pub mod crew_plan;
pub mod cut;
pub mod digest;
pub mod drawing;
pub mod errand;
pub mod event;
pub mod examination;
pub mod figure;
pub mod file_choice;
pub mod form;
pub mod formula;
pub mod function_check;
mod gear;
pub mod guest;
pub mod history;
pub mod holder;
pub mod home;
pub mod hook;
pub mod house;
pub mod import;
pub mod issue;
pub mod item;
pub mod job;
pub mod kept_until;
pub mod kit_return;
pub mod label;
pub mod model;
pub mod name;
pub mod notice;
pub mod offer;
pub mod paper;
pub mod part;
pub mod past;
pub mod person;
pub mod place;
pub mod problem;
pub mod quantity;
pub mod question;
pub mod rated;
pub mod readiness;
pub mod reason;
pub mod rig;
pub mod round;
pub mod rulebook;
pub mod sent;
pub mod session;
pub mod setting;
mod shell;
pub mod sieve;
pub mod stale;
pub mod style;
pub mod summary;
pub mod tag;
pub mod team;
pub mod then;
pub mod token;
pub mod trend;
pub mod usage;
mod way_back;
pub mod words;

pub use shell::{Section, Shell, Viewer};
pub use way_back::WayBack;

/// Typed text that must come out escaped wherever a sample shows it.
pub const PROBE: &str = "\"><script>alert(1)</script>&'";

/// One page, rendered for the test.
pub struct Sample {
    /// The template, such as `item/show.html`.
    pub template: &'static str,
    /// The page.
    pub html: String,
}

/// Renders samples of one template.
///
/// # Panics
/// If a sample does not render; only the test calls this.
pub fn rendered<T: askama::Template>(
    template: &'static str,
    samples: impl IntoIterator<Item = T>,
) -> Vec<Sample> {
    samples
        .into_iter()
        .map(|sample| Sample {
            template,
            html: sample
                .render()
                .expect("a sample has all that its page needs"),
        })
        .collect()
}

/// Samples of every page. A new page adds a line here or in `samples_of_gear`.
pub fn samples() -> Vec<Sample> {
    let pages = [
        rendered("history/list.html", history::HistoryPage::samples()),
        rendered("home.html", home::Home::samples()),
        rendered("house/welcome.html", house::Welcome::samples()),
        rendered("import/new.html", import::BringFile::samples()),
        rendered("import/show.html", import::RehearsalSheet::samples()),
        rendered(
            "competence/list.html",
            competence::CompetentPeople::samples(),
        ),
        rendered(
            "competence/show.html",
            competence::ShowQualification::samples(),
        ),
        rendered("person/list.html", person::People::samples()),
        rendered("person/new.html", person::NewPerson::samples()),
        rendered("person/show.html", person::ShowPerson::samples()),
        rendered("setting/show.html", setting::Settings::samples()),
        rendered("setting/password.html", setting::ChangePassword::samples()),
        rendered("setting/sessions.html", setting::Sessions::samples()),
        rendered("team/show.html", team::ShowTeam::samples()),
        rendered("token/list.html", token::Tokens::samples()),
        rendered("job/facts.html", job::FactsSheet::samples()),
        rendered("job/list.html", job::JobList::samples()),
        rendered("job/plan.html", job::JobForm::samples()),
        rendered("job/position.html", job::PositionSheet::samples()),
        rendered("job/proposal.html", job::ProposalSheet::samples()),
        rendered("job/show.html", job::KitSheet::samples()),
        rendered("job/verdict.html", job::VerdictSheet::samples()),
        rendered("job/what_if.html", job::WhatIfSheet::samples()),
        rendered("place/form.html", place::PlaceForm::samples()),
        rendered("place/list.html", place::PlaceList::samples()),
        rendered("problem.html", problem::ProblemPage::samples()),
        rendered("sent.html", sent::SentBefore::samples()),
        rendered("rig/formula.html", formula::Formulas::samples()),
        rendered("rig/editor.html", rig::RigEditor::samples()),
        rendered("rig/list.html", rig::RigList::samples()),
        rendered("rig/show.html", rig::RigSheet::samples()),
        rendered("rulebook/form.html", rulebook::RulebookForm::samples()),
        rendered("rulebook/list.html", rulebook::RulebookList::samples()),
        rendered("rulebook/sheet.html", rulebook::SheetForm::samples()),
        rendered("rulebook/show.html", rulebook::RulebookSheet::samples()),
        rendered("rulebook/start.html", rulebook::RulebookStart::samples()),
        rendered("session/new.html", session::SignIn::samples()),
        rendered("style/show.html", style::StyleGuide::samples()),
        rendered("along/show.html", along::ShowAlong::samples()),
    ];
    pages
        .into_iter()
        .flatten()
        .chain(samples_of_gear())
        .chain(samples_of_files())
        .chain(samples_of_the_crew())
        .chain(samples_of_the_record())
        .collect()
}

/// Samples of the pages on the record itself.
fn samples_of_the_record() -> impl Iterator<Item = Sample> {
    let pages = [
        rendered("checkpoint/list.html", checkpoint::Checkpoints::samples()),
        rendered(
            "checkpoint/show.html",
            checkpoint::ShowCheckpoint::samples(),
        ),
        rendered("guest/list.html", guest::GuestLinks::samples()),
        rendered("guest/show.html", guest::ShowGuestLink::samples()),
        rendered("guest/welcome.html", guest::WelcomeGuest::samples()),
        rendered("person/names.html", name::RemoveName::samples()),
        rendered("question/list.html", question::QuestionList::samples()),
        rendered("question/show.html", question::QuestionSheet::samples()),
        rendered("then/show.html", then::ThenSheet::samples()),
    ];
    pages.into_iter().flatten()
}

/// Samples of the pages of the crew's day.
fn samples_of_the_crew() -> impl Iterator<Item = Sample> {
    let pages = [
        rendered("crew_plan/show.html", crew_plan::ShowCrewPlan::samples()),
        rendered(
            "function_check/show.html",
            function_check::ShowFunctionCheck::samples(),
        ),
        rendered("issue/new.html", issue::NewIssue::samples()),
        rendered("issue/show.html", issue::ShowIssue::samples()),
        rendered("kit_return/show.html", kit_return::ShowKitReturn::samples()),
    ];
    pages.into_iter().flatten()
}

/// Samples of the pages about photos and documents.
fn samples_of_files() -> impl Iterator<Item = Sample> {
    let pages = [
        rendered("attachment/new.html", attachment::NewAttachment::samples()),
        rendered(
            "attachment/show.html",
            attachment::ShowAttachment::samples(),
        ),
        rendered(
            "attachment/withdraw.html",
            attachment::WithdrawAttachment::samples(),
        ),
    ];
    pages.into_iter().flatten()
}

/// Samples of the pages about gear.
fn samples_of_gear() -> impl Iterator<Item = Sample> {
    let pages = [
        rendered("bench/show.html", bench::Bench::samples()),
        rendered("checklist/list.html", checklist::Checklists::samples()),
        rendered("checklist/show.html", checklist::ShowChecklist::samples()),
        rendered("course/list.html", course::CourseList::samples()),
        rendered("cut/new.html", cut::NewCut::samples()),
        rendered("event/new.html", event::NewEvent::samples()),
        rendered(
            "examination/new.html",
            examination::NewExamination::samples(),
        ),
        rendered(
            "examination/show.html",
            examination::ShowExamination::samples(),
        ),
        rendered("item/form.html", item::ItemForm::samples()),
        rendered("item/list.html", item::ItemList::samples()),
        rendered("item/pick.html", item::ModelPick::samples()),
        rendered("item/show.html", item::ShowItem::samples()),
        rendered("item/step.html", item::StepForm::samples()),
        rendered("model/form.html", model::ModelForm::samples()),
        rendered("model/kind.html", model::KindPick::samples()),
        rendered("model/kind_change.html", model::KindChange::samples()),
        rendered("model/list.html", model::ModelList::samples()),
        rendered("model/show.html", model::ShowModel::samples()),
        rendered("notice/holders.html", holder::Holders::samples()),
        rendered("notice/list.html", notice::NoticeList::samples()),
        rendered("notice/new.html", notice::NewNotice::samples()),
        rendered("notice/show.html", notice::ShowNotice::samples()),
        rendered("board/show.html", board::DueBoard::samples()),
        rendered("calendar/list.html", calendar::Calendars::samples()),
        rendered("digest/show.html", digest::Letters::samples()),
        rendered("digest/confirm.html", digest::ConfirmAddress::samples()),
        rendered("errand/list.html", errand::ErrandList::samples()),
        rendered("hook/list.html", hook::Hooks::samples()),
        rendered("hook/show.html", hook::ShowHook::samples()),
        rendered("label/new.html", label::LabelForm::samples()),
        rendered("paper/list.html", paper::Papers::samples()),
        rendered("bag/check.html", bag::CheckForm::samples()),
        rendered("bag/form.html", bag::BagForm::samples()),
        rendered("bag/show.html", bag::PlaceSheet::samples()),
        rendered("readiness/list.html", readiness::ReadinessList::samples()),
        rendered("readiness/show.html", readiness::SetsSheet::samples()),
        rendered("round/list.html", round::RoundList::samples()),
        rendered("round/new.html", round::NewRound::samples()),
        rendered("round/show.html", round::ShowRound::samples()),
        rendered("tag/new.html", tag::NewTag::samples()),
        rendered("tag/off.html", tag::TagOff::samples()),
        rendered("tag/scan.html", tag::ScanPage::samples()),
        rendered("trend/age.html", trend::AgePage::samples()),
        rendered("trend/ahead.html", trend::AheadPage::samples()),
        rendered("trend/failed.html", trend::FailedPage::samples()),
        rendered("trend/failure.html", trend::FailurePage::samples()),
        rendered("trend/retired.html", trend::RetiredPage::samples()),
        rendered("usage/new.html", usage::NewUsage::samples()),
    ];
    pages.into_iter().flatten()
}
