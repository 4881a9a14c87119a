//! The list of the atlas: groups, search, and the part it is limited to.

use super::{Seen, atlas_ui::Atlas};
use crate::{
    browse::{self, By},
    command::Command,
    widget::{
        control::{self, Rank},
        pick, words,
    },
};
use egui::{ScrollArea, Ui};
use jarlight_model::text::{tr, tr_count, tr_with};

/// The pages that are kept for presenting.
fn kept_ui(ui: &mut Ui, seen: &Seen<'_>, out: &mut Vec<Command>) {
    if seen.kept_pages == 0 {
        return;
    }
    let look = seen.look;
    words::detail(ui, look, &tr_count("present-kept", seen.kept_pages));
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 2.0;
        for (id, command) in [
            ("present-all", Command::PresentKept),
            ("present-save", Command::SavePages),
            ("present-drop", Command::DropPages),
        ] {
            if control::button(ui, look, Rank::Plain, &tr(id)).clicked() {
                out.push(command);
            }
        }
    });
}

/// Draws the list.
pub(super) fn list_ui(ui: &mut Ui, seen: &Seen<'_>, atlas: &mut Atlas, out: &mut Vec<Command>) {
    let look = seen.look;
    let width = ui.available_width() - 8.0;
    let hint = tr(if atlas.adding { "atlas-add-hint" } else { "atlas-search-hint" });
    let (name, search) = (tr("atlas-search"), &mut atlas.search);
    let field = control::field(ui, look, &name, &hint, search, width);
    if control::search_asked(ui) || std::mem::take(&mut atlas.find) {
        field.request_focus();
    }
    if control::entered(ui, &field)
        && let Some(first) = browse::first(seen.catalogue, atlas.by, &atlas.search)
    {
        atlas.open(seen.catalogue, &first.id.value);
    }
    ui.add_space(4.0);
    let names = By::ALL.map(|(_, id)| tr(id));
    let at = By::ALL.iter().position(|(b, _)| *b == atlas.by).unwrap_or(0);
    if let Some(i) = pick::drop_down(ui, look, &tr("atlas-by"), &names, at, width) {
        atlas.by = By::ALL[i].0;
    }
    if let Some(part) = atlas.part.clone() {
        ui.add_space(2.0);
        let name = seen.catalogue.name_of(part.as_str());
        words::detail(ui, look, &tr_with("atlas-only-part", &[("part", &name)]));
        if control::button(ui, look, Rank::Plain, &tr("atlas-all-parts")).clicked() {
            atlas.part = None;
        }
    }
    kept_ui(ui, seen, out);
    ui.add_space(4.0);
    let mut groups = browse::groups(seen.catalogue, atlas.by, &atlas.search);
    if let Some(part) = &atlas.part {
        for group in &mut groups {
            group.entries.retain(|c| c.parts.iter().any(|p| p.value == *part));
        }
        groups.retain(|g| !g.entries.is_empty());
    }
    let mut open = None;
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        if groups.is_empty() {
            let what = atlas.search.trim();
            words::quiet(ui, look, &tr_with("atlas-none-found", &[("what", what)]));
        }
        for group in &groups {
            ui.add_space(8.0);
            words::group(ui, look, &group.title);
            ui.add_space(2.0);
            for condition in &group.entries {
                let on = atlas.chosen() == Some(&condition.id.value);
                let there = atlas.cell.iter().any(|o| o.id == condition.id.value);
                let end = if there && !on { "•" } else { "" };
                let row = control::row(ui, look, &condition.name, end, &condition.name, on);
                if row.clicked() {
                    open = Some(condition.id.value.clone());
                }
                if on && atlas.scroll_to_entry && !ui.clip_rect().contains_rect(row.rect) {
                    row.scroll_to_me(Some(egui::Align::Center));
                }
            }
        }
        ui.add_space(14.0);
    });
    if let Some(id) = open {
        atlas.open(seen.catalogue, &id);
        ui.ctx().request_repaint();
    }
}
