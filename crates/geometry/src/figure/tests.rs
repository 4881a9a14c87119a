//! Figures of a made-up drawing: what is named, where it stands, what it may not cover.

use super::*;
use crate::scene::Form;

/// A box with thirteen plates, posts and floor, as far as labels are concerned.
fn drawing() -> Scene {
    let mut b = SceneBuilder::new(Rect::new(0.0, 0.0, 160.0, 320.0));
    let rect = |b: &mut SceneBuilder, part: &str, r: Rect, role| {
        b.begin(part, r.center());
        b.shape(r.to_path(0.1), Shade::base(role), Some(Stroke::new(0.9, Shade::edge(role))));
    };
    rect(&mut b, "jar", Rect::new(0.0, 40.0, 160.0, 320.0), Role::JarGlass);
    rect(&mut b, "post_positive", Rect::new(25.0, 0.0, 50.0, 80.0), Role::LeadPositive);
    rect(&mut b, "post_negative", Rect::new(110.0, 0.0, 135.0, 80.0), Role::LeadNegative);
    for i in 0..13 {
        let x = 12.0 + 10.5 * f64::from(i);
        let (part, role) = match i {
            0 | 12 => ("negative_plate_end", Role::NegativeBorder),
            i if i % 2 == 0 => ("negative_plate_inside", Role::NegativeBorder),
            _ => ("positive_plate", Role::PositiveBorder),
        };
        rect(&mut b, part, Rect::new(x, 90.0, x + 6.0, 290.0), role);
    }
    rect(&mut b, "sediment", Rect::new(2.0, 310.0, 158.0, 318.0), Role::Sediment);
    b.finish()
}

fn ask<'a>(scene: &'a Scene, sets: &'a [LabelSet]) -> Ask<'a> {
    Ask {
        scene_mm: scene,
        catalogue: Catalogue::builtin(),
        width_px: 1280.0,
        height_px: 900.0,
        title: "Edge view",
        subtitle: "One cell seen from the aisle.",
        caption: "True proportions.",
        labels: Labels::Names,
        sets,
        text_scale: 1.0,
        scale_bar: true,
        inset: None,
    }
}

fn texts(scene: &Scene) -> Vec<&Text> {
    let text = |p: &'_ crate::scene::Prim| matches!(p.form, Form::Text(_));
    scene
        .prims
        .iter()
        .filter(|p| text(p))
        .filter_map(|p| match &p.form {
            Form::Text(t) => Some(t),
            Form::Path { .. } => None,
        })
        .collect()
}

#[test]
fn each_part_is_named_once_and_none_is_left_out() {
    let scene = drawing();
    let figure = compose(&ask(&scene, &[]));
    let mut names: Vec<&str> = figure.placed.labels.iter().map(|l| l.name.as_str()).collect();
    names.sort_unstable();
    assert_eq!(
        names,
        [
            "End negative plate",
            "Inside negative plate",
            "Jar",
            "Negative post",
            "Positive plate",
            "Positive post",
            "Sediment",
        ]
    );
    assert!(figure.placed.left_out.is_empty());
}

/// A tall page leaves the drawing as wide as the labels let it be.
#[test]
fn labels_keep_their_notes_where_the_width_is_what_counts() {
    let scene = drawing();
    let figure = compose(&Ask { height_px: 3000.0, ..ask(&scene, &[]) });
    assert_eq!(figure.placed.labels.len(), 7);
    assert!(figure.placed.labels.iter().all(|l| l.note.is_some()));
    assert!(figure.drawing.width() > 400.0);
}

#[test]
fn a_set_names_its_own_parts_only() {
    let scene = drawing();
    let figure = compose(&ask(&scene, &[LabelSet::Acid]));
    let names: Vec<&str> = figure.placed.labels.iter().map(|l| l.name.as_str()).collect();
    assert_eq!(names, ["Jar"]);
}

