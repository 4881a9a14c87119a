//! Vents: chips and cracks of the stone, clogging, an open funnel.

use super::{
    Input,
    place::{meant, sown, targets},
};
use crate::{
    draw::{Pen, View, brush},
    palette::Role,
    scene::{Paint, Shade, Stroke, Tone},
};
use kurbo::{BezPath, Point, Vec2};

/// Chips and cracks of the stone. `chip` size; `long` of the crack in percent of the height;
/// `wedge`: size of a missing piece; `gone` from 0.5 on: the opening where it stood.
pub fn chip(input: &Input<'_>, pen: &mut Pen<'_>) {
    let gone = input.param("gone", 0.0) >= 0.5;
    if gone {
        open_vent(input, pen);
        return;
    }
    let Some(f) = meant(input, pen).into_iter().next() else { return };
    let b = f.bounds;
    let dark = Shade::new(Role::Creep, Tone::Edge);
    pen.out.resume(Some(f.index));
    if pen.request.view == View::Plan {
        let long = input.param("long", 0.0) / 100.0;
        let r = b.width() / 2.0;
        // Only the rim of the stone shows beside the funnel.
        let from = b.center() + Vec2::new(0.82 * r, 0.57 * r);
        let line = brush::jagged(
            from,
            from + Vec2::new(1.5 + 3.0 * long, 2.0 + 2.0 * long),
            4,
            0.5,
            input.seed,
        );
        pen.out.line(brush::polyline(&line), Stroke::new(1.4, dark));
        return;
    }
    // A spall shows the rough body of the stone, darker than its skin.
    let body = Shade::new(Role::Stone, Tone::Dark);
    let line = Stroke::new(1.0, Shade::edge(Role::Stone));
    let chip = input.param("chip", 2.0);
    let at = Point::new(b.x1 - 1.15 * chip, b.y1 - 0.2 * b.height());
    let mut spall = brush::polygon(&[
        at + Vec2::new(1.1 * chip, -1.3 * chip),
        at + Vec2::new(-0.5 * chip, -0.9 * chip),
        at + Vec2::new(-chip, 0.1 * chip),
        at + Vec2::new(-0.3 * chip, chip),
        at + Vec2::new(1.1 * chip, 1.2 * chip),
    ]);
    let wedge = input.param("wedge", 0.0);
    if wedge > 0.0 {
        let at = Point::new(b.x1 - 0.24 * b.width(), b.y0 + 0.42 * b.height());
        let cut = brush::polygon(&[
            at + Vec2::new(-0.55 * wedge, 0.9 * wedge),
            at + Vec2::new(-0.9 * wedge, 0.1 * wedge),
            at + Vec2::new(-0.3 * wedge, -0.2 * wedge),
            at + Vec2::new(0.1 * wedge, -0.9 * wedge),
            at + Vec2::new(0.95 * wedge, -0.3 * wedge),
            at + Vec2::new(0.98 * wedge, 0.9 * wedge),
        ]);
        spall.extend(cut.elements().iter().copied());
        // What broke off lies beside it.
        let y = -pen.layout.levels.cover_top;
        let place = Point::new(b.x1 + 7.0, y - 0.35 * wedge);
        let bit = brush::blob(place, 0.7 * wedge, 0.4 * wedge, 0.25, input.seed ^ 2);
        pen.out.shape(bit, Shade::base(Role::Stone), Some(line.clone()));
    }
    let pores = brush::speckle(&spall, 1.3, 0.25, input.seed ^ 6);
    pen.out.shape(spall, body, Some(line));
    pen.out.shape(pores, Shade::edge(Role::Stone), None);
    let long = input.param("long", 0.0) / 100.0;
    if long > 0.0 {
        let from = Point::new(b.x0 + 0.3 * b.width(), b.y1 - 0.04 * b.height());
        let to = from + Vec2::new(0.38 * b.width(), -0.8 * b.height()) * long;
        let main = brush::jagged(from, to, 8, 2.0, input.seed ^ 3);
        pen.out.line(brush::polyline(&main), Stroke::new(1.7, dark));
        if long > 0.5 {
            let branch =
                brush::jagged(main[4], main[4] + Vec2::new(7.0, 5.5), 3, 1.0, input.seed ^ 4);
            pen.out.line(brush::polyline(&branch), Stroke::new(1.1, dark));
        }
    }
}

/// The hole in the cover where a vent is missing.
fn open_vent(input: &Input<'_>, pen: &mut Pen<'_>) {
    let Some(f) = targets(input, pen, "vent_well").into_iter().next() else { return };
    pen.out.resume(Some(f.index));
    let dark = Shade::new(Role::Creep, Tone::Edge);
    let line = Stroke::new(1.2, Shade::new(Role::Cover, Tone::Light));
    if pen.request.view == View::Plan {
        let hole = brush::circle(f.bounds.center(), 0.42 * f.bounds.width());
        pen.out.shape(hole, dark, Some(line));
        return;
    }
    let b = f.bounds;
    let mouth = brush::ellipse(Point::new(b.center().x, b.y0 + 0.6), 0.44 * b.width(), 1.3);
    pen.out.shape(mouth, dark, Some(line));
}

