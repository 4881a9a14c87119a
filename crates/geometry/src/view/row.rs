//! Neighbours in series from the aisle: jars on their rail, spacers, bars, terminal plates.

use crate::{
    draw::{Pen, Request, Shapes, brush, weight},
    layout::{Impossible, Layout},
    overlay::{self, Effects},
    palette::Role,
    scene::{Scene, SceneBuilder, Shade, Stroke, Tone},
    series::{BETWEEN, Run, Series},
    view::edge,
};
use jarlight_model::specimen::Specimen;
use kurbo::{Affine, Point, Rect, Vec2};

/// Room for the terminal plates at both ends.
const END: f64 = 78.0;

/// Draws the row; the middle cell is the specimen, its neighbours are healthy.
pub fn scene(request: &Request<'_>) -> Result<Scene, Vec<Impossible>> {
    let n = request.options.cells.clamp(1, 12) as usize;
    let middle = n / 2;
    // Neighbours are healthy; what a condition says of neighbours is drawn on them too.
    let healthy = request.specimen;
    let first_number = request.options.cell_number.saturating_sub(middle as u32).max(1);
    let mut jars = Vec::new();
    for i in 0..n {
        let specimen = if i == middle { request.specimen } else { healthy };
        let one = sub_request(request, specimen, first_number + i as u32, i != middle);
        jars.push(Layout::build(request.design, &Effects::of(&one).deformation)?);
    }
    let mut series = Series::new(jars, Run::LeftToRight);
    let place = overlay::in_row(request, &mut series, middle);
    let mut phases: [Vec<Scene>; 4] = Default::default();
    let mut bounds = Rect::ZERO;
    for (i, jar) in series.jars.iter().enumerate() {
        let specimen = if i == middle { request.specimen } else { healthy };
        let one = sub_request(request, specimen, first_number + i as u32, i != middle);
        let effects = Effects::of(&one);
        let mut pen = Pen::new(&one, jar, &effects);
        edge::build(&mut pen);
        let marks = pen.marks.clone();
        let mut whole = pen.finish();
        let shift = Affine::translate(Vec2::new(series.x[i], 0.0));
        let own = if i == middle { place } else { Affine::IDENTITY };
        whole = whole.transformed(shift * own);
        bounds = if i == 0 { whole.bounds } else { bounds.union(whole.bounds) };
        split(whole, &marks, &mut phases);
    }
    let d = request.design;
    let width = series.pitch() * n as f64 - BETWEEN - 2.0 * d.jar.wall;
    bounds =
        Rect::new(-d.jar.wall - END, bounds.y0 - 4.0, width + d.jar.wall + END, d.jar.floor + 30.0);
    let mut all = Scene { bounds, ..Scene::default() };
    all.append(rails(&series, bounds));
    let [lower, rear, vents, front] = phases;
    let order = [(lower, None), (rear, Some(false)), (vents, None), (front, Some(true))];
    for (scenes, bars) in order {
        for scene in scenes {
            all.append(scene);
        }
        if let Some(front) = bars {
            all.append(connectors(&series, front));
            all.append(terminals(&series, bounds, front));
        }
    }
    all.append(front_rail(&series, bounds));
    all.bounds = bounds;
    merge_targets(&mut all);
    all.renumber();
    overlay::finish_row(&mut all, request, &series, middle);
    Ok(all)
}

fn sub_request<'a>(
    request: &'a Request<'a>,
    specimen: &'a Specimen,
    number: u32,
    neighbour: bool,
) -> Request<'a> {
    let mut options = request.options.clone();
    options.bars = false;
    options.cell_number = number;
    options.neighbour = neighbour;
    Request {
        catalogue: request.catalogue,
        design: request.design,
        specimen,
        view: crate::draw::View::Edge,
        px_per_mm: request.px_per_mm,
        options,
    }
}

/// Cuts one cell's drawing at its marks, so that bars can come between; every piece keeps all
/// targets, which are joined again afterwards.
fn split(whole: Scene, marks: &[usize], phases: &mut [Vec<Scene>; 4]) {
    let mut cuts = vec![0];
    cuts.extend(marks.iter().take(3).copied());
    cuts.push(whole.prims.len());
    for (k, pair) in cuts.windows(2).enumerate().take(4) {
        phases[k].push(Scene {
            bounds: whole.bounds,
            prims: whole.prims[pair[0]..pair[1]].to_vec(),
            targets: whole.targets.clone(),
        });
    }
}

