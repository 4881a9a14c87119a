//! Voltage at rest and on float.

use jarlight_rules::reading::acid::Water;
use jarlight_rules::reading::voltage::*;

use super::{Row, four, hold, row};

/// mol/kg; negative, positive, cell voltage.
const GROUPS: [[f64; 4]; 9] = [
    [0.5, -0.273695, 1.607722, 1.881417],
    [1.0, -0.294000, 1.628000, 1.922000],
    [2.0, -0.319939, 1.654620, 1.974559],
    [3.0, -0.340125, 1.676630, 2.016755],
    [4.0, -0.357769, 1.696789, 2.054557],
    [4.5, -0.365963, 1.706409, 2.072372],
    [5.0, -0.373831, 1.715781, 2.089612],
    [6.0, -0.388755, 1.733893, 2.122648],
    [7.0, -0.402794, 1.751280, 2.154074],
];
/// mol/kg; ln of the activity of acid; activity of water; mean activity coefficient; Nernst voltage;
/// fit; difference in mV.
const ACTIVITIES: [[f64; 7]; 14] = [
    [0.1, -9.75959, 0.99635, 0.2435, 1.7973, f64::NAN, f64::NAN],
    [0.5, -6.51571, 0.98182, 0.1436, 1.8811, 1.881417, -0.3],
    [1.0, -4.93676, 0.96172, 0.1215, 1.9222, 1.922, 0.2],
    [1.5, -3.86036, 0.93887, 0.1160, 1.9504, 1.950452, -0.1],
    [2.0, -2.96602, 0.91285, 0.1172, 1.9741, 1.974559, -0.5],
    [2.5, -2.16056, 0.88357, 0.1226, 1.9957, 1.996387, -0.7],
    [3.0, -1.40933, 0.85132, 0.1313, 2.0159, 2.016755, -0.9],
    [3.5, -0.69839, 0.81663, 0.1426, 2.0353, 2.036068, -0.8],
    [4.0, -0.02144, 0.78015, 0.1564, 2.0538, 2.054557, -0.8],
    [4.25, 0.30546, 0.76143, 0.1641, 2.0629, f64::NAN, f64::NAN],
    [4.5, 0.62514, 0.74248, 0.1724, 2.0717, 2.072372, -0.7],
    [5.0, 1.24418, 0.70419, 0.1907, 2.0890, 2.089612, -0.6],
    [5.5, 1.83828, 0.66572, 0.2114, 2.1057, 2.106352, -0.7],
    [6.0, 2.40996, 0.62745, 0.2344, 2.1219, 2.122648, -0.7],
];

#[test]
fn plate_groups_at_rest() {
    let mut rows = Vec::new();
    for [m, negative, positive, cell] in GROUPS {
        let met = rest(m).unwrap();
        rows.push(row(format!("{m} negative"), met.negative_v, negative, 1e-6));
        rows.push(row(format!("{m} positive"), met.positive_v, positive, 1e-6));
        rows.push(row(format!("{m} cell"), met.cell_v(), cell, 1e-6));
    }
    hold("pybamm 26.10.1.1, lead_dioxide_ocp_Bode1977 and lead_ocp_Bode1977", &rows);
}

#[test]
fn rest_voltage_by_activities() {
    let mut rows: Vec<Row> = Vec::new();
    for [m, ln_acid, water, mean, nernst, fit, off_mv] in ACTIVITIES {
        let met = from_activities_v(2.048, ln_acid, water, 25.0).unwrap();
        rows.push(row(format!("{m} Nernst"), met, nernst, 6e-5));
        // The activity of acid is 4 m³ times the cube of the mean coefficient.
        let from_mean = (4.0 * (m * mean).powi(3)).ln();
        rows.push(row(format!("{m} ln a"), from_mean, ln_acid, 2e-3));
        if !fit.is_nan() {
            let met_fit = rest(m).unwrap().cell_v();
            rows.push(row(format!("{m} fit"), met_fit, fit, 1e-6));
            // Stated as the difference of a voltage already rounded to 0.1 mV.
            let apart = (nernst - met_fit) * 1000.0;
            rows.push(row(format!("{m} mV apart"), apart, off_mv, 0.0501));
            rows.push(row(format!("{m} mV apart, unrounded"), apart, (met - met_fit) * 1e3, 0.06));
            assert!((met - met_fit).abs() < 1e-3, "{m}");
        }
        // Another remembered standard voltage lowers all alike.
        let lower = from_activities_v(2.041, ln_acid, water, 25.0).unwrap();
        rows.push(row(format!("{m} at 2.041"), (met - lower) * 1000.0, 7.0, 1e-9));
    }
    hold("activities of phreeqpython 1.6.2, pitzer.dat; standard voltage 2.048 from memory", &rows);
    let by_hand = from_activities_v(2.048, -0.02144, 0.78015, 25.0).unwrap();
    hold("arithmetic", &[row("m = 4", by_hand, 2.05383, 6e-6)]);
}

#[test]
fn the_rule_reads_low_when_meant_for_water_at_25() {
    let met = open_circuit_v(1.215, Water::At25).unwrap();
    let rows = [
        row("V", met, 2.0644, 6e-5),
        row("mV over 0.840", (met - 2.055) * 1000.0, 9.4, 0.06),
        row("mV over 0.845", (met - 2.060) * 1000.0, 4.4, 0.06),
    ];
    hold("Bode 1977 fit of pybamm 26.10.1.1", &rows);
}

