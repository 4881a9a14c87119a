//! Opens the window on a folder: `window DATA_DIR [SCENARIO…]`.

use jarlight_app::{Fixed, WindowOptions};
use jarlight_model::catalogue::Catalogue;
use std::sync::Arc;

fn main() {
    let mut args = std::env::args().skip(1).map(std::path::PathBuf::from);
    let options = WindowOptions {
        data_dir: args.next().unwrap_or_else(std::env::temp_dir),
        catalogue: Arc::new(Catalogue::builtin().clone()),
        scenarios: jarlight_scenario::shipped(),
        open: args.collect(),
        fixed: Fixed::default(),
    };
    #[expect(clippy::print_stderr, reason = "a program says why it has no window")]
    if let Err(e) = jarlight_app::run(options) {
        eprintln!("{e}");
    }
}
