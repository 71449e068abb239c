//! Just enough of a reader of HTML to check pages: elements with their attributes, in order, and whether they
//! close.
//!
//! Source: the HTML standard's lists of void elements and of raw text elements.

/// One start tag.
#[derive(Debug, Clone)]
pub(crate) struct Element {
    pub(crate) name: String,
    pub(crate) attributes: Vec<(String, String)>,
    /// How many elements it lies in.
    pub(crate) depth: usize,
    /// Whether a label with words is around it.
    pub(crate) is_in_label: bool,
    /// The text directly and indirectly in it.
    pub(crate) text: String,
}

impl Element {
    pub(crate) fn attribute(&self, name: &str) -> Option<&str> {
        self.attributes.iter().find(|(known, _)| known == name).map(|(_, value)| value.as_str())
    }
}

const VOID: [&str; 14] = [
    "area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr",
    "!doctype",
];

/// The elements of a page in their order. Fails where tags do not match.
#[track_caller]
pub(crate) fn elements(page: &str) -> Vec<Element> {
    let mut found: Vec<Element> = Vec::new();
    let mut open: Vec<usize> = Vec::new();
    let mut rest = page;
    while let Some(at) = rest.find('<') {
        let (text, tag) = rest.split_at(at);
        for index in &open {
            found[*index].text.push_str(&unescaped(text));
        }
        if let Some(after) = tag.strip_prefix("</") {
            let (name, after) = after.split_once('>').unwrap();
            let last = open.pop().unwrap_or_else(|| panic!("</{name}> closes nothing"));
            assert_eq!(found[last].name, name, "</{name}> closes <{}>", found[last].name);
            rest = after;
            continue;
        }
        let (head, after) = tag_head(&tag[1..]);
        let (name, attributes) = head;
        // Shapes within a drawing may close themselves.
        let is_closed = tag[..tag.len() - after.len()].ends_with("/>");
        let is_void = is_closed || VOID.contains(&name.to_ascii_lowercase().as_str());
        let is_in_label =
            open.iter().any(|index| found[*index].name == "label" && !found[*index].text.trim().is_empty());
        found.push(Element {
            name: name.clone(),
            attributes,
            depth: open.len(),
            is_in_label,
            text: String::new(),
        });
        if !is_void {
            open.push(found.len() - 1);
        }
        rest = after;
        if matches!(name.as_str(), "style" | "script") {
            let end = format!("</{name}");
            rest = &rest[rest.find(&end).unwrap()..];
        }
    }
    assert!(
        open.is_empty(),
        "these never close: {:?}",
        open.iter().map(|index| &found[*index].name).collect::<Vec<_>>()
    );
    found
}

type Head = (String, Vec<(String, String)>);

/// Name and attributes of a tag, and what follows it.
fn tag_head(tag: &str) -> (Head, &str) {
    let end = tag.find(|c: char| c.is_whitespace() || c == '>' || c == '/').unwrap();
    let (name, mut rest) = tag.split_at(end);
    let mut attributes = Vec::new();
    loop {
        rest = rest.trim_start_matches(|c: char| c.is_whitespace() || c == '/');
        if let Some(after) = rest.strip_prefix('>') {
            return ((name.to_owned(), attributes), after);
        }
        let end = rest.find(|c: char| c.is_whitespace() || matches!(c, '=' | '>')).unwrap();
        let (key, after) = rest.split_at(end);
        rest = after;
        let value = match rest.strip_prefix("=\"") {
            Some(quoted) => {
                let (value, after) = quoted.split_once('"').unwrap();
                rest = after;
                unescaped(value)
            }
            None => {
                assert!(!rest.starts_with('='), "the attribute {key} is not quoted");
                String::new()
            }
        };
        attributes.push((key.to_owned(), value));
    }
}

fn unescaped(text: &str) -> String {
    text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&amp;", "&")
}

