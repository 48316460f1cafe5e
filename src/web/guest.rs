//! Outside auditors: their links, for the team, and how they get in by one.

use axum::{
    extract::State,
    http::{HeaderMap, StatusCode, header},
    response::{IntoResponse, Response},
};
use axum_extra::extract::CookieJar;
use serde::Deserialize;
use time::Duration;

use super::{
    App, Done, Form, Page, Path, Problem, Query, Signed, Visitor,
    export::offered,
    listed::{FormId, ROWS, cursor, pager},
    page::answer,
    session::{Address, cookie, cookie_name},
};
use crate::{
    deed::{
        self, DeedError,
        guest::{WithdrawalDraft, over_words, standing},
        session::hash_of,
    },
    domain::{Deed, FieldErrors, GuestLinkDraft, GuestLinkId, GuestStanding, date::write_day},
    store::GuestAtDoor,
    view::{
        Section, Shell,
        guest::{GuestLinks, Making, ReadsPage, ShowGuestLink, Told, WelcomeGuest},
        words,
    },
};

/// How long a browser keeps the cookie of a sitting. The server ends the sitting long before, and says so as long as the
/// cookie is there.
const KEPT: Duration = Duration::days(30);

/// What stands behind the question mark.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct Asked {
    after: String,
    /// `yes` where all reads are to be held against the ledger.
    check: String,
}

/// The address of a link, which is shown once.
pub(super) fn link_address(app: &App, secret: &str) -> String {
    // Where the server was not told its address, the reader puts it in front.
    let house = app.config.public_url.as_deref().unwrap_or_default();
    format!("{house}/guest/{secret}")
}

fn may_keep(signed: &Signed) -> bool {
    signed.actor.role.may(Deed::KeepPeople)
}

fn shell(signed: &Signed, title: &str) -> Shell {
    let section = if may_keep(signed) {
        Section::People
    } else {
        Section::History
    };
    signed.shell_in(section, title)
}

/// What was typed for a link, with the id that it gets.
type Typed<'a> = (GuestLinkId, &'a GuestLinkDraft, &'a FieldErrors);

async fn listed(
    (app, signed): (&App, &Signed),
    after: &str,
    (id, draft, wrong): Typed<'_>,
    address: Option<String>,
) -> Result<GuestLinks, Problem> {
    let begin = cursor(after)?;
    let list = deed::guest::list(&app.desk, &signed.actor, begin.as_ref(), ROWS);
    let (page, people) = list.await?;
    let told = Told {
        today: signed.today(app),
        zone: &signed.zone,
        people: &people,
    };
    let making = may_keep(signed).then(|| Making {
        wrong: wrong.clone(),
        draft: draft.clone(),
        action: format!("/guests?id={id}"),
    });
    let shown = words::count(page.rows.len(), "link", "links");
    let pager = pager("/guests", &[], after, page.next.as_ref(), shown);
    let shell = shell(signed, "Outside auditors");
    let rows = (page.rows.as_slice(), told);
    Ok(GuestLinks::new(shell, rows, making, address, pager))
}

/// The links.
pub(super) async fn page_list(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<Asked>,
) -> Result<Page<GuestLinks>, Problem> {
    let (draft, fine) = (GuestLinkDraft::default(), FieldErrors::default());
    let typed = (GuestLinkId::new(), &draft, &fine);
    let list = listed((&app, &signed), &asked.after, typed, None);
    list.await.map(Page)
}

/// Makes a link and shows its address, once.
pub(super) async fn page_create(
    State(app): State<App>,
    signed: Signed,
    Query(given): Query<FormId>,
    Form(draft): Form<GuestLinkDraft>,
) -> Result<Response, Problem> {
    let id = GuestLinkId(given.id());
    let who = (&app, &signed);
    match deed::guest::make(&app.desk, &signed.actor, id, &draft).await {
        Ok(secret) => {
            let (draft, fine) = (GuestLinkDraft::default(), FieldErrors::default());
            let typed = (GuestLinkId::new(), &draft, &fine);
            let view = listed(who, "", typed, Some(link_address(&app, &secret))).await?;
            // No redirect: the secret must stand in no address of ours but its own, no cookie and no cache.
            Ok(([(header::CACHE_CONTROL, "no-store")], Page(view)).into_response())
        }
        Err(DeedError::Invalid(wrong)) => {
            let view = listed(who, "", (id, &draft, &wrong), None).await?;
            Ok(Page::wrong(view))
        }
        Err(other) => Err(other.into()),
    }
}

