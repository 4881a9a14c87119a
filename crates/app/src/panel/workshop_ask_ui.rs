//! What the workshop has to ask: what becomes of unsaved work, which file, whose version.

use crate::{
    command::Command,
    theme::Look,
    widget::{
        badge,
        control::{self, Rank},
        words,
    },
    workshop::{Ask, Force, Take, Unsaved, Wish, Workshop},
};
use egui::{Id, Modal, Sense, Ui, vec2};
use jarlight_geometry::palette::Role;
use jarlight_model::text::{tr, tr_with};
use std::path::PathBuf;

/// What stands above the text as long as it is true.
pub fn banners_ui(ui: &mut Ui, look: Look, shop: &Workshop, out: &mut Vec<Command>) {
    for (i, draft) in shop.drafts.iter().enumerate() {
        let file =
            draft.path.as_ref().map_or_else(|| tr("workshop-unnamed"), |p| p.display().to_string());
        banner(ui, look, &tr_with("workshop-draft", &[("file", &file)]), |ui| {
            let mut answer = |rank, id: &str, take| {
                if control::button(ui, look, rank, &tr(id)).clicked() {
                    out.push(Command::Desk(Wish::Recover(i, take)));
                }
            };
            answer(Rank::Primary, "workshop-draft-up", Take::Up);
            answer(Rank::Secondary, "workshop-draft-away", Take::Away);
        });
    }
    if shop.open.as_ref().is_some_and(|o| o.outside.is_some()) {
        banner(ui, look, &tr("workshop-both"), |ui| {
            let mut answer = |rank, id: &str, wish| {
                if control::button(ui, look, rank, &tr(id)).clicked() {
                    out.push(Command::Desk(wish));
                }
            };
            answer(Rank::Secondary, "workshop-both-theirs", Wish::TakeTheirs);
            answer(Rank::Secondary, "workshop-both-mine", Wish::KeepMine);
            answer(Rank::Secondary, "workshop-save-as", Wish::AskSave);
        });
    }
}

fn banner(ui: &mut Ui, look: Look, text: &str, buttons: impl FnOnce(&mut Ui)) {
    control::filled_card(ui, look, Role::CautionFill, Role::Caution, |ui| {
        ui.horizontal_wrapped(|ui| {
            let (rect, _) = ui.allocate_exact_size(vec2(24.0, look.px(24.0)), Sense::hover());
            badge::warning(ui.painter(), rect.center(), 9.0, look);
            let said = words::body(ui, look, text);
            ui.ctx().accesskit_node_builder(said.id, |n| n.set_live(egui::accesskit::Live::Polite));
        });
        ui.horizontal_wrapped(buttons);
    });
}

