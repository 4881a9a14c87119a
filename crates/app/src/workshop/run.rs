//! Obeys what the workshop wishes, and takes in what its files and checks have to say.

use super::{Ask, Force, Take, Then, Unsaved, Where, Wish, case, template, text::Text};
use crate::{
    app::{App, Notice},
    library::Entry,
    route::Route,
    running::Running,
    services::desk::{DeskNews, Question, Saved},
};
use jarlight_model::{
    diag::Source,
    text::{tr, tr_with},
};
use jarlight_scenario::{Mode, Session};
use std::path::{Path, PathBuf};

/// Obeys one wish.
pub fn execute(app: &mut App, wish: Wish, ctx: &egui::Context) {
    let replaces = matches!(wish, Wish::New(_) | Wish::FromCase(_) | Wish::Open(_) | Wish::AskOpen)
        || matches!(wish, Wish::Recover(_, Take::Up));
    if replaces && app.workshop.is_dirty() {
        app.workshop.ask = Some(Ask::Unsaved(Then::Wish(Box::new(wish))));
        app.go(Route::Workshop);
        return;
    }
    match wish {
        Wish::New(id) => {
            let all = template::all();
            let first = all.iter().find(|t| Some(t.id) == id);
            begin(app, &template::lesson(first));
        }
        Wish::FromCase(case) => match case::lesson(&case, &app.services.catalogue) {
            Some(text) => begin(app, &text),
            None => app.notices.push(Notice::passing(tr("workshop-no-case"), None)),
        },
        Wish::AskOpen => {
            app.workshop.ask = Some(Ask::Open(folder(app).display().to_string()));
        }
        Wish::Open(path) => {
            app.workshop.ask = None;
            app.services.desk.open(path);
        }
        Wish::Save => match app.workshop.open.as_ref().and_then(|o| o.path.clone()) {
            Some(path) => save(app, path, Force::No),
            None => ask_save(app),
        },
        Wish::AskSave => ask_save(app),
        Wish::SaveTo(path, force) => save(app, path, force),
        Wish::Browse { save, start } => app.services.desk.pick(save, &start),
        Wish::Check => {
            if let Some(open) = &mut app.workshop.open {
                let revision = open.text.revision();
                open.asked = Some(revision);
                app.services.desk.check((open.serial, revision), open.source());
            }
        }
        Wish::KeepDraft => {
            if let Some(open) = &mut app.workshop.open {
                open.kept = open.text.revision();
                app.services.desk.keep_draft(open.path.as_deref(), &open.text.to_bytes());
            }
        }
        Wish::TakeTheirs => {
            if let Some(open) = &mut app.workshop.open
                && let Some(bytes) = open.outside.take()
                && let Some(theirs) = Text::from_bytes(&bytes)
            {
                open.text.take_over(&theirs);
                open.disk = Some(bytes);
                open.measure();
            }
        }
        Wish::KeepMine => {
            if let Some(open) = &mut app.workshop.open {
                // From now on this is what lies beneath: saving replaces it.
                open.disk = open.outside.take().or(open.disk.take());
                open.measure();
            }
        }
        Wish::Recover(i, take) => recover(app, i, take),
        Wish::Unsaved(answer) => unsaved(app, answer, ctx),
        Wish::Try(mode) => try_out(app, mode),
        Wish::Act(action, at) => {
            let running = match at {
                Where::Preview => {
                    let open = app.workshop.open.as_mut();
                    open.and_then(|o| o.preview.as_mut()).map(|p| &mut p.running)
                }
                Where::Trial => app.workshop.trial.as_mut(),
            };
            if let Some(running) = running {
                running.act(action, &mut app.services);
            }
        }
        Wish::Reason => reason(app),
        Wish::Back => {
            app.workshop.trial = None;
            app.go(Route::Workshop);
        }
    }
}

fn begin(app: &mut App, text: &str) {
    let Some(text) = Text::from_bytes(text.as_bytes()) else { return };
    app.services.desk.watch(None);
    app.workshop.ask = None;
    app.workshop.put(None, text, None);
    if let Some(open) = &mut app.workshop.open {
        open.go(template::first_words(open.text.str()));
    }
    app.go(Route::Workshop);
}

