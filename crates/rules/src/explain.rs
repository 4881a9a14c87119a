//! A result in plain sentences: causes, ages, what speaks for and against, what to do next.

use crate::{
    evidence::{Evidence, Seen},
    infer::{Began, InferError, Posterior, infer},
    look::{MAX_OPEN, NextLooks, joint_presence, next_looks},
    network::Network,
    order,
    weigh::{Weight, weights},
    wording,
};
use jarlight_model::catalogue::{Catalogue, Urgency};
use std::collections::BTreeMap;

/// Causes under this probability are not listed.
const LISTED: f64 = 0.05;
/// At most so many causes are listed.
const MAX_LISTED: usize = 6;
/// From this probability on a cause counts for urgency and action.
const CREDIBLE: f64 = 0.20;
/// Weights under this many decibans are not worth a sentence.
const WORTH_SAYING: f64 = 0.5;
/// Looks that tell less than this many bits are not proposed.
const WORTH_LOOKING: f64 = 0.01;
/// At most so many looks are proposed.
const MAX_LOOKS: usize = 5;
/// Causes compete when one lowers the other by at least this much.
const COMPETES: f64 = 0.10;
/// At most so many pairs of competing causes are told.
const MAX_COMPETING: usize = 3;
/// Findings conflict when they are this much rarer together than if nothing tied them.
const CONFLICT: f64 = 4.0;

/// What is asked: a network, what was looked at, and where the words come from.
#[derive(Clone, Copy)]
pub struct Question<'a> {
    /// The network.
    pub network: &'a Network,
    /// What was looked at.
    pub evidence: &'a Evidence,
    /// The catalogue whose network this is; `None` for the network of a rules file.
    pub catalogue: Option<&'a Catalogue>,
    /// Names that a rules file gives.
    pub names: Option<&'a BTreeMap<String, String>>,
    /// Age of the cell in months, where known.
    pub age_months: Option<f64>,
}

/// All numbers that an explanation is made from.
#[derive(Clone, Debug)]
pub struct Reasoned {
    /// Probabilities of causes and ages.
    pub posterior: Posterior,
    /// Weight of every finding for every cause.
    pub weights: Vec<Weight>,
    /// Looks that would tell most.
    pub next: NextLooks,
    /// Natural log of how much rarer the findings are together than if nothing tied them.
    ///
    /// # Source
    /// The measure of conflict of Jensen, Chamberlain, Nordahl and Jensen 1991.
    pub conflict: f64,
}

/// Computes all numbers at once; [`infer`] alone is much quicker.
pub fn reason(network: &Network, evidence: &Evidence) -> Result<Reasoned, InferError> {
    let posterior = infer(network, evidence)?;
    let weights = weights(network, evidence, &posterior)?;
    let next = next_looks(network, evidence, &posterior)?;
    let mut conflict = -posterior.log_evidence;
    for (finding, seen) in evidence.iter() {
        let alone = Evidence::new().with(finding, seen.clone());
        conflict += infer(network, &alone)?.log_evidence;
    }
    Ok(Reasoned { posterior, weights, next, conflict })
}

/// One finding's pull on one cause.
#[derive(Clone, Debug, PartialEq)]
pub struct Pull {
    /// Index of the finding.
    pub finding: usize,
    /// Decibans; under 0 speaks against.
    pub decibans: f64,
    /// The same as a sentence.
    pub sentence: String,
}

/// One cause, explained.
#[derive(Clone, Debug, PartialEq)]
pub struct CauseText {
    /// Index of the cause.
    pub mechanism: usize,
    /// Its name.
    pub name: String,
    /// Probability of presence.
    pub probability: f64,
    /// How likely it is, as a sentence.
    pub sentence: String,
    /// When it began, given presence.
    pub began: Option<Began>,
    /// The same as a sentence.
    pub age: String,
    /// What speaks for it, strongest first.
    pub speaks_for: Vec<Pull>,
    /// What speaks against it, strongest first.
    pub against: Vec<Pull>,
    /// What is done about it in general; empty when unknown.
    pub action: String,
    /// What could hurt someone; empty when unknown.
    pub caution: String,
}

