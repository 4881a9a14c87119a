//! Obeys commands and takes in news.

use crate::{
    app::{App, Notice},
    command::{CaseWish, Command},
    inquiry::Pending,
    photo::{Kept, OpenPhoto},
    route::Route,
    running::Running,
    services::{News, PhotoRead},
    theme, workshop,
};
use jarlight_model::{
    diag::Source,
    text::{tr, tr_with},
};
use jarlight_records::{Learner, Record, Run, What};
use jarlight_scenario::{Mode, Page, Pages, Session, pages};
use std::path::PathBuf;

/// Obeys one command.
pub fn execute(app: &mut App, command: Command, ctx: &egui::Context) {
    match command {
        Command::Go(route) => app.go(route),
        Command::ShowCondition(id) => {
            app.panels.atlas.open(&app.services.catalogue, &id);
            app.go(Route::Atlas);
        }
        Command::ShowPart(part) => {
            app.panels.study.choose_part(&app.services.catalogue, part.as_str());
            app.go(Route::Study);
        }
        Command::KeepStill(still) => app.look.still = still,
        Command::SetTheme(to) => {
            app.look.theme = to;
            theme::install_style(ctx, app.look);
        }
        Command::ResizeText { larger } => {
            app.look = app.look.resized(larger);
            theme::install_style(ctx, app.look);
        }
        Command::SetUnits(units) => app.units = units,
        Command::ShowHelp(open) => app.help = open,
        Command::ChooseLearner(id) => choose_learner(app, id),
        Command::AddLearner(name) => {
            add_learner(app, &name);
        }
        Command::PickFile => app.services.pick_file(),
        Command::ReadFile(path) => app.services.read_file(path),
        Command::Begin { entry, mode } => begin(app, entry, mode),
        Command::Resume => resume(app),
        Command::Act(action) => {
            if let Some(running) = &mut app.running {
                running.act(action, &mut app.services);
                if running.summary.is_some() {
                    app.open_run = None;
                }
            }
        }
        Command::Case(wish) => case(app, wish),
        Command::EditPhoto { photo, to } => {
            if let Some(open) = app.photos.get_mut(photo).filter(|p| p.can_change()) {
                open.change(*to);
                keep_photo(app, photo);
            }
        }
        Command::UndoPhoto(photo) => {
            if app.photos.get_mut(photo).is_some_and(OpenPhoto::undo) {
                keep_photo(app, photo);
            }
        }
        Command::ShowPhoto(photo) => {
            app.panels.photos.show(photo);
            app.go(Route::Photo);
        }
        Command::ClosePhoto(photo) => {
            if photo < app.photos.len() {
                app.photos.remove(photo);
                app.panels.photos.show(photo.min(app.photos.len().saturating_sub(1)));
            }
        }
        Command::Desk(wish) => workshop::run::execute(app, wish, ctx),
        Command::Present(pages) => present(app, pages, ctx),
        Command::KeepPages(pages) => app.presenting.kept.extend(pages),
        Command::PresentKept => {
            let pages = app.presenting.kept.clone();
            present(app, pages, ctx);
        }
        Command::SavePages => app.services.save_pages(app.presenting.text()),
        Command::DropPages => app.presenting.kept.clear(),
        Command::TurnPage { onward } => app.presenting.turn(onward),
        Command::ShowAnswer => app.presenting.show_answer(),
        Command::EndPresenting => {
            app.go(app.presenting.from);
            ctx.send_viewport_cmd(egui::ViewportCommand::Fullscreen(false));
        }
        Command::CloseNotice(i) => {
            if i < app.notices.len() {
                app.notices.remove(i);
            }
        }
        Command::Quit => ctx.send_viewport_cmd(egui::ViewportCommand::Close),
    }
}

