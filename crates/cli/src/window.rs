//! Opening the window, or saying in one line why there is none.

use crate::{Out, WindowArgs};
use jarlight_model::text::{tr, tr_with};

/// Opens the window and returns the exit code; `display` says whether there is a screen.
pub fn open(args: WindowArgs, display: bool, out: &mut Out<'_>) -> u8 {
    let why = if !cfg!(feature = "window") {
        tr("no-window-built")
    } else if !display {
        tr("no-window-display")
    } else {
        match show(args) {
            Ok(()) => return 0,
            Err(cause) => tr_with("no-window-opened", &[("cause", &cause)]),
        }
    };
    out.message(&tr_with("no-window", &[("why", &why)]));
    2
}

fn show(_args: WindowArgs) -> Result<(), String> {
    Err(tr("no-window-built"))
}
