//! Puts the face on what leaves: a page through a page's door, JSON through the API's.

use std::sync::Arc;

use axum::{
    Json,
    extract::{MatchedPath, Request},
    http::{HeaderValue, StatusCode, header},
    middleware::Next,
    response::{IntoResponse, Redirect, Response},
};

use super::{Page, Problem, api::ProblemJson, known::Known, way_back::WayBack};
use crate::{
    domain::{FieldError, Refusal},
    view::{
        Section, Shell,
        part::{Answer, Tone},
        problem::{ProblemPage, ways},
    },
};

/// Finishes every answer: problems get their body, a message that was shown is forgotten.
pub(super) async fn face(mut request: Request, next: Next) -> Response {
    let known = Known::from_headers(request.headers());
    request.extensions_mut().insert(known.clone());
    let api = request.uri().path().starts_with("/api/");
    let path = request.uri().path().to_owned();
    let back = WayBack::of(&request);

    let mut response = next.run(request).await;
    if let Some(problem) = response.extensions_mut().remove::<Arc<Problem>>() {
        let body = if api {
            as_json(&problem, &path)
        } else {
            let route = response.extensions().get::<MatchedPath>();
            as_page(&problem, &known, &path, (&back, route))
        };
        let (parts, body) = body.into_parts();
        *response.status_mut() = parts.status;
        *response.body_mut() = body;
        response.headers_mut().remove(header::CONTENT_LENGTH);
        response.headers_mut().extend(parts.headers);
    }
    if known.flash.is_some() && is_page(&response) {
        response
            .headers_mut()
            .append(header::SET_COOKIE, Known::forget_flash());
    }
    response
}

fn is_page(response: &Response) -> bool {
    response
        .headers()
        .get(header::CONTENT_TYPE)
        .is_some_and(|kind| kind.as_bytes().starts_with(b"text/html"))
}

fn as_page(
    problem: &Problem,
    known: &Known,
    path: &str,
    (back, route): (&WayBack, Option<&MatchedPath>),
) -> Response {
    if matches!(problem, Problem::SignIn) {
        return Redirect::to(&back.sign_in(route)).into_response();
    }
    let tone = match problem.status() {
        StatusCode::NOT_FOUND | StatusCode::METHOD_NOT_ALLOWED | StatusCode::GONE => Tone::Note,
        StatusCode::TOO_MANY_REQUESTS | StatusCode::SERVICE_UNAVAILABLE => Tone::Hold,
        _ => Tone::Stop,
    };
    let details = match problem {
        Problem::Invalid(wrong) => wrong.0.iter().map(sentence).collect(),
        Problem::Refused(reasons) => reasons.iter().map(reason).collect(),
        _ => Vec::new(),
    };
    let incident = match problem {
        Problem::Internal(incident) => Some(incident.number.clone()),
        _ => None,
    };
    let shell = known.signed().map_or_else(
        || Shell::for_stranger(problem.title()),
        |signed| Shell {
            section: Section::of(path),
            ..signed.shell(problem.title())
        },
    );
    let page = ProblemPage {
        ways: ways(&shell, back.came_from(route)),
        shell,
        answer: Answer::new(tone, problem.title()).why(problem.to_string()),
        details,
        incident,
    };
    (problem.status(), Page(page)).into_response()
}

fn sentence(error: &FieldError) -> String {
    format!("{}: {}", error.field, error.message)
}

fn reason(refusal: &Refusal) -> String {
    format!("{} ({})", refusal.sentence, refusal.looked_at())
}

fn as_json(problem: &Problem, path: &str) -> Response {
    let status = match problem {
        // What If-Match named is no longer there (RFC 9110, section 13.1.1).
        Problem::Stale => StatusCode::PRECONDITION_FAILED,
        other => other.status(),
    };
    let body = ProblemJson {
        r#type: format!("/problem/{}", problem.key()),
        title: problem.title(),
        status: status.as_u16(),
        detail: problem.to_string(),
        instance: path,
        fields: match problem {
            Problem::Invalid(wrong) => &wrong.0,
            _ => &[],
        },
        refusals: match problem {
            Problem::Refused(reasons) => reasons,
            _ => &[],
        },
        incident: match problem {
            Problem::Internal(incident) => Some(&incident.number),
            _ => None,
        },
    };
    let mut response = (status, Json(body)).into_response();
    response.headers_mut().insert(
        header::CONTENT_TYPE,
        HeaderValue::from_static("application/problem+json"),
    );
    if matches!(problem, Problem::SignIn) {
        response
            .headers_mut()
            .insert(header::WWW_AUTHENTICATE, HeaderValue::from_static("Bearer"));
    }
    response
}
