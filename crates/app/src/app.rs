//! The window: what is open, what it stands on, and nothing about inspection.

use crate::{
    command::{CaseWish, Command},
    inquiry::Inquiry,
    library::Library,
    panel::{
        OpenWork, Panels, Seen, atlas_ui, help_ui, photo_ui, present_ui, questions_ui, reason_ui,
        run_ui, shell_ui, start_ui, study_ui, trial_ui, workshop_ui,
    },
    photo::OpenPhoto,
    presenting::Presenting,
    route::Route,
    run,
    running::Running,
    services::{Services, Ticket},
    theme::{self, Look},
    workshop::{Ask, Then, Wish, Workshop},
};
use egui::{Key, KeyboardShortcut, Modifiers};
use jarlight_geometry::palette::{Role, Theme};
use jarlight_model::{id::Slug, unit::Units};
use jarlight_records::{Learner, OpenRun};
use std::path::PathBuf;

/// A sentence that stays until it is closed, with what there is to say about it.
#[derive(Clone, Debug, PartialEq)]
pub struct Notice {
    /// The sentence.
    pub text: String,
    /// Details, such as the message of the system.
    pub detail: Option<String>,
    /// Whether it says that answers are not being kept; it stays as long as that is so.
    pub about_records: bool,
}

impl Notice {
    /// A notice that can be closed.
    pub const fn passing(text: String, detail: Option<String>) -> Self {
        Self { text, detail, about_records: false }
    }
}

/// The window.
pub struct App {
    pub(crate) services: Services,
    pub(crate) look: Look,
    pub(crate) units: Units,
    pub(crate) route: Route,
    pub(crate) library: Library,
    pub(crate) learners: Vec<Learner>,
    pub(crate) learner: Option<String>,
    pub(crate) last_learner: Option<String>,
    pub(crate) photos: Vec<OpenPhoto>,
    pub(crate) open_run: Option<Box<OpenRun>>,
    pub(crate) running: Option<Running>,
    pub(crate) inquiry: Inquiry,
    pub(crate) panels: Panels,
    pub(crate) presenting: Presenting,
    pub(crate) notices: Vec<Notice>,
    pub(crate) unwritten: Vec<Ticket>,
    pub(crate) opened_files: Vec<PathBuf>,
    pub(crate) help: bool,
    pub(crate) workshop: Workshop,
    pub(crate) closing: bool,
    commands: Vec<Command>,
}

const HELP: KeyboardShortcut = KeyboardShortcut::new(Modifiers::NONE, Key::F1);
const OPEN: KeyboardShortcut = KeyboardShortcut::new(Modifiers::COMMAND, Key::O);
const QUIT: KeyboardShortcut = KeyboardShortcut::new(Modifiers::COMMAND, Key::Q);

impl App {
    /// A window on its services.
    pub fn new(
        services: Services,
        library: Library,
        open: Vec<PathBuf>,
        ctx: &egui::Context,
    ) -> Self {
        theme::install_fonts(ctx);
        theme::install_style(ctx, Look::default());
        // Ctrl and plus resize text in our own steps.
        ctx.options_mut(|o| o.zoom_with_keyboard = false);
        services.ask_learners();
        for path in open {
            services.read_file(path);
        }
        let inquiry = Inquiry::new(&services.catalogue);
        Self {
            services,
            inquiry,
            look: Look::default(),
            units: Units::default(),
            route: Route::Start,
            library,
            learners: Vec::new(),
            learner: None,
            last_learner: None,
            photos: Vec::new(),
            open_run: None,
            running: None,
            panels: Panels::default(),
            presenting: Presenting::default(),
            notices: Vec::new(),
            unwritten: Vec::new(),
            opened_files: Vec::new(),
            help: false,
            workshop: Workshop::default(),
            closing: false,
            commands: Vec::new(),
        }
    }

