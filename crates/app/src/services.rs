//! What the window stands on: catalogue, records, clock, random ids, files read on other threads.

pub mod desk;
mod files;
mod photo;
mod reasoner;
mod store;

use jarlight_model::{
    catalogue::Catalogue,
    diag::{Diagnostic, Source},
    rng::Rng,
};
use jarlight_records::{Learner, OpenRun, Record};
use std::{
    collections::BTreeMap,
    hash::{BuildHasher as _, Hasher as _, RandomState},
    path::PathBuf,
    sync::{
        Arc, Mutex, PoisonError,
        mpsc::{Receiver, Sender, channel},
    },
    thread::JoinHandle,
    time::{SystemTime, UNIX_EPOCH},
};

pub use photo::{PhotoRead, is_photo};
pub use reasoner::{Answer, Job, Reasoned, Refusal};
pub use store::Ticket;

/// The longest side of a photograph on the screen; a larger one is made smaller.
const MOST_SHOWN: usize = 4096;

/// What other threads have to say.
#[derive(Debug)]
pub enum News {
    /// A record is on the disk.
    Written(Ticket),
    /// A record could not be written; it is kept in memory and tried again with the next one.
    NotWritten(Ticket, String),
    /// The records cannot be opened.
    RecordsClosed(String),
    /// All learners.
    Learners(Vec<Learner>),
    /// What a learner has not finished.
    OpenRun(String, Option<Box<OpenRun>>),
    /// A file dialog was closed.
    Picked(Option<PathBuf>),
    /// A file was read, or could not be.
    Read(PathBuf, Result<Source, Box<Diagnostic>>),
    /// A file was written, or could not be.
    Saved(Result<PathBuf, String>),
    /// A file that was open the last time was read again.
    Reread(Source),
    /// What the rules say of the open case.
    Reasoned(Reasoned),
    /// A place for the case was chosen.
    PlacePicked(Option<PathBuf>),
    /// The case is on the disk, or could not be written.
    CaseWritten(PathBuf, Result<(), String>),
    /// A photograph was read, or why it could not be; true when it was asked for just now.
    Photo(PathBuf, bool, Result<Box<PhotoRead>, String>),
    /// What is said of a photograph was written, or why not; with the number of the writing.
    PhotoKept(PathBuf, u64, Result<(), String>),
    /// News of the workshop.
    Desk(desk::DeskNews),
}

/// Where time and chance come from.
#[derive(Clone, Copy, Debug, Default)]
pub struct Fixed {
    /// Milliseconds of Unix time, instead of the clock.
    pub now_ms: Option<u64>,
    /// Seed of ids and runs, instead of the random source of the system.
    pub seed: Option<u64>,
}

/// Everything the window asks of the world.
pub struct Services {
    /// What is known.
    pub catalogue: Arc<Catalogue>,
    /// Files and checks of the workshop.
    pub desk: desk::Desk,
    /// What came in.
    inbox: Receiver<News>,
    outbox: Sender<News>,
    store: store::Client,
    reasoner: reasoner::Client,
    fixed: Fixed,
    chance: Rng,
    ctx: egui::Context,
    // The newest writing of each file beside a picture; older ones are not written any more.
    newest: Arc<Mutex<BTreeMap<PathBuf, u64>>>,
    writing: Vec<JoinHandle<()>>,
}

impl Services {
    /// Starts the thread that owns the records.
    ///
    /// Without a path the records live in memory, which is for tests.
    pub fn new(
        catalogue: Arc<Catalogue>,
        records: Option<PathBuf>,
        fixed: Fixed,
        ctx: &egui::Context,
    ) -> Self {
        let (outbox, inbox) = channel();
        let wake = {
            let ctx = ctx.clone();
            move || ctx.request_repaint()
        };
        let drafts = records.as_ref().and_then(|r| Some(r.parent()?.join("drafts")));
        let desk = desk::Desk::start(catalogue.clone(), drafts, outbox.clone(), ctx);
        let store = store::Client::start(records, outbox.clone(), wake.clone());
        let reasoner = reasoner::Client::start(outbox.clone(), wake);
        let chance = Rng::new(fixed.seed.unwrap_or_else(random));
        let (newest, writing) = Default::default();
        Self {
            catalogue,
            desk,
            inbox,
            outbox,
            store,
            reasoner,
            fixed,
            chance,
            ctx: ctx.clone(),
            newest,
            writing,
        }
    }

    /// What came in since the last call.
    pub fn news(&self) -> Vec<News> {
        self.inbox.try_iter().collect()
    }

    /// Milliseconds of Unix time.
    pub fn now_ms(&self) -> u64 {
        self.fixed.now_ms.unwrap_or_else(|| {
            let since = SystemTime::now().duration_since(UNIX_EPOCH);
            since.map_or(0, |d| u64::try_from(d.as_millis()).unwrap_or(u64::MAX))
        })
    }

    /// The context of the window.
    pub fn ctx(&self) -> &egui::Context {
        &self.ctx
    }

    /// A seed for a new run.
    pub fn seed(&mut self) -> u64 {
        self.chance.next_u64()
    }

    /// A new id: 32 hexadecimal digits.
    pub fn id(&mut self) -> String {
        format!("{:016x}{:016x}", self.chance.next_u64(), self.chance.next_u64())
    }

    /// Sends a record to be written; news come with the same ticket.
    pub fn write(&mut self, record: Record) -> Ticket {
        self.store.write(record)
    }

