//! Events as the program speaks of them, and as rows.

use jarlight_scenario::{Answered, Confidence, Mode};
use rusqlite::{Row, named_params};

use crate::store::StoreError;

/// One run through one scenario, and everything needed to draw and score it again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Run {
    /// Its id: 32 hexadecimal digits.
    pub id: String,
    /// Id of the scenario.
    pub scenario: String,
    /// SHA-256 of the text of the scenario.
    pub hash: String,
    /// Title of the scenario, for lists.
    pub title: String,
    /// Seed of pictures and order.
    pub seed: u64,
    /// How the run is meant.
    pub mode: Mode,
    /// Version of the program.
    pub program: String,
    /// Version of the drawing recipes.
    pub recipe: String,
}

/// What happened.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// Somebody began to use this computer.
    LearnerAdded {
        /// The name shown.
        name: String,
    },
    /// Somebody is called otherwise from here on.
    LearnerRenamed {
        /// The new name.
        name: String,
    },
    /// A run began.
    RunStarted {
        /// The run.
        run: Run,
    },
    /// An answer was given.
    Answered {
        /// The run.
        run: Run,
        /// Id of the question.
        question: String,
        /// The answer as text.
        answer: String,
        /// Points given.
        points: f64,
        /// Points possible.
        max_points: f64,
        /// How sure the learner was.
        confidence: Option<Confidence>,
        /// Whether help was given.
        hinted: bool,
        /// Time since the question was asked.
        elapsed_ms: u64,
        /// What the question was about.
        subjects: Vec<String>,
    },
    /// A run came to its end.
    RunFinished {
        /// The run.
        run: Run,
        /// Points given.
        points: f64,
        /// Points possible.
        max_points: f64,
    },
    /// A run was given up.
    RunLeft {
        /// The run.
        run: Run,
    },
    /// A learner thinks that something is wrong with a question.
    Flagged {
        /// The run.
        run: Run,
        /// Id of the question.
        question: String,
        /// What the learner wrote.
        note: String,
    },
}

impl What {
    /// The event of an answer that a session has scored.
    pub fn answered(run: &Run, a: &Answered) -> Self {
        Self::Answered {
            run: run.clone(),
            question: a.question.clone(),
            answer: a.answer_text.clone(),
            points: a.points,
            max_points: a.max_points,
            confidence: a.confidence,
            hinted: a.hinted,
            elapsed_ms: a.elapsed_ms,
            subjects: a.subjects.clone(),
        }
    }

    /// The word in the column `kind`.
    pub(crate) const fn kind(&self) -> &'static str {
        match self {
            Self::LearnerAdded { .. } => "learner_added",
            Self::LearnerRenamed { .. } => "learner_renamed",
            Self::RunStarted { .. } => "run_started",
            Self::Answered { .. } => "answered",
            Self::RunFinished { .. } => "run_finished",
            Self::RunLeft { .. } => "run_left",
            Self::Flagged { .. } => "flagged",
        }
    }

    fn run(&self) -> Option<&Run> {
        match self {
            Self::LearnerAdded { .. } | Self::LearnerRenamed { .. } => None,
            Self::RunStarted { run }
            | Self::Answered { run, .. }
            | Self::RunFinished { run, .. }
            | Self::RunLeft { run }
            | Self::Flagged { run, .. } => Some(run),
        }
    }
}

/// One event.
#[derive(Clone, Debug, PartialEq)]
pub struct Record {
    /// Its id: 32 hexadecimal digits from a random source of the caller.
    pub id: String,
    /// When it happened, in milliseconds of Unix time.
    pub at_ms: u64,
    /// Id of the learner.
    pub learner: String,
    /// What happened.
    pub what: What,
}

/// The columns of a record that depend on its kind.
#[derive(Default)]
struct Columns<'r> {
    question: Option<&'r str>,
    answer: Option<&'r str>,
    points: Option<f64>,
    max_points: Option<f64>,
    confidence: Option<&'static str>,
    hinted: Option<bool>,
    elapsed_ms: Option<i64>,
    subjects: String,
    note: Option<&'r str>,
}

fn columns(what: &What) -> Columns<'_> {
    let none = Columns::default();
    match what {
        What::LearnerAdded { name } | What::LearnerRenamed { name } => {
            Columns { note: Some(name), ..none }
        }
        What::RunStarted { .. } | What::RunLeft { .. } => none,
        What::RunFinished { points, max_points, .. } => {
            Columns { points: Some(*points), max_points: Some(*max_points), ..none }
        }
        What::Flagged { question, note, .. } => {
            Columns { question: Some(question), note: Some(note), ..none }
        }
        What::Answered {
            question,
            answer,
            points,
            max_points,
            confidence,
            hinted,
            elapsed_ms,
            subjects,
            run: _,
        } => Columns {
            question: Some(question),
            answer: Some(answer),
            points: Some(*points),
            max_points: Some(*max_points),
            confidence: confidence.map(Confidence::as_str),
            hinted: Some(*hinted),
            elapsed_ms: Some(millis(*elapsed_ms)),
            subjects: subjects.join(" "),
            note: None,
        },
    }
}

