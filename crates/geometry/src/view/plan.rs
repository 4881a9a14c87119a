//! The cell from above, its neighbours beside it: every second cell is turned half round.

use crate::{
    draw::{Pen, SealPlace, Shapes, brush, weight},
    layout::Post,
    overlay,
    palette::Role,
    part::post,
    scene::{Anchor, Paint, Shade, Stroke, Text, Tone, Weight},
};
use jarlight_model::design::{ConnectorMake, PostSeal};
use kurbo::{Affine, Point, Rect, Vec2};

/// Room between neighbouring jars.
const BETWEEN: f64 = 8.0;

/// Paints three cells in series from above; the middle one is the specimen.
pub fn build(pen: &mut Pen<'_>) {
    let l = pen.layout;
    let (w, depth) = (l.outer_x, l.outer_z);
    let pitch = w + BETWEEN;
    let over = 4.5;
    pen.bounds = Rect::new(-pitch - 44.0, -depth - 16.0, 2.0 * pitch + 36.0, 34.0);
    rails(pen, pitch);
    let number = pen.options.cell_number;
    let beside = l.turns_in_row();
    for (i, x) in [(-1i32, -pitch), (1, pitch), (0, 0.0)] {
        let n = u32::try_from(i64::from(number) + i64::from(i)).unwrap_or(0);
        let (x, turned) =
            if i == 0 { (pen.effects.slide, pen.effects.swapped) } else { (x, beside) };
        cover(pen, x, over, n, turned, i == 0);
    }
    spacers(pen, pitch);
    for (i, x) in [(-1i32, -pitch), (0, 0.0), (1, pitch)] {
        let (x, turned) =
            if i == 0 { (pen.effects.slide, pen.effects.swapped) } else { (x, beside) };
        tops(pen, x, turned, i == 0);
    }
    overlay::draw_inside(pen);
    overlay::draw_on_top(pen);
    bars(pen, pitch);
    overlay::draw_last(pen);
    let aisle = Text {
        at: Point::new(w / 2.0, 24.0),
        size: 11.0,
        anchor: Anchor::Middle,
        weight: Weight::SemiBold,
        shade: Shade::base(Role::SecondInk),
        halo: None,
        upright: false,
        words: "AISLE SIDE".to_owned(),
    };
    pen.out.text(aisle);
}

/// Where a point of a cell lies in the picture: z runs away from the aisle, so up the page.
fn place(pen: &Pen<'_>, x0: f64, turned: bool, x: f64, z: f64) -> Point {
    let d = &pen.layout.design;
    let (w, depth) = (pen.layout.outer_x, pen.layout.outer_z);
    let (x, z) = (x + d.jar.wall, z + d.jar.wall);
    let (x, z) = match (turned, is_round(pen)) {
        (false, _) => (x, z),
        (true, false) => (w - x, depth - z),
        // A round jar is turned a quarter: turned half, its own negative post would stand in
        // the way of the bar to the post on its axis.
        (true, true) => (0.5 * w - (z - 0.5 * depth), 0.5 * depth + (x - 0.5 * w)),
    };
    Point::new(x0 + x, -z)
}

fn is_round(pen: &Pen<'_>) -> bool {
    pen.layout.design.round.is_some()
}

fn rails(pen: &mut Pen<'_>, pitch: f64) {
    let depth = pen.layout.outer_z;
    for share in [0.2, 0.8] {
        let y = -share * depth;
        let (a, b) = (-pitch - 34.0, 2.0 * pitch + 26.0);
        pen.part("rack_rail", Point::new(a + 12.0, y));
        let rail = brush::rect(a, y - 9.0, b, y + 9.0);
        pen.out.solid(rail, brush::down(Role::Rack, y - 9.0, y + 9.0), Role::Rack, 0.9);
    }
    pen.out.end();
}

