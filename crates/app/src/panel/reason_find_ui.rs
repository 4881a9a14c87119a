//! What is seen: the drawing with what is noted, and the list of findings with their grades.

use super::{
    Seen,
    reason_ui::{Figure, Reason, design_of, sight},
    shell_ui::picture_frame,
    study_ui::speak,
};
use crate::{
    easel::Sight,
    inquiry::Inquiry,
    paint::Veil,
    theme::{CARD_CORNER, Look},
    widget::{
        control::{self, Rank},
        drawing::{Ask, Picked},
        mark::{Mark, State},
        pick, words,
    },
};
use egui::{Align, Frame, Key, Margin, Rect, ScrollArea, Ui, UiBuilder, vec2};
use jarlight_geometry::{draw::View, palette::Role, scene::Weight};
use jarlight_model::{
    catalogue::{Catalogue, Condition, Look as Place, Quantity},
    text::{tr, tr_with},
};
use jarlight_rules::{Entry, Finding, MAX_SOFT, Network, Noted};

/// The views of one cell in which parts can be chosen.
pub(super) const VIEWS: [View; 3] = [View::Edge, View::Face, View::Plan];

/// Grades of what is seen, with nothing as the first.
const GRADES: usize = 6;

const PLACES: [(Place, &str); 8] = [
    (Place::Top, "reason-place-top"),
    (Place::Seals, "reason-place-seals"),
    (Place::Plates, "reason-place-plates"),
    (Place::Bottom, "reason-place-bottom"),
    (Place::Acid, "reason-place-acid"),
    (Place::Connections, "reason-place-connections"),
    (Place::Shell, "reason-place-shell"),
    (Place::Rack, "reason-place-rack"),
];

/// A finding that can be noted: something seen, or a reading.
#[derive(Clone, Copy)]
enum Item<'a> {
    Condition(&'a Condition),
    Quantity(&'a Quantity),
}

impl Item<'_> {
    fn id(&self) -> &str {
        match self {
            Self::Condition(c) => c.id.as_str(),
            Self::Quantity(q) => q.id.as_str(),
        }
    }

    fn name(&self) -> &str {
        match self {
            Self::Condition(c) => &c.name,
            Self::Quantity(q) => &q.name,
        }
    }

    fn is_reading(&self) -> bool {
        matches!(self, Self::Quantity(_))
    }

    fn matches(&self, catalogue: &Catalogue, wanted: &str) -> bool {
        let has = |s: &str| s.to_lowercase().contains(wanted);
        match self {
            Self::Quantity(q) => has(&q.name),
            Self::Condition(c) => {
                has(&c.name)
                    || c.synonyms.iter().any(|s| has(s))
                    || c.parts.iter().any(|p| has(&catalogue.name_of(p.value.as_str())))
            }
        }
    }
}

/// The findings of the network, those of the catalogue's conditions first.
fn items<'a>(catalogue: &'a Catalogue, network: &Network) -> Vec<Item<'a>> {
    let of = |f: &Finding| {
        let condition = catalogue.condition(&f.id).map(Item::Condition);
        condition.or_else(|| catalogue.quantity(&f.id).map(Item::Quantity))
    };
    network.findings().iter().filter_map(of).collect()
}

