//! Temperature and life, capacity tests.

use jarlight_rules::reading::acid::celsius;
use jarlight_rules::reading::ageing::*;
use jarlight_rules::reading::capacity::{self, Length, Verdict};

use super::{four, hold, row};

/// Temperature; life of a 20 year cell when 10, 25/3 and 8 °C halve it.
const LIVES: [[f64; 4]; 7] = [
    [20.0, 28.2843, 30.3143, 30.8442],
    [25.0, 20.0000, 20.0000, 20.0000],
    [30.0, 14.1421, 13.1951, 12.9684],
    [32.2, 12.1419, 10.9885, 10.7177],
    [33.3, 11.2506, 10.0278, 9.7434],
    [35.0, 10.0000, 8.7055, 8.4090],
    [40.0, 7.0711, 5.7435, 5.4525],
];

#[test]
fn life_by_temperature() {
    let mut rows = Vec::new();
    for [t, ten, north, eight] in LIVES {
        for (halving, stated) in [(10.0, ten), (25.0 / 3.0, north), (8.0, eight)] {
            let met = life_unclamped_years(20.0, t, halving).unwrap();
            rows.push(four(format!("{t} by {halving:.2}"), met, stated));
            let promised = life_years(20.0, t, halving).unwrap();
            rows.push(four(format!("{t} by {halving:.2}, promised"), promised, stated.min(20.0)));
        }
    }
    hold("arithmetic on common practice", &rows);
}

#[test]
fn activation_energies() {
    let kj = |halving| activation_j_mol(halving).unwrap() / 1000.0;
    let rows = [
        row("10", kj(10.0), 52.949, 0.01),
        row("25/3", kj(25.0 / 3.0), 63.195, 0.01),
        row("8.0", kj(8.0), 65.757, 0.01),
        row("8.3", kj(8.3), 63.442, 0.01),
    ];
    hold("arithmetic", &rows);
}

const YEAR: [Stretch; 3] = [
    Stretch { length: 7.0, celsius: 25.0 },
    Stretch { length: 3.0, celsius: 32.0 },
    Stretch { length: 2.0, celsius: 38.0 },
];

#[test]
fn a_year_of_three_temperatures() {
    let mean = |halving: f64| mean_factor(&YEAR, |c| factor(c, halving)).unwrap();
    let (ten, north) = (mean(10.0), mean(25.0 / 3.0));
    let one = |c: f64| 1.0 / factor(c, 25.0 / 3.0).unwrap();
    let average = (7.0 * 25.0 + 3.0 * 32.0 + 2.0 * 38.0) / 12.0;
    let arrhenius = |c| arrhenius_factor(c, 50_000.0);
    let mean_arrhenius = mean_factor(&YEAR, arrhenius).unwrap();
    let rows = [
        four("damage a year by 10", ten / 20.0, 0.0699921),
        four("share at 32", 3.0 / 12.0 * factor(32.0, 10.0).unwrap() / 20.0, 0.0203063),
        four("share at 38", 2.0 / 12.0 * factor(38.0, 10.0).unwrap() / 20.0, 0.0205191),
        four("life by 10", 20.0 / ten, 14.2873),
        four("equal temperature by 10", equal_temperature_c(ten, 10.0).unwrap(), 29.8526),
        four("plain mean", average, 28.9167),
        four("life at the mean by 10", life_years(20.0, average, 10.0).unwrap(), 15.2450),
        four("fraction at 32", one(32.0), 0.558644),
        four("fraction at 38", one(38.0), 0.339152),
        four("fraction of life", 1.0 / north, 0.656914),
        four("life by 25/3", 20.0 / north, 13.1383),
        four("equal temperature by 25/3", equal_temperature_c(north, 25.0 / 3.0).unwrap(), 30.0519),
        four("life at the mean by 25/3", life_years(20.0, average, 25.0 / 3.0).unwrap(), 14.4393),
        four("Arrhenius at 25", arrhenius(25.0).unwrap(), 1.0),
        four("Arrhenius at 32", arrhenius(32.0).unwrap(), 1.588333),
        four("Arrhenius at 38", arrhenius(38.0).unwrap(), 2.322637),
        four("Arrhenius mean", mean_arrhenius, 1.367523),
        four("Arrhenius life", 20.0 / mean_arrhenius, 14.6250),
    ];
    hold("arithmetic", &rows);
}

