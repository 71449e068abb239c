//! Secrets: tokens that nobody guesses, the pairing code, and comparing without telling how much was right.

use crate::serve::ServeError;

/// Letters and digits that are told apart at arm's length and when read out: no 0, 1, I, O.
const CODE_ALPHABET: &[u8; 32] = b"23456789ABCDEFGHJKLMNPQRSTUVWXYZ";

/// A pairing code has so many characters of 5 bits each.
const CODE_LENGTH: usize = 6;

/// Random bytes from the operating system.
fn random<const N: usize>() -> Result<[u8; N], ServeError> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).map_err(|cause| ServeError::NoRandomness { cause: cause.to_string() })?;
    Ok(bytes)
}

/// A token of 128 random bits in hexadecimal digits.
///
/// # Errors
/// When the operating system gives no random bytes.
pub(crate) fn token() -> Result<String, ServeError> {
    let bytes = random::<16>()?;
    Ok(bytes.iter().map(|byte| format!("{byte:02x}")).collect())
}

/// A code of 30 random bits that a person types in once.
///
/// # Errors
/// As [`token`].
pub(crate) fn code() -> Result<String, ServeError> {
    let bytes = random::<CODE_LENGTH>()?;
    // 256 is a multiple of 32, so that every character is equally likely.
    Ok(bytes.iter().map(|byte| char::from(CODE_ALPHABET[usize::from(byte % 32)])).collect())
}

/// What a person typed, with what they may add for readability taken out: `k7p-wm3` is `K7PWM3`.
pub(crate) fn code_as_typed(typed: &str) -> String {
    typed.chars().filter(char::is_ascii_alphanumeric).map(|c| c.to_ascii_uppercase()).take(64).collect()
}

/// Whether two secrets are the same; takes as long for a nearly right one as for a wrong one.
pub(crate) fn is_same(one: &str, other: &str) -> bool {
    let (one, other) = (one.as_bytes(), other.as_bytes());
    let difference = one.iter().zip(other).fold(0, |all, (left, right)| all | (left ^ right));
    one.len() == other.len() && difference == 0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tokens_differ_and_codes_are_readable() {
        assert_ne!(token().unwrap(), token().unwrap());
        assert_eq!(token().unwrap().len(), 32);
        let code = code().unwrap();
        assert_eq!(code.len(), CODE_LENGTH);
        assert!(code.bytes().all(|byte| CODE_ALPHABET.contains(&byte)));
    }

    #[test]
    fn codes_may_be_typed_with_hyphens_and_in_small_letters() {
        assert_eq!(code_as_typed(" k7p-wm3\n"), "K7PWM3");
        assert_eq!(code_as_typed(&"x".repeat(1000)).len(), 64);
    }

    #[test]
    fn comparing_secrets() {
        assert!(is_same("abc", "abc"));
        assert!(!is_same("abc", "abd"));
        assert!(!is_same("abc", "ab"));
        assert!(!is_same("", "a"));
    }
}
