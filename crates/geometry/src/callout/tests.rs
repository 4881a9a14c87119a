//! Properties of placed labels over random drawings.

use super::*;
use crate::scene::{SceneBuilder, Weight};
use crate::text;
use proptest::prelude::*;

const NAMES: [(&str, &str); 10] = [
    ("Positive plate", "brown to nearly black; the thickest"),
    ("Inside negative plate", "grey; a positive on each side"),
    ("Jar", "the clear box; outermost part of the cell"),
    ("Electrolyte", "clear and colourless, like water"),
    ("Withdrawal tube", "thin tube beside the plates; dips deep"),
    ("Post seal", "collar where a post meets the cover"),
    ("Strap", ""),
    ("Jar-to-cover seal", "thin line all round under the cover rim"),
    ("Sediment space", "the empty room under the plates"),
    ("Moss shield", "perforated sheet on top of the separators"),
];

#[derive(Clone, Debug)]
struct Case {
    area: Rect,
    bounds: Rect,
    spots: Vec<(f64, f64)>,
    scale: f64,
    numbers: bool,
}

/// Spots at random, or on a coarse grid, where many lie level or above one another.
fn spots(max: usize) -> impl Strategy<Value = Vec<(f64, f64)>> {
    let free = prop::collection::vec((0.0..1.0f64, 0.0..1.0f64), 1..=max);
    let grid = prop::collection::vec((0..=8u8, 0..=8u8), 1..=max).prop_map(|v| {
        v.into_iter().map(|(x, y)| (f64::from(x) / 8.0, f64::from(y) / 8.0)).collect()
    });
    prop_oneof![free, grid]
}

fn any_case() -> impl Strategy<Value = Case> {
    let place = (300.0..1900.0f64, 120.0..1300.0f64, 0.0..0.4f64, 0.6..1.0f64, -80.0..80.0f64);
    (place, spots(30), 1.0..=2.0f64, any::<bool>()).prop_map(
        |((w, h, x0, x1, off), spots, scale, numbers)| {
            let area = Rect::new(off, -off, off + w, h - off);
            let bounds = Rect::new(off + x0 * w, area.y0 + 0.1 * h, off + x1 * w, area.y1);
            Case { area, bounds, spots, scale, numbers }
        },
    )
}

fn placed(case: &Case) -> (Vec<Label>, Placed) {
    let mut b = SceneBuilder::new(case.bounds);
    let mut labels = Vec::new();
    for (i, (x, y)) in case.spots.iter().enumerate() {
        let (w, h) = (case.bounds.width(), case.bounds.height());
        b.begin("part", Point::new(case.bounds.x0 + x * w, case.bounds.y0 + y * h));
        let (name, note) = NAMES[i % NAMES.len()];
        labels.push(Label {
            target: i as u32,
            name: name.to_owned(),
            note: (!note.is_empty()).then(|| note.to_owned()),
            rank: (i as u32 * 7) % 31,
        });
    }
    let scene = b.finish();
    let style = if case.numbers { Style::Numbers } else { Style::Names };
    let ask =
        Ask { scene: &scene, labels: &labels, area: case.area, text_scale: case.scale, style };
    let placed = place(&ask);
    (labels, placed)
}

/// Where two lines meet, by solving for both parameters; not the method that `place` uses.
fn meet(a: Line, b: Line) -> bool {
    let (r, s) = (a.p1 - a.p0, b.p1 - b.p0);
    let det = r.cross(s);
    if det.abs() < 1e-12 {
        return false;
    }
    let t = (b.p0 - a.p0).cross(s) / det;
    let u = (b.p0 - a.p0).cross(r) / det;
    (0.0..=1.0).contains(&t) && (0.0..=1.0).contains(&u)
}

fn lines(label: &PlacedLabel) -> impl Iterator<Item = Line> {
    label.leader.windows(2).map(|w| Line::new(w[0], w[1]))
}

