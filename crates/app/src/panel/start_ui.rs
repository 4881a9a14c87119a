//! Where one begins: continue, open a scenario, study; who is learning; what to beware of.

use super::{Seen, help_ui::about_ui, shell_ui::picture_frame};
use crate::{
    command::Command,
    easel::{Easel, Subject},
    route::Route,
    theme::{CARD_CORNER, Look},
    widget::{
        badge,
        control::{self, Rank},
        drawing::{Ask, Canvas},
        words,
    },
};
use egui::{
    Frame, Margin, Rect, Role as Node, ScrollArea, Sense, Stroke, Ui, UiBuilder, WidgetInfo, pos2,
    vec2,
};
use jarlight_geometry::{
    draw::View,
    palette::Role,
    scene::{Shade, Weight},
};
use jarlight_model::{
    id::Slug,
    specimen::Specimen,
    text::{tr, tr_count, tr_with},
};
use jarlight_scenario::Mode;

/// What the start page keeps.
#[derive(Default)]
pub struct Start {
    picture: Easel,
    canvas: Canvas,
    name: String,
    path: String,
}

/// The design that is shown where nothing else was chosen.
pub fn first_design(seen: &Seen<'_>) -> Option<Slug> {
    let designs = &seen.catalogue.designs;
    let usual = designs.keys().find(|id| id.as_str() == "medium_pasted");
    usual.or_else(|| designs.keys().next()).cloned()
}

/// Draws the page.
pub fn start_ui(ui: &mut Ui, seen: &Seen<'_>, start: &mut Start, out: &mut Vec<Command>) {
    let look = seen.look;
    let area = ui.max_rect();
    let margin = (area.width() * 0.035).clamp(20.0, 56.0);
    let with_picture = area.width() > look.px(980.0);
    let side = if with_picture { (area.width() * 0.33).clamp(320.0, 620.0) } else { 0.0 };
    let left = Rect::from_min_max(
        area.min,
        pos2(area.max.x - side - if with_picture { margin } else { 0.0 }, area.max.y),
    );
    ui.scope_builder(UiBuilder::new().max_rect(left), |ui| {
        ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
            let frame = Frame::new().inner_margin(Margin {
                left: margin as i8,
                right: if with_picture { 24 } else { margin as i8 },
                top: 24,
                bottom: 24,
            });
            frame.show(ui, |ui| {
                ui.spacing_mut().item_spacing.y = 6.0;
                words::title(ui, look, &tr("start-title"));
                words::text(
                    ui,
                    look,
                    &tr("start-subtitle"),
                    15.5,
                    Weight::Regular,
                    Role::SecondInk,
                );
                ui.add_space(14.0);
                ui.spacing_mut().item_spacing.y = 14.0;
                let first = seen.learners.is_empty();
                if first {
                    first_time(ui, seen, start, out);
                    caution_card(ui, look, 0.0);
                } else {
                    next_thing(ui, seen, out);
                }
                scenarios(ui, seen, out);
                let path = &mut start.path;
                let (to_study, open) = pair(
                    ui,
                    "study and file",
                    |ui, height| study_card(ui, look, height),
                    |ui, height| open_card(ui, look, path, height),
                );
                out.extend(to_study);
                out.extend(open);
                if !first {
                    let name = &mut start.name;
                    let (who, ()) = pair(
                        ui,
                        "who and caution",
                        |ui, height| who_card(ui, seen, name, height),
                        |ui, height| caution_card(ui, look, height),
                    );
                    out.extend(who);
                }
            });
        });
    });
    if with_picture {
        let rect = Rect::from_min_max(
            pos2(area.max.x - side - margin + 12.0, area.min.y + 24.0),
            pos2(area.max.x - margin, area.max.y - 24.0),
        );
        portrait(ui, seen, start, rect, out);
    }
}

