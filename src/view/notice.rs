//! Safety notices: the list, a new one, and one with the items that it covers.

mod alike;
mod course;
mod new;

use askama::Template;

use super::{
    Shell,
    form::{Field, Form},
    part::{Answer, Badge, Empty, Facts, Pager, Tone},
    words,
};
use alike::AlikeRow;
use course::CourseRow;
pub use new::{InRegister, NewNotice};

use crate::domain::{
    FieldErrors, HOW_COMPARED, Item, ItemState, Model, Notice, NoticeItem, NoticeStanding,
    NoticeStep, date::write_day,
};

/// One notice of the list.
#[derive(Clone, Debug)]
pub struct NoticeRow {
    href: String,
    title: String,
    issued: String,
    covers: String,
}

impl NoticeRow {
    /// A notice in words.
    pub fn new(notice: &Notice) -> Self {
        Self {
            href: format!("/notices/{}", notice.id),
            title: notice.title.clone(),
            issued: format!("{}, {}", write_day(notice.issued_on), notice.issuer),
            covers: covers(notice),
        }
    }
}

/// What a notice covers, on one line.
fn covers(notice: &Notice) -> String {
    if notice.withdrawn.is_some() {
        return "withdrawn: nothing any more".to_owned();
    }
    let models: Vec<&str> = notice.models().collect();
    let what = if models.is_empty() {
        format!("everything of {}", notice.maker)
    } else {
        format!("{} {}", notice.maker, models.join(", "))
    };
    let lots = some(", lot", &lots(notice));
    let serials: Vec<String> = notice.serials.iter().map(ToString::to_string).collect();
    let serials = some(", serial", &serials);
    let made = match (notice.made_from, notice.made_until) {
        (None, None) => String::new(),
        (Some(from), None) => format!(", made from {}", write_day(from)),
        (None, Some(until)) => format!(", made until {}", write_day(until)),
        (Some(from), Some(until)) => {
            format!(", made {} to {}", write_day(from), write_day(until))
        }
    };
    format!("{what}{lots}{serials}{made}")
}

/// The lots, alone and as ranges.
fn lots(notice: &Notice) -> Vec<String> {
    let spans = notice.lot_spans.iter().map(ToString::to_string);
    notice.lots.iter().cloned().chain(spans).collect()
}

/// A few of them by name, many by their number.
fn some(word: &str, all: &[String]) -> String {
    match all {
        [] => String::new(),
        [one] => format!("{word} {one}"),
        few if few.len() <= 5 => format!("{word}s {}", few.join(", ")),
        many => format!("{word}s, {} of them", many.len()),
    }
}

/// The list.
#[derive(Template)]
#[template(path = "notice/list.html")]
pub struct NoticeList {
    /// The frame.
    pub shell: Shell,
    /// The notices.
    pub rows: Vec<NoticeRow>,
    /// Ways to the next page.
    pub pager: Pager,
    /// What to do where there is none.
    pub empty: Empty,
    /// Whether this person may open notices.
    pub may_open: bool,
}

impl NoticeList {
    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::gear;
        let page = |rows, may_open| Self {
            shell: Shell::sample("Notices"),
            rows,
            pager: Pager::default(),
            empty: Empty::new("No notices.", "Good."),
            may_open,
        };
        let row = NoticeRow::new(&gear::notice());
        vec![page(vec![row], true), page(Vec::new(), false)]
    }
}

/// An item that a notice covers or covered.
struct CoveredRow {
    id: String,
    href: String,
    mark: String,
    state: Badge,
    known: String,
    result: Option<String>,
    /// Why it counts as covered, or stands here though the notice holds it no more.
    beside: String,
    field: Option<Field>,
}

/// One notice.
#[derive(Template)]
#[template(path = "notice/show.html")]
pub struct ShowNotice {
    /// The frame.
    pub shell: Shell,
    form: Form,
    answer: Answer,
    facts: Facts,
    action: String,
    close: String,
    holders: String,
    touched: String,
    listed: &'static str,
    alike: Vec<AlikeRow>,
    rows: Vec<CoveredRow>,
    course: Vec<CourseRow>,
    pager: Pager,
    /// Where it is corrected and withdrawn; none for whoever may not, and where it is withdrawn.
    correct: Option<String>,
    withdraw: String,
    reason: String,
}

