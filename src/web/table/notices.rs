//! Safety notices.

use axum::http::Method;

use super::super::{
    export, notice,
    route::{Access, Route},
};
use crate::domain::Deed;

/// From a notice that is opened to what is closed for each item.
pub(super) fn notices() -> Vec<Route> {
    routes! {
        GET  "/notices"               May(Read)         => notice::page_list;
        GET  "/notices/new"           May(KeepRegister) => notice::page_new;
        POST "/notices"               May(KeepRegister) => notice::page_create;
        GET  "/notices/{id}"          May(Read)         => notice::page_show;
        GET  "/notices/{id}/holders"     May(Read)         => notice::page_holders;
        GET  "/notices/{id}/holders.csv" May(Export)       => export::file_csv;
        POST "/notices/{id}/closings" May(Examine)      => notice::page_close;
        GET  "/notices/{id}/correct"  May(KeepRegister) => notice::page_correct;
        POST "/notices/{id}/correct"  May(KeepRegister) => notice::page_corrected;
        POST "/notices/{id}/withdraw" May(KeepRegister) => notice::page_withdraw;
    }
}
