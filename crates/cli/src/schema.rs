//! `jarlight schema`: what each kind of file looks like, from the types that read it.

mod json_schema;
mod snippets;
mod view;

use crate::{args::SchemaArgs, assets, draw::listed, files, out::Out};
use anyhow::{Result, bail};
use jarlight_model::{
    authored::{Authored as _, ShapeFn, parse},
    catalogue::Catalogue,
    diag::closest,
    photo::Photo,
};
use jarlight_rules::{Case, Rules};
use jarlight_scenario::{Pages, format};
use std::path::Path;

/// The kinds of files by their first word, sorted.
fn kinds() -> Vec<(&'static str, ShapeFn)> {
    let mut all = Catalogue::shapes();
    all.extend([
        ("Scenario", format::Scenario::shape as ShapeFn),
        ("Case", Case::shape),
        ("Photo", Photo::shape),
        ("Rules", Rules::shape),
        ("Pages", Pages::shape),
    ]);
    all.sort_by_key(|(name, _)| *name);
    all
}

/// Prints the schema of a kind, its snippets, a file as JSON, or the kinds there are.
pub fn run(args: &SchemaArgs, assets_dir: Option<&Path>, out: &mut Out<'_>) -> Result<()> {
    let kinds = kinds();
    if let Some(file) = &args.view {
        let source = files::read(file).map_err(|d| listed(&[d]))?;
        let (root, found) = parse(&source);
        if !found.is_empty() {
            return Err(listed(&found));
        }
        let name = assets::root_name(&root).unwrap_or("");
        let Some((_, shape)) = kinds.iter().find(|(kind, _)| *kind == name) else {
            bail!("no schema describes a file that begins with `{name}`");
        };
        out.line(&format!("{:#}", view::view(&root, &shape())))?;
        return Ok(());
    }
    let Some(wanted) = &args.kind else {
        for (name, _) in &kinds {
            out.line(&name.to_lowercase())?;
        }
        return Ok(());
    };
    let Some((name, shape)) = kinds.iter().find(|(k, _)| k.eq_ignore_ascii_case(wanted)) else {
        let lower: Vec<String> = kinds.iter().map(|(k, _)| k.to_lowercase()).collect();
        let known = lower.iter().map(String::as_str);
        match closest(wanted, known) {
            Some(near) => bail!("there is no kind `{wanted}`; did you mean `{near}`?"),
            None => bail!("there is no kind `{wanted}`; known kinds: {}", lower.join(", ")),
        }
    };
    let json = if args.snippets {
        let assets = assets::load(assets_dir).map_err(|found| listed(&found))?;
        snippets::snippets(name, &shape(), &assets.catalogue)
    } else {
        json_schema::schema(name, &shape())
    };
    out.line(&format!("{json:#}"))?;
    Ok(())
}