fn cover(pen: &mut Pen<'_>, x0: f64, over: f64, number: u32, turned: bool, mine: bool) {
    let (w, depth) = (pen.layout.outer_x, pen.layout.outer_z);
    let over = over.min(BETWEEN / 2.0 - 0.5);
    let (a, b) = (x0 - over, x0 + w + over);
    let (top, bottom) = (-depth - over, over);
    if mine {
        pen.part("cell_cover", Point::new(x0 + 0.2 * w, -0.88 * depth));
    } else {
        pen.out.end();
    }
    let outline = |inset: f64, radius: f64| {
        if is_round(pen) {
            brush::circle(Point::new(x0 + 0.5 * w, -0.5 * depth), 0.5 * (b - a) - inset)
        } else {
            brush::rounded(a + inset, top + inset, b - inset, bottom - inset, radius)
        }
    };
    let (plate, step, shine) = (outline(0.0, 5.0), outline(6.0, 3.5), outline(6.8, 3.0));
    pen.out.solid(plate, brush::down(Role::Cover, top, bottom), Role::Cover, weight::JAR);
    pen.out.line(step, Stroke::new(0.9, Shade::edge(Role::Cover).alpha(0.8)));
    pen.out.line(shine, Stroke::new(0.6, Shade::new(Role::Cover, Tone::Light).alpha(0.6)));
    // Grooves over the partitions show where one cell ends and the next begins.
    for p in pen.layout.partitions.clone() {
        let x = x0 + p.mid_x() + pen.layout.design.jar.wall;
        let groove = [Point::new(x, top + 7.0), Point::new(x, bottom - 7.0)];
        pen.out.line(brush::polyline(&groove), Stroke::new(1.0, Shade::edge(Role::Cover)));
        let light = groove.map(|q| q + Vec2::new(0.8, 0.0));
        let shade = Shade::new(Role::Cover, Tone::Light).alpha(0.6);
        pen.out.line(brush::polyline(&light), Stroke::new(0.6, shade));
    }
    pen.out.end();
    // The labels are always on the aisle side, whichever way the cell is turned.
    let (near, far) = if turned { (0.76, 0.24) } else { (0.24, 0.76) };
    let (at, date) = if is_round(pen) {
        let y = -0.14 * depth;
        (Point::new(x0 + 0.36 * w, y), Point::new(x0 + 0.64 * w, y))
    } else {
        (Point::new(x0 + near * w, -9.0), Point::new(x0 + far * w, -9.0))
    };
    if mine {
        // On the rim of the label, so that a leader does not strike its number out.
        pen.part("cell_number", at + NUMBER_SPOT);
    }
    tag(pen, at, 5.5, 13.0, &number.to_string());
    if mine {
        pen.part("date_label", date + Vec2::new(10.0, 3.4));
    }
    // Small enough for its tag at any scale.
    let size = (0.17 * 26.0 / pen.px).min(8.0);
    tag(pen, date, 4.2, size, "DC 31-07");
}

/// From the middle of the label with the number to where it is pointed at.
pub const NUMBER_SPOT: Vec2 = Vec2::new(-10.0, 4.6);

/// A label stuck on the cover.
fn tag(pen: &mut Pen<'_>, at: Point, tall: f64, size: f64, words: &str) {
    let half = 13.0;
    let tag = brush::rounded(at.x - half, at.y - tall, at.x + half, at.y + tall, 1.0);
    pen.out.solid(tag, Shade::new(Role::Plastic, Tone::Light), Role::Plastic, 0.8);
    pen.out.text(Text {
        at: Point::new(at.x, at.y + 0.51 * tall),
        size,
        anchor: Anchor::Middle,
        weight: Weight::Bold,
        shade: Shade::new(Role::InJar, Tone::Base),
        halo: None,
        upright: false,
        words: words.to_owned(),
    });
    pen.out.end();
}

