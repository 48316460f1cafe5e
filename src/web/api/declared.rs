//! What an address of the API takes behind the question mark: what its description declares, and nothing else.
//!
//! A name that nobody reads would be passed over in silence, and a program that spells its filter wrong would be given
//! everything.

use std::{collections::HashMap, sync::LazyLock};

use axum::http::{Method, Uri};
use utoipa::openapi::{
    RefOr,
    path::{Operation, ParameterIn, PathItem},
};

use super::{super::Problem, description};

/// The names behind the question mark, by method and route.
static DECLARED: LazyLock<HashMap<(Method, String), Vec<String>>> = LazyLock::new(|| {
    let paths = description().paths.paths;
    let routes = paths.into_iter().flat_map(|(path, item)| {
        let names = operations(item).into_iter();
        names.map(move |(method, operation)| ((method, path.clone()), names_of(&operation)))
    });
    routes.collect()
});

fn operations(item: PathItem) -> Vec<(Method, Operation)> {
    let all = [
        (Method::GET, item.get),
        (Method::POST, item.post),
        (Method::PUT, item.put),
        (Method::PATCH, item.patch),
        (Method::DELETE, item.delete),
    ];
    let there = all
        .into_iter()
        .filter_map(|(method, one)| Some((method, one?)));
    there.collect()
}

fn names_of(operation: &Operation) -> Vec<String> {
    let all = operation.parameters.iter().flatten();
    let own = all.filter_map(|one| match one {
        RefOr::T(parameter) => Some(parameter),
        RefOr::Ref(_) => None,
    });
    let behind = own.filter(|one| one.parameter_in == ParameterIn::Query);
    behind.map(|one| one.name.clone()).collect()
}

/// Refuses a name that the description of a route does not declare; a route that it does not describe takes any, and so does
/// an export, which is asked for by what its page is.
///
/// # Errors
/// [`Problem::Unreadable`] with the name, and those that there are.
pub(in crate::web) fn hold(method: &Method, route: &str, uri: &Uri) -> Result<(), Problem> {
    if route.starts_with("/api/v1/exports/") {
        return Ok(());
    }
    let Some(declared) = DECLARED.get(&(method.clone(), route.to_owned())) else {
        return Ok(());
    };
    let given = axum::extract::Query::<Vec<(String, String)>>::try_from_uri(uri);
    let Ok(axum::extract::Query(given)) = given else {
        // What cannot be read is told by whoever reads it.
        return Ok(());
    };
    // `answers[gate]` is a part of `answers`.
    let bare = |name: &str| name.split('[').next().unwrap_or_default().to_owned();
    let unknown = given.iter().map(|(name, _)| bare(name));
    let Some(unknown) = unknown.into_iter().find(|name| !declared.contains(name)) else {
        return Ok(());
    };
    let unknown: String = unknown.chars().take(60).collect();
    let there = match declared.as_slice() {
        [] => "this address takes none".to_owned(),
        names => format!("there are: {}", names.join(", ")),
    };
    Err(Problem::Unreadable(format!(
        "Behind the question mark stands \"{unknown}\", which this address does not know; {there}."
    )))
}
