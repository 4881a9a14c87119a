//! Lists and counts that a page needs, computed from the events.

use crate::{
    event::{self, Record, Run, What},
    store::{Store, StoreError},
};
use jarlight_scenario::{Answer, Given};
use std::collections::{BTreeMap, BTreeSet};

/// Somebody who learns on this computer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Learner {
    /// Id.
    pub id: String,
    /// The name shown.
    pub name: String,
}

/// A run that can be taken up again.
#[derive(Clone, Debug, PartialEq)]
pub struct OpenRun {
    /// The run.
    pub run: Run,
    /// Its answers in order.
    pub answers: Vec<Given>,
    /// When it was last worked on.
    pub last_at_ms: u64,
}

/// A run that came to its end.
#[derive(Clone, Debug, PartialEq)]
pub struct FinishedRun {
    /// The run.
    pub run: Run,
    /// When it ended.
    pub at_ms: u64,
    /// Points given.
    pub points: f64,
    /// Points possible.
    pub max_points: f64,
    /// Number of answers.
    pub answers: usize,
}

/// An answer with its score.
#[derive(Clone, Debug, PartialEq)]
pub struct StoredAnswer {
    /// The answer, to be scored or explained again.
    pub given: Given,
    /// Points given.
    pub points: f64,
    /// Points possible.
    pub max_points: f64,
    /// When it was given.
    pub at_ms: u64,
}

/// How often something was asked, and what came of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Tally {
    /// A part, condition, cause or fact.
    pub id: String,
    /// How many answers.
    pub asked: usize,
    /// How many of them with all points.
    pub right: usize,
    /// Points given.
    pub points: f64,
    /// Points possible.
    pub max_points: f64,
}

/// A question that a learner thinks is wrong.
#[derive(Clone, Debug, PartialEq)]
pub struct Flag {
    /// The run.
    pub run: Run,
    /// Id of the learner.
    pub learner: String,
    /// Id of the question.
    pub question: String,
    /// What the learner wrote.
    pub note: String,
    /// When.
    pub at_ms: u64,
}

impl Store {
    fn select(&self, filter: &str, value: &str) -> Result<Vec<Record>, StoreError> {
        let sql = format!("SELECT * FROM event WHERE {filter} ORDER BY seq");
        let mut statement = self.connection.prepare_cached(&sql)?;
        let mut rows = statement.query([value])?;
        let mut out = Vec::new();
        while let Some(row) = rows.next()? {
            out.push(event::from_row(row)?);
        }
        Ok(out)
    }

    /// Everybody who was added, in that order, under the newest name.
    pub fn learners(&self) -> Result<Vec<Learner>, StoreError> {
        let mut out: Vec<Learner> = Vec::new();
        for r in self.select("kind GLOB ?1", "learner_*")? {
            let (What::LearnerAdded { name } | What::LearnerRenamed { name }) = r.what else {
                continue;
            };
            match out.iter_mut().find(|l| l.id == r.learner) {
                Some(known) => known.name = name,
                None => out.push(Learner { id: r.learner, name }),
            }
        }
        Ok(out)
    }

    /// The run that a learner last worked on and neither finished nor gave up.
    pub fn open_run(&self, learner: &str) -> Result<Option<OpenRun>, StoreError> {
        let sql = "SELECT run FROM event AS e WHERE learner = ?1
            AND kind IN ('run_started', 'answered')
            AND NOT EXISTS (SELECT 1 FROM event AS o
                WHERE o.run = e.run AND o.kind IN ('run_finished', 'run_left'))
            ORDER BY seq DESC LIMIT 1";
        let mut statement = self.connection.prepare_cached(sql)?;
        let mut rows = statement.query([learner])?;
        let Some(row) = rows.next()? else { return Ok(None) };
        let id: String = row.get(0)?;
        let events = self.select("run = ?1", &id)?;
        let last_at_ms = events.iter().map(|r| r.at_ms).max().unwrap_or(0);
        let run = events.iter().find_map(|r| match &r.what {
            What::RunStarted { run } | What::Answered { run, .. } => Some(run.clone()),
            _ => None,
        });
        let answers = answers_of(events)?.into_iter().map(|a| a.given).collect();
        Ok(run.map(|run| OpenRun { run, answers, last_at_ms }))
    }

