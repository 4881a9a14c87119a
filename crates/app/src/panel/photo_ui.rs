//! Photographs: what is to be seen where, drawn and named by an instructor.

use super::Seen;
use crate::{
    command::Command,
    photo::{Kept, OpenPhoto},
    theme::Look,
    widget::{
        control::{self, Rank},
        photograph::{Ask, Deed, Table, Tool},
        pick, words,
    },
};
use egui::{
    Align, CentralPanel, Frame, Layout, Margin, Panel, Rect, Role as Node, ScrollArea, Ui,
    UiBuilder, WidgetInfo, accesskit, pos2, vec2,
};
use jarlight_geometry::palette::Role;
use jarlight_model::{
    authored::Spot,
    catalogue::Catalogue,
    id::Slug,
    photo::{MOST_REGIONS, Outline, Photo, Region, Shown},
    text::{tr, tr_count, tr_with},
};
use std::{collections::BTreeMap, path::PathBuf};

const TOOLS: [(Tool, &str); 3] = [
    (Tool::Choose, "photo-tool-choose"),
    (Tool::Box, "photo-tool-box"),
    (Tool::Polygon, "photo-tool-polygon"),
];

/// A text that can be typed.
#[derive(Clone, Copy, PartialEq)]
enum Field {
    Photo,
    Region(usize),
}

/// What the page keeps.
#[derive(Default)]
pub struct Photos {
    /// Which of the open photographs is shown.
    pub at: usize,
    table: Table,
    // What the next region shows: what the last one did.
    next: Option<Shown>,
    // Text that is being typed; it is said of the photograph when the field is left.
    typed: Option<(Field, String)>,
}

impl Photos {
    /// Shows another photograph.
    pub fn show(&mut self, at: usize) {
        *self = Self { at, next: self.next.take(), ..Self::default() };
    }
}

/// Draws the page.
pub fn photo_ui(ui: &mut Ui, seen: &Seen<'_>, state: &mut Photos, out: &mut Vec<Command>) {
    let look = seen.look;
    let Some(open) = seen.photos.get(state.at) else {
        Frame::new().inner_margin(Margin::symmetric(40, 28)).show(ui, |ui| {
            words::title(ui, look, &tr("page-photo"));
            words::body(ui, look, &tr("photo-about"));
            ui.add_space(10.0);
            if control::button(ui, look, Rank::Primary, &tr("photo-open")).clicked() {
                out.push(Command::PickFile);
            }
        });
        return;
    };
    let names = names_of(seen.catalogue, open);
    let mut deeds = Vec::new();
    let width = ui.available_width();
    let quiet = Frame::new().fill(look.color(Role::Panel));
    Panel::right("photo-details")
        .frame(quiet.inner_margin(Margin { left: 20, right: 14, top: 16, bottom: 14 }))
        .exact_size(look.px(316.0).min(width * 0.42))
        .resizable(false)
        .show(ui, |ui| {
            ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
                ui.set_width(ui.available_width() - 10.0);
                details_ui(ui, seen, state, open, &names, out);
            });
        });
    let page = Frame::new().fill(look.color(Role::Page));
    CentralPanel::default().frame(page.inner_margin(Margin::symmetric(16, 14))).show(ui, |ui| {
        tools_ui(ui, seen, state, open, &mut deeds);
        ui.add_space(6.0);
        let room = ui.available_rect_before_wrap();
        let foot = look.px(44.0);
        let area = Rect::from_min_max(room.min, pos2(room.max.x, room.max.y - foot));
        ui.scope_builder(UiBuilder::new().max_rect(area), |ui| {
            let editing = open.can_change();
            deeds.extend(state.table.show(ui, look, &Ask { open, names: &names, editing }));
        });
        let below = Rect::from_min_max(pos2(room.min.x, area.max.y + 4.0), room.max);
        ui.scope_builder(UiBuilder::new().max_rect(below), |ui| {
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                foot_ui(ui, look, state);
            });
        });
    });
    for deed in deeds {
        obey(seen, state, open, deed, out);
    }
}

/// Photographs beside a drawing: zoom and choice of each, kept from frame to frame.
#[derive(Default)]
pub struct Beside {
    tables: BTreeMap<PathBuf, Table>,
}

/// The photographs that show a condition, with their regions, and a way to open another one.
pub fn photos_of_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    condition: &str,
    beside: &mut Beside,
    out: &mut Vec<Command>,
) {
    let look = seen.look;
    words::small(ui, look, &tr("photo-of-condition"));
    for (i, open) in seen.photos.iter().enumerate() {
        if !open.shows_condition(condition) {
            continue;
        }
        let name = &open.photo.picture.value;
        let spoken = tr_with("photo-show", &[("picture", name)]);
        if control::row(ui, look, name, "›", &spoken, false).clicked() {
            out.push(Command::ShowPhoto(i));
        }
        let names = names_of(seen.catalogue, open);
        let width = ui.available_width();
        let height = width * open.full.1 as f32 / open.full.0.max(1) as f32;
        ui.allocate_ui(vec2(width, height.min(1.2 * width)), |ui| {
            let table = beside.tables.entry(open.file.clone()).or_default();
            table.show(ui, look, &Ask { open, names: &names, editing: false });
        });
        if !open.photo.note.is_empty() {
            words::detail(ui, look, &open.photo.note);
        }
        ui.add_space(8.0);
    }
    if control::button(ui, look, Rank::Secondary, &tr("photo-open")).clicked() {
        out.push(Command::PickFile);
    }
}

