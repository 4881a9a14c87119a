//! A file as JSON: what its schema speaks about.
//!
//! Fields become objects, a word stays a text, and `Word(…)` becomes an object with that one
//! name. What does not fit the shape is kept as it stands, so that the schema refuses it.

use jarlight_model::authored::{Field, Kind, Name, Node, Shape, ShapeFn, Variant, VariantShape};
use serde_json::{Map, Value};

/// The JSON of a value that should have this shape.
pub fn view(node: &Node, shape: &Shape) -> Value {
    match (shape, &node.kind) {
        (Shape::Option(_), Kind::Word(word)) if word == "None" => Value::Null,
        (Shape::Option(inner), Kind::Tuple(Some(name), items))
            if name.text == "Some" && items.len() == 1 =>
        {
            view(&items[0], &inner())
        }
        (Shape::Option(inner), _) => view(node, &inner()),
        (Shape::List(inner), Kind::List(items)) => {
            let shape = inner();
            items.iter().map(|item| view(item, &shape)).collect()
        }
        (Shape::Map(inner), Kind::Map(pairs)) => map(pairs, |value| view(value, &inner())),
        (Shape::Tuple(shapes), Kind::Tuple(None, items) | Kind::List(items)) => list(items, shapes),
        (Shape::Record { fields, .. }, Kind::Record(_, met)) => record(met, fields),
        (Shape::Record { .. }, Kind::Tuple(_, items)) if items.is_empty() => record(&[], &[]),
        (Shape::Enum { variants, .. }, Kind::Record(Some(name), met)) => {
            let inside = match find(variants, name) {
                Some(VariantShape::Fields(fields)) => record(met, fields),
                _ => plain_record(met),
            };
            one(name, inside)
        }
        (Shape::Enum { variants, .. }, Kind::Tuple(Some(name), items)) => {
            let inside = match find(variants, name) {
                Some(VariantShape::Fields(_)) if items.is_empty() => record(&[], &[]),
                Some(VariantShape::Values(shapes)) => match (shapes.as_slice(), items.as_slice()) {
                    ([shape], [item]) => view(item, &shape()),
                    _ => list(items, shapes),
                },
                _ => items.iter().map(plain).collect(),
            };
            one(name, inside)
        }
        (Shape::Any(shapes), _) => {
            let all = shapes.iter().map(|s| s());
            match all.into_iter().find(|shape| suits(node, shape)) {
                Some(shape) => view(node, &shape),
                None => plain(node),
            }
        }
        _ => plain(node),
    }
}

/// Whether a value is written as this shape is; nothing inside is looked at.
fn suits(node: &Node, shape: &Shape) -> bool {
    matches!(
        (shape, &node.kind),
        (Shape::Bool, Kind::Bool(_))
            | (Shape::Number | Shape::Whole, Kind::Number { .. })
            | (Shape::Text | Shape::Id, Kind::Text(_))
            | (Shape::List(_), Kind::List(_))
            | (Shape::Map(_), Kind::Map(_))
            | (Shape::Tuple(_), Kind::Tuple(None, _) | Kind::List(_))
            | (Shape::Record { .. }, Kind::Record(..))
            | (
                Shape::Enum { .. },
                Kind::Word(_) | Kind::Tuple(Some(_), _) | Kind::Record(Some(_), _)
            )
    )
}

fn find<'s>(variants: &'s [Variant], name: &Name) -> Option<&'s VariantShape> {
    variants.iter().find(|v| v.name == name.text).map(|v| &v.holds)
}

fn one(name: &Name, inside: Value) -> Value {
    Value::Object(Map::from_iter([(name.text.clone(), inside)]))
}

fn record(met: &[(Name, Node)], fields: &[Field]) -> Value {
    let value = |name: &Name, node: &Node| match fields.iter().find(|f| f.name == name.text) {
        Some(field) => view(node, &(field.shape)()),
        None => plain(node),
    };
    met.iter().map(|(name, node)| (name.text.clone(), value(name, node))).collect()
}

fn list(items: &[Node], shapes: &[ShapeFn]) -> Value {
    let shape = |i: usize| shapes.get(i).map(|s| s());
    let all = items.iter().enumerate();
    all.map(|(i, item)| shape(i).map_or_else(|| plain(item), |s| view(item, &s))).collect()
}

fn map(pairs: &[(Node, Node)], value: impl Fn(&Node) -> Value) -> Value {
    let key = |node: &Node| match &node.kind {
        Kind::Text(text) => text.clone(),
        _ => plain(node).to_string(),
    };
    pairs.iter().map(|(k, v)| (key(k), value(v))).collect()
}

/// A value of which no shape is known.
fn plain(node: &Node) -> Value {
    match &node.kind {
        Kind::Bad => Value::Null,
        Kind::Bool(b) => Value::Bool(*b),
        Kind::Number { value, whole } => match whole.and_then(|w| i64::try_from(w).ok()) {
            Some(whole) => whole.into(),
            None => (*value).into(),
        },
        Kind::Text(text) | Kind::Word(text) => Value::String(text.clone()),
        Kind::Char(c) => Value::String(c.to_string()),
        Kind::List(items) | Kind::Tuple(None, items) => items.iter().map(plain).collect(),
        Kind::Tuple(Some(name), items) => one(name, items.iter().map(plain).collect()),
        Kind::Map(pairs) => map(pairs, plain),
        Kind::Record(None, fields) => plain_record(fields),
        Kind::Record(Some(name), fields) => one(name, plain_record(fields)),
    }
}

fn plain_record(fields: &[(Name, Node)]) -> Value {
    fields.iter().map(|(name, node)| (name.text.clone(), plain(node))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use jarlight_model::{
        authored::{Authored as _, parse},
        diag::Source,
    };
    use jarlight_scenario::format;
    use serde_json::json;

    #[test]
    fn words_with_values_become_objects_with_one_name() {
        let text = r#"Scenario(format: 1, minutes: 5, scenes: {"a": (design: "d", seed: 3,
            age_months: (12, 24.5), view: Edge, told: {"level_low": 0})}, questions: [
            (id: "q", hint: None, form: NormalOrNot), (why: Some("x"), form: Grade(condition: "c")),
            (form: Order(steps: [], before: [(1, 2)])), (form: Whatever(1))])"#;
        let (root, found) = parse(&Source::new("x", text));
        assert!(found.is_empty());
        let expected = json!({
            "format": 1, "minutes": 5,
            "scenes": { "a": { "design": "d", "seed": 3, "age_months": [12, 24.5],
                "view": "Edge", "told": { "level_low": 0 } } },
            "questions": [
                { "id": "q", "hint": null, "form": "NormalOrNot" },
                { "why": "x", "form": { "Grade": { "condition": "c" } } },
                { "form": { "Order": { "steps": [], "before": [[1, 2]] } } },
                { "form": { "Whatever": [1] } },
            ],
        });
        assert_eq!(view(&root, &format::Scenario::shape()), expected);
    }
}