fn spacers(pen: &mut Pen<'_>, pitch: f64) {
    if !pen.wants("seismic_spacer") {
        return;
    }
    let (w, depth) = (pen.layout.outer_x, pen.layout.outer_z);
    // Round jars meet along a line only, so their spacer is narrow.
    let reach = if is_round(pen) { 0.09 } else { 0.34 };
    for x in [w + 4.0, w + 4.0 - pitch] {
        pen.part("seismic_spacer", Point::new(x + BETWEEN / 2.0 - 4.0, -0.5 * depth));
        let middle = x + BETWEEN / 2.0 - 4.0;
        let (far, near) = (-(0.5 + reach) * depth, -(0.5 - reach) * depth);
        let sheet = brush::rect(middle - 3.0, far, middle + 3.0, near);
        let fill = brush::across(Role::RailCover, x - 3.0, x + 3.0);
        pen.out.solid(sheet, fill, Role::RailCover, 0.7);
    }
    pen.out.end();
}

fn tops(pen: &mut Pen<'_>, x0: f64, turned: bool, mine: bool) {
    let cells = pen.layout.cells.clone();
    for cell in &cells {
        for t in &cell.tubes {
            let c = place(pen, x0, turned, t.mid_x(), t.mid_z());
            let c = Point::new(
                c.x.clamp(x0 + 9.0, x0 + pen.layout.outer_x - 9.0),
                c.y.clamp(-pen.layout.outer_z + 9.0, -9.0),
            );
            if mine {
                pen.part("withdrawal_tube", c);
            }
            let r = (t.x.1 - t.x.0) / 2.0 + 1.5;
            pen.out.solid(brush::circle(c, r), brush::ball(Role::Cover, c, r), Role::Cover, 0.9);
            pen.out.line(
                brush::circle(c, r * 0.55),
                Stroke::new(0.7, Shade::new(Role::Cover, Tone::Light)),
            );
            pen.out.end();
        }
        vent(pen, place(pen, x0, turned, cell.vent.0, cell.vent.1), mine);
        if let Some((x, z, diameter)) = cell.temp_port {
            port(pen, place(pen, x0, turned, x, z), diameter / 2.0, mine);
        }
        for p in &cell.posts {
            let c = place(pen, x0, turned, p.x, p.z);
            one_post(pen, p, c, mine);
        }
    }
}

fn vent(pen: &mut Pen<'_>, c: Point, mine: bool) {
    let a = pen.layout.design.arrestor.clone();
    let r = a.diameter / 2.0;
    let begin = |pen: &mut Pen<'_>, part: &str, spot: Point| {
        if mine && pen.wants(part) {
            pen.part(part, spot);
        } else {
            pen.out.end();
        }
    };
    begin(pen, "vent_well", c + Vec2::new(0.0, r + 2.2));
    pen.out.solid(
        brush::circle(c, r + 3.0),
        brush::ball(Role::Cover, c, r + 3.0),
        Role::Cover,
        0.9,
    );
    begin(pen, "flame_arrestor", c + Vec2::new(-r * 0.94, 0.0));
    let stone = brush::circle(c, r);
    pen.out.solid(stone.clone(), brush::ball(Role::Stone, c, r), Role::Stone, 1.0);
    let grains = brush::speckle(&stone, 2.2, 0.3, 41);
    pen.out.shape(grains, Shade::new(Role::Stone, Tone::Edge).alpha(0.7), None);
    if let Some(f) = &a.funnel {
        let rim = f.rim / 2.0 * 0.88;
        begin(pen, "filling_funnel", c + Vec2::new(rim * 0.9, 0.0));
        pen.out.solid(
            brush::circle(c, rim),
            brush::ball(Role::Plastic, c, rim),
            Role::Plastic,
            1.0,
        );
        begin(pen, "dust_cap", c);
        let cap = rim * 0.72;
        pen.out.solid(
            brush::circle(c, cap),
            brush::ball(Role::DustCap, c, cap),
            Role::DustCap,
            1.0,
        );
        pen.out.line(brush::circle(c, 4.0), Stroke::new(0.8, Shade::edge(Role::DustCap)));
    }
    pen.out.end();
}