#[test]
fn a_part_that_is_not_drawn_is_not_named() {
    let mut scene = drawing();
    let jar = scene.targets.iter().position(|t| &*t.part == "jar").unwrap() as u32;
    scene.prims.retain(|p| p.target != Some(jar));
    let figure = compose(&ask(&scene, &[]));
    assert!(figure.placed.labels.iter().all(|l| l.name != "Jar"));
}

#[test]
fn nothing_stands_outside_the_figure_at_any_text_size() {
    let scene = drawing();
    for text_scale in [1.0, 1.3, 2.0] {
        for labels in [Labels::Names, Labels::Numbers, Labels::None] {
            let ask = Ask { text_scale, labels, ..ask(&scene, &[]) };
            let figure = compose(&ask);
            let page = figure.scene.bounds;
            assert_eq!(page, Rect::new(0.0, 0.0, 1280.0, 900.0));
            assert_eq!(page.union(figure.drawing), page, "{text_scale} {labels:?}");
            for t in texts(&figure.scene) {
                let w = text::width(&t.words, t.weight, t.size);
                let x = match t.anchor {
                    Anchor::Start => t.at.x,
                    Anchor::Middle => t.at.x - w / 2.0,
                    Anchor::End => t.at.x - w,
                };
                let covered = Rect::new(x, t.at.y - t.size, x + w, t.at.y + 0.25 * t.size);
                assert_eq!(page.union(covered), page, "{} {text_scale} {labels:?}", t.words);
                let (title, caption) = (figure.drawing.y0 - 6.0, figure.drawing.y1 + 6.0);
                assert!(
                    covered.y1 <= title
                        || covered.y0 >= caption
                        || covered.x1 <= figure.drawing.x0
                        || covered.x0 >= figure.drawing.x1,
                    "{} lies on the drawing",
                    t.words
                );
            }
        }
    }
}

/// The overlap test above has seven labels; this one has more than a key holds.
#[test]
fn a_long_key_keeps_within_the_figure_and_the_last_ranks_are_left_out() {
    let mut b = SceneBuilder::new(Rect::new(0.0, 0.0, 160.0, 320.0));
    for (i, part) in Catalogue::builtin().parts.iter().enumerate() {
        let (x, y) = ((i % 7) as f64 * 20.0, (i / 7) as f64 * 30.0);
        let r = Rect::new(x, y, x + 15.0, y + 20.0);
        b.begin(part.id.value.as_str(), r.center());
        b.shape(r.to_path(0.1), Shade::base(Role::Plastic), None);
    }
    let scene = b.finish();
    for text_scale in [1.0, 1.5, 2.0] {
        let ask = Ask { labels: Labels::Numbers, text_scale, ..ask(&scene, &[]) };
        let figure = compose(&ask);
        let right = texts(&figure.scene)
            .into_iter()
            .filter(|t| t.anchor == Anchor::Start)
            .map(|t| t.at.x + text::width(&t.words, t.weight, t.size))
            .fold(0.0, f64::max);
        assert!(right <= 1280.0 - MARGIN, "{right} at {text_scale}");
        assert!(figure.drawing.width() > 60.0);
        let count = figure.placed.labels.len() + figure.placed.left_out.len();
        assert_eq!(count, scene.targets.len());
        let first = figure.placed.labels.iter().any(|l| l.name == "Positive plate");
        assert!(first && !figure.placed.left_out.is_empty(), "at {text_scale}");
    }
}

#[test]
fn leaders_end_on_their_part_and_tall_parts_take_different_heights() {
    let scene = drawing();
    let figure = compose(&ask(&scene, &[]));
    let mut heights = Vec::new();
    for label in &figure.placed.labels {
        let target = &figure.scene.targets[label.target as usize];
        if &*target.part != "jar" {
            assert_eq!(figure.scene.pick(label.ring), Some(label.target), "{}", label.name);
        }
        if target.part.contains("plate") {
            heights.push(label.ring.y.round() as i64);
        }
    }
    heights.dedup();
    assert_eq!(heights.len(), 3);
}

