//! Telling abnormal from normal.

use jarlight_measure::detection::*;
use jarlight_measure::normal;
use jarlight_measure::proportion::exactly;
use jarlight_measure::ratings::{Ratings, Spread};

use super::{hold, row, six};

fn outcomes(hits: u32, misses: u32, false_alarms: u32, correct_rejections: u32) -> Outcomes {
    Outcomes { hits, misses, false_alarms, correct_rejections }
}

const NONE: f64 = f64::NAN;

/// Outcomes; corrected or not; hit rate, false-alarm rate, d′, criterion, β, A′, A, SE of d′, its
/// interval. Input 20, 5, 10, 15 is the remembered example of Stanislaw and Todorov 1999; input
/// 8, 17, 1, 24 was read in the manual of sensR.
const CASES: [([u32; 4], Correction, [f64; 10]); 7] = [
    (
        [20, 5, 10, 15],
        Correction::None,
        [0.8, 0.4, 1.094968, -0.294137, 0.724647, 0.791667, 0.770000, 0.382063, 0.346139, 1.843798],
    ),
    (
        [20, 5, 10, 15],
        Correction::LogLinear,
        [
            0.788462, 0.403846, 1.044499, -0.278845, 0.747326, 0.783242, 0.760725, 0.371896,
            0.315595, 1.773402,
        ],
    ),
    (
        [8, 17, 1, 24],
        Correction::None,
        [
            0.32, 0.04, 1.282987, 1.109192, 4.149881, 0.791667, 0.788750, 0.524313, 0.255353,
            2.310621,
        ],
    ),
    (
        [8, 17, 1, 24],
        Correction::LogLinear,
        [
            0.326923, 0.057692, 1.126019, 1.011435, 3.123318, 0.777311, 0.773190, 0.470876,
            0.203120, 2.048919,
        ],
    ),
    (
        [10, 0, 0, 10],
        Correction::LogLinear,
        [0.954545, 0.045455, 3.381243, 0.0, 1.0, 0.976190, 0.975207, 0.929493, 1.559470, 5.203016],
    ),
    (
        [20, 0, 0, 40],
        Correction::LogLinear,
        [
            0.976190, 0.012195, 4.231678, 0.135087, 1.771175, 0.990851, 0.990708, 0.802841,
            2.658140, 5.805217,
        ],
    ),
    (
        [0, 10, 0, 10],
        Correction::LogLinear,
        [0.045455, 0.045455, 0.0, 1.690622, 1.0, 0.5, 0.5, NONE, NONE, NONE],
    ),
];

#[test]
fn sensitivity_and_criterion() {
    let mut rows = Vec::new();
    for ([h, m, f, c], correction, stated) in CASES {
        let met = outcomes(h, m, f, c).detection(correction).unwrap();
        let (hr, fr) = (met.hit_rate, met.false_alarm_rate);
        let met = [
            hr,
            fr,
            met.sensitivity.value,
            met.criterion,
            met.beta,
            a_prime(hr, fr).unwrap(),
            a_mean(hr, fr).unwrap(),
            met.sensitivity_se,
            met.sensitivity.low,
            met.sensitivity.high,
        ];
        let names = ["H", "F", "d'", "c", "beta", "A'", "A", "SE", "from", "to"];
        for ((name, met), stated) in names.iter().zip(met).zip(stated) {
            if !stated.is_nan() {
                rows.push(six(format!("{h} {m} {f} {c} {correction:?} {name}"), met, stated));
            }
        }
    }
    hold("numpy 2.4.6 and scipy 1.17.1", &rows);
}

#[test]
fn sensitivity_of_a_published_manual() {
    let met = outcomes(82, 18, 46, 54).detection(Correction::LogLinear).unwrap();
    let threshold = -normal::quantile(met.false_alarm_rate).unwrap();
    let rows = [
        six("H", met.hit_rate, 0.8168317),
        six("F", met.false_alarm_rate, 0.4603960),
        six("d'", met.sensitivity.value, 1.002793),
        six("bias", met.criterion, -0.401960),
        six("beta", met.beta, 0.668257),
        six("threshold", threshold, 0.09943603),
    ];
    hold("manual of statpsych, signal", &rows);
}

#[test]
fn sensitivity_of_four_in_five_against_one_in_ten() {
    let met = outcomes(8, 2, 1, 9).detection(Correction::None).unwrap();
    hold("textbook example", &[row("d'", met.sensitivity.value, 2.1232, 5e-5)]);
}

#[test]
fn rates_are_not_averaged_before_sensitivity() {
    let d = |h: f64, f: f64| normal::quantile(h).unwrap() - normal::quantile(f).unwrap();
    let observers = [(0.70, 0.10), (0.50, 0.40), (0.85, 0.05)];
    let mean = observers.iter().map(|(h, f)| d(*h, *f)).sum::<f64>() / 3.0;
    let pooled = d((0.70 + 0.50 + 0.85) / 3.0, (0.10 + 0.40 + 0.05) / 3.0);
    let rows = [
        row("first", d(0.70, 0.10), 1.806, 5e-4),
        row("second", d(0.50, 0.40), 0.253, 5e-4),
        row("third", d(0.85, 0.05), 2.681, 5e-4),
        row("mean", mean, 1.580, 5e-4),
        row("of the mean rates", pooled, 1.380, 5e-4),
    ];
    hold("a university's notes on signal detection", &rows);
}