fn names_of(catalogue: &Catalogue, open: &OpenPhoto) -> Vec<String> {
    open.photo.regions.iter().map(|r| r.shows.name(catalogue)).collect()
}

fn obey(seen: &Seen<'_>, state: &mut Photos, open: &OpenPhoto, deed: Deed, out: &mut Vec<Command>) {
    let mut photo = open.photo.clone();
    match deed {
        Deed::Undo => {
            out.push(Command::UndoPhoto(state.at));
            return;
        }
        Deed::Change(region, outline) => {
            if let Some(r) = photo.regions.get_mut(region) {
                r.value.place.value = outline;
            }
        }
        Deed::Add(outline) => {
            if photo.regions.len() >= MOST_REGIONS {
                return;
            }
            let first = || seen.catalogue.parts.first().map(|p| Shown::Part(p.id.clone()));
            let Some(shows) = state.next.clone().or_else(first) else { return };
            state.table.chosen = Some(photo.regions.len());
            state.table.tool = Tool::Choose;
            photo.regions.push(region(shows, outline));
        }
        Deed::Remove(region) => {
            if region < photo.regions.len() {
                photo.regions.remove(region);
            }
            state.table.chosen = None;
        }
    }
    out.push(Command::EditPhoto { photo: state.at, to: Box::new(photo) });
}

fn region(shows: Shown, outline: Outline) -> Spot<Region> {
    let place = Spot { value: outline, at: 0..0 };
    Spot { value: Region { shows, place, note: String::new() }, at: 0..0 }
}

fn tools_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    state: &mut Photos,
    open: &OpenPhoto,
    deeds: &mut Vec<Deed>,
) {
    let look = seen.look;
    ui.horizontal_wrapped(|ui| {
        if !open.can_change() {
            return;
        }
        let names = TOOLS.map(|(_, id)| tr(id));
        let at = TOOLS.iter().position(|(t, _)| *t == state.table.tool).unwrap_or(0);
        if let Some(i) = pick::pills(ui, look, &names, at) {
            state.table.tool = TOOLS[i].0;
        }
        if control::button(ui, look, Rank::Secondary, &tr("photo-new-box")).clicked() {
            let (w, h) = (f64::from(open.full.0), f64::from(open.full.1));
            deeds.push(Deed::Add(state.table.new_box(kurbo::Rect::new(0.0, 0.0, w, h))));
        }
        ui.add_enabled_ui(open.can_undo(), |ui| {
            if control::button(ui, look, Rank::Plain, &tr("photo-undo")).clicked() {
                deeds.push(Deed::Undo);
            }
        });
    });
}

fn foot_ui(ui: &mut Ui, look: Look, state: &mut Photos) {
    for (label, id, factor) in [("−", "zoom-out", 0.8), ("+", "zoom-in", 1.25)] {
        let name = tr(id);
        let button = control::button(ui, look, Rank::Secondary, label);
        button.widget_info(|| WidgetInfo::labeled(Node::Button, true, &name));
        if button.on_hover_text(&name).clicked() {
            state.table.zoom_by(factor);
        }
    }
    if control::button(ui, look, Rank::Plain, &tr("zoom-all")).clicked() {
        state.table.show_all();
    }
}

fn details_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    state: &mut Photos,
    open: &OpenPhoto,
    names: &[String],
    out: &mut Vec<Command>,
) {
    let look = seen.look;
    words::section(ui, look, &open.photo.picture.value);
    let (w, h) = open.full;
    let size = [("width", &*w.to_string()), ("height", &*h.to_string())];
    words::detail(ui, look, &tr_with("photo-size", &size));
    if seen.photos.len() > 1 {
        let all: Vec<String> = seen.photos.iter().map(|p| p.photo.picture.value.clone()).collect();
        let width = ui.available_width();
        if let Some(i) = pick::drop_down(ui, look, &tr("photo-which"), &all, state.at, width) {
            out.push(Command::ShowPhoto(i));
        }
    }
    ui.horizontal_wrapped(|ui| {
        if control::button(ui, look, Rank::Secondary, &tr("photo-open")).clicked() {
            out.push(Command::PickFile);
        }
        if control::button(ui, look, Rank::Plain, &tr("photo-close")).clicked() {
            out.push(Command::ClosePhoto(state.at));
        }
    });
    ui.add_space(8.0);
    if !open.can_change() {
        control::filled_card(ui, look, Role::WrongFill, Role::Wrong, |ui| {
            words::small(ui, look, &tr("photo-faulty"));
            for fault in &open.faults {
                words::detail(ui, look, &fault.to_string());
            }
        });
        ui.add_space(8.0);
    }
    if let Some(note) =
        typed_ui(ui, look, state, Field::Photo, &tr("photo-note"), &open.photo.note, open)
    {
        let to = Box::new(Photo { note, ..open.photo.clone() });
        out.push(Command::EditPhoto { photo: state.at, to });
    }
    ui.add_space(10.0);
    words::small(ui, look, &tr_count("photo-regions", names.len()));
    if names.is_empty() {
        words::quiet(ui, look, &tr("photo-no-region"));
    }
    for (i, name) in names.iter().enumerate() {
        let on = state.table.chosen == Some(i);
        let number = (i + 1).to_string();
        if control::row(ui, look, name, &number, &format!("{number}, {name}"), on).clicked() {
            state.table.chosen = Some(i);
        }
    }
    if let Some(i) = state.table.chosen.filter(|i| *i < names.len() && open.can_change()) {
        ui.add_space(10.0);
        region_ui(ui, seen, state, open, i, out);
    }
    ui.add_space(12.0);
    kept_ui(ui, look, open);
    if open.can_change() {
        words::detail(ui, look, &tr("photo-keys"));
    }
}

