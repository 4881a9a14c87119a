//! Stated probabilities and ages against how often they come true, over drawn cells.
//!
//! The first test draws cells from the model itself: what is stated must hold. The second draws
//! them from a world that the rules were not built from: the same growth laws, but one history
//! for the whole cell instead of scatter for each finding, events of any severity, and graders
//! who err. There the drift is printed, with the causes it is worst for.

use jarlight_model::{
    catalogue::{Catalogue, Growth, Mechanism},
    design::Alloy,
    rng::{Rng, child_seed},
};
use jarlight_rules::{CaseScope, Cell, Evidence, Network, Posterior, Seen, infer, sample};

/// Share of all findings that are looked at on one cell.
const LOOKED_AT: f64 = 0.2;

/// Cells to draw in each test.
const CELLS: usize = 20_000;

/// Kinds of cells that are drawn in turn.
fn kinds() -> Vec<Cell<'static>> {
    let mut kinds = Vec::new();
    for design in Catalogue::builtin().designs.values() {
        for (age, scope) in
            [(20.0, CaseScope::String), (70.0, CaseScope::Cell), (200.0, CaseScope::Unknown)]
        {
            let mut cell = Cell::of_design(design, age);
            cell.scope = scope;
            if age > 100.0 && cell.alloy == Alloy::LeadCalcium {
                cell.alloy = Alloy::LeadAntimony;
            }
            kinds.push(cell);
        }
    }
    kinds
}

/// What was stated and what came true.
#[derive(Default)]
struct Tally {
    ages: usize,
    ages_inside: usize,
    /// By decile: count, sum of stated probabilities, how often true.
    deciles: [(usize, f64, usize); 10],
    /// By cause: count, sum of stated probabilities, how often true.
    causes: Vec<(usize, f64, usize)>,
    brier: f64,
    brier_of_priors: f64,
}

impl Tally {
    fn add(
        &mut self,
        network: &Network,
        prior: &Posterior,
        posterior: &Posterior,
        onsets: &[Option<f64>],
    ) {
        self.causes.resize(onsets.len(), (0, 0.0, 0));
        for (i, onset) in onsets.iter().enumerate() {
            let (p, before) = (posterior.present(i), prior.present(i));
            if before == 0.0 {
                continue;
            }
            let here = onset.is_some();
            let hit = usize::from(here);
            let decile = &mut self.deciles[((p * 10.0) as usize).min(9)];
            *decile = (decile.0 + 1, decile.1 + p, decile.2 + hit);
            let cause = &mut self.causes[i];
            *cause = (cause.0 + 1, cause.1 + p, cause.2 + hit);
            let truth = if here { 1.0 } else { 0.0 };
            self.brier += (p - truth) * (p - truth);
            self.brier_of_priors += (before - truth) * (before - truth);
            if let (Some(months), Some(began)) = (onset, posterior.began(network, i)) {
                self.ages += 1;
                self.ages_inside += usize::from((began.p10..=began.p90).contains(months));
            }
        }
    }

    fn coverage(&self) -> f64 {
        self.ages_inside as f64 / self.ages as f64
    }

    fn report(&self, network: &Network) -> String {
        use std::fmt::Write as _;
        let mut out = String::new();
        let _ = writeln!(
            out,
            "80 % age intervals cover {:.1} % of {} ages",
            100.0 * self.coverage(),
            self.ages
        );
        let _ = writeln!(
            out,
            "Brier score {:.4} of the priors' {:.4}",
            self.brier, self.brier_of_priors
        );
        for (i, (n, stated, hits)) in self.deciles.iter().enumerate().filter(|(_, d)| d.0 > 0) {
            let n = *n as f64;
            let _ = writeln!(
                out,
                "{:>3} to {:>3} %: stated {:.3}, came true {:.3}, {n} times",
                10 * i,
                10 * (i + 1),
                stated / n,
                *hits as f64 / n
            );
        }
        let mut worst: Vec<(f64, usize)> = self
            .causes
            .iter()
            .enumerate()
            .filter(|(_, c)| c.0 > 0)
            .map(|(i, (n, stated, hits))| ((stated - *hits as f64) / *n as f64, i))
            .collect();
        worst.sort_by(|a, b| b.0.abs().total_cmp(&a.0.abs()));
        for (drift, i) in worst.iter().take(3) {
            let id = &network.mechanisms()[*i].id;
            let _ = writeln!(out, "{id}: stated minus true {drift:+.4}");
        }
        out
    }
}