/// A time as SQLite keeps it; the far future stands for what is beyond.
fn millis(ms: u64) -> i64 {
    i64::try_from(ms).unwrap_or(i64::MAX)
}

/// Adds the row of a record; false when an event of this id is there already.
pub(crate) fn insert(
    connection: &rusqlite::Connection,
    record: &Record,
) -> Result<bool, rusqlite::Error> {
    let run = record.what.run();
    let c = columns(&record.what);
    let sql = "INSERT INTO event (id, at_ms, learner, kind, run, scenario, hash, title, seed,
            mode, program, recipe, question, answer, points, max_points, confidence, hinted,
            elapsed_ms, note, subjects)
        VALUES (:id, :at_ms, :learner, :kind, :run, :scenario, :hash, :title, :seed,
            :mode, :program, :recipe, :question, :answer, :points, :max_points, :confidence,
            :hinted, :elapsed_ms, :note, :subjects)
        ON CONFLICT (id) DO NOTHING";
    let changed = connection.prepare_cached(sql)?.execute(named_params! {
        ":id": record.id,
        ":at_ms": millis(record.at_ms),
        ":learner": record.learner,
        ":kind": record.what.kind(),
        ":run": run.map(|r| &r.id),
        ":scenario": run.map(|r| &r.scenario),
        ":hash": run.map(|r| &r.hash),
        ":title": run.map(|r| &r.title),
        ":seed": run.map(|r| r.seed.to_string()),
        ":mode": run.map(|r| r.mode.as_str()),
        ":program": run.map(|r| &r.program),
        ":recipe": run.map(|r| &r.recipe),
        ":question": c.question,
        ":answer": c.answer,
        ":points": c.points,
        ":max_points": c.max_points,
        ":confidence": c.confidence,
        ":hinted": c.hinted,
        ":elapsed_ms": c.elapsed_ms,
        ":note": c.note,
        ":subjects": c.subjects,
    })?;
    Ok(changed == 1)
}

/// Reads a row of all columns back.
pub(crate) fn from_row(row: &Row<'_>) -> Result<Record, StoreError> {
    let id: String = row.get("id")?;
    let damaged = |what: &str| StoreError::Damaged { id: id.clone(), what: what.to_owned() };
    let time = |column: &str| -> Result<u64, StoreError> {
        let ms: Option<i64> = row.get(column)?;
        ms.and_then(|ms| u64::try_from(ms).ok()).ok_or_else(|| damaged(column))
    };
    let text = |column: &str| -> Result<String, StoreError> {
        row.get::<_, Option<String>>(column)?.ok_or_else(|| damaged(column))
    };
    let number = |column: &str| -> Result<f64, StoreError> {
        row.get::<_, Option<f64>>(column)?.ok_or_else(|| damaged(column))
    };
    let run = || -> Result<Run, StoreError> {
        Ok(Run {
            id: text("run")?,
            scenario: text("scenario")?,
            hash: text("hash")?,
            title: text("title")?,
            seed: text("seed")?.parse().map_err(|_| damaged("seed"))?,
            mode: Mode::parse(&text("mode")?).ok_or_else(|| damaged("mode"))?,
            program: text("program")?,
            recipe: text("recipe")?,
        })
    };
    let what = match text("kind")?.as_str() {
        "learner_added" => What::LearnerAdded { name: text("note")? },
        "learner_renamed" => What::LearnerRenamed { name: text("note")? },
        "run_started" => What::RunStarted { run: run()? },
        "run_left" => What::RunLeft { run: run()? },
        "run_finished" => What::RunFinished {
            run: run()?,
            points: number("points")?,
            max_points: number("max_points")?,
        },
        "flagged" => {
            What::Flagged { run: run()?, question: text("question")?, note: text("note")? }
        }
        "answered" => {
            let confidence: Option<String> = row.get("confidence")?;
            let confidence = match confidence {
                None => None,
                Some(word) => Some(Confidence::parse(&word).ok_or_else(|| damaged("confidence"))?),
            };
            What::Answered {
                run: run()?,
                question: text("question")?,
                answer: text("answer")?,
                points: number("points")?,
                max_points: number("max_points")?,
                confidence,
                hinted: row.get::<_, Option<bool>>("hinted")?.ok_or_else(|| damaged("hinted"))?,
                elapsed_ms: time("elapsed_ms")?,
                subjects: text("subjects")?.split_whitespace().map(str::to_owned).collect(),
            }
        }
        _ => return Err(damaged("kind")),
    };
    Ok(Record { at_ms: time("at_ms")?, learner: row.get("learner")?, what, id })
}
