//! How long one frame takes, against the 16.7 ms of a screen at 60 Hz; run by hand and by
//! `./test --long`, noted in docs/measured.md.

#![expect(clippy::unwrap_used, reason = "a measurement that fails has nothing to say")]
#![expect(clippy::print_stdout, reason = "the table is what it is run for")]

use jarlight_app::Trial;
use jarlight_geometry::{
    draw::{Options, Request, View, scene},
    figure::{Ask, Labels, compose},
    scene::{Form, Scene},
    svg::Lamp,
};
use jarlight_model::{
    catalogue::Catalogue,
    design::Design,
    id::Slug,
    specimen::{Occurrence, Specimen},
    unit::Severity,
};
use kurbo::{Affine, PathEl, Point};
use lyon_tessellation::{
    self as lyon, BuffersBuilder, FillTessellator, FillVertex, StrokeTessellator, StrokeVertex,
    VertexBuffers, math::point,
};
use std::{
    hint::black_box,
    time::{Duration, Instant},
};

const FRAME_MS: f64 = 1000.0 / 60.0;

/// Milliseconds, the median of several runs.
fn median(mut act: impl FnMut()) -> f64 {
    let mut taken: Vec<Duration> = (0..15)
        .map(|_| {
            let start = Instant::now();
            act();
            start.elapsed()
        })
        .collect();
    taken.sort_unstable();
    taken[taken.len() / 2].as_secs_f64() * 1e3
}

fn row(what: &str, ms: f64) {
    println!("| {what} | {ms:.2} ms | {:.0} % |", 100.0 * ms / FRAME_MS);
}

fn draw(
    design: &Design,
    specimen: &Specimen,
    view: View,
    px_per_mm: f64,
    options: Options,
) -> Scene {
    let catalogue = Catalogue::builtin();
    scene(&Request { catalogue, design, specimen, view, px_per_mm, options }).unwrap()
}

/// A drawing with names, filling a window of 1280 × 800.
fn labelled(scene_mm: &Scene) -> Scene {
    let ask = Ask {
        scene_mm,
        catalogue: Catalogue::builtin(),
        width_px: 1280.0,
        height_px: 800.0,
        title: "",
        subtitle: "",
        caption: "",
        labels: Labels::Names,
        sets: &[],
        text_scale: 1.0,
        scale_bar: true,
        inset: None,
    };
    compose(&ask).scene
}