/// Stain and crust that shut the pores of the stone. `alpha`; `crust` lumps at its base; `mist`
/// drops that come out at the base.
pub fn clog(input: &Input<'_>, pen: &mut Pen<'_>) {
    let alpha = input.param("alpha", 0.4) as f32;
    let role = input.paint(Role::Rust);
    let Some(f) = meant(input, pen).into_iter().next() else { return };
    let b = f.bounds;
    pen.out.resume(Some(f.index));
    let shade = |tone, a: f32| Shade::new(role, tone).alpha((a * alpha).min(1.0));
    let fill = Paint::Linear {
        from: Point::new(0.0, b.y1),
        to: Point::new(0.0, b.y0),
        stops: vec![
            (0.0, shade(Tone::Edge, 0.95)),
            (0.55, shade(Tone::Dark, 0.9)),
            (1.0, shade(Tone::Base, 0.6)),
        ],
    };
    let above = pen.request.view == View::Plan;
    if !above {
        // From above the funnel hides the stone; only its foot and what comes out are seen.
        pen.out.shape(f.outline.clone(), fill, None);
        let spots = brush::speckle(&f.outline, 2.6, 0.75, input.seed);
        pen.out.shape(spots, shade(Tone::Edge, 0.9), None);
    }
    let (mut crust, mut mist) = (BezPath::new(), BezPath::new());
    sown(input.param("crust", 0.0), input.seed ^ 2, |_, grown, mut rng| {
        let r = rng.range(0.8, 2.0) * grown;
        let p = if above {
            let a = rng.range(0.0, std::f64::consts::TAU);
            b.center() + Vec2::new(libm::cos(a), libm::sin(a)) * (b.width() / 2.0 + 1.0)
        } else {
            Point::new(rng.range(b.x0 + r, b.x1 - r), b.y1 - 0.5 * r)
        };
        crust.extend(brush::blob(p, 1.4 * r, r, 0.3, rng.next_u64()).elements().iter().copied());
    });
    let line = Stroke::new(0.6, Shade::edge(Role::WhiteSalt));
    pen.out.shape(crust, Shade::base(Role::WhiteSalt), Some(line));
    sown(input.param("mist", 0.0), input.seed ^ 3, |i, grown, mut rng| {
        let side = if i % 2 == 0 { -1.0 } else { 1.0 };
        let off = rng.range(2.5, 12.0);
        let p = if above {
            let a = rng.range(0.0, std::f64::consts::TAU);
            b.center() + Vec2::new(libm::cos(a), libm::sin(a)) * (b.width() / 2.0 + 3.0 + off)
        } else {
            Point::new(
                b.center().x + side * (b.width() / 2.0 + off),
                b.y1 + 2.0 - rng.range(0.0, 0.9 * off),
            )
        };
        let dot = brush::circle(p, 0.7 * grown);
        mist.extend(dot.elements().iter().copied());
    });
    pen.out.shape(mist, Shade::new(Role::AcidFilm, Tone::Dark).alpha(0.9), None);
}

/// The funnel without its cap, or the cap cracked. `open` and `crack` from 0.5 on; `dirt` in it.
pub fn open_funnel(input: &Input<'_>, pen: &mut Pen<'_>) {
    let above = pen.request.view == View::Plan;
    let dark = Shade::new(Role::Creep, Tone::Edge);
    if input.param("crack", 0.0) >= 0.5 {
        let Some(cap) = targets(input, pen, "dust_cap").into_iter().next() else { return };
        let b = cap.bounds;
        let (from, to) = if above {
            (
                b.center() - Vec2::new(0.1 * b.width(), 0.0),
                Point::new(b.x1 - 1.5, b.y0 + 0.3 * b.height()),
            )
        } else {
            (Point::new(b.center().x + 2.0, b.y0), Point::new(b.center().x + 5.0, b.y1))
        };
        pen.out.resume(Some(cap.index));
        let line = brush::jagged(from, to, 5, 0.8, input.seed);
        pen.out.line(brush::polyline(&line), Stroke::new(1.6, dark));
    }
    if input.param("open", 0.0) < 0.5 {
        return;
    }
    // From the side the rim is the last outline of the funnel, its stem the first.
    let funnel =
        pen.out.targets().iter().position(|t| &*t.part == "filling_funnel").map(|i| i as u32);
    let Some(index) = funnel else { return };
    let Some(b) = pen.out.outlines(index).last().map(kurbo::Shape::bounding_box) else { return };
    pen.out.resume(Some(index));
    let line = Stroke::new(1.0, Shade::edge(Role::Plastic));
    let mouth = if above {
        brush::circle(b.center(), 0.42 * b.width())
    } else {
        brush::ellipse(Point::new(b.center().x, b.y0 + 0.2), 0.45 * b.width(), 1.7)
    };
    let inside = Shade::new(Role::Plastic, Tone::Edge);
    pen.out.shape(mouth, inside, Some(line));
    let hole = if above {
        brush::circle(b.center(), 0.2 * b.width())
    } else {
        brush::ellipse(Point::new(b.center().x, b.y0 + 0.5), 0.26 * b.width(), 0.9)
    };
    pen.out.shape(hole, dark, None);
    let mut dirt = BezPath::new();
    sown(input.param("dirt", 0.0), input.seed ^ 0xD127, |_, grown, mut rng| {
        let a = rng.range(0.0, std::f64::consts::TAU);
        let r = 0.4 * b.width() * libm::sqrt(rng.unit());
        let flat = if above { 1.0 } else { 0.09 };
        let c = if above { b.center() } else { Point::new(b.center().x, b.y0 + 0.2) };
        let p = c + Vec2::new(r * libm::cos(a), flat * r * libm::sin(a));
        let lump = brush::blob(p, 1.3 * grown, 0.7 * grown, 0.35, rng.next_u64());
        dirt.extend(lump.elements().iter().copied());
    });
    let rim = Stroke::new(0.4, Shade::edge(Role::Dust));
    pen.out.shape(dirt, Shade::new(Role::Dust, Tone::Dark), Some(rim));
}