/// A notice with a page of the items that it covers.
pub struct CoveredItems<'a> {
    /// The notice.
    pub notice: &'a Notice,
    /// The items, each with its closing if it was closed.
    pub rows: &'a [NoticeItem],
    /// How many it covers in all, or covered when it was withdrawn.
    pub all: usize,
    /// For how many of them it is open.
    pub open: usize,
    /// The models that it leaves out although they are spelt much like what it names, each with its items.
    pub alike: &'a [(Model, usize)],
    /// Its course, each step with the name of who took it.
    pub course: Vec<(NoticeStep, String)>,
    /// Whether this person may close it.
    pub may_close: bool,
    /// Whether this person may correct and withdraw it.
    pub may_correct: bool,
}

/// Where one goes from the page of a notice.
pub struct Ways {
    /// To the other pages of what it covers.
    pub pager: Pager,
    /// To where it is closed for an item.
    pub close: String,
}

/// The name of the field in which the result for an item is typed.
pub fn result_field(item: &str) -> String {
    format!("result[{item}]")
}

impl ShowNotice {
    /// The page of a notice. `typed` is the item and the result that did not hold.
    pub fn new(
        shell: Shell,
        covered: &CoveredItems<'_>,
        ways: Ways,
        typed: Option<(&str, &str)>,
        wrong: &FieldErrors,
    ) -> Self {
        let form = Form::new(wrong);
        let rows = covered.rows.iter();
        let rows = rows
            .map(|one| {
                let item = &one.item;
                let id = item.id.to_string();
                let text = typed.filter(|(other, _)| *other == id);
                let text = text.map_or("", |(_, text)| text);
                let open = one.standing.is_open() && covered.may_close;
                CoveredRow {
                    href: format!("/items/{id}"),
                    mark: item.mark.clone(),
                    state: state(item.state),
                    known: known(item),
                    result: one.closing.as_ref().map(|closing| closing.result.clone()),
                    beside: beside(covered.notice, one),
                    field: open.then(|| {
                        form.note(&result_field(&id), "Result for this item", text)
                            .rows(2)
                            .must()
                    }),
                    id,
                }
            })
            .collect();
        Self {
            answer: match &covered.notice.withdrawn {
                Some(reason) => withdrawn(reason, covered.all),
                None => answer(covered.open, covered.all),
            },
            correct: (covered.may_correct && covered.notice.withdrawn.is_none())
                .then(|| format!("/notices/{}/correct", covered.notice.id)),
            withdraw: format!("/notices/{}/withdraw", covered.notice.id),
            reason: String::new(),
            facts: facts(covered.notice),
            action: covered.notice.action.clone(),
            close: ways.close,
            holders: format!("/notices/{}/holders", covered.notice.id),
            touched: format!("/questions/recalled-lot?notice={}", covered.notice.id),
            pager: ways.pager,
            listed: listed(covered.notice),
            alike: covered.alike.iter().map(AlikeRow::new).collect(),
            course: covered
                .course
                .iter()
                .map(|(step, by)| CourseRow::new(step, by, &shell.zone))
                .collect(),
            rows,
            shell,
            form,
        }
    }