    /// Takes up look and learner of the last time.
    pub fn restore(&mut self, storage: &dyn eframe::Storage, ctx: &egui::Context) {
        if let Some(theme) = storage.get_string("theme")
            && let Some(theme) = Theme::ALL.into_iter().find(|t| t.name() == theme)
        {
            self.look.theme = theme;
        }
        if let Some(percent) = storage.get_string("text").and_then(|t| t.parse().ok())
            && theme::TEXT_STEPS.contains(&percent)
        {
            self.look.percent = percent;
        }
        self.look.still = storage.get_string("still").is_some_and(|s| s == "yes");
        self.last_learner = storage.get_string("learner");
        if storage.get_string("units").as_deref() == Some("inch") {
            self.units = Units::Inch;
        }
        if let Some(id) = storage.get_string("condition").and_then(|id| Slug::parse(&id).ok()) {
            self.panels.atlas.open(&self.services.catalogue, &id);
        }
        self.panels.study.restore(storage, &self.services.catalogue);
        for file in storage.get_string("files").unwrap_or_default().lines() {
            self.services.reread_file(PathBuf::from(file));
        }
        if let Some(text) = storage.get_string("case").filter(|t| !t.is_empty()) {
            let file = storage.get_string("case_file").filter(|f| !f.is_empty());
            self.inquiry.take_up(&self.services.catalogue, &text, file.map(PathBuf::from));
        }
        for file in storage.get_string("photos").unwrap_or_default().lines() {
            self.services.read_photo(PathBuf::from(file), false);
        }
        theme::install_style(ctx, self.look);
    }

    pub(crate) fn go(&mut self, route: Route) {
        self.route = route;
    }

    fn obey(&mut self, ctx: &egui::Context) {
        // A command may make news that another command waits for, but never a command.
        for command in std::mem::take(&mut self.commands) {
            run::execute(self, command, ctx);
        }
    }

    /// Takes in news; for the window and for tests.
    pub fn take_in_news(&mut self) {
        for news in self.services.news() {
            run::take_in(self, news);
        }
    }

    /// Asks before work is lost that is on no disk.
    fn guard_close(&mut self, ctx: &egui::Context) {
        if ctx.input(|i| i.viewport().close_requested())
            && !self.closing
            && self.workshop.is_dirty()
        {
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
            self.workshop.ask = Some(Ask::Unsaved(Then::Close));
            self.go(Route::Workshop);
        }
    }

    /// Draws the whole window.
    pub fn show(&mut self, ui: &mut egui::Ui) {
        let ctx = ui.ctx().clone();
        let mut out = std::mem::take(&mut self.commands);
        self.guard_close(&ctx);
        shortcuts(ui, self.route, &mut out);
        self.workshop.tick(&ctx, self.services.desk.keeps_drafts(), &mut out);
        let look = self.look;
        let page = egui::Frame::new().fill(look.color(Role::Page));
        let seen = Seen {
            look,
            units: self.units,
            route: self.route,
            catalogue: &self.services.catalogue,
            library: &self.library,
            learners: &self.learners,
            learner: self.learner.as_deref(),
            open: open_work(self.running.as_ref(), self.open_run.as_deref()),
            photos: &self.photos,
            notices: &self.notices,
            kept_pages: self.presenting.kept.len(),
        };
        let (panels, running, shop) = (&mut self.panels, &mut self.running, &mut self.workshop);
        let inquiry = &mut self.inquiry;
        let presenting = &mut self.presenting;
        if self.route != Route::Present {
            shell_ui(ui, &seen, &mut out);
        }
        egui::CentralPanel::default().frame(page).show(ui, |ui| match (self.route, running) {
            (Route::Start, _) => start_ui(ui, &seen, &mut panels.start, &mut out),
            (Route::Study, _) => study_ui(ui, &seen, &mut panels.study, &mut out),
            (Route::Atlas, _) => atlas_ui(ui, &seen, &mut panels.atlas, &mut out),
            (Route::Reasoning, _) => {
                reason_ui(ui, &seen, &mut panels.reason, inquiry, &mut out);
            }
            (Route::Photo, _) => photo_ui(ui, &seen, &mut panels.photos, &mut out),
            (Route::Workshop, _) => workshop_ui(ui, &seen, shop, &mut out),
            (Route::Trial, _) => trial_ui(ui, &seen, shop, &mut out),
            (Route::Present, _) => present_ui(ui, &seen, presenting, &mut out),
            (Route::Run, Some(running)) => run_ui(ui, &seen, running, &mut out),
            (Route::Questions | Route::Run, _) => {
                questions_ui(ui, &seen, &mut panels.questions, &mut out);
            }
        });
        if self.help {
            help_ui(ui, look, &mut out);
        }
        drops(ui, look, self.route, &mut out);
        self.commands = out;
        // Obeyed in the frame of the click: an answer is on its way to the disk before the
        // next frame begins.
        if !self.commands.is_empty() {
            // Asking the rules changes nothing in the window by itself.
            let idle = |c: &Command| *c == Command::Case(CaseWish::Reason);
            let repaint = !self.commands.iter().all(idle);
            self.obey(&ctx);
            if repaint {
                ctx.request_repaint();
            }
        }
    }
}

