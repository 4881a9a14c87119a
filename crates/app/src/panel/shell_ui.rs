//! The bar at the top, and notices under it.

use super::Seen;
use crate::{
    app::Notice,
    command::Command,
    route::Route,
    theme::Look,
    widget::{
        badge,
        control::{self, Rank},
        words,
    },
};
use egui::{
    Align, Color32, Frame, Layout, Margin, Panel, Rect, Role as Node, Sense, Stroke, StrokeKind,
    Ui, WidgetInfo, pos2, vec2,
};
use jarlight_geometry::{
    palette::{Role, Theme},
    scene::Weight,
};
use jarlight_model::text::tr;

/// Draws the bar and the notices.
pub fn shell_ui(ui: &mut Ui, seen: &Seen<'_>, out: &mut Vec<Command>) {
    let look = seen.look;
    let frame = Frame::new().fill(look.color(Role::Panel)).inner_margin(Margin::symmetric(16, 0));
    Panel::top("bar").frame(frame).exact_size(look.px(52.0)).show_separator_line(false).show(
        ui,
        |ui| {
            let line = ui.max_rect().expand2(vec2(16.0, 0.0));
            let at = line.max.y - 0.5;
            ui.painter().hline(line.x_range(), at, Stroke::new(1.2, look.color(Role::Rule)));
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                home(ui, seen, out);
                let entries: f32 = Route::BAR.into_iter().map(|r| entry_width(ui, look, r)).sum();
                let room = ui.available_width() - 24.0;
                let few = room < entries + look.px(TOOLS);
                if room < entries + look.px(FEW_TOOLS) {
                    ui.add_space(8.0);
                    pages_ui(ui, seen, out);
                } else {
                    ui.add_space(24.0);
                    for route in Route::BAR {
                        entry(ui, seen, route, out);
                    }
                }
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    tools(ui, seen, few, out);
                });
            });
        },
    );
    if !seen.notices.is_empty() {
        let frame = Frame::new()
            .fill(look.color(Role::CautionFill))
            .stroke(look.line(Role::Caution))
            .inner_margin(Margin::symmetric(16, 8));
        Panel::top("notices").frame(frame).show_separator_line(false).show(ui, |ui| {
            for (i, notice) in seen.notices.iter().enumerate() {
                notice_ui(ui, look, i, notice, out);
            }
        });
    }
}

/// The sign and name of the program, which lead to the start page.
fn home(ui: &mut Ui, seen: &Seen<'_>, out: &mut Vec<Command>) {
    let look = seen.look;
    let name = tr("app-name");
    let galley = ui.painter().layout_no_wrap(
        name.clone(),
        look.font(17.0, Weight::Bold),
        look.color(Role::Ink),
    );
    let sign = look.px(30.0);
    let size = vec2(sign + 12.0 + galley.size().x, look.px(40.0));
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Node::Button, true, tr("page-start")));
    let icon = Rect::from_center_size(
        pos2(rect.min.x + sign / 2.0, rect.center().y),
        vec2(sign, sign * 0.84),
    );
    badge::jar(ui.painter(), icon, look);
    let at = pos2(rect.min.x + sign + 12.0, rect.center().y - galley.size().y / 2.0);
    ui.painter().galley(at, galley, look.color(Role::Ink));
    control::focus(ui, look, rect, &response, 6);
    if response.clicked() {
        out.push(Command::Go(Route::Start));
    }
}

/// The room that all tools take at the right, and that few of them take, at 100 %.
const TOOLS: f32 = 540.0;
const FEW_TOOLS: f32 = 240.0;

fn entry_width(ui: &Ui, look: Look, route: Route) -> f32 {
    let font = look.font(14.0, Weight::SemiBold);
    let words = ui.painter().layout_no_wrap(tr(route.text_id()), font, Color32::PLACEHOLDER);
    words.size().x + 20.0 + ui.spacing().item_spacing.x
}