#[test]
fn a_spot_is_not_moved_to_where_something_hangs_before_the_part() {
    let mut scene = drawing();
    let jar = scene.targets.iter().position(|t| &*t.part == "jar").map(|i| i as u32);
    scene.prims.push(crate::scene::Prim {
        form: Form::Path {
            path: Rect::new(0.0, 100.0, 160.0, 300.0).to_path(0.1),
            fill: Some(Shade::base(Role::Cover).into()),
            stroke: None,
        },
        target: jar,
        glint: None,
    });
    let figure = compose(&ask(&scene, &[]));
    let middle = figure.drawing.y0 + 190.0 * figure.px_per_mm;
    let plates = figure.placed.labels.iter().filter(|l| l.name.contains("plate")).map(|l| l.ring.y);
    let moved: Vec<f64> = plates.filter(|y| (y - middle).abs() > 1e-6).collect();
    assert_eq!(moved, Vec::<f64>::new());
}

#[test]
fn the_scale_bar_is_a_round_length_of_true_size() {
    for (width, length) in [(160.0, 20.0), (40.0, 10.0), (333.0, 50.0), (1.0, 0.2), (700.0, 200.0)]
    {
        assert!(
            (bar_length(width) - length).abs() < 1e-9 * length,
            "{width}: {}",
            bar_length(width)
        );
    }
    let scene = drawing();
    let figure = compose(&ask(&scene, &[]));
    let blocks = figure.scene.prims.iter().filter_map(|p| match &p.form {
        Form::Path { path, .. } => Some(path.bounding_box()),
        Form::Text(_) => None,
    });
    let bar = blocks
        .filter(|r| r.y1 == 900.0 - MARGIN && (r.height() - 6.0).abs() < 1e-9)
        .reduce(|a, b| a.union(b))
        .unwrap();
    assert!((bar.width() - 20.0 * figure.px_per_mm).abs() < 1e-9);
    assert!(texts(&figure.scene).iter().any(|t| t.words == "20 mm"));
    let unit = figure.drawing.width() / 160.0;
    assert!((unit - figure.px_per_mm).abs() < 1e-9);
    assert_eq!(px_per_mm(&ask(&scene, &[])), figure.px_per_mm);
}

#[test]
fn a_detail_stands_in_its_frame_and_brings_no_second_ids() {
    let (scene, detail) = (drawing(), drawing());
    let inset = Inset {
        scene_mm: &detail,
        title: "Top corner",
        note: "cut",
        at: Point::new(20.0, 95.0),
        radius: 10.0,
    };
    let figure = compose(&Ask { inset: Some(inset), ..ask(&scene, &[]) });
    assert_eq!(figure.scene.targets.len(), scene.targets.len());
    assert!(texts(&figure.scene).iter().any(|t| t.words == "Top corner"));
    let title = texts(&figure.scene).into_iter().find(|t| t.words == "Top corner").map(|t| t.at);
    let lines = figure.scene.prims.iter().filter_map(|p| match &p.form {
        Form::Path { path, stroke: Some(s), .. }
            if s.shade.role == Role::Accent && path.elements().len() == 2 =>
        {
            Some(path.bounding_box())
        }
        _ => None,
    });
    let line = lines.reduce(|a, b| a.union(b)).unwrap();
    for label in figure.placed.labels.iter().filter(|l| l.side == callout::Side::Left) {
        assert!(line.x0 >= label.block.x1, "the line runs under {}", label.name);
        assert!(title.is_some_and(|t| label.block.y1 < t.y), "{} lies on the frame", label.name);
    }
    assert!(figure.placed.left_out.is_empty());
}

#[test]
fn long_texts_are_broken_at_spaces() {
    let words = "Widths are drawn twice as wide as heights so that thin layers show";
    let lines = wrap(words, Weight::Regular, 12.0, 150.0);
    assert!(lines.len() > 2);
    assert!(lines.iter().all(|l| text::width(l, Weight::Regular, 12.0) <= 150.0));
    assert_eq!(lines.join(" "), words);
}