/// Draws the drawing and the list.
pub(super) fn seen_ui(ui: &mut Ui, seen: &Seen<'_>, reason: &mut Reason, inquiry: &mut Inquiry) {
    let look = seen.look;
    let height = (ui.available_height() * 0.40).max(look.px(150.0));
    drawing_ui(ui, seen, reason, inquiry, height);
    ui.add_space(6.0);
    ui.horizontal(|ui| {
        let modes = [tr("reason-mode-note"), tr("reason-mode-try")];
        if let Some(i) = control::segments(ui, look, "mode", &modes, usize::from(reason.trying)) {
            reason.trying = i == 1;
            ui.ctx().request_repaint();
        }
        let width = (ui.available_width() - 4.0).max(look.px(90.0));
        let (name, hint) = (tr("reason-search"), tr("reason-search"));
        let field = control::field(ui, look, &name, &hint, &mut reason.search, width);
        if field.changed() {
            reason.part = None;
        }
    });
    let Some(answer) = inquiry.answer.clone() else {
        words::quiet(ui, look, &tr("reason-waiting"));
        return;
    };
    let all = items(seen.catalogue, &answer.network);
    let wanted = reason.search.trim().to_lowercase();
    if let Some(part) = reason.part.clone() {
        ui.horizontal(|ui| {
            let name = seen.catalogue.name_of(&part);
            let text = tr_with("reason-on-part", &[("part", &name)]);
            words::text(ui, look, &text, 13.5, Weight::SemiBold, Role::Accent);
            if control::button(ui, look, Rank::Plain, &tr("reason-all-parts")).clicked() {
                reason.part = None;
            }
        });
    }
    let on_part = |item: &Item<'_>, part: &str| match item {
        Item::Condition(c) => c.parts.iter().any(|p| p.value.as_str() == part),
        Item::Quantity(_) => false,
    };
    let part = reason.part.clone();
    let listed: Vec<Item<'_>> = all
        .into_iter()
        .filter(|item| match &part {
            Some(part) => on_part(item, part),
            None => wanted.is_empty() || item.matches(seen.catalogue, &wanted),
        })
        .collect();
    ScrollArea::vertical().id_salt("findings").auto_shrink(false).show(ui, |ui| {
        ui.set_width(ui.available_width() - 8.0);
        ui.spacing_mut().item_spacing.y = 2.0;
        if listed.is_empty() {
            let text = match part {
                Some(_) => tr("reason-nothing-here"),
                None => tr_with("reason-none-found", &[("what", reason.search.trim())]),
            };
            words::quiet(ui, look, &text);
            return;
        }
        if part.is_none() && wanted.is_empty() {
            words::group(ui, look, &tr("reason-noted"));
            let noted: Vec<&Item<'_>> =
                listed.iter().filter(|i| inquiry.noted(i.id()).is_some()).collect();
            if noted.is_empty() {
                words::quiet(ui, look, &tr("reason-noted-none"));
            }
            for item in noted {
                item_ui(ui, seen, reason, inquiry, *item, &answer.network);
            }
            words::detail(ui, look, &tr("reason-keys-grade"));
        }
        let is_listed = |i: &&Item<'_>, inquiry: &Inquiry| {
            part.is_some() || !wanted.is_empty() || inquiry.noted(i.id()).is_none()
        };
        for (place, name) in PLACES {
            let here: Vec<Item<'_>> = listed
                .iter()
                .filter(|i| matches!(i, Item::Condition(c) if c.look == place))
                .filter(|i| is_listed(i, inquiry))
                .copied()
                .collect();
            group_ui(ui, seen, reason, inquiry, &tr(name), &here, &answer.network);
        }
        let readings: Vec<Item<'_>> =
            listed.iter().filter(|i| i.is_reading() && is_listed(i, inquiry)).copied().collect();
        let name = tr("reason-place-readings");
        group_ui(ui, seen, reason, inquiry, &name, &readings, &answer.network);
        ui.add_space(14.0);
    });
}

fn group_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    reason: &mut Reason,
    inquiry: &mut Inquiry,
    name: &str,
    items: &[Item<'_>],
    network: &Network,
) {
    if items.is_empty() {
        return;
    }
    ui.add_space(8.0);
    words::group(ui, seen.look, name);
    for item in items {
        item_ui(ui, seen, reason, inquiry, *item, network);
    }
}

/// A finding with what is noted of it; under the chosen one its grades.
fn item_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    reason: &mut Reason,
    inquiry: &mut Inquiry,
    item: Item<'_>,
    network: &Network,
) {
    let look = seen.look;
    let id = item.id();
    let chosen = reason.finding.as_deref() == Some(id);
    let state = inquiry.noted(id).map(|n| noted_text(n, item.is_reading()));
    let tried = inquiry.what_if.contains_key(id);
    let said = state.clone().unwrap_or_else(|| tr("reason-not-looked"));
    let end = match (&state, tried) {
        (_, true) => tr_with("reason-tried-short", &[("what", &said)]),
        (Some(state), false) => state.clone(),
        (None, false) => String::new(),
    };
    let spoken = format!("{}: {}", item.name(), if tried { &end } else { &said });
    let row = control::row(ui, look, item.name(), &end, &spoken, chosen);
    if chosen && reason.scroll_to_finding {
        row.scroll_to_me(Some(Align::Center));
        row.request_focus();
        reason.scroll_to_finding = false;
    }
    if row.hovered() || row.has_focus() {
        reason.pointed = Some(id.to_owned());
    }
    if row.has_focus() {
        keys(ui, reason, inquiry, item, network);
    }
    if row.clicked() {
        reason.finding = if chosen { None } else { Some(id.to_owned()) };
    }
    if reason.finding.as_deref() == Some(id) {
        grades_ui(ui, seen, reason, inquiry, item, network);
    }
}