/// Two cards of one height side by side where there is room, one above the other where not.
///
/// A card takes the least height of its inside; the taller one of the last frame gives it.
fn pair<A, B>(
    ui: &mut Ui,
    name: &str,
    a: impl FnOnce(&mut Ui, f32) -> A,
    b: impl FnOnce(&mut Ui, f32) -> B,
) -> (A, B) {
    const GAP: f32 = 14.0;
    /// Margins of a card, above and below, and its line.
    const RIM: f32 = 34.4;
    if ui.available_width() < 560.0 {
        return (a(ui, 0.0), b(ui, 0.0));
    }
    let half = (ui.available_width() - GAP) / 2.0;
    let top = ui.cursor().min;
    // Text size and width are part of the name, since a card may also shrink.
    let id = ui.scope_id().with((
        name,
        half as i32,
        ui.text_style_height(&egui::TextStyle::Body) as i32,
    ));
    let last: f32 = ui.data(|d| d.get_temp(id)).unwrap_or(0.0);
    let area = |x: f32| {
        UiBuilder::new().max_rect(Rect::from_min_size(pos2(x, top.y), vec2(half, f32::INFINITY)))
    };
    let left = ui.scope_builder(area(top.x), |ui| (a(ui, last), ui.min_rect().height()));
    let ((of_a, height_a), right) = (
        left.inner,
        ui.scope_builder(area(top.x + half + GAP), |ui| (b(ui, last), ui.min_rect().height())),
    );
    let (of_b, height_b) = right.inner;
    let tallest = height_a.max(height_b) - RIM;
    if (tallest - last).abs() > 0.5 {
        ui.data_mut(|d| d.insert_temp(id, tallest));
        ui.ctx().request_repaint();
    }
    let whole = Rect::from_min_size(top, vec2(2.0 * half + GAP, height_a.max(height_b)));
    ui.advance_cursor_after_rect(whole);
    (of_a, of_b)
}

/// The first time: what this is, and a name.
fn first_time(ui: &mut Ui, seen: &Seen<'_>, start: &mut Start, out: &mut Vec<Command>) {
    let look = seen.look;
    control::filled_card(ui, look, Role::Panel, Role::Accent, |ui| {
        ui.spacing_mut().item_spacing.y = 8.0;
        words::card(ui, look, &tr("welcome-title"));
        about_ui(ui, look);
        ui.add_space(4.0);
        ui.horizontal_wrapped(|ui| {
            let hint = tr_with("learner-numbered", &[("n", "1")]);
            let name = tr("learner-name");
            let field = control::field(ui, look, &name, &hint, &mut start.name, look.px(220.0));
            let begin = control::button(ui, look, Rank::Primary, &tr("learner-begin"));
            if begin.clicked() || control::entered(ui, &field) {
                out.push(Command::AddLearner(std::mem::take(&mut start.name)));
            }
        });
    });
}

/// Continue, or the first scenario.
fn next_thing(ui: &mut Ui, seen: &Seen<'_>, out: &mut Vec<Command>) {
    let look = seen.look;
    control::filled_card(ui, look, Role::Panel, Role::Accent, |ui| {
        ui.spacing_mut().item_spacing.y = 6.0;
        if let Some(open) = &seen.open {
            words::text(ui, look, &tr("continue"), 13.0, Weight::SemiBold, Role::Accent);
            words::section(ui, look, &open.title);
            let total = open.total.or_else(|| {
                let mut all = seen.library.entries.iter().filter_map(|e| e.scenario.as_ref());
                all.find(|s| s.id().as_str() == open.scenario).map(|s| s.questions().len())
            });
            let (n, of) = (open.answered, total.unwrap_or(open.answered));
            let done =
                tr_with("continue-done", &[("n", &n.to_string()), ("total", &of.to_string())]);
            words::quiet(ui, look, &done);
            ui.add_space(2.0);
            let share = n as f32 / of.max(1) as f32;
            control::progress(ui, look, share, ui.available_width(), &done);
            ui.add_space(6.0);
            if control::button(ui, look, Rank::Primary, &tr("continue-go")).clicked() {
                out.push(Command::Resume);
            }
            return;
        }
        let first = seen.library.entries.iter().enumerate();
        let first = first.filter_map(|(i, e)| e.scenario.as_ref().map(|s| (i, s))).next();
        let Some((entry, scenario)) = first else {
            words::section(ui, look, &tr("begin-study"));
            words::quiet(ui, look, &tr("study-about"));
            ui.add_space(6.0);
            if control::button(ui, look, Rank::Primary, &tr("study-go")).clicked() {
                out.push(Command::Go(Route::Study));
            }
            return;
        };
        words::text(ui, look, &tr("begin-here"), 13.0, Weight::SemiBold, Role::Accent);
        words::section(ui, look, scenario.title());
        words::quiet(ui, look, &size_text(scenario));
        ui.add_space(6.0);
        if control::button(ui, look, Rank::Primary, &tr("begin-go")).clicked() {
            out.push(Command::Begin { entry, mode: Mode::Learn });
        }
    });
}