/// The plug of the thermometer opening.
fn port(pen: &mut Pen<'_>, c: Point, r: f64, mine: bool) {
    if mine {
        pen.part("temp_port", c);
    } else {
        pen.out.end();
    }
    pen.out.solid(brush::circle(c, r + 1.0), brush::ball(Role::Cover, c, r), Role::Cover, 0.9);
    pen.out.solid(brush::circle(c, r), brush::ball(Role::Hanger, c, r), Role::Hanger, 0.9);
    let slot = brush::rect(c.x - 0.6 * r, c.y - 0.7, c.x + 0.6 * r, c.y + 0.7);
    pen.out.shape(slot, Shade::edge(Role::Hanger), None);
    pen.out.end();
}

fn one_post(pen: &mut Pen<'_>, p: &Post, c: Point, mine: bool) {
    let r = p.diameter / 2.0;
    let begin = |pen: &mut Pen<'_>, part: &str, spot: Point| {
        if mine {
            pen.part(part, spot);
        } else {
            pen.out.end();
        }
    };
    let half = post::well_half(p.diameter);
    begin(pen, "seal_well", c + Vec2::new(-(half + 0.8), 0.0));
    pen.out.solid(
        brush::circle(c, half + 2.0),
        brush::ball(Role::Cover, c, half + 2.0),
        Role::Cover,
        0.9,
    );
    let seal = pen.layout.design.posts.seal;
    if seal == PostSeal::Nut {
        begin(pen, "seal_nut", c + Vec2::new(0.0, half - 2.2));
        let nut: Vec<Point> = (0..8)
            .map(|i| {
                let a = (f64::from(i) + 0.5) * std::f64::consts::FRAC_PI_4;
                c + Vec2::new(half * libm::cos(a), half * libm::sin(a))
            })
            .collect();
        pen.out.solid(
            brush::polygon(&nut),
            brush::ball(Role::Plastic, c, half),
            Role::Plastic,
            0.9,
        );
    }
    begin(pen, "post_cover_seal", c + Vec2::new(r + 1.4, 0.0));
    if mine {
        let target = pen.out.targets().len() as u32 - 1;
        pen.seals.push(SealPlace { target, center: c, post: r, half, free: 0.0 });
    }
    // A potted well is full of compound; under a nut only a ring of it shows.
    let ring = if seal == PostSeal::Potted { half - 0.6 } else { r + 2.8 };
    pen.out.solid(brush::circle(c, ring), Shade::base(Role::Seal), Role::Seal, 0.8);
    if seal == PostSeal::Sliding {
        begin(pen, "growth_seal", c + Vec2::new(-0.5 * (r + half), 0.0));
        let boot = brush::circle(c, half - 0.6);
        pen.out.solid(boot, brush::ball(Role::Rubber, c, half), Role::Rubber, 1.0);
        let fold = Shade::new(Role::Rubber, Tone::Light);
        pen.out.line(brush::circle(c, 0.5 * (r + half)), Stroke::new(0.8, fold));
        let clamp = brush::circle(c, r + 1.6);
        pen.out.solid(clamp, brush::ball(Role::Bolt, c, r + 1.6), Role::Bolt, 0.7);
    }
    let (part, role) = if p.positive {
        ("post_positive", Role::LeadPositiveAir)
    } else {
        ("post_negative", Role::LeadNegative)
    };
    begin(pen, part, c + Vec2::new(0.0, r * 0.6));
    pen.out.solid(brush::circle(c, r), brush::ball(role, c, r), role, weight::METAL);
    pen.out.end();
    // Moulded into the top of the post.
    let ink = if p.positive {
        Shade::new(Role::Panel, Tone::Base)
    } else {
        Shade::new(Role::InJar, Tone::Base)
    };
    if mine {
        pen.part("polarity_mark", c);
        pen.out.shape(brush::circle(c, r * 0.5), Shade::new(role, Tone::Base).alpha(0.4), None);
    }
    post::sign(pen, c, p.positive, r * 0.42, ink, 2.2);
    pen.out.end();
}

