//! One thread owns the records; the window waits for the disk only where an answer is given,
//! and then no longer than [`PATIENCE`].

use super::News;
use jarlight_records::{Record, Store, StoreError};
use std::{
    path::PathBuf,
    sync::mpsc::{Receiver, Sender, channel},
    thread::JoinHandle,
    time::Duration,
};

/// How long the frame of an answer waits until the answer is on the disk. A write takes a few
/// milliseconds; a slow disk is waited for by the next frames instead.
const PATIENCE: Duration = Duration::from_millis(200);

/// Names a record on its way to the disk.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Ticket(u64);

enum Job {
    Write(Ticket, Box<Record>),
    Flush(Sender<()>),
    Learners,
    OpenRun(String),
}

/// The window's end of the thread.
pub struct Client {
    jobs: Option<Sender<Job>>,
    thread: Option<JoinHandle<()>>,
    last: u64,
}

impl Client {
    /// Starts the thread.
    pub fn start(
        path: Option<PathBuf>,
        news: Sender<News>,
        wake: impl Fn() + Send + 'static,
    ) -> Self {
        let (jobs, inbox) = channel();
        let keeper = Keeper { path, store: None, waiting: Vec::new(), news, told: false };
        let thread = std::thread::spawn(move || keeper.serve(&inbox, wake));
        Self { jobs: Some(jobs), thread: Some(thread), last: 0 }
    }

    /// Sends a record to be written.
    pub fn write(&mut self, record: Record) -> Ticket {
        self.last += 1;
        let ticket = Ticket(self.last);
        self.send(Job::Write(ticket, Box::new(record)));
        ticket
    }

    /// Sends a record and waits a moment for the disk, so that a program killed right after an
    /// answer has kept it.
    pub fn write_now(&mut self, record: Record) -> Ticket {
        let ticket = self.write(record);
        let (done, wait) = channel();
        self.send(Job::Flush(done));
        // Too slow or closed: the news of the ticket tell how it went.
        wait.recv_timeout(PATIENCE).ok();
        ticket
    }

    /// Asks for all learners.
    pub fn ask_learners(&self) {
        self.send(Job::Learners);
    }

    /// Asks for what a learner has not finished.
    pub fn ask_open_run(&self, learner: &str) {
        self.send(Job::OpenRun(learner.to_owned()));
    }

    fn send(&self, job: Job) {
        if let Some(jobs) = &self.jobs {
            // The thread ends only when this sender is dropped.
            jobs.send(job).ok();
        }
    }

    /// Waits until everything sent is written.
    pub fn close(&mut self) {
        self.jobs = None;
        if let Some(thread) = self.thread.take() {
            thread.join().ok();
        }
    }
}

impl Drop for Client {
    fn drop(&mut self) {
        self.close();
    }
}

/// The thread's end.
struct Keeper {
    path: Option<PathBuf>,
    store: Option<Store>,
    // Records that could not be written yet, in their order.
    waiting: Vec<(Ticket, Box<Record>)>,
    news: Sender<News>,
    // Whether it was said that the records cannot be opened.
    told: bool,
}

impl Keeper {
    fn serve(mut self, inbox: &Receiver<Job>, wake: impl Fn()) {
        self.open();
        wake();
        for job in inbox {
            match job {
                Job::Write(ticket, record) => {
                    self.waiting.push((ticket, record));
                    self.write();
                }
                Job::Flush(done) => {
                    // Nobody waits any more when the disk was too slow.
                    done.send(()).ok();
                }
                Job::Learners => {
                    if let Some(Ok(all)) = self.store().map(Store::learners) {
                        self.tell(News::Learners(all));
                    }
                }
                Job::OpenRun(learner) => {
                    if let Some(Ok(run)) = self.store().map(|s| s.open_run(&learner)) {
                        self.tell(News::OpenRun(learner, run.map(Box::new)));
                    }
                }
            }
            wake();
        }
    }

    fn store(&mut self) -> Option<&Store> {
        if self.store.is_none() {
            self.open();
        }
        self.store.as_ref()
    }

    fn open(&mut self) {
        let opened = match &self.path {
            Some(path) => Store::open(path),
            None => Store::in_memory(),
        };
        match opened {
            Ok(store) => self.store = Some(store),
            Err(e) => {
                if !std::mem::replace(&mut self.told, true) {
                    self.tell(News::RecordsClosed(full_text(&e)));
                }
            }
        }
    }

    /// Writes what waits, the oldest first, and stops at what cannot be written.
    fn write(&mut self) {
        while let Some((ticket, record)) = self.waiting.first() {
            let (ticket, record) = (*ticket, record.clone());
            let done = match self.store() {
                Some(store) => store.append(&record).map_err(|e| full_text(&e)),
                None => Err(String::new()),
            };
            match done {
                Ok(()) => {
                    self.waiting.remove(0);
                    self.tell(News::Written(ticket));
                }
                Err(why) => {
                    for (ticket, _) in &self.waiting {
                        self.tell(News::NotWritten(*ticket, why.clone()));
                    }
                    return;
                }
            }
        }
    }

    fn tell(&self, news: News) {
        // Nobody listens any more when the window is closing.
        self.news.send(news).ok();
    }
}

/// A sentence with its causes.
fn full_text(error: &StoreError) -> String {
    let mut text = error.to_string();
    let mut source = std::error::Error::source(error);
    while let Some(cause) = source {
        text = format!("{text}: {cause}");
        source = cause.source();
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use jarlight_records::What;

    fn record(id: u8) -> Record {
        Record {
            id: format!("{id:032x}"),
            at_ms: 1,
            learner: "a".to_owned(),
            what: What::LearnerAdded { name: "Learner 1".to_owned() },
        }
    }

    #[test]
    fn an_answer_is_on_the_disk_when_the_call_returns() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("records.sqlite3");
        let (news, _inbox) = channel();
        let mut client = Client::start(Some(path.clone()), news, || ());
        client.write_now(record(1));
        // The thread still runs and nothing was closed: another reader sees the record.
        assert_eq!(Store::open(&path).unwrap().learners().unwrap().len(), 1);
    }

    #[test]
    fn what_was_sent_is_on_the_disk_after_closing() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("records.sqlite3");
        let (news, inbox) = channel();
        let mut client = Client::start(Some(path.clone()), news, || ());
        let ticket = client.write(record(1));
        client.close();
        let written = inbox.try_iter().any(|n| matches!(n, News::Written(t) if t == ticket));
        assert!(written);
        assert_eq!(Store::open(&path).unwrap().learners().unwrap().len(), 1);
    }

    /// The folder cannot be made, because a file stands in its place; later it can.
    #[test]
    fn records_wait_until_they_can_be_written() {
        let folder = tempfile::tempdir().unwrap();
        let blocked = folder.path().join("data");
        std::fs::write(&blocked, "in the way").unwrap();
        let path = blocked.join("records.sqlite3");
        let (news, inbox) = channel();
        let mut client = Client::start(Some(path.clone()), news, || ());
        let first = client.write(record(1));
        let mut refused = false;
        while let Ok(n) = inbox.recv_timeout(Duration::from_secs(10)) {
            if matches!(n, News::NotWritten(t, _) if t == first) {
                refused = true;
                break;
            }
        }
        assert!(refused);
        std::fs::remove_file(&blocked).unwrap();
        client.write(record(2));
        client.close();
        assert_eq!(Store::open(&path).unwrap().learners().unwrap().len(), 1);
        assert_eq!(inbox.try_iter().filter(|n| matches!(n, News::Written(_))).count(), 2);
    }
}
