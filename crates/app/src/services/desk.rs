//! What the workshop asks of the world: files read, written and watched, copies of unsaved work,
//! and checks; all on other threads.

use super::News;
use super::files;
use crate::workshop::check;
use jarlight_model::{
    catalogue::Catalogue,
    diag::{Checked, MAX_BYTES, Source},
    rng::child_seed,
};
use jarlight_scenario::{Scenario, reason::Reasoned};
use notify::{RecursiveMode, Watcher};
use std::{
    fs::{self, File},
    io::{self, Read as _},
    path::{Path, PathBuf},
    sync::{
        Arc,
        mpsc::{Receiver, Sender, channel},
    },
    thread::JoinHandle,
    time::Duration,
};

/// An editor writes a file in several steps; so long is waited for the last.
const SETTLE: Duration = Duration::from_millis(80);

/// A copy of work that was never saved.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Draft {
    /// Name of the copy.
    pub name: String,
    /// The file it belongs to; none when it never had one.
    pub path: Option<PathBuf>,
    /// The bytes.
    pub bytes: Vec<u8>,
}

/// How saving went.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Saved {
    /// It is on the disk.
    Done,
    /// Something else is on the disk than was known; nothing was written.
    Differs(Vec<u8>),
    /// The system refused.
    Failed(String),
}

/// What to look up with the rules.
#[derive(Clone, Debug)]
pub struct Question {
    /// Names the question to whoever asks.
    pub key: (u64, u64, usize),
    /// The scenario.
    pub scenario: Arc<Scenario>,
    /// The name of its scene.
    pub scene: String,
    /// The seed of the picture.
    pub seed: u64,
}

/// What the desk has to say.
#[derive(Debug)]
pub enum DeskNews {
    /// A file was read, or could not be.
    Opened(PathBuf, Result<Vec<u8>, String>),
    /// A watched file was written; perhaps by ourselves.
    Seen(PathBuf, Vec<u8>),
    /// These bytes were to be saved.
    Saved(PathBuf, Vec<u8>, Saved),
    /// A dialog was closed: where to open, or where to save.
    Picked(PathBuf, bool),
    /// A text was checked: its document and revision.
    Checked((u64, u64), Box<Checked<Scenario>>),
    /// What the rules say.
    Reasoned((u64, u64, usize), Box<Reasoned>),
    /// Copies of the last time.
    Drafts(Vec<Draft>),
}

enum Job {
    Save { path: PathBuf, bytes: Vec<u8>, known: Option<Vec<u8>>, force: bool },
    Keep(String, Vec<u8>),
    Drop(String),
    List,
}

enum Check {
    Text((u64, u64), Source),
    Rules(Question),
}

/// The window's end of all this.
pub struct Desk {
    out: Outbox,
    drafts: Option<PathBuf>,
    jobs: Option<Sender<Job>>,
    worker: Option<JoinHandle<()>>,
    checks: Sender<Check>,
    watching: Option<(PathBuf, Box<dyn Watcher + Send>)>,
}

/// Where news go, and how the window is woken.
#[derive(Clone)]
struct Outbox {
    news: Sender<News>,
    ctx: egui::Context,
}

impl Outbox {
    fn tell(&self, news: DeskNews) {
        // Nobody listens any more when the window is closing.
        self.news.send(News::Desk(news)).ok();
        self.ctx.request_repaint();
    }
}

impl Desk {
    /// Starts the threads; without a folder no copies are kept, which is for tests.
    pub fn start(
        catalogue: Arc<Catalogue>,
        drafts: Option<PathBuf>,
        news: Sender<News>,
        ctx: &egui::Context,
    ) -> Self {
        let out = Outbox { news, ctx: ctx.clone() };
        let (jobs, inbox) = channel();
        let worker = {
            let (out, drafts) = (out.clone(), drafts.clone());
            std::thread::spawn(move || serve(&inbox, drafts.as_deref(), &out))
        };
        let (checks, queue) = channel();
        {
            let out = out.clone();
            std::thread::spawn(move || examine(&queue, &catalogue, &out));
        }
        let desk =
            Self { out, drafts, jobs: Some(jobs), worker: Some(worker), checks, watching: None };
        desk.send(Job::List);
        desk
    }

    fn send(&self, job: Job) {
        if let Some(jobs) = &self.jobs {
            // The thread ends only when this sender is dropped.
            jobs.send(job).ok();
        }
    }

    /// Whether copies of unsaved work are kept.
    pub fn keeps_drafts(&self) -> bool {
        self.drafts.is_some()
    }

