//! `jarlight check`: every mistake of every file, with its place and the likely fix.
//!
//! The kind of a file is told by its first word, whatever its name.

use crate::{args::CheckArgs, assets, files, out::Out, places, report::Report};
use jarlight_geometry::palette::Palettes;
use jarlight_model::{
    authored::parse,
    catalogue::Catalogue,
    diag::{Checked, Code, Diagnostic, Source, closest},
    photo::{Photo, Pixels},
};
use jarlight_rules::{Case, Cell, Network, Rules};
use jarlight_scenario::{Pages, Scenario};
use std::{io, path::Path};

/// Words that a file can begin with, for messages.
const KINDS: [&str; 13] = [
    "Case",
    "Conditions",
    "Design",
    "Facts",
    "Mechanisms",
    "Pages",
    "PaletteFile",
    "Parts",
    "Photo",
    "Rules",
    "Scenario",
    "Sources",
    "Walks",
];

/// Checks files, prints what was found, and returns the exit code.
pub fn run(args: &CheckArgs, assets_dir: Option<&Path>, out: &mut Out<'_>) -> io::Result<u8> {
    let (paths, mut found) = files::list(&args.paths);
    let mut sources = Vec::new();
    for path in &paths {
        match files::read(path) {
            Ok(source) => sources.push(source),
            Err(d) => found.push(d),
        }
    }
    found.extend(check(&sources, assets_dir));

    let unread = |d: &Diagnostic| matches!(d.code, Code::Unreadable | Code::TooBig);
    let complete = !found.iter().any(unread);
    let report = Report { files: paths.len(), found: &found, complete };
    report.write(args.format, out)?;
    let (errors, warnings) = report.counts();
    Ok(if complete { u8::from(errors > 0 || (warnings > 0 && args.deny_warnings)) } else { 2 })
}

/// Everything wrong with these files, in their order.
fn check(sources: &[Source], assets_dir: Option<&Path>) -> Vec<Diagnostic> {
    let kinds: Vec<Result<String, Vec<Diagnostic>>> = sources.iter().map(kind).collect();
    let of_catalogue = |k: &Result<String, _>| k.as_ref().is_ok_and(|k| Catalogue::is_kind(k));
    let new: Vec<Source> = sources
        .iter()
        .zip(&kinds)
        .filter(|(_, k)| of_catalogue(k))
        .map(|(s, _)| s.clone())
        .collect();
    // The catalogue that the program carries is sound; tests see to that.
    let joined = if new.is_empty() && assets_dir.is_none() {
        Checked { value: Some(Catalogue::builtin().clone()), diagnostics: Vec::new() }
    } else {
        let (base, mut trouble) = assets::sources(assets_dir);
        let mut joined = assets::join(&assets::stand_in(base, new));
        joined.diagnostics.append(&mut trouble);
        joined
    };
    let catalogue = joined.value.unwrap_or_default();

    let mut found = Vec::new();
    for (source, kind) in sources.iter().zip(kinds) {
        let of_file = match kind {
            Err(unknown) => unknown,
            Ok(kind) => match kind.as_str() {
                "Scenario" => scenario(source, &catalogue),
                "Rules" => rules(source),
                "Pages" => Pages::read(source, &catalogue).diagnostics,
                "Case" => case(source, &catalogue),
                "Photo" => photo(source, &catalogue),
                "PaletteFile" => Palettes::read(source).diagnostics,
                _ => {
                    let here = |d: &&Diagnostic| d.file == source.name();
                    joined.diagnostics.iter().filter(here).cloned().collect()
                }
            },
        };
        found.extend(of_file);
    }
    // A file that was not asked about can refer to what a replaced one lacks. That follows from
    // the mistakes of the replaced one, where it has any.
    if !found.iter().any(Diagnostic::is_error) {
        let asked = |d: &&Diagnostic| sources.iter().all(|s| s.name() != d.file);
        found.extend(joined.diagnostics.iter().filter(asked).cloned());
    }
    found
}

/// The first word of a file, when a file can begin with it.
fn kind(source: &Source) -> Result<String, Vec<Diagnostic>> {
    let (root, syntax) = parse(source);
    let start = root.at.start;
    match assets::root_name(&root) {
        Some(name) if KINDS.contains(&name) || Catalogue::is_kind(name) => Ok(name.to_owned()),
        Some(name) => {
            let what = format!("no kind of file begins with `{name}`");
            let at = start..start + name.len();
            let d = Diagnostic::new(Code::UnknownKind, source, at, what);
            Err(vec![match closest(name, KINDS) {
                Some(near) => d.help(format!("did you mean `{near}`?")),
                None => d.help(format!("known kinds: {}", KINDS.join(", "))),
            }])
        }
        // Why there is no first word has been said by the reader.
        None if !syntax.is_empty() => Err(syntax),
        None => {
            let what = "a file begins with the name of its kind, such as Scenario( or Case(";
            let d = Diagnostic::new(Code::UnknownKind, source, start..start + 1, what);
            Err(vec![d.help(format!("known kinds: {}", KINDS.join(", ")))])
        }
    }
}

fn scenario(source: &Source, catalogue: &Catalogue) -> Vec<Diagnostic> {
    Scenario::read_drawn(source, catalogue, &mut |p| places::drawn(p, catalogue)).diagnostics
}

/// A photograph with the picture that lies beside it.
fn photo(source: &Source, catalogue: &Catalogue) -> Vec<Diagnostic> {
    let mut read = Photo::read(source, catalogue);
    if let Some(photo) = &read.value
        && !read.diagnostics.iter().any(|d| d.code == Code::BadPicture)
    {
        let name = &photo.picture.value;
        let beside = Path::new(source.name()).with_file_name(name);
        let size = files::picture(&beside).and_then(|bytes| Pixels::measure(name, &bytes));
        match size {
            Ok((width, height)) => {
                read.diagnostics.extend(photo.check_size(source, width, height));
            }
            Err(why) => read.diagnostics.push(photo.bad_picture(source, &why)),
        }
    }
    jarlight_model::diag::in_file_order(read.diagnostics)
}

fn rules(source: &Source) -> Vec<Diagnostic> {
    let mut read = Rules::read(source);
    if let Some(rules) = &read.value
        && let Err(e) = rules.network()
    {
        let at = 0..source.text().len().min(1);
        read.diagnostics.push(Diagnostic::new(Code::OutOfRange, source, at, e.to_string()));
    }
    read.diagnostics
}

/// A case that says what the cell is belongs to the rules of the catalogue; whether the findings
/// of any other case exist depends on rules that are not known here.
fn case(source: &Source, catalogue: &Catalogue) -> Vec<Diagnostic> {
    let read = Case::read(source);
    let mut found = read.diagnostics;
    if let Some(case) = &read.value
        && (case.design.is_some() || case.alloy.is_some() || case.age_months.is_some())
    {
        match Cell::from_case(case, catalogue) {
            Err(more) => found.extend(more),
            Ok(cell) => {
                if let Ok(network) = Network::from_catalogue(catalogue, &cell)
                    && let Err(more) = case.evidence(&network)
                {
                    found.extend(more);
                }
            }
        }
    }
    jarlight_model::diag::in_file_order(found)
}