    /// The finished runs of a learner, newest first.
    pub fn finished_runs(&self, learner: &str) -> Result<Vec<FinishedRun>, StoreError> {
        let events =
            self.select("learner = ?1 AND kind IN ('answered', 'run_finished')", learner)?;
        let mut answers: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
        let mut out = Vec::new();
        for r in events {
            match r.what {
                What::Answered { run, question, .. } => {
                    answers.entry(run.id).or_default().insert(question);
                }
                What::RunFinished { run, points, max_points } => {
                    let answers = answers.get(&run.id).map_or(0, BTreeSet::len);
                    out.push(FinishedRun { run, at_ms: r.at_ms, points, max_points, answers });
                }
                _ => {}
            }
        }
        out.reverse();
        Ok(out)
    }

    /// The answers of a run in order.
    pub fn answers(&self, run: &str) -> Result<Vec<StoredAnswer>, StoreError> {
        answers_of(self.select("run = ?1 AND kind = 'answered'", run)?)
    }

    /// The answers of a run that did not get all points.
    pub fn misses(&self, run: &str) -> Result<Vec<StoredAnswer>, StoreError> {
        let mut all = self.answers(run)?;
        all.retain(|a| a.points < a.max_points);
        Ok(all)
    }

    /// For each part, condition, cause and fact that a learner was asked about: how it went.
    pub fn tally(&self, learner: &str) -> Result<Vec<Tally>, StoreError> {
        let mut all: BTreeMap<String, Tally> = BTreeMap::new();
        let mut seen = BTreeSet::new();
        for r in self.select("learner = ?1 AND kind = 'answered'", learner)? {
            let What::Answered { run, question, subjects, points, max_points, .. } = r.what else {
                continue;
            };
            if !seen.insert((run.id, question)) {
                continue;
            }
            for id in subjects {
                let none =
                    Tally { id: id.clone(), asked: 0, right: 0, points: 0.0, max_points: 0.0 };
                let t = all.entry(id).or_insert(none);
                t.asked += 1;
                t.right += usize::from(points >= max_points);
                t.points += points;
                t.max_points += max_points;
            }
        }
        Ok(all.into_values().collect())
    }

    /// All flags, oldest first.
    pub fn flags(&self) -> Result<Vec<Flag>, StoreError> {
        let mut out = Vec::new();
        for r in self.select("kind = ?1", "flagged")? {
            if let What::Flagged { run, question, note } = r.what {
                out.push(Flag { run, learner: r.learner, question, note, at_ms: r.at_ms });
            }
        }
        Ok(out)
    }
}

/// The answers among events, the first one to each question.
fn answers_of(events: Vec<Record>) -> Result<Vec<StoredAnswer>, StoreError> {
    let mut seen = BTreeSet::new();
    let mut out = Vec::new();
    for r in events {
        let What::Answered {
            question,
            answer,
            points,
            max_points,
            confidence,
            hinted,
            elapsed_ms,
            ..
        } = r.what
        else {
            continue;
        };
        if !seen.insert(question.clone()) {
            continue;
        }
        let Some(answer) = Answer::parse(&answer) else {
            return Err(StoreError::Damaged { id: r.id, what: "answer".to_owned() });
        };
        out.push(StoredAnswer {
            given: Given { question, answer, confidence, hinted, elapsed_ms },
            points,
            max_points,
            at_ms: r.at_ms,
        });
    }
    Ok(out)
}

#[cfg(test)]
mod tests {
    use super::*;
    use jarlight_scenario::Mode;

    struct Book {
        store: Store,
        next: u64,
    }

    impl Book {
        fn new() -> Self {
            Self { store: Store::in_memory().unwrap(), next: 1 }
        }

        fn add(&mut self, learner: &str, what: What) {
            let (id, at_ms) = (format!("{:032x}", self.next), 1000 * self.next);
            self.next += 1;
            let record = Record { id, at_ms, learner: learner.into(), what };
            self.store.append(&record).unwrap();
        }

        fn answer(&mut self, learner: &str, run: &Run, question: &str, points: f64) {
            let what = What::Answered {
                run: run.clone(),
                question: question.into(),
                answer: "One(\"x\")".into(),
                points,
                max_points: 1.0,
                confidence: None,
                hinted: false,
                elapsed_ms: 9,
                subjects: vec!["separator".into(), format!("about_{question}")],
            };
            self.add(learner, what);
        }
    }