fn case(app: &mut App, wish: CaseWish) {
    match wish {
        CaseWish::Reason => {
            if let Some((ticket, text)) = app.inquiry.question() {
                app.services.reason(ticket, text);
            }
        }
        CaseWish::New => settle(app, Pending::New),
        CaseWish::Open => app.services.pick_file(),
        CaseWish::Save => match app.inquiry.file.clone() {
            Some(path) => save_case(app, path),
            None => app.panels.reason.ask_path(String::new()),
        },
        CaseWish::SaveAs => {
            let now = app.inquiry.file.as_ref().map(|f| f.display().to_string());
            app.panels.reason.ask_path(now.unwrap_or_default());
        }
        CaseWish::PickPlace => {
            let file = app.inquiry.file.as_ref().and_then(|f| f.file_name());
            let name = file.map(|n| n.to_string_lossy().into_owned());
            app.services.pick_place(name.unwrap_or_else(|| "cell.case.ron".to_owned()));
        }
        CaseWish::SaveTo(path) => save_case(app, path),
        CaseWish::Drop => {
            if let Some(pending) = app.inquiry.pending.take() {
                go_on(app, pending);
            }
        }
    }
}

fn save_case(app: &mut App, path: PathBuf) {
    app.panels.reason.end_path();
    let text = app.inquiry.begin_save(path.clone());
    app.services.write_case(path, text);
}

/// Goes on at once, or asks first what becomes of changes.
fn settle(app: &mut App, pending: Pending) {
    if app.inquiry.is_changed() {
        app.inquiry.pending = Some(pending);
        app.go(Route::Reasoning);
    } else {
        go_on(app, pending);
    }
}

/// Leaves the open case for another one.
fn go_on(app: &mut App, pending: Pending) {
    let catalogue = app.services.catalogue.clone();
    let left = match pending {
        Pending::New => {
            app.inquiry.clear(&catalogue);
            true
        }
        Pending::Open(source) => app.inquiry.open(&catalogue, &source),
    };
    if left {
        app.panels.reason.forget();
    }
}

/// Whether the first word of a file says that it is a case.
fn is_case(source: &Source) -> bool {
    use jarlight_model::authored::{Kind, parse};
    let name = match parse(source).0.kind {
        Kind::Record(name, _) | Kind::Tuple(name, _) => name,
        _ => None,
    };
    name.is_some_and(|name| name.text == "Case")
}

fn present(app: &mut App, pages: Vec<Page>, ctx: &egui::Context) {
    if pages.is_empty() {
        return;
    }
    let from = if app.route == Route::Present { app.presenting.from } else { app.route };
    app.presenting.begin(pages, from);
    app.go(Route::Present);
    ctx.send_viewport_cmd(egui::ViewportCommand::Fullscreen(true));
}

fn choose_learner(app: &mut App, id: String) {
    if app.learner.as_ref() == Some(&id) {
        return;
    }
    app.services.ask_open_run(&id);
    app.learner = Some(id);
    app.open_run = None;
    // What somebody else has open is theirs; every answer of it is on the disk.
    app.running = None;
    if app.route == Route::Run {
        app.go(Route::Questions);
    }
}

fn add_learner(app: &mut App, name: &str) -> String {
    let name = match name.trim() {
        "" => tr_with("learner-numbered", &[("n", &(app.learners.len() + 1).to_string())]),
        name => name.to_owned(),
    };
    let id = app.services.id();
    let record = Record {
        id: app.services.id(),
        at_ms: app.services.now_ms(),
        learner: id.clone(),
        what: What::LearnerAdded { name: name.clone() },
    };
    app.services.write(record);
    app.learners.push(Learner { id: id.clone(), name });
    choose_learner(app, id.clone());
    id
}

fn begin(app: &mut App, entry: usize, mode: Mode) {
    let Some(scenario) = app.library.entries.get(entry).and_then(|e| e.scenario.clone()) else {
        return;
    };
    let learner = match app.learner.clone() {
        Some(id) => id,
        None => add_learner(app, ""),
    };
    leave(app, &learner);
    let seed = app.services.seed();
    let run = Run {
        id: app.services.id(),
        scenario: scenario.id().to_string(),
        hash: scenario.hash.clone(),
        title: scenario.title().to_owned(),
        seed,
        mode,
        program: env!("CARGO_PKG_VERSION").to_owned(),
        recipe: jarlight_geometry::overlay::RECIPES.to_string(),
    };
    let now = app.services.now_ms();
    let record = Record {
        id: app.services.id(),
        at_ms: now,
        learner: learner.clone(),
        what: What::RunStarted { run: run.clone() },
    };
    app.services.write(record);
    let session = Session::new(scenario, app.services.catalogue.clone(), mode, seed, now);
    app.running = Some(Running::new(session, run, learner));
    app.go(Route::Run);
}