/// The pages in a list that opens, where the bar has no room for them.
fn pages_ui(ui: &mut Ui, seen: &Seen<'_>, out: &mut Vec<Command>) {
    let look = seen.look;
    let now = format!("{}…", tr(seen.route.text_id()));
    let button = control::button(ui, look, Rank::Secondary, &now);
    let spoken = format!("{}: {}", tr("bar-pages"), tr(seen.route.text_id()));
    button.widget_info(|| WidgetInfo::labeled(Node::Button, true, &spoken));
    egui::Popup::menu(&button).show(|ui| {
        ui.set_min_width(look.px(150.0));
        for route in Route::BAR {
            let name = tr(route.text_id());
            let on = seen.route.is_under(route);
            if control::row(ui, look, &name, "", &name, on).clicked() {
                out.push(Command::Go(route));
                ui.close();
            }
        }
    });
}

fn entry(ui: &mut Ui, seen: &Seen<'_>, route: Route, out: &mut Vec<Command>) {
    let look = seen.look;
    let on = seen.route.is_under(route);
    let weight = if on { Weight::SemiBold } else { Weight::Regular };
    let role = if on { Role::Ink } else { Role::SecondInk };
    let label = tr(route.text_id());
    let galley =
        ui.painter().layout_no_wrap(label.clone(), look.font(14.0, weight), look.color(role));
    let height = ui.max_rect().height();
    let (rect, response) =
        ui.allocate_exact_size(vec2(galley.size().x + 20.0, height), Sense::click());
    response.widget_info(|| WidgetInfo::selected(Node::Tab, true, on, &label));
    if response.hovered() && !on {
        ui.painter().rect_filled(rect.shrink2(vec2(0.0, 9.0)), 6.0, look.color(Role::QuietPanel));
    }
    ui.painter().galley(rect.center() - galley.size() / 2.0, galley, look.color(role));
    if on {
        let bar = Rect::from_min_max(
            pos2(rect.min.x + 8.0, rect.max.y - 3.5),
            pos2(rect.max.x - 8.0, rect.max.y),
        );
        ui.painter().rect_filled(bar, 1.5, look.color(Role::Accent));
    }
    control::focus(ui, look, rect.shrink2(vec2(0.0, 8.0)), &response, 6);
    if response.clicked() {
        out.push(Command::Go(route));
    }
}

/// Who, text size, theme and help, laid out from the right; all but the first in a list that
/// opens where there is room for few.
fn tools(ui: &mut Ui, seen: &Seen<'_>, few: bool, out: &mut Vec<Command>) {
    let look = seen.look;
    who(ui, seen, few, out);
    ui.add_space(4.0);
    if !few {
        look_ui(ui, look, out);
        return;
    }
    let button = control::button(ui, look, Rank::Secondary, &format!("{}…", tr("bar-look")));
    let spoken = tr("bar-look");
    button.widget_info(|| WidgetInfo::labeled(Node::Button, true, &spoken));
    let behaviour = egui::PopupCloseBehavior::CloseOnClickOutside;
    egui::Popup::menu(&button).close_behavior(behaviour).show(|ui| {
        ui.set_min_width(look.px(190.0));
        look_ui(ui, look, out);
    });
}

/// Help, text size and theme.
fn look_ui(ui: &mut Ui, look: Look, out: &mut Vec<Command>) {
    let help = control::button(ui, look, Rank::Plain, &tr("help-open"));
    if help.on_hover_text(tr("help-key")).clicked() {
        out.push(Command::ShowHelp(true));
    }
    for (larger, id, name) in [(true, "text-larger", "A+"), (false, "text-smaller", "A−")] {
        let resized = look.resized(larger) != look;
        ui.add_enabled_ui(resized, |ui| {
            let button = control::button(ui, look, Rank::Plain, name);
            let label = tr(id);
            button.widget_info(|| WidgetInfo::labeled(Node::Button, resized, &label));
            if button.on_hover_text(&label).clicked() {
                out.push(Command::ResizeText { larger });
            }
        });
    }
    theme_ui(ui, look, out);
}