impl eframe::App for App {
    fn logic(&mut self, _ctx: &egui::Context, _frame: &mut eframe::Frame) {
        self.take_in_news();
    }

    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        self.show(ui);
    }

    fn save(&mut self, storage: &mut dyn eframe::Storage) {
        storage.set_string("theme", self.look.theme.name().to_owned());
        storage.set_string("text", self.look.percent.to_string());
        let still = if self.look.still { "yes" } else { "no" };
        storage.set_string("still", still.to_owned());
        if let Some(id) = self.panels.atlas.chosen() {
            storage.set_string("condition", id.to_string());
        }
        if let Some(id) = &self.learner {
            storage.set_string("learner", id.clone());
        }
        let units = if self.units == Units::Inch { "inch" } else { "metric" };
        storage.set_string("units", units.to_owned());
        self.panels.study.store(storage);
        // What is not saved is there again the next time.
        let changed = self.inquiry.is_changed();
        let text = if changed { self.inquiry.file_text() } else { String::new() };
        let file = self.inquiry.file.as_ref().map(|f| f.display().to_string());
        storage.set_string("case", text);
        storage.set_string("case_file", file.unwrap_or_default());
        let files: Vec<String> =
            self.opened_files.iter().map(|f| f.display().to_string()).collect();
        storage.set_string("files", files.join("\n"));
        let photos: Vec<String> =
            self.photos.iter().map(|p| p.picture().display().to_string()).collect();
        storage.set_string("photos", photos.join("\n"));
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        self.services.close();
    }
}

/// What can be continued: the run in the window, or the one in the records.
fn open_work(running: Option<&Running>, stored: Option<&OpenRun>) -> Option<OpenWork> {
    if let Some(r) = running.filter(|r| r.summary.is_none()) {
        return Some(OpenWork {
            title: r.run.title.clone(),
            scenario: r.run.scenario.clone(),
            answered: r.session.given().len(),
            total: Some(r.session.scenario().questions().len()),
        });
    }
    stored.map(|o| OpenWork {
        title: o.run.title.clone(),
        scenario: o.run.scenario.clone(),
        answered: o.answers.len(),
        total: None,
    })
}

fn shortcuts(ui: &egui::Ui, route: Route, out: &mut Vec<Command>) {
    let pressed = |k: &KeyboardShortcut| ui.input_mut(|i| i.consume_shortcut(k));
    if pressed(&HELP) {
        out.push(Command::ShowHelp(true));
    }
    if route != Route::Workshop && pressed(&OPEN) {
        out.push(Command::PickFile);
    }
    if pressed(&QUIT) {
        out.push(Command::Quit);
    }
    for (key, larger) in [(Key::Plus, true), (Key::Equals, true), (Key::Minus, false)] {
        if pressed(&KeyboardShortcut::new(Modifiers::COMMAND, key)) {
            out.push(Command::ResizeText { larger });
        }
    }
}

/// Takes in files that are dropped on the window.
fn drops(ui: &egui::Ui, look: Look, route: Route, out: &mut Vec<Command>) {
    for file in ui.input(|i| i.raw.dropped_files.clone()) {
        let path = file.path().to_path_buf();
        out.push(match route {
            Route::Workshop => Command::Desk(Wish::Open(path)),
            _ => Command::ReadFile(path),
        });
    }
    if ui.input(|i| !i.raw.hovered_files.is_empty()) {
        let rect = ui.ctx().content_rect();
        let layer = egui::LayerId::new(egui::Order::Foreground, egui::Id::unique("drop"));
        let painter = ui.ctx().layer_painter(layer);
        painter.rect_filled(rect, 0.0, look.color(Role::AccentFill).gamma_multiply(0.92));
        painter.text(
            rect.center(),
            egui::Align2::CENTER_CENTER,
            jarlight_model::text::tr("open-drop"),
            look.font(24.0, jarlight_geometry::scene::Weight::SemiBold),
            look.color(Role::Accent),
        );
    }
}
