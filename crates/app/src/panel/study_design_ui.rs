//! Sliders for the sizes of a cell; the jar follows, or the reasons say why it cannot.

use super::{Seen, study_ui::Study};
use crate::{
    theme::Look,
    widget::{
        badge,
        control::{self, Rank},
        pick, words,
    },
};
use egui::{ScrollArea, Sense, Ui, Vec2, accesskit};
use jarlight_geometry::{layout, palette::Role};
use jarlight_model::{
    design::Design,
    text::{tr, tr_with},
    unit::length_text,
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
    let faults = &layout::check(design);
    study.blame.retain(|(field, _)| faults.iter().any(|f| f.field == *field));
    let why = Why { faults, blame: &study.blame };
    why.show(ui, look, None);
    let mut changed = (**design).clone();
    let mut moved = None;
    ScrollArea::vertical().id_salt("sizes").auto_shrink(false).show(ui, |ui| {
        ui.set_width(ui.available_width() - 12.0);
        let mut count = f64::from(changed.plates.positives);
        let plates = changed.plates.positives;
        let values =
            [("positives", &*plates.to_string()), ("negatives", &*(plates + 1).to_string())];
        let shown = tr_with("fact-plates-value", &values);
        if pick::slider(ui, look, &tr("size-plates"), &shown, &mut count, 1.0..=30.0, 1.0) {
            changed.plates.positives = count as u32;
            moved = Some(PLATES);
        }
        why.show(ui, look, Some(PLATES));
        for (i, size) in SIZES.iter().enumerate() {
            let value = (size.of)(&mut changed);
            let shown = length_text(*value, seen.units);
            let range = size.range.clone();
            if pick::slider(ui, look, &tr(size.text), &shown, value, range, size.step) {
                moved = Some(i);
            }
            why.show(ui, look, Some(i));
        }
        ui.add_space(12.0);
    });
    if let Some(slider) = moved {
        for fault in layout::check(&changed) {
            if study.blame.iter().all(|(field, _)| *field != fault.field) {
                study.blame.push((fault.field, slider));
            }
        }
        study.drawn = Some(Arc::new(changed));
    }
}

/// The number of the slider of the plates; the others have their number in [`SIZES`].
const PLATES: usize = SIZES.len();

/// Why a design cannot be built, and which slider was moved when that came about.
struct Why<'a> {
    faults: &'a [layout::Impossible],
    blame: &'a [(&'static str, usize)],
}

impl Why<'_> {
    /// Says what a slider caused, or what no slider did.
    fn show(&self, ui: &mut Ui, look: Look, slider: Option<usize>) {
        let cause = |field: &str| self.blame.iter().find(|(f, _)| *f == field).map(|(_, s)| *s);
        let mine: Vec<_> = self.faults.iter().filter(|f| cause(f.field) == slider).collect();
        if mine.is_empty() {
            return;
        }
        control::filled_card(ui, look, Role::WrongFill, Role::Wrong, |ui| {
            ui.horizontal_top(|ui| {
                let side = look.px(20.0);
                let (rect, _) = ui.allocate_exact_size(Vec2::splat(side), Sense::hover());
                badge::cross(ui.painter(), rect.center(), look.px(8.0), look);
                ui.vertical(|ui| {
                    let said = words::small(ui, look, &tr("sizes-impossible"));
                    let polite = accesskit::Live::Polite;
                    ui.ctx().accesskit_node_builder(said.id, |n| n.set_live(polite));
                    for fault in mine {
                        words::detail(ui, look, &fault.message);
                    }
                });
            });
        });
        ui.add_space(6.0);
    }
}
