//! Lines and paragraphs of text in the steps of the type scale.

use crate::theme::Look;
use egui::{Label, Response, RichText, Ui};
use jarlight_geometry::{palette::Role, scene::Weight};

/// A text of any step.
pub fn text(
    ui: &mut Ui,
    look: Look,
    words: &str,
    size: f32,
    weight: Weight,
    role: Role,
) -> Response {
    ui.add(Label::new(rich(look, words, size, weight, role)).wrap())
}

/// The same, not yet placed.
pub fn rich(look: Look, words: &str, size: f32, weight: Weight, role: Role) -> RichText {
    RichText::new(words)
        .font(look.font(size, weight))
        .color(look.color(role))
        .line_height(Some(look.font(size, weight).size * if size < 16.0 { 1.45 } else { 1.25 }))
}

/// The title of a page; a heading for screen readers.
pub fn title(ui: &mut Ui, look: Look, words: &str) -> Response {
    heading(text(ui, look, words, 30.0, Weight::Bold, Role::Ink), words)
}

/// The title of a section.
pub fn section(ui: &mut Ui, look: Look, words: &str) -> Response {
    heading(text(ui, look, words, 20.0, Weight::SemiBold, Role::Ink), words)
}

/// The title of a card.
pub fn card(ui: &mut Ui, look: Look, words: &str) -> Response {
    heading(text(ui, look, words, 15.0, Weight::SemiBold, Role::Ink), words)
}

/// A small heading within a card.
pub fn small(ui: &mut Ui, look: Look, words: &str) -> Response {
    heading(text(ui, look, words, 13.5, Weight::SemiBold, Role::Ink), words)
}

/// Running text.
pub fn body(ui: &mut Ui, look: Look, words: &str) -> Response {
    text(ui, look, words, 13.5, Weight::Regular, Role::Ink)
}

/// Running text that steps back.
pub fn quiet(ui: &mut Ui, look: Look, words: &str) -> Response {
    text(ui, look, words, 13.5, Weight::Regular, Role::SecondInk)
}

/// A detail.
pub fn detail(ui: &mut Ui, look: Look, words: &str) -> Response {
    text(ui, look, words, 12.0, Weight::Regular, Role::SecondInk)
}

/// The head of a group in a list, in spaced capitals.
pub fn group(ui: &mut Ui, look: Look, words: &str) -> Response {
    let rich = RichText::new(words.to_uppercase())
        .font(look.font(10.5, Weight::Bold))
        .color(look.color(Role::ThirdInk))
        .extra_letter_spacing(1.0);
    heading(ui.add(Label::new(rich)), words)
}

fn heading(response: Response, words: &str) -> Response {
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Heading, true, words));
    response
}