/// How long a scenario is.
pub fn size_text(scenario: &jarlight_scenario::Scenario) -> String {
    let minutes = scenario.minutes().round().max(1.0) as usize;
    format!(
        "{}, {}",
        tr_count("scenario-questions", scenario.questions().len()),
        tr_count("scenario-minutes", minutes)
    )
}

/// All scenarios that can be begun.
fn scenarios(ui: &mut Ui, seen: &Seen<'_>, out: &mut Vec<Command>) {
    let look = seen.look;
    if seen.library.entries.is_empty() {
        return;
    }
    control::card(ui, look, |ui| {
        ui.spacing_mut().item_spacing.y = 4.0;
        words::card(ui, look, &tr("open-scenario"));
        ui.add_space(2.0);
        for (entry, e) in seen.library.entries.iter().enumerate() {
            match &e.scenario {
                Some(scenario) => {
                    let (title, size) = (scenario.title(), size_text(scenario));
                    let spoken = format!("{title}: {size}");
                    if control::row(ui, look, title, &size, &spoken, false).clicked() {
                        out.push(Command::Begin { entry, mode: Mode::Learn });
                    }
                }
                None => {
                    let size = tr_count("file-faults", e.diagnostics.len());
                    let spoken = format!("{}: {size}", e.file);
                    if control::row(ui, look, &e.file, &size, &spoken, false).clicked() {
                        out.push(Command::Go(Route::Questions));
                    }
                }
            }
        }
    });
}

fn study_card(ui: &mut Ui, look: Look, height: f32) -> Option<Command> {
    control::card(ui, look, |ui| {
        ui.set_min_height(height);
        ui.spacing_mut().item_spacing.y = 4.0;
        words::card(ui, look, &tr("page-study"));
        words::quiet(ui, look, &tr("study-about"));
        ui.add_space(4.0);
        let go = control::button(ui, look, Rank::Secondary, &tr("study-go"));
        go.clicked().then_some(Command::Go(Route::Study))
    })
    .inner
}

/// Opens a file by dialog, by path, or by dropping it.
pub fn open_card(ui: &mut Ui, look: Look, path: &mut String, height: f32) -> Option<Command> {
    control::card(ui, look, |ui| {
        ui.set_min_height(height);
        ui.spacing_mut().item_spacing.y = 6.0;
        words::card(ui, look, &tr("open-file"));
        let width = ui.available_width();
        let field = control::field(ui, look, &tr("open-path"), &tr("open-path-hint"), path, width);
        let mut command = None;
        ui.horizontal_wrapped(|ui| {
            let by_path = control::button(ui, look, Rank::Secondary, &tr("open-by-path"));
            if (by_path.clicked() || control::entered(ui, &field)) && !path.trim().is_empty() {
                command = Some(Command::ReadFile(path.trim().into()));
            }
            if control::button(ui, look, Rank::Plain, &tr("open-browse")).clicked() {
                command = Some(Command::PickFile);
            }
        });
        command
    })
    .inner
}

fn who_card(ui: &mut Ui, seen: &Seen<'_>, name: &mut String, height: f32) -> Option<Command> {
    let look = seen.look;
    control::card(ui, look, |ui| {
        ui.set_min_height(height);
        ui.spacing_mut().item_spacing.y = 4.0;
        words::card(ui, look, &tr("learner-who"));
        let mut command = None;
        for learner in seen.learners {
            let on = seen.learner == Some(&learner.id);
            if radio(ui, look, &learner.name, on) {
                command = Some(Command::ChooseLearner(learner.id.clone()));
            }
        }
        if !seen.learners.is_empty() {
            ui.horizontal_wrapped(|ui| {
                let n = (seen.learners.len() + 1).to_string();
                let hint = tr_with("learner-numbered", &[("n", &n)]);
                let width = (ui.available_width() - look.px(90.0)).max(80.0);
                let field = control::field(ui, look, &tr("learner-name"), &hint, name, width);
                let add = control::button(ui, look, Rank::Secondary, &tr("learner-add"));
                if add.clicked() || (control::entered(ui, &field) && !name.trim().is_empty()) {
                    command = Some(Command::AddLearner(std::mem::take(name)));
                }
            });
        } else {
            words::quiet(ui, look, &tr("learner-none"));
        }
        command
    })
    .inner
}

