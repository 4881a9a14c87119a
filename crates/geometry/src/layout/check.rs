//! Why a design cannot be built, with the sum that fails.

use super::Sums;
use jarlight_model::{
    design::{Construction, Design, PostSeal, Support},
    unit::trimmed,
};

/// A contradiction in a design.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Impossible {
    /// The field of the design file that is most likely wrong.
    pub field: &'static str,
    /// What fails, with the arithmetic.
    pub message: String,
}

fn mm(v: f64) -> String {
    trimmed(v, 2)
}

/// Everything about a design that cannot be; empty for a sound one.
pub fn check(d: &Design) -> Vec<Impossible> {
    let mut out = Vec::new();
    let mut no = |field, message: String| out.push(Impossible { field, message });

    let positive_sizes: [(&'static str, f64, f64); 21] = [
        ("plates.width", d.plates.width, 2000.0),
        ("plates.height", d.plates.height, 2000.0),
        ("plates.positive", d.plates.positive, 40.0),
        ("plates.inside_negative", d.plates.inside_negative, 40.0),
        ("plates.end_negative", d.plates.end_negative, 40.0),
        ("separator.thickness", d.separator.thickness, 20.0),
        ("jar.wall", d.jar.wall, 40.0),
        ("jar.floor", d.jar.floor, 60.0),
        ("jar.cover", d.jar.cover, 60.0),
        ("heights.sediment", d.heights.sediment, 300.0),
        ("heights.lug", d.heights.lug, 200.0),
        ("heights.strap", d.heights.strap, 100.0),
        ("heights.low_over", d.heights.low_over, 200.0),
        ("heights.span", d.heights.span, 300.0),
        ("heights.head", d.heights.head, 300.0),
        ("posts.diameter", d.posts.diameter, 120.0),
        ("posts.above", d.posts.above, 200.0),
        ("connector.width", d.connector.width, 150.0),
        ("connector.thickness", d.connector.thickness, 40.0),
        ("arrestor.diameter", d.arrestor.diameter, 150.0),
        ("arrestor.height", d.arrestor.height, 250.0),
    ];
    for (field, value, most) in positive_sizes {
        if !(value > 0.0 && value <= most) {
            no(field, format!("{field} must be over 0 and at most {most} mm, met {}", mm(value)));
        }
    }
    for (field, value) in [
        ("mat", d.mat),
        ("heights.feet", d.heights.feet),
        ("heights.hung_short", d.heights.hung_short),
        ("separator.above", d.separator.above),
        ("separator.below", d.separator.below),
        ("separator.side", d.separator.side),
        ("jar.clearance_x", d.jar.clearance_x),
        ("jar.clearance_z", d.jar.clearance_z),
    ] {
        if !(0.0..=200.0).contains(&value) {
            no(field, format!("{field} must be from 0 to 200 mm, met {}", mm(value)));
        }
    }
    if !(1..=60).contains(&d.plates.positives) {
        let n = d.plates.positives;
        no("plates.positives", format!("a cell has 1 to 60 positives, met {n}"));
    }
    if !(1..=6).contains(&d.jar.cells) {
        no("jar.cells", format!("a jar has 1 to 6 cells, met {}", d.jar.cells));
    }
    if !(1..=4).contains(&d.posts.each) {
        no("posts.each", format!("a cell has 1 to 4 posts of each polarity, met {}", d.posts.each));
    }
    if !(1..=2).contains(&d.connector.bars) {
        no("connector.bars", format!("a joint has 1 or 2 bars, met {}", d.connector.bars));
    }
    if !out.is_empty() {
        return out;
    }
    kinds(d, &mut out);
    stack(d, &mut out);
    heights(d, &mut out);
    top(d, &mut out);
    out
}

fn kinds(d: &Design, out: &mut Vec<Impossible>) {
    let mut no = |field, message: &str| out.push(Impossible { field, message: message.to_owned() });
    let round = d.construction == Construction::RoundPlate;
    if round != d.round.is_some() || round != (d.support == Support::Ring) {
        no("round", "a round-plate cell, and only that, needs `round` and `support: Ring`");
    }
    if (d.construction == Construction::Tubular) != d.tubular.is_some() {
        no("tubular", "a tubular cell, and only that, needs `tubular`");
    }
    if (d.construction == Construction::Plante) != d.plante.is_some() {
        no("plante", "a Planté cell, and only that, needs `plante`");
    }
    if d.jar.cells > 1 && d.jar.partition <= 0.0 {
        no("jar.partition", "a jar of several cells needs a partition over 0 mm");
    }
    if d.jar.cells > 1 && d.posts.each > 1 {
        no("posts.each", "a jar of several cells has one post of each polarity");
    }
    let stands = matches!(d.support, Support::Standing | Support::HungPositives);
    if stands && d.bridge.ribs == 0 {
        no("bridge.ribs", "plates that stand need at least one rib; write ribs, or `AllHung`");
    }
    if d.support == Support::Standing && d.bridge.ribs < 4 {
        no("bridge.ribs", "positive and negative feet never share a rib: standing packs need 4");
    }
    if stands && d.heights.feet <= 0.0 {
        no("heights.feet", "plates that stand need feet over 0 mm");
    }
}

fn stack(d: &Design, out: &mut Vec<Impossible>) {
    let mut no = |field, message| out.push(Impossible { field, message });
    let sums = Sums::of(d);
    if let Some(r) = &d.round {
        let rim = r.riser_at + r.riser_width / 2.0;
        if rim > r.jar_diameter / 2.0 {
            no(
                "round.riser_at",
                format!(
                    "the riser ends at {} + {} / 2 = {} mm from the axis, the jar wall stands at \
                     {} / 2 = {} mm",
                    mm(r.riser_at), mm(r.riser_width), mm(rim), mm(r.jar_diameter),
                    mm(r.jar_diameter / 2.0)
                ),
            );
        }
        if r.plate_diameter / 2.0 > r.riser_at {
            no(
                "round.plate_diameter",
                format!(
                    "the plates reach {} / 2 = {} mm from the axis, past the riser at {} mm",
                    mm(r.plate_diameter), mm(r.plate_diameter / 2.0), mm(r.riser_at)
                ),
            );
        }
        return;
    }
    if d.plates.end_negative > d.plates.inside_negative {
        no(
            "plates.end_negative",
            format!(
                "an end negative works on one face and is no thicker than an inside one: {} > {} mm",
                mm(d.plates.end_negative), mm(d.plates.inside_negative)
            ),
        );
    }
    if d.plates.positive <= d.plates.inside_negative {
        no(
            "plates.positive",
            format!(
                "the positive is the thickest plate: {} is not over {} mm",
                mm(d.plates.positive), mm(d.plates.inside_negative)
            ),
        );
    }
    if d.separator.side > d.jar.clearance_z {
        no(
            "separator.side",
            format!(
                "the separator needs {} + 2 × {} = {} mm in depth, the jar has {} + 2 × {} = {} mm",
                mm(d.plates.width), mm(d.separator.side),
                mm(d.plates.width + 2.0 * d.separator.side), mm(d.plates.width),
                mm(d.jar.clearance_z), mm(sums.inner_z)
            ),
        );
    }
    if d.separator.side <= 0.0 || d.separator.above <= 0.0 || d.separator.below <= 0.0 {
        no(
            "separator",
            "a separator stands past the plates on every side: above, below and side are over 0"
                .to_owned(),
        );
    }
    if sums.inner_x < 2.0 * d.posts.diameter * f64::from(d.posts.each).max(1.0) * 0.5 {
        no(
            "posts.diameter",
            format!(
                "{} posts of {} mm do not stand side by side in {} mm",
                d.posts.each, mm(d.posts.diameter), mm(sums.inner_x)
            ),
        );
    }
    if let Some(t) = &d.tubular {
        let width = f64::from(t.tubes.max(1) - 1) * t.pitch + t.diameter;
        if width > d.plates.width {
            no(
                "tubular.tubes",
                format!(
                    "{} × {} + {} = {} mm of tubes do not fit a plate of {} mm",
                    t.tubes.max(1) - 1, mm(t.pitch), mm(t.diameter), mm(width), mm(d.plates.width)
                ),
            );
        }
        if t.diameter > d.plates.positive {
            no(
                "tubular.diameter",
                format!(
                    "a tube of {} mm is thicker than its plate of {} mm",
                    mm(t.diameter), mm(d.plates.positive)
                ),
            );
        }
    }
    if let Some(p) = &d.plante {
        let sum = 2.0 * p.depth + p.web;
        if (sum - d.plates.positive).abs() > 0.05 {
            no(
                "plante.depth",
                format!(
                    "{} + {} + {} = {} mm is not the plate thickness of {} mm",
                    mm(p.depth), mm(p.web), mm(p.depth), mm(sum), mm(d.plates.positive)
                ),
            );
        }
    }
}

fn heights(d: &Design, out: &mut Vec<Impossible>) {
    let mut no = |field, message| out.push(Impossible { field, message });
    let sums = Sums::of(d);
    let levels = sums.levels(d, &super::Deformation::default());
    if d.round.is_some() {
        return;
    }
    if d.separator.above >= d.heights.lug {
        no(
            "separator.above",
            format!(
                "the separator ends {} mm above the plate, the strap begins {} mm above it; the \
                 separator must end below",
                mm(d.separator.above), mm(d.heights.lug)
            ),
        );
    }
    if d.separator.below > levels.plate_bottom {
        no(
            "separator.below",
            format!(
                "the separator reaches {} mm below plates that begin {} mm over the floor",
                mm(d.separator.below), mm(levels.plate_bottom)
            ),
        );
    }
    if d.support == Support::HungPositives && d.heights.hung_short + d.heights.feet <= 0.0 {
        no("heights.hung_short", "hung positives need room over the rib".to_owned());
    }
    if d.support == Support::HungPositives {
        let depth = d.jar.clearance_z - d.separator.side;
        if depth < 3.0 {
            no(
                "jar.clearance_z",
                format!(
                    "a hanger bar needs 3 mm beside the separators: {} − {} = {} mm",
                    mm(d.jar.clearance_z), mm(d.separator.side), mm(depth)
                ),
            );
        }
    }
    if d.posts.seal == PostSeal::Nut && d.posts.above < d.connector.width + 5.0 {
        no(
            "posts.above",
            format!(
                "bar {} + seal nut 5 = {} mm do not fit on a post that stands {} mm above the cover",
                mm(d.connector.width), mm(d.connector.width + 5.0), mm(d.posts.above)
            ),
        );
    }
    if d.posts.seal != PostSeal::Nut && d.posts.above < 16.0 {
        no(
            "posts.above",
            format!("a post needs 16 mm above the cover, met {} mm", mm(d.posts.above)),
        );
    }
}

fn top(d: &Design, out: &mut Vec<Impossible>) {
    let mut no = |field, message| out.push(Impossible { field, message });
    let sums = Sums::of(d);
    if let Some(f) = &d.arrestor.funnel
        && f.stem >= d.arrestor.diameter
    {
        no(
            "arrestor.funnel",
            format!(
                "the stem of {} mm goes through a stone of {} mm",
                mm(f.stem), mm(d.arrestor.diameter)
            ),
        );
    }
    if d.arrestor.diameter > sums.inner_x.min(sums.inner_z) {
        no(
            "arrestor.diameter",
            format!(
                "an arrestor of {} mm does not fit a cell of {} × {} mm",
                mm(d.arrestor.diameter), mm(sums.inner_x), mm(sums.inner_z)
            ),
        );
    }
    if let Some(t) = &d.tubes {
        let room = d.jar.clearance_z - d.separator.side;
        if d.round.is_none() && t.diameter > room + d.separator.side {
            no(
                "tubes.diameter",
                format!(
                    "a tube of {} mm hangs beside the pack, where {} mm are free",
                    mm(t.diameter), mm(d.jar.clearance_z)
                ),
            );
        }
        if !(1..=2).contains(&t.count) {
            no("tubes.count", format!("a cell has 1 or 2 sampling tubes, met {}", t.count));
        }
    }
}
