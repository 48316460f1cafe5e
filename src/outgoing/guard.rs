//! To which addresses messages may go: a webhook must not be a way into the network behind the server.
//!
//! The ranges are those of the IANA registries of special-purpose addresses for IPv4 and IPv6 (RFC 6890 and what came
//! after it), from memory. What is not known to be public is refused.

use std::net::{IpAddr, Ipv4Addr, Ipv6Addr};

/// Whether an address is one of the public internet.
pub fn is_public(address: IpAddr) -> bool {
    match address {
        IpAddr::V4(address) => is_public_v4(address),
        IpAddr::V6(address) => is_public_v6(address),
    }
}

/// Whether an address is one that networks of one's own are given: RFC 1918, RFC 6598, RFC 4193. Those of a link alone
/// are not among them: there the machines of a cloud tell their secrets.
pub fn is_private(address: IpAddr) -> bool {
    let address = match address {
        IpAddr::V6(address) => address.to_ipv4_mapped().map_or(address.into(), IpAddr::V4),
        v4 @ IpAddr::V4(_) => v4,
    };
    match address {
        IpAddr::V4(address) => {
            let shared = address.octets()[0] == 100 && (address.octets()[1] & 0xc0) == 64;
            address.is_private() || shared
        }
        IpAddr::V6(address) => address.is_unique_local(),
    }
}

/// Networks that are not public, each with the length of its prefix.
const SPECIAL_V4: [([u8; 4], u32); 15] = [
    ([0, 0, 0, 0], 8),
    ([10, 0, 0, 0], 8),
    ([100, 64, 0, 0], 10),
    ([127, 0, 0, 0], 8),
    ([169, 254, 0, 0], 16),
    ([172, 16, 0, 0], 12),
    ([192, 0, 0, 0], 24),
    ([192, 0, 2, 0], 24),
    ([192, 88, 99, 0], 24),
    ([192, 168, 0, 0], 16),
    ([198, 18, 0, 0], 15),
    ([198, 51, 100, 0], 24),
    ([203, 0, 113, 0], 24),
    ([224, 0, 0, 0], 4),
    ([240, 0, 0, 0], 4),
];

fn is_public_v4(address: Ipv4Addr) -> bool {
    let bits = u32::from(address);
    let within = |(network, length): &([u8; 4], u32)| {
        let shift = 32 - length;
        bits >> shift == u32::from(Ipv4Addr::from(*network)) >> shift
    };
    !SPECIAL_V4.iter().any(within)
}

/// Of `2000::/3`, which alone is given out, what is not public, each with the length of its prefix.
const SPECIAL_V6: [(u128, u32); 4] = [
    // 2001::/23 for protocols, Teredo among them.
    (0x2001 << 112, 23),
    // 2001:db8::/32 and 3fff::/20 for documents.
    (0x2001_0db8 << 96, 32),
    (0x3fff << 112, 20),
    // 2002::/16 wraps IPv4.
    (0x2002 << 112, 16),
];

fn is_public_v6(address: Ipv6Addr) -> bool {
    if let Some(mapped) = address.to_ipv4_mapped() {
        return is_public_v4(mapped);
    }
    let bits = u128::from(address);
    let within = |(network, length): &(u128, u32)| {
        let shift = 128 - length;
        bits >> shift == network >> shift
    };
    within(&(0x2000 << 112, 3)) && !SPECIAL_V6.iter().any(within)
}