/// What every page must be: readable by machines, runnable by nobody, with a name for everything that is
/// touched.
#[track_caller]
pub(crate) fn check_page(address: &str, page: &str) -> Vec<Element> {
    let all = elements(page);
    let named = |name: &str| all.iter().filter(|element| element.name == name).collect::<Vec<_>>();

    // Nothing in the page itself can run, and nothing is fetched from elsewhere.
    for element in &all {
        for (key, value) in &element.attributes {
            assert!(!key.starts_with("on"), "{address}: <{}> has a handler {key}", element.name);
            assert!(key != "style", "{address}: <{}> has a style of its own", element.name);
            if matches!(key.as_str(), "href" | "src" | "action" | "formaction") {
                assert!(
                    value.starts_with('/') && !value.starts_with("//") || value.starts_with('#'),
                    "{address}: {key} leads to {value}"
                );
            }
        }
    }
    assert!(
        named("script").iter().all(|script| script.attribute("src").is_some()),
        "{address}: a script in the page"
    );

    // Landmarks and headings.
    assert_eq!(named("main").len(), 1, "{address}: one main part");
    assert_eq!(named("h1").len(), 1, "{address}: one heading of the page");
    let mut deepest = 0;
    for element in all.iter().filter(|element| element.name.len() == 2 && element.name.starts_with('h')) {
        let Some(level) = element.name[1..].parse::<u8>().ok() else { continue };
        assert!(level <= deepest + 1, "{address}: <{}> {:?} skips a level", element.name, element.text);
        deepest = level;
    }
    let html = &named("html")[0];
    assert_eq!(html.attribute("lang"), Some("en"), "{address}");

    // Ids are there once, and whatever refers to one finds it.
    let mut ids: Vec<&str> = all.iter().filter_map(|element| element.attribute("id")).collect();
    let count = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), count, "{address}: an id is there twice");
    for element in &all {
        for key in ["for", "list", "form", "aria-labelledby", "aria-describedby"] {
            for wanted in element.attribute(key).into_iter().flat_map(str::split_whitespace) {
                assert!(ids.contains(&wanted), "{address}: {key}={wanted} leads nowhere");
            }
        }
        if let Some(wanted) = element.attribute("href").and_then(|href| href.strip_prefix('#')) {
            assert!(ids.contains(&decoded(wanted).as_str()), "{address}: #{wanted} leads nowhere");
        }
    }

    // Whatever is touched has a name.
    for element in &all {
        let is_labelled = || {
            let id = element.attribute("id");
            element.is_in_label
                || named("label")
                    .iter()
                    .any(|label| label.attribute("for") == id && !label.text.trim().is_empty())
                || element.attribute("aria-label").is_some_and(|label| !label.is_empty())
                || element.attribute("aria-labelledby").is_some()
        };
        match element.name.as_str() {
            "input" if element.attribute("type") == Some("hidden") => {}
            "input" | "select" | "textarea" | "audio" | "progress" => {
                assert!(is_labelled(), "{address}: {element:?} has no name");
            }
            "button" | "a" | "summary" => {
                assert!(!element.text.trim().is_empty(), "{address}: {element:?} says nothing");
            }
            "img" => {
                assert!(element.attribute("alt").is_some_and(|alt| !alt.is_empty()), "{address}: {element:?}")
            }
            "svg" => {
                let is_hidden = element.attribute("aria-hidden") == Some("true");
                let is_named = element.attribute("aria-labelledby").is_some()
                    || element.attribute("aria-label").is_some();
                // A drawing within a drawing belongs to it.
                let is_inner = element.attribute("data-frequencies").is_some()
                    || element.attribute("viewBox").is_some() && element.attribute("x").is_some();
                assert!(is_hidden || is_named || is_inner, "{address}: {element:?} has no name");
            }
            _ => {}
        }
    }
    all
}

/// Percent-decoding (RFC 3986, section 2.1).
pub(crate) fn decoded(text: &str) -> String {
    let mut bytes = Vec::new();
    let mut rest = text.as_bytes();
    while let Some((first, after)) = rest.split_first() {
        if *first == b'%' {
            let digits = std::str::from_utf8(&after[..2]).unwrap();
            bytes.push(u8::from_str_radix(digits, 16).unwrap());
            rest = &after[2..];
        } else {
            bytes.push(*first);
            rest = after;
        }
    }
    String::from_utf8(bytes).unwrap()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The reader notices what is wrong: a checker that passes everything would pass bad pages.
    #[test]
    fn mistakes_are_noticed() {
        let good = r#"<!DOCTYPE html><html lang="en"><body><main><h1>a</h1><h2 id="b">b</h2><a href="\#b">c</a></main></body></html>"#.replace("\\#", "#");
        check_page("good", &good);
        for (from, to) in [
            ("<h2 id=\"b\">b</h2>", "<h3 id=\"b\">b</h3>"),
            ("<main>", "<main onclick=\"x\">"),
            ("<main>", "<main style=\"x\">"),
            ("</h1>", "</h2>"),
            ("#b", "#c"),
            ("#b", "http://elsewhere.example/"),
            ("#b", "//elsewhere.example/"),
            (">c</a>", "></a>"),
            ("</main>", "<input id=\"x\"></main>"),
            ("</main>", "<script>x</script></main>"),
            ("</main>", "<p id=\"b\"></p></main>"),
            ("</main>", "<svg></svg></main>"),
            ("</main>", "<img src=\"/x\"></main>"),
        ] {
            let bad = good.replace(from, to);
            assert_ne!(bad, good);
            assert!(
                std::panic::catch_unwind(|| check_page("bad", &bad)).is_err(),
                "{from} → {to} was not noticed"
            );
        }
    }
}
