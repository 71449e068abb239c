//! Small things that many pages say alike: addresses of pages, times, counts.

use finding::{Finding, Severity};
use maud::{Markup, html};
use shop::Moment;

/// The address of a page from its steps, each written so that it stays one step: `/orders/V-0031`.
pub(crate) fn link<'a>(steps: impl IntoIterator<Item = &'a str>) -> String {
    let mut address = String::new();
    for step in steps {
        address.push('/');
        address.push_str(&escaped(step));
    }
    address
}

/// A link to a place of the same page.
pub(crate) fn anchor(id: &str) -> String {
    format!("#{}", escaped(id))
}

/// Percent-encoding of everything but unreserved characters (RFC 3986, section 2.3).
pub(crate) fn escaped(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'.' | b'_' | b'~') {
            escaped.push(char::from(byte));
        } else {
            escaped.push_str(&format!("%{byte:02X}"));
        }
    }
    escaped
}

/// A text of the inner rooms, in which words that stand in a document are put between backticks.
pub(crate) fn prose(text: &str) -> Markup {
    let pieces: Vec<&str> = text.split('`').collect();
    // An odd backtick is a letter like any other.
    if pieces.len().is_multiple_of(2) {
        return html! { (text) };
    }
    html! { @for (index, piece) in pieces.iter().enumerate() { @if index % 2 == 1 { code { (piece) } } @else { (piece) } } }
}

/// A printed quantity with at most three digits, which is as fine as a bench needs: `1.968 W` is `1.97 W`.
pub(crate) fn rounded(quantity: impl std::fmt::Display) -> String {
    let text = quantity.to_string();
    let parsed = text.split_once(' ').and_then(|(number, unit)| Some((number.parse::<f64>().ok()?, unit)));
    let text = parsed
        .map_or(text.clone(), |(number, unit)| format!("{} {unit}", quantities::significant(number, 3)));
    // A true minus sign, and no line break between a number and its unit.
    text.replace('-', "\u{2212}").replace(' ', "\u{a0}")
}

/// A moment as people at the machine write it.
pub(crate) fn time(moment: Moment) -> Markup {
    html! { time { (shop::shown_moment(moment)) } }
}

/// A number of things in words: `1 stop`, `3 stops`.
pub(crate) fn count(number: usize, one: &str, more: &str) -> String {
    if number == 1 { format!("1 {one}") } else { format!("{number} {more}") }
}

/// How many findings there are of each severity that occurs, as words: `1 stop, 2 open questions`.
pub(crate) fn counted(findings: &[Finding]) -> String {
    let words: Vec<String> = Severity::ALL
        .into_iter()
        .filter_map(|severity| {
            let number = findings.iter().filter(|finding| finding.severity == severity).count();
            let words = match severity {
                Severity::Stop => ("stop", "stops"),
                Severity::Rework => ("thing to rework", "things to rework"),
                Severity::Open => ("open question", "open questions"),
                Severity::Note => ("note", "notes"),
            };
            (number > 0).then(|| count(number, words.0, words.1))
        })
        .collect();
    if words.is_empty() { "nothing to mend".to_owned() } else { words.join(", ") }
}

/// A word as a sentence begins.
pub(crate) fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn addresses_keep_their_steps_apart() {
        assert_eq!(link(["orders", "V-0031"]), "/orders/V-0031");
        assert_eq!(link(["orders", "a/b?c#d%", "Käfer+1"]), "/orders/a%2Fb%3Fc%23d%25/K%C3%A4fer%2B1");
        assert_eq!(anchor("field-survey.speaker.#2"), "#field-survey.speaker.%232");
    }

    #[test]
    fn quantities_for_the_bench() {
        assert_eq!(rounded("1.968 W"), "1.97\u{a0}W");
        assert_eq!(rounded("-34.26 dB"), "\u{2212}34.3\u{a0}dB");
        assert_eq!(rounded("777.2 Hz"), "777\u{a0}Hz");
        assert_eq!(rounded("OL"), "OL");
    }

    #[test]
    fn words_of_documents_stand_out_in_prose() {
        assert_eq!(prose("write `a < b`").into_string(), "write <code>a &lt; b</code>");
        assert_eq!(prose("5` wide <").into_string(), "5` wide &lt;");
    }

    #[test]
    fn counts() {
        assert_eq!(count(1, "stop", "stops"), "1 stop");
        assert_eq!(count(0, "stop", "stops"), "0 stops");
        assert_eq!(counted(&[]), "nothing to mend");
        assert_eq!(capital("cold checks"), "Cold checks");
        assert_eq!(capital(""), "");
    }
}
