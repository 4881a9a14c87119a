//! Trends of readings and odd cells.

use jarlight_rules::reading::fit::least_squares;
use jarlight_rules::reading::trend::*;

use super::{four, hold, row};

const QUARTERS: [f64; 10] = [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0];
const MOHM: [f64; 10] = [0.310, 0.312, 0.311, 0.316, 0.318, 0.321, 0.320, 0.327, 0.331, 0.334];

#[test]
fn a_line_through_ten_quarters() {
    let line = line(&QUARTERS, &MOHM).unwrap();
    let (low, high) = line.slope_interval();
    let (below, above) = line.reading_interval(14.0);
    let rows = [
        row("slope", line.slope, 0.00269090909, 5e-12),
        row("intercept", line.intercept, 0.30789090909, 1e-11),
        row("r", line.r.unwrap(), 0.97222651, 5e-9),
        row("slope SE", line.slope_se, 0.00022902356, 5e-12),
        row("p", line.p_value(), 2.517394e-6, 1e-11),
        row("spread", line.residual_sd, 0.00208020978, 5e-12),
        row("t", (high - line.slope) / line.slope_se, 2.306004135, 1e-8),
        row("slope from", low, 0.00216277982, 1e-11),
        row("slope to", high, 0.00321903837, 1e-11),
        row("at 14", line.at(14.0), 0.34556363636, 1e-11),
        row("SE at 14", line.reading_se(14.0), 0.00308119686, 1e-11),
        row("from at 14", below, 0.33845838, 5e-9),
        row("to at 14", above, 0.35266889, 5e-9),
        row("reaches 0.372", line.reaches(1.2 * 0.310).unwrap(), 23.82432, 5e-6),
    ];
    hold("scipy 1.17.1 linregress", &rows);
}

#[test]
fn robust_trends() {
    let robust = robust_line(&QUARTERS, &MOHM).unwrap();
    let (tau, p) = rank_trend(&QUARTERS, &MOHM).unwrap();
    let rows = [
        row("slope", robust.slope, 0.00275, 1e-12),
        row("intercept", robust.intercept, 0.306625, 1e-12),
        row("from", robust.slope_interval.0, 0.0020, 1e-12),
        row("to", robust.slope_interval.1, 0.00325, 1e-12),
        row("tau", tau, 0.9111111, 1e-7),
        row("p", p, 2.976190e-5, 5e-12),
    ];
    hold("scipy 1.17.1 theilslopes and kendalltau", &rows);
}

#[test]
fn smoothing_and_sums() {
    let last = smoothed(&MOHM, 0.2).unwrap();
    hold("arithmetic", &[row("smoothed", last, 0.3232090327, 5e-11)]);
    let sums = rising_sums(&MOHM, 0.311, 0.002, 0.5).unwrap();
    let stated = [0.0, 0.0, 0.0, 2.0, 5.0, 9.5, 13.5, 21.0, 30.5, 41.5];
    let rows: Vec<_> =
        sums.iter().zip(stated).map(|(met, stated)| row("sum", *met, stated, 1e-9)).collect();
    hold("arithmetic", &rows);
    assert_eq!(alarm(&sums, 5.0), Some(5), "the fifth sum equals 5 and does not pass it");
}

#[test]
fn the_odd_cell_out() {
    let string = [2.23, 2.24, 2.22, 2.25, 2.23, 2.24, 2.23, 2.12, 2.24, 2.22, 2.25, 2.23];
    let met = standing(&string, 2.12).unwrap();
    let rows = [
        four("robust z", met.robust_z.unwrap(), -7.41940),
        four("z", met.z.unwrap(), -3.04264),
        four("critical", met.critical, 2.41156),
    ];
    hold("arithmetic; t quantile of scipy 1.17.1", &rows);
    let spread = (2.12 - 2.2250) / met.z.unwrap();
    hold("arithmetic", &[four("standard deviation", spread, 0.0345096)]);
}