/// No leader crosses another or runs under a label, no two labels overlap, all lie in the area.
pub(crate) fn assert_clear(area: Rect, placed: &Placed) {
    for (i, a) in placed.labels.iter().enumerate() {
        let room = area.inflate(1e-6, 1e-6);
        assert!(
            room.contains(a.block.origin()) && room.contains(Point::new(a.block.x1, a.block.y1))
        );
        assert_eq!(a.leader.len(), 3);
        assert!((a.leader[0].distance(a.leader[1]) - RUN).abs() < 1e-9);
        assert_eq!(a.leader[0].y, a.leader[1].y);
        for (j, b) in placed.labels.iter().enumerate().filter(|(j, _)| *j != i) {
            let (p, q) = (a.block, b.block);
            let apart = p.x1 <= q.x0 + 1e-6
                || q.x1 <= p.x0 + 1e-6
                || p.y1 <= q.y0 + 1e-6
                || q.y1 <= p.y0 + 1e-6;
            assert!(apart, "labels {i} and {j} overlap: {p} {q}");
            for l in lines(a) {
                assert!(!lines(b).any(|m| meet(l, m)), "leaders {i} and {j} cross");
                // Sampled, so that it does not share code with what it checks.
                let hidden = (0..=200).any(|k| q.contains(l.p0.lerp(l.p1, f64::from(k) / 200.0)));
                assert!(!hidden, "leader {i} runs under label {j}");
            }
        }
    }
}

fn assert_sound(case: &Case, labels: &[Label], placed: &Placed) {
    assert_clear(case.area, placed);
    let mut all: Vec<u32> = placed.labels.iter().map(|l| l.target).collect();
    all.extend(&placed.left_out);
    all.sort_unstable();
    assert_eq!(all, (0..labels.len() as u32).collect::<Vec<_>>(), "a label is lost or doubled");
}

proptest! {
    #![proptest_config(crate::laws::fixed(160))]

    #[test]
    fn no_leaders_cross_and_no_labels_overlap(case in any_case()) {
        let (labels, placed) = placed(&case);
        assert_sound(&case, &labels, &placed);
    }

    #[test]
    fn all_labels_are_placed_where_they_fit(spots in spots(24), numbers in any::<bool>()) {
        let case = Case {
            area: Rect::new(0.0, 0.0, 1280.0, 800.0),
            bounds: Rect::new(340.0, 60.0, 940.0, 760.0),
            spots,
            scale: 1.0,
            numbers,
        };
        let (labels, placed) = placed(&case);
        assert_sound(&case, &labels, &placed);
        prop_assert_eq!(placed.left_out, Vec::<u32>::new());
    }

    #[test]
    fn what_finds_no_room_has_the_highest_ranks(
        spots in prop::collection::vec((0.0..1.0f64, 0.0..1.0f64), 10..=30),
    ) {
        let case = Case {
            area: Rect::new(0.0, 0.0, 1280.0, 160.0),
            bounds: Rect::new(340.0, 0.0, 940.0, 160.0),
            spots,
            scale: 1.5,
            numbers: false,
        };
        let (labels, placed) = placed(&case);
        let rank = |t: &u32| labels[*t as usize].rank;
        let best_out = placed.left_out.iter().map(rank).min().unwrap();
        let worst_in = placed.labels.iter().map(|l| rank(&l.target)).max().unwrap();
        prop_assert!(worst_in < best_out, "{} is in and {} is out", worst_in, best_out);
        prop_assert_eq!(placed.labels.len(), 8);
    }
}

fn simple(spots: &[(f64, f64)]) -> Case {
    Case {
        area: Rect::new(0.0, 0.0, 1280.0, 800.0),
        bounds: Rect::new(340.0, 60.0, 940.0, 760.0),
        spots: spots.to_vec(),
        scale: 1.0,
        numbers: false,
    }
}

/// The order of heights alone tangles some sides; there the exchange must have acted.
#[test]
fn crossing_leaders_exchange_their_slots() {
    let mut rng = jarlight_model::rng::Rng::new(7);
    let mut exchanged = 0;
    for _ in 0..200 {
        let spots: Vec<_> = (0..16).map(|_| (rng.unit(), 0.3 + 0.1 * rng.unit())).collect();
        let case = simple(&spots);
        let (labels, placed) = placed(&case);
        assert_sound(&case, &labels, &placed);
        assert_eq!(placed.left_out, Vec::<u32>::new());
        let in_order =
            placed.labels.windows(2).all(|w| w[0].side != w[1].side || w[0].ring.y <= w[1].ring.y);
        exchanged += usize::from(!in_order);
    }
    assert!(exchanged > 10, "only {exchanged}");
}

/// The lower label is the nearer one; in the order of heights the leader of the farther one
/// runs through its ring.
#[test]
fn leaders_keep_off_the_rings_of_other_labels() {
    let label = Label { target: 0, name: "Jar".into(), note: None, rank: 1 };
    let item = |x, y| Item { label: &label, spot: Point::new(x, y), name: 20.0, note: None };
    let (far, near) = (item(513.0, 679.0), item(445.0, 712.0));
    let (slots, start) = ([755.0, 797.0], 347.0);
    let passes = |items: &[Item<'_>]| {
        let line = |i: usize| Line::new((start, slots[i]), items[i].spot);
        distance(line(0), items[1].spot).min(distance(line(1), items[0].spot))
    };
    let mut items = [far, near];
    untangle(&mut items, &slots, start);
    assert!(passes(&items) < RING, "the case is no test: {}", passes(&items));
    clear_rings(&mut items, &slots, start);
    assert!(passes(&items) > 2.0 * RING, "{}", passes(&items));
    assert_eq!(distance(Line::new((0.0, 0.0), (4.0, 0.0)), Point::new(7.0, 4.0)), 5.0);
}

