//! Why a design cannot be built, with the sum that fails.

use super::{Sums, stack, top as upper, well_half};
use jarlight_model::{
    design::{Construction, Design, Feature, PostSeal, Support},
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

    for (field, value) in [("plates.width", d.plates.width), ("plates.height", d.plates.height)] {
        if !(60.0..=2000.0).contains(&value) {
            no(field, format!("{field} must be from 60 to 2000 mm, met {}", mm(value)));
        }
    }
    let positive_sizes: [(&'static str, f64, f64); 19] = [
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
    plates(d, &mut out);
    sheets(d, &mut out);
    bridge(d, &mut out);
    heights(d, &mut out);
    top(d, &mut out);
    tubes(d, &mut out);
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
    if round && (d.jar.cells > 1 || d.posts.each > 1 || d.tubes.is_some() || d.mat > 0.0) {
        no("round", "a round-plate cell has one cell, one post of each polarity, no tube, no mat");
    }
    if round
        && [Feature::EndSpacers, Feature::MossShield, Feature::EdgeInsulators]
            .iter()
            .any(|f| d.has(*f))
    {
        no("features", "a flat stack has no end spacers, moss shield or edge insulators");
    }
    if d.has(Feature::MatWrapper) && d.mat <= 0.0 {
        no("features", "a mat wrapper needs a mat");
    }
    if d.has(Feature::EndSpacers) && d.jar.clearance_x < 1.5 {
        no("jar.clearance_x", "an end spacer needs 1.5 mm between stack and wall");
    }
    if d.bridge.ribs > 8 {
        no("bridge.ribs", "a cell has at most 8 ribs");
    }
    let stands = matches!(d.support, Support::Standing | Support::HungPositives);
    if !stands && d.bridge.ribs > 0 {
        no("bridge.ribs", "where no plate stands there are no ribs; write 0");
    }
    if (stands || round) && d.bridge.width <= 0.0 {
        no("bridge.width", "what carries plates is wider than 0 mm");
    }
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

fn round(d: &Design, out: &mut Vec<Impossible>) {
    let mut no = |field, message| out.push(Impossible { field, message });
    let Some(r) = &d.round else { return };
    let sums = Sums::of(d);
    let axis = r.jar_diameter / 2.0;
    let rim = r.riser_at + r.riser_width / 2.0;
    if rim > axis {
        no(
            "round.riser_at",
            format!(
                "the riser ends at {} + {} / 2 = {} mm from the axis, the jar wall stands at \
                 {} / 2 = {} mm",
                mm(r.riser_at),
                mm(r.riser_width),
                mm(rim),
                mm(r.jar_diameter),
                mm(axis)
            ),
        );
    }
    let inner = r.riser_at - r.riser_width / 2.0;
    if r.plate_diameter / 2.0 > inner {
        no(
            "round.plate_diameter",
            format!(
                "the plates reach {} / 2 = {} mm from the axis, the riser begins at {} − {} / 2 = \
                 {} mm",
                mm(r.plate_diameter),
                mm(r.plate_diameter / 2.0),
                mm(r.riser_at),
                mm(r.riser_width),
                mm(inner)
            ),
        );
    }
    if (d.plates.height - sums.stack).abs() > 0.05 {
        no(
            "plates.height",
            format!(
                "plates and separators add up to {} mm, `height` says {}",
                mm(sums.stack),
                mm(d.plates.height)
            ),
        );
    }
    let ring = stack::ring_radius(d) + d.bridge.width;
    if ring > r.plate_diameter / 2.0 {
        no("bridge.width", format!("the ring reaches {} mm, past the plates", mm(ring)));
    }
    if r.riser_at + r.riser_width / 2.0 < r.post_at + d.posts.diameter / 2.0 {
        no("round.post_at", "the negative post stands between the axis and the riser".to_owned());
    }
    let well = well_half(d.posts.diameter);
    if r.post_at < well + well.max(upper::vent_radius(d)) {
        no(
            "round.post_at",
            format!(
                "posts and vent {} mm from the axis do not stand beside the post on the axis",
                mm(r.post_at)
            ),
        );
    }
    let far = r.post_at + well.max(upper::vent_radius(d));
    if far > axis {
        no(
            "round.post_at",
            format!("post and vent reach {} mm from the axis, the jar {}", mm(far), mm(axis)),
        );
    }
}

/// Thicknesses along the stack, and what a plate is made of.
fn plates(d: &Design, out: &mut Vec<Impossible>) {
    if d.round.is_some() {
        round(d, out);
        return;
    }
    let mut no = |field, message| out.push(Impossible { field, message });
    if d.plates.end_negative > d.plates.inside_negative {
        no(
            "plates.end_negative",
            format!(
                "an end negative works on one face and is no thicker than an inside one: {} > {} mm",
                mm(d.plates.end_negative),
                mm(d.plates.inside_negative)
            ),
        );
    }
    if d.plates.positive <= d.plates.inside_negative {
        no(
            "plates.positive",
            format!(
                "the positive is the thickest plate: {} is not over {} mm",
                mm(d.plates.positive),
                mm(d.plates.inside_negative)
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
                    t.tubes.max(1) - 1,
                    mm(t.pitch),
                    mm(t.diameter),
                    mm(width),
                    mm(d.plates.width)
                ),
            );
        }
        if t.diameter > d.plates.positive {
            no(
                "tubular.diameter",
                format!(
                    "a tube of {} mm is thicker than its plate of {} mm",
                    mm(t.diameter),
                    mm(d.plates.positive)
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
                    mm(p.depth),
                    mm(p.web),
                    mm(p.depth),
                    mm(sum),
                    mm(d.plates.positive)
                ),
            );
        }
    }
}

/// Separators, mats and what lies on them.
fn sheets(d: &Design, out: &mut Vec<Impossible>) {
    if d.round.is_some() {
        return;
    }
    let sums = Sums::of(d);
    let mut no = |field, message| out.push(Impossible { field, message });
    if d.separator.side > d.jar.clearance_z {
        no(
            "separator.side",
            format!(
                "the separator needs {} + 2 × {} = {} mm in depth, the jar has {} + 2 × {} = {} mm",
                mm(d.plates.width),
                mm(d.separator.side),
                mm(d.plates.width + 2.0 * d.separator.side),
                mm(d.plates.width),
                mm(d.jar.clearance_z),
                mm(sums.inner_z)
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
    let shield = if d.has(Feature::MossShield) { stack::SHIELD } else { 0.0 };
    if d.separator.above + shield > d.heights.lug {
        no(
            "separator.above",
            format!(
                "separator and shield end {} + {} = {} mm above the plate, the strap begins {} mm \
                 above it",
                mm(d.separator.above),
                mm(shield),
                mm(d.separator.above + shield),
                mm(d.heights.lug)
            ),
        );
    }
    if d.bridge.ribs > 0 && d.separator.below > d.heights.feet {
        no(
            "separator.below",
            format!(
                "separators that reach {} mm below the plates meet ribs that lie {} mm below",
                mm(d.separator.below),
                mm(d.heights.feet)
            ),
        );
    }
}

/// Ribs and the feet on them.
fn bridge(d: &Design, out: &mut Vec<Impossible>) {
    let shares = stack::rib_shares(d.bridge.ribs);
    let Some(first) = shares.first() else { return };
    let mut no = |field, message| out.push(Impossible { field, message });
    let foot = stack::foot_width(d);
    let edge = d.jar.clearance_z + first * d.plates.width;
    if edge < foot / 2.0 {
        no(
            "bridge.width",
            format!(
                "a foot of {} mm on a rib {} mm from the wall does not fit",
                mm(foot),
                mm(edge)
            ),
        );
    }
    let pitch =
        shares.windows(2).map(|w| (w[1] - w[0]) * d.plates.width).fold(f64::INFINITY, f64::min);
    let need = foot / 2.0 + (foot / 2.0).max(d.bridge.width / 2.0);
    if pitch < need {
        no(
            "bridge.width",
            format!(
                "ribs stand {} mm apart; a foot of {} mm and its neighbour need {} mm",
                mm(pitch),
                mm(foot),
                mm(need)
            ),
        );
    }
}

fn heights(d: &Design, out: &mut Vec<Impossible>) {
    let mut no = |field, message| out.push(Impossible { field, message });
    let sums = Sums::of(d);
    let levels = sums.levels(d, &super::Deformation::default());
    if d.round.is_some() {
        return;
    }
    if d.separator.below > levels.plate_bottom {
        no(
            "separator.below",
            format!(
                "the separator reaches {} mm below plates that begin {} mm over the floor",
                mm(d.separator.below),
                mm(levels.plate_bottom)
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
                    mm(d.jar.clearance_z),
                    mm(d.separator.side),
                    mm(depth)
                ),
            );
        }
    }
    if d.jar.cells > 1 && d.heights.head < upper::JOINT_OVER + upper::JOINT + 1.0 {
        no(
            "heights.head",
            format!(
                "the joint over the partition needs {} + {} + 1 = {} mm of gas space, met {}",
                mm(upper::JOINT_OVER),
                mm(upper::JOINT),
                mm(upper::JOINT_OVER + upper::JOINT + 1.0),
                mm(d.heights.head)
            ),
        );
    }
    if let Some(f) = &d.arrestor.funnel {
        let beside = 0.25 * d.plates.width >= upper::strap_half(d) + f.stem / 2.0;
        let end = levels.low - upper::STEM_UNDER;
        let over = levels.plate_top + d.separator.above + stack::SHIELD;
        if (!beside && d.heights.low_over < upper::STEM_UNDER) || end < over {
            no(
                "heights.low_over",
                format!(
                    "the funnel stem ends {} mm under the low line and meets what stands there",
                    mm(upper::STEM_UNDER)
                ),
            );
        }
    }
    if d.posts.seal == PostSeal::Nut && d.posts.above < d.connector.width + 5.0 {
        no(
            "posts.above",
            format!(
                "bar {} + seal nut 5 = {} mm do not fit on a post that stands {} mm above the cover",
                mm(d.connector.width),
                mm(d.connector.width + 5.0),
                mm(d.posts.above)
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
    if let Some(f) = &d.arrestor.funnel
        && f.stem >= d.arrestor.diameter
    {
        no(
            "arrestor.funnel",
            format!(
                "the stem of {} mm goes through a stone of {} mm",
                mm(f.stem),
                mm(d.arrestor.diameter)
            ),
        );
    }
    circles(d, out);
}

/// Seal wells, vent and thermometer port stand side by side on the cover of a cell.
fn circles(d: &Design, out: &mut Vec<Impossible>) {
    if d.round.is_some() {
        return;
    }
    let sums = Sums::of(d);
    let line = |share: f64| d.jar.clearance_z + share * d.plates.width;
    let well = well_half(d.posts.diameter);
    let vent = upper::vent_radius(d);
    let middle = (0.5 * sums.inner_x, 0.5 * sums.inner_z);
    let pairs: Vec<(f64, bool)> = if d.posts.each == 1 {
        vec![(upper::POST_AT.0, true), (upper::POST_AT.1, false)]
    } else {
        upper::post_shares(d.posts.each).into_iter().flat_map(|s| [(s, true), (s, false)]).collect()
    };
    let mut round: Vec<(&str, f64, f64, f64)> = pairs
        .iter()
        .map(|(share, front)| {
            let z = line(if *front { stack::LUG_AT.0 } else { stack::LUG_AT.1 });
            ("a post with its seal", share * sums.inner_x, z, well)
        })
        .collect();
    round.push(("the vent", middle.0, middle.1, vent));
    if d.has(Feature::TemperaturePort) {
        let (x, z, dia) = upper::temp_port_at(d, middle);
        round.push(("the thermometer port", x, z, dia / 2.0));
    }
    for (i, (name, x, z, r)) in round.iter().enumerate() {
        let side = x.min(sums.inner_x - x).min(*z).min(sums.inner_z - z);
        if side < *r {
            out.push(Impossible {
                field: "posts.diameter",
                message: format!(
                    "{name} of {} mm across stands {} mm from the wall",
                    mm(2.0 * r),
                    mm(side)
                ),
            });
        }
        for (other, ox, oz, or) in &round[i + 1..] {
            let apart = ((x - ox) * (x - ox) + (z - oz) * (z - oz)).sqrt();
            if apart < r + or {
                out.push(Impossible {
                    field: "posts.diameter",
                    message: format!(
                        "{name} and {other} need {} + {} = {} mm between their middles, met {}",
                        mm(*r),
                        mm(*or),
                        mm(r + or),
                        mm(apart)
                    ),
                });
            }
        }
    }
}

/// A sampling tube fits in the corner past the end negative, and bars find room beside it.
fn tubes(d: &Design, out: &mut Vec<Impossible>) {
    let Some(t) = &d.tubes else { return };
    let mut no = |field, message| out.push(Impossible { field, message });
    if !(1..=2).contains(&t.count) {
        no("tubes.count", format!("a cell has 1 or 2 sampling tubes, met {}", t.count));
    }
    if !(t.diameter > 0.0 && t.diameter <= 40.0) {
        no("tubes.diameter", format!("a tube is over 0 and at most 40 mm, met {}", mm(t.diameter)));
        return;
    }
    if d.round.is_some() {
        return;
    }
    let r = t.diameter / 2.0;
    let reach = upper::TUBE_FREE + r;
    // The nearest corner of the last separator, seen from the corner of the jar.
    let sheet = (d.jar.clearance_x + d.plates.end_negative, d.jar.clearance_z - d.separator.side);
    let away = (sheet.0 - reach, sheet.1 - reach);
    let free = match (away.0 > 0.0, away.1 > 0.0) {
        (true, true) => (away.0 * away.0 + away.1 * away.1).sqrt(),
        (true, false) => away.0,
        (false, true) => away.1,
        (false, false) => 0.0,
    };
    if free < r {
        no(
            "tubes.diameter",
            format!(
                "a tube of {} mm in the corner needs {} mm from its middle to the last separator, \
                 met {}",
                mm(t.diameter),
                mm(r),
                mm(free)
            ),
        );
    }
    // The end negative is wider in x but ends before the separator in z.
    let plate = d.jar.clearance_z - reach;
    if plate < r {
        no(
            "tubes.diameter",
            format!(
                "a tube of {} mm hangs beside the plates, where {} mm are free",
                mm(t.diameter),
                mm(d.jar.clearance_z - upper::TUBE_FREE)
            ),
        );
    }
    let hung = matches!(d.support, Support::HungPositives | Support::AllHung);
    let line = d.jar.clearance_z - d.separator.side - stack::bar_depth(d);
    if hung && upper::TUBE_FREE + t.diameter > line {
        let bar_end = upper::TUBE_FREE + t.diameter + 0.5;
        let (edge, what) = match d.support {
            Support::AllHung => (d.jar.clearance_x + d.plates.end_negative - 2.0, "end negative"),
            _ => (
                d.jar.clearance_x + d.plates.end_negative + d.separator.thickness + d.mat,
                "last positive",
            ),
        };
        if bar_end > edge {
            no(
                "tubes.diameter",
                format!(
                    "the bar ends {} mm from the wall beside the tube, and must carry the {what}, \
                     {} mm from it",
                    mm(bar_end),
                    mm(edge)
                ),
            );
        }
    }
}
