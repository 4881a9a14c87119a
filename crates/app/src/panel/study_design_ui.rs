//! Sliders for the sizes of a cell; the jar follows, or the reasons say why it cannot.

use super::{Seen, study_ui::Study};
use crate::widget::{
    control::{self, Rank},
    pick, words,
};
use egui::{ScrollArea, Ui};
use jarlight_geometry::palette::Role;
use jarlight_model::{
    design::Design,
    text::{tr, tr_with},
    unit::{Units, length_text},
};
use std::{ops::RangeInclusive, sync::Arc};

/// A size that can be changed.
struct Size {
    text: &'static str,
    range: RangeInclusive<f64>,
    step: f64,
    of: fn(&mut Design) -> &mut f64,
}

const fn size(
    text: &'static str,
    range: RangeInclusive<f64>,
    step: f64,
    of: fn(&mut Design) -> &mut f64,
) -> Size {
    Size { text, range, step, of }
}

static SIZES: [Size; 12] = [
    size("size-width", 60.0..=500.0, 1.0, |d| &mut d.plates.width),
    size("size-height", 60.0..=900.0, 1.0, |d| &mut d.plates.height),
    size("size-positive", 1.0..=20.0, 0.1, |d| &mut d.plates.positive),
    size("size-negative", 1.0..=20.0, 0.1, |d| &mut d.plates.inside_negative),
    size("size-end-negative", 1.0..=20.0, 0.1, |d| &mut d.plates.end_negative),
    size("size-separator", 0.5..=8.0, 0.1, |d| &mut d.separator.thickness),
    size("size-mat", 0.0..=4.0, 0.1, |d| &mut d.mat),
    size("size-clearance", 0.0..=60.0, 0.1, |d| &mut d.jar.clearance_x),
    size("size-sediment", 5.0..=120.0, 1.0, |d| &mut d.heights.sediment),
    size("size-low-over", 1.0..=80.0, 1.0, |d| &mut d.heights.low_over),
    size("size-span", 1.0..=100.0, 1.0, |d| &mut d.heights.span),
    size("size-head", 1.0..=120.0, 1.0, |d| &mut d.heights.head),
];

/// Draws the sliders; a design that cannot be built leaves the last good picture.
pub(super) fn sizes_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    study: &mut Study,
    design: &Arc<Design>,
    shipped: &Design,
) {
    let look = seen.look;
    words::section(ui, look, &tr("sizes-title"));
    ui.add_space(4.0);
    ui.add_enabled_ui(**design != *shipped, |ui| {
        if control::button(ui, look, Rank::Secondary, &tr("sizes-reset")).clicked() {
            study.drawn = None;
        }
    });
    ui.add_space(6.0);
    if !study.easel.impossible.is_empty() {
        control::filled_card(ui, look, Role::WrongFill, Role::Wrong, |ui| {
            words::small(ui, look, &tr("sizes-impossible"));
            for reason in &study.easel.impossible {
                words::detail(ui, look, &reason.message);
            }
        });
        ui.add_space(6.0);
    }
    let mut changed = (**design).clone();
    let mut moved = false;
    ScrollArea::vertical().id_salt("sizes").auto_shrink(false).show(ui, |ui| {
        ui.set_width(ui.available_width() - 12.0);
        let mut count = f64::from(changed.plates.positives);
        let plates = changed.plates.positives;
        let values =
            [("positives", &*plates.to_string()), ("negatives", &*(plates + 1).to_string())];
        let shown = tr_with("fact-plates-value", &values);
        if pick::slider(ui, look, &tr("size-plates"), &shown, &mut count, 1.0..=30.0, 1.0) {
            changed.plates.positives = count as u32;
            moved = true;
        }
        for size in &SIZES {
            let value = (size.of)(&mut changed);
            let shown = length_text(*value, Units::Metric);
            let range = size.range.clone();
            moved |= pick::slider(ui, look, &tr(size.text), &shown, value, range, size.step);
        }
        ui.add_space(12.0);
    });
    if moved {
        study.drawn = Some(Arc::new(changed));
    }
}