    /// Reads a file.
    pub fn open(&self, path: PathBuf) {
        let out = self.out.clone();
        std::thread::spawn(move || {
            let read = read(&path).map_err(|e| e.to_string());
            out.tell(DeskNews::Opened(path, read));
        });
    }

    /// Writes a file whole or not at all; only when the disk has what is known of it, or by force.
    pub fn save(&self, path: PathBuf, bytes: Vec<u8>, known: Option<Vec<u8>>, force: bool) {
        self.send(Job::Save { path, bytes, known, force });
    }

    /// Keeps a copy of unsaved work.
    pub fn keep_draft(&self, path: Option<&Path>, bytes: &[u8]) {
        let mut all = path.map_or(String::new(), |p| p.display().to_string()).into_bytes();
        all.push(b'\n');
        all.extend_from_slice(bytes);
        self.send(Job::Keep(draft_name(path), all));
    }

    /// Lets go of the copy for a file.
    pub fn drop_draft(&self, path: Option<&Path>) {
        self.send(Job::Drop(draft_name(path)));
    }

    /// Lets go of a copy by its name.
    pub fn drop_draft_named(&self, name: &str) {
        self.send(Job::Drop(name.to_owned()));
    }

    /// Checks a text.
    pub fn check(&self, key: (u64, u64), source: Source) {
        self.checks.send(Check::Text(key, source)).ok();
    }

    /// Asks the rules.
    pub fn reason(&self, question: Question) {
        self.checks.send(Check::Rules(question)).ok();
    }

    /// Lets the person choose a file, on a thread of its own.
    pub fn pick(&self, save: bool, start: &Path) {
        let (out, start) = (self.out.clone(), start.to_owned());
        std::thread::spawn(move || {
            let dialog = rfd::FileDialog::new().add_filter("*.scenario.ron", &["ron"]);
            let dialog = match (start.parent(), start.file_name()) {
                (Some(folder), Some(name)) => {
                    dialog.set_directory(folder).set_file_name(name.to_string_lossy())
                }
                _ => dialog,
            };
            let picked = if save { dialog.save_file() } else { dialog.pick_file() };
            if let Some(path) = picked {
                out.tell(DeskNews::Picked(path, save));
            }
        });
    }

    /// Watches one file, and no other any more.
    pub fn watch(&mut self, path: Option<&Path>) {
        if self.watching.as_ref().map(|(p, _)| p.as_path()) == path {
            return;
        }
        self.watching = path.and_then(|p| {
            let watcher = watch(p, &self.out)?;
            Some((p.to_owned(), watcher))
        });
    }

    /// Waits until everything sent is written.
    pub fn close(&mut self) {
        self.jobs = None;
        if let Some(worker) = self.worker.take() {
            worker.join().ok();
        }
    }
}

/// Watches the folder of a file, since editors put a new file in the place of the old one.
fn watch(path: &Path, out: &Outbox) -> Option<Box<dyn Watcher + Send>> {
    let (ping, pings) = channel::<()>();
    let folder = path.parent()?.to_owned();
    let name = path.file_name()?.to_owned();
    let hear = move |event: notify::Result<notify::Event>| {
        if let Ok(event) = event
            && !event.kind.is_access()
            && event.paths.iter().any(|p| p.file_name() == Some(name.as_os_str()))
        {
            ping.send(()).ok();
        }
    };
    let (out, path) = (out.clone(), path.to_owned());
    std::thread::spawn(move || {
        while pings.recv().is_ok() {
            while pings.recv_timeout(SETTLE).is_ok() {}
            if let Ok(bytes) = read(&path) {
                out.tell(DeskNews::Seen(path.clone(), bytes));
            }
        }
    });
    let mut watcher = notify::recommended_watcher(hear).ok()?;
    watcher.watch(&folder, RecursiveMode::NonRecursive).ok()?;
    Some(Box::new(watcher))
}

fn draft_name(path: Option<&Path>) -> String {
    path.map_or_else(
        || "unnamed.draft".to_owned(),
        |p| format!("{:016x}.draft", child_seed(0, &p.display().to_string())),
    )
}

/// Reads a file, but never more than may be read.
fn read(path: &Path) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    File::open(path)?.take(MAX_BYTES as u64 + 1).read_to_end(&mut bytes)?;
    if bytes.len() > MAX_BYTES {
        return Err(io::Error::other(format!("more than {MAX_BYTES} bytes")));
    }
    Ok(bytes)
}

