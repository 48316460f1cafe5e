//! The shape of a problem, as programs are told it.

use serde::Serialize;
use utoipa::ToSchema;

use crate::domain::{FieldError, Refusal};

/// What could not be done and why, as RFC 9457 describes; our own members stand after `instance`.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct ProblemJson<'a> {
    /// The kind of problem; stable.
    pub r#type: String,
    /// The kind in a few words.
    pub title: &'a str,
    /// The status of the answer.
    pub status: u16,
    /// What is wrong and what to do.
    pub detail: String,
    /// The address that was asked.
    pub instance: &'a str,
    /// Every field that does not hold.
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    #[schema(value_type = Vec<FieldErrorJson>, required = false)]
    pub fields: &'a [FieldError],
    /// Every reason why an item may not go on a job.
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    #[schema(value_type = Vec<RefusalJson>, required = false)]
    pub refusals: &'a [Refusal],
    /// The number under which the server's log has the rest.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub incident: Option<&'a str>,
}

/// One field that does not hold.
#[derive(ToSchema)]
#[expect(
    dead_code,
    reason = "only described; what is sent is the domain's own type"
)]
pub(super) struct FieldErrorJson {
    /// The field; parts of lists as `ratings[0].value`.
    field: String,
    /// A stable word: required, number, range, taken, choice, date, long, unit.
    code: String,
    /// A sentence that says what is wrong and what to do.
    message: String,
    /// What a program sends beside the field, where the sentence asks whether it is really so and it is: `"confirmed": true`.
    #[schema(required = false)]
    beside: Option<String>,
}

/// One reason why an item may not go on a job.
#[derive(ToSchema)]
#[expect(
    dead_code,
    reason = "only described; what is sent is the domain's own type"
)]
struct RefusalJson {
    /// A stable word.
    code: String,
    /// What is wrong and what would mend it.
    sentence: String,
    /// The rule that refuses, with its source.
    rule: serde_json::Value,
    /// What was looked at.
    evidence: String,
}
