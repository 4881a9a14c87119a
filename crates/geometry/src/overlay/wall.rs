//! What comes through or out of the shell: a crack with its trail, a weeping rim, a cement bead.

use super::{
    Input,
    place::{Held as _, from_the_side, room, sown, targets},
};
use crate::{
    draw::{Pen, View, brush},
    palette::Role,
    scene::{Shade, Stroke, Tone},
};
use jarlight_model::rng::element;
use kurbo::{BezPath, Point, Vec2};

/// A walk with branches, the same for any length: longer only goes on.
fn walk(from: Point, heading: f64, long: f64, seed: u64, depth: u32, out: &mut Vec<Vec<Point>>) {
    const STEP: f64 = 3.0;
    let (mut p, mut dir) = (from, heading);
    let mut line = vec![p];
    let mut run = 0.0;
    let mut i = 0;
    while run < long && i < 160 {
        let mut rng = element(seed, i);
        dir += 0.3 * rng.normal() - 0.14 * (dir - heading);
        let step = STEP.min(long - run);
        p += Vec2::new(libm::cos(dir), libm::sin(dir)) * step;
        line.push(p);
        run += step;
        if depth < 2 && i > 2 && rng.unit() < 0.07 {
            let side = if rng.unit() < 0.5 { 1.0 } else { -1.0 };
            let rest = (long - run) * rng.range(0.3, 0.55);
            walk(p, dir + side * rng.range(0.5, 0.9), rest, seed ^ (i + 91), depth + 1, out);
        }
        i += 1;
    }
    out.push(line);
}

/// A crack of the jar wall from a lower corner, with what runs out of it. `long`; `wet` width of
/// the damp streak; `drops`; `salt`; `open` width of the gap.
pub fn crack(input: &Input<'_>, pen: &mut Pen<'_>) {
    if !from_the_side(pen) {
        return;
    }
    let long = input.param("long", 40.0);
    let open = input.param("open", 0.0);
    let (x0, x1) = room(pen);
    let right = element(input.seed, 5).unit() < 0.5;
    let (x, heading) = if right { (x1 - 0.5, -2.2) } else { (x0 + 0.5, -0.95) };
    let from = Point::new(x, -0.06 * pen.layout.levels.cover_under);
    let mut lines = Vec::new();
    walk(from, heading, long, input.seed, 0, &mut lines);
    let top = -(pen.layout.levels.cover_under - 9.0);
    for p in lines.iter_mut().flatten() {
        *p = Point::new(p.x.held(x0 + 0.3, x1 - 0.3), p.y.held(top, -0.5));
    }
    let target = targets(input, pen, "jar").first().map(|f| f.index);
    pen.out.resume(target);
    let wet = input.param("wet", 0.0);
    if wet > 0.0 {
        trail(input, pen, from, wet, right);
    }
    let mut path = BezPath::new();
    for line in &lines {
        path.extend(brush::polyline(line).elements().iter().copied());
    }
    let light = kurbo::Affine::translate((0.45, 0.35)) * path.clone();
    pen.out.line(light, Stroke::new(1.5, Shade::new(Role::Plastic, Tone::Light).alpha(0.95)));
    let dark = Shade::edge(Role::JarGlass).mixed(Role::InJar, Tone::Base, 0.55);
    pen.out.line(path, Stroke::new(1.2 + open, dark));
    if open > 1.0
        && let Some(main) = lines.last()
    {
        let core = Stroke::new(open, Shade::new(Role::Creep, Tone::Edge).alpha(0.9));
        pen.out.line(brush::polyline(main), core);
    }
}

