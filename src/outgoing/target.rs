//! The address of a webhook: read, and refused where messages may not go.

use std::net::IpAddr;

use hyper::Uri;

use super::guard::{is_private, is_public};
use crate::domain::HookReach;

/// Where a message goes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Target {
    /// Whether it goes over TLS.
    pub is_secure: bool,
    /// The name or the address of the machine, without the brackets of IPv6.
    pub host: String,
    /// The port.
    pub port: u16,
    /// What stands in the header `Host`.
    pub authority: String,
    /// The path with what stands behind the question mark.
    pub path: String,
}

impl Target {
    /// Reads an address; a sentence says what keeps it from being taken.
    ///
    /// # Errors
    /// The sentence.
    pub fn read(text: &str, reach: HookReach) -> Result<Self, String> {
        let given: String = text.chars().take(80).collect();
        let uri: Uri = text.trim().parse().map_err(|_| {
            format!("Write an address such as https://example.org/hook, not \"{given}\".")
        })?;
        if text.contains('#') {
            return Err("Leave out what stands behind the #; it is never sent.".to_owned());
        }
        let is_secure = match uri.scheme_str() {
            Some("https") => true,
            Some("http") if reach == HookReach::Loopback => false,
            _ => {
                return Err(format!(
                    "The address must begin with https://, not \"{given}\"."
                ));
            }
        };
        let authority = uri.authority().map(|one| one.as_str()).unwrap_or_default();
        if authority.contains('@') {
            return Err("Leave out name and password; messages are signed instead.".to_owned());
        }
        let host = uri.host().unwrap_or_default();
        let host = host
            .trim_start_matches('[')
            .trim_end_matches(']')
            .to_owned();
        if host.is_empty() {
            return Err(format!("The address names no machine: \"{given}\"."));
        }
        let target = Self {
            is_secure,
            port: uri.port_u16().unwrap_or(if is_secure { 443 } else { 80 }),
            authority: authority.to_owned(),
            path: uri
                .path_and_query()
                .map_or_else(|| "/".to_owned(), |path| path.as_str().to_owned()),
            host,
        };
        // A name is looked up when a message goes out; an address can be judged now.
        if let Ok(address) = target.host.parse::<IpAddr>() {
            target.may_reach(address, reach)?;
        }
        Ok(target)
    }

    /// Whether a message may go to this machine.
    ///
    /// # Errors
    /// The sentence that says why not.
    pub fn may_reach(&self, address: IpAddr, reach: HookReach) -> Result<(), String> {
        let is_here = match address {
            IpAddr::V4(address) => address.is_loopback(),
            IpAddr::V6(address) => {
                let mapped = address.to_ipv4_mapped();
                address.is_loopback() || mapped.is_some_and(|address| address.is_loopback())
            }
        };
        if !self.is_secure && !is_here {
            return Err(format!(
                "{address} is another machine: only https:// goes there."
            ));
        }
        let may = is_public(address)
            || (reach != HookReach::Public && is_private(address))
            || (reach == HookReach::Loopback && is_here);
        if may {
            return Ok(());
        }
        let what = match reach {
            HookReach::Public => "no public address",
            _ => "no address that messages may go to",
        };
        Err(format!(
            "{address} is {what}. The server's setting ROPELOFT_HOOKS says where they may go."
        ))
    }
}