    /// Sends an answer to be written and waits a moment for the disk.
    pub fn write_now(&mut self, record: Record) -> Ticket {
        self.store.write_now(record)
    }

    /// Asks for all learners.
    pub fn ask_learners(&self) {
        self.store.ask_learners();
    }

    /// Asks for what a learner has not finished.
    pub fn ask_open_run(&self, learner: &str) {
        self.store.ask_open_run(learner);
    }

    /// Waits until everything sent is written; for the end of the program.
    pub fn close(&mut self) {
        for writing in self.writing.drain(..) {
            // One that panicked has nothing more to write.
            writing.join().ok();
        }
        self.store.close();
        self.desk.close();
    }

    /// Lets the person choose a file, on a thread of its own.
    pub fn pick_file(&self) {
        let (out, ctx) = (self.outbox.clone(), self.ctx.clone());
        std::thread::spawn(move || {
            let picked = rfd::FileDialog::new()
                .add_filter("*.ron, *.png, *.jpg, *.webp", &["ron", "png", "jpg", "jpeg", "webp"])
                .pick_file();
            // The window may be gone by now, and then nobody waits for the answer.
            out.send(News::Picked(picked)).ok();
            ctx.request_repaint();
        });
    }

    /// Asks the rules about a case; only the newest question is answered.
    pub fn reason(&self, ticket: u64, text: String) {
        self.reasoner.ask(Job { ticket, catalogue: self.catalogue.clone(), text });
    }

    /// Lets the person choose where a case is saved, on a thread of its own.
    pub fn pick_place(&self, name: String) {
        let (out, ctx) = (self.outbox.clone(), self.ctx.clone());
        std::thread::spawn(move || {
            let dialog = rfd::FileDialog::new().add_filter("*.ron", &["ron"]);
            let picked = dialog.set_file_name(name).save_file();
            out.send(News::PlacePicked(picked)).ok();
            ctx.request_repaint();
        });
    }

    /// Writes a case on a thread of its own: whoever reads the file sees the old or the new one.
    pub fn write_case(&self, path: PathBuf, text: String) {
        let (out, ctx) = (self.outbox.clone(), self.ctx.clone());
        std::thread::spawn(move || {
            let written = files::replace(&path, text.as_bytes()).map_err(|e| e.to_string());
            out.send(News::CaseWritten(path, written)).ok();
            ctx.request_repaint();
        });
    }

    /// Lets the person choose where pages are saved, and writes them, on a thread of its own.
    pub fn save_pages(&self, text: String) {
        let (out, ctx) = (self.outbox.clone(), self.ctx.clone());
        std::thread::spawn(move || {
            let dialog = rfd::FileDialog::new().add_filter("*.ron", &["ron"]);
            let Some(path) = dialog.set_file_name("lesson.pages.ron").save_file() else { return };
            let saved = files::replace(&path, text.as_bytes()).map_err(|e| e.to_string());
            out.send(News::Saved(saved.map(|()| path))).ok();
            ctx.request_repaint();
        });
    }

    /// Reads a file of the last time again; one that is gone is let go without a word.
    pub fn reread_file(&self, path: PathBuf) {
        let (out, ctx) = (self.outbox.clone(), self.ctx.clone());
        std::thread::spawn(move || {
            if let Ok(source) = files::read(&path) {
                out.send(News::Reread(source)).ok();
                ctx.request_repaint();
            }
        });
    }

    /// Reads a photograph on a thread of its own; one of the last time need not be there any more.
    pub fn read_photo(&self, path: PathBuf, asked_for: bool) {
        let (out, ctx) = (self.outbox.clone(), self.ctx.clone());
        let catalogue = self.catalogue.clone();
        let most = ctx.input(|i| i.max_texture_side).min(MOST_SHOWN) as u32;
        std::thread::spawn(move || {
            let read = photo::read(&path, &catalogue, most).map(Box::new);
            out.send(News::Photo(path, asked_for, read)).ok();
            ctx.request_repaint();
        });
    }

    /// Writes the file beside a picture on a thread of its own; gives the number of the writing.
    pub fn keep_photo(&mut self, file: PathBuf, text: String) -> u64 {
        let (out, ctx, newest) = (self.outbox.clone(), self.ctx.clone(), self.newest.clone());
        let number = {
            let mut newest = newest.lock().unwrap_or_else(PoisonError::into_inner);
            let number = newest.entry(file.clone()).or_default();
            *number += 1;
            *number
        };
        self.writing.retain(|w| !w.is_finished());
        self.writing.push(std::thread::spawn(move || {
            // Held while it is written, so that an older text never follows a newer one.
            let newest = newest.lock().unwrap_or_else(PoisonError::into_inner);
            if newest.get(&file) == Some(&number) {
                let written = files::replace(&file, text.as_bytes()).map_err(|e| e.to_string());
                out.send(News::PhotoKept(file, number, written)).ok();
                ctx.request_repaint();
            }
        }));
        number
    }

    /// Reads a file on a thread of its own.
    pub fn read_file(&self, path: PathBuf) {
        if is_photo(&path) {
            self.read_photo(path, true);
            return;
        }
        let (out, ctx) = (self.outbox.clone(), self.ctx.clone());
        std::thread::spawn(move || {
            let read = files::read(&path);
            out.send(News::Read(path, read)).ok();
            ctx.request_repaint();
        });
    }
}

/// 64 bits from the random source of the system, through the keys of the standard hasher.
fn random() -> u64 {
    let mut hasher = RandomState::new().build_hasher();
    hasher.write_u32(std::process::id());
    hasher.finish()
}
