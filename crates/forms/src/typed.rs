//! Between what a person types into a field and what stands in the text.

use finding::Path;

use crate::error::{EditError, shortened};
use crate::node::{Content, Node, Scalar};
use crate::schema::Kind;

/// What was typed, with the line ends of TOML: pages send CRLF.
pub(crate) fn normal(typed: &str) -> String {
    typed.replace("\r\n", "\n").replace('\r', "\n")
}

/// What is written down, as a person would type it.
pub(crate) fn shown(node: &Node) -> String {
    match &node.content {
        Content::Scalar(scalar) => scalar.typed(),
        Content::List(items) => items.iter().map(item).collect::<Vec<_>>().join(", "),
        Content::Table(_) => toml_of(node),
    }
}

/// An item of a list; in quotes where it would otherwise fall apart.
fn item(node: &Node) -> String {
    let Content::Scalar(scalar) = &node.content else {
        return toml_of(node);
    };
    let text = scalar.typed();
    let is_plain = !text.is_empty()
        && text.trim() == text
        && !text.contains([',', '\n', '\r'])
        && !text.starts_with('"');
    if is_plain { text } else { format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\"")) }
}

/// The items of a typed list: commas or line ends between them, quotes around those that hold such.
fn items(typed: &str) -> Vec<String> {
    let mut items = Vec::new();
    let mut letters = typed.chars().peekable();
    while let Some(first) = letters.peek().copied() {
        if first.is_whitespace() || first == ',' {
            letters.next();
            continue;
        }
        let mut text = String::new();
        if first == '"' {
            letters.next();
            while let Some(letter) = letters.next() {
                match letter {
                    '"' => break,
                    '\\' => text.extend(letters.next()),
                    other => text.push(other),
                }
            }
            // What stands behind the quotes up to the next comma is no item of its own.
            text.extend(
                std::iter::from_fn(|| letters.next_if(|letter| !matches!(letter, ',' | '\n')))
                    .filter(|c| !c.is_whitespace()),
            );
            items.push(text);
        } else {
            text.extend(std::iter::from_fn(|| letters.next_if(|letter| !matches!(letter, ',' | '\n'))));
            items.push(text.trim().to_owned());
        }
    }
    items
}

/// Whether a node is written in the way of a kind, so that typing the same again changes nothing.
pub(crate) fn fits(kind: &Kind, node: &Node) -> bool {
    match (kind, &node.content) {
        (Kind::Several { of, is_one_enough }, content) => match content {
            Content::List(items) => items.iter().all(|item| fits(of, item)),
            _ => *is_one_enough && fits(of, node),
        },
        (Kind::Whole { .. }, Content::Scalar(Scalar::Whole(_)))
        | (Kind::Number, Content::Scalar(Scalar::Whole(_) | Scalar::Number(_)))
        | (Kind::Flag, Content::Scalar(Scalar::Flag(_))) => true,
        (Kind::Whole { .. } | Kind::Number | Kind::Flag, _) => false,
        (_, content) => matches!(content, Content::Scalar(Scalar::Text(_))),
    }
}

/// What was typed, as TOML; none where nothing was typed.
///
/// # Errors
/// What cannot be written in the kind at all. What can be written and is wrong (a unit, a word, a range) is for the reader to say.
pub(crate) fn to_toml(kind: &Kind, typed: &str, path: &Path) -> Result<Option<String>, EditError> {
    if typed.trim().is_empty() {
        return Ok(None);
    }
    let Kind::Several { of, is_one_enough } = kind else {
        return one(kind, typed, path).map(Some);
    };
    let items = items(typed).iter().map(|item| one(of, item, path)).collect::<Result<Vec<_>, _>>()?;
    Ok(match items.as_slice() {
        [] => None,
        [single] if *is_one_enough => Some(single.clone()),
        several => Some(format!("[{}]", several.join(", "))),
    })
}

fn one(kind: &Kind, typed: &str, path: &Path) -> Result<String, EditError> {
    let trimmed = typed.trim();
    let refuse =
        |wanted: String| EditError::WrongKind { path: path.clone(), typed: shortened(trimmed), wanted };
    match kind {
        Kind::Text { .. } | Kind::LongText | Kind::Several { .. } => Ok(quoted(typed)),
        Kind::Name | Kind::Quantity { .. } | Kind::Reading { .. } | Kind::Choice(_) => Ok(quoted(trimmed)),
        Kind::Whole { least, most } => {
            let range = match (least, most) {
                (Some(least), Some(most)) => format!("a whole number from {least} to {most}"),
                (Some(least), None) => format!("a whole number from {least}"),
                (None, Some(most)) => format!("a whole number up to {most}"),
                (None, None) => "a whole number".to_owned(),
            };
            trimmed.parse::<i64>().map(|number| number.to_string()).map_err(|_| refuse(range))
        }
        Kind::Number => {
            let number = trimmed.parse::<f64>().ok().filter(|number| number.is_finite());
            let number = number.ok_or_else(|| refuse("a number like 12 or 0.87".to_owned()))?;
            // As typed where TOML allows it: 0.870 tells more than 0.87.
            let is_toml = toml::de::DeValue::parse(trimmed).is_ok();
            Ok(if is_toml { trimmed.to_owned() } else { toml::Value::Float(number).to_string() })
        }
        Kind::Flag => match trimmed.to_lowercase().as_str() {
            "yes" | "true" | "on" => Ok("true".to_owned()),
            "no" | "false" | "off" => Ok("false".to_owned()),
            _ => Err(refuse("yes or no".to_owned())),
        },
    }
}

/// A text as TOML.
pub(crate) fn quoted(text: &str) -> String {
    toml::Value::from(text).to_string()
}

/// A key as TOML: bare where that is allowed.
pub(crate) fn key_text(key: &str) -> String {
    let is_bare = !key.is_empty() && key.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '-' | '_'));
    if is_bare {
        return key.to_owned();
    }
    // A key may not be a multi-line string.
    let mut text = String::from("\"");
    for letter in key.chars() {
        match letter {
            '"' | '\\' => text.extend(['\\', letter]),
            letter if letter.is_control() => text += &format!("\\u{:04X}", u32::from(letter)),
            letter => text.push(letter),
        }
    }
    text + "\""
}

/// A part of a tree as a TOML value on one line (texts of several lines excepted).
pub(crate) fn toml_of(node: &Node) -> String {
    match &node.content {
        Content::Scalar(Scalar::Text(text)) => quoted(text),
        Content::Scalar(Scalar::Flag(flag)) => flag.to_string(),
        Content::Scalar(Scalar::Whole(digits) | Scalar::Number(digits) | Scalar::Moment(digits)) => {
            digits.clone()
        }
        Content::List(items) => format!("[{}]", items.iter().map(toml_of).collect::<Vec<_>>().join(", ")),
        Content::Table(members) if members.is_empty() => "{}".to_owned(),
        Content::Table(members) => {
            let members: Vec<String> = members
                .iter()
                .map(|member| format!("{} = {}", key_text(&member.key), toml_of(&member.node)))
                .collect();
            format!("{{ {} }}", members.join(", "))
        }
    }
}
