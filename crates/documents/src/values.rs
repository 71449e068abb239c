//! The values that documents hold: text, numbers, quantities, lists, tables with free keys.

use quantities::{
    Area, Capacitance, Compliance, Current, Duration, ForceFactor, Frequency, Gain, Inductance, Length, Mass,
    MechanicalResistance, MeterReading, Percent, Power, Quantity, Resistance, RotationalSpeed,
    SoundPressureLevel, Speed, Temperature, Voltage, Volume,
};
use serde_json::{Value, json};
use toml::de::DeValue;

use crate::reader::{Node, Read, Reader};
use crate::schema::Definitions;

impl Read for String {
    fn read(node: &Node<'_>, reader: &mut Reader) -> Option<Self> {
        reader.text(node, "text").map(str::to_owned)
    }

    fn schema(_: &mut Definitions) -> Value {
        json!({ "type": "string" })
    }
}

impl Read for bool {
    fn read(node: &Node<'_>, reader: &mut Reader) -> Option<Self> {
        let value = node.value.get_ref().as_bool();
        if value.is_none() {
            reader.wrong_kind(node, "true or false (without quotes)");
        }
        value
    }

    fn schema(_: &mut Definitions) -> Value {
        json!({ "type": "boolean" })
    }
}

/// A whole number from `LEAST` to `MOST`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Bounded<const LEAST: u16, const MOST: u16>(u16);

impl<const LEAST: u16, const MOST: u16> Bounded<LEAST, MOST> {
    /// A checked number.
    #[must_use]
    pub fn new(value: u16) -> Option<Self> {
        (LEAST..=MOST).contains(&value).then_some(Self(value))
    }

    /// The number.
    #[must_use]
    pub fn get(self) -> u16 {
        self.0
    }
}

impl<const LEAST: u16, const MOST: u16> Read for Bounded<LEAST, MOST> {
    fn read(node: &Node<'_>, reader: &mut Reader) -> Option<Self> {
        let DeValue::Integer(integer) = node.value.get_ref() else {
            reader.wrong_kind(node, &format!("a whole number from {LEAST} to {MOST} without quotes"));
            return None;
        };
        let digits = integer.as_str().replace('_', "");
        let value = u16::from_str_radix(&digits, integer.radix()).ok().and_then(Self::new);
        if value.is_none() {
            let shown: String = digits.chars().take(24).collect();
            reader.fault(
                node,
                format!("{shown} is out of range"),
                format!("write a whole number from {LEAST} to {MOST}"),
            );
        }
        value
    }

    fn schema(_: &mut Definitions) -> Value {
        json!({ "type": "integer", "minimum": LEAST, "maximum": MOST })
    }
}

macro_rules! read_quantity {
    ($($kind:ty),+ $(,)?) => { $(
        impl Read for $kind {
            fn read(node: &Node<'_>, reader: &mut Reader) -> Option<Self> {
                read_quantity(node, reader)
            }

            fn schema(_: &mut Definitions) -> Value {
                let units: Vec<String> = <$kind>::UNITS.iter().map(|unit| pattern_escaped(unit.symbol)).collect();
                json!({
                    "type": "string",
                    "description": format!("{} with its unit", <$kind as Quantity>::NAME),
                    "examples": [<$kind as Quantity>::EXAMPLE],
                    "pattern": format!("^ *[-+0-9].*|{}$", units.join("|")),
                })
            }
        }
    )+ };
}

read_quantity!(
    Area,
    Capacitance,
    Compliance,
    Current,
    Duration,
    ForceFactor,
    Frequency,
    Gain,
    Inductance,
    Length,
    Mass,
    MechanicalResistance,
    Percent,
    Power,
    Resistance,
    RotationalSpeed,
    SoundPressureLevel,
    Speed,
    Temperature,
    Voltage,
    Volume,
);

fn read_quantity<Q: Quantity>(node: &Node<'_>, reader: &mut Reader) -> Option<Q> {
    // A bare number gets the same teaching as a string without a unit.
    let bare;
    let text = match node.value.get_ref() {
        DeValue::String(text) => text.as_ref(),
        DeValue::Integer(integer) => integer.as_str(),
        DeValue::Float(float) => {
            bare = float.as_str().to_owned();
            &bare
        }
        _ => {
            reader.wrong_kind(node, &format!("a quantity like \"{}\"", Q::EXAMPLE));
            return None;
        }
    };
    Q::parse(text).map_err(|error| reader.fault(node, error.to_string(), error.help())).ok()
}