fn serve(inbox: &Receiver<Job>, drafts: Option<&Path>, out: &Outbox) {
    // What was written last is known, also before whoever asked for it has heard of it.
    let mut last: Option<(PathBuf, Vec<u8>)> = None;
    for job in inbox {
        match job {
            Job::Save { path, bytes, known, force } => {
                let own = last.take().filter(|(p, _)| *p == path).map(|(_, bytes)| bytes);
                let expected = |there: &Vec<u8>| {
                    [known.as_ref(), own.as_ref(), Some(&bytes)].contains(&Some(there))
                };
                // A file that is gone is written anew.
                let saved = match read(&path).ok() {
                    Some(there) if !force && !expected(&there) => Saved::Differs(there),
                    _ => match files::replace(&path, &bytes) {
                        Ok(()) => {
                            last = Some((path.clone(), bytes.clone()));
                            Saved::Done
                        }
                        Err(e) => Saved::Failed(e.to_string()),
                    },
                };
                out.tell(DeskNews::Saved(path, bytes, saved));
            }
            Job::Keep(name, bytes) => {
                if let Some(folder) = drafts {
                    // A copy that cannot be kept must not stop the work; the file can be saved.
                    fs::create_dir_all(folder)
                        .and_then(|()| files::replace(&folder.join(name), &bytes))
                        .ok();
                }
            }
            Job::Drop(name) => {
                if let Some(folder) = drafts {
                    fs::remove_file(folder.join(name)).ok();
                }
            }
            Job::List => {
                let all = drafts.map(list).unwrap_or_default();
                if !all.is_empty() {
                    out.tell(DeskNews::Drafts(all));
                }
            }
        }
    }
}

fn list(folder: &Path) -> Vec<Draft> {
    let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
    let names = entries.filter_map(|e| e.ok()?.file_name().into_string().ok());
    let mut names: Vec<String> = names.filter(|n| n.ends_with(".draft")).collect();
    names.sort();
    let one = |name: String| {
        let all = read(&folder.join(&name)).ok()?;
        let line = all.iter().position(|b| *b == b'\n')?;
        let path = std::str::from_utf8(&all[..line]).ok()?;
        let path = (!path.is_empty()).then(|| PathBuf::from(path));
        Some(Draft { name, path, bytes: all[line + 1..].to_vec() })
    };
    names.into_iter().filter_map(one).collect()
}

/// Checks the newest text and answers the newest question; what was overtaken is left out.
fn examine(queue: &Receiver<Check>, catalogue: &Catalogue, out: &Outbox) {
    while let Ok(first) = queue.recv() {
        let (mut text, mut rules) = (None, None);
        for check in std::iter::once(first).chain(queue.try_iter()) {
            match check {
                Check::Text(key, source) => text = Some((key, source)),
                Check::Rules(question) => rules = Some(question),
            }
        }
        if let Some((key, source)) = text {
            let read = check::read(&source, catalogue);
            out.tell(DeskNews::Checked(key, Box::new(read)));
        }
        if let Some(q) = rules {
            let said = check::reasoned(&q.scenario, &q.scene, q.seed, catalogue);
            out.tell(DeskNews::Reasoned(q.key, Box::new(said)));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_replaced_whole_and_keeps_its_rights() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.scenario.ron");
        fs::write(&path, "old").unwrap();
        files::replace(&path, b"new\r\n").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"new\r\n");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
        assert!(files::replace(&folder.path().join("none/a.ron"), b"x").is_err());
    }

    #[test]
    fn copies_are_found_with_their_file_and_their_bytes() {
        let folder = tempfile::tempdir().unwrap();
        let (news, inbox) = channel();
        let catalogue = Arc::new(Catalogue::default());
        let ctx = egui::Context::default();
        let drafts = Some(folder.path().join("drafts"));
        let start = |news| Desk::start(catalogue.clone(), drafts.clone(), news, &ctx);
        let mut desk = start(news);
        let path = Path::new("/tmp/Tarn Hollow.scenario.ron");
        desk.keep_draft(Some(path), b"\xef\xbb\xbfa\r\n");
        desk.keep_draft(None, b"b");
        desk.drop_draft(None);
        desk.close();
        assert!(inbox.try_iter().next().is_none());
        let (news, inbox) = channel();
        let mut desk = start(news);
        desk.close();
        let Some(News::Desk(DeskNews::Drafts(all))) = inbox.try_iter().next() else { panic!() };
        assert_eq!(all.len(), 1);
        assert_eq!(all[0].path.as_deref(), Some(path));
        assert_eq!(all[0].bytes, b"\xef\xbb\xbfa\r\n");
    }
}
