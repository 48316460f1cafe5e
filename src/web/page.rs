//! What a page's handler answers.

use std::any::Any;

use askama::Template;
use axum::{
    http::{StatusCode, header},
    response::{Html, IntoResponse, Redirect, Response},
};

use super::{Problem, known::flash_cookie};
use crate::{deed::DeedError, domain::FieldErrors};

/// A page, written from its view.
pub struct Page<T>(pub T);

impl<T: Template> Page<T> {
    /// The form again, with what was wrong in it.
    pub fn wrong(view: T) -> Response {
        Self::again(StatusCode::UNPROCESSABLE_ENTITY, view)
    }

    /// The form again, with this status. It is written twice, so that what stands on top knows the labels of
    /// the fields below it.
    pub fn again(status: StatusCode, view: T) -> Response {
        if let Err(error) = view.render() {
            return Problem::internal(error).into_response();
        }
        (status, Self(view)).into_response()
    }
}

impl<T: Template> IntoResponse for Page<T> {
    fn into_response(self) -> Response {
        match self.0.render() {
            Ok(html) => Html(html).into_response(),
            Err(error) => Problem::internal(error).into_response(),
        }
    }
}

/// Something was done: the browser goes on to another page, where a sentence says so.
pub struct Done {
    to: String,
    words: Option<String>,
    ways: Vec<(String, &'static str)>,
}

impl Done {
    /// Goes on to `to`, an address of this server.
    pub fn to(to: impl Into<String>) -> Self {
        Self {
            to: to.into(),
            words: None,
            ways: Vec::new(),
        }
    }

    /// The same, with a sentence on top of the next page.
    #[must_use]
    pub fn saying(mut self, words: impl Into<String>) -> Self {
        self.words = Some(words.into());
        self
    }

    /// The same, with what is next below the sentence, and where on this server it is done.
    #[must_use]
    pub fn way(mut self, words: impl Into<String>, href: &'static str) -> Self {
        self.ways.push((words.into(), href));
        self
    }
}

impl IntoResponse for Done {
    fn into_response(self) -> Response {
        let mut response = Redirect::to(&self.to).into_response();
        if let Some(cookie) = self
            .words
            .as_deref()
            .and_then(|words| flash_cookie(words, &self.ways))
        {
            response.headers_mut().append(header::SET_COOKIE, cookie);
        }
        response
    }
}

/// Answers a form: leads on from what was done, or shows the form again with what was wrong in it.
pub(super) async fn answer<T, V: Template>(
    done: Result<T, DeedError>,
    onward: impl FnOnce(T) -> Done,
    again: impl AsyncFnOnce(FieldErrors) -> Result<V, Problem>,
) -> Result<Response, Problem> {
    match done {
        Ok(done) => Ok(onward(done).into_response()),
        Err(DeedError::Invalid(wrong)) => Ok(Page::wrong(again(wrong).await?)),
        Err(other) => Err(other.into()),
    }
}

/// Turns a panic into a failure of our side, so that one request cannot hang.
#[expect(
    clippy::needless_pass_by_value,
    reason = "the layer that calls it gives the panic away"
)]
pub(super) fn panicked(panic: Box<dyn Any + Send>) -> Response {
    let words = panic
        .downcast_ref::<String>()
        .map(String::as_str)
        .or_else(|| panic.downcast_ref::<&str>().copied())
        .unwrap_or("no words");
    Problem::internal(format!("a handler panicked: {words}")).into_response()
}