/// A proposed look.
#[derive(Clone, Debug, PartialEq)]
pub struct LookText {
    /// Index of the finding.
    pub finding: usize,
    /// Expected bits.
    pub bits: f64,
    /// True when only authorised staff may take it.
    pub staff: bool,
    /// The proposal.
    pub sentence: String,
}

/// The whole explanation.
#[derive(Clone, Debug, PartialEq)]
pub struct Explanation {
    /// Causes, likeliest first; at least one.
    pub causes: Vec<CauseText>,
    /// How causes compete for the same signs.
    pub competing: Vec<String>,
    /// What was looked for and is not there, and how much that matters.
    pub clean: Vec<String>,
    /// How often a cell of this kind would show exactly this.
    pub surprise: String,
    /// What contradicts itself or needs care before anything else.
    pub warnings: Vec<String>,
    /// Looks by expected bits per effort.
    pub next: Vec<LookText>,
    /// Open causes that the looks do not consider.
    pub left_out: Option<String>,
    /// The most urgent level of a credible cause or finding; `None` without a catalogue.
    pub urgency: Option<Urgency>,
    /// The same as a sentence.
    pub urgency_sentence: String,
    /// General actions of credible causes and found conditions.
    pub actions: Vec<String>,
    /// Cautions of the same.
    pub cautions: Vec<String>,
    /// Who decides.
    pub closing: &'static str,
}

/// Puts the numbers into sentences.
pub fn explain(question: &Question<'_>, reasoned: &Reasoned) -> Result<Explanation, InferError> {
    Writer { q: *question, r: reasoned }.write()
}

struct Writer<'a> {
    q: Question<'a>,
    r: &'a Reasoned,
}

