//! What the program is for and what it is not, and the keys.

use crate::{
    command::Command,
    theme::Look,
    widget::{
        control::{self, Rank},
        words,
    },
};
use egui::{Frame, Id, Margin, Modal, ScrollArea, Ui};
use jarlight_geometry::{palette::Role, scene::Weight};
use jarlight_model::text::tr;

/// The keys, by the ids of key and meaning.
const KEYS: [(&str, &str); 16] = [
    ("key-tab", "key-tab-does"),
    ("key-enter", "key-enter-does"),
    ("key-digits", "key-digits-does"),
    ("key-arrows", "key-arrows-does"),
    ("key-zoom", "key-zoom-does"),
    ("key-find", "key-find-does"),
    ("key-blink", "key-blink-does"),
    ("key-magnifier", "key-magnifier-does"),
    ("key-panes", "key-panes-does"),
    ("key-present", "key-present-does"),
    ("key-text", "key-text-does"),
    ("key-open", "key-open-does"),
    ("key-save", "key-save-does"),
    ("key-undo", "key-undo-does"),
    ("key-help", "key-help-does"),
    ("key-quit", "key-quit-does"),
];

/// The keys of the workshop.
const KEYS_WORKSHOP: [(&str, &str); 7] = [
    ("key-workshop-new", "key-workshop-new-does"),
    ("key-workshop-save", "key-workshop-save-does"),
    ("key-workshop-undo", "key-workshop-undo-does"),
    ("key-workshop-fault", "key-workshop-fault-does"),
    ("key-workshop-mend", "key-workshop-mend-does"),
    ("key-workshop-step", "key-workshop-step-does"),
    ("key-workshop-try", "key-workshop-try-does"),
];

/// Draws it over everything else.
pub fn help_ui(ui: &Ui, look: Look, out: &mut Vec<Command>) {
    let room = ui.ctx().content_rect().size();
    let frame = Frame::popup(ui.style()).inner_margin(Margin::symmetric(22, 18));
    let shown = Modal::new(Id::unique("help")).frame(frame).show(ui.ctx(), |ui| {
        ui.set_width((look.px(560.0)).min(room.x - 90.0));
        ScrollArea::vertical().max_height(room.y - 100.0 - look.px(60.0)).show(ui, |ui| {
            ui.set_width(ui.available_width());
            words::section(ui, look, &tr("help-title"));
            about_ui(ui, look);
            ui.add_space(6.0);
            if control::switch(ui, look, &tr("help-still"), look.still) {
                out.push(Command::KeepStill(!look.still));
            }
            ui.add_space(6.0);
            words::small(ui, look, &tr("help-keys"));
            keys_ui(ui, look, &KEYS);
            ui.add_space(6.0);
            words::small(ui, look, &tr("help-keys-workshop"));
            keys_ui(ui, look, &KEYS_WORKSHOP);
        });
        ui.add_space(8.0);
        let close = control::button(ui, look, Rank::Primary, &tr("help-close"));
        if close.clicked() {
            ui.close();
        }
    });
    if shown.should_close() {
        out.push(Command::ShowHelp(false));
    }
}

fn keys_ui(ui: &mut Ui, look: Look, keys: &[(&str, &str)]) {
    ui.spacing_mut().item_spacing.y = 2.0;
    for (key, does) in keys {
        ui.horizontal(|ui| {
            ui.allocate_ui(egui::vec2(look.px(190.0), look.px(20.0)), |ui| {
                ui.set_width(look.px(190.0));
                words::text(ui, look, &tr(key), 13.0, Weight::SemiBold, Role::Ink);
            });
            words::quiet(ui, look, &tr(does));
        });
    }
}

/// The three things to know before anything else.
pub fn about_ui(ui: &mut Ui, look: Look) {
    for id in ["about-for", "about-estimates", "about-decide"] {
        words::body(ui, look, &tr(id));
    }
}
