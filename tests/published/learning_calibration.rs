//! Confidence, and ages given as intervals.

use jarlight_measure::calibration::*;
use jarlight_measure::interval::{Stated, fold_error, log_normal_score};

use super::{hold, six};

fn judgements() -> Vec<Judgement> {
    let groups: [(f64, &[u8]); 3] = [(0.9, &[1, 1, 1, 0]), (0.6, &[1, 0, 1, 1, 0]), (0.2, &[0])];
    groups
        .iter()
        .flat_map(|(confidence, outcomes)| {
            outcomes.iter().map(|o| Judgement { confidence: *confidence, right: *o == 1 })
        })
        .collect()
}

#[test]
fn brier_score_and_parts() {
    let judgements = judgements();
    let met = brier(&judgements).unwrap();
    let log = log_score(&judgements).unwrap();
    let rows = [
        six("score", met.score, 0.208),
        six("reliability", met.reliability, 0.013),
        six("resolution", met.resolution, 0.045),
        six("uncertainty", met.uncertainty, 0.24),
        six("skill", met.skill().unwrap(), 0.133333),
        six("log score", log, 0.620687),
        six("log score in bits", log / core::f64::consts::LN_2, 0.895462),
        six("mean gap", mean_gap(&judgements).unwrap(), 0.08),
        six("Spiegelhalter Z", mismatch_z(&judgements).unwrap(), 0.621059),
        six("options, truth 1", brier_of_options(&[0.6, 0.3, 0.1], 0).unwrap(), 0.26),
        six("options, truth 2", brier_of_options(&[0.6, 0.3, 0.1], 1).unwrap(), 0.86),
    ];
    hold("numpy 2.4.6; scikit-learn 1.9.1 agrees on Brier and log scores", &rows);
    let bins = bins(&judgements).unwrap();
    let counts: Vec<(f64, u32)> = bins.iter().map(|bin| (bin.confidence, bin.right.n)).collect();
    assert_eq!(counts, [(0.2, 1), (0.6, 5), (0.9, 4)]);
    assert_eq!(bins.iter().filter(|bin| bin.enough()).count(), 1);
}

#[test]
fn intervals_of_age() {
    let score = |low, high, miss, truth| Stated { low, high, miss }.score(truth).unwrap();
    let two_six = Stated { low: 2.0, high: 6.0, miss: 0.2 };
    let years = (0.25, 20.0);
    let rows = [
        six("inside", score(2.0, 6.0, 0.2, 4.0), 4.0),
        six("above", score(2.0, 6.0, 0.2, 8.0), 24.0),
        six("below", score(2.0, 6.0, 0.2, 1.0), 14.0),
        six("wide", score(0.0, 20.0, 0.2, 8.0), 20.0),
        six("narrow", score(3.0, 5.0, 0.2, 8.0), 32.0),
        six("90 %", score(2.0, 6.0, 0.1, 8.0), 44.0),
        six("log inside", two_six.log_score(4.0).unwrap(), 1.098612),
        six("log above", two_six.log_score(8.0).unwrap(), 3.975433),
        six("skill inside", two_six.skill(4.0, years).unwrap(), 0.749291),
        six("skill above", two_six.skill(8.0, years).unwrap(), 0.092787),
        six("fold error", fold_error(6.0, 4.0).unwrap(), 1.5),
    ];
    hold("numpy 2.4.6", &rows);
    assert!(two_six.holds(4.0) && !two_six.holds(8.0));
}

#[test]
fn ordered_classes_and_log_normal_ages() {
    let chances = [0.1, 0.6, 0.3];
    // Stated as sums over two steps: 0.10 and 0.50; per step they are half.
    let rows = [
        six("truth 2", ranked(&chances, 1).unwrap() * 2.0, 0.10),
        six("truth 3", ranked(&chances, 2).unwrap() * 2.0, 0.50),
        six("log-normal at 4", log_normal_score(4.0_f64.ln(), 0.5, 4.0).unwrap(), 0.483168),
        six("log-normal at 8", log_normal_score(4.0_f64.ln(), 0.5, 8.0).unwrap(), 2.591477),
    ];
    hold("numpy 2.4.6", &rows);
}