/// The same paths through lyon once, with curves and lines of its own: what tessellation costs
/// anybody.
fn through_lyon(scene: &Scene) -> usize {
    let mut fills = FillTessellator::new();
    let mut lines = StrokeTessellator::new();
    let mut out: VertexBuffers<lyon::math::Point, u32> = VertexBuffers::new();
    let at = |p: Point| point(p.x as f32, p.y as f32);
    for prim in &scene.prims {
        let Form::Path { path, fill, stroke } = &prim.form else { continue };
        let mut b = lyon::path::Path::builder();
        let mut open = false;
        for el in path.elements() {
            match *el {
                PathEl::MoveTo(p) => {
                    if open {
                        b.end(false);
                    }
                    b.begin(at(p));
                    open = true;
                }
                PathEl::LineTo(p) => drop(b.line_to(at(p))),
                PathEl::QuadTo(a, p) => drop(b.quadratic_bezier_to(at(a), at(p))),
                PathEl::CurveTo(a, c, p) => drop(b.cubic_bezier_to(at(a), at(c), at(p))),
                PathEl::ClosePath => {
                    b.end(true);
                    open = false;
                }
            }
        }
        if open {
            b.end(false);
        }
        let path = b.build();
        if fill.is_some() {
            let options = lyon::FillOptions::non_zero().with_tolerance(0.12);
            let mut to = BuffersBuilder::new(&mut out, |v: FillVertex<'_>| v.position());
            fills.tessellate_path(&path, &options, &mut to).unwrap();
        }
        if let Some(stroke) = stroke {
            let options = lyon::StrokeOptions::default()
                .with_tolerance(0.12)
                .with_line_width(stroke.width as f32);
            let mut to = BuffersBuilder::new(&mut out, |v: StrokeVertex<'_, '_>| v.position());
            lines.tessellate_path(&path, &options, &mut to).unwrap();
        }
    }
    out.indices.len() / 3
}

/// Rows of one picture: all of it, its parts, and lyon beside it.
fn picture(name: &str, make: &dyn Fn() -> Scene, names: bool) -> f64 {
    let finish = |s: &Scene| if names { labelled(s) } else { s.clone() };
    let mut trial = Trial::default();
    let drawn = make();
    let done = finish(&drawn);
    let anew = median(|| {
        trial.change();
        black_box(trial.frame(&finish(&make()), None));
    });
    row(&format!("{name}: everything anew"), anew);
    row(&format!("{name}: layout and scene"), median(|| drop(black_box(make()))));
    if names {
        row(&format!("{name}: labels"), median(|| drop(black_box(labelled(&drawn)))));
    }
    let meshes = median(|| {
        trial.change();
        black_box(trial.frame(&done, None));
    });
    row(&format!("{name}: triangles"), meshes);
    row(
        &format!("{name}: a frame in which nothing has changed"),
        median(|| {
            black_box(trial.frame(&done, None));
        }),
    );
    let scale = (1280.0 / done.bounds.width()).min(800.0 / done.bounds.height());
    let pixels = done.transformed(Affine::scale(scale));
    let once = median(|| {
        black_box(through_lyon(&pixels));
    });
    row(&format!("{name}: its paths once through lyon"), once);
    println!("| {name}: triangles against lyon | {:.2} times | |", meshes / once);
    let b = done.bounds;
    let picks = median(|| {
        for i in 0..1000_u32 {
            let (u, v) = (f64::from(i % 40) / 40.0, f64::from(i / 40) / 25.0);
            let at = Point::new(b.x0 + u * b.width(), b.y0 + v * b.height());
            black_box(done.pick(at));
        }
    });
    println!("| {name}: one hit test | {:.4} ms | |", picks / 1000.0);
    anew
}

/// The ten conditions that draw the most at their worst, on one cell.
fn worst(design: &Design) -> Specimen {
    let healthy = Specimen::healthy(Slug::parse(&design.id).unwrap());
    let mut heavy: Vec<(usize, Occurrence)> = Catalogue::builtin()
        .conditions
        .iter()
        .map(|c| {
            let severity = Severity::new(1.0).unwrap();
            let one = Occurrence { condition: c.id.value.clone(), severity, place: None };
            let mut cell = healthy.clone();
            cell.occurrences.push(one.clone());
            let drawn = draw(design, &cell, View::Edge, 2.0, Options::default());
            let elements = |p: &jarlight_geometry::scene::Prim| match &p.form {
                Form::Path { path, .. } => path.elements().len(),
                Form::Text(_) => 0,
            };
            (drawn.prims.iter().map(elements).sum(), one)
        })
        .collect();
    heavy.sort_by_key(|(n, o)| (std::cmp::Reverse(*n), o.condition.clone()));
    let ten: Vec<Occurrence> = heavy.into_iter().take(10).map(|(_, o)| o).collect();
    let names: Vec<&str> = ten.iter().map(|o| o.condition.as_str()).collect();
    println!("Worst cell: {}.\n", names.join(", "));
    Specimen { occurrences: ten, ..healthy }
}

fn main() {
    let design = &Catalogue::builtin().designs["medium_pasted"];
    let healthy = Specimen::healthy(Slug::parse(&design.id).unwrap());
    let bad = worst(design);
    println!("| What | Time | Share of a frame |\n|---|---|---|");
    picture("edge view", &|| draw(design, &healthy, View::Edge, 2.0, Options::default()), true);
    let rack = Options { cells: 240, ..Options::default() };
    let far = 0.08;
    picture("rack of 240", &|| draw(design, &healthy, View::Rack, far, rack.clone()), false);
    // The piece of the rack that fills the window at 1.2 pixels a millimetre.
    let near = Options {
        visible: Some(kurbo::Rect::new(4000.0, -660.0, 4000.0 + 1280.0 / 1.2, 0.0)),
        ..rack.clone()
    };
    picture("rack of 240, near", &|| draw(design, &healthy, View::Rack, 1.2, near.clone()), false);
    picture("worst cell", &|| draw(design, &bad, View::Edge, 2.0, Options::default()), false);
    let drawn = draw(design, &bad, View::Edge, 2.0, Options::default());
    let mut trial = Trial::default();
    let mut angle = 0.0_f64;
    row(
        "worst cell: a frame while the lamp moves",
        median(|| {
            angle += 0.21;
            let way = kurbo::Vec2::new(angle.cos(), angle.sin()) * 60.0;
            let lamp = Lamp { at: drawn.bounds.center() + way, radius: 150.0 };
            black_box(trial.frame(&drawn, Some(lamp)));
        }),
    );
}
