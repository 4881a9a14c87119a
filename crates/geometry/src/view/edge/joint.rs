//! Cells of one jar: the partitions between them and the joints of their straps over these.

use crate::{
    draw::{Pen, Shapes, brush, weight},
    layout::{Joint, Solid},
    palette::Role,
    scene::{Paint, Shade, Stroke, Tone},
};
use kurbo::Point;

/// Partitions, each with the joint that passes over it; joints at the rear are seen through the
/// clear wall. Of the element alone only the joints are drawn.
pub(super) fn partitions(pen: &mut Pen<'_>) {
    let joints = pen.layout.joints.clone();
    let middle = pen.layout.inner_z / 2.0;
    for (i, p) in pen.layout.partitions.clone().iter().enumerate() {
        let joint = joints.get(i);
        if pen.options.element_only {
            if let Some(j) = joint {
                draw_joint(pen, j, i);
            }
            continue;
        }
        if let Some(j) = joint.filter(|j| j.bar.mid_z() > middle) {
            draw_joint(pen, j, i);
            wall(pen, p, 0.5);
        } else {
            wall(pen, p, 0.9);
            if let Some(j) = joint {
                draw_joint(pen, j, i);
            }
        }
    }
    pen.out.end();
}

fn wall(pen: &mut Pen<'_>, p: &Solid, alpha: f32) {
    pen.part("partition_wall", Point::new(p.mid_x(), -0.5 * p.y.1));
    let wall = brush::rect(p.x.0, -p.y.1, p.x.1, 0.0);
    let fill = Shade::new(Role::JarGlass, Tone::Base).alpha(alpha);
    pen.out.solid(wall.clone(), fill, Role::JarGlass, 1.0);
    pen.cut(&wall, Role::JarGlass, 7.0);
    pen.out.end();
}

fn draw_joint(pen: &mut Pen<'_>, j: &Joint, left_cell: usize) {
    for (side, (positive, s)) in j.risers.iter().enumerate() {
        let (part, role) = lead(*positive);
        let number = (left_cell + side + 1) as u32;
        let strap = pen
            .out
            .targets()
            .iter()
            .position(|t| &*t.part == part && t.number == number)
            .map(|i| i as u32);
        pen.out.resume(strap);
        let mut body = kurbo::BezPath::new();
        let (top, foot) = (-s.y.1 - 1.0, -s.y.0);
        body.move_to((s.x.0, top));
        body.line_to((s.x.1, top));
        body.line_to((s.x.1, foot - 3.0));
        body.quad_to((s.x.1, foot), (s.x.1 + if side == 1 { 2.5 } else { 0.0 }, foot));
        body.line_to((s.x.0 - if side == 0 { 2.5 } else { 0.0 }, foot));
        body.quad_to((s.x.0, foot), (s.x.0, foot - 3.0));
        body.close_path();
        pen.out.solid(body, brush::across(role, s.x.0, s.x.1), role, weight::METAL);
    }
    pen.out.end();
    // Compound closes the notch of the partition below the bar and over it.
    let n = &j.notch;
    let over = pen.layout.levels.cover_under;
    let plugs = [(n.y.0, n.y.1), (j.bar.y.1, over)];
    for (low, high) in plugs.into_iter().filter(|_| !pen.options.element_only) {
        let plug = brush::rect(n.x.0 - 1.0, -high, n.x.1 + 1.0, -low);
        pen.out.solid(plug, Shade::base(Role::Seal), Role::Seal, 0.7);
    }
    let b = &j.bar;
    let (top, bottom) = (-b.y.1, -b.y.0);
    let part = lead(j.risers[0].0).0;
    let strap = pen
        .out
        .targets()
        .iter()
        .position(|t| &*t.part == part && t.number as usize == left_cell + 1)
        .map(|i| i as u32);
    pen.out.resume(strap);
    let tone = |positive: bool, tone| {
        Shade::new(if positive { Role::LeadPositiveAir } else { Role::LeadNegative }, tone)
    };
    let fill = Paint::Linear {
        from: Point::new(b.x.0, 0.0),
        to: Point::new(b.x.1, 0.0),
        stops: vec![
            (0.0, tone(j.risers[0].0, Tone::Base)),
            (0.42, tone(j.risers[0].0, Tone::Base)),
            (0.58, tone(j.risers[1].0, Tone::Base)),
            (1.0, tone(j.risers[1].0, Tone::Base)),
        ],
    };
    let bar = brush::rounded(b.x.0, top, b.x.1, bottom, 1.6);
    pen.out.solid(bar, fill, Role::LeadPositiveAir, weight::METAL);
    let light = Stroke::new(0.8, Shade::new(Role::LeadNegative, Tone::Light).alpha(0.7));
    let rim = [Point::new(b.x.0 + 1.5, top + 1.1), Point::new(b.x.1 - 1.5, top + 1.1)];
    pen.out.line(brush::polyline(&rim), light);
    let c = Point::new(b.mid_x(), top + 0.4);
    pen.part("lead_burn", c);
    let bead = brush::ellipse(c, 4.2, 1.5);
    let line = Stroke::new(0.5, Shade::edge(Role::LeadNegative).alpha(0.8));
    pen.out.shape(bead, Shade::new(Role::LeadNegative, Tone::Light), Some(line));
    pen.out.end();
}

fn lead(positive: bool) -> (&'static str, Role) {
    if positive {
        ("strap_positive", Role::LeadPositive)
    } else {
        ("strap_negative", Role::LeadNegative)
    }
}