/// What is noted, in a word or two.
fn noted_text(noted: &Noted, reading: bool) -> String {
    let grade = |g: usize| tr(&format!("grade-{}", g.min(5)));
    match noted {
        Noted::Seen(Entry::NotInspected) => tr("reason-not-looked"),
        Noted::Seen(Entry::Grade(0)) if reading => tr("reason-within-short"),
        Noted::Seen(_) if reading => tr("reason-beyond-short"),
        Noted::Seen(Entry::Grade(0)) => tr("reason-clean-short"),
        Noted::Seen(Entry::Grade(g)) => format!("{g} {}", grade(*g)),
        Noted::Seen(Entry::AtLeast(g)) => {
            tr_with("reason-grade-at-least", &[("grade", &grade(*g))])
        }
        Noted::Seen(Entry::AtMost(g)) => tr_with("reason-grade-at-most", &[("grade", &grade(*g))]),
        Noted::Perhaps(_) => tr_with("reason-perhaps-short", &[("grade", &grade(noted.grade()))]),
    }
}

/// Notes or tries a grade; none stands for "not looked at".
fn set(reason: &Reason, inquiry: &mut Inquiry, item: Item<'_>, noted: Option<Noted>) {
    if reason.trying {
        inquiry.try_out(item.id(), noted);
    } else {
        inquiry.note(item.id(), noted);
    }
}

fn keys(ui: &Ui, reason: &Reason, inquiry: &mut Inquiry, item: Item<'_>, network: &Network) {
    const DIGITS: [Key; GRADES] =
        [Key::Num0, Key::Num1, Key::Num2, Key::Num3, Key::Num4, Key::Num5];
    if ui.input(|i| i.key_pressed(Key::Delete) || i.key_pressed(Key::Backspace)) {
        set(reason, inquiry, item, None);
    }
    let pressed = DIGITS.iter().position(|k| ui.input(|i| i.key_pressed(*k)));
    if let Some(g) = pressed {
        let grade = if item.is_reading() { g.min(1) } else { g };
        let soft = matches!(inquiry.noted(item.id()), Some(Noted::Perhaps(_)));
        set(reason, inquiry, item, Some(graded(item, grade, soft, network)));
    }
}

/// A grade, as seen or as thought to have been seen.
fn graded(item: Item<'_>, grade: usize, soft: bool, network: &Network) -> Noted {
    let n = network.finding_idx(item.id()).map_or(GRADES, |f| network.findings()[f].leak.len());
    match (soft && grade > 0, item.is_reading()) {
        (true, _) => Noted::perhaps(grade, n),
        (false, true) if grade > 0 => Noted::Seen(Entry::AtLeast(1)),
        (false, _) => Noted::Seen(Entry::Grade(grade)),
    }
}

fn grades_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    reason: &mut Reason,
    inquiry: &mut Inquiry,
    item: Item<'_>,
    network: &Network,
) {
    let look = seen.look;
    let now = inquiry.noted(item.id()).cloned();
    let frame = Frame::new()
        .fill(look.color(Role::QuietPanel))
        .corner_radius(8)
        .inner_margin(Margin::symmetric(12, 9));
    frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.spacing_mut().item_spacing.y = 6.0;
        match item {
            Item::Condition(c) => words::detail(ui, look, &c.see.text),
            Item::Quantity(q) => words::detail(ui, look, &q.means.text),
        };
        let mut names = vec![tr("reason-not-looked")];
        if item.is_reading() {
            names.extend([tr("reason-within"), tr("reason-beyond")]);
        } else {
            names.push(tr("reason-clean"));
            names.extend((1..GRADES).map(|g| format!("{g} {}", tr(&format!("grade-{g}")))));
        }
        let most = names.len() - 2;
        let at = now.as_ref().map_or(0, |n| 1 + n.grade().min(most));
        let soft = matches!(now, Some(Noted::Perhaps(_)));
        if let Some(i) = pick::pills(ui, look, &names, at) {
            let noted = i.checked_sub(1).map(|g| graded(item, g, soft, network));
            set(reason, inquiry, item, noted);
            ui.ctx().request_repaint();
        }
        if let (Item::Condition(c), Some(noted)) = (item, &now)
            && let Some(step) = noted.grade().checked_sub(1).and_then(|g| c.steps.get(g))
        {
            words::body(ui, look, step);
        }
        if let Some(grade) = now.as_ref().map(Noted::grade).filter(|g| *g > 0) {
            let used = inquiry.effective().noted.into_values();
            let full = used.filter(|n| matches!(n, Noted::Perhaps(_))).count() >= MAX_SOFT;
            ui.add_enabled_ui(soft || !full, |ui| {
                if control::switch(ui, look, &tr("reason-perhaps"), soft) {
                    set(reason, inquiry, item, Some(graded(item, grade, !soft, network)));
                }
            });
            if full && !soft {
                words::detail(ui, look, &tr("reason-perhaps-full"));
            }
        }
    });
    ui.add_space(4.0);
}

