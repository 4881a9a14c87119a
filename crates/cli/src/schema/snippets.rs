//! Snippets for text editors: words, fields, and the ids of the catalogue, offered while typing.
//!
//! The format is the one of `*.code-snippets` files: a name, a prefix, a body with tab stops.

use jarlight_model::{
    authored::{Field, Shape, ShapeFn, Variant, VariantShape, words},
    catalogue::Catalogue,
};
use serde_json::{Map, Value, json};
use std::collections::BTreeSet;

/// All snippets for a kind of file.
pub fn snippets(kind: &str, shape: &Shape, catalogue: &Catalogue) -> Value {
    let mut make = Make { out: Map::new(), seen: BTreeSet::new() };
    if let Shape::Record { doc, fields, .. } = shape {
        make.add(kind, kind, &format!("{kind}{}", block(fields, 1)), &words(doc));
    }
    make.shape(shape);
    let ids = catalogue.parts.iter().map(|p| (p.id.as_str(), p.name.as_str(), "part"));
    let conditions =
        catalogue.conditions.iter().map(|c| (c.id.as_str(), c.name.as_str(), "condition"));
    let causes = catalogue.mechanisms.iter().map(|m| (m.id.as_str(), m.name.as_str(), "cause"));
    let readings = catalogue.quantities.iter().map(|q| (q.id.as_str(), q.name.as_str(), "reading"));
    let facts = catalogue.facts.iter().map(|f| (f.id.as_str(), "", "fact"));
    let designs = catalogue.designs.values().map(|d| (d.id.as_str(), d.name.as_str(), "design"));
    for (id, name, what) in
        ids.chain(conditions).chain(causes).chain(readings).chain(facts).chain(designs)
    {
        let description = if name.is_empty() { what.to_owned() } else { format!("{what}: {name}") };
        make.add(&format!("{what} {id}"), id, &format!("\"{id}\""), &description);
    }
    Value::Object(make.out)
}

struct Make {
    out: Map<String, Value>,
    /// Names of the types that were done.
    seen: BTreeSet<&'static str>,
}

impl Make {
    fn add(&mut self, name: &str, prefix: &str, body: &str, description: &str) {
        let lines: Vec<&str> = body.lines().collect();
        let entry = json!({ "prefix": prefix, "body": lines, "description": description });
        self.out.insert(name.to_owned(), entry);
    }

    fn shape(&mut self, shape: &Shape) {
        match shape {
            Shape::Option(s) | Shape::List(s) | Shape::Map(s) => self.shape(&s()),
            Shape::Tuple(all) | Shape::Any(all) => all.iter().for_each(|s| self.shape(&s())),
            Shape::Record { name, fields, .. } if self.seen.insert(name) => {
                self.fields(name, fields);
            }
            Shape::Enum { name, variants, .. } if self.seen.insert(name) => {
                for variant in variants {
                    self.variant(name, variant);
                }
            }
            _ => {}
        }
    }

    fn fields(&mut self, owner: &str, fields: &[Field]) {
        for field in fields {
            let shape = (field.shape)();
            let body = format!("{}: {},", field.name, hole(&shape, 1));
            self.add(&format!("{owner}.{}", field.name), field.name, &body, &words(field.doc));
            self.shape(&shape);
        }
    }

    fn variant(&mut self, owner: &str, variant: &Variant) {
        let name = format!("{owner}.{}", variant.name);
        let body = match &variant.holds {
            VariantShape::Word => variant.name.to_owned(),
            VariantShape::Values(all) => format!("{}{}", variant.name, values(all, 1)),
            VariantShape::Fields(all) => format!("{}{}", variant.name, block(all, 1)),
        };
        self.add(&name, variant.name, &body, &words(variant.doc));
        match &variant.holds {
            VariantShape::Word => {}
            VariantShape::Values(all) => all.iter().for_each(|s| self.shape(&s())),
            VariantShape::Fields(all) => self.fields(&name, all),
        }
    }
}

/// The needed fields in brackets, one a line, with a tab stop in each.
fn block(fields: &[Field], first: usize) -> String {
    let needed = fields.iter().filter(|f| f.needed).enumerate();
    let lines = needed.map(|(i, f)| format!("\t{}: {},\n", f.name, hole(&(f.shape)(), first + i)));
    let lines: String = lines.collect();
    if lines.is_empty() { "($1)".to_owned() } else { format!("(\n{lines})") }
}

fn values(shapes: &[ShapeFn], first: usize) -> String {
    let all = shapes.iter().enumerate().map(|(i, s)| hole(&s(), first + i));
    format!("({})", all.collect::<Vec<_>>().join(", "))
}

/// A tab stop where a value goes.
fn hole(shape: &Shape, n: usize) -> String {
    match shape {
        Shape::Bool => format!("${{{n}|true,false|}}"),
        Shape::Number | Shape::Whole => format!("${{{n}:1}}"),
        Shape::Text | Shape::Id => format!("\"${n}\""),
        Shape::Option(inner) => hole(&inner(), n),
        Shape::List(_) => format!("[${n}]"),
        Shape::Map(_) => format!("{{${n}\\}}"),
        Shape::Tuple(_) | Shape::Record { .. } => format!("(${n})"),
        Shape::Any(all) => all.first().map_or_else(|| format!("${n}"), |s| hole(&s(), n)),
        Shape::Enum { variants, .. } => {
            let plain = variants.iter().filter(|v| matches!(v.holds, VariantShape::Word));
            let words: Vec<&str> = plain.map(|v| v.name).collect();
            match words.len() == variants.len() {
                true => format!("${{{n}|{}|}}", words.join(",")),
                false => format!("${n}"),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jarlight_model::authored::Authored as _;
    use jarlight_scenario::format;

    #[test]
    fn forms_fields_and_ids_are_offered() {
        let all = snippets("Scenario", &format::Scenario::shape(), Catalogue::builtin());
        let body = |name: &str| {
            let lines = all[name]["body"].as_array().unwrap_or_else(|| panic!("no {name}"));
            lines.iter().map(|l| l.as_str().unwrap()).collect::<Vec<_>>().join("\n")
        };
        assert_eq!(body("Form.Grade"), "Grade(\n\tcondition: \"$1\",\n)");
        assert_eq!(body("Form.NormalOrNot"), "NormalOrNot");
        assert_eq!(body("Scene.view"), "view: ${1|Edge,Face,Plan,Peeled,Row,Rack|},");
        assert_eq!(body("part retainer_mat"), "\"retainer_mat\"");
        assert!(body("Scenario").starts_with("Scenario(\n\tformat: ${1:1},"));
        assert!(all["Form.Grade"]["description"].as_str().unwrap().contains("grades"));
    }
}