#[test]
fn what_is_stated_holds_over_cells_of_the_model() {
    let kinds = kinds();
    let networks: Vec<Network> =
        kinds.iter().map(|c| Network::from_catalogue(Catalogue::builtin(), c).unwrap()).collect();
    let priors: Vec<Posterior> =
        networks.iter().map(|n| infer(n, &Evidence::new()).unwrap()).collect();
    let mut tally = Tally::default();
    for i in 0..CELLS {
        let k = i % networks.len();
        let network = &networks[k];
        let mut rng = Rng::new(child_seed(20_261_125, &format!("model/{i}")));
        let drawn = sample::draw(network, &mut rng);
        let mut evidence = Evidence::new();
        for (f, grade) in drawn.grades.iter().enumerate() {
            if rng.unit() < LOOKED_AT {
                evidence.set(f, Seen::grade(*grade));
            }
        }
        let posterior = infer(network, &evidence).unwrap();
        let onsets: Vec<Option<f64>> = drawn.onsets.iter().map(|o| o.map(|o| o.months)).collect();
        tally.add(network, &priors[k], &posterior, &onsets);
    }
    println!("{}", tally.report(&networks[0]));
    assert!((tally.coverage() - 0.80).abs() < 0.015, "{}", tally.report(&networks[0]));
    for (n, stated, hits) in tally.deciles.iter().filter(|d| d.0 >= 100) {
        let n = *n as f64;
        let (stated, came) = (stated / n, *hits as f64 / n);
        // Four standard errors of a count with this probability.
        let room = 4.0 * libm::sqrt(stated * (1.0 - stated) / n) + 1e-3;
        assert!((stated - came).abs() < room, "stated {stated:.3}, came true {came:.3} of {n}");
    }
}

/// One way a present cause shows a finding in the other world: a grade from 0 to 5.
fn shown(
    cause: &Mechanism,
    growth: Growth,
    too_soon: f64,
    months: f64,
    pace: f64,
    rng: &mut Rng,
) -> usize {
    let grade = |t0: f64, t5: f64, power: f64| {
        let t = months * pace;
        let s = ((t - t0) / (t5 - t0)).clamp(0.0, 1.0);
        (5.0 * libm::pow(s, power) + 0.5) as usize
    };
    let event = |rng: &mut Rng| {
        // An event leaves a mark of any grade, the middle ones most often.
        let u = rng.unit();
        if months < too_soon {
            0
        } else {
            [0.15, 0.40, 0.75, 0.90, 1.0].iter().position(|p| u < *p).map_or(5, |g| g + 1)
        }
    };
    match growth {
        Growth::Law { t0, .. } if cause.event && too_soon < t0 => event(rng),
        Growth::Law { t0, t5, power } => grade(t0, t5, power),
        Growth::Clock { typical } => grade(0.0, typical / 0.6, 1.0),
        Growth::Whole => {
            if months < too_soon {
                0
            } else {
                5
            }
        }
        Growth::Event | Growth::Steady => event(rng),
    }
}

/// A grader who is one off in one case of seven and sees a trace of nothing in one of fifty.
fn graded(truth: usize, top: usize, rng: &mut Rng) -> usize {
    let u = rng.unit();
    match truth {
        0 if u < 0.02 => 1.min(top),
        0 => 0,
        g if u < 0.07 => g - 1,
        g if u < 0.14 => (g + 1).min(top),
        g => g,
    }
}

#[test]
fn drift_over_a_world_that_the_rules_were_not_built_from() {
    let catalogue = Catalogue::builtin();
    let kinds = kinds();
    let networks: Vec<Network> =
        kinds.iter().map(|c| Network::from_catalogue(catalogue, c).unwrap()).collect();
    let priors: Vec<Posterior> =
        networks.iter().map(|n| infer(n, &Evidence::new()).unwrap()).collect();
    let mut tally = Tally::default();
    let mut refused = 0;
    for i in 0..CELLS {
        let k = i % networks.len();
        let network = &networks[k];
        let mut rng = Rng::new(child_seed(20_261_126, &format!("world/{i}")));
        let onsets: Vec<Option<f64>> =
            sample::draw(network, &mut rng).onsets.iter().map(|o| o.map(|o| o.months)).collect();
        // One history for the whole cell: everything on it ran this much faster or slower.
        let pace = libm::exp(rng.range(-0.9, 0.9));
        let mut evidence = Evidence::new();
        for (f, finding) in network.findings().iter().enumerate() {
            let top = finding.leak.len() - 1;
            let (growth, too_soon) = match catalogue.condition(&finding.id) {
                Some(c) => (c.growth, c.age.map_or(0.0, |a| a.too_soon)),
                None => {
                    let age = catalogue.quantity(&finding.id).and_then(|q| q.age);
                    (Growth::Whole, age.map_or(0.0, |a| a.too_soon))
                }
            };
            let stray = rng.unit();
            let mut worst = finding.leak.iter().position(|p| stray < *p).unwrap_or(top);
            for row in &finding.rows {
                let cause = &catalogue.mechanisms[row.mechanism];
                let w = cause.links.get(&finding.id).map_or(0.0, |l| l.probability());
                let ever = rng.unit() < w;
                if let (true, Some(months)) = (ever, onsets[row.mechanism]) {
                    let grade = shown(cause, growth, too_soon, months, pace, &mut rng);
                    worst = worst.max(if top == 1 { usize::from(grade >= 3) } else { grade });
                }
            }
            if rng.unit() < LOOKED_AT {
                let read = if finding.reading { worst } else { graded(worst, top, &mut rng) };
                evidence.set(f, finding.seen(read));
            }
        }
        match infer(network, &evidence) {
            Ok(posterior) => tally.add(network, &priors[k], &posterior, &onsets),
            Err(_) => refused += 1,
        }
    }
    println!("refused {refused} cells\n{}", tally.report(&networks[0]));
    // Foreign as the world is, what was seen must still tell more than the priors.
    assert!(tally.brier < 0.9 * tally.brier_of_priors, "{}", tally.report(&networks[0]));
    assert!(refused * 200 < CELLS, "{refused} cells refused");
}