/// The drawing with what is noted on it; a click lists what can be noted on the part.
fn drawing_ui(ui: &mut Ui, seen: &Seen<'_>, reason: &mut Reason, inquiry: &Inquiry, height: f32) {
    let look = seen.look;
    let names = VIEWS.map(|v| tr(&format!("view-{}", v.name())));
    let at = VIEWS.iter().position(|v| *v == reason.view).unwrap_or(0);
    ui.horizontal_wrapped(|ui| {
        if let Some(i) = control::segments(ui, look, "reason-view", &names, at) {
            reason.view = VIEWS[i];
            reason.figure.canvas.reset();
            ui.ctx().request_repaint();
        }
        words::detail(ui, look, &tr("reason-drawing-how"));
    });
    let Some(design) = design_of(seen, inquiry) else { return };
    let noted = inquiry.effective().noted.into_iter();
    let on_it = noted.map(|(id, n)| (id, n.grade() as f64 / 5.0)).filter(|(_, s)| *s > 0.0);
    let sight = sight(seen, design, reason.view, on_it);
    let view = tr(&format!("view-{}", reason.view.name()));
    let title = tr_with("reason-drawing", &[("view", &view)]);
    let part = reason.part.clone();
    let picked = figure_ui(ui, seen, &mut reason.figure, &sight, &title, height, part.as_deref());
    if let Some(picked) = picked {
        let target = picked.target.or(picked.near.first().map(|(t, _)| *t));
        let parts = reason.figure.easel.picture(seen.catalogue, &sight, 1.0);
        reason.part =
            target.and_then(|t| parts?.scene.targets.get(t as usize).map(|t| t.part.to_string()));
        reason.search.clear();
        ui.ctx().request_repaint();
    }
}

/// A drawing in a frame; gives what was chosen in it.
pub(super) fn figure_ui(
    ui: &mut Ui,
    seen: &Seen<'_>,
    figure: &mut Figure,
    sight: &Sight,
    title: &str,
    height: f32,
    part: Option<&str>,
) -> Option<Picked> {
    let look = seen.look;
    let room = ui.available_rect_before_wrap();
    let area = Rect::from_min_size(room.min, vec2(room.width(), height));
    ui.allocate_rect(area, egui::Sense::hover());
    ui.painter().rect_filled(area, CARD_CORNER, look.color(Role::Panel));
    let scale =
        figure.easel.bounds(sight.view).map_or(1.0, |b| scale_of(b, area, figure.canvas.zoom()));
    let Some(picture) = figure.easel.picture(seen.catalogue, sight, scale) else {
        ui.scope_builder(UiBuilder::new().max_rect(area.shrink(14.0)), |ui| {
            words::quiet(ui, look, &tr("reason-cannot-draw"));
        });
        return None;
    };
    if figure.spoken.as_ref().is_none_or(|(r, _)| *r != picture.revision) {
        figure.spoken = Some((picture.revision, speak(seen.catalogue, &picture)));
    }
    let spoken = figure.spoken.as_ref().map_or(&[][..], |(_, s)| s.as_slice());
    let targets = picture.scene.targets.iter().enumerate();
    let marks: Vec<Mark> = targets
        .filter(|(t, target)| part == Some(&*target.part) && picture.index.is_drawn(*t as u32))
        .map(|(t, _)| Mark::new(t as u32, State::Kind))
        .collect();
    // What glints is seen only where the lamp shines.
    let lamp = picture.scene.prims.iter().any(|p| p.glint.is_some());
    let done = ui
        .scope_builder(UiBuilder::new().max_rect(area.shrink(2.0)), |ui| {
            figure.canvas.show(
                ui,
                look,
                &Ask {
                    picture: &picture,
                    title,
                    spoken,
                    chip: true,
                    labels: &[],
                    highlighted: marks.first().map(|m| m.target),
                    veil: Veil::default(),
                    marks: &marks,
                    lamp,
                    choosing: true,
                    near: None,
                },
            )
        })
        .inner;
    picture_frame(ui, look, area, CARD_CORNER);
    done.picked
}

fn scale_of(bounds: kurbo::Rect, area: Rect, zoom: f64) -> f64 {
    let fit =
        (f64::from(area.width()) / bounds.width()).min(f64::from(area.height()) / bounds.height());
    fit * zoom
}

/// A small line under a heading.
pub(super) fn head_ui(ui: &mut Ui, look: Look, title: &str, about: &str) {
    words::card(ui, look, title);
    if !about.is_empty() {
        words::detail(ui, look, about);
    }
}