impl Writer<'_> {
    fn write(&self) -> Result<Explanation, InferError> {
        let ranked = self.ranked();
        // A cause that the findings do not move says nothing about them; the first stays.
        let moved = |(place, cause): &(usize, CauseText)| {
            *place == 0 || !cause.speaks_for.is_empty() || !cause.against.is_empty()
        };
        let causes: Vec<CauseText> = ranked
            .iter()
            .map(|&i| self.cause(i))
            .enumerate()
            .filter(moved)
            .map(|(_, cause)| cause)
            .take(MAX_LISTED)
            .collect();
        let (urgency, urgency_sentence) = match self.urgency() {
            Some((u, because)) => (Some(u), wording::urgency(u, &because)),
            None => (None, String::new()),
        };
        let (actions, cautions) = self.actions(&causes);
        Ok(Explanation {
            competing: self.competing(&ranked)?,
            clean: self.clean(),
            surprise: wording::surprise(self.r.posterior.log_evidence),
            warnings: self.warnings(),
            next: self.looks(urgency),
            left_out: (self.r.next.left_out > 0).then(|| wording::left_out(self.r.next.left_out)),
            causes,
            urgency,
            urgency_sentence,
            actions,
            cautions,
            closing: wording::CLOSING,
        })
    }

    fn name(&self, id: &str) -> String {
        let own = self.q.names.and_then(|n| n.get(id)).cloned();
        own.or_else(|| self.q.catalogue.map(|c| c.name_of(id)))
            .unwrap_or_else(|| wording::upper(&id.replace('_', " ")))
    }

    fn finding_name(&self, finding: usize) -> String {
        self.name(&self.q.network.findings()[finding].id)
    }

    fn cause_name(&self, mechanism: usize) -> String {
        self.name(&self.q.network.mechanisms()[mechanism].id)
    }

    fn entry(&self, mechanism: usize) -> Option<&jarlight_model::catalogue::Mechanism> {
        self.q.catalogue?.mechanism(&self.q.network.mechanisms()[mechanism].id)
    }

    /// Causes worth listing, likeliest first; the likeliest one always.
    fn ranked(&self) -> Vec<usize> {
        let p = |i: usize| self.r.posterior.present(i);
        let mut all: Vec<usize> = (0..self.q.network.mechanisms().len()).collect();
        all.sort_by(|&a, &b| p(b).total_cmp(&p(a)).then(a.cmp(&b)));
        let n = all.iter().filter(|&&i| p(i) >= LISTED).count().max(1);
        all.truncate(n);
        all
    }

    fn cause(&self, mechanism: usize) -> CauseText {
        let network = self.q.network;
        let probability = self.r.posterior.present(mechanism);
        let name = self.cause_name(mechanism);
        let entry = self.entry(mechanism);
        let began = self.r.posterior.began(network, mechanism);
        let age = match &began {
            None => String::new(),
            Some(_) if network.mechanisms()[mechanism].since_installation => {
                wording::since_installation(self.q.age_months)
            }
            Some(began) => wording::began(began),
        };
        let mut pulls: Vec<Pull> = self
            .r
            .weights
            .iter()
            .filter(|w| w.mechanism == mechanism)
            .filter_map(|w| Some((w.finding, w.decibans?)))
            .filter(|(_, d)| d.abs() >= WORTH_SAYING)
            .map(|(finding, decibans)| self.pull(mechanism, finding, decibans))
            .collect();
        pulls.sort_by(|a, b| b.decibans.abs().total_cmp(&a.decibans.abs()));
        let (speaks_for, against) = pulls.into_iter().partition(|p| p.decibans > 0.0);
        CauseText {
            mechanism,
            sentence: wording::cause(&name, entry.map(|e| e.plain.as_str()), probability),
            name,
            probability,
            began,
            age,
            speaks_for,
            against,
            action: entry.map_or(String::new(), |e| e.action.text.clone()),
            caution: entry.map_or(String::new(), |e| e.caution.text.clone()),
        }
    }

    fn pull(&self, mechanism: usize, finding: usize, decibans: f64) -> Pull {
        let entry = &self.q.network.findings()[finding];
        let top = entry.leak.len() - 1;
        let (there, words) = match self.q.evidence.get(finding) {
            Some(Seen::Between { low, high }) => {
                (*low > 0, wording::grade(*low, *high, top, entry.reading))
            }
            _ => (true, wording::perhaps()),
        };
        let head = wording::seen(&self.finding_name(finding), &words);
        let own = self.q.network.causes(finding).any(|c| c == mechanism);
        let sentence = if there && own && decibans < 0.0 {
            wording::pull_elsewhere(&head, decibans)
        } else {
            wording::pull(&head, decibans)
        };
        Pull { finding, decibans, sentence }
    }

    /// Explaining away, from the joint distribution of the leading causes.
    fn competing(&self, ranked: &[usize]) -> Result<Vec<String>, InferError> {
        let leading = &ranked[..ranked.len().min(MAX_OPEN)];
        let joint = joint_presence(self.q.network, self.q.evidence, leading)?;
        let chance = |wanted: usize, there: usize, bits: usize| {
            let sum = |both: bool| -> f64 {
                let counted = joint
                    .iter()
                    .enumerate()
                    .filter(|(x, _)| x & there == bits && (!both || x & wanted != 0));
                counted.map(|(_, p)| p).sum()
            };
            let base = sum(false);
            (base > 1e-6).then(|| sum(true) / base)
        };
        let mut found: Vec<(f64, String)> = Vec::new();
        for (a, &first) in leading.iter().enumerate() {
            for (b, &second) in leading.iter().enumerate().skip(a + 1) {
                let shared = self.q.evidence.iter().any(|(f, seen)| {
                    let there = !matches!(seen, Seen::Between { low: 0, .. });
                    let has = |i: usize| self.q.network.causes(f).any(|c| c == i);
                    there && has(first) && has(second)
                });
                let (with, without) = (chance(1 << b, 1 << a, 1 << a), chance(1 << b, 1 << a, 0));
                if let (true, Some(with), Some(without)) = (shared, with, without)
                    && without - with >= COMPETES
                {
                    let (first, second) = (self.cause_name(first), self.cause_name(second));
                    let text = wording::explains_away(&first, &second, with, without);
                    found.push((without - with, text));
                }
            }
        }
        found.sort_by(|a, b| b.0.total_cmp(&a.0));
        Ok(found.into_iter().take(MAX_COMPETING).map(|(_, text)| text).collect())
    }

    /// What was looked for and is not there, with the cause it counts most against.
    fn clean(&self) -> Vec<String> {
        let absent = self
            .q
            .evidence
            .iter()
            .filter(|(_, seen)| matches!(seen, Seen::Between { high: 0, .. }));
        absent
            .map(|(finding, _)| {
                let most = self
                    .r
                    .weights
                    .iter()
                    .filter(|w| w.finding == finding)
                    .filter_map(|w| Some((w.mechanism, w.decibans?)))
                    .filter(|(_, d)| *d <= -WORTH_SAYING)
                    .min_by(|a, b| a.1.total_cmp(&b.1));
                let most = most.map(|(i, d)| (self.cause_name(i), d));
                let name = self.finding_name(finding);
                wording::clean(&name, most.as_ref().map(|(n, d)| (n.as_str(), *d)))
            })
            .collect()
    }

    fn warnings(&self) -> Vec<String> {
        let (network, evidence) = (self.q.network, self.q.evidence);
        let conflict = self.r.conflict >= libm::log(CONFLICT);
        let mut out: Vec<String> = conflict.then(wording::conflict).into_iter().collect();
        if self.q.catalogue.is_some() {
            let contact = self.contact();
            let open = SHORT_READINGS
                .iter()
                .all(|id| network.finding_idx(id).is_none_or(|f| evidence.get(f).is_none()));
            if open && !contact.is_empty() {
                out.extend(contact.iter().map(|&f| wording::contact(&self.finding_name(f))));
                out.push(wording::short_open());
            }
            for (later, earlier) in order::missing_signs(network, evidence) {
                let (later, earlier) = (self.finding_name(later), self.finding_name(earlier));
                out.push(wording::order_of_signs(&later, &earlier));
            }
        }
        for (parent, child) in order::late_parents(network, &self.r.posterior) {
            let (parent, child) = (self.cause_name(parent), self.cause_name(child));
            out.push(wording::order_of_causes(&parent, &child));
        }
        out
    }

    /// Findings whose grade means that positive and negative touch.
    fn contact(&self) -> Vec<usize> {
        let touching = |(id, grade): &(&str, usize)| {
            let f = self.q.network.finding_idx(id)?;
            match self.q.evidence.get(f) {
                Some(Seen::Between { low, .. }) if low >= grade => Some(f),
                _ => None,
            }
        };
        CONTACT.iter().filter_map(touching).collect()
    }

    fn looks(&self, urgency: Option<Urgency>) -> Vec<LookText> {
        let findings = self.q.network.findings();
        let mut looks: Vec<_> =
            self.r.next.looks.iter().filter(|l| l.bits >= WORTH_LOOKING).collect();
        let per_effort = |finding: usize, bits: f64| bits / findings[finding].effort;
        looks.sort_by(|a, b| {
            per_effort(b.finding, b.bits)
                .total_cmp(&per_effort(a.finding, a.bits))
                .then(a.finding.cmp(&b.finding))
        });
        looks
            .into_iter()
            // Nobody is sent back to the cell for a look while it has to be kept clear of.
            .filter(|l| urgency != Some(Urgency::Halt) || findings[l.finding].staff)
            .take(MAX_LOOKS)
            .map(|l| {
                let finding = &findings[l.finding];
                let name = self.finding_name(l.finding);
                let ask = self.q.catalogue.and_then(|c| c.quantity(&finding.id));
                let ask = ask.map_or_else(|| wording::ask_staff_for(&name), |q| q.ask.clone());
                let sentence = if finding.staff {
                    wording::look_by_staff(&ask, l.bits)
                } else {
                    wording::look_yourself(&name, finding.effort >= 2.0, l.bits)
                };
                LookText { finding: l.finding, bits: l.bits, staff: finding.staff, sentence }
            })
            .collect()
    }

    /// Conditions that are there, with the grade that is at least sure.
    fn found(&self) -> Vec<(&jarlight_model::catalogue::Condition, u8)> {
        let Some(catalogue) = self.q.catalogue else { return Vec::new() };
        self.q
            .evidence
            .iter()
            .filter_map(|(f, seen)| {
                let Seen::Between { low, .. } = seen else { return None };
                let condition = catalogue.condition(&self.q.network.findings()[f].id)?;
                (*low > 0).then_some((condition, u8::try_from(*low).unwrap_or(5)))
            })
            .collect()
    }

    /// The worst credible level and what it comes from.
    fn urgency(&self) -> Option<(Urgency, String)> {
        self.q.catalogue?;
        let of_findings =
            self.found().into_iter().map(|(c, grade)| (c.urgency_at(grade), c.name.clone()));
        let of_causes = (0..self.q.network.mechanisms().len())
            .filter(|&i| self.r.posterior.present(i) >= CREDIBLE)
            .filter_map(|i| self.entry(i))
            .map(|m| (m.urgency, m.name.clone()));
        let of_contact =
            self.contact().into_iter().map(|f| (Urgency::Prompt, self.finding_name(f)));
        let all = of_findings.chain(of_contact).chain(of_causes);
        // The first of equals: what was seen goes before what is concluded.
        all.fold(None, |worst: Option<(Urgency, String)>, next| match worst {
            Some(w) if w.0 >= next.0 => Some(w),
            _ => Some(next),
        })
    }

    fn actions(&self, causes: &[CauseText]) -> (Vec<String>, Vec<String>) {
        let (mut actions, mut cautions): (Vec<String>, Vec<String>) = (Vec::new(), Vec::new());
        let add = |list: &mut Vec<String>, text: &str| {
            if !text.is_empty() && !list.iter().any(|t| t == text) {
                list.push(text.to_owned());
            }
        };
        for cause in causes.iter().filter(|c| c.probability >= CREDIBLE) {
            add(&mut actions, &cause.action);
            add(&mut cautions, &cause.caution);
        }
        for (condition, _) in self.found() {
            add(&mut actions, &condition.action.text);
            add(&mut cautions, &condition.caution.text);
        }
        (actions, cautions)
    }
}

