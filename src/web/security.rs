//! What keeps other sites out: headers on every answer, and a look at where a request comes from.

use axum::{
    extract::{Request, State},
    http::{HeaderMap, HeaderName, HeaderValue, Method, header},
    middleware::Next,
    response::Response,
};

use super::{App, Problem};

/// Everything is forbidden, then opened one by one. There is no inline script or style anywhere.
const CONTENT: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; \
     font-src 'self'; connect-src 'self'; manifest-src 'self'; form-action 'self'; \
     base-uri 'none'; frame-ancestors 'none'";

const HEADERS: [(HeaderName, &str); 7] = [
    (header::CONTENT_SECURITY_POLICY, CONTENT),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    // Not "no-referrer": browsers then send `Origin: null` with our own forms.
    (header::REFERRER_POLICY, "same-origin"),
    (
        HeaderName::from_static("cross-origin-opener-policy"),
        "same-origin",
    ),
    (
        HeaderName::from_static("cross-origin-resource-policy"),
        "same-origin",
    ),
    (
        HeaderName::from_static("permissions-policy"),
        "camera=(self), geolocation=(), microphone=(), payment=(), usb=()",
    ),
    // What a person sees is theirs; it may be shown again, but only after asking.
    (header::CACHE_CONTROL, "private, no-cache"),
];

/// Adds the headers that a handler has not set itself.
pub(super) async fn headers(State(app): State<App>, request: Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    for (name, value) in HEADERS {
        headers
            .entry(name)
            .or_insert(HeaderValue::from_static(value));
    }
    if app.config.is_https() {
        headers.insert(
            header::STRICT_TRANSPORT_SECURITY,
            HeaderValue::from_static("max-age=31536000"),
        );
    }
    response
}

/// Refuses what another site's page sends: the session's cookie would come along unasked.
///
/// A browser says where a request comes from in `Sec-Fetch-Site`, an older one in `Origin`. What
/// says neither is no browser, and carries no cookie that it does not mean to.
pub(super) async fn origin(
    State(app): State<App>,
    request: Request,
    next: Next,
) -> Result<Response, Problem> {
    let reads = matches!(
        *request.method(),
        Method::GET | Method::HEAD | Method::OPTIONS
    );
    if reads || is_ours(request.headers(), app.config.public_url.as_deref()) {
        Ok(next.run(request).await)
    } else {
        Err(Problem::Forbidden(
            "This was sent from a page of another site, so it was not done. Open the page here and \
             send it again."
                .to_owned(),
        ))
    }
}

fn is_ours(headers: &HeaderMap, public_url: Option<&str>) -> bool {
    let text = |name: HeaderName| headers.get(name).map(|value| value.to_str().unwrap_or("?"));
    let site = text(HeaderName::from_static("sec-fetch-site"));
    let origin = text(header::ORIGIN);
    match (site, origin) {
        (Some("same-origin" | "none"), _) | (None, None) => true,
        (_, Some(origin)) if public_url == Some(origin) => true,
        (Some(_), _) => false,
        (None, Some(origin)) => {
            let host = text(header::HOST);
            origin.split_once("://").map(|(_, host)| host) == host && host.is_some()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_our_own_pages_and_programs_may_change_things() {
        let host = ("host", "gear.test:8080");
        let public = Some("https://gear.test");
        let cases: [(&[(&str, &str)], bool); 9] = [
            (&[host], true),
            (&[host, ("sec-fetch-site", "same-origin")], true),
            (&[host, ("sec-fetch-site", "none")], true),
            (
                &[
                    host,
                    ("sec-fetch-site", "cross-site"),
                    ("origin", "https://bad.test"),
                ],
                false,
            ),
            (
                &[
                    host,
                    ("sec-fetch-site", "same-site"),
                    ("origin", "https://x.gear.test"),
                ],
                false,
            ),
            (&[host, ("origin", "http://gear.test:8080")], true),
            (&[host, ("origin", "https://gear.test")], true),
            (&[host, ("origin", "http://bad.test")], false),
            (&[host, ("origin", "null")], false),
        ];
        for (pairs, ours) in cases {
            let map: HeaderMap = pairs
                .iter()
                .map(|(name, value)| {
                    (
                        name.parse::<HeaderName>().unwrap(),
                        value.parse::<HeaderValue>().unwrap(),
                    )
                })
                .collect();
            assert_eq!(is_ours(&map, public), ours, "{pairs:?}");
        }
    }
}
