//! Photographs in the window without a screen: opened, marked by mouse and by keys, kept.

#![allow(clippy::unwrap_used, reason = "helpers of tests may panic as tests do")]

mod common;

use common::{Window, open_window, shows};
use eframe::App as _;
use egui::{Key, Modifiers, Role};
use egui_kittest::kittest::Queryable as _;
use jarlight_app::{App, Library};
use jarlight_model::{
    catalogue::Catalogue,
    diag::Source,
    photo::{Outline, Photo, Pixels, Shown},
    text::{tr, tr_with},
};
use std::{
    fs,
    path::{Path, PathBuf},
    time::Duration,
};

fn picture(folder: &Path) -> PathBuf {
    let pixels = Pixels { full: (400, 300), size: (400, 300), rgba: vec![190; 400 * 300 * 4] };
    let path = folder.join("cell-31.png");
    fs::write(&path, pixels.to_png().unwrap()).unwrap();
    path
}

fn window(picture: PathBuf) -> Window {
    open_window([1280.0, 800.0], None, move |services, ctx| {
        App::new(services, Library::default(), vec![picture], ctx)
    })
}

fn wait(h: &mut Window, what: &str, mut done: impl FnMut(&Window) -> bool) {
    for _ in 0..3000 {
        h.step();
        if done(h) {
            return;
        }
        std::thread::sleep(Duration::from_millis(1));
    }
    panic!("waited in vain: {what}");
}

fn press(h: &mut Window, label: &str) {
    h.get_all_by_label(label).next().unwrap().click();
    h.run_steps(4);
}

fn saved() -> String {
    tr_with("photo-kept", &[("file", "cell-31.photo.ron")])
}

fn kept(folder: &Path) -> Photo {
    let text = fs::read_to_string(folder.join("cell-31.photo.ron")).unwrap();
    let read = Photo::read(&Source::new("cell-31.photo.ron", &text), Catalogue::builtin());
    assert!(read.diagnostics.is_empty(), "{:?}", read.diagnostics);
    read.value.unwrap()
}

fn key(h: &mut Window, modifiers: Modifiers, key: Key) {
    h.key_press_modifiers(modifiers, key);
    h.run_steps(3);
}

#[test]
fn a_region_is_made_moved_named_and_taken_back_by_keys_alone() {
    let folder = tempfile::tempdir().unwrap();
    let mut h = window(picture(folder.path()));
    wait(&mut h, "the photograph", |h| shows(h, &tr("photo-new-box")));
    let title = tr_with("photo-drawing", &[("picture", "cell-31.png")]);
    h.get_by_label(&title).focus();
    h.run_steps(3);
    key(&mut h, Modifiers::NONE, Key::N);
    wait(&mut h, "saved", |h| shows(h, &saved()));
    let made = kept(folder.path()).regions[0].place.value.clone();
    assert_eq!(made, Outline::Box { left: 150.0, top: 113.0, right: 250.0, bottom: 188.0 });
    key(&mut h, Modifiers::NONE, Key::ArrowRight);
    key(&mut h, Modifiers::NONE, Key::C);
    key(&mut h, Modifiers::SHIFT, Key::ArrowUp);
    wait(&mut h, "saved", |h| shows(h, &saved()));
    // Three pixels to the right, then the upper right corner three up.
    let moved = Outline::Box { left: 153.0, top: 110.0, right: 253.0, bottom: 188.0 };
    assert_eq!(kept(folder.path()).regions[0].place.value, moved);
    key(&mut h, Modifiers::COMMAND, Key::Z);
    key(&mut h, Modifiers::COMMAND, Key::Z);
    wait(&mut h, "saved", |h| shows(h, &saved()));
    assert_eq!(kept(folder.path()).regions[0].place.value, made);

    press(&mut h, &tr("photo-is-condition"));
    wait(&mut h, "saved", |h| shows(h, &saved()));
    let shown = kept(folder.path()).regions[0].shows.clone();
    assert!(matches!(&shown, Shown::Condition(_)), "{shown:?}");
    let name = shown.name(Catalogue::builtin());
    assert!(shows(&h, &format!("1, {name}")), "the list names it");
    h.get_by_label(&title).focus();
    h.run_steps(3);
    key(&mut h, Modifiers::NONE, Key::Delete);
    wait(&mut h, "saved", |h| shows(h, &saved()));
    assert!(kept(folder.path()).regions.is_empty());
}

