//! Questions: difficulty, discrimination, reliability.

use jarlight_measure::items::*;

use super::{Row, hold, row, six};

/// Counts by pattern 00000, 00001 … 11111 of the two data sets.
const LSAT: [[u32; 2]; 32] = [
    [3, 12],
    [6, 19],
    [2, 1],
    [11, 7],
    [1, 3],
    [1, 19],
    [3, 3],
    [4, 17],
    [1, 10],
    [8, 5],
    [0, 3],
    [16, 7],
    [0, 7],
    [3, 23],
    [2, 8],
    [15, 28],
    [10, 7],
    [29, 39],
    [14, 11],
    [81, 34],
    [3, 14],
    [28, 51],
    [15, 15],
    [80, 90],
    [16, 6],
    [56, 25],
    [21, 7],
    [173, 35],
    [11, 18],
    [61, 136],
    [28, 32],
    [298, 308],
];

/// What is stated of one data set.
struct Stated {
    set: usize,
    scores: [usize; 6],
    right: [f64; 5],
    mean: f64,
    variance: f64,
    kr20: f64,
    kr21: f64,
    se: f64,
    raw: [f64; 5],
    corrected: [f64; 5],
    without: [f64; 5],
}

const STATED: [Stated; 2] = [
    Stated {
        set: 0,
        scores: [3, 20, 85, 237, 357, 298],
        right: [0.924, 0.709, 0.553, 0.763, 0.870],
        mean: 3.819,
        variance: 1.070239,
        kr20: 0.294997,
        kr21: 0.196441,
        se: 0.868632,
        raw: [0.362010, 0.566772, 0.618440, 0.534418, 0.435366],
        corrected: [0.112833, 0.153178, 0.172779, 0.144428, 0.121596],
        without: [0.275356, 0.237584, 0.216799, 0.245933, 0.266294],
    },
    Stated {
        set: 1,
        scores: [12, 40, 114, 205, 321, 308],
        right: [0.828, 0.658, 0.772, 0.606, 0.843],
        mean: 3.707,
        variance: 1.435151,
        kr20: 0.453409,
        kr21: 0.415044,
        se: 0.885687,
        raw: [0.529988, 0.599677, 0.611210, 0.592029, 0.461192],
        corrected: [0.245732, 0.246674, 0.313179, 0.222751, 0.174786],
        without: [0.395975, 0.393831, 0.345391, 0.414601, 0.438462],
    },
];

fn answers(set: usize) -> Answers {
    let mut rows = Vec::new();
    for (pattern, counts) in LSAT.iter().enumerate() {
        let row: Vec<bool> = (0..5).map(|i| pattern >> (4 - i) & 1 == 1).collect();
        rows.extend(core::iter::repeat_n(row, counts[set] as usize));
    }
    Answers::new(rows).unwrap()
}

#[test]
fn two_classic_data_sets() {
    for stated in STATED {
        let answers = answers(stated.set);
        assert_eq!(answers.learners(), 1000);
        let totals = answers.totals();
        for (score, count) in stated.scores.iter().enumerate() {
            let met = totals.iter().filter(|t| **t == score as f64).count();
            assert_eq!(met, *count, "learners with {score}");
        }
        let mean = totals.iter().sum::<f64>() / 1000.0;
        let mut rows: Vec<Row> = vec![
            six("mean", mean, stated.mean),
            six("variance", variance(&totals), stated.variance),
            six("KR-20", answers.reliability().unwrap(), stated.kr20),
            six("KR-21", answers.reliability_21().unwrap(), stated.kr21),
            six("SEM", answers.total_se().unwrap(), stated.se),
        ];
        for i in 0..5 {
            rows.push(six(format!("{i} p"), answers.difficulty(i).unwrap().value, stated.right[i]));
            let raw = answers.discrimination_raw(i).unwrap();
            rows.push(six(format!("{i} raw"), raw, stated.raw[i]));
            let corrected = answers.discrimination(i).unwrap();
            rows.push(six(format!("{i} corrected"), corrected.value, stated.corrected[i]));
            assert!(corrected.low < corrected.value && corrected.value < corrected.high);
            let without = answers.reliability_without(i).unwrap();
            rows.push(six(format!("{i} without"), without, stated.without[i]));
        }
        hold("Bock and Lieberman 1970, counts of Rdatasets psych bock.table; numpy 2.4.6", &rows);
    }
}

#[test]
fn longer_tests() {
    let seven = answers(1).reliability().unwrap();
    let rows = [
        six("doubled", lengthened(seven, 2.0), 0.623925),
        row("for 0.80, second set", length_for(seven, 0.80).unwrap(), 4.822063, 1e-5),
        row(
            "for 0.80, first set",
            length_for(answers(0).reliability().unwrap(), 0.80).unwrap(),
            9.559451,
            1e-5,
        ),
        six("less guessing", less_guessing(17, 3, 4).unwrap(), 16.0),
    ];
    hold("numpy 2.4.6; arithmetic", &rows);
}

#[test]
fn options_of_a_question() {
    let scores = [3.0, 4.0, 5.0, 5.0, 6.0, 6.0, 7.0, 8.0, 8.0, 9.0];
    let chosen = [1, 2, 1, 3, 0, 1, 0, 0, 0, 0];
    let uses = option_use(4, &chosen, &scores).unwrap();
    let mut rows = Vec::new();
    for (i, (share, r)) in
        [(0.5, 0.826977), (0.3, -0.517322), (0.1, -0.385922), (0.1, -0.202150)].iter().enumerate()
    {
        rows.push(six(format!("{i} share"), uses[i].share, *share));
        rows.push(six(format!("{i} r"), uses[i].discrimination.unwrap(), *r));
    }
    hold("numpy 2.4.6", &rows);
    assert!(flags(&uses, 0).is_empty());
}