/// Gives up what is open, so that the newest run is the one to continue.
fn leave(app: &mut App, learner: &str) {
    let open = match (&app.running, app.open_run.take()) {
        (Some(r), _) if r.summary.is_none() => Some(r.run.clone()),
        (_, Some(o)) => Some(o.run),
        _ => None,
    };
    if let Some(run) = open {
        let record = Record {
            id: app.services.id(),
            at_ms: app.services.now_ms(),
            learner: learner.to_owned(),
            what: What::RunLeft { run },
        };
        app.services.write(record);
    }
}

fn resume(app: &mut App) {
    if app.running.as_ref().is_some_and(|r| r.summary.is_none()) {
        app.go(Route::Run);
        return;
    }
    let (Some(open), Some(learner)) = (app.open_run.clone(), app.learner.clone()) else { return };
    let run = open.run;
    let Some(scenario) = app.library.find(&run.scenario, &run.hash).cloned() else {
        let text = tr_with("notice-scenario-gone", &[("title", &run.title)]);
        app.notices.push(Notice::passing(text, None));
        return;
    };
    let catalogue = app.services.catalogue.clone();
    let now = app.services.now_ms();
    match Session::resume(scenario, catalogue, run.mode, run.seed, &open.answers, now) {
        Ok(session) => {
            app.running = Some(Running::new(session, run, learner));
            app.go(Route::Run);
        }
        Err(e) => {
            let text = tr_with("notice-cannot-resume", &[("title", &run.title)]);
            app.notices.push(Notice::passing(text, Some(e.to_string())));
        }
    }
}

/// Writes what is said of a photograph; no change waits for a button.
fn keep_photo(app: &mut App, photo: usize) {
    if let Some(open) = app.photos.get_mut(photo) {
        let number = app.services.keep_photo(open.file.clone(), open.photo.to_ron());
        open.kept = Kept::Waiting(number);
    }
}

fn photo_read(
    app: &mut App,
    path: &std::path::Path,
    asked_for: bool,
    read: Result<Box<PhotoRead>, String>,
) {
    match read {
        Ok(read) => {
            let known = app.photos.iter().position(|p| p.file == read.file);
            let at = known.unwrap_or(app.photos.len());
            if known.is_none() {
                app.photos.push(OpenPhoto::new(*read));
            }
            if asked_for {
                app.panels.photos.show(at);
                app.go(Route::Photo);
            }
        }
        Err(why) if asked_for => {
            let file = path.display().to_string();
            let text = tr_with("photo-cannot-open", &[("file", &file)]);
            app.notices.push(Notice::passing(text, Some(why)));
        }
        // One of the last time that is gone is let go without a word.
        Err(_) => {}
    }
}