fn pattern_escaped(symbol: &str) -> String {
    symbol
        .chars()
        .flat_map(|c| if "\"/.*+$^()[]{}|\\".contains(c) { vec!['\\', c] } else { vec![c] })
        .collect()
}

impl Read for MeterReading {
    fn read(node: &Node<'_>, reader: &mut Reader) -> Option<Self> {
        let text = reader.text(node, "a meter reading like \"7.3 ohm\", \"> 1 Mohm\" or \"OL\"")?;
        MeterReading::parse(text).map_err(|error| reader.fault(node, error.to_string(), error.help())).ok()
    }

    fn schema(_: &mut Definitions) -> Value {
        json!({
            "type": "string",
            "description": "an ohm-meter reading: a resistance, more than or less than one, or OL for no connection",
            "examples": ["7.3 ohm", "> 1 Mohm", "OL"],
        })
    }
}

impl<T: Read> Read for Option<T> {
    fn read(node: &Node<'_>, reader: &mut Reader) -> Option<Self> {
        T::read(node, reader).map(Some)
    }

    fn missing() -> Option<Self> {
        Some(None)
    }

    fn schema(definitions: &mut Definitions) -> Value {
        T::schema(definitions)
    }
}

impl<T: Read> Read for Vec<T> {
    fn read(node: &Node<'_>, reader: &mut Reader) -> Option<Self> {
        let DeValue::Array(array) = node.value.get_ref() else {
            reader.wrong_kind(node, "a list");
            return None;
        };
        let mut items = Vec::with_capacity(array.len());
        let mut is_whole = true;
        for (index, value) in array.iter().enumerate() {
            let path = node.path.join(step_name(value.get_ref(), index));
            reader.remember(path.clone(), value.span());
            match T::read(&Node { value, path }, reader) {
                Some(item) => items.push(item),
                None => is_whole = false,
            }
        }
        is_whole.then_some(items)
    }

    fn missing() -> Option<Self> {
        Some(Vec::new())
    }

    fn schema(definitions: &mut Definitions) -> Value {
        json!({ "type": "array", "items": T::schema(definitions) })
    }
}

/// How a path names an entry of a list: by its `name` where it has one, else by its number from 1.
fn step_name(value: &DeValue<'_>, index: usize) -> String {
    value
        .as_table()
        .and_then(|table| table.get("name"))
        .and_then(|name| name.get_ref().as_str())
        .filter(|name| crate::Name::new(name).is_ok())
        .map_or_else(|| (index + 1).to_string(), str::to_owned)
}

/// One value, or a list of them: `"horn"` or `["horn", "bell"]`.
#[derive(Debug, Clone, PartialEq)]
pub struct OneOrMore<T>(pub Vec<T>);

impl<T: Read> Read for OneOrMore<T> {
    fn read(node: &Node<'_>, reader: &mut Reader) -> Option<Self> {
        if node.value.get_ref().is_array() {
            return Vec::read(node, reader).map(Self);
        }
        T::read(node, reader).map(|one| Self(vec![one]))
    }

    fn schema(definitions: &mut Definitions) -> Value {
        let one = T::schema(definitions);
        json!({ "anyOf": [one, { "type": "array", "items": one }] })
    }
}

/// A table whose keys are free within a kind, in the order of the file: `F0 = "headlight"`.
#[derive(Debug, Clone, PartialEq)]
pub struct Keyed<K, V>(pub Vec<(K, V)>);

impl<K, V> Default for Keyed<K, V> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<K: std::str::FromStr<Err = String>, V: Read> Read for Keyed<K, V> {
    fn read(node: &Node<'_>, reader: &mut Reader) -> Option<Self> {
        let DeValue::Table(table) = node.value.get_ref() else {
            reader.wrong_kind(node, "a table");
            return None;
        };
        let mut entries = Vec::with_capacity(table.len());
        let mut is_whole = true;
        for (key, value) in table {
            let path = node.path.join(key.get_ref());
            reader.remember(path.clone(), key.span().start..value.span().end.max(key.span().end));
            let read_key = key.get_ref().parse::<K>().map_err(|help| {
                reader.fault_at(
                    key.span(),
                    path.clone(),
                    format!("`{}` is not a key of {}", key.get_ref(), node.path),
                    help,
                );
            });
            match (read_key, V::read(&Node { value, path }, reader)) {
                (Ok(key), Some(value)) => entries.push((key, value)),
                _ => is_whole = false,
            }
        }
        is_whole.then_some(Self(entries))
    }

    fn missing() -> Option<Self> {
        Some(Self::default())
    }

    fn schema(definitions: &mut Definitions) -> Value {
        json!({ "type": "object", "additionalProperties": V::schema(definitions) })
    }
}
