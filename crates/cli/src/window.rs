//! Opening the window, or saying in one line why there is none.

use crate::{Out, WindowArgs};
use jarlight_model::text::{tr, tr_with};
use std::path::PathBuf;

/// What the world around the program says.
#[derive(Clone, Debug, Default)]
pub struct Surroundings {
    /// Whether there is a screen.
    pub display: bool,
    /// The folder for everything that is kept, by `JARLIGHT_HOME`.
    pub home: Option<PathBuf>,
    /// The user's folder for data: `XDG_DATA_HOME`, or what the system has instead.
    pub data: Option<PathBuf>,
    /// The user's own folder.
    pub user: Option<PathBuf>,
}

/// Opens the window and returns the exit code.
pub fn open(args: WindowArgs, around: &Surroundings, out: &mut Out<'_>) -> u8 {
    let why = if !cfg!(feature = "window") {
        tr("no-window-built")
    } else if !around.display {
        tr("no-window-display")
    } else {
        match show(args, around) {
            Ok(()) => return 0,
            Err(cause) => cause,
        }
    };
    out.message(&tr_with("no-window", &[("why", &why)]));
    2
}

#[cfg(feature = "window")]
fn show(args: WindowArgs, around: &Surroundings) -> Result<(), String> {
    use jarlight_app::{Fixed, WindowError, WindowOptions};

    let assets = crate::assets::load(args.assets.as_deref())
        .map_err(|found| format!("{:#}", crate::draw::listed(&found)))?;
    let options = WindowOptions {
        data_dir: data_dir(args.home, around),
        catalogue: std::sync::Arc::new(assets.catalogue),
        scenarios: jarlight_scenario::shipped(),
        open: Vec::new(),
        fixed: Fixed::default(),
    };
    jarlight_app::run(options).map_err(|e| match e {
        WindowError::NoDisplay => tr("no-window-display-answers"),
        WindowError::Refused(cause) => tr_with("no-window-opened", &[("cause", &cause)]),
    })
}

#[cfg(not(feature = "window"))]
fn show(_: WindowArgs, _: &Surroundings) -> Result<(), String> {
    Err(tr("no-window-built"))
}

/// The folder for answers: as asked for on the command line, by `JARLIGHT_HOME`, or in the
/// user's folder for data.
#[cfg_attr(not(feature = "window"), expect(dead_code, reason = "nothing is kept without a window"))]
fn data_dir(asked: Option<PathBuf>, around: &Surroundings) -> PathBuf {
    // A relative XDG folder is to be ignored, says the base directory specification.
    let data = around.data.clone().filter(|d| d.is_absolute());
    let user = around.user.as_ref().map(|u| {
        if cfg!(target_os = "macos") {
            u.join("Library/Application Support")
        } else {
            u.join(".local/share")
        }
    });
    asked
        .or_else(|| around.home.clone())
        .or_else(|| data.or(user).map(|d| d.join("jarlight")))
        .unwrap_or_else(|| PathBuf::from("jarlight-data"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn around(home: Option<&str>, data: Option<&str>, user: Option<&str>) -> Surroundings {
        let path = |p: Option<&str>| p.map(PathBuf::from);
        Surroundings { display: false, home: path(home), data: path(data), user: path(user) }
    }

    #[test]
    #[cfg(target_os = "linux")]
    fn the_folder_for_answers_is_the_most_special_one_named() {
        let dir = |asked: Option<&str>, a| data_dir(asked.map(PathBuf::from), &a);
        let all = || around(Some("/h"), Some("/d"), Some("/u"));
        assert_eq!(dir(Some("/asked"), all()), PathBuf::from("/asked"));
        assert_eq!(dir(None, all()), PathBuf::from("/h"));
        assert_eq!(dir(None, around(None, Some("/d"), Some("/u"))), PathBuf::from("/d/jarlight"));
        let relative = around(None, Some("d"), Some("/u"));
        assert_eq!(dir(None, relative), PathBuf::from("/u/.local/share/jarlight"));
    }

    #[test]
    fn without_a_display_one_line_names_the_terminal_commands() {
        let (mut data, mut messages) = (Vec::new(), Vec::new());
        let args = WindowArgs { assets: None, home: None };
        let mut out = Out::new(&mut data, &mut messages);
        assert_eq!(open(args, &Surroundings::default(), &mut out), 2);
        let said = String::from_utf8(messages).unwrap();
        assert_eq!(said.lines().count(), 1, "{said}");
        for verb in ["check", "draw", "explain", "reading", "explain-code"] {
            assert!(said.contains(verb), "{said}");
        }
        assert!(data.is_empty());
    }
}
