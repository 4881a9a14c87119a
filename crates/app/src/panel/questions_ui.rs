//! The list of scenarios, and what is wrong with files that cannot be begun.

use super::{
    Seen,
    start_ui::{open_card, size_text},
};
use crate::{
    command::Command,
    presenting::questions_of,
    theme::Look,
    widget::{
        badge,
        control::{self, Rank},
        words,
    },
};
use egui::{
    Frame, Margin, ScrollArea, Sense, Ui,
    text::{LayoutJob, TextFormat},
    vec2,
};
use jarlight_geometry::{palette::Role, scene::Weight};
use jarlight_model::{
    diag::Diagnostic,
    text::{tr, tr_count},
};
use jarlight_scenario::Mode;

/// What the page keeps.
#[derive(Default)]
pub struct Questions {
    /// The file that was opened last.
    pub chosen: Option<usize>,
    path: String,
}

/// Draws the page.
pub fn questions_ui(ui: &mut Ui, seen: &Seen<'_>, kept: &mut Questions, out: &mut Vec<Command>) {
    let look = seen.look;
    ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
        let side = ((ui.available_width() - look.px(900.0)) / 2.0).clamp(24.0, 120.0);
        Frame::new().inner_margin(Margin::symmetric(side as i8, 24)).show(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 8.0;
            words::title(ui, look, &tr("page-questions"));
            words::text(ui, look, &tr("questions-about"), 15.0, Weight::Regular, Role::SecondInk);
            ui.add_space(10.0);
            ui.spacing_mut().item_spacing.y = 14.0;
            if let Some(open) = &seen.open {
                control::filled_card(ui, look, Role::AccentFill, Role::Accent, |ui| {
                    ui.spacing_mut().item_spacing.y = 4.0;
                    words::text(ui, look, &tr("continue"), 13.0, Weight::SemiBold, Role::Accent);
                    words::text(ui, look, &open.title, 17.0, Weight::SemiBold, Role::Ink);
                    ui.add_space(4.0);
                    if control::button(ui, look, Rank::Primary, &tr("continue-go")).clicked() {
                        out.push(Command::Resume);
                    }
                });
            }
            for entry in 0..seen.library.entries.len() {
                entry_ui(ui, seen, entry, kept.chosen == Some(entry), out);
            }
            out.extend(open_card(ui, look, &mut kept.path, 0.0));
        });
    });
}

fn entry_ui(ui: &mut Ui, seen: &Seen<'_>, entry: usize, chosen: bool, out: &mut Vec<Command>) {
    let look = seen.look;
    let e = &seen.library.entries[entry];
    let line = if chosen { Role::Accent } else { Role::Rule };
    control::filled_card(ui, look, Role::Panel, line, |ui| {
        ui.spacing_mut().item_spacing.y = 5.0;
        match &e.scenario {
            Some(scenario) => {
                words::text(ui, look, scenario.title(), 17.0, Weight::SemiBold, Role::Ink);
                if !scenario.setting().is_empty() {
                    words::quiet(ui, look, scenario.setting());
                }
                words::detail(ui, look, &size_text(scenario));
                ui.add_space(4.0);
                ui.horizontal_wrapped(|ui| {
                    for (mode, rank, id) in [
                        (Mode::Learn, Rank::Primary, "mode-learn"),
                        (Mode::Practise, Rank::Secondary, "mode-practise"),
                    ] {
                        let button = control::button(ui, look, rank, &tr(id));
                        let spoken = format!("{}: {}", tr(id), scenario.title());
                        button.widget_info(|| {
                            egui::WidgetInfo::labeled(egui::Role::Button, true, &spoken)
                        });
                        if button.on_hover_text(tr(&format!("{id}-about"))).clicked() {
                            out.push(Command::Begin { entry, mode });
                        }
                    }
                    let button = control::button(ui, look, Rank::Plain, &tr("present-go"));
                    let spoken = format!("{}: {}", tr("present-go"), scenario.title());
                    button.widget_info(|| {
                        egui::WidgetInfo::labeled(egui::Role::Button, true, &spoken)
                    });
                    if button.on_hover_text(tr("present-questions")).clicked() {
                        out.push(Command::Present(questions_of(scenario)));
                    }
                });
            }
            None => {
                ui.horizontal(|ui| {
                    let (r, _) = ui.allocate_exact_size(vec2(22.0, look.px(22.0)), Sense::hover());
                    badge::cross(ui.painter(), r.center(), 9.0, look);
                    words::text(ui, look, &e.file, 15.0, Weight::SemiBold, Role::Ink);
                });
                words::quiet(ui, look, &tr_count("file-faults", e.diagnostics.len()));
            }
        }
        for diagnostic in &e.diagnostics {
            ui.add_space(6.0);
            diagnostic_ui(ui, look, diagnostic);
        }
    });
}

/// A diagnostic with the words it is about underlined: the same text as in the terminal.
pub fn diagnostic_ui(ui: &mut Ui, look: Look, d: &Diagnostic) {
    let role = if d.is_error() { Role::Wrong } else { Role::Caution };
    Frame::new()
        .fill(look.color(Role::QuietPanel))
        .corner_radius(7)
        .inner_margin(Margin::symmetric(12, 9))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.spacing_mut().item_spacing.y = 2.0;
            let id = if d.is_error() { "fault-error" } else { "fault-warning" };
            let head = format!("{} [{}]: {}", tr(id), d.code, d.message);
            words::text(ui, look, &head, 13.5, Weight::SemiBold, role);
            match &d.place {
                Some(p) => {
                    words::detail(ui, look, &format!("{}:{}:{}", p.file, p.line, p.col));
                    ui.label(excerpt(look, p.line, &p.excerpt, p.col, p.width, role));
                }
                None => {
                    words::detail(ui, look, &d.file);
                }
            }
            if let Some(help) = &d.help {
                words::body(ui, look, &format!("{}: {help}", tr("fault-help")));
            }
        });
}

fn excerpt(look: Look, line: usize, text: &str, col: usize, width: usize, role: Role) -> LayoutJob {
    let chars: Vec<char> = text.chars().collect();
    let from = (col - 1).min(chars.len());
    let to = (from + width).min(chars.len());
    let plain = TextFormat::simple(look.body(), look.color(Role::Ink));
    let number = TextFormat::simple(look.body(), look.color(Role::ThirdInk));
    let marked = TextFormat {
        color: look.color(role),
        underline: egui::Stroke::new(1.6, look.color(role)),
        ..plain.clone()
    };
    let part = |range: std::ops::Range<usize>| chars[range].iter().collect::<String>();
    let mut job = LayoutJob::default();
    job.append(&format!("{line}    "), 0.0, number);
    job.append(part(0..from).trim_start(), 0.0, plain.clone());
    job.append(&part(from..to), 0.0, marked);
    job.append(&part(to..chars.len()), 0.0, plain);
    job
}
