//! The cell that is drawn, from words to a design and a specimen.

use super::listed;
use crate::{
    args::{ConditionArg, DrawArgs},
    assets, files,
};
use anyhow::{Result, anyhow, bail};
use jarlight_geometry::{
    draw::{self, Options, View},
    layout::Impossible,
    scene::Scene,
};
use jarlight_model::{
    authored::parse,
    catalogue::{Catalogue, Condition},
    design::Design,
    diag::{Code, Diagnostic, closest},
    id::Slug,
    specimen::{Occurrence, Specimen},
    unit::Severity,
};
use std::path::Path;

/// The design that is drawn when none is asked for and it has what is drawn.
const USUAL: &str = "medium_pasted";

/// The severity of a comparison when none is given: grade 3.
pub const MODERATE: f64 = 0.6;

/// The design that was asked for, or one that has everything that the conditions need.
pub fn design(args: &DrawArgs, conditions: &[&Condition], catalogue: &Catalogue) -> Result<Design> {
    if let Some(named) = &args.design {
        return by_name(named, catalogue);
    }
    let usual = || catalogue.designs.get(USUAL);
    let all = usual().into_iter().chain(catalogue.designs.values());
    let fit = all.clone().find(|d| conditions.iter().all(|c| has(catalogue, d, c)));
    match fit.or_else(|| all.clone().next()) {
        Some(design) => Ok(design.clone()),
        None => bail!("the catalogue has no design"),
    }
}

/// Whether a condition can be on a design: it has one of its parts, and that which its close
/// picture is centred on.
pub fn has(catalogue: &Catalogue, design: &Design, condition: &Condition) -> bool {
    let part = |part: &str| catalogue.has_part(design, part);
    let framed = condition.frame.as_ref().is_none_or(|f| {
        let named = f.on.value.as_str();
        part(named.rsplit_once('-').map_or(named, |(part, _)| part))
    });
    framed && condition.parts.iter().any(|p| part(&p.value))
}

/// The design by its id or from a file.
fn by_name(named: &str, catalogue: &Catalogue) -> Result<Design> {
    if let Some(design) = catalogue.designs.get(named) {
        return Ok(design.clone());
    }
    let path = Path::new(named);
    if !path.exists() && Slug::parse(named).is_ok() && !named.ends_with(".ron") {
        let known: Vec<&str> = catalogue.designs.keys().map(Slug::as_str).collect();
        let d = Diagnostic::without_place(
            Code::UnknownDesign,
            named,
            format!("no design has the id `{named}`, and there is no file of that name"),
        );
        let d = match closest(named, known.iter().copied()) {
            Some(near) => d.help(format!("did you mean `{near}`?")),
            None => d.help(format!("known designs: {}", known.join(", "))),
        };
        return Err(listed(&[d]));
    }
    let source = files::read(path).map_err(|d| listed(&[d]))?;
    let (design, _) = Design::read(&source).into_result().map_err(|found| listed(&found))?;
    let (root, _) = parse(&source);
    let faults = assets::impossible(&source, &root, &design);
    if faults.is_empty() { Ok(design) } else { Err(listed(&faults)) }
}

/// The entry of a condition that can be drawn.
pub fn condition<'a>(id: &str, catalogue: &'a Catalogue) -> Result<&'a Condition> {
    let Some(condition) = catalogue.condition(id) else {
        let known: Vec<&str> = catalogue.conditions.iter().map(|c| c.id.value.as_str()).collect();
        let near = closest(id, known).map_or(String::new(), |n| format!("; did you mean `{n}`?"));
        bail!("no condition has the id `{id}`{near}");
    };
    if condition.overlay.is_empty() {
        let drawn = catalogue.conditions.iter().filter(|c| !c.overlay.is_empty());
        let drawn: Vec<&str> = drawn.map(|c| c.id.value.as_str()).collect();
        bail!("`{id}` has no drawing recipe; those that have one: {}", drawn.join(", "));
    }
    Ok(condition)
}

/// A condition as typed becomes one on the cell.
pub fn occurrence(
    typed: &ConditionArg,
    age: Option<f64>,
    catalogue: &Catalogue,
) -> Result<Occurrence> {
    let condition = condition(&typed.id, catalogue)?;
    let id = &typed.id;
    let severity = match (typed.severity, age) {
        (Some(s), _) => Severity::new(s)?,
        (None, Some(months)) => match condition.growth.severity_after(months, 1.0) {
            Some(s) => s,
            None => bail!("`{id}` does not grow with time, so give its severity: {id}=0.6"),
        },
        (None, None) => bail!("`{id}` needs a severity such as {id}=0.6, or --age in months"),
    };
    Ok(Occurrence { condition: condition.id.value.clone(), severity, place: typed.place.clone() })
}

/// The cell with all conditions that were typed.
pub fn specimen(args: &DrawArgs, design: &Design, catalogue: &Catalogue) -> Result<Specimen> {
    let mut specimen = bare(args, design);
    for typed in &args.conditions {
        specimen.occurrences.push(occurrence(typed, args.age, catalogue)?);
    }
    if let Some(id) = &args.look_alike {
        let condition = condition(id, catalogue)?.id.value.clone();
        let severity = Severity::clamped(MODERATE);
        specimen.occurrences.push(Occurrence { condition, severity, place: None });
    }
    Ok(specimen)
}

/// The healthy cell.
pub fn bare(args: &DrawArgs, design: &Design) -> Specimen {
    let mut specimen = Specimen { seed: args.seed, ..Specimen::healthy(design.id.clone()) };
    if let Some(months) = args.age {
        specimen.age_months = months;
    }
    specimen
}

/// Whether all places that were typed are in the drawing.
pub fn check_places(scene: &Scene, conditions: &[ConditionArg]) -> Result<()> {
    for place in conditions.iter().filter_map(|c| c.place.as_deref()) {
        if scene.find(place).is_none() {
            let known: Vec<String> = scene.targets.iter().map(|t| t.id()).collect();
            let near = closest(place, known.iter().map(String::as_str));
            let near = near.map_or(String::new(), |n| format!("; did you mean `{n}`?"));
            bail!("nothing in this drawing has the id `{place}`{near}");
        }
    }
    Ok(())
}

/// The drawing of a cell.
pub fn scene(
    catalogue: &Catalogue,
    design: &Design,
    specimen: &Specimen,
    view: View,
    px_per_mm: f64,
) -> Result<Scene> {
    // A rack of two tiers with eight cells each; a row shows both neighbours.
    let cells = if view == View::Rack { 16 } else { 3 };
    let options = Options { cells, ..Options::default() };
    let request = draw::Request { catalogue, design, specimen, view, px_per_mm, options };
    draw::scene(&request).map_err(|faults| impossible(&faults))
}

/// Why a cell cannot be drawn.
pub fn impossible(faults: &[Impossible]) -> anyhow::Error {
    let lines: Vec<&str> = faults.iter().map(|f| f.message.as_str()).collect();
    anyhow!("the cell cannot be drawn with these conditions: {}", lines.join("; "))
}