async fn shown(
    (app, signed): (&App, &Signed),
    id: GuestLinkId,
    asked: &Asked,
    (reason, wrong): (&str, &FieldErrors),
) -> Result<ShowGuestLink, Problem> {
    let (kept, people) = deed::guest::show(&app.desk, &signed.actor, id).await?;
    let begin = cursor(&asked.after)?;
    let reads = deed::guest::reads(&app.desk, &signed.actor, id, begin.as_ref(), ROWS).await?;
    let held = match asked.check.as_str() {
        "yes" => Some(deed::guest::hold(&app.desk, &signed.actor, id).await?),
        _ => None,
    };
    let told = Told {
        today: signed.today(app),
        zone: &signed.zone,
        people: &people,
    };
    let shown = words::count(reads.rows.len(), "read", "reads");
    let path = format!("/guests/{id}");
    let page = ReadsPage {
        pager: pager(&path, &[], &asked.after, reads.next.as_ref(), shown),
        reads: reads.rows.into_iter().map(|(read, _)| read).collect(),
        files: offered("reads", &[("link", &id.to_string())]),
        held,
    };
    let shell = shell(signed, &format!("Link of {}", kept.link.who()));
    let typed = may_keep(signed).then_some((reason, wrong));
    Ok(ShowGuestLink::new(shell, (&kept, told), page, typed))
}

/// One link, and what was read by it.
pub(super) async fn page_show(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<GuestLinkId>,
    Query(asked): Query<Asked>,
) -> Result<Page<ShowGuestLink>, Problem> {
    let fine = FieldErrors::default();
    let show = shown((&app, &signed), id, &asked, ("", &fine));
    show.await.map(Page)
}

/// Withdraws a link.
pub(super) async fn page_withdraw(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<GuestLinkId>,
    Form(draft): Form<WithdrawalDraft>,
) -> Result<Response, Problem> {
    let done = deed::guest::withdraw(&app.desk, &signed.actor, id, &draft).await;
    answer(
        done,
        |()| Done::to(format!("/guests/{id}")).saying("The link is withdrawn."),
        async |wrong| {
            let typed = (draft.reason.as_str(), &wrong);
            shown((&app, &signed), id, &Asked::default(), typed).await
        },
    )
    .await
}

fn welcome(
    app: &App,
    guest: GuestAtDoor,
    secret: &str,
    signed: Option<&Signed>,
) -> (StatusCode, WelcomeGuest) {
    let now = app.desk.clock.now();
    let over = over_words(&guest, now);
    let link = &guest.kept.link;
    let status = match standing(&guest, now) {
        GuestStanding::Open => StatusCode::OK,
        GuestStanding::NotYet | GuestStanding::Shut => StatusCode::FORBIDDEN,
        GuestStanding::Ended | GuestStanding::Withdrawn => StatusCode::GONE,
    };
    let person = signed.and_then(Signed::person);
    let view = WelcomeGuest {
        shell: Shell {
            zone: guest.zone,
            ..Shell::for_stranger("Read this record")
        },
        who: link.who(),
        until: write_day(link.until),
        team: guest.team_name,
        maker: guest.kept.maker,
        over,
        action: format!("/guest/{secret}"),
        instead_of: person.map(|person| person.name.clone()),
    };
    (status, view)
}

fn unkept(page: impl IntoResponse) -> Response {
    ([(header::CACHE_CONTROL, "no-store")], page).into_response()
}

/// What whoever opens the address of a link sees. Looking opens nothing: programs that look into letters do so too.
pub(super) async fn page_welcome(
    State(app): State<App>,
    visitor: Visitor,
    Address(address): Address,
    Path(secret): Path<String>,
) -> Result<Response, Problem> {
    let guest = deed::guest::knock(&app.desk, &secret, &address).await?;
    let (status, view) = welcome(&app, guest, &secret, visitor.signed.as_ref());
    Ok(unkept((status, Page(view))))
}

/// Opens a sitting, in the place of whatever this browser was signed in to.
pub(super) async fn page_open(
    State(app): State<App>,
    headers: HeaderMap,
    Address(address): Address,
    Path(secret): Path<String>,
) -> Result<Response, Problem> {
    let (guest, sitting) = deed::guest::open(&app.desk, &secret, &address).await?;
    let Some(sitting) = sitting else {
        let (status, view) = welcome(&app, guest, &secret, None);
        return Ok(unkept((status, Page(view))));
    };
    end_whatever(&app, &headers).await?;
    let cookie = cookie(&app.config, sitting, KEPT);
    Ok((CookieJar::new().add(cookie), Done::to("/")).into_response())
}

/// Ends a sitting.
pub(super) async fn page_leave(
    State(app): State<App>,
    headers: HeaderMap,
) -> Result<Response, Problem> {
    end_whatever(&app, &headers).await?;
    let gone = cookie(&app.config, String::new(), Duration::ZERO);
    let done = Done::to("/sign-in")
        .saying("You have left the record. The address of your link opens it again.");
    Ok((CookieJar::new().add(gone), done).into_response())
}

/// Ends the session or the sitting of the browser's cookie.
async fn end_whatever(app: &App, headers: &HeaderMap) -> Result<(), Problem> {
    let jar = CookieJar::from_headers(headers);
    if let Some(cookie) = jar.get(cookie_name(&app.config)) {
        let hash = hash_of(cookie.value());
        deed::guest::leave(&app.desk, &hash).await?;
        deed::session::sign_out(&app.desk, &hash).await?;
    }
    Ok(())
}