#[test]
fn slope_of_rest_voltage_by_gravity() {
    let slope = |a, b| {
        let at = |sg| open_circuit_v(sg, Water::At4).unwrap();
        (at(b) - at(a)) / (b - a)
    };
    let rows = [
        row("at 1.195", slope(1.190, 1.200), 0.890, 0.006),
        row("over 1.19 to 1.24", slope(1.19, 1.24), 0.906, 0.002),
        row("at 1.245", slope(1.240, 1.250), 0.940, 0.006),
        row("at 1.29", slope(1.280, 1.300), 0.995, 0.006),
    ];
    hold("differences of the gravity table", &rows);
    // The stated 0.0055 "near 1.2" belongs to the slope over 1.19 to 1.24; at 1.2 it is 0.0056.
    let step = gravity_from_rested(2.0702).unwrap() - gravity_from_rested(2.0652).unwrap();
    hold("the same", &[row("5 mV near 1.215", step, 0.0055, 5e-5)]);
}

#[test]
fn float_voltage_by_temperature_by_a_remembered_slope() {
    let set = |celsius, per_c| float_at(2.25, celsius, per_c).unwrap();
    let rows = [
        row("15", set(15.0, -0.0033), 2.2830, 1e-9),
        row("20", set(20.0, -0.0033), 2.2665, 1e-9),
        row("30", set(30.0, -0.0033), 2.2335, 1e-9),
        row("35", set(35.0, -0.0033), 2.2170, 1e-9),
        row("15, steep", set(15.0, -0.0055), 2.3050, 1e-9),
        row("35, steep", set(35.0, -0.0055), 2.1950, 1e-9),
        row("2.120 read at 31", at_25(2.120, 31.0, USUAL_PER_C).unwrap(), 2.1398, 1e-9),
    ];
    hold("arithmetic; slope from memory", &rows);
}

#[test]
fn limits_of_float_voltage_remembered() {
    // Source: IEEE 450 and the class of nuclear plant technical specifications, from memory.
    assert_eq!(judge_float(2.13), Ok(FloatState::Attention));
    assert_eq!(judge_float(2.1398), Ok(FloatState::Sound));
    assert_eq!(judge_float(2.0699), Ok(FloatState::Failed));
}

#[test]
fn one_weak_cell_raises_the_others() {
    let met = others_v(134.4, 60.0, 2.00).unwrap();
    hold("arithmetic", &[row("others", met, 2.24407, 6e-6)]);
}

#[test]
fn cells_for_a_bus() {
    let rows = [
        row("140 V at 2.33", cells_for(140.0, 2.33).unwrap(), 60.0, 0.0),
        row("before rounding down", per_cell_v(140.0, 2.33).unwrap(), 60.09, 0.006),
        row("105 V over 60", per_cell_v(105.0, 60.0).unwrap(), 1.750, 1e-9),
    ];
    hold("arithmetic", &rows);
}

#[test]
fn float_stands_above_the_rule() {
    let rule = open_circuit_by_rule_v(1.215, 0.84).unwrap();
    let rows = [
        row("rule", rule, 2.055, 1e-9),
        row("2.17", 2.17 - rule, 0.115, 1e-9),
        row("2.26", 2.26 - rule, 0.205, 1e-9),
    ];
    hold("float range of UFGS 16265A; rule of common practice", &rows);
}

#[test]
fn polarisation_is_shared() {
    let above = 2.25 - open_circuit_v(1.215, Water::At4).unwrap();
    let positive = Tafel { v_per_decade: 0.080, exchange_a_per_ah: 2e-6 };
    let negative = Tafel { v_per_decade: 0.110, exchange_a_per_ah: 2e-7 };
    let met = share_polarisation(0.1823, positive, negative).unwrap();
    let rows = [
        row("above rest", above, 0.1823, 6e-5),
        four("A/Ah", met.a_per_ah, 4.8035e-6),
        row("positive", met.positive_v, 0.030442, 1e-6),
        row("negative", met.negative_v, 0.151858, 1e-6),
        row("sum", met.positive_v + met.negative_v, 0.1823, 1e-12),
        four("+50 mV on the cell", tafel_factor(0.05, 0.190).unwrap(), 1.83298),
        four("+50 mV at 0.24", tafel_factor(0.05, 0.24).unwrap(), 1.6156),
        four("+100 mV at 0.24", tafel_factor(0.10, 0.24).unwrap(), 2.6102),
        four("+60 mV at 0.12", tafel_factor(0.06, 0.12).unwrap(), 3.1623),
        four("+100 mV at 0.12", tafel_factor(0.10, 0.12).unwrap(), 6.8129),
        four("slope of theory, mV", tafel_slope_v(1.0, 25.0).unwrap() * 1000.0, 59.159),
        four("with transfer 0.5, mV", tafel_slope_v(0.5, 25.0).unwrap() * 1000.0, 118.319),
    ];
    hold("arithmetic; slopes and exchange currents illustrative", &rows);
}
