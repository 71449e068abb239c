//! The address that a request was sent to, and the one that it came from.
//!
//! What it is: the defence against pages of other sites that point a name of theirs at this machine, or that
//! send forms here behind the reader's back. A request must name this machine by an address that nobody else
//! can own, and whatever changes something must come from a page that was served here.
//! Source: RFC 9110 section 7.2 (Host), the Fetch standard's section on the Origin header (from memory).

use std::net::IpAddr;

use axum::http::{HeaderMap, header};

/// Which names a request may call this machine by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Names {
    /// Its loopback addresses and `localhost`.
    Loopback,
    /// Any address in numbers, and `localhost`: a name could be somebody else's.
    Numbers,
}

/// The `Host` of a request where it is one of ours: `127.0.0.1:8470`. The port must be the one that is served.
pub(crate) fn own_host(headers: &HeaderMap, names: Names, port: u16) -> Option<&str> {
    let mut hosts = headers.get_all(header::HOST).iter();
    let (host, None) = (hosts.next()?.to_str().ok()?, hosts.next()) else { return None };
    let name = match port {
        // Browsers leave the usual port out.
        80 => host.strip_suffix(":80").unwrap_or(host),
        _ => host.strip_suffix(&format!(":{port}"))?,
    };
    let is_localhost = name.eq_ignore_ascii_case("localhost");
    let number = name.strip_prefix('[').and_then(|name| name.strip_suffix(']')).unwrap_or(name);
    let is_own = match (number.parse::<IpAddr>(), names) {
        (Ok(number), Names::Loopback) => number.is_loopback(),
        (Ok(_), Names::Numbers) => true,
        (Err(_), _) => is_localhost,
    };
    is_own.then_some(host)
}

/// Whether a request comes from a page that was served here. Every browser tells where a form was sent from; a
/// request without that is refused.
pub(crate) fn is_from_own_page(headers: &HeaderMap, host: &str) -> bool {
    let mut origins = headers.get_all(header::ORIGIN).iter();
    let (Some(origin), None) = (origins.next(), origins.next()) else { return false };
    origin.to_str().ok().and_then(|origin| origin.strip_prefix("http://")) == Some(host)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn headers(list: &[(&'static str, &str)]) -> HeaderMap {
        let mut headers = HeaderMap::new();
        for (name, value) in list {
            headers.append(*name, value.parse().unwrap());
        }
        headers
    }

    #[track_caller]
    fn check_host(host: &str, loopback: bool, numbers: bool) {
        let headers = headers(&[("host", host)]);
        assert_eq!(own_host(&headers, Names::Loopback, 8470).is_some(), loopback, "{host} on loopback");
        assert_eq!(own_host(&headers, Names::Numbers, 8470).is_some(), numbers, "{host} on the network");
    }

    #[test]
    fn only_addresses_that_nobody_else_can_own() {
        check_host("127.0.0.1:8470", true, true);
        check_host("localhost:8470", true, true);
        check_host("[::1]:8470", true, true);
        check_host("192.168.1.20:8470", false, true);
        check_host("[fe80::1]:8470", false, true);
        check_host("evil.example:8470", false, false);
        check_host("127.0.0.1.evil.example:8470", false, false);
        check_host("localhost.evil.example:8470", false, false);
        check_host("127.0.0.1", false, false);
        check_host("127.0.0.1:80", false, false);
        check_host("127.0.0.1:8470:8470", false, false);
        check_host("", false, false);
    }

    #[test]
    fn two_hosts_or_none_are_no_host() {
        let two = headers(&[("host", "127.0.0.1:8470"), ("host", "evil.example")]);
        assert_eq!(own_host(&two, Names::Loopback, 8470), None);
        assert_eq!(own_host(&HeaderMap::new(), Names::Loopback, 8470), None);
    }

    #[test]
    fn the_usual_port_may_be_left_out() {
        assert!(own_host(&headers(&[("host", "127.0.0.1")]), Names::Loopback, 80).is_some());
        assert!(own_host(&headers(&[("host", "127.0.0.1:80")]), Names::Loopback, 80).is_some());
    }

    #[test]
    fn origins() {
        let is_own = |origin: &str| is_from_own_page(&headers(&[("origin", origin)]), "127.0.0.1:8470");
        assert!(is_own("http://127.0.0.1:8470"));
        assert!(!is_own("https://127.0.0.1:8470"));
        assert!(!is_own("http://localhost:8470"), "another origin in the browser's eyes");
        assert!(!is_own("http://127.0.0.1:8470.evil.example"));
        assert!(!is_own("null"));
        assert!(!is_from_own_page(&HeaderMap::new(), "127.0.0.1:8470"));
        let two = headers(&[("origin", "http://127.0.0.1:8470"), ("origin", "http://evil.example")]);
        assert!(!is_from_own_page(&two, "127.0.0.1:8470"));
    }
}
