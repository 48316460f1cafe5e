//! Sessions, one's own account, the people of the team, and what goes out to them.

use axum::http::Method;

use super::super::{
    api, digest, errand, hook, name, person,
    route::{Access, Route},
    session, setting, team, token,
};
use crate::domain::Deed;

/// Sessions, one's own account, the people of the team.
pub(super) fn people() -> Vec<Route> {
    routes! {
        GET  "/sign-in"                      Open            => session::page_new;
        POST "/sign-in"                      Open            => session::page_create;
        POST "/sign-out"                     InPerson        => session::page_end;
        GET  "/settings"                     InPerson        => setting::page_show;
        POST "/settings"                     InPerson        => setting::page_save;
        GET  "/settings/password"            InPerson        => setting::page_password;
        POST "/settings/password"            InPerson        => setting::page_change_password;
        GET  "/settings/sessions"            InPerson        => setting::page_sessions;
        POST "/settings/sessions/end"        InPerson        => setting::page_end_session;
        POST "/settings/sessions/end-others" InPerson        => setting::page_end_others;
        GET  "/settings/tokens"              InPerson        => token::page_list;
        POST "/settings/tokens"              InPerson        => token::page_create;
        POST "/settings/tokens/{id}/revoke"  InPerson        => token::page_revoke;
        GET  "/team"                         May(KeepPeople) => team::page_show;
        POST "/team"                         May(KeepPeople) => team::page_revise, within 300;
        GET  "/team/webhooks"                May(KeepPeople) => hook::page_list;
        POST "/team/webhooks"                May(KeepPeople) => hook::page_create;
        GET  "/team/webhooks/{id}"           May(KeepPeople) => hook::page_show;
        POST "/team/webhooks/{id}/on"        May(KeepPeople) => hook::page_switch_on;
        POST "/team/webhooks/{id}/trial"     May(KeepPeople) => hook::page_try_out;
        POST "/team/webhooks/{id}/remove"    May(KeepPeople) => hook::page_remove;
        GET  "/team/outgoing"                May(KeepPeople) => errand::page_list;
        POST "/team/outgoing/{id}/again"     May(KeepPeople) => errand::page_again;
        GET  "/settings/letters"             InPerson        => digest::page_show;
        POST "/settings/letters"             InPerson        => digest::page_save;
        POST "/settings/letters/again"       InPerson        => digest::page_again;
        GET  "/settings/letters/confirm"     InPerson        => digest::page_confirm;
        POST "/settings/letters/confirm"     InPerson        => digest::page_take;
        GET  "/api/v1/team"                  May(Read)       => team::api_show;
        PUT  "/api/v1/team"                  May(KeepPeople) => team::api_revise, within 300;
        GET  "/api/v1/webhooks"              May(KeepPeople) => api::hook::api_hooks;
        POST "/api/v1/webhooks"              May(KeepPeople) => api::hook::api_add_hook;
        POST "/api/v1/webhooks/{id}/trial"   May(KeepPeople) => api::hook::api_try_hook_out;
        POST "/api/v1/webhooks/{id}/on"      May(KeepPeople) => api::hook::api_switch_hook_on;
        DELETE "/api/v1/webhooks/{id}"       May(KeepPeople) => api::hook::api_remove_hook;
        GET  "/people"                       May(KeepPeople) => person::page_list;
        POST "/people"                       May(KeepPeople) => person::page_create;
        GET  "/people/new"                   May(KeepPeople) => person::page_new;
        GET  "/people/names"                 May(KeepPeople) => name::page_show;
        POST "/people/names"                 May(KeepPeople) => name::page_remove;
        GET  "/people/{id}"                  May(KeepPeople) => person::page_show;
        POST "/people/{id}"                  May(KeepPeople) => person::page_revise;
        GET  "/api/v1/me"                    Anyone          => person::api_me;
        GET  "/api/v1/people"                May(KeepPeople) => person::api_list;
        POST "/api/v1/people"                May(KeepPeople) => person::api_create;
        GET  "/api/v1/people/{id}"           May(KeepPeople) => person::api_show;
        PUT  "/api/v1/people/{id}"           May(KeepPeople) => person::api_revise;
        POST "/api/v1/name-removals"         May(KeepPeople) => name::api_remove;
        POST "/people/{id}/password"         May(KeepPeople) => person::page_password;
    }
}
