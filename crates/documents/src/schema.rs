//! JSON Schema (draft 2020-12) from the same declarations that the reader follows.

use serde_json::{Map, Value, json};

use crate::declare::tidy;
use crate::reader::Read;

/// The definitions of a schema under construction: one per record.
#[derive(Debug, Default)]
pub struct Definitions {
    known: Map<String, Value>,
}

impl Definitions {
    /// A reference to a record's schema, which is made on first mention.
    pub fn record(
        &mut self,
        name: &str,
        doc: &str,
        fields: impl FnOnce(&mut Self) -> Vec<(String, Value, bool)>,
    ) -> Value {
        if !self.known.contains_key(name) {
            // Held before the fields are made, so that a record that contains itself ends.
            self.known.insert(name.to_owned(), Value::Null);
            let mut properties = Map::new();
            let mut required = Vec::new();
            for (key, schema, is_required) in fields(self) {
                if is_required {
                    required.push(Value::String(key.clone()));
                }
                properties.insert(key, schema);
            }
            let schema = json!({
                "type": "object",
                "description": tidy(doc),
                "properties": properties,
                "required": required,
                "additionalProperties": false,
            });
            self.known.insert(name.to_owned(), schema);
        }
        json!({ "$ref": format!("#/$defs/{name}") })
    }
}

/// The JSON Schema of a document, with a title.
#[must_use]
pub fn schema<T: Read>(title: &str) -> Value {
    let mut definitions = Definitions::default();
    let root = T::schema(&mut definitions);
    let mut schema = json!({ "$schema": "https://json-schema.org/draft/2020-12/schema", "title": title });
    if let (Some(object), Value::Object(root)) = (schema.as_object_mut(), root) {
        object.extend(root);
        object.insert("$defs".to_owned(), Value::Object(definitions.known));
    }
    schema
}
