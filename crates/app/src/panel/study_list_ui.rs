//! The list of parts on the study page, with its search; also the key to the numbers.

use super::{
    Seen,
    study_ui::{GROUPS, Study},
};
use crate::{
    theme::Look,
    widget::{control, words},
};
use egui::{Align, ScrollArea, Ui};
use jarlight_model::{
    catalogue::Part,
    design::Design,
    text::{tr, tr_with},
};

/// Draws the list.
pub(super) fn list_ui(ui: &mut Ui, seen: &Seen<'_>, study: &mut Study, design: &Design) {
    let look = seen.look;
    let width = ui.available_width() - 8.0;
    let field = control::field(
        ui,
        look,
        &tr("study-search"),
        &tr("study-search-hint"),
        &mut study.search,
        width,
    );
    if std::mem::take(&mut study.panes.to_list) || control::search_asked(ui) {
        field.request_focus();
    }
    let wanted = study.search.trim().to_lowercase();
    let found: Vec<&Part> = seen
        .catalogue
        .parts
        .iter()
        .filter(|p| seen.catalogue.has_part(design, p.id.as_str()))
        .filter(|p| matches(p, &wanted))
        .collect();
    if control::entered(ui, &field)
        && let Some(first) = found.first()
    {
        study.choose(Some(first.id.to_string()), None);
    }
    ui.add_space(4.0);
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        if found.is_empty() {
            words::quiet(ui, look, &tr_with("study-none-found", &[("what", study.search.trim())]));
        }
        for (group, name) in GROUPS {
            let in_group: Vec<&&Part> = found.iter().filter(|p| p.group == group).collect();
            if in_group.is_empty() {
                continue;
            }
            ui.add_space(8.0);
            words::group(ui, look, &tr(name));
            ui.add_space(2.0);
            for part in in_group {
                row_ui(ui, look, study, part);
            }
        }
        ui.add_space(14.0);
    });
}

fn row_ui(ui: &mut Ui, look: Look, study: &mut Study, part: &Part) {
    let id = part.id.as_str();
    let count = study.count_of(id);
    let on = study.part.as_deref() == Some(id);
    let name = if count > 1 { &part.plural } else { &part.name };
    let end = if count > 1 { count.to_string() } else { String::new() };
    let spoken = if count > 1 { format!("{name}: {count}") } else { name.clone() };
    // While numbers are shown the list is their key.
    let number = study.numbers.get(id);
    let name = &number.map_or_else(|| name.clone(), |n| format!("{n}  {name}"));
    let spoken = number.map_or_else(|| spoken.clone(), |n| format!("{n}, {spoken}"));
    let row = control::row(ui, look, name, &end, &spoken, on);
    if on && study.scroll_to_part {
        row.scroll_to_me(Some(Align::Center));
        study.scroll_to_part = false;
    }
    if row.clicked() {
        study.choose(Some(id.to_owned()), None);
        study.scroll_to_part = false;
    }
}

fn matches(part: &Part, wanted: &str) -> bool {
    let has = |s: &str| s.to_lowercase().contains(wanted);
    wanted.is_empty()
        || has(&part.name)
        || has(&part.plural)
        || part.synonyms.iter().any(|s| has(s))
}