/// Bars between the posts: each joins a positive to the negative of the next cell.
fn bars(pen: &mut Pen<'_>, pitch: f64) {
    if !pen.wants("intercell_connector") {
        return;
    }
    let beside = pen.layout.turns_in_row();
    let ends: Vec<Vec<(Point, bool)>> =
        [(-pitch, beside), (pen.effects.slide, false), (pitch, beside)]
            .iter()
            .map(|(x0, turned)| {
                pen.layout
                    .cells
                    .iter()
                    .flat_map(|c| &c.posts)
                    .map(|p| (place(pen, *x0, *turned, p.x, p.z), p.positive))
                    .collect()
            })
            .collect();
    // The negative of each cell goes to the positive of the next one on the right.
    // Of several posts the nearest ones are joined first.
    let joined: Vec<Vec<(Point, Point)>> = ends
        .windows(2)
        .map(|pair| {
            let from = pair[0].iter().filter(|e| !e.1).map(|e| e.0).collect();
            let to = pair[1].iter().filter(|e| e.1).map(|e| e.0).collect();
            by_x(from, true).into_iter().zip(by_x(to, false)).collect()
        })
        .collect();
    let width = |left: bool| if left { pen.bounds.x0 + 12.0 } else { pen.bounds.x1 - 8.0 };
    let loose = |end: &[(Point, bool)], positive: bool| -> Vec<(Point, Point)> {
        let to = width(positive);
        let list = end.iter().filter(|e| e.1 == positive).map(|e| e.0);
        by_x(list.collect(), !positive).into_iter().map(|p| (p, Point::new(to, p.y))).collect()
    };
    let (first, last) = (loose(&ends[0], true), loose(&ends[2], false));
    for run in joined {
        run_of_bars(pen, &run, false);
    }
    run_of_bars(pen, &first, true);
    run_of_bars(pen, &last, true);
    pen.out.end();
}

/// Points from the left, or from the right.
fn by_x(mut points: Vec<Point>, from_right: bool) -> Vec<Point> {
    points.sort_by(|a, b| if from_right { b.x.total_cmp(&a.x) } else { a.x.total_cmp(&b.x) });
    points
}

/// The bars of one joint, the nearest pair of posts first. Where a polarity has several posts
/// the bars of farther pairs lie outside, on packing pieces; bolts hold all of them.
fn run_of_bars(pen: &mut Pen<'_>, pairs: &[(Point, Point)], cut: bool) {
    let bars = pen.layout.design.connector.bars as usize;
    // A single bar lies at the rear of its posts, which is up on the page.
    let sides = || [-1.0, 1.0].into_iter().take(bars);
    let runs: Vec<Run> = pairs.iter().map(|(a, b)| Run::new(pen, *a, *b, cut)).collect();
    for side in sides() {
        for (layer, run) in runs.iter().enumerate() {
            one_bar(pen, run, side, layer as f64);
        }
        for run in &runs {
            bolts(pen, run, side, runs.len() as f64, bars == 1);
        }
    }
}

/// A line from post to post, or from a post to the cut end of a bar.
struct Run {
    /// Brings the level line from the origin to its place.
    turn: Affine,
    /// The left end in the picture.
    from: Point,
    /// Whether the line is level in the picture.
    level: bool,
    /// Where the bar begins and ends along the line.
    span: (f64, f64),
    /// Where posts stand along the line.
    posts: Vec<f64>,
    /// Where the bar is cut, and which way it goes on from there.
    cut: Option<(f64, f64)>,
}

impl Run {
    fn new(pen: &Pen<'_>, a: Point, b: Point, cut: bool) -> Self {
        let r = pen.layout.design.posts.diameter / 2.0;
        // The second point is the cut end.
        let cut_left = cut && b.x < a.x;
        let (a, b) = if b.x < a.x { (b, a) } else { (a, b) };
        let way = b - a;
        let long = way.hypot();
        let (span, posts, cut) = match (cut, cut_left) {
            (false, _) => ((-r, long + r), vec![0.0, long], None),
            (true, true) => ((0.0, long + r), vec![long], Some((0.0, 1.0))),
            (true, false) => ((-r, long), vec![0.0], Some((long, -1.0))),
        };
        Self {
            turn: Affine::translate(a.to_vec2()) * Affine::rotate(libm::atan2(way.y, way.x)),
            from: a,
            level: way.y.abs() < 0.5,
            span,
            posts,
            cut,
        }
    }