    /// The same with the reason that was typed to withdraw it.
    #[must_use]
    pub fn withdrawing(self, reason: &str) -> Self {
        Self {
            reason: reason.to_owned(),
            ..self
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::{PROBE, gear};
        let (notice, item) = (gear::notice(), gear::item());
        let id = item.id.to_string();
        let open = NoticeItem {
            item,
            closing: None,
            standing: NoticeStanding::Open,
        };
        let mut let_out = gear::covered();
        let_out.item.id = crate::domain::ItemId(uuid::Uuid::nil());
        let wrong = FieldErrors::one(result_field(&id), "required", PROBE);
        let covered = [open, let_out];
        let alike = [(gear::model(), 2)];
        let page = |rows: &[NoticeItem], may_close| {
            let covered = CoveredItems {
                notice: &notice,
                rows,
                all: rows.len(),
                open: rows.len().min(1),
                alike: &alike,
                course: course::samples(),
                may_close,
                may_correct: may_close,
            };
            let ways = Ways {
                pager: Pager::default(),
                close: PROBE.to_owned(),
            };
            let typed = Some((id.as_str(), PROBE));
            Self::new(Shell::sample("Notice"), &covered, ways, typed, &wrong)
        };
        vec![page(&covered, true), page(&covered, false), page(&[], true)]
    }
}

/// Why an item counts as covered though its lot or serial does not say so plainly, and why it stands on the list though the
/// notice holds it no more; empty where there is nothing to be said.
fn beside(notice: &Notice, one: &NoticeItem) -> String {
    let of_list = match (one.standing, &one.closing) {
        (NoticeStanding::StillOpen, _) => {
            "It is open for this item still: it covered it until the record of the item, or of its model, was corrected."
        }
        (NoticeStanding::LetOut, _) => {
            "It covers this item no more: it was corrected, or the record of the item was."
        }
        (NoticeStanding::Withdrawn, None) => {
            "It was not closed for this item before it was withdrawn."
        }
        _ => "",
    };
    let counted = notice.counted_as(&one.item);
    let all = counted.iter().map(String::as_str).chain([of_list]);
    all.filter(|words| !words.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

/// What stands over the items.
fn listed(notice: &Notice) -> &'static str {
    match notice.withdrawn {
        None => "Items that it covers",
        Some(_) => "Items that it covered",
    }
}

fn withdrawn(reason: &str, covered: usize) -> Answer {
    let list = match covered {
        0 => "It covered no item of yours.".to_owned(),
        all => format!(
            "It covered {}, which stand below with what was written for each.",
            words::count(all, "item", "items")
        ),
    };
    Answer::new(Tone::Out, "Withdrawn: it covers nothing any more")
        .why(format!("Because: {}. {list}", reason.trim_end_matches('.')))
}

fn answer(open: usize, covered: usize) -> Answer {
    let all = words::count(covered, "item", "items");
    match (open, covered) {
        (_, 0) => Answer::new(Tone::Fit, "It covers no item of yours")
            .why("One that is added later and is covered goes to quarantine by itself."),
        (0, _) => Answer::new(Tone::Fit, format!("Closed for all {all}"))
            .why("An item that is added later and is covered goes to quarantine by itself."),
        (open, _) => Answer::new(
            Tone::Stop,
            format!("Open for {open} of {all}"),
        )
        .why("No job takes an item while the notice is open for it. Do what it asks, then write the result for each."),
    }
}

fn all_or(some: &[String]) -> String {
    if some.is_empty() {
        "all".to_owned()
    } else {
        some.join(", ")
    }
}

fn facts(notice: &Notice) -> Facts {
    let serials: Vec<String> = notice.serials.iter().map(ToString::to_string).collect();
    let asks =
        !(notice.serials.is_empty() && notice.lots.is_empty() && notice.lot_spans.is_empty());
    let compared = if asks { HOW_COMPARED } else { "" };
    Facts::default()
        .and("Covers", covers(notice))
        .and("Lots", all_or(&lots(notice)))
        .and_from("Serials", all_or(&serials), compared)
        .and("Issued", write_day(notice.issued_on))
        .and("By", notice.issuer.as_str())
}

/// The state of an item as a badge.
pub(super) fn state(state: ItemState) -> Badge {
    let tone = match state {
        ItemState::InService => Tone::Note,
        ItemState::Quarantined | ItemState::Missing => Tone::Hold,
        ItemState::Retired => Tone::Out,
    };
    Badge::new(tone, state.word())
}

/// What decides whether it is covered.
fn known(item: &Item) -> String {
    let lot = item.lot.as_ref();
    let lot = lot.map_or_else(|| "lot not noted".to_owned(), |lot| format!("lot {lot}"));
    let made = item.made.map_or_else(
        || "date made not known".to_owned(),
        |made| format!("made {made}"),
    );
    let serial = item.maker_serial();
    let serial = serial.map_or_else(
        || "serial not noted".to_owned(),
        |serial| format!("serial {serial}"),
    );
    format!("{serial}, {lot}, {made}")
}