    fn run(letter: char) -> Run {
        Run {
            id: letter.to_string().repeat(32),
            scenario: "s".into(),
            hash: "00".into(),
            title: "S".into(),
            seed: 5,
            mode: Mode::Check,
            program: "0.1.0".into(),
            recipe: "1".into(),
        }
    }

    #[test]
    fn learners_bear_their_newest_name() {
        let mut b = Book::new();
        b.add("l1", What::LearnerAdded { name: "Learner 1".into() });
        b.add("l2", What::LearnerAdded { name: "Learner 2".into() });
        b.add("l1", What::LearnerRenamed { name: "First".into() });
        let names: Vec<String> = b.store.learners().unwrap().into_iter().map(|l| l.name).collect();
        assert_eq!(names, ["First", "Learner 2"]);
    }

    #[test]
    fn the_run_last_worked_on_is_taken_up_with_its_answers_in_order() {
        let mut b = Book::new();
        for letter in ['a', 'b', 'c', 'd'] {
            b.add("l1", What::RunStarted { run: run(letter) });
        }
        b.answer("l1", &run('a'), "q1", 1.0);
        b.answer("l1", &run('a'), "q2", 0.0);
        b.answer("l2", &run('e'), "q1", 0.0);
        b.add("l1", What::RunLeft { run: run('d') });
        let open = b.store.open_run("l1").unwrap().unwrap();
        let questions: Vec<&str> = open.answers.iter().map(|g| g.question.as_str()).collect();
        assert_eq!((open.run, questions), (run('a'), vec!["q1", "q2"]));
        b.add("l1", What::RunFinished { run: run('a'), points: 1.0, max_points: 2.0 });
        assert_eq!(b.store.open_run("l1").unwrap().unwrap().run, run('c'));
        assert_eq!(b.store.open_run("nobody").unwrap(), None);
    }

    #[test]
    fn finished_runs_misses_and_counts() {
        let mut b = Book::new();
        b.answer("l1", &run('a'), "q1", 1.0);
        b.answer("l1", &run('a'), "q2", 0.5);
        // A second answer to a question, as after a failed write, does not count.
        b.answer("l1", &run('a'), "q2", 1.0);
        b.add("l1", What::RunFinished { run: run('a'), points: 1.5, max_points: 2.0 });
        b.add("l1", What::RunFinished { run: run('b'), points: 0.0, max_points: 0.0 });
        let runs = b.store.finished_runs("l1").unwrap();
        assert_eq!((runs[0].run.id.as_str(), runs[1].answers), (&*"b".repeat(32), 2));
        let misses = b.store.misses(&run('a').id).unwrap();
        assert_eq!((misses.len(), misses[0].given.question.as_str()), (1, "q2"));
        let tally = b.store.tally("l1").unwrap();
        let separator = tally.iter().find(|t| t.id == "separator").unwrap();
        assert_eq!((separator.asked, separator.right, separator.points), (2, 1, 1.5));
    }

    #[test]
    fn flags_are_listed_for_the_instructor() {
        let mut b = Book::new();
        let note = "Both fit.".to_owned();
        b.add("l1", What::Flagged { run: run('a'), question: "q1".into(), note });
        let flags = b.store.flags().unwrap();
        assert_eq!((flags[0].question.as_str(), flags[0].note.as_str()), ("q1", "Both fit."));
    }

    #[test]
    fn an_answer_that_cannot_be_read_is_reported_with_its_event() {
        let mut b = Book::new();
        let mut record = Record {
            id: "f".repeat(32),
            at_ms: 1,
            learner: "l1".into(),
            what: What::RunStarted { run: run('a') },
        };
        record.what = What::Answered {
            run: run('a'),
            question: "q1".into(),
            answer: "?".into(),
            points: 0.0,
            max_points: 1.0,
            confidence: None,
            hinted: false,
            elapsed_ms: 0,
            subjects: Vec::new(),
        };
        b.store.append(&record).unwrap();
        b.next += 1;
        let error = b.store.answers(&run('a').id).unwrap_err();
        assert!(matches!(error, StoreError::Damaged { .. }), "{error}");
    }
}
