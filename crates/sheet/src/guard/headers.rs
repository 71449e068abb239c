//! What every answer tells the browser about what it may do with it.
//!
//! Source: W3C Content Security Policy Level 3; the Fetch standard (`Cross-Origin-Resource-Policy`); the HTML
//! standard (`Cross-Origin-Opener-Policy`), all from memory and tried in one browser engine.

use axum::http::{HeaderName, HeaderValue, header};
use axum::response::Response;
use sha2::{Digest, Sha256};

/// What a page of ours may load: its own style sheet, its own modules, its own pictures and sounds. No script
/// and no style in the page itself, nothing from elsewhere, no frames either way.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; media-src 'self'; \
     connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

const FIXED: [(&str, &str); 6] = [
    ("x-content-type-options", "nosniff"),
    ("x-frame-options", "DENY"),
    // With `no-referrer` browsers would not tell either where a form was sent from.
    ("referrer-policy", "same-origin"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    ("permissions-policy", "camera=(), geolocation=(), microphone=(self), payment=(), usb=()"),
];

/// Puts the headers on an answer. A policy and a rule for caching that it already has are left as they are.
pub(super) fn protect(mut response: Response) -> Response {
    let headers = response.headers_mut();
    for (name, value) in FIXED {
        headers.insert(HeaderName::from_static(name), HeaderValue::from_static(value));
    }
    headers.entry(header::CONTENT_SECURITY_POLICY).or_insert(HeaderValue::from_static(POLICY));
    // Pages hold clients' names: no proxy may keep them, and a browser asks again before it shows them.
    headers.entry(header::CACHE_CONTROL).or_insert(HeaderValue::from_static("private, no-cache"));
    response
}

/// The policy for a page that brings one style element of its own: that very text is allowed, and no other.
pub(crate) fn policy_with_style(style: &str) -> String {
    let seal = base64(&Sha256::digest(style.as_bytes()));
    POLICY.replace("style-src 'self'", &format!("style-src 'self' 'sha256-{seal}'"))
}

/// Base64 with padding (RFC 4648, section 4).
fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for chunk in bytes.chunks(3) {
        let octet = |index: usize| u32::from(chunk.get(index).copied().unwrap_or(0));
        let word = octet(0) << 16 | octet(1) << 8 | octet(2);
        for place in 0..4 {
            let letter = LETTERS[(word >> (18 - 6 * place) & 63) as usize];
            text.push(if place <= chunk.len() { char::from(letter) } else { '=' });
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 4648, section 10.
    #[test]
    fn base64_of_the_standard() {
        let pairs = [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ];
        for (plain, coded) in pairs {
            assert_eq!(base64(plain.as_bytes()), coded);
        }
    }

    #[test]
    fn the_policy_allows_nothing_in_the_page_itself() {
        for loophole in ["unsafe", "data:", "http:", "https:", "*"] {
            assert!(!POLICY.contains(loophole), "{loophole}");
        }
        // SHA-256 of the empty text (FIPS 180-4 example values).
        assert!(
            policy_with_style("")
                .contains("style-src 'self' 'sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU='")
        );
    }
}
