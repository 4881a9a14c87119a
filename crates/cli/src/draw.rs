//! `jarlight draw`: a finished figure of a cell as SVG, PNG or PDF.

use crate::{
    args::{DrawArgs, LabelsArg, LampArg},
    assets::{self, Assets},
    files,
};
use anyhow::{Context as _, Result, anyhow, bail};
use jarlight_geometry::{
    callout::Side,
    draw::{self, Options, View},
    figure::{self, Figure},
    inset,
    layout::Layout,
    palette::{Role, Theme},
    pdf, png,
    scene::Scene,
    svg::{self, Lamp, Page, Unit},
};
use jarlight_model::{
    authored::parse,
    catalogue::Catalogue,
    design::Design,
    diag::{Code, Diagnostic, closest},
    id::Slug,
    specimen::{Occurrence, Specimen},
    text::{tr, tr_with},
    unit::Severity,
};
use kurbo::{Point, Shape as _};
use std::path::Path;

/// How far the light of the lamp reaches, in millimetres.
const LAMP_REACH: f64 = 110.0;

/// A PNG has this many pixels for each one of the figure, so that small text is sharp.
const PNG_SCALE: f32 = 1.5;

/// What the figure becomes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Svg,
    Png,
    Pdf,
}

/// Draws the figure and writes it.
pub fn run(args: &DrawArgs, assets_dir: Option<&Path>) -> Result<()> {
    let kind = kind(&args.output)?;
    let assets = assets::load(assets_dir).map_err(|found| listed(&found))?;
    let bytes = render(args, kind, &assets)?;
    files::replace(&args.output, &bytes)
        .with_context(|| format!("`{}` cannot be written", args.output.display()))
}

fn kind(path: &Path) -> Result<Kind> {
    let ending = path.extension().and_then(|e| e.to_str()).unwrap_or("").to_ascii_lowercase();
    match ending.as_str() {
        "svg" => Ok(Kind::Svg),
        "png" => Ok(Kind::Png),
        "pdf" => Ok(Kind::Pdf),
        _ => bail!(
            "`{}` must end in .svg, .png or .pdf, which says what the figure becomes",
            path.display()
        ),
    }
}

/// The figure as the bytes of its file.
fn render(args: &DrawArgs, kind: Kind, assets: &Assets) -> Result<Vec<u8>> {
    let catalogue = &assets.catalogue;
    let design = design(&args.design, catalogue)?;
    let specimen = specimen(args, &design, catalogue)?;
    let view = View::parse(&args.view).context("the view is unknown")?;
    let figure = compose(args, catalogue, &design, &specimen, view)?;
    let title = format!("{}: {}", design.name, tr(&format!("figure-title-{}", view.name())));
    let page = Page {
        width: figure.figure.scene.bounds.width(),
        height: figure.figure.scene.bounds.height(),
        title: &title,
        background: Some(Role::Page),
        unit: Unit::Px,
        lamp: figure.lamp(args.lamp),
        names: &|part| catalogue.name_of(part),
    };
    let theme =
        Theme::ALL.into_iter().find(|t| t.name() == args.theme).context("the theme is unknown")?;
    let palette = assets.palettes.theme(theme);
    let scene = &figure.figure.scene;
    Ok(match kind {
        Kind::Svg => svg::write(scene, palette, &page).into_bytes(),
        Kind::Png => png::write(&svg::write(scene, palette, &page), PNG_SCALE)?,
        Kind::Pdf => pdf::write(scene, palette, &page)?,
    })
}

