//! A cause in the atlas: what happens, what else it shows, and what is done.

use super::{
    Seen,
    atlas_entry_ui::{caution_ui, part, said_ui, urgency_line},
    atlas_ui::Atlas,
};
use crate::widget::{
    control::{self, Rank},
    words,
};
use egui::{ScrollArea, Ui};
use jarlight_geometry::{palette::Role, scene::Weight};
use jarlight_model::{
    catalogue::{Link, Scope},
    id::Slug,
    text::{tr, tr_with},
};

/// The words for how often a cause shows a finding.
const LINKS: [(Link, &str); 5] = [
    (Link::AlmostAlways, "shows-almost-always"),
    (Link::Often, "shows-often"),
    (Link::Sometimes, "shows-sometimes"),
    (Link::Seldom, "shows-seldom"),
    (Link::AlmostNever, "shows-almost-never"),
];

/// Draws the page of a cause.
pub(super) fn cause_ui(ui: &mut Ui, seen: &Seen<'_>, atlas: &mut Atlas, id: &Slug) {
    let look = seen.look;
    let Some(cause) = seen.catalogue.mechanism(id.as_str()) else {
        atlas.cause = None;
        return;
    };
    let name = atlas.condition(seen.catalogue).map_or_else(String::new, |c| c.name.clone());
    let back = if name.is_empty() {
        tr("walk-back")
    } else {
        tr_with("atlas-back-to", &[("name", &name)])
    };
    if control::button(ui, look, Rank::Plain, &back).clicked() {
        atlas.cause = None;
    }
    ScrollArea::vertical().auto_shrink(false).id_salt(id.as_str()).show(ui, |ui| {
        ui.set_width(ui.available_width() - 10.0);
        ui.spacing_mut().item_spacing.y = 3.0;
        words::text(ui, look, &cause.name, 22.0, Weight::SemiBold, Role::Ink);
        words::quiet(ui, look, &cause.plain);
        let scope = match cause.scope {
            Scope::String => "scope-string",
            Scope::Cell => "scope-cell",
            Scope::Either => "scope-either",
        };
        words::detail(ui, look, &tr(scope));
        part(ui, look, "cause-what");
        said_ui(ui, look, &cause.what, atlas.basis);
        let mut open = None;
        for (link, word) in LINKS {
            let mut of_link = cause.links.iter().filter(|(_, l)| **l == link).peekable();
            if of_link.peek().is_none() {
                continue;
            }
            part(ui, look, word);
            for (finding, _) in of_link {
                let name = seen.catalogue.name_of(finding);
                match seen.catalogue.condition(finding) {
                    Some(condition) => {
                        let spoken = tr_with("atlas-open", &[("name", &name)]);
                        if control::row(ui, look, &name, "›", &spoken, false).clicked() {
                            open = Some(condition.id.value.clone());
                        }
                    }
                    // A reading has no picture.
                    None => {
                        words::quiet(ui, look, &tr_with("cause-reading", &[("name", &name)]));
                    }
                }
            }
        }
        part(ui, look, "atlas-action");
        said_ui(ui, look, &cause.action, atlas.basis);
        urgency_line(ui, look, cause.urgency);
        ui.add_space(10.0);
        caution_ui(ui, look, &cause.caution, atlas.basis);
        ui.add_space(14.0);
        if let Some(id) = open {
            atlas.open(seen.catalogue, &id);
        }
    });
}