/// Where files of the person are likely to be.
fn folder(app: &App) -> PathBuf {
    let open = app.workshop.open.as_ref().and_then(|o| o.path.as_deref()).and_then(Path::parent);
    let last = app.opened_files.last().and_then(|p| p.parent());
    let known = open.or(last).map(Path::to_owned).or_else(std::env::home_dir);
    let mut folder = known.unwrap_or_default();
    // Ends with a separator, so that a name can be typed behind it.
    folder.push("");
    folder
}

fn ask_save(app: &mut App) {
    let Some(open) = &mut app.workshop.open else { return };
    let path = open.path.clone();
    let id = super::outline::id_of(open.text.str());
    let path = path.unwrap_or_else(|| {
        let id = id.unwrap_or_else(|| "my_lesson".to_owned());
        folder(app).join(format!("{id}.scenario.ron"))
    });
    app.workshop.ask = Some(Ask::Save(path.display().to_string()));
}

fn save(app: &mut App, path: PathBuf, force: Force) {
    let Some(open) = &app.workshop.open else { return };
    // Only of its own file is it known what is on the disk.
    let known = open.disk.clone().filter(|_| open.path.as_ref() == Some(&path));
    let force = force == Force::Yes;
    app.services.desk.save(path, open.text.to_bytes(), known, force);
    app.workshop.ask = None;
}

fn recover(app: &mut App, i: usize, take: Take) {
    if i >= app.workshop.drafts.len() {
        return;
    }
    let draft = app.workshop.drafts.remove(i);
    if take == Take::Away {
        app.services.desk.drop_draft_named(&draft.name);
        return;
    }
    let Some(text) = Text::from_bytes(&draft.bytes) else { return };
    app.services.desk.watch(draft.path.as_deref());
    let path = draft.path.clone();
    app.workshop.put(draft.path, text, None);
    if let Some(path) = path {
        // What is in the file is compared with the copy when it comes.
        app.services.desk.open(path);
    }
}

fn unsaved(app: &mut App, answer: Unsaved, ctx: &egui::Context) {
    let Some(Ask::Unsaved(then)) = app.workshop.ask.take() else { return };
    match answer {
        Unsaved::Stay => app.workshop.then = None,
        Unsaved::Save => {
            app.workshop.then = Some(then);
            execute(app, Wish::Save, ctx);
        }
        Unsaved::Away => {
            if let Some(open) = app.workshop.open.take() {
                app.services.desk.drop_draft(open.path.as_deref());
            }
            go_on(app, then, ctx);
        }
    }
}

fn go_on(app: &mut App, then: Then, ctx: &egui::Context) {
    match then {
        Then::Wish(wish) => execute(app, *wish, ctx),
        Then::Close => {
            app.closing = true;
            ctx.send_viewport_cmd(egui::ViewportCommand::Close);
        }
    }
}

fn try_out(app: &mut App, mode: Mode) {
    let seed = app.services.seed();
    let Some(good) = app.workshop.open.as_ref().and_then(|o| o.good.as_ref()) else { return };
    let catalogue = app.services.catalogue.clone();
    let now = app.services.now_ms();
    let session = Session::new(good.scenario.clone(), catalogue, mode, seed, now);
    app.workshop.trial = Some(Running::trial(session));
    app.go(Route::Trial);
}

fn reason(app: &mut App) {
    let Some(open) = &mut app.workshop.open else { return };
    let (Some(good), Some(preview)) = (&open.good, &mut open.preview) else { return };
    let Some(question) = good.scenario.questions().get(open.chosen) else { return };
    preview.asked = true;
    app.services.desk.reason(Question {
        key: (open.serial, preview.key.0, preview.key.1),
        scenario: good.scenario.clone(),
        scene: question.scene.value.clone(),
        seed: preview.key.2,
    });
}

/// Takes in one piece of news.
pub fn take_in(app: &mut App, news: DeskNews) {
    match news {
        DeskNews::Opened(path, read) => opened(app, path, read),
        DeskNews::Seen(path, bytes) => seen(app, &path, bytes),
        DeskNews::Saved(path, bytes, saved) => written(app, path, bytes, saved),
        DeskNews::Picked(path, true) => {
            app.workshop.ask = Some(Ask::Save(path.display().to_string()));
        }
        DeskNews::Picked(path, false) => app.services.desk.open(path),
        DeskNews::Checked((serial, revision), read) => {
            if let Some(open) = app.workshop.open.as_mut().filter(|o| o.serial == serial) {
                open.take_checked(revision, read.value, read.diagnostics);
                list(app);
            }
        }
        DeskNews::Reasoned((serial, revision, number), said) => {
            if let Some(open) = app.workshop.open.as_mut().filter(|o| o.serial == serial)
                && let Some(preview) = &mut open.preview
                && (preview.key.0, preview.key.1) == (revision, number)
            {
                preview.reasoned = Some(*said);
            }
        }
        DeskNews::Drafts(all) => app.workshop.drafts = all,
    }
}

