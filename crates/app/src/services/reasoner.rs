//! One thread reasons about the open case; only the newest question is answered.

use super::News;
use jarlight_model::{
    catalogue::Catalogue,
    diag::{Diagnostic, Source},
};
use jarlight_rules::{
    Case, Cell, Evidence, Network, Posterior, Weight,
    explain::{Explanation, Question, explain, reason},
    infer,
};
use std::sync::{
    Arc,
    mpsc::{Receiver, Sender, channel},
};

/// A case to reason about, as the text of its file: what is answered here is what
/// `jarlight explain` says of the file.
#[derive(Debug)]
pub struct Job {
    /// Comes back with the answer.
    pub ticket: u64,
    /// What is known.
    pub catalogue: Arc<Catalogue>,
    /// The case.
    pub text: String,
}

/// What the rules say of a case.
#[derive(Debug)]
pub struct Answer {
    /// The question it belongs to.
    pub ticket: u64,
    /// The network of the cell.
    pub network: Network,
    /// What was looked at.
    pub evidence: Evidence,
    /// Probabilities of causes and ages.
    pub posterior: Posterior,
    /// Weights and sentences; they come a moment later.
    pub told: Option<Told>,
}

/// What takes longer to work out than a ranking.
#[derive(Debug)]
pub struct Told {
    /// The weight of every finding for every cause.
    pub weights: Vec<Weight>,
    /// Sentences.
    pub explanation: Explanation,
}

/// How a question was answered.
#[derive(Debug)]
pub enum Reasoned {
    /// An answer; the same ticket may come twice, the second time with everything told.
    Answer(Arc<Answer>),
    /// No answer, and why.
    Refused(u64, Refusal),
}

/// Why there is no answer.
#[derive(Clone, Debug, PartialEq)]
pub enum Refusal {
    /// What the exact method says.
    Method(String),
    /// What is wrong with the case.
    Case(Vec<Diagnostic>),
}

/// The window's end of the thread.
pub struct Client {
    jobs: Sender<Job>,
}

impl Client {
    /// Starts the thread; it ends with this end of it.
    pub fn start(news: Sender<News>, wake: impl Fn() + Send + 'static) -> Self {
        let (jobs, inbox) = channel();
        std::thread::spawn(move || serve(&inbox, &news, wake));
        Self { jobs }
    }

    /// Asks; earlier questions that were not answered yet are dropped.
    pub fn ask(&self, job: Job) {
        // The thread ends only when this sender is dropped.
        self.jobs.send(job).ok();
    }
}

fn serve(inbox: &Receiver<Job>, news: &Sender<News>, wake: impl Fn()) {
    let mut next = inbox.recv().ok();
    while let Some(job) = next.take() {
        let job = inbox.try_iter().last().unwrap_or(job);
        let tell = |reasoned| {
            // Nobody listens any more when the window is closing.
            news.send(News::Reasoned(reasoned)).ok();
            wake();
        };
        match ranked(&job) {
            Err(why) => tell(Reasoned::Refused(job.ticket, why)),
            Ok((case, answer)) => {
                let answer = Arc::new(answer);
                tell(Reasoned::Answer(answer.clone()));
                next = inbox.try_iter().last();
                if next.is_none() {
                    tell(told(&job, &case, &answer));
                }
            }
        }
        if next.is_none() {
            next = inbox.recv().ok();
        }
    }
}

fn ranked(job: &Job) -> Result<(Case, Answer), Refusal> {
    let source = Source::new("case", &job.text);
    let (case, _) = Case::read(&source).into_result().map_err(Refusal::Case)?;
    let cell = Cell::from_case(&case, &job.catalogue).map_err(Refusal::Case)?;
    let network = Network::from_catalogue(&job.catalogue, &cell)
        .map_err(|e| Refusal::Method(e.to_string()))?;
    let evidence = case.evidence(&network).map_err(Refusal::Case)?;
    let posterior = infer(&network, &evidence).map_err(|e| Refusal::Method(e.to_string()))?;
    Ok((case, Answer { ticket: job.ticket, network, evidence, posterior, told: None }))
}

fn told(job: &Job, case: &Case, answer: &Answer) -> Reasoned {
    let Answer { network, evidence, .. } = answer;
    let question = Question {
        network,
        evidence,
        catalogue: Some(&job.catalogue),
        names: None,
        age_months: case.age_months,
    };
    let told = reason(network, evidence).and_then(|numbers| {
        let explanation = explain(&question, &numbers)?;
        Ok((numbers, explanation))
    });
    match told {
        Ok((numbers, explanation)) => Reasoned::Answer(Arc::new(Answer {
            ticket: job.ticket,
            network: network.clone(),
            evidence: evidence.clone(),
            posterior: numbers.posterior,
            told: Some(Told { weights: numbers.weights, explanation }),
        })),
        Err(e) => Reasoned::Refused(job.ticket, Refusal::Method(e.to_string())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::Duration;

    fn ask(findings: &str) -> Vec<Reasoned> {
        let (news, inbox) = channel();
        let client = Client::start(news, || ());
        let catalogue = Arc::new(Catalogue::builtin().clone());
        let text = format!(
            "Case(format: 1, design: \"medium_pasted\", age_months: 108, findings: {findings})"
        );
        // Many questions at once: only the last one has to be answered.
        for ticket in 0..20 {
            client.ask(Job { ticket, catalogue: catalogue.clone(), text: text.clone() });
        }
        let mut all = Vec::new();
        while let Ok(News::Reasoned(met)) = inbox.recv_timeout(Duration::from_secs(60)) {
            let done = match &met {
                Reasoned::Answer(a) => a.ticket == 19 && a.told.is_some(),
                Reasoned::Refused(ticket, _) => *ticket == 19,
            };
            all.push(met);
            if done {
                break;
            }
        }
        all
    }

    #[test]
    fn the_newest_question_is_ranked_first_and_told_afterwards() {
        let all = ask("{\"sediment_light\": 3}");
        let told = all.iter().filter(|r| matches!(r, Reasoned::Answer(a) if a.told.is_some()));
        assert!(told.count() <= 2, "dropped questions were worked out");
        let [.., Reasoned::Answer(ranked), Reasoned::Answer(last)] = &all[..] else {
            panic!("{all:?}");
        };
        assert_eq!((ranked.ticket, ranked.told.is_none()), (19, true));
        assert_eq!(ranked.posterior, last.posterior);
        assert!(last.told.as_ref().is_some_and(|t| !t.explanation.causes.is_empty()));
    }

    #[test]
    fn what_cannot_be_answered_is_refused_with_its_reason() {
        let all = ask("{\"sediment_lihgt\": 3}");
        assert!(
            matches!(all.last(), Some(Reasoned::Refused(19, Refusal::Case(d))) if d.len() == 1)
        );
    }
}
