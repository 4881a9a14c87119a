//! `jarlight draw`: a finished figure of a cell, or a sheet of pictures, as SVG, PNG or PDF.

mod cell;
mod designs;
mod sheets;

use crate::{
    args::{DrawArgs, LabelsArg, LampArg, ScaleArg, SheetArg},
    assets::{self, Assets},
    files,
};
use anyhow::{Context as _, Result, anyhow, bail};
use jarlight_geometry::{
    callout::Side,
    draw::View,
    figure::{self, Figure},
    inset,
    layout::Layout,
    palette::{Role, Theme},
    pdf, png,
    scene::{Form, Scene},
    sheet::{self, LAMP_REACH, Shot, Window},
    svg::{self, Lamp, Page, Unit},
};
use jarlight_model::{
    catalogue::{Catalogue, LabelSet},
    design::Design,
    diag::Diagnostic,
    specimen::Specimen,
    text::{tr, tr_with},
};
use kurbo::{Affine, Point, Shape as _, Size};
use std::path::Path;

/// A PNG has this many pixels for each one of the figure, so that small text is sharp; one where
/// its size is asked for.
const PNG_SCALE: f32 = 1.5;

/// Pixels to the inch of a figure at scale 1.
const DENSITY: f32 = 96.0;

/// What the figure becomes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Svg,
    Png,
    Pdf,
}

/// Draws what was asked for and writes it.
pub fn run(args: &DrawArgs, assets_dir: Option<&Path>) -> Result<()> {
    let folder = matches!(args.sheet, Some(SheetArg::Designs | SheetArg::Atlas));
    let kind = if folder { Kind::Svg } else { kind(&args.output)? };
    let assets = assets::load(assets_dir).map_err(|found| listed(&found))?;
    match args.sheet {
        Some(SheetArg::Designs) => designs::write(args, &assets),
        Some(SheetArg::Atlas) => sheets::atlas(args, &assets),
        Some(sheet) => save(&args.output, &sheets::render(args, sheet, kind, &assets)?),
        None if args.close_up => save(&args.output, &close_up(args, kind, &assets)?),
        None => save(&args.output, &render(args, kind, &assets)?),
    }
}

fn save(path: &Path, bytes: &[u8]) -> Result<()> {
    files::replace(path, bytes).with_context(|| format!("`{}` cannot be written", path.display()))
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
    let conditions = args.conditions.iter().map(|c| cell::condition(&c.id, catalogue));
    let conditions = conditions.collect::<Result<Vec<_>>>()?;
    let design = cell::design(args, &conditions, catalogue)?;
    let specimen = cell::specimen(args, &design, catalogue)?;
    let view = view(args, View::Edge)?;
    let drawn = compose(args, catalogue, &design, &specimen, view)?;
    let title = format!("{}: {}", design.name, tr(&format!("figure-title-{}", view.name())));
    let lamp = drawn.lamp(args.lamp);
    let output = Output { args, assets, kind, title: &title };
    output.bytes(&drawn.figure.scene, lamp)
}

/// The place where the first condition shows, and nothing else.
fn close_up(args: &DrawArgs, kind: Kind, assets: &Assets) -> Result<Vec<u8>> {
    let catalogue = &assets.catalogue;
    let Some(first) = args.conditions.first().map(|c| c.id.as_str()).or(args.look_alike.as_deref())
    else {
        bail!("a close picture needs a --condition, whose place it shows");
    };
    let condition = cell::condition(first, catalogue)?;
    let design = cell::design(args, &[condition], catalogue)?;
    let specimen = cell::specimen(args, &design, catalogue)?;
    let (w, h) = args.size.unwrap_or((960.0, 720.0));
    let place = args.conditions.first().and_then(|c| c.place.as_deref());
    let window = window(args, assets, &design, condition.id.as_str(), place, w / h)?;
    let size = Size::new(w, h);
    let shot = Shot { catalogue, design: &design, specimen: &specimen, window, size, lamp: None };
    let lamp = lamp_of(&shot, args.lamp)?;
    let scene = sheet::picture(&Shot { lamp, ..shot }).map_err(|f| cell::impossible(&f))?;
    let output = Output { args, assets, kind, title: &design.name };
    output.bytes(&scene, None)
}

/// What a close picture of a condition shows: its frame, or the whole view that was asked for.
fn window(
    args: &DrawArgs,
    assets: &Assets,
    design: &Design,
    condition: &str,
    place: Option<&str>,
    aspect: f64,
) -> Result<Window> {
    let catalogue = &assets.catalogue;
    let condition = cell::condition(condition, catalogue)?;
    let window = match &args.view {
        None => Window::of(catalogue, design, condition, place, args.seed, aspect)
            .map_err(|f| cell::impossible(&f))?,
        Some(_) => {
            let view = view(args, View::Edge)?;
            let healthy = cell::bare(args, design);
            let scene = cell::scene(catalogue, design, &healthy, view, 1.0)?;
            Window::whole(&scene, view, aspect)
        }
    };
    let healthy = cell::bare(args, design);
    let scene = cell::scene(catalogue, design, &healthy, window.view, 1.0)?;
    cell::check_places(&scene, &args.conditions)?;
    Ok(window)
}

/// The lamp of a close picture, in millimetres.
fn lamp_of(shot: &Shot<'_>, typed: LampArg) -> Result<Option<Lamp>> {
    match typed {
        LampArg::Off => Ok(None),
        LampArg::At(x, y) => Ok(Some(Lamp { at: Point::new(x, -y), radius: LAMP_REACH })),
        LampArg::Auto => sheet::lamp(shot).map_err(|f| cell::impossible(&f)),
    }
}

