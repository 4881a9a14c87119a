//! The window: study, atlas, questions, reasoning, workshop and what carries them.
//!
//! Panels read what is open, draw, and return commands; `run` obeys them. All work that may
//! wait (records, files, dialogs) is done by other threads.

mod app;
mod browse;
mod command;
#[cfg(test)]
mod demo;
mod easel;
mod inquiry;
mod library;
mod paint;
mod panel;
mod photo;
mod presenting;
mod route;
mod run;
mod running;
mod services;
mod theme;
mod widget;
mod workshop;

pub use app::App;
pub use library::Library;
pub use paint::Trial;
pub use services::{Fixed, Services};

use jarlight_model::{catalogue::Catalogue, diag::Source};
use std::{path::PathBuf, sync::Arc};

/// What the window is opened with.
pub struct WindowOptions {
    /// Where answers and settings are kept.
    pub data_dir: PathBuf,
    /// What is known.
    pub catalogue: Arc<Catalogue>,
    /// The scenarios that are always there.
    pub scenarios: Vec<Source>,
    /// Scenario files to open.
    pub open: Vec<PathBuf>,
    /// A fixed clock and a fixed source of chance, for tests.
    pub fixed: Fixed,
}

/// Why there is no window.
#[derive(Debug, thiserror::Error)]
pub enum WindowError {
    /// Nothing to show it on.
    #[error("no display is available")]
    NoDisplay,
    /// The window system refused.
    #[error("the window could not be opened: {0}")]
    Refused(String),
}

/// Opens the window and stays until it is closed.
pub fn run(options: WindowOptions) -> Result<(), WindowError> {
    let WindowOptions { data_dir, catalogue, scenarios, open, fixed } = options;
    let native = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_title(jarlight_model::text::tr("app-name"))
            .with_app_id("jarlight")
            .with_inner_size([1280.0, 800.0])
            .with_min_inner_size([760.0, 520.0]),
        persistence_path: Some(data_dir.join("window.ron")),
        multisampling: 4,
        ..Default::default()
    };
    let opened = eframe::run_native(
        "jarlight",
        native,
        Box::new(move |cc| {
            let records = data_dir.join("records.sqlite3");
            let services = Services::new(catalogue, Some(records), fixed, &cc.egui_ctx);
            let mut library = Library::default();
            for source in &scenarios {
                library.add(source, &services.catalogue);
            }
            let mut app = App::new(services, library, open, &cc.egui_ctx);
            if let Some(storage) = cc.storage {
                app.restore(storage, &cc.egui_ctx);
            }
            Ok(Box::new(app))
        }),
    );
    opened.map_err(|e| match e {
        eframe::Error::WinitEventLoop(_) => WindowError::NoDisplay,
        other => WindowError::Refused(other.to_string()),
    })
}
