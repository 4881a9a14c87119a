//! The pages that instructors read say what the program reads.

use jarlight_model::{
    authored::{Authored as _, Field, Shape, VariantShape},
    catalogue::Catalogue,
    diag::Source,
};
use jarlight_scenario::{Scenario, format};
use std::collections::BTreeSet;

const README: &str = include_str!("../../../scenarios/README.md");
const REFERENCE: &str = include_str!("../../../docs/scenario-files.md");

#[test]
fn the_example_of_the_readme_is_sound() {
    let start = README.find("```ron\n").unwrap() + "```ron\n".len();
    let end = start + README[start..].find("```").unwrap();
    let source = Source::new("README.md", &README[start..end]);
    let read = Scenario::read(&source, Catalogue::builtin());
    let text: String = read.diagnostics.iter().map(ToString::to_string).collect();
    assert!(read.diagnostics.is_empty(), "{text}");
    assert!(read.value.is_some_and(|s| s.questions().len() >= 4));
}

/// Every name that an author can write: fields and words.
fn names(shape: &Shape, out: &mut BTreeSet<&'static str>) {
    let fields = |fields: &[Field], out: &mut BTreeSet<_>| {
        for field in fields {
            out.insert(field.name);
            names(&(field.shape)(), out);
        }
    };
    match shape {
        Shape::Option(inner) | Shape::List(inner) | Shape::Map(inner) => names(&inner(), out),
        Shape::Tuple(items) | Shape::Any(items) => {
            items.iter().for_each(|item| names(&item(), out));
        }
        Shape::Record { fields: all, .. } => fields(all, out),
        Shape::Enum { variants, .. } => {
            for variant in variants {
                out.insert(variant.name);
                match &variant.holds {
                    VariantShape::Word => {}
                    VariantShape::Values(all) => all.iter().for_each(|s| names(&s(), out)),
                    VariantShape::Fields(all) => fields(all, out),
                }
            }
        }
        Shape::Bool | Shape::Number | Shape::Whole | Shape::Text | Shape::Id => {}
    }
}

#[test]
fn the_reference_names_every_field_and_form() {
    let mut all = BTreeSet::new();
    names(&format::Scenario::shape(), &mut all);
    let missing: Vec<_> = all
        .iter()
        .filter(|n| !REFERENCE.contains(&format!("`{n}")) && !REFERENCE.contains(&format!("({n}:")))
        .collect();
    assert!(missing.is_empty(), "not in docs/scenario-files.md: {missing:?}");
    assert!(all.len() > 40);
}