fn radio(ui: &mut Ui, look: Look, label: &str, on: bool) -> bool {
    let (rect, response) =
        ui.allocate_exact_size(vec2(ui.available_width(), look.px(28.0)), Sense::click());
    response.widget_info(|| WidgetInfo::selected(Node::RadioButton, true, on, label));
    if on || response.hovered() {
        let fill = if on { Role::AccentFill } else { Role::QuietPanel };
        ui.painter().rect_filled(rect, 6.0, look.color(fill));
    }
    let at = pos2(rect.min.x + 16.0, rect.center().y);
    let role = if on { Role::Accent } else { Role::SecondInk };
    ui.painter().circle_stroke(at, 6.5, Stroke::new(1.5, look.color(role)));
    if on {
        ui.painter().circle_filled(at, 3.5, look.color(Role::Accent));
    }
    let weight = if on { Weight::SemiBold } else { Weight::Regular };
    let font = look.font(13.5, weight);
    let galley = control::one_line(ui, label, font, look.color(Role::Ink), rect.width() - 44.0);
    let text = pos2(rect.min.x + 32.0, rect.center().y - galley.size().y / 2.0);
    ui.painter().galley(text, galley, look.color(Role::Ink));
    control::focus(ui, look, rect.shrink(2.0), &response, 5);
    response.clicked()
}

/// What could hurt someone; never left out.
fn caution_card(ui: &mut Ui, look: Look, height: f32) {
    control::filled_card(ui, look, Role::CautionFill, Role::Caution, |ui| {
        ui.set_min_height(height);
        ui.spacing_mut().item_spacing.y = 6.0;
        ui.horizontal(|ui| {
            let (rect, _) = ui.allocate_exact_size(vec2(26.0, look.px(24.0)), Sense::hover());
            badge::warning(ui.painter(), rect.center(), 11.0, look);
            words::card(ui, look, &tr("caution-title"));
        });
        words::body(ui, look, &tr("caution-text"));
    });
}

/// The cell, large, in a lit room; leads to the study page.
fn portrait(ui: &mut Ui, seen: &Seen<'_>, start: &mut Start, rect: Rect, out: &mut Vec<Command>) {
    let look = seen.look;
    ui.painter().rect_filled(rect, CARD_CORNER, look.color(Role::QuietPanel));
    let center = rect.center();
    for i in 0..24 {
        // A soft light behind the cell, from the outside in.
        let share = 1.0 - i as f32 / 24.0;
        let size = vec2(rect.width() * 0.98 * share, rect.height() * 0.98 * share);
        let light = look.shade(Shade::base(Role::Panel).alpha(0.05));
        ui.painter().rect_filled(Rect::from_center_size(center, size), size.x * 0.3, light);
    }
    let Some(design) = first_design(seen) else { return };
    let subject = Subject {
        specimen: Specimen::healthy(design),
        view: View::Edge,
        hidden: Vec::new(),
        broken_out: false,
    };
    let px = f64::from(rect.height()) / 460.0;
    if let Some(picture) = start.picture.picture(seen.catalogue, &subject, px) {
        ui.scope_builder(UiBuilder::new().max_rect(rect.shrink(10.0)), |ui| {
            let done = start.canvas.show(
                ui,
                look,
                &Ask {
                    picture: &picture,
                    title: &tr("start-picture"),
                    spoken: &[],
                    chip: false,
                    labels: &[],
                    highlighted: None,
                    veil: Default::default(),
                    marks: &[],
                    lamp: false,
                    choosing: false,
                    near: None,
                },
            );
            if done.response.on_hover_cursor(egui::CursorIcon::PointingHand).clicked() {
                out.push(Command::Go(Route::Study));
            }
        });
    }
    picture_frame(ui, look, rect, CARD_CORNER);
}
