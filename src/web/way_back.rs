//! Where somebody who is asked to sign in goes afterwards: back to the page, or to the form, they were at.

use std::{collections::BTreeSet, sync::LazyLock};

use axum::{
    extract::{MatchedPath, Request},
    http::{HeaderMap, Method, Uri, header, uri::Authority},
};
use serde::Deserialize;

use super::{known::encode, table::table};
use crate::view;

/// The page that a form was opened from and leads back to, as it stands behind the question mark.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct Back {
    back: String,
}

impl Back {
    /// The way back, if it is to a page of ours.
    pub(super) fn way(&self) -> Option<view::WayBack> {
        is_inside(&self.back).then(|| way_to(&self.back))
    }

    /// Where to go when the form is done: the page that it was opened from, or `otherwise`.
    pub(super) fn or(&self, otherwise: String) -> String {
        self.way().map_or(otherwise, |way| way.to)
    }
}

/// The way back to a page of ours, for the links of that page.
pub(super) fn way_to(page: &str) -> view::WayBack {
    view::WayBack {
        to: page.to_owned(),
        query: format!("back={}", encode(page)),
    }
}

/// Whether this is an address of this server: a link must not lead through us to somebody else.
pub(super) fn is_inside(to: &str) -> bool {
    to.starts_with('/')
        && !to.starts_with("//")
        && !to.contains(['\\', '\r', '\n', '\t'])
        && to.len() <= 2000
}

/// The addresses that can be looked at, as they stand in the table.
static PAGES: LazyLock<BTreeSet<&'static str>> = LazyLock::new(|| {
    let routes = table().into_iter();
    let pages = routes.filter(|route| route.method == Method::GET);
    pages.map(|route| route.path).collect()
});

/// What a request says of where it was made.
pub(super) struct WayBack {
    method: Method,
    uri: Uri,
    referer: Option<Uri>,
}

impl WayBack {
    pub(super) fn of(request: &Request) -> Self {
        let referer = request.headers().get(header::REFERER);
        let referer = referer.and_then(|from| from.to_str().ok()?.parse().ok());
        Self {
            method: request.method().clone(),
            uri: request.uri().clone(),
            referer: referer.filter(|from| is_of_ours(from, request.headers())),
        }
    }

    /// The page of ours that the request was made from, if there is one and it is another than the one that was asked for.
    pub(super) fn came_from(&self, route: Option<&MatchedPath>) -> Option<String> {
        let from = match self.referer.as_ref()? {
            _ if self.method != Method::GET => self.sent_from(route),
            from if from.path_and_query() == self.uri.path_and_query() => return None,
            from => whole(from),
        };
        // Whoever has just signed in has no more to do there.
        let is_page = from != "/" && !from.starts_with("/sign-in");
        (is_page && is_inside(&from)).then_some(from)
    }

    /// The page to sign in on, with the way back in its address. What was sent is not kept: it may be a password,
    /// and whoever signs in next may be somebody else.
    pub(super) fn sign_in(&self, route: Option<&MatchedPath>) -> String {
        if self.method == Method::GET {
            return match whole(&self.uri).as_str() {
                "/" => "/sign-in".to_owned(),
                to => format!("/sign-in?to={}", encode(to)),
            };
        }
        format!("/sign-in?to={}&lost=yes", encode(&self.sent_from(route)))
    }

    /// The page of the form that was sent.
    fn sent_from(&self, route: Option<&MatchedPath>) -> String {
        let referer = self.referer.as_ref();
        // A form that was shown again stands at the address that it is sent to.
        let referer = referer.filter(|from| from.path() != self.uri.path());
        referer.map_or_else(|| self.form(route), whole)
    }

    /// The page of the form that is sent here, as far as the table tells.
    fn form(&self, route: Option<&MatchedPath>) -> String {
        let route = route.map_or("", MatchedPath::as_str);
        let endings = ["/new", "/edit", ""].into_iter();
        let mut there = endings.filter(|end| PAGES.contains(format!("{route}{end}").as_str()));
        match there.next() {
            Some(end) => format!("{}{end}", self.uri.path()),
            None => "/".to_owned(),
        }
    }
}

/// Whether a page that a request was made from is one of this server: the browser says so, or its host is ours.
fn is_of_ours(from: &Uri, headers: &HeaderMap) -> bool {
    let text = |name: &str| headers.get(name).and_then(|value| value.to_str().ok());
    let host = from.authority().map(Authority::as_str);
    text("sec-fetch-site") == Some("same-origin") || host.is_some() && host == text("host")
}

/// The address on this server, whatever host stands before it.
fn whole(uri: &Uri) -> String {
    uri.path_and_query()
        .map_or_else(|| "/".to_owned(), ToString::to_string)
}