#[test]
fn spots_left_of_the_median_go_left_and_texts_stand_on_one_edge() {
    let (_, placed) = placed(&simple(&[(0.1, 0.1), (0.2, 0.9), (0.8, 0.3), (0.9, 0.8)]));
    let sides: Vec<(u32, Side)> = placed.labels.iter().map(|l| (l.target, l.side)).collect();
    assert_eq!(sides, [(0, Side::Left), (1, Side::Left), (2, Side::Right), (3, Side::Right)]);
    assert_eq!(placed.labels[0].at.x, placed.labels[1].at.x);
    assert_eq!(placed.labels[2].block.x0, placed.labels[3].block.x0);
    // Alone in its neighbourhood a leader is level.
    for label in &placed.labels {
        assert!((label.leader[0].y - label.ring.y).abs() < 1e-9);
    }
    let wide = text::width("Jar", Weight::Bold, 14.5);
    let note = text::width(NAMES[2].1, Weight::Regular, 12.0);
    assert!((placed.labels[2].block.width() - wide.max(note)).abs() < 1e-9);
}

#[test]
fn one_column_takes_all_where_the_other_has_no_room() {
    let mut case = simple(&[(0.1, 0.1), (0.2, 0.9), (0.8, 0.3), (0.9, 0.8)]);
    case.bounds.x0 = 20.0;
    let (_, placed) = placed(&case);
    assert_eq!(placed.labels.len(), 4);
    assert!(placed.labels.iter().all(|l| l.side == Side::Right));
}

#[test]
fn numbers_run_from_the_top_left_and_the_key_lists_them() {
    let mut case = simple(&[(0.1, 0.9), (0.2, 0.1), (0.8, 0.3)]);
    case.numbers = true;
    let (_, placed) = placed(&case);
    let numbers: Vec<_> = placed.labels.iter().map(|l| (l.target, l.number)).collect();
    assert_eq!(numbers, [(1, Some(1)), (0, Some(2)), (2, Some(3))]);
    let key = key(&placed, Point::ORIGIN, 500.0, 1.0);
    let words: Vec<&str> = key
        .prims
        .iter()
        .filter_map(|p| match &p.form {
            crate::scene::Form::Text(t) => Some(t.words.as_str()),
            crate::scene::Form::Path { .. } => None,
        })
        .collect();
    assert_eq!(words, ["1", "Inside negative plate", "2", "Positive plate", "3", "Jar"]);
}

#[test]
fn a_highlighted_label_is_drawn_in_the_accent() {
    let (_, placed) = placed(&simple(&[(0.1, 0.1), (0.9, 0.8)]));
    let accents = |high| {
        let scene = draw(&placed, 1.0, high);
        let shown = |p: &&crate::scene::Prim| {
            matches!(&p.form, crate::scene::Form::Text(t)
                if t.shade.role == crate::palette::Role::Accent && t.weight == Weight::Bold)
        };
        scene.prims.iter().filter(shown).count()
    };
    assert_eq!((accents(None), accents(Some(1))), (0, 1));
}

/// The left column is the wider one, but the median would send the chosen part right.
#[test]
fn the_label_of_the_chosen_part_is_not_left_out_for_its_width() {
    let area = Rect::new(0.0, 0.0, 700.0, 100.0);
    let mut b = SceneBuilder::new(Rect::new(330.0, 0.0, 560.0, 100.0));
    let mut labels = Vec::new();
    for i in 0..8_u32 {
        b.begin("part", Point::new(340.0 + 25.0 * f64::from(i), 10.0 + 10.0 * f64::from(i)));
        let name = if i == 7 { "A name that needs the wider column" } else { "Jar" };
        let rank = if i == 7 { 0 } else { i + 1 };
        labels.push(Label { target: i, name: name.into(), note: None, rank });
    }
    let scene = b.finish();
    let ask = Ask { scene: &scene, labels: &labels, area, text_scale: 1.0, style: Style::Names };
    let placed = place(&ask);
    assert!(placed.labels.iter().any(|l| l.target == 7), "left out: {:?}", placed.left_out);
}