/// A question over the page.
pub fn ask_ui(ui: &mut Ui, look: Look, shop: &mut Workshop, out: &mut Vec<Command>) {
    let name = shop.open.as_ref().map(|o| o.short_name()).unwrap_or_default();
    let Some(ask) = &mut shop.ask else { return };
    let mut wish = |w| out.push(Command::Desk(w));
    let room = ui.ctx().content_rect().size();
    let frame = egui::Frame::popup(ui.style()).inner_margin(egui::Margin::same(20));
    let modal = Modal::new(Id::unique("workshop-ask")).frame(frame);
    let shown = modal.show(ui.ctx(), |ui| {
        ui.set_width(look.px(620.0).min(room.x - 60.0));
        ui.spacing_mut().item_spacing.y = 10.0;
        let mut close = false;
        match ask {
            Ask::Unsaved(_) => {
                words::section(ui, look, &tr("workshop-unsaved"));
                words::body(ui, look, &tr_with("workshop-unsaved-about", &[("file", &name)]));
                ui.horizontal_wrapped(|ui| {
                    for (rank, id, answer) in [
                        (Rank::Primary, "workshop-unsaved-save", Unsaved::Save),
                        (Rank::Secondary, "workshop-unsaved-away", Unsaved::Away),
                        (Rank::Plain, "workshop-unsaved-stay", Unsaved::Stay),
                    ] {
                        if control::button(ui, look, rank, &tr(id)).clicked() {
                            wish(Wish::Unsaved(answer));
                        }
                    }
                });
            }
            Ask::Open(path) => {
                words::section(ui, look, &tr("workshop-open-title"));
                let go = path_ui(ui, look, path, "workshop-open-go", "workshop-open-about");
                match go {
                    Some(Go::Take) => wish(Wish::Open(PathBuf::from(path.trim()))),
                    Some(Go::Browse) => {
                        wish(Wish::Browse { save: false, start: PathBuf::from(path.trim()) });
                    }
                    Some(Go::Stop) => close = true,
                    None => {}
                }
            }
            Ask::Save(path) => {
                words::section(ui, look, &tr("workshop-save-title"));
                let go = path_ui(ui, look, path, "workshop-save-go", "workshop-save-about");
                match go {
                    Some(Go::Take) => {
                        wish(Wish::SaveTo(with_ending(path.trim()), Force::No));
                    }
                    Some(Go::Browse) => {
                        wish(Wish::Browse { save: true, start: PathBuf::from(path.trim()) });
                    }
                    Some(Go::Stop) => close = true,
                    None => {}
                }
            }
            Ask::Overwrite(path) => {
                let file = path.display().to_string();
                words::section(ui, look, &tr("workshop-overwrite"));
                words::body(ui, look, &tr_with("workshop-overwrite-about", &[("file", &file)]));
                ui.horizontal_wrapped(|ui| {
                    if control::button(ui, look, Rank::Primary, &tr("workshop-overwrite-other"))
                        .clicked()
                    {
                        wish(Wish::AskSave);
                    }
                    if control::button(ui, look, Rank::Secondary, &tr("workshop-overwrite-go"))
                        .clicked()
                    {
                        wish(Wish::SaveTo(path.clone(), Force::Yes));
                    }
                    close |=
                        control::button(ui, look, Rank::Plain, &tr("workshop-cancel")).clicked();
                });
            }
        }
        close
    });
    if shown.inner || shown.should_close() {
        match ask {
            Ask::Unsaved(_) => wish(Wish::Unsaved(Unsaved::Stay)),
            _ => {
                shop.ask = None;
                shop.then = None;
            }
        }
    }
}

/// What was decided about a path.
enum Go {
    Take,
    Browse,
    Stop,
}

fn path_ui(ui: &mut Ui, look: Look, path: &mut String, go: &str, about: &str) -> Option<Go> {
    words::body(ui, look, &tr(about));
    let name = tr("workshop-path");
    let width = ui.available_width();
    let field = control::field(ui, look, &name, &name, path, width);
    // The keyboard goes to the field when it appears, and stays where it is put after that.
    let shown = Id::unique("workshop-path-shown");
    let pass = ui.ctx().cumulative_pass_nr();
    let before = ui.data(|d| d.get_temp::<u64>(shown));
    if before.is_none_or(|b| b + 1 < pass) {
        field.request_focus();
    }
    ui.data_mut(|d| d.insert_temp(shown, pass));
    let mut decided = control::entered(ui, &field).then_some(Go::Take);
    ui.horizontal_wrapped(|ui| {
        ui.add_enabled_ui(!path.trim().is_empty(), |ui| {
            if control::button(ui, look, Rank::Primary, &tr(go)).clicked() {
                decided = Some(Go::Take);
            }
        });
        if control::button(ui, look, Rank::Secondary, &tr("workshop-browse")).clicked() {
            decided = Some(Go::Browse);
        }
        if control::button(ui, look, Rank::Plain, &tr("workshop-cancel")).clicked() {
            decided = Some(Go::Stop);
        }
    });
    decided
}

/// A name without an ending gets the one that scenarios have.
fn with_ending(path: &str) -> PathBuf {
    if path.ends_with(".ron") {
        PathBuf::from(path)
    } else {
        PathBuf::from(format!("{path}.scenario.ron"))
    }
}