fn view(args: &DrawArgs, usual: View) -> Result<View> {
    match &args.view {
        None => Ok(usual),
        Some(name) => View::parse(name).context("the view is unknown"),
    }
}

/// How a finished scene is written.
struct Output<'a> {
    args: &'a DrawArgs,
    assets: &'a Assets,
    kind: Kind,
    title: &'a str,
}

impl Output<'_> {
    fn bytes(&self, scene: &Scene, lamp: Option<Lamp>) -> Result<Vec<u8>> {
        let theme = Theme::ALL.into_iter().find(|t| t.name() == self.args.theme);
        let palette = self.assets.palettes.theme(theme.context("the theme is unknown")?);
        let true_size = self.args.scale == Some(ScaleArg::True);
        let (unit, per_px) = match (self.kind, true_size) {
            (Kind::Svg | Kind::Pdf, true) => (Unit::Mm, Unit::Mm.per_px()),
            _ => (Unit::Px, 1.0),
        };
        let scaled;
        let scene = if unit == Unit::Mm {
            scaled = scene.transformed(Affine::scale(per_px));
            &scaled
        } else {
            scene
        };
        let page = Page {
            width: scene.bounds.width(),
            height: scene.bounds.height(),
            title: self.title,
            background: Some(Role::Page),
            unit,
            lamp: lamp
                .map(|l| Lamp { at: Affine::scale(per_px) * l.at, radius: l.radius * per_px }),
            names: &|part| self.assets.catalogue.name_of(part),
        };
        Ok(match self.kind {
            Kind::Svg => svg::write(scene, palette, &page).into_bytes(),
            Kind::Png => {
                let scale = if self.args.size.is_some() && self.args.sheet.is_none() {
                    1.0
                } else {
                    PNG_SCALE
                };
                let picture = png::write(&svg::write(scene, palette, &page), scale)?;
                // A reader that prints it at its own size prints it true.
                if true_size { png::at_density(&picture, DENSITY * scale) } else { picture }
            }
            Kind::Pdf => pdf::write(scene, palette, &page)?,
        })
    }
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
                Form::Path { path, .. } => Some(path.bounding_box().center()),
                Form::Text(_) => None,
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
    let scene = |px_per_mm| cell::scene(catalogue, design, specimen, view, px_per_mm);
    let first = scene(2.0)?;
    cell::check_places(&first, &args.conditions)?;
    let title = tr(&format!("figure-title-{}", view.name()));
    let subtitle = subtitle(design, view);
    let mut caption = caption(specimen, catalogue);
    let true_size = args.scale == Some(ScaleArg::True);
    if true_size {
        caption = format!("{caption} {}", tr("figure-true-scale"));
    }
    let (width_px, height_px) = args.size.unwrap_or((1600.0, height(view)));
    let labels = match args.labels {
        LabelsArg::Names => figure::Labels::Names,
        LabelsArg::Numbers => figure::Labels::Numbers,
        LabelsArg::None => figure::Labels::None,
    };
    // A row is drawn for what carries current and weight from cell to cell; the edge view names
    // the rest.
    let sets: &[LabelSet] =
        if view == View::Row { &[LabelSet::Current, LabelSet::Support] } else { &[] };
    let ask = figure::Ask {
        scene_mm: &first,
        catalogue,
        width_px,
        height_px,
        title: &title,
        subtitle: &subtitle,
        caption: &caption,
        labels,
        sets,
        text_scale: f64::from(args.text) / 100.0,
        scale_bar: view != View::Peeled,
        inset: None,
    };
    let ask = if true_size {
        let size = figure::size_at(&ask, 1.0 / Unit::Mm.per_px());
        figure::Ask { width_px: size.width, height_px: size.height, ..ask }
    } else {
        ask
    };
    let scene_mm = scene(figure::px_per_mm(&ask))?;
    let ask = figure::Ask { scene_mm: &scene_mm, ..ask };
    let bare = figure::compose(&ask);
    let card = match (view, args.labels) {
        (View::Edge, LabelsArg::Names) => {
            card(design, catalogue, card_width(&bare), ask.text_scale)
                .filter(|(card, ..)| has_room(&bare, card, ask.text_scale))
        }
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

/// Whether the magnifier leaves as many labels as there are without it.
fn has_room(figure: &Figure, card: &Scene, text_scale: f64) -> bool {
    let left = figure.placed.labels.iter().filter(|l| l.side == Side::Left).count() as f64;
    let head_and_foot = 150.0 * text_scale;
    let room = figure.scene.bounds.height() - head_and_foot - card.bounds.height();
    room >= 40.0 * text_scale * left
}

/// The magnifier ends with the labels above it, so that its line crosses none of their words.
fn card_width(figure: &Figure) -> f64 {
    let left = figure.placed.labels.iter().filter(|l| l.side == Side::Left);
    let edge = left.map(|l| l.at.x).fold(0.0, f64::max);
    (edge + 8.0 - figure::MARGIN).clamp(300.0, 460.0)
}

/// The magnifier of the stack order, with the place and radius of its ring in the drawing.
fn card(
    design: &Design,
    catalogue: &Catalogue,
    width: f64,
    text_scale: f64,
) -> Option<(Scene, Point, f64)> {
    let layout = Layout::healthy(design).ok()?;
    let names = |part: &str| catalogue.name_of(part);
    let (title, note) = (tr("figure-detail-title"), tr(inset::note_id(design)));
    let words = inset::Words { title: &title, subtitle: &note, names: &names };
    let card = inset::stack_card(&layout, &words, width, text_scale)?;
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