#[test]
fn swing_and_sum() {
    let swing = swing_factor(8.0, 10.0).unwrap();
    let history = [
        Stretch { length: 3.0, celsius: 25.0 },
        Stretch { length: 2.0, celsius: 30.0 },
        Stretch { length: 1.0, celsius: 35.0 },
    ];
    let rows = [
        row("swing", swing, 1.078363, 1e-6),
        row("life", 20.0 / swing, 18.5466, 1e-4),
        row("damage", damage(&history, 20.0, 10.0).unwrap(), 0.391421, 1e-6),
    ];
    hold("arithmetic; the factor is the modified Bessel function I0(0.554518)", &rows);
}

#[test]
fn capacity_tests_by_remembered_tables() {
    let time = |actual, t| capacity::by_time_percent(actual, 480.0, t).unwrap();
    let rows = [
        row("8 h at 22.2", time(432.0, 22.2), 92.7835, 1e-4),
        row("uncorrected", time(432.0, 25.0), 90.0, 1e-9),
        row("factor at 21.4", capacity::time_factor(21.4).unwrap(), 0.957500, 1e-9),
        row("8 h at 21.4", time(432.0, 21.4), 93.9948, 1e-4),
        row("by rate", capacity::by_rate_percent(85.0, 100.0, 20.0).unwrap(), 89.7600, 1e-9),
        row("10 h at 15", capacity::at_20_ah(380.0, 15.0, Length::Long).unwrap(), 391.753, 6e-4),
        row("1 h at 27", capacity::at_20_ah(380.0, 27.0, Length::Short).unwrap(), 355.140, 6e-4),
        // At 70 °F without correction degradation is overstated by 4.5 %.
        row("70 °F", 1.0 - capacity::time_factor(21.1).unwrap(), 0.045, 1e-9),
    ];
    hold("arithmetic; tables of IEEE 450 and 485 and IEC 60896-11 from memory", &rows);
}

#[test]
fn correction_tables_hang_together() {
    let both = |t| capacity::time_factor(t).unwrap() * capacity::rate_factor(t).unwrap();
    let rows = [row("cold end", both(4.4), 0.871, 5e-4), row("hot end", both(48.9), 1.0406, 5e-5)];
    hold("the two tables from memory", &rows);
    for tenth in 44..=489 {
        let t = f64::from(tenth) / 10.0;
        // Between rows the product bulges by under 0.001 beyond the ends.
        assert!((0.870..=1.042).contains(&both(t)), "{t}: {}", both(t));
    }
}

#[test]
fn fahrenheit_of_the_correction_table() {
    // Source: IEEE 450-2002 table 1 from memory; the two scales of one row must agree.
    for (c, f) in
        [(4.4, 40.0), (15.6, 60.0), (20.0, 68.0), (25.0, 77.0), (32.2, 90.0), (48.9, 120.0)]
    {
        assert!((celsius(f) - c).abs() < 0.051, "{f} °F is {}", celsius(f));
    }
}

#[test]
fn verdicts() {
    let judge = |now, previous| capacity::judge(now, previous).unwrap();
    // Sources: UFGS 16265A and a maintenance guide for 80 and 90 %; IEEE 450 from memory for 10.
    assert_eq!(judge(91.0, Some(101.5)), Verdict::Degraded);
    assert_eq!(judge(89.9, Some(99.0)), Verdict::Degraded);
    assert_eq!(judge(90.0, Some(97.0)), Verdict::Sound);
    assert_eq!(judge(90.0, Some(100.0)), Verdict::Sound);
    assert_eq!(judge(79.99, None), Verdict::EndOfLife);
    assert_eq!(judge(80.00, Some(85.0)), Verdict::Degraded);
}

#[test]
fn other_currents() {
    let hours = |amps| capacity::peukert_hours(400.0, 8.0, amps, 1.15).unwrap();
    let rows = [
        row("50 A", hours(50.0), 8.0, 1e-12),
        row("100 A", hours(100.0), 3.605002, 1e-6),
        row("100 A, Ah", hours(100.0) * 100.0, 360.500, 6e-4),
        row("200 A", hours(200.0), 1.624505, 1e-6),
        row("200 A, Ah", hours(200.0) * 200.0, 324.901, 6e-4),
    ];
    hold("arithmetic", &rows);
}