    /// A bar lit from above where it runs level; a plain one elsewhere.
    fn fill(&self, role: Role, top: f64, bottom: f64) -> Paint {
        if self.level {
            brush::down(role, self.from.y + top, self.from.y + bottom)
        } else {
            Shade::base(role).into()
        }
    }
}

fn one_bar(pen: &mut Pen<'_>, run: &Run, side: f64, layer: f64) {
    let c = &pen.layout.design.connector;
    let (thick, make) = (c.thickness, c.make);
    let r = pen.layout.design.posts.diameter / 2.0;
    let role = match make {
        ConnectorMake::PlatedBar => Role::Connector,
        ConnectorMake::LeadCovered => Role::LeadNegative,
        ConnectorMake::FlexibleInsulated => Role::Rubber,
    };
    let y = side * (r + thick * (layer + 0.5));
    let (top, bottom) = (y - thick / 2.0, y + thick / 2.0);
    let (start, end) = run.span;
    pen.part("intercell_connector", run.turn * Point::new(0.5 * (start + end), y));
    let bar = run.turn * brush::rounded(start, top, end, bottom, 0.8);
    pen.out.solid(bar, run.fill(role, top, bottom), role, weight::METAL);
    let inner = if side < 0.0 { bottom } else { top };
    for x in &run.posts {
        if layer > 0.0 {
            let packing = brush::rect(x - r, inner, x + r, inner - side * layer * thick);
            let fill = Shade::new(Role::Connector, Tone::Dark);
            pen.out.solid(run.turn * packing, fill, Role::Connector, 0.9);
        }
        if make == ConnectorMake::FlexibleInsulated {
            let eye = brush::rounded(x - r - 4.0, top, x + r + 4.0, bottom, 0.8);
            let fill = run.fill(Role::Connector, top, bottom);
            pen.out.solid(run.turn * eye, fill, Role::Connector, 0.9);
        }
    }
    if let Some((x, dir)) = run.cut {
        let wedge = [Point::new(x, top), Point::new(x + dir * 2.5, y), Point::new(x, bottom)];
        pen.out.shape(run.turn * brush::polygon(&wedge), Shade::base(Role::Copper), None);
    }
}

/// Bolt heads on the outermost bar, with their washers; the nut of a single bar is on the
/// other side of the post.
fn bolts(pen: &mut Pen<'_>, run: &Run, side: f64, layers: f64, nut: bool) {
    let r = pen.layout.design.posts.diameter / 2.0;
    let outer = side * (r + layers * pen.layout.design.connector.thickness);
    let stub = |pen: &mut Pen<'_>, x: f64, from: f64, side: f64| {
        let body = run.turn * brush::rounded(x - 4.0, from, x + 4.0, from + side * 4.0, 0.8);
        let at = run.turn * Point::new(x, from);
        pen.out.solid(body, brush::across(Role::Bolt, at.x - 4.0, at.x + 4.0), Role::Bolt, 0.9);
    };
    for x in &run.posts {
        pen.part("connection_washer", run.turn * Point::new(x + 5.0, outer + side * 0.6));
        let washer = run.turn * brush::rect(x - 6.0, outer, x + 6.0, outer + side * 1.3);
        pen.out.solid(washer, Shade::base(Role::Bolt), Role::Bolt, 0.6);
        let head = outer + side * 1.3;
        pen.part("connection_bolt", run.turn * Point::new(*x, head + side * 2.0));
        stub(pen, *x, head, side);
        if nut {
            stub(pen, *x, -side * r, -side);
        }
    }
}