/// Joins targets that stand for the same thing (same part, same spot) and drops unused ones.
fn merge_targets(scene: &mut Scene) {
    let mut used = vec![false; scene.targets.len()];
    for p in &scene.prims {
        if let Some(t) = p.target {
            used[t as usize] = true;
        }
    }
    let mut kept: Vec<crate::scene::Target> = Vec::new();
    let mut index = vec![0u32; scene.targets.len()];
    for (i, t) in scene.targets.iter().enumerate() {
        let same = kept.iter().position(|k| {
            k.part == t.part && k.number == t.number && (k.spot - t.spot).hypot() < 1e-6
        });
        index[i] = match same {
            Some(k) => k as u32,
            None if used[i] => {
                kept.push(t.clone());
                kept.len() as u32 - 1
            }
            None => {
                // Used by a later piece only: keep it, so that its order stays from the left.
                let later = scene.targets[i + 1..].iter().enumerate().any(|(k, o)| {
                    used[i + 1 + k]
                        && o.part == t.part
                        && o.number == t.number
                        && (o.spot - t.spot).hypot() < 1e-6
                });
                if later {
                    kept.push(t.clone());
                }
                kept.len().saturating_sub(1) as u32
            }
        };
    }
    for p in &mut scene.prims {
        p.target = p.target.map(|t| index[t as usize]);
    }
    scene.targets = kept;
}

/// The rail under the jars, its cover, the spacers between them and the end rails.
fn rails(series: &Series, bounds: Rect) -> Scene {
    let mut out = SceneBuilder::new(bounds);
    let Some(jar) = series.jars.first() else { return out.finish() };
    let floor = jar.design.jar.floor;
    let (a, b) = (bounds.x0 + 24.0, bounds.x1 - 24.0);
    out.begin("rail_insulator", Point::new(a + 26.0, floor + 1.5));
    let cover = brush::rounded(a + 14.0, floor, b - 14.0, floor + 3.0, 1.0);
    out.solid(cover, brush::down(Role::RailCover, floor, floor + 3.0), Role::RailCover, 0.8);
    out.begin("rack_rail", Point::new(a + 8.0, floor + 10.0));
    let rail = brush::rounded(a, floor + 3.0, b, floor + 17.0, 1.5);
    out.solid(rail, brush::down(Role::Rack, floor + 3.0, floor + 17.0), Role::Rack, 1.2);
    let height = jar.levels.cover_under;
    let wall = jar.design.jar.wall;
    let mut at: Vec<f64> = series.x.clone();
    at.sort_by(f64::total_cmp);
    for x in at.iter().skip(1) {
        let mid = x - wall - BETWEEN / 2.0;
        out.begin("seismic_spacer", Point::new(mid, -0.5 * height));
        let sheet = brush::rect(mid - 3.2, -0.82 * height, mid + 3.2, -0.18 * height);
        let fill = brush::across(Role::RailCover, mid - 3.2, mid + 3.2);
        out.solid(sheet, fill, Role::RailCover, 0.8);
    }
    out.end();
    out.finish()
}

/// The restraint in front at a third of the height, and at both ends.
fn front_rail(series: &Series, bounds: Rect) -> Scene {
    let mut out = SceneBuilder::new(bounds);
    let Some(jar) = series.jars.first() else { return out.finish() };
    let y = -jar.levels.cover_under / 3.0;
    let (a, b) = (bounds.x0 + 44.0, bounds.x1 - 44.0);
    out.begin("end_rail", Point::new(a + 5.0, y));
    let rail = brush::rounded(a, y - 2.6, b, y + 2.6, 2.4);
    out.solid(rail, brush::down(Role::Rack, y - 2.6, y + 2.6), Role::Rack, 0.9);
    for x in [a, b - 6.0] {
        let post = brush::rounded(
            x,
            -0.6 * jar.levels.cover_under,
            x + 6.0,
            jar.design.jar.floor + 3.0,
            1.0,
        );
        out.solid(post, brush::across(Role::Rack, x, x + 6.0), Role::Rack, 0.9);
    }
    out.end();
    out.finish()
}

