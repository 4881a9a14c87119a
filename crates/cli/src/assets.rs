//! The catalogue, designs and palette in use: those of the program, replaced or extended by a
//! folder.
//!
//! A file of the folder replaces the file of the same name that the program carries; any other
//! file is added. An id that then stands twice is an error.

use crate::files;
use jarlight_geometry::{
    layout, overlay,
    palette::{Palettes, Role},
};
use jarlight_model::{
    authored::{Kind, Name, Node, parse},
    catalogue::{Catalogue, builtin_designs, builtin_sources},
    design::Design,
    diag::{Checked, Code, Diagnostic, Source, in_file_order},
};
use std::{
    ops::Range,
    path::{Path, PathBuf},
};

/// What everything else stands on.
pub struct Assets {
    /// The catalogue with its designs.
    pub catalogue: Catalogue,
    /// The colours.
    pub palettes: Palettes,
}

/// Reads the assets in use; any error in them is returned instead, since nothing that stands
/// on them could be trusted.
pub fn load(dir: Option<&Path>) -> Result<Assets, Vec<Diagnostic>> {
    let Some(dir) = dir else {
        return Ok(Assets {
            catalogue: Catalogue::builtin().clone(),
            palettes: Palettes::builtin().clone(),
        });
    };
    let (sources, mut found) = sources(Some(dir));
    let mut read = join(&sources);
    found.append(&mut read.diagnostics);
    let palettes = match palette(dir) {
        None => Some(Palettes::builtin().clone()),
        Some(Err(d)) => {
            found.push(d);
            None
        }
        Some(Ok(source)) => {
            let mut read = Palettes::read(&source);
            found.append(&mut read.diagnostics);
            read.value
        }
    };
    match (read.value, palettes) {
        (Some(catalogue), Some(palettes)) if !found.iter().any(Diagnostic::is_error) => {
            Ok(Assets { catalogue, palettes })
        }
        _ => Err(found),
    }
}

/// The catalogue and design files in use.
pub fn sources(dir: Option<&Path>) -> (Vec<Source>, Vec<Diagnostic>) {
    let mut all = builtin_sources();
    all.extend(builtin_designs());
    let Some(dir) = dir else { return (all, Vec::new()) };
    let parts = [dir.join("catalogue"), dir.join("designs")];
    let sorted = parts.iter().any(|p| p.is_dir());
    let (mut files, mut found): (Vec<PathBuf>, Vec<Diagnostic>) = (Vec::new(), Vec::new());
    let folders = if sorted { parts.to_vec() } else { vec![dir.to_owned()] };
    // A folder with a catalogue need not have designs, but the folder itself must be there.
    for folder in folders.iter().filter(|f| !sorted || f.is_dir()) {
        let (mut more, mut trouble) = files::below(folder);
        files.append(&mut more);
        found.append(&mut trouble);
    }
    let mut new = Vec::new();
    for file in &files {
        match files::read(file) {
            Err(d) => found.push(d),
            // In an unsorted folder other files may lie beside the catalogue.
            Ok(source) if !sorted && !in_catalogue(&source) => {}
            Ok(source) => new.push(source),
        }
    }
    (replace(all, new), found)
}

/// Puts files in the place of those with the same name, and the others at the end.
pub fn replace(base: Vec<Source>, new: Vec<Source>) -> Vec<Source> {
    let mut new: Vec<Option<Source>> = new.into_iter().map(Some).collect();
    let mut all = Vec::new();
    for old in base {
        let same = |n: &&mut Option<Source>| {
            n.as_ref().is_some_and(|n| file_name(n.name()) == file_name(old.name()))
        };
        all.push(new.iter_mut().find(same).and_then(Option::take).unwrap_or(old));
    }
    all.extend(new.into_iter().flatten());
    all
}

/// Like [`replace`], but a file also stands in for one of another name when it holds at least
/// half of its ids: it is a copy that somebody works on, and its ids are not there twice.
pub fn stand_in(base: Vec<Source>, new: Vec<Source>) -> Vec<Source> {
    let copied: Vec<(String, Vec<String>)> = new.iter().filter_map(ids).collect();
    let copy = |old: &Source| {
        let Some((kind, old)) = ids(old) else { return false };
        copied.iter().any(|(of_kind, new)| {
            let same = old.iter().filter(|id| new.contains(id)).count();
            *of_kind == kind && same > 0 && 2 * same >= old.len()
        })
    };
    let named = |old: &Source| new.iter().any(|n| file_name(n.name()) == file_name(old.name()));
    let base = base.into_iter().filter(|old| named(old) || !copy(old)).collect();
    replace(base, new)
}

/// The kind of a file and the ids of its entries.
fn ids(source: &Source) -> Option<(String, Vec<String>)> {
    let (root, _) = parse(source);
    let kind = root_name(&root)?.to_owned();
    let mut all = Vec::new();
    each_record(&root, &mut |fields| {
        for (name, node) in fields {
            if let (true, Kind::Text(id)) = (name.text == "id", &node.kind) {
                all.push(id.clone());
            }
        }
    });
    Some((kind, all))
}

/// Joins catalogue and design files and checks what only the drawing knows: whether a design
/// can be built, and whether the overlay families and materials of the conditions exist.
pub fn join(sources: &[Source]) -> Checked<Catalogue> {
    let mut read = Catalogue::load(sources);
    for source in sources {
        let (root, _) = parse(source);
        if root_name(&root) == Some("Design")
            && let Some(design) = Design::read(source).value
        {
            read.diagnostics.extend(impossible(source, &root, &design));
        }
        // Places of catalogue entries do not say in which file they are, so look here.
        if root_name(&root) == Some("Conditions") {
            recipes(source, &root, &mut read.diagnostics);
        }
    }
    Checked { value: read.value, diagnostics: in_file_order(read.diagnostics) }
}