/// Takes in what other threads have to say.
pub fn take_in(app: &mut App, news: News) {
    match news {
        News::Written(ticket) => {
            app.unwritten.retain(|t| *t != ticket);
            if app.unwritten.is_empty() {
                app.notices.retain(|n| !n.about_records);
            }
            if let Some(running) = &mut app.running {
                running.written(ticket);
            }
        }
        News::NotWritten(ticket, why) => {
            if !app.unwritten.contains(&ticket) {
                app.unwritten.push(ticket);
            }
            records_notice(app, why);
            if let Some(running) = &mut app.running {
                running.written(ticket);
            }
        }
        News::RecordsClosed(why) => records_notice(app, why),
        News::Learners(all) => {
            // Those just added may not have been written when the list was made.
            let new: Vec<Learner> = std::mem::replace(&mut app.learners, all);
            for l in new {
                if !app.learners.iter().any(|k| k.id == l.id) {
                    app.learners.push(l);
                }
            }
            if app.learner.is_none() {
                let last = app.last_learner.take();
                let known = last.filter(|id| app.learners.iter().any(|l| l.id == *id));
                let first = app.learners.first().map(|l| l.id.clone());
                if let Some(id) = known.or(first) {
                    choose_learner(app, id);
                }
            }
        }
        News::OpenRun(learner, open) => {
            if app.learner.as_ref() == Some(&learner) && app.running.is_none() {
                app.open_run = open;
            }
        }
        News::Picked(path) => {
            if let Some(path) = path {
                app.services.read_file(path);
            }
        }
        News::Read(_, Ok(source)) if is_pages(&source) => open_pages(app, &source),
        News::Read(_, Ok(source)) if is_case(&source) => {
            app.go(Route::Reasoning);
            settle(app, Pending::Open(source));
        }
        News::Read(path, read) => opened(app, &path, read),
        News::Reasoned(reasoned) => app.inquiry.take_in(reasoned),
        News::PlacePicked(path) => {
            if let Some(path) = path {
                save_case(app, path);
            }
        }
        News::CaseWritten(path, written) => {
            if let Err(why) = &written {
                let path = path.display().to_string();
                let text = tr_with("reason-not-saved", &[("path", &path)]);
                app.notices.push(Notice::passing(text, Some(why.clone())));
                app.inquiry.pending = None;
            }
            // What waited for the save goes on, unless something changed meanwhile.
            if app.inquiry.end_save(written.is_ok())
                && let Some(pending) = app.inquiry.pending.take()
            {
                go_on(app, pending);
            }
        }
        News::Photo(path, asked_for, read) => photo_read(app, &path, asked_for, read),
        News::PhotoKept(file, number, written) => {
            for open in &mut app.photos {
                if open.file == file && open.kept == Kept::Waiting(number) {
                    open.kept = match &written {
                        Ok(()) => Kept::Saved,
                        Err(why) => Kept::Failed(why.clone()),
                    };
                }
            }
        }
        News::Desk(news) => workshop::run::take_in(app, news),
        News::Saved(Ok(path)) => {
            let path = path.display().to_string();
            let text = tr_with("present-saved", &[("path", &path)]);
            app.notices.push(Notice::passing(text, None));
        }
        News::Saved(Err(why)) => {
            app.notices.push(Notice::passing(tr("present-not-saved"), Some(why)));
        }
        News::Reread(source) => {
            let catalogue = app.services.catalogue.clone();
            let entry = app.library.add(&source, &catalogue);
            remember(app, entry);
        }
    }
}

fn is_pages(source: &Source) -> bool {
    use jarlight_model::authored::{Kind, parse};
    let root = parse(source).0.kind;
    matches!(root, Kind::Record(Some(name), _) if pages::is_kind(&name.text))
}

/// Takes in a list of pages; one with faults is refused, and what was kept stays.
fn open_pages(app: &mut App, source: &Source) {
    let read = Pages::read(source, &app.services.catalogue);
    let faults: Vec<String> =
        read.diagnostics.iter().filter(|d| d.is_error()).map(ToString::to_string).collect();
    match read.value.filter(|_| faults.is_empty()) {
        Some(file) => {
            app.presenting.title = file.title;
            app.presenting.kept = file.pages;
            app.go(Route::Atlas);
        }
        None => {
            let text = tr_with("present-faulty", &[("path", source.name())]);
            app.notices.push(Notice::passing(text, Some(faults.join("\n"))));
        }
    }
}

fn opened(
    app: &mut App,
    path: &std::path::Path,
    read: Result<Source, Box<jarlight_model::diag::Diagnostic>>,
) {
    let catalogue = app.services.catalogue.clone();
    let entry = match read {
        Ok(source) => app.library.add(&source, &catalogue),
        Err(diagnostic) => app.library.add_unreadable(path.display().to_string(), *diagnostic),
    };
    remember(app, entry);
    app.panels.questions.chosen = Some(entry);
    app.go(Route::Questions);
}

/// Notes a sound file, to be opened again the next time.
pub fn remember(app: &mut App, entry: usize) {
    if let Some(e) = app.library.entries.get(entry)
        && e.scenario.is_some()
    {
        let file = PathBuf::from(&e.file);
        if !app.opened_files.contains(&file) {
            app.opened_files.push(file);
        }
    }
}

fn records_notice(app: &mut App, why: String) {
    match app.notices.iter_mut().find(|n| n.about_records) {
        Some(notice) => {
            if !why.is_empty() {
                notice.detail = Some(why);
            }
        }
        None => app.notices.insert(
            0,
            Notice {
                text: tr("notice-not-kept"),
                detail: Some(why).filter(|w| !w.is_empty()),
                about_records: true,
            },
        ),
    }
}
