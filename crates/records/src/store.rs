//! Opens the database, brings it to the newest schema, and adds events.

use crate::event::{self, Record};
use rusqlite::{Connection, ErrorCode, OpenFlags, TransactionBehavior};
use std::{
    io,
    path::{Path, PathBuf},
    time::Duration,
};

/// Marks a database as one of ours: "Jarl" in ASCII.
const APPLICATION_ID: i32 = 0x4A61_726C;

/// Every change of the schema, in order; the number of a database counts those it has had.
const MIGRATIONS: &[&str] =
    &[include_str!("schema/0001_event.sql"), include_str!("schema/0002_subjects.sql")];

/// How long to wait for another window that is writing.
const PATIENCE: Duration = Duration::from_secs(5);

/// Why the records cannot be read or written.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// A later program has written the database.
    #[error(
        "the records were written by a newer Jarlight (schema {found}; this one knows {known}); \
         use the newer program, nothing was changed"
    )]
    NewerDatabase {
        /// Number of the schema in the file.
        found: usize,
        /// Number of the newest schema known here.
        known: usize,
    },
    /// The file is something else.
    #[error("{} is no file of Jarlight records; nothing was changed", path.display())]
    NotRecords {
        /// The file.
        path: PathBuf,
    },
    /// The folder of the file cannot be made.
    #[error("the folder {} cannot be used for the records", path.display())]
    Folder {
        /// The folder.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The file or its folder cannot be written.
    #[error("the records {} cannot be written", path.display())]
    NotWritable {
        /// The file.
        path: PathBuf,
    },
    /// A row does not say what it should.
    #[error("the stored event {id} is damaged: its {what} cannot be read")]
    Damaged {
        /// The event.
        id: String,
        /// The column.
        what: String,
    },
    /// Another event has this id.
    #[error("another event is stored under the id {id}")]
    RepeatedId {
        /// The id.
        id: String,
    },
    /// Anything else that the database said.
    #[error("the records cannot be used")]
    Sql(#[from] rusqlite::Error),
}

/// The records of everybody who learns on this computer.
#[derive(Debug)]
pub struct Store {
    pub(crate) connection: Connection,
}

impl Store {
    /// Opens the records of a file; makes it, and its folder, when it is not there.
    pub fn open(path: &Path) -> Result<Self, StoreError> {
        if let Some(folder) = path.parent().filter(|f| !f.as_os_str().is_empty()) {
            std::fs::create_dir_all(folder)
                .map_err(|source| StoreError::Folder { path: folder.to_owned(), source })?;
        }
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE
            | OpenFlags::SQLITE_OPEN_CREATE
            | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let opened = Connection::open_with_flags(path, flags)
            .map_err(StoreError::from)
            .and_then(Self::prepared);
        opened.map_err(|error| explained(error, path))
    }

    /// Records that are gone with the program, for when no file can be written.
    pub fn in_memory() -> Result<Self, StoreError> {
        Self::prepared(Connection::open_in_memory()?)
    }

    fn prepared(mut connection: Connection) -> Result<Self, StoreError> {
        connection.busy_timeout(PATIENCE)?;
        check_owner(&connection)?;
        // A write-ahead log lets a second window read; with FULL an answer is on the disk when
        // the call returns.
        connection.pragma_update(None, "journal_mode", "WAL")?;
        connection.pragma_update(None, "synchronous", "FULL")?;
        migrate(&mut connection, MIGRATIONS)?;
        Ok(Self { connection })
    }

    /// Adds an event; it is on the disk when this returns.
    ///
    /// Adding the same event again changes nothing, so that a failed call can be repeated.
    pub fn append(&self, record: &Record) -> Result<(), StoreError> {
        if event::insert(&self.connection, record)? {
            return Ok(());
        }
        match self.record(&record.id)? {
            Some(stored) if stored == *record => Ok(()),
            _ => Err(StoreError::RepeatedId { id: record.id.clone() }),
        }
    }

    fn record(&self, id: &str) -> Result<Option<Record>, StoreError> {
        let mut statement = self.connection.prepare_cached("SELECT * FROM event WHERE id = ?1")?;
        let mut rows = statement.query([id])?;
        rows.next()?.map(event::from_row).transpose()
    }
}

/// Gives what the database said the words of the file.
fn explained(error: StoreError, path: &Path) -> StoreError {
    let path = path.to_owned();
    match error {
        StoreError::NotRecords { .. } => StoreError::NotRecords { path },
        StoreError::Sql(ref e) => match e.sqlite_error_code() {
            Some(ErrorCode::NotADatabase) => StoreError::NotRecords { path },
            Some(ErrorCode::CannotOpen | ErrorCode::ReadOnly | ErrorCode::PermissionDenied) => {
                StoreError::NotWritable { path }
            }
            _ => error,
        },
        other => other,
    }
}

/// Refuses the database of another program, or of a later one, before anything is written to it.
fn check_owner(connection: &Connection) -> Result<(), StoreError> {
    let owner: i32 = connection.pragma_query_value(None, "application_id", |row| row.get(0))?;
    let tables: i64 =
        connection.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    if owner != APPLICATION_ID && (owner != 0 || tables != 0) {
        return Err(StoreError::NotRecords { path: PathBuf::new() });
    }
    schema_of(connection).map(|_| ())
}

/// How many migrations a database has had; refuses more than are known.
fn schema_of(connection: &Connection) -> Result<usize, StoreError> {
    let version: i64 = connection.pragma_query_value(None, "user_version", |row| row.get(0))?;
    let found = usize::try_from(version).unwrap_or(usize::MAX);
    let known = MIGRATIONS.len();
    if found > known {
        return Err(StoreError::NewerDatabase { found, known });
    }
    Ok(found)
}

/// Applies the migrations that the database has not had, each wholly or not at all.
fn migrate(connection: &mut Connection, migrations: &[&str]) -> Result<(), StoreError> {
    // The write lock is taken even when nothing is to do: it shows that the file can be written.
    let transaction = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let found = schema_of(&transaction)?;
    for sql in migrations.iter().skip(found) {
        transaction.execute_batch(sql)?;
    }
    if found < migrations.len() {
        transaction.pragma_update(None, "user_version", migrations.len() as i64)?;
        transaction.pragma_update(None, "application_id", APPLICATION_ID)?;
    }
    transaction.commit()?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::{Run, What};
    use jarlight_scenario::{Confidence, Mode};

    pub(crate) fn run() -> Run {
        Run {
            id: "a".repeat(32),
            scenario: "parts".into(),
            hash: "00".into(),
            title: "Parts".into(),
            seed: u64::MAX,
            mode: Mode::Practise,
            program: "0.1.0".into(),
            recipe: "1".into(),
        }
    }

    fn record(n: u8, what: What) -> Record {
        Record { id: format!("{n:032x}"), at_ms: u64::from(n), learner: "l4".into(), what }
    }

    fn every_kind() -> Vec<Record> {
        let answered = What::Answered {
            run: run(),
            question: "q1".into(),
            answer: "One(\"separator\")".into(),
            points: 0.5,
            max_points: 1.0,
            confidence: Some(Confidence::Leaning),
            hinted: true,
            elapsed_ms: 4321,
            subjects: vec!["separator".into(), "retainer_mat".into()],
        };
        let all = [
            What::LearnerAdded { name: "Learner 4".into() },
            What::LearnerRenamed { name: "Learner \u{1f50b}".into() },
            What::RunStarted { run: run() },
            answered,
            What::Flagged { run: run(), question: "q1".into(), note: "Two \"right\" ones".into() },
            What::RunFinished { run: run(), points: 0.5, max_points: 1.0 },
            What::RunLeft { run: run() },
        ];
        all.into_iter().zip(1..).map(|(what, n)| record(n, what)).collect()
    }

    #[test]
    fn every_kind_of_event_is_kept_as_it_was() {
        let store = Store::in_memory().unwrap();
        for r in every_kind() {
            store.append(&r).unwrap();
            assert_eq!(store.record(&r.id).unwrap(), Some(r));
        }
    }

    #[test]
    fn a_second_window_sees_an_answer_as_soon_as_the_call_returns() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("deep/records.sqlite");
        let first = Store::open(&path).unwrap();
        let second = Store::open(&path).unwrap();
        for r in every_kind() {
            first.append(&r).unwrap();
            assert_eq!(second.record(&r.id).unwrap(), Some(r));
        }
        let mode: String =
            first.connection.pragma_query_value(None, "journal_mode", |row| row.get(0)).unwrap();
        let sync: i64 =
            first.connection.pragma_query_value(None, "synchronous", |row| row.get(0)).unwrap();
        assert_eq!((mode.as_str(), sync), ("wal", 2));
    }

    #[test]
    fn a_repeated_call_changes_nothing_and_another_event_under_its_id_is_refused() {
        let store = Store::in_memory().unwrap();
        let first = record(1, What::LearnerAdded { name: "A".into() });
        store.append(&first).unwrap();
        store.append(&first).unwrap();
        let other = record(1, What::LearnerAdded { name: "B".into() });
        assert!(matches!(store.append(&other), Err(StoreError::RepeatedId { .. })));
    }

    #[test]
    fn events_are_neither_changed_nor_deleted() {
        let store = Store::in_memory().unwrap();
        store.append(&record(1, What::LearnerAdded { name: "A".into() })).unwrap();
        for sql in ["UPDATE event SET note = 'B'", "DELETE FROM event"] {
            let error = store.connection.execute(sql, []).unwrap_err().to_string();
            assert!(error.contains("never"), "{error}");
        }
    }

    #[test]
    fn ids_of_another_length_are_refused() {
        let store = Store::in_memory().unwrap();
        let mut short = record(1, What::LearnerAdded { name: "A".into() });
        short.id.pop();
        assert!(matches!(store.append(&short), Err(StoreError::Sql(_))));
    }

    #[test]
    fn a_newer_database_is_refused_and_left_alone() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("r.sqlite");
        let store = Store::open(&path).unwrap();
        let newer = MIGRATIONS.len() as i64 + 1;
        store.connection.pragma_update(None, "user_version", newer).unwrap();
        drop(store);
        let error = Store::open(&path).unwrap_err();
        assert!(matches!(error, StoreError::NewerDatabase { found: 3, known: 2 }), "{error}");
        assert!(error.to_string().contains("newer Jarlight"), "{error}");
    }

    #[test]
    fn a_database_of_the_first_schema_keeps_its_events() {
        let mut connection = Connection::open_in_memory().unwrap();
        migrate(&mut connection, &MIGRATIONS[..1]).unwrap();
        connection.execute_batch(include_str!("../tests/fixtures/schema_1_events.sql")).unwrap();
        let store = Store::prepared(connection).unwrap();
        let r = store.record("0123456789abcdef0123456789abcdef").unwrap().unwrap();
        let What::Answered { question, answer, subjects, run, .. } = r.what else { panic!() };
        assert_eq!((question.as_str(), answer.as_str()), ("q1", "One(\"separator\")"));
        assert_eq!((subjects.len(), run.seed), (0, 18_446_744_073_709_551_615));
    }

    #[test]
    fn what_cannot_be_written_is_named() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("file");
        std::fs::write(&file, "not a database, but long enough to be taken for one".repeat(50))
            .unwrap();
        let inside = Store::open(&file.join("records.sqlite")).unwrap_err();
        assert!(matches!(inside, StoreError::Folder { .. }), "{inside}");
        assert!(inside.to_string().contains("file"), "{inside}");
        let other = Store::open(&file).unwrap_err();
        assert!(matches!(other, StoreError::NotRecords { .. }), "{other}");
        let directory = Store::open(folder.path()).unwrap_err();
        assert!(matches!(directory, StoreError::NotWritable { .. }), "{directory}");
    }

    #[test]
    fn a_database_of_another_program_is_refused() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("other.sqlite");
        Connection::open(&path).unwrap().execute_batch("CREATE TABLE t (a)").unwrap();
        assert!(matches!(Store::open(&path), Err(StoreError::NotRecords { .. })));
    }
}