/// The design by its id or from a file.
fn design(named: &str, catalogue: &Catalogue) -> Result<Design> {
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

fn specimen(args: &DrawArgs, design: &Design, catalogue: &Catalogue) -> Result<Specimen> {
    let mut specimen = Specimen { seed: args.seed, ..Specimen::healthy(design.id.clone()) };
    for (id, severity) in &args.conditions {
        let Some(condition) = catalogue.condition(id) else {
            let known: Vec<&str> =
                catalogue.conditions.iter().map(|c| c.id.value.as_str()).collect();
            let near =
                closest(id, known).map_or(String::new(), |n| format!("; did you mean `{n}`?"));
            bail!("no condition has the id `{id}`{near}");
        };
        if condition.overlay.is_empty() {
            let drawn = catalogue.conditions.iter().filter(|c| !c.overlay.is_empty());
            let drawn: Vec<&str> = drawn.map(|c| c.id.value.as_str()).collect();
            bail!("`{id}` has no drawing recipe; those that have one: {}", drawn.join(", "));
        }
        specimen.occurrences.push(Occurrence {
            condition: condition.id.value.clone(),
            severity: Severity::new(*severity)?,
            place: None,
        });
    }
    Ok(specimen)
}

/// A figure with the drawing it was made from.
struct Drawn {
    figure: Figure,
    scene_mm: Scene,
}

impl Drawn {
    /// The lamp in the figure: where glints are densest, at a place, or none.
    fn lamp(&self, lamp: LampArg) -> Option<Lamp> {
        let at_mm = match lamp {
            LampArg::Off => return None,
            // Heights count upward from the floor, drawings downward.
            LampArg::At(x, y) => Point::new(x, -y),
            LampArg::Auto => self.glints()?,
        };
        let corner = self.scene_mm.bounds.origin();
        let at = self.figure.drawing.origin() + (at_mm - corner) * self.figure.px_per_mm;
        Some(Lamp { at, radius: LAMP_REACH * self.figure.px_per_mm })
    }

    /// The middle of all glints.
    fn glints(&self) -> Option<Point> {
        let places: Vec<Point> = self
            .scene_mm
            .prims
            .iter()
            .filter(|p| p.glint.is_some())
            .filter_map(|p| match &p.form {
                jarlight_geometry::scene::Form::Path { path, .. } => {
                    Some(path.bounding_box().center())
                }
                jarlight_geometry::scene::Form::Text(_) => None,
            })
            .collect();
        if places.is_empty() {
            return None;
        }
        let n = places.len() as f64;
        let sum = places.iter().fold(kurbo::Vec2::ZERO, |sum, p| sum + p.to_vec2());
        Some((sum / n).to_point())
    }
}

/// Draws the cell once to learn its size, and again with the textures of that scale.
fn compose(
    args: &DrawArgs,
    catalogue: &Catalogue,
    design: &Design,
    specimen: &Specimen,
    view: View,
) -> Result<Drawn> {
    let scene = |px_per_mm| {
        // A rack of two tiers with eight cells each; a row shows both neighbours.
        let cells = if view == View::Rack { 16 } else { 3 };
        let options = Options { cells, ..Options::default() };
        let request = draw::Request { catalogue, design, specimen, view, px_per_mm, options };
        draw::scene(&request).map_err(|faults| {
            let lines: Vec<String> = faults.into_iter().map(|f| f.message).collect();
            anyhow!("the cell cannot be drawn with these conditions: {}", lines.join("; "))
        })
    };
    let first = scene(2.0)?;
    let title = tr(&format!("figure-title-{}", view.name()));
    let subtitle = subtitle(design, view);
    let caption = caption(specimen, catalogue);
    let labels = match args.labels {
        LabelsArg::Names => figure::Labels::Names,
        LabelsArg::Numbers => figure::Labels::Numbers,
        LabelsArg::None => figure::Labels::None,
    };
    let ask = figure::Ask {
        scene_mm: &first,
        catalogue,
        width_px: 1600.0,
        height_px: height(view),
        title: &title,
        subtitle: &subtitle,
        caption: &caption,
        labels,
        sets: &[],
        text_scale: 1.0,
        scale_bar: view != View::Peeled,
        inset: None,
    };
    let scene_mm = scene(figure::px_per_mm(&ask))?;
    let ask = figure::Ask { scene_mm: &scene_mm, ..ask };
    let bare = figure::compose(&ask);
    let card = match (view, args.labels) {
        (View::Edge, LabelsArg::Names) => card(design, catalogue, card_width(&bare)),
        _ => None,
    };
    if card.is_none() {
        return Ok(Drawn { figure: bare, scene_mm });
    }
    let inset = card.as_ref().map(|(card, at, radius)| figure::Inset {
        scene_mm: card,
        title: "",
        note: "",
        at: *at,
        radius: *radius,
    });
    let figure = figure::compose(&figure::Ask { inset, ..ask });
    Ok(Drawn { figure, scene_mm })
}

/// Height of a figure 1600 pixels wide: what its drawing needs, about, with room for labels.
fn height(view: View) -> f64 {
    match view {
        View::Edge => 1560.0,
        View::Face => 1400.0,
        View::Peeled => 1120.0,
        View::Plan | View::Row | View::Rack => 1010.0,
    }
}

/// The magnifier ends with the labels above it, so that its line crosses none of their words.
fn card_width(figure: &Figure) -> f64 {
    let left = figure.placed.labels.iter().filter(|l| l.side == Side::Left);
    let edge = left.map(|l| l.at.x).fold(0.0, f64::max);
    (edge + 8.0 - figure::MARGIN).clamp(300.0, 460.0)
}

/// The magnifier of the stack order, with the place and radius of its ring in the drawing.
fn card(design: &Design, catalogue: &Catalogue, width: f64) -> Option<(Scene, Point, f64)> {
    let layout = Layout::healthy(design).ok()?;
    let names = |part: &str| catalogue.name_of(part);
    let (title, note) = (tr("figure-detail-title"), tr("figure-detail-note"));
    let words = inset::Words { title: &title, subtitle: &note, names: &names };
    let card = inset::stack_card(&layout, &words, width, 1.0)?;
    let plates = &layout.cells.first()?.plates;
    let (first, third) = (plates.first()?.solid, plates.get(2)?.solid);
    let at = Point::new(f64::midpoint(first.x.0, third.x.1), -(layout.levels.plate_top - 4.0));
    Some((card, at, 0.55 * (third.x.1 - first.x.0)))
}

fn subtitle(design: &Design, view: View) -> String {
    let positives = design.plates.positives;
    let what = tr_with(
        "figure-design",
        &[
            ("design", &design.name),
            ("positives", &positives.to_string()),
            ("negatives", &(positives + 1).to_string()),
        ],
    );
    format!("{what}, {}.", tr(&format!("figure-from-{}", view.name())))
}

fn caption(specimen: &Specimen, catalogue: &Catalogue) -> String {
    let shown: Vec<String> = specimen
        .occurrences
        .iter()
        .filter(|o| o.severity.value() > 0.0)
        .map(|o| {
            let grade = tr(&format!("grade-{}", o.severity.grade().value()));
            let name = catalogue.name_of(&o.condition);
            tr_with("figure-condition", &[("name", &name), ("grade", &grade)])
        })
        .collect();
    if shown.is_empty() {
        tr("figure-healthy")
    } else {
        tr_with("figure-shown", &[("list", &shown.join("; "))])
    }
}

/// Diagnostics as one error text.
pub fn listed(found: &[Diagnostic]) -> anyhow::Error {
    let text: Vec<String> = found.iter().map(ToString::to_string).collect();
    anyhow!("{}", text.join("\n").trim_end().to_owned())
}