/// Why a design cannot be built, at the fields that say so.
pub fn impossible(source: &Source, root: &Node, design: &Design) -> Vec<Diagnostic> {
    let mut found: Vec<Diagnostic> = Vec::new();
    for fault in layout::check(design) {
        let at = field(root, fault.field);
        let d = Diagnostic::new(Code::ImpossibleDesign, source, at, fault.message);
        // What fails left and right is one fault.
        if !found.contains(&d) {
            found.push(d);
        }
    }
    found
}

/// Unknown families and materials in the recipes of conditions.
fn recipes(source: &Source, root: &Node, found: &mut Vec<Diagnostic>) {
    each_record(root, &mut |fields| {
        let text = |name: &str| {
            fields.iter().find(|(n, _)| n.text == name).and_then(|(_, node)| match &node.kind {
                Kind::Text(text) => Some((text.as_str(), node.at.clone())),
                _ => None,
            })
        };
        // Only a step of a recipe names a family.
        let Some((family, at)) = text("family") else { return };
        if overlay::family(family).is_none() {
            let what = format!("no overlay family is called `{family}`");
            let known = overlay::FAMILIES.iter().map(|(name, _)| *name);
            let d = Diagnostic::new(Code::UnknownOverlay, source, at, what);
            found.push(d.nearest(family, known));
        }
        if let Some((paint, at)) = text("paint")
            && Role::parse(paint).is_none()
        {
            let what = format!("no material of the palette is called `{paint}`");
            let known = Role::ALL.iter().map(|r| r.name());
            let d = Diagnostic::new(Code::UnknownValue, source, at, what);
            found.push(d.nearest(paint, known));
        }
    });
}

fn each_record(node: &Node, act: &mut impl FnMut(&[(Name, Node)])) {
    match &node.kind {
        Kind::Record(_, fields) => {
            act(fields);
            fields.iter().for_each(|(_, n)| each_record(n, act));
        }
        Kind::List(items) | Kind::Tuple(_, items) => {
            items.iter().for_each(|n| each_record(n, act));
        }
        Kind::Map(pairs) => pairs.iter().for_each(|(_, n)| each_record(n, act)),
        _ => {}
    }
}

/// The place of a field such as `plates.width`, or of the nearest field around it.
fn field(root: &Node, path: &str) -> Range<usize> {
    let mut node = root;
    for name in path.split('.') {
        let Kind::Record(_, fields) = &node.kind else { break };
        let Some((_, next)) = fields.iter().find(|(n, _)| n.text == name) else { break };
        node = next;
    }
    if std::ptr::eq(node, root) { root.at.start..root.at.start + 1 } else { node.at.clone() }
}

/// The word before the first bracket of a file.
pub fn root_name(root: &Node) -> Option<&str> {
    match &root.kind {
        Kind::Record(Some(name), _) | Kind::Tuple(Some(name), _) => Some(&name.text),
        Kind::Word(word) => Some(word),
        _ => None,
    }
}

fn in_catalogue(source: &Source) -> bool {
    root_name(&parse(source).0).is_some_and(Catalogue::is_kind)
}

fn file_name(path: &str) -> &str {
    Path::new(path).file_name().and_then(|n| n.to_str()).unwrap_or(path)
}

fn palette(dir: &Path) -> Option<Result<Source, Diagnostic>> {
    let path = dir.join("theme").join("palette.ron");
    path.exists().then(|| files::read(&path))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_replaces_its_namesake_and_another_one_is_added() {
        let names = |all: &[Source]| all.iter().map(|s| s.name().to_owned()).collect::<Vec<_>>();
        let base = vec![Source::new("assets/a.ron", ""), Source::new("assets/b.ron", "")];
        let new = vec![Source::new("x/c.ron", ""), Source::new("y/a.ron", "")];
        assert_eq!(names(&replace(base, new)), ["y/a.ron", "assets/b.ron", "x/c.ron"]);
    }

    #[test]
    fn a_copy_stands_in_for_its_model_and_a_single_id_does_not() {
        let parts = |name: &str, ids: &[&str]| {
            let list: String = ids.iter().map(|id| format!("(id: \"{id}\"),")).collect();
            Source::new(name, &format!("Parts(format: 1, parts: [{list}])"))
        };
        let base = vec![parts("assets/p.ron", &["a", "b", "c"])];
        let copy = vec![parts("mine.ron", &["a", "b", "x"])];
        let other = vec![parts("other.ron", &["a", "y"])];
        assert_eq!(stand_in(base.clone(), copy.clone()), copy);
        assert_eq!(stand_in(base.clone(), other.clone()), [base, other].concat());
    }

    #[test]
    fn an_impossible_design_points_to_its_field() {
        let all = builtin_designs();
        let medium = all.iter().find(|d| d.name().ends_with("medium_pasted.ron")).unwrap();
        let text = medium.text().replace("width: 215", "width: -215");
        let read = join(&[Source::new("d.ron", &text)]);
        let d = read.diagnostics.iter().find(|d| d.code == Code::ImpossibleDesign).unwrap();
        let p = d.place.as_ref().unwrap();
        assert!(p.excerpt.contains("width: -215"), "{d}");
        assert_eq!(&text[p.range.clone()], "-215");
    }
}