fn connectors(series: &Series, front: bool) -> Scene {
    let mut out = SceneBuilder::new(Rect::ZERO);
    for joint in series.joints.iter().filter(|j| j.front == front) {
        let ((xa, a), (xb, b)) = (series.post(joint.minus), series.post(joint.plus));
        let d = &series.jars[joint.minus.jar].design;
        let (ya, yb) = (bar_top(a.y.1), bar_top(b.y.1));
        let height = d.connector.width.min(d.posts.above - 4.0);
        let r = a.diameter / 2.0 + 2.0;
        let (l, rgt) = if xa < xb { ((xa, ya), (xb, yb)) } else { ((xb, yb), (xa, ya)) };
        out.begin(
            "intercell_connector",
            Point::new(f64::midpoint(xa, xb), -f64::midpoint(ya, yb) + 0.5 * height),
        );
        // A bar between posts of unequal height slopes.
        let bar = brush::polygon(&[
            Point::new(l.0 - r, -l.1),
            Point::new(rgt.0 + r, -rgt.1),
            Point::new(rgt.0 + r, -rgt.1 + height),
            Point::new(l.0 - r, -l.1 + height),
        ]);
        let top = -l.1.max(rgt.1);
        let fill = brush::down(Role::Connector, top, top + height);
        out.solid(bar, fill, Role::Connector, weight::METAL);
        let shine = Stroke::new(1.0, Shade::new(Role::Connector, Tone::Light).alpha(0.9));
        out.line(
            brush::polyline(&[
                Point::new(l.0 - r + 1.5, -l.1 + 2.0),
                Point::new(rgt.0 + r - 1.5, -rgt.1 + 2.0),
            ]),
            shine,
        );
        for (x, y) in [l, rgt] {
            bolt(&mut out, Point::new(x, -y + height / 2.0));
        }
    }
    out.end();
    out.finish()
}

fn bar_top(post_top: f64) -> f64 {
    post_top - 1.5
}

fn bolt(out: &mut SceneBuilder, c: Point) {
    out.begin("connection_washer", c + Vec2::new(-6.0, 2.0));
    out.solid(brush::circle(c, 7.0), brush::ball(Role::Bolt, c, 7.0), Role::Bolt, 0.8);
    out.begin("connection_bolt", c);
    let head: Vec<Point> = (0..6)
        .map(|i| {
            let a = f64::from(i) * std::f64::consts::FRAC_PI_3 + 0.52;
            c + Vec2::new(4.9 * libm::cos(a), 4.9 * libm::sin(a))
        })
        .collect();
    out.solid(brush::polygon(&head), Shade::base(Role::Bolt), Role::Bolt, 0.9);
}

/// The plates at both ends of the string, with the outgoing cable.
fn terminals(series: &Series, bounds: Rect, front: bool) -> Scene {
    let mut out = SceneBuilder::new(bounds);
    let n = series.jars.len();
    for (posts, jar, to_left) in [
        (&series.first, 0, series.x.first() <= series.x.last()),
        (&series.last, n.saturating_sub(1), series.x.first() > series.x.last()),
    ] {
        let Some(of) = (if to_left { posts.first() } else { posts.last() }) else { continue };
        let (x, p) = series.post(*of);
        if (p.z < series.jars[jar].inner_z / 2.0) != front {
            continue;
        }
        let d = &series.jars[jar].design;
        let height = d.connector.width.min(d.posts.above - 4.0);
        let top = -bar_top(p.y.1);
        let r = p.diameter / 2.0 + 2.0;
        let (from, to) =
            if to_left { (x + r, bounds.x0 + 22.0) } else { (x - r, bounds.x1 - 22.0) };
        // With several posts of one polarity the plate reaches over all of them.
        let far = posts.iter().map(|o| series.post(*o).0);
        let from = if to_left {
            far.fold(from, |m, q| m.max(q + r))
        } else {
            far.fold(from, |m, q| m.min(q - r))
        };
        let dir = (to - from).signum();
        cable(&mut out, Point::new(to - dir * 12.0, top + height / 2.0), bounds, p.positive);
        out.begin("terminal_plate", Point::new(to - dir * 28.0, top + height / 2.0));
        let plate = brush::rounded(from, top, to, top + height, 2.0);
        out.solid(
            plate,
            brush::down(Role::Connector, top, top + height),
            Role::Connector,
            weight::METAL,
        );
        for o in posts.iter() {
            bolt(&mut out, Point::new(series.post(*o).0, top + height / 2.0));
        }
        let hole = Point::new(to - dir * 12.0, top + height / 2.0);
        bolt(&mut out, hole);
        out.end();
    }
    out.end();
    out.finish()
}

/// A flexible insulated cable from a terminal plate, up and out of the picture.
fn cable(out: &mut SceneBuilder, from: Point, bounds: Rect, positive: bool) {
    out.begin("inter_tier_cable", Point::new(from.x, from.y - 24.0));
    let role = if positive { Role::LeadPositiveAir } else { Role::Rubber };
    let w = 5.0;
    let jacket = brush::rounded(from.x - w, bounds.y0 + 2.0, from.x + w, from.y - 9.0, 2.0);
    out.solid(jacket, brush::across(role, from.x - w, from.x + w), role, 1.0);
    let shoe = brush::rounded(from.x - w - 1.5, from.y - 14.0, from.x + w + 1.5, from.y + 4.0, 2.0);
    out.solid(shoe, brush::across(Role::Copper, from.x - w, from.x + w), Role::Copper, 0.9);
    out.end();
}