/// The damp streak below a crack, down to the floor and its foot, with salts at its edge.
fn trail(input: &Input<'_>, pen: &mut Pen<'_>, from: Point, wide: f64, right: bool) {
    let floor = pen.layout.design.jar.floor;
    let dir = if right { -1.0 } else { 1.0 };
    let x = from.x + dir * (2.0 + 0.5 * wide);
    let n = 12;
    let mut left_side = Vec::new();
    let mut right_side = Vec::new();
    for i in 0..=n {
        let t = f64::from(i) / f64::from(n);
        let y = from.y + t * (floor - from.y);
        let half =
            0.5 * wide * (0.35 + 0.65 * t) * element(input.seed, 700 + i as u64).range(0.8, 1.1);
        left_side.push(Point::new(x - half, y));
        right_side.push(Point::new(x + half, y));
    }
    right_side.reverse();
    left_side.extend(right_side);
    let streak = brush::closed_smooth(&left_side);
    let line = Stroke::new(0.6, Shade::edge(Role::AcidFilm).alpha(0.8));
    pen.out.shape(streak, Shade::new(Role::AcidFilm, Tone::Dark).alpha(0.6), Some(line));
    let salt = input.param("salt", 0.0);
    let mut crust = BezPath::new();
    sown(salt, input.seed ^ 0x5A17, |_, grown, mut rng| {
        let t = rng.unit();
        let side = if rng.unit() < 0.5 { -0.5 } else { 0.5 };
        let p = Point::new(x + side * wide * (0.4 + 0.6 * t), from.y + t * (floor - from.y - 1.0));
        let lump = brush::blob(p, 1.2 * grown, 0.9 * grown, 0.3, rng.next_u64());
        crust.extend(lump.elements().iter().copied());
    });
    let edge = Stroke::new(0.5, Shade::edge(Role::WhiteSalt));
    pen.out.shape(crust, Shade::base(Role::WhiteSalt), Some(edge));
    let mut drops = BezPath::new();
    sown(input.param("drops", 0.0), input.seed ^ 0xD20, |i, grown, mut rng| {
        let p = Point::new(
            x + rng.range(-0.4, 0.4) * wide,
            from.y + (floor + 4.0 - from.y) * ((i as f64 * 0.37) % 1.0),
        );
        drop(&mut drops, p, 1.3 * grown);
    });
    let rim = Stroke::new(0.7, Shade::edge(Role::AcidFilm));
    pen.out.shape(drops, Shade::new(Role::AcidFilm, Tone::Light), Some(rim));
}

/// Adds a drop: round below, pointed above.
pub fn drop(out: &mut BezPath, p: Point, r: f64) {
    out.move_to((p.x, p.y - 1.7 * r));
    out.curve_to(
        (p.x + 0.5 * r, p.y - 0.8 * r),
        (p.x + r, p.y - 0.4 * r),
        (p.x + r, p.y + 0.1 * r),
    );
    out.curve_to((p.x + r, p.y + 0.8 * r), (p.x - r, p.y + 0.8 * r), (p.x - r, p.y + 0.1 * r));
    out.curve_to((p.x - r, p.y - 0.4 * r), (p.x - 0.5 * r, p.y - 0.8 * r), (p.x, p.y - 1.7 * r));
    out.close_path();
}

/// Where the rim is: its left and right end, and its height in the drawing.
fn rim(pen: &Pen<'_>) -> (f64, f64, f64) {
    let wall = pen.layout.design.jar.wall;
    if pen.request.view == View::Plan {
        return (-4.0, pen.layout.outer_x + 4.0, 3.2);
    }
    let (x0, x1) = room(pen);
    (x0 - wall, x1 + wall, -(pen.layout.levels.cover_under - 9.0))
}

/// A damp film with white at its edges along the rim. `long`; `deep`; `runs` down the wall;
/// `lifted` cement.
pub fn weep(input: &Input<'_>, pen: &mut Pen<'_>) {
    let (a, b, y) = rim(pen);
    let long = input.param("long", 20.0).min(b - a - 2.0);
    let above = pen.request.view == View::Plan;
    let deep = input.param("deep", 3.0) * if above { 0.35 } else { 1.0 };
    // It starts at one place and spreads both ways from there.
    let start = a + (b - a) * element(input.seed, 1).range(0.3, 0.6);
    let from = (start - 0.5 * long).max(a + 0.5);
    let to = (from + long).min(b - 0.5);
    let n = (long / 2.0).ceil().clamp(6.0, 80.0) as u32;
    let lobe = |x: f64| {
        let t = 0.31 * (x - a);
        let wave = libm::sin(t) * 0.5 + libm::sin(2.3 * t + 1.0) * 0.3 + libm::sin(5.1 * t) * 0.2;
        0.62 + 0.38 * wave
    };
    let lower: Vec<Point> = (0..=n)
        .map(|i| {
            let x = from + (to - from) * f64::from(i) / f64::from(n);
            let ends = ((x - from).min(to - x) / 5.0).clamp(0.0, 1.0);
            Point::new(x, y + deep * lobe(x) * libm::sqrt(ends) + 0.2)
        })
        .collect();
    let mut film = brush::smooth(&lower);
    film.line_to((to, y - 0.6));
    film.line_to((from, y - 0.6));
    film.close_path();
    let target = targets(input, pen, "jar_cover_seal").first().map(|f| f.index);
    pen.out.resume(target);
    let edge = Stroke::new(0.9, Shade::new(Role::WhiteSalt, Tone::Light));
    pen.out.shape(film.clone(), Shade::base(Role::AcidFilm).alpha(0.6), Some(edge));
    if !above {
        let mut runs = BezPath::new();
        sown(input.param("runs", 0.0), input.seed ^ 0x2045, |i, grown, mut rng| {
            let x = from + (to - from) * ((i as f64 * 0.41 + 0.2) % 1.0);
            let drop = rng.range(14.0, 34.0) * grown;
            run(&mut runs, Point::new(x, y + 0.5 * deep), 0.9, drop);
        });
        let line = Stroke::new(0.5, Shade::edge(Role::AcidFilm).alpha(0.8));
        pen.out.shape(runs, Shade::base(Role::AcidFilm).alpha(0.65), Some(line));
    }
    // White at the rim and at the border of the film.
    let mut salt = BezPath::new();
    sown(long * 0.8, input.seed ^ 0x5A1, |_, grown, mut rng| {
        let x = rng.range(from, to);
        let low = rng.unit() < 0.4;
        let off = if low { deep * lobe(x) - 0.4 } else { rng.range(-0.4, 0.8) };
        let r = rng.range(0.5, 1.1) * grown;
        let lump = brush::blob(Point::new(x, y + off), 1.4 * r, 0.8 * r, 0.3, rng.next_u64());
        salt.extend(lump.elements().iter().copied());
    });
    let line = Stroke::new(0.5, Shade::edge(Role::WhiteSalt).alpha(0.9));
    pen.out.shape(salt, Shade::base(Role::WhiteSalt), Some(line));
    let lifted = input.param("lifted", 0.0);
    if lifted > 0.0 {
        let part = brush::rounded(from + 0.2 * long, y - lifted, to - 0.2 * long, y, 0.3);
        pen.out.shape(part, Shade::new(Role::Creep, Tone::Edge), None);
    }
}