/// Grades from which a finding is contact between positive and negative.
const CONTACT: [(&str, usize); 3] =
    [("moss_growth", 5), ("lead_tree_separator", 3), ("sediment_bridge", 4)];

/// Readings by which an internal short is judged.
const SHORT_READINGS: [&str; 3] = ["q_v_low_cell", "q_sg_low_cell", "q_t_high_cell"];

impl Explanation {
    /// The explanation as plain text, one statement a line.
    pub fn text(&self) -> String {
        let mut out = String::new();
        let mut line = |text: &str| {
            out.push_str(text);
            out.push('\n');
        };
        for w in &self.warnings {
            line(w);
        }
        line("Causes:");
        for cause in &self.causes {
            line(&format!("  {} {}", cause.sentence, cause.age));
            for pull in cause.speaks_for.iter().chain(&cause.against) {
                line(&format!("    {}", pull.sentence));
            }
        }
        for text in &self.competing {
            line(&format!("  {text}"));
        }
        let mut part = |head: &str, texts: Vec<&str>| {
            if !texts.is_empty() {
                line(head);
                texts.iter().for_each(|t| line(&format!("  {t}")));
            }
        };
        part("Looked for and not found:", self.clean.iter().map(String::as_str).collect());
        let next = self.next.iter().map(|l| l.sentence.as_str());
        part("What to look at next:", next.chain(self.left_out.as_deref()).collect());
        part("What is done in general:", self.actions.iter().map(String::as_str).collect());
        part("Caution:", self.cautions.iter().map(String::as_str).collect());
        if !self.urgency_sentence.is_empty() {
            line(&self.urgency_sentence);
        }
        line(&self.surprise);
        line(self.closing);
        out
    }
}