/// A line of text; gives what was typed when the field is left.
fn typed_ui(
    ui: &mut Ui,
    look: Look,
    state: &mut Photos,
    field: Field,
    name: &str,
    now: &str,
    open: &OpenPhoto,
) -> Option<String> {
    words::detail(ui, look, name);
    let mine = state.typed.take_if(|(f, _)| *f == field).map(|(_, text)| text);
    let mut text = mine.unwrap_or_else(|| now.to_owned());
    let width = ui.available_width();
    let response = ui
        .add_enabled_ui(open.can_change(), |ui| {
            control::field(ui, look, name, "", &mut text, width)
        })
        .inner;
    if text == now {
        return None;
    }
    if response.lost_focus() {
        return Some(text);
    }
    state.typed = Some((field, text));
    None
}

/// What a region shows, and its note.
fn region_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    state: &mut Photos,
    open: &OpenPhoto,
    i: usize,
    out: &mut Vec<Command>,
) {
    let look = seen.look;
    let now = &open.photo.regions[i];
    words::small(ui, look, &tr_with("photo-region", &[("n", &(i + 1).to_string())]));
    let is_condition = matches!(now.shows, Shown::Condition(_));
    let kinds = [tr("photo-is-part"), tr("photo-is-condition")];
    let kind = pick::pills(ui, look, &kinds, usize::from(is_condition));
    let conditions = kind.map_or(is_condition, |k| k == 1);
    let mut all: Vec<(String, Slug)> = if conditions {
        let all = seen.catalogue.conditions.iter();
        all.map(|c| (c.name.clone(), c.id.value.clone())).collect()
    } else {
        seen.catalogue.parts.iter().map(|p| (p.name.clone(), p.id.value.clone())).collect()
    };
    all.sort();
    let labels: Vec<String> = all.iter().map(|(name, _)| name.clone()).collect();
    let at = all.iter().position(|(_, id)| id == now.shows.id());
    let width = ui.available_width();
    let name = tr("photo-name");
    let picked = pick::drop_down(ui, look, &name, &labels, at.unwrap_or(usize::MAX), width);
    // Another kind begins with the first of its names; it is not left without one.
    let picked = picked.or(kind.map(|_| 0));
    let mut change = None;
    if let Some((_, id)) = picked.and_then(|p| all.get(p)) {
        let id = Spot { value: id.clone(), at: 0..0 };
        let shows = if conditions { Shown::Condition(id) } else { Shown::Part(id) };
        state.next = Some(shows.clone());
        change = Some(Region { shows, ..now.value.clone() });
    }
    let field = Field::Region(i);
    if let Some(note) = typed_ui(ui, look, state, field, &tr("photo-region-note"), &now.note, open)
    {
        change = Some(Region { note, ..now.value.clone() });
    }
    if let Some(to) = change {
        let mut photo = open.photo.clone();
        photo.regions[i].value = to;
        out.push(Command::EditPhoto { photo: state.at, to: Box::new(photo) });
    }
    if control::button(ui, look, Rank::Plain, &tr("photo-remove")).clicked() {
        obey(seen, state, open, Deed::Remove(i), out);
    }
}

/// Where it is kept, or why it is not.
fn kept_ui(ui: &mut Ui, look: Look, open: &OpenPhoto) {
    let name = open.file.file_name().and_then(|n| n.to_str()).unwrap_or("");
    let said = match &open.kept {
        Kept::Untouched => return,
        Kept::Waiting(_) => tr("photo-keeping"),
        Kept::Saved => tr_with("photo-kept", &[("file", name)]),
        Kept::Failed(why) => tr_with("photo-not-kept", &[("file", name), ("why", why)]),
    };
    let response = words::quiet(ui, look, &said);
    ui.ctx().accesskit_node_builder(response.id, |n| n.set_live(accesskit::Live::Polite));
}
