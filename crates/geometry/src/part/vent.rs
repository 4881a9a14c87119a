//! Vent, flame arrestor, funnel and cap, and the sampling tube, seen from the side.

use crate::{
    draw::{Pen, Shapes, brush, weight},
    palette::Role,
    scene::{Paint, Shade, Tone},
};
use kurbo::{BezPath, Point};

/// The stem of the funnel inside the jar.
pub fn stem(pen: &mut Pen<'_>, x: f64, stem: (f64, f64, f64)) -> Option<u32> {
    if !pen.wants("filling_funnel") {
        return None;
    }
    let (low, high, diameter) = stem;
    let r = diameter / 2.0;
    let target = pen.part("filling_funnel", Point::new(x, -(low + 2.5)));
    let pipe = brush::rounded(x - r, -high, x + r, -low, 0.8);
    pen.out.solid(pipe, brush::across(Role::Plastic, x - r, x + r), Role::Plastic, 0.8);
    let mouth = brush::ellipse(Point::new(x, -low), r, 0.9);
    pen.out.solid(mouth, Shade::new(Role::Plastic, Tone::Dark), Role::Plastic, 0.6);
    pen.out.end();
    Some(target)
}

/// Stone, funnel rim and cap on the cover.
pub fn arrestor(pen: &mut Pen<'_>, x: f64, funnel_target: Option<u32>) {
    if !pen.wants("flame_arrestor") {
        return;
    }
    let a = pen.layout.design.arrestor.clone();
    let base = -pen.layout.levels.cover_top;
    let r = a.diameter / 2.0;
    pen.part("vent_well", Point::new(x - r - 0.4, base - 1.4));
    let ring = brush::rounded(x - r - 1.5, base - 3.0, x + r + 1.5, base, 1.0);
    pen.out.solid(ring, brush::across(Role::Cover, x - r, x + r), Role::Cover, 1.0);
    let stone_top = match &a.funnel {
        Some(_) => base - 0.76 * a.height,
        None => base - a.height,
    };
    pen.part("flame_arrestor", Point::new(x - 0.62 * r, stone_top + 6.0));
    let mut dome = BezPath::new();
    let foot = base - 3.0;
    let shoulder = foot - 0.45 * (foot - stone_top);
    dome.move_to((x - r, foot));
    dome.line_to((x - r, shoulder));
    dome.curve_to((x - r, stone_top + 2.0), (x - 0.6 * r, stone_top), (x, stone_top));
    dome.curve_to((x + 0.6 * r, stone_top), (x + r, stone_top + 2.0), (x + r, shoulder));
    dome.line_to((x + r, foot));
    dome.close_path();
    pen.out.solid(
        dome.clone(),
        brush::across(Role::Stone, x - r, x + r),
        Role::Stone,
        weight::METAL,
    );
    let grains = brush::speckle(&dome, 1.9, 0.28, 41);
    pen.out.shape(grains, Shade::new(Role::Stone, Tone::Edge).alpha(0.75), None);
    if let Some(f) = &a.funnel {
        let rim = f.rim / 2.0;
        let neck = f.stem / 2.0 + 1.0;
        let top = base - a.height;
        if let Some(t) = funnel_target {
            pen.out.resume(Some(t));
            pen.out.set_spot(t, Point::new(x + rim - 2.0, top + 1.2));
        } else {
            pen.part("filling_funnel", Point::new(x + rim - 2.0, top + 1.2));
        }
        let mut cone = BezPath::new();
        cone.move_to((x - rim, top));
        cone.line_to((x + rim, top));
        cone.line_to((x + rim, top + 1.6));
        cone.quad_to((x + neck + 4.0, top + 4.0), (x + neck, stone_top + 2.0));
        cone.line_to((x - neck, stone_top + 2.0));
        cone.quad_to((x - neck - 4.0, top + 4.0), (x - rim, top + 1.6));
        cone.close_path();
        pen.out.solid(cone, brush::across(Role::Plastic, x - rim, x + rim), Role::Plastic, 1.0);
        if pen.wants("dust_cap") {
            pen.part("dust_cap", Point::new(x + 0.52 * rim, top - 1.6));
            let cap = brush::rounded(x - 0.72 * rim, top - 3.2, x + 0.72 * rim, top, 1.0);
            let fill = brush::across(Role::DustCap, x - 0.72 * rim, x + 0.72 * rim);
            pen.out.solid(cap, fill, Role::DustCap, 1.0);
            let knob = brush::rounded(x - 4.0, top - 5.6, x + 4.0, top - 3.0, 1.0);
            pen.out.solid(knob, brush::across(Role::DustCap, x - 4.0, x + 4.0), Role::DustCap, 1.0);
        }
    }
    pen.out.end();
}

/// A sampling tube with its cap, seen from the side.
pub fn tube(pen: &mut Pen<'_>, x: (f64, f64), y: (f64, f64)) -> u32 {
    let spot = Point::new(f64::midpoint(x.0, x.1), -(y.0 + 0.82 * (y.1 - y.0)));
    let target = pen.part("withdrawal_tube", spot);
    let top = pen.layout.levels.cover_under;
    let body = brush::rounded(x.0, -top, x.1, -y.0, 0.8);
    let clear = |tone, alpha| Shade::new(Role::Plastic, tone).alpha(alpha);
    let fill = Paint::Linear {
        from: Point::new(x.0, 0.0),
        to: Point::new(x.1, 0.0),
        stops: vec![
            (0.0, clear(Tone::Dark, 0.75)),
            (0.3, clear(Tone::Light, 0.55)),
            (0.7, clear(Tone::Light, 0.4)),
            (1.0, clear(Tone::Dark, 0.75)),
        ],
    };
    pen.out.solid(body, fill, Role::Plastic, 0.8);
    pen.out.end();
    target
}

/// The cap of a sampling tube on the cover.
pub fn tube_cap(pen: &mut Pen<'_>, x: (f64, f64), target: u32) {
    let top = pen.layout.levels.cover_top;
    let (a, b) = (x.0 - 1.0, x.1 + 1.0);
    pen.out.resume(Some(target));
    let cap = brush::rounded(a, -(top + 4.0), b, -top, 0.8);
    pen.out.solid(cap, brush::across(Role::Cover, a, b), Role::Cover, 0.9);
    pen.out.end();
}

/// The plug of the thermometer opening on the cover.
pub fn temp_port(pen: &mut Pen<'_>, x: f64, diameter: f64) {
    if !pen.wants("temp_port") {
        return;
    }
    let base = -pen.layout.levels.cover_top;
    let r = diameter / 2.0;
    pen.part("temp_port", Point::new(x - 0.7 * r, base - 3.6));
    let boss = brush::rounded(x - r - 1.0, base - 2.0, x + r + 1.0, base, 0.6);
    pen.out.solid(boss, brush::across(Role::Cover, x - r, x + r), Role::Cover, 0.9);
    let plug = brush::rounded(x - r, base - 6.5, x + r, base - 2.0, 1.0);
    pen.out.solid(plug, brush::across(Role::Hanger, x - r, x + r), Role::Hanger, 0.9);
    let slot = brush::rect(x - 0.55 * r, base - 6.5, x + 0.55 * r, base - 5.3);
    pen.out.shape(slot, Shade::edge(Role::Hanger), None);
    pen.out.end();
}