#[test]
fn small_blocks_cannot_tell_much() {
    let (hit, alarm) = (normal::below(1.0), normal::below(-1.0));
    let mut rows = Vec::new();
    for (n, mean, sd) in
        [(10, 1.917, 0.609), (20, 1.974, 0.478), (50, 1.990, 0.304), (100, 1.995, 0.214)]
    {
        let (mut first, mut second) = (0.0, 0.0);
        for h in 0..=n {
            for f in 0..=n {
                let p = exactly(h, n, hit) * exactly(f, n, alarm);
                let d = outcomes(h, n - h, f, n - f).detection(Correction::LogLinear).unwrap();
                first += p * d.sensitivity.value;
                second += p * d.sensitivity.value * d.sensitivity.value;
            }
        }
        rows.push(row(format!("{n} mean"), first, mean, 6e-4));
        rows.push(row(format!("{n} spread"), (second - first * first).sqrt(), sd, 6e-4));
    }
    let inner = |share| 1.0 - exactly(0, 10, share) - exactly(10, 10, share);
    rows.push(row("a rate of 0 or 1 in ten", 1.0 - inner(hit) * inner(alarm), 0.324, 5e-4));
    hold("numpy 2.4.6, all outcomes enumerated", &rows);
}

/// Choices; share right at d′ 1 and 2; d′ at a share right of 0.75.
const CHOICES: [(u32, f64, f64, f64); 5] = [
    (2, 0.760250, 0.921350, 0.953873),
    (3, 0.633702, 0.865767, 1.433831),
    (4, 0.552031, 0.822793, 1.682195),
    (5, 0.493699, 0.787839, 1.846278),
    (8, 0.385481, 0.710998, 2.140731),
];

#[test]
fn choices_among_several() {
    let mut rows = Vec::new();
    for (m, one, two, inverse) in CHOICES {
        rows.push(six(format!("{m} at 1"), share_right(1.0, m).unwrap(), one));
        rows.push(six(format!("{m} at 2"), share_right(2.0, m).unwrap(), two));
        rows.push(six(format!("{m} for 0.75"), from_share_right(0.75, m).unwrap(), inverse));
    }
    for (share, stated) in [(0.5, 0.836775), (0.9, 2.451569), (0.25, 0.0), (20.0 / 24.0, 2.052387)]
    {
        rows.push(six(format!("4 for {share}"), from_share_right(share, 4).unwrap(), stated));
    }
    let by_root = core::f64::consts::SQRT_2 * normal::quantile(0.75).unwrap();
    rows.push(six("2 by the normal quantile", from_share_right(0.75, 2).unwrap(), by_root));
    hold("scipy 1.17.1 quad and brentq", &rows);
}

fn odor() -> Ratings {
    Ratings { signal: vec![112, 112, 72, 53, 22, 4], blank: vec![7, 38, 50, 117, 101, 62] }
}

#[test]
fn confidence_ratings() {
    let ratings = odor();
    let cuts = ratings.cuts().unwrap();
    let hits = [-0.528239, 0.246451, 0.804110, 1.480775, 2.302033];
    let alarms = [-2.082100, -1.174987, -0.664037, 0.164505, 0.972772];
    let apart = [1.553861, 1.421438, 1.468147, 1.316269, 1.329261];
    let mut rows = vec![six("area", ratings.area().unwrap(), 0.831961)];
    assert_eq!(cuts.len(), 5);
    for (i, cut) in cuts.iter().enumerate() {
        rows.push(six(format!("zH {i}"), cut.z_hit, hits[i]));
        rows.push(six(format!("zF {i}"), cut.z_false_alarm, alarms[i]));
        rows.push(six(format!("d' {i}"), cut.sensitivity(), apart[i]));
    }
    hold("counts of Macmillan and Creelman 2005 in the manual of sensR; scipy 1.17.1", &rows);
}

#[test]
fn normal_models_of_confidence() {
    let free = odor().fit(Spread::Free).unwrap();
    let equal = odor().fit(Spread::Equal).unwrap();
    let ratio = 2.0 * (free.log_likelihood - equal.log_likelihood);
    let rows = [
        row("mean", free.mean, 1.48344, 1e-3),
        row("spread", free.spread, 1.08259, 1e-3),
        row("slope", free.slope(), 0.92371, 1e-3),
        row("distance", free.distance(), 1.42349, 1e-3),
        row("area", free.area(), 0.84293, 1e-3),
        row("-log likelihood", -free.log_likelihood, 1170.58947, 1e-3),
        row("equal spread", equal.mean, 1.42249, 1e-3),
        row("likelihood ratio", ratio, 1.08577, 1e-3),
    ];
    hold("scipy 1.17.1, greatest likelihood", &rows);
    assert_eq!(equal.spread, 1.0);
}

#[test]
fn the_cheapest_criterion_and_the_area_of_equal_spread() {
    // At one abnormal picture in ten and misses nine times as dear the prices cancel.
    let even = best_criterion(2.0, 0.1, 1.0, 9.0).unwrap();
    let rows = [
        row("even", even, 0.0, 1e-12),
        row("rare", best_criterion(2.0, 0.1, 1.0, 1.0).unwrap(), 9.0_f64.ln() / 2.0, 1e-12),
        six("area at 1, the share right of two", area(1.0), 0.760250),
    ];
    hold("arithmetic", &rows);
}
