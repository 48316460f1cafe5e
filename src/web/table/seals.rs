//! Checkpoints of the record, and proofs over it.

use axum::http::Method;

use super::super::{
    api, bundle, checkpoint,
    route::{Access, Route},
};
use crate::domain::Deed;

/// How far the record had grown, signed.
pub(super) fn seals() -> Vec<Route> {
    routes! {
        GET  "/history/checkpoints"                      May(Read)        => checkpoint::page_list;
        POST "/history/checkpoints"                      May(KeepRegister)=> checkpoint::page_make;
        POST "/history/checkpoints/keys"                 May(KeepPeople)  => checkpoint::page_take_key;
        POST "/history/checkpoints/witnesses"            May(KeepPeople)  => checkpoint::page_name_witness;
        POST "/history/checkpoints/witnesses/{id}/end"   May(KeepPeople)  => checkpoint::page_end_witness;
        GET  "/history/checkpoints/{size}"               May(Read)        => checkpoint::page_show;
        GET  "/history/checkpoints/{size}/note"          May(Read)        => checkpoint::file_note;
        POST "/history/checkpoints/{size}/note"          May(KeepRegister)=> checkpoint::page_witnessed;
        GET  "/history/bundle"                           May(Export)      => bundle::file_team;
        GET  "/items/{id}/history/bundle"                May(Export)      => bundle::file_item;
        GET  "/jobs/{id}/history/bundle"                 May(Export)      => bundle::file_job;
        GET  "/api/v1/ledger/bundle"                     May(Export)      => bundle::api_bundle;
        GET  "/api/v1/checkpoints"                       May(Read)        => api::checkpoint::api_checkpoints;
        POST "/api/v1/checkpoints"                       May(KeepRegister)=> api::checkpoint::api_make_checkpoint;
        GET  "/api/v1/checkpoints/latest"                May(Read)        => api::checkpoint::api_latest_checkpoint;
        GET  "/api/v1/checkpoints/{size}"                May(Read)        => api::checkpoint::api_checkpoint;
        POST "/api/v1/checkpoints/{size}/signatures"     May(KeepRegister)=> api::checkpoint::api_witness_checkpoint;
        GET  "/api/v1/ledger/inclusion"                  May(Read)        => api::checkpoint::api_prove_inclusion;
        GET  "/api/v1/ledger/consistency"                May(Read)        => api::checkpoint::api_prove_consistency;
        GET  "/api/v1/ledger/keys"                       May(Read)        => api::checkpoint::api_ledger_keys;
        POST "/api/v1/ledger/keys"                       May(KeepPeople)  => api::checkpoint::api_take_ledger_key;
        GET  "/api/v1/ledger/witnesses"                  May(Read)        => api::checkpoint::api_witnesses;
        POST "/api/v1/ledger/witnesses"                  May(KeepPeople)  => api::checkpoint::api_name_witness;
        POST "/api/v1/ledger/witnesses/{id}/end"         May(KeepPeople)  => api::checkpoint::api_end_witness;
    }
}
