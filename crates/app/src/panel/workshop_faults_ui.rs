//! What is wrong with the text: each line leads there, and an offered word is put in by a button.

use crate::{
    theme::{CARD_CORNER, Look},
    widget::{
        badge,
        control::{self, Rank},
        words,
    },
    workshop::{Found, Open, fix},
};
use egui::{Color32, Frame, Margin, ScrollArea, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};
use jarlight_geometry::{palette::Role, scene::Weight};
use jarlight_model::text::{tr, tr_count, tr_with};

/// How much room the list would take.
pub fn height(look: Look, open: &Open) -> f32 {
    look.px(44.0) + look.px(58.0) * open.found.len().min(4) as f32
}

/// Draws the list.
pub fn faults_ui(ui: &mut Ui, look: Look, open: &mut Open, at: &mut usize) {
    let room = ui.available_rect_before_wrap();
    let line = Stroke::new(1.2, look.color(Role::Rule));
    ui.painter().rect(room, CARD_CORNER, look.color(Role::Panel), line, egui::StrokeKind::Inside);
    Frame::new().inner_margin(Margin::symmetric(14, 9)).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 4.0;
        head_ui(ui, look, open, at);
        ScrollArea::vertical().id_salt("workshop-faults").auto_shrink(false).show(ui, |ui| {
            ui.set_width(ui.available_width() - 10.0);
            for i in 0..open.found.len() {
                fault_ui(ui, look, open, i, at);
            }
        });
    });
}

fn head_ui(ui: &mut Ui, look: Look, open: &mut Open, at: &mut usize) {
    ui.horizontal(|ui| {
        let errors = open.found.iter().filter(|f| f.diagnostic.is_error()).count();
        let warnings = open.found.len() - errors;
        let (rect, _) = ui.allocate_exact_size(vec2(22.0, look.px(24.0)), Sense::hover());
        let c = rect.center();
        let checked = open.checked == Some(open.text.revision());
        let text = match (checked, errors, warnings) {
            (false, ..) => tr("workshop-checking"),
            (_, 0, 0) => {
                badge::tick(ui.painter(), c, 9.0, look);
                tr("workshop-sound")
            }
            _ => {
                if errors > 0 {
                    badge::cross(ui.painter(), c, 9.0, look);
                } else {
                    badge::warning(ui.painter(), c, 9.0, look);
                }
                format!("{}, {}", tr_count("errors", errors), tr_count("warnings", warnings))
            }
        };
        let said = words::text(ui, look, &text, 13.5, Weight::SemiBold, Role::Ink);
        ui.ctx().accesskit_node_builder(said.id, |n| n.set_live(egui::accesskit::Live::Polite));
        if open.found.len() > 1 {
            for (id, on) in [("workshop-fault-back", false), ("workshop-fault-next", true)] {
                if control::button(ui, look, Rank::Plain, &tr(id)).clicked() {
                    go(open, at, on);
                }
            }
        }
    });
}

fn fault_ui(ui: &mut Ui, look: Look, open: &mut Open, i: usize, at: &mut usize) {
    let Some(found) = open.found.get(i) else { return };
    let d = &found.diagnostic;
    let place = found.at.as_ref().map(|r| line_col(open.text.str(), r.start));
    let place = place.map(|(l, c)| {
        tr_with("workshop-place", &[("line", &l.to_string()), ("col", &c.to_string())])
    });
    let place = place.unwrap_or_default();
    let level = tr(if d.is_error() { "fault-error" } else { "fault-warning" });
    let spoken = format!("{level}, {place}: {}", d.message);
    let offer = fix(found, open.text.str());
    let help = d.help.clone().filter(|_| offer.is_none());
    let width = ui.available_width();
    let text_room = width - look.px(26.0) - 10.0;
    let mut job = egui::text::LayoutJob::default();
    job.wrap.max_width = text_room;
    let format = |weight, role| egui::TextFormat::simple(look.font(13.0, weight), look.color(role));
    job.append(&format!("{place}  "), 0.0, format(Weight::SemiBold, Role::SecondInk));
    job.append(&d.message, 0.0, format(Weight::Regular, Role::Ink));
    if let Some(help) = &help {
        job.append(&format!("  {help}"), 0.0, format(Weight::Regular, Role::SecondInk));
    }
    let galley = ui.painter().layout_job(job);
    let height = (galley.size().y + 8.0).max(look.px(28.0));
    let (rect, response) = ui.allocate_exact_size(vec2(width, height), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, &spoken));
    if response.hovered() || *at == i && response.has_focus() {
        ui.painter().rect_filled(rect, 6.0, look.color(Role::QuietPanel));
    }
    let sign = pos2(rect.min.x + look.px(12.0), rect.min.y + look.px(14.0));
    match d.is_error() {
        true => badge::cross(ui.painter(), sign, look.px(7.0), look),
        false => badge::warning(ui.painter(), sign, look.px(7.0), look),
    }
    let at_text = pos2(rect.min.x + look.px(26.0), rect.min.y + 4.0);
    ui.painter().galley(at_text, galley, Color32::PLACEHOLDER);
    control::focus(ui, look, rect.shrink(2.0), &response, 5);
    let doc = d.code.doc();
    if response.on_hover_text(format!("{}: {doc}", d.code)).clicked() {
        *at = i;
        jump(open, i);
    }
    if let Some(edit) = offer {
        ui.horizontal(|ui| {
            ui.add_space(look.px(18.0));
            let label = tr_with("workshop-mend", &[("new", edit.new.trim_matches('"'))]);
            if control::button(ui, look, Rank::Plain, &label).clicked() {
                open.edit(vec![edit]);
            }
        });
    }
}

/// Line and column of a byte, both from 1.
fn line_col(text: &str, byte: usize) -> (usize, usize) {
    let head = text.get(..byte).unwrap_or(text);
    let start = head.rfind('\n').map_or(0, |i| i + 1);
    (head.bytes().filter(|b| *b == b'\n').count() + 1, head[start..].chars().count() + 1)
}

fn jump(open: &mut Open, i: usize) {
    if let Some(at) = open.found.get(i).and_then(|f: &Found| f.at.clone()) {
        // What is meant is selected as far as its line goes.
        let line = open.text.str().get(at.clone()).and_then(|t| t.find(['\r', '\n']));
        open.go(at.start..line.map_or(at.end, |n| at.start + n));
    }
}

/// Goes to the next fault, or to the one before.
pub fn go(open: &mut Open, at: &mut usize, on: bool) {
    let n = open.found.len();
    if n == 0 {
        return;
    }
    // From where the cursor is.
    let here = open.selected.start;
    let place = |f: &Found| f.at.as_ref().map_or(0, |r| r.start);
    *at = if on {
        open.found.iter().position(|f| place(f) > here).unwrap_or(0)
    } else {
        open.found.iter().rposition(|f| place(f) < here).unwrap_or(n - 1)
    };
    jump(open, *at);
}

/// Puts in the word that is offered on the line of the cursor.
pub fn mend_at_cursor(open: &mut Open) {
    let text = open.text.str();
    let line = |byte: usize| line_col(text, byte).0;
    let here = line(open.selected.start);
    let on_line = |f: &&Found| f.at.as_ref().is_some_and(|r| line(r.start) == here);
    let mended = open.found.iter().filter(on_line).find_map(|f| fix(f, text));
    if let Some(edit) = mended {
        open.edit(vec![edit]);
    }
}
