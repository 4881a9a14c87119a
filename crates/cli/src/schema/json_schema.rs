//! A JSON Schema (draft 2020-12) of the JSON view of a kind of file.

use jarlight_model::authored::{Field, Shape, ShapeFn, Variant, VariantShape, words};
use serde_json::{Map, Value, json};

/// The schema of a kind of file.
pub fn schema(kind: &str, shape: &Shape) -> Value {
    let mut defs = Map::new();
    let root = refer(shape, &mut defs);
    let mut out = json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": format!("urn:jarlight:schema:{}:1", kind.to_lowercase()),
        "title": format!("{kind} file of Jarlight, format 1"),
        "$defs": defs,
    });
    if let (Value::Object(out), Value::Object(root)) = (&mut out, root) {
        out.extend(root);
    }
    out
}

/// The schema of a shape; types with a name go to the definitions once.
fn refer(shape: &Shape, defs: &mut Map<String, Value>) -> Value {
    let all = |shapes: &[ShapeFn], defs: &mut Map<String, Value>| {
        shapes.iter().map(|s| refer(&s(), defs)).collect::<Vec<_>>()
    };
    match shape {
        Shape::Bool => json!({ "type": "boolean" }),
        Shape::Number => json!({ "type": "number" }),
        Shape::Whole => json!({ "type": "integer", "minimum": 0 }),
        Shape::Text => json!({ "type": "string" }),
        Shape::Id => json!({ "type": "string", "pattern": "^[a-z0-9_.]+$" }),
        Shape::Option(inner) => json!({ "anyOf": [refer(&inner(), defs), { "type": "null" }] }),
        Shape::List(inner) => json!({ "type": "array", "items": refer(&inner(), defs) }),
        Shape::Map(inner) => {
            json!({ "type": "object", "additionalProperties": refer(&inner(), defs) })
        }
        Shape::Tuple(items) => tuple(&all(items, defs)),
        Shape::Any(shapes) => json!({ "anyOf": all(shapes, defs) }),
        Shape::Record { name, doc, fields } => {
            define(name, defs, |defs| explained(doc, record(fields, defs)))
        }
        Shape::Enum { name, doc, variants } => define(name, defs, |defs| {
            let any: Vec<Value> = variants.iter().map(|v| variant(v, defs)).collect();
            explained(doc, json!({ "anyOf": any }))
        }),
    }
}

fn define(
    name: &str,
    defs: &mut Map<String, Value>,
    make: impl FnOnce(&mut Map<String, Value>) -> Value,
) -> Value {
    if !defs.contains_key(name) {
        // Stands here first, so that a type that contains itself is met once only.
        defs.insert(name.to_owned(), Value::Null);
        let made = make(defs);
        defs.insert(name.to_owned(), made);
    }
    json!({ "$ref": format!("#/$defs/{name}") })
}

fn variant(variant: &Variant, defs: &mut Map<String, Value>) -> Value {
    let inside = match &variant.holds {
        VariantShape::Word => return explained(variant.doc, json!({ "const": variant.name })),
        VariantShape::Values(values) => match values.as_slice() {
            [one] => refer(&one(), defs),
            several => {
                let items: Vec<Value> = several.iter().map(|s| refer(&s(), defs)).collect();
                tuple(&items)
            }
        },
        VariantShape::Fields(fields) => record(fields, defs),
    };
    let named = json!({
        "type": "object",
        "properties": { variant.name: inside },
        "required": [variant.name],
        "additionalProperties": false,
    });
    explained(variant.doc, named)
}

fn tuple(items: &[Value]) -> Value {
    json!({
        "type": "array",
        "prefixItems": items,
        "minItems": items.len(),
        "maxItems": items.len(),
    })
}

fn record(fields: &[Field], defs: &mut Map<String, Value>) -> Value {
    let mut properties = Map::new();
    for field in fields {
        let inside = explained(field.doc, refer(&(field.shape)(), defs));
        properties.insert(field.name.to_owned(), inside);
    }
    let needed: Vec<&str> = fields.iter().filter(|f| f.needed).map(|f| f.name).collect();
    json!({
        "type": "object",
        "properties": properties,
        "required": needed,
        "additionalProperties": false,
    })
}

fn explained(doc: &str, mut schema: Value) -> Value {
    let text = words(doc);
    if !text.is_empty() {
        schema["description"] = Value::String(text);
    }
    schema
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeMap;

    /// One name must not stand for two types, since the second would be lost.
    fn names(shape: &Shape, known: &mut BTreeMap<&'static str, Vec<&'static str>>) {
        let (name, inside): (_, Vec<(&'static str, Vec<ShapeFn>)>) = match shape {
            Shape::Record { name, fields, .. } => {
                (name, fields.iter().map(|f| (f.name, vec![f.shape])).collect())
            }
            Shape::Enum { name, variants, .. } => {
                let holds = |v: &Variant| match &v.holds {
                    VariantShape::Word => Vec::new(),
                    VariantShape::Values(all) => all.clone(),
                    VariantShape::Fields(all) => all.iter().map(|f| f.shape).collect(),
                };
                (name, variants.iter().map(|v| (v.name, holds(v))).collect())
            }
            Shape::Option(s) | Shape::List(s) | Shape::Map(s) => return names(&s(), known),
            Shape::Tuple(all) | Shape::Any(all) => {
                return all.iter().for_each(|s| names(&s(), known));
            }
            _ => return,
        };
        let members: Vec<&str> = inside.iter().map(|(n, _)| *n).collect();
        if let Some(old) = known.insert(name, members.clone()) {
            assert_eq!(old, members, "two types are called {name}");
            return;
        }
        inside.iter().flat_map(|(_, all)| all).for_each(|s| names(&s(), known));
    }

    #[test]
    fn within_a_kind_each_type_has_a_name_of_its_own() {
        for (kind, shape) in super::super::kinds() {
            let mut known = BTreeMap::new();
            names(&shape(), &mut known);
            assert!(!known.is_empty(), "{kind}");
        }
    }
}
