//! Choices in little room: pills that wrap, a list that drops down, and a slider with its value.

use super::{control, words};
use crate::theme::{BUTTON_CORNER, Look};
use egui::{
    Align, Color32, ComboBox, Layout, Role as Node, Sense, StrokeKind, Ui, WidgetInfo, vec2,
};
use jarlight_geometry::{palette::Role, scene::Weight};
use std::ops::RangeInclusive;

/// One of few choices that wrap where the row ends; gives the number of a newly chosen one.
pub fn pills(ui: &mut Ui, look: Look, labels: &[String], chosen: usize) -> Option<usize> {
    pills_with_focus(ui, look, labels, chosen, false)
}

/// The same; the chosen one is given the keyboard when that is wanted.
pub fn pills_with_focus(
    ui: &mut Ui,
    look: Look,
    labels: &[String],
    chosen: usize,
    focus: bool,
) -> Option<usize> {
    let mut picked = None;
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(3.0, 4.0);
        for (i, label) in labels.iter().enumerate() {
            let on = i == chosen;
            let weight = if on { Weight::SemiBold } else { Weight::Regular };
            let font = look.font(12.5, weight);
            let galley = ui.painter().layout_no_wrap(label.clone(), font, Color32::PLACEHOLDER);
            let size = vec2(galley.size().x + 13.0, look.px(30.0));
            let (rect, response) = ui.allocate_exact_size(size, Sense::click());
            response.widget_info(|| WidgetInfo::selected(Node::RadioButton, true, on, label));
            if focus && on {
                response.request_focus();
            }
            let (fill, ink) = match (on, response.hovered()) {
                (true, _) => (Role::AccentFill, Role::Accent),
                (_, true) => (Role::QuietPanel, Role::Ink),
                _ => (Role::Panel, Role::SecondInk),
            };
            let line = look.line(if on { Role::Accent } else { Role::Rule });
            let painter = ui.painter();
            painter.rect(rect, BUTTON_CORNER, look.color(fill), line, StrokeKind::Inside);
            painter.galley(rect.center() - galley.size() / 2.0, galley, look.color(ink));
            control::focus(ui, look, rect, &response, BUTTON_CORNER);
            if response.clicked() && !on {
                picked = Some(i);
            }
        }
    });
    picked
}

/// One of many choices, in a list that drops down; gives the number of a newly chosen one.
pub fn drop_down(
    ui: &mut Ui,
    look: Look,
    name: &str,
    labels: &[String],
    chosen: usize,
    width: f32,
) -> Option<usize> {
    let now = labels.get(chosen).map_or("", String::as_str);
    let mut picked = None;
    let text = |l: &str| words::rich(look, l, 13.0, Weight::Regular, Role::Ink);
    let list = ComboBox::from_id_salt(name)
        .selected_text(text(now))
        .width(width)
        .height(look.px(420.0))
        .truncate()
        .show_ui(ui, |ui| {
            for (i, label) in labels.iter().enumerate() {
                if ui.selectable_label(i == chosen, text(label)).clicked() && i != chosen {
                    picked = Some(i);
                }
            }
        });
    let spoken = format!("{name}: {now}");
    list.response.widget_info(|| WidgetInfo::labeled(Node::ComboBox, true, &spoken));
    control::focus(ui, look, list.response.rect, &list.response, BUTTON_CORNER);
    picked
}

/// A value on a scale, with its name and what it reads; true when it was moved.
pub fn slider(
    ui: &mut Ui,
    look: Look,
    name: &str,
    shown: &str,
    value: &mut f64,
    range: RangeInclusive<f64>,
    step: f64,
) -> bool {
    // A value beyond the scale must not be pulled in just because another one is moved.
    let range = range.start().min(*value)..=range.end().max(*value);
    let width = ui.available_width();
    ui.allocate_ui_with_layout(
        vec2(width, look.px(20.0)),
        Layout::left_to_right(Align::Center),
        |ui| {
            words::detail(ui, look, name);
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                words::text(ui, look, shown, 12.5, Weight::SemiBold, Role::Ink);
            });
        },
    );
    bare_slider(ui, look, name, value, range, step, width)
}

/// The scale alone.
pub fn bare_slider(
    ui: &mut Ui,
    look: Look,
    name: &str,
    value: &mut f64,
    range: RangeInclusive<f64>,
    step: f64,
    width: f32,
) -> bool {
    ui.scope(|ui| {
        ui.spacing_mut().slider_width = width;
        ui.spacing_mut().interact_size.y = look.px(22.0);
        let visuals = ui.visuals_mut();
        visuals.selection.bg_fill = look.color(Role::Accent);
        for state in [
            &mut visuals.widgets.inactive,
            &mut visuals.widgets.hovered,
            &mut visuals.widgets.active,
        ] {
            state.bg_fill = look.color(Role::Rule);
            state.fg_stroke = egui::Stroke::new(2.0, look.color(Role::Accent));
        }
        // The slider sees only steps; a value between two of them stays until it is moved.
        let start = *range.start();
        let before = start + ((*value - start) / step).round() * step;
        let mut now = before;
        let slider =
            egui::Slider::new(&mut now, range).step_by(step).show_value(false).trailing_fill(true);
        let response = ui.add(slider);
        response.widget_info(|| WidgetInfo::labeled(Node::Slider, true, name));
        control::focus(ui, look, response.rect, &response, 4);
        let moved = (now - before).abs() > 0.01 * step;
        if moved {
            *value = now;
        }
        moved
    })
    .inner
}