#[test]
fn any_of_sixty() {
    let rows = [
        row("one", at_least(60, 1, 0.01).unwrap(), 0.4528434, 1e-7),
        row("two", at_least(60, 2, 0.01).unwrap(), 0.1212333, 1e-7),
    ];
    hold("arithmetic", &rows);
}

/// Year, prices, output, out of work, in the forces, population, employment.
const LONGLEY: [[f64; 7]; 16] = [
    [1947.0, 83.0, 234_289.0, 2356.0, 1590.0, 107_608.0, 60_323.0],
    [1948.0, 88.5, 259_426.0, 2325.0, 1456.0, 108_632.0, 61_122.0],
    [1949.0, 88.2, 258_054.0, 3682.0, 1616.0, 109_773.0, 60_171.0],
    [1950.0, 89.5, 284_599.0, 3351.0, 1650.0, 110_929.0, 61_187.0],
    [1951.0, 96.2, 328_975.0, 2099.0, 3099.0, 112_075.0, 63_221.0],
    [1952.0, 98.1, 346_999.0, 1932.0, 3594.0, 113_270.0, 63_639.0],
    [1953.0, 99.0, 365_385.0, 1870.0, 3547.0, 115_094.0, 64_989.0],
    [1954.0, 100.0, 363_112.0, 3578.0, 3350.0, 116_219.0, 63_761.0],
    [1955.0, 101.2, 397_469.0, 2904.0, 3048.0, 117_388.0, 66_019.0],
    [1956.0, 104.6, 419_180.0, 2822.0, 2857.0, 118_734.0, 67_857.0],
    [1957.0, 108.4, 442_769.0, 2936.0, 2798.0, 120_445.0, 68_169.0],
    [1958.0, 110.8, 444_546.0, 4681.0, 2637.0, 121_950.0, 66_513.0],
    [1959.0, 112.6, 482_704.0, 3813.0, 2552.0, 123_366.0, 68_655.0],
    [1960.0, 114.2, 502_601.0, 3931.0, 2514.0, 125_368.0, 69_564.0],
    [1961.0, 115.7, 518_173.0, 4806.0, 2572.0, 127_852.0, 69_331.0],
    [1962.0, 116.9, 554_894.0, 4007.0, 2827.0, 130_081.0, 70_551.0],
];

fn column(i: usize) -> Vec<f64> {
    LONGLEY.iter().map(|row| row[i]).collect()
}

#[test]
fn employment_by_year() {
    let line = line(&column(0), &column(6)).unwrap();
    let r = line.r.unwrap();
    let rows = [
        row("slope", line.slope, 716.5117647059, 1e-9),
        row("slope SE", line.slope_se, 46.86949733, 1e-7),
        row("intercept", line.intercept, -1_335_105.244_117_647, 1e-5),
        row("intercept SE", line.intercept_se, 91_606.687_32, 1e-4),
        row("r²", r * r, 0.9434809182945, 1e-12),
    ];
    hold("Longley data of statsmodels 0.15.0, scipy 1.17.1", &rows);
}

#[test]
fn employment_by_six_influences() {
    let columns: Vec<Vec<f64>> = [1, 2, 3, 4, 5, 0].map(column).into();
    let columns: Vec<&[f64]> = columns.iter().map(Vec::as_slice).collect();
    let fit = least_squares(&columns, &column(6)).unwrap();
    let rows = [
        row("constant", fit.effects[0], -3_482_258.634_6, 1e-3),
        row("year", fit.effects[6], 1_829.151_464_6, 1e-6),
        row("spread", fit.residual_sd, 304.854_073_56, 1e-6),
        row("r²", fit.r_squared.unwrap(), 0.995_479_004_6, 1e-9),
    ];
    hold("statsmodels 0.15.0", &rows);
    let rows = [
        row("constant", fit.effects[0], -3_482_258.634_595_82, 1e-3),
        row("year", fit.effects[6], 1_829.151_464_613_55, 1e-6),
    ];
    hold("certified values of NIST, from memory", &rows);
}