/// Adds a thin run: even, with a flat foot, not an icicle.
fn run(out: &mut BezPath, p: Point, half: f64, long: f64) {
    out.move_to((p.x - 1.8 * half, p.y));
    out.quad_to((p.x - half, p.y + 2.0), (p.x - 0.8 * half, p.y + 0.3 * long));
    out.line_to((p.x - 0.8 * half, p.y + long));
    out.quad_to((p.x, p.y + long + 0.9), (p.x + 0.8 * half, p.y + long));
    out.line_to((p.x + 0.8 * half, p.y + 0.3 * long));
    out.quad_to((p.x + half, p.y + 2.0), (p.x + 1.8 * half, p.y));
    out.close_path();
}

/// Runs down the outside of the jar from an overflowing cover. `count`.
pub fn runs(input: &Input<'_>, pen: &mut Pen<'_>) {
    if pen.request.view == View::Plan {
        return;
    }
    let (a, b, y) = rim(pen);
    let mut paths = BezPath::new();
    sown(input.param("count", 2.0), input.seed, |_, grown, mut rng| {
        let x = a + (b - a) * rng.range(0.08, 0.92);
        run(&mut paths, Point::new(x, y), 1.2, rng.range(20.0, 70.0) * grown);
    });
    let target = targets(input, pen, "jar").first().map(|f| f.index);
    pen.out.resume(target);
    let line = Stroke::new(0.6, Shade::edge(Role::AcidFilm).alpha(0.8));
    pen.out.shape(paths, Shade::base(Role::AcidFilm).alpha(0.6), Some(line));
}

/// An even hard bead of cement all round the rim. `mm` thick.
pub fn caulk(input: &Input<'_>, pen: &mut Pen<'_>) {
    let mm = input.param("mm", 1.6);
    let role = input.paint(Role::Seal);
    let (a, b, y) = rim(pen);
    let target = targets(input, pen, "jar_cover_seal").first().map(|f| f.index);
    pen.out.resume(target);
    let line = Stroke::new(0.7, Shade::edge(role));
    if pen.request.view == View::Plan {
        let Some(f) = targets(input, pen, "cell_cover").into_iter().next() else { return };
        let ring = Stroke::new(2.2, Shade::base(role));
        pen.out.line(f.outline.clone(), ring);
        pen.out.line(f.outline, line);
        return;
    }
    let bead = brush::rounded(a, y - 0.3, b, y + mm, 0.5 * mm);
    pen.out.shape(bead, brush::down(role, y - 0.3, y + mm), Some(line));
    let shine = [Point::new(a + 2.0, y + 0.35 * mm), Point::new(b - 2.0, y + 0.35 * mm)];
    pen.out.line(brush::polyline(&shine), Stroke::new(0.7, Shade::new(role, Tone::Light)));
}