/// Light or dark, and stronger contrast.
fn theme_ui(ui: &mut Ui, look: Look, out: &mut Vec<Command>) {
    let contrast = look.is_contrast();
    let of = |dark: bool, contrast: bool| match (dark, contrast) {
        (false, false) => Theme::Light,
        (true, false) => Theme::Dark,
        (false, true) => Theme::ContrastLight,
        (true, true) => Theme::ContrastDark,
    };
    let dark = look.theme.is_dark();
    if control::switch(ui, look, &tr("theme-contrast"), contrast) {
        out.push(Command::SetTheme(of(dark, !contrast)));
    }
    ui.add_space(4.0);
    let labels = [tr("theme-light"), tr("theme-dark")];
    if let Some(i) = control::segments(ui, look, "theme", &labels, usize::from(dark)) {
        out.push(Command::SetTheme(of(i == 1, contrast)));
    }
}

fn who(ui: &mut Ui, seen: &Seen<'_>, few: bool, out: &mut Vec<Command>) {
    let look = seen.look;
    let name = seen.learner_name().map_or_else(|| tr("learner-nobody"), ToOwned::to_owned);
    let galley = control::one_line(
        ui,
        &name,
        look.font(13.5, Weight::SemiBold),
        look.color(Role::Ink),
        look.px(if few { 84.0 } else { 150.0 }),
    );
    let side = look.px(20.0);
    let size = vec2(side + 8.0 + galley.size().x + 12.0, look.px(36.0));
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let spoken = format!("{}: {name}", tr("learner-who"));
    response.widget_info(|| WidgetInfo::labeled(Node::Button, true, &spoken));
    if response.hovered() {
        ui.painter().rect_filled(rect, 6.0, look.color(Role::QuietPanel));
    }
    let icon = Rect::from_center_size(
        pos2(rect.min.x + 6.0 + side / 2.0, rect.center().y),
        vec2(side * 0.9, side),
    );
    badge::person(ui.painter(), icon, look.color(Role::SecondInk));
    let at = pos2(rect.min.x + side + 14.0, rect.center().y - galley.size().y / 2.0);
    ui.painter().galley(at, galley, look.color(Role::Ink));
    control::focus(ui, look, rect, &response, 6);
    egui::Popup::menu(&response).show(|ui| {
        ui.set_min_width(look.px(170.0));
        for learner in seen.learners {
            let on = seen.learner == Some(&learner.id);
            if control::row(ui, look, &learner.name, "", &learner.name, on).clicked() {
                out.push(Command::ChooseLearner(learner.id.clone()));
                ui.close();
            }
        }
        let new = tr("learner-new");
        if control::row(ui, look, &new, "", &new, false).clicked() {
            out.push(Command::AddLearner(String::new()));
            ui.close();
        }
    });
}

fn notice_ui(ui: &mut Ui, look: Look, i: usize, notice: &Notice, out: &mut Vec<Command>) {
    ui.horizontal(|ui| {
        let (rect, _) = ui.allocate_exact_size(vec2(24.0, look.px(24.0)), Sense::hover());
        badge::warning(ui.painter(), rect.center(), 9.0, look);
        let room = ui.available_width() - look.px(110.0);
        ui.vertical(|ui| {
            ui.set_width(room);
            let said = words::text(ui, look, &notice.text, 13.5, Weight::SemiBold, Role::Ink);
            ui.ctx().accesskit_node_builder(said.id, |n| n.set_live(egui::accesskit::Live::Polite));
            if let Some(detail) = &notice.detail {
                words::detail(ui, look, detail);
            }
        });
        // What is about the records stays as long as it is true.
        if !notice.about_records
            && control::button(ui, look, Rank::Secondary, &tr("notice-close")).clicked()
        {
            out.push(Command::CloseNotice(i));
        }
    });
}

/// A frame round a picture, so that its corners are round on any page.
pub fn picture_frame(ui: &Ui, look: Look, rect: Rect, corner: u8) {
    let line = Stroke::new(1.2, look.color(Role::Leader));
    ui.painter().rect(rect, corner, Color32::TRANSPARENT, line, StrokeKind::Inside);
}