#[test]
fn boxes_and_polygons_are_drawn_with_the_mouse() {
    let folder = tempfile::tempdir().unwrap();
    let mut h = window(picture(folder.path()));
    wait(&mut h, "the photograph", |h| shows(h, &tr("photo-new-box")));
    let title = tr_with("photo-drawing", &[("picture", "cell-31.png")]);
    let middle = h.get_by_label(&title).rect().center();
    press(&mut h, &tr("photo-tool-box"));
    h.hover_at(middle);
    h.step();
    h.drag_at(middle);
    h.run_steps(2);
    h.hover_at(middle + egui::vec2(30.0, 20.0));
    h.run_steps(2);
    h.hover_at(middle + egui::vec2(60.0, 40.0));
    h.run_steps(2);
    h.drop_at(middle + egui::vec2(60.0, 40.0));
    h.run_steps(3);
    wait(&mut h, "saved", |h| shows(h, &saved()));
    let photo = kept(folder.path());
    let (l, t, r, b) = photo.regions[0].place.extent();
    assert!((l - 200.0).abs() <= 2.0 && (t - 150.0).abs() <= 2.0, "{l} {t}");
    assert!(r > l + 10.0 && b > t + 5.0, "{r} {b}");

    press(&mut h, &tr("photo-tool-polygon"));
    for d in [(0.0, 0.0), (-80.0, 0.0), (-80.0, -60.0)] {
        let at = middle + egui::vec2(d.0, d.1);
        h.drag_at(at);
        h.step();
        h.drop_at(at);
        // Two clicks at once would close it.
        h.run_steps(30);
    }
    h.get_by_label(&title).focus();
    h.run_steps(3);
    key(&mut h, Modifiers::NONE, Key::Enter);
    wait(&mut h, "saved", |h| shows(h, &saved()));
    let photo = kept(folder.path());
    assert_eq!(photo.regions.len(), 2);
    assert_eq!(photo.regions[1].place.corners().len(), 3);
    let name = photo.regions[1].shows.name(Catalogue::builtin());
    let nodes = h.query_all_by_role_and_label(Role::Button, &name);
    assert_eq!(nodes.count(), 2, "each region has a node in the picture");
}

#[test]
fn a_faulty_file_is_told_and_not_written_over() {
    let folder = tempfile::tempdir().unwrap();
    let path = picture(folder.path());
    let text = "Photo(format: 1, picture: \"cell-31.png\", regions: [(shows: Part(\"jarr\"), \
                place: Box(left: 0, top: 0, right: 8, bottom: 6))]) // mine";
    let file = folder.path().join("cell-31.photo.ron");
    fs::write(&file, text).unwrap();
    let mut h = window(path);
    wait(&mut h, "the fault", |h| shows(h, &tr("photo-faulty")));
    assert!(!shows(&h, &tr("photo-new-box")));
    h.get_by_label(&tr_with("photo-drawing", &[("picture", "cell-31.png")])).focus();
    h.run_steps(3);
    key(&mut h, Modifiers::NONE, Key::N);
    h.run_steps(10);
    assert_eq!(fs::read_to_string(&file).unwrap(), text);
}

#[test]
fn a_bad_picture_is_a_notice_and_the_window_goes_on() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("film.png");
    fs::write(&path, b"GIF89a").unwrap();
    let name = path.display().to_string();
    let mut h = window(path);
    let notice = tr_with("photo-cannot-open", &[("file", &name)]);
    wait(&mut h, "the notice", |h| shows(h, &notice));
    press(&mut h, &tr("notice-close"));
    assert!(!shows(&h, &notice));
    press(&mut h, &tr("page-study"));
    assert!(shows(&h, &tr("study-choose")));
    h.state_mut().on_exit(None);
}
