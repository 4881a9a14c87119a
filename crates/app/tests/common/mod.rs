//! The window without a screen, as the tests of all pages open it.

use eframe::egui::Context;
use egui_kittest::{Harness, kittest::Queryable as _};
use jarlight_app::{App, Fixed, Services};
use jarlight_model::catalogue::Catalogue;
use std::{path::PathBuf, sync::Arc};

/// The window.
pub type Window = Harness<'static, App>;

/// Opens a window of this size in points, at a fixed time and with a fixed seed.
pub fn open_window(
    size: [f32; 2],
    records: Option<PathBuf>,
    make: impl FnOnce(Services, &Context) -> App + 'static,
) -> Window {
    let catalogue = Arc::new(Catalogue::builtin().clone());
    let mut h = Harness::builder()
        .with_size(size)
        .with_pixels_per_point(1.0)
        .with_os(egui::os::OperatingSystem::Nix)
        .with_max_steps(40)
        .build_eframe(move |cc| {
            let fixed = Fixed { now_ms: Some(1_700_000_000_000), seed: Some(7) };
            make(Services::new(catalogue, records, fixed, &cc.egui_ctx), &cc.egui_ctx)
        });
    h.step();
    h.step();
    h
}

/// Whether something has this label.
pub fn shows(h: &Window, label: &str) -> bool {
    h.query_all_by_label(label).next().is_some()
}