fn opened(app: &mut App, path: PathBuf, read: Result<Vec<u8>, String>) {
    let name = path.display().to_string();
    // A copy was taken up whose file is there too.
    if let Some(open) = &mut app.workshop.open
        && open.path.as_ref() == Some(&path)
        && open.disk.is_none()
    {
        open.disk = read.ok();
        open.measure();
        return;
    }
    let trouble = match read {
        Ok(bytes) => match Text::from_bytes(&bytes) {
            Some(text) if case::is_case(text.str()) => {
                let ctx = app.services.ctx().clone();
                execute(app, Wish::FromCase(text.str().to_owned()), &ctx);
                return;
            }
            Some(text) => {
                app.services.desk.watch(Some(&path));
                app.workshop.ask = None;
                app.workshop.put(Some(path), text, Some(bytes));
                app.go(Route::Workshop);
                return;
            }
            None => Source::from_bytes(&name, &bytes).err().map(|d| d.message).unwrap_or_default(),
        },
        Err(e) => e,
    };
    let text = tr_with("workshop-cannot-open", &[("file", &name)]);
    app.notices.push(Notice::passing(text, Some(trouble)));
}

/// The watched file was written: by ourselves, or by another program.
fn seen(app: &mut App, path: &Path, bytes: Vec<u8>) {
    let Some(open) = &mut app.workshop.open else { return };
    if open.path.as_deref() != Some(path) || open.disk.as_ref() == Some(&bytes) {
        return;
    }
    let Some(theirs) = Text::from_bytes(&bytes) else { return };
    if bytes == open.text.to_bytes() {
        open.outside = None;
    } else if open.is_dirty() {
        open.outside = Some(bytes);
        return;
    } else {
        open.text.take_over(&theirs);
    }
    open.disk = Some(bytes);
    open.measure();
}

fn written(app: &mut App, path: PathBuf, bytes: Vec<u8>, saved: Saved) {
    match saved {
        Saved::Done => {
            app.services.desk.drop_draft(Some(&path));
            let Some(open) = &mut app.workshop.open else { return };
            if open.path.as_ref() != Some(&path) {
                app.services.desk.drop_draft(open.path.as_deref());
                open.path = Some(path.clone());
                // The name stands in messages.
                open.asked = None;
            }
            app.services.desk.watch(Some(&path));
            open.disk = Some(bytes);
            open.outside = None;
            open.just_saved = true;
            open.measure();
            list(app);
            if let Some(then) = app.workshop.then.take() {
                let ctx = app.services.ctx().clone();
                go_on(app, then, &ctx);
            }
        }
        Saved::Differs(there) => {
            app.workshop.then = None;
            match &mut app.workshop.open {
                Some(open) if open.path.as_ref() == Some(&path) => open.outside = Some(there),
                _ => app.workshop.ask = Some(Ask::Overwrite(path)),
            }
        }
        Saved::Failed(why) => {
            app.workshop.then = None;
            let text = tr_with("workshop-cannot-save", &[("file", &path.display().to_string())]);
            app.notices
                .push(Notice::passing(text, Some(format!("{why}. {}", tr("workshop-safe")))));
        }
    }
}

/// A saved file without errors can be begun from the list of scenarios.
fn list(app: &mut App) {
    let Some(open) = &mut app.workshop.open else { return };
    let revision = open.text.revision();
    let (Some(path), Some(good)) = (&open.path, &open.good) else { return };
    if good.revision != revision || open.listed == Some(revision) {
        return;
    }
    let entry = Entry {
        file: path.display().to_string(),
        scenario: Some(good.scenario.clone()),
        diagnostics: open.found.iter().map(|f| f.diagnostic.clone()).collect(),
    };
    if open.is_dirty() {
        return;
    }
    open.listed = Some(revision);
    let entry = app.library.put(entry);
    crate::run::remember(app, entry);
}
