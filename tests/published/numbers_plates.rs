//! Connections, plates, sediment, short circuit and arc.

use jarlight_rules::reading::joint::*;
use jarlight_rules::reading::plates::*;

use super::{four, hold, row};

#[test]
fn connections() {
    let rows = [
        row("36 on 30", rise(36.0, 30.0).unwrap(), 0.2, 1e-12),
        row("36.1 on 30", rise(36.1, 30.0).unwrap(), 0.20333, 6e-6),
        four("30 µΩ, W", heat_w(500.0, 30.0, 1.0).unwrap(), 7.5),
        four("30 µΩ, V", drop_v(500.0, 30.0, 1.0).unwrap(), 0.015),
        four("60 µΩ, W", heat_w(500.0, 60.0, 1.0).unwrap(), 15.0),
        four("60 µΩ, V", drop_v(500.0, 60.0, 1.0).unwrap(), 0.030),
        four("59 of 30 µΩ, V", drop_v(500.0, 30.0, 59.0).unwrap(), 0.8850),
        four("59 of 36 µΩ, V", drop_v(500.0, 36.0, 59.0).unwrap(), 1.0620),
        four("59 of 36 µΩ, W", heat_w(500.0, 36.0, 59.0).unwrap(), 531.0),
        four("settles above", settled_rise_c(15.0, 10.0, 0.012).unwrap(), 125.0),
        four("first rise", first_rise_c_s(15.0, 0.8, 130.0).unwrap(), 0.144231),
        four("copper strap", bar_uohm(1.724e-8, 150.0, 25.0 * 3.0).unwrap(), 34.480),
        four(
            "lead post",
            bar_uohm(2.08e-7, 100.0, core::f64::consts::PI * 15.0 * 15.0).unwrap(),
            29.426,
        ),
        four("copper read at 40", copper_at_20_uohm(30.0, 40.0).unwrap(), 27.8138),
    ];
    hold("arithmetic; properties of metals from memory", &rows);
    // Source: IEEE 450, from memory: over 1.2 times, so 1.2 itself is not.
    assert_eq!(over_action_limit(36.0, 30.0), Ok(false));
    assert_eq!(over_action_limit(36.1, 30.0), Ok(true));
}

#[test]
fn corrosion() {
    let rows = [
        four("µm a year, 4", penetration_um_year(1.0, 4.0).unwrap(), 14.9403),
        four("µm a year, 2", penetration_um_year(1.0, 2.0).unwrap(), 29.8806),
        four("g for each Ah", CORRODED_G_PER_AH, 1.93273),
        four("dioxide on lead", DIOXIDE_M3_MOL / LEAD_M3_MOL, 1.395847),
        four("sulfate on lead", SULFATE_M3_MOL / LEAD_M3_MOL, 2.638971),
        four("sulfate on dioxide", SULFATE_M3_MOL / DIOXIDE_M3_MOL, 1.890588),
        four("30 µm of lead", oxide_um(30.0).unwrap(), 41.8754),
        four("net outward", oxide_um(30.0).unwrap() - 30.0, 11.8754),
    ];
    hold("arithmetic; molar volumes of pybamm 26.10.1.1", &rows);
}

#[test]
fn wires_lose_section() {
    let mut rows = Vec::new();
    for (share, rate, stated) in [
        (0.25, 20.0, 13.397),
        (0.25, 30.0, 8.9316),
        (0.25, 50.0, 5.3590),
        (0.40, 20.0, 22.5403),
        (0.40, 30.0, 15.0269),
        (0.40, 50.0, 9.0161),
    ] {
        let met = years_to_lose(share, 2.0, rate).unwrap();
        rows.push(four(format!("{share} at {rate}"), met, stated));
    }
    hold("arithmetic", &rows);
}

#[test]
fn growth() {
    let (straight, compound) = growth_mm(380.0, 0.18, 10.0).unwrap();
    let (first, second) = (Reading { years: 4.0, mm: 2.1 }, Reading { years: 11.0, mm: 6.8 });
    let rate = rate_mm_year(first, second).unwrap();
    let rows = [
        four("straight", straight, 6.840),
        four("compound", compound, 6.8957),
        four("rate", rate, 0.671429),
        four("% a year", 100.0 * rate / 380.0, 0.176692),
        four("4 %", 380.0 * 0.04, 15.2),
        four("reached", reaches(first, second, 15.2).unwrap().unwrap(), 23.5106),
    ];
    hold("arithmetic", &rows);
}

#[test]
fn sediment() {
    let height = |g, density, porosity, area| sediment_mm(g, density, porosity, area).unwrap();
    let mass = positive_mass_g(400.0, 0.40).unwrap();
    let (start, now) = (Reading { years: 0.0, mm: 0.0 }, Reading { years: 9.0, mm: 7.0 });
    let rows = [
        four("900 g of dioxide", height(900.0, 9.4, 0.65, 420.0), 6.5132),
        four("900 g of sulfate", height(900.0, 6.3, 0.65, 420.0), 9.7182),
        four("500 g", height(500.0, 9.4, 0.60, 300.0), 4.4326),
        four("density of dioxide", 239.1988 / (DIOXIDE_M3_MOL * 1e6), 9.388),
        four("density of sulfate", 303.2626 / (SULFATE_M3_MOL * 1e6), 6.295),
        four("positive mass", mass, 4462.42),
        four("a tenth of it", mass / 10.0, 446.242),
        four("lies high", height(mass / 10.0, 9.38, 0.65, 420.0), 3.2363),
        four("rate", rate_mm_year(start, now).unwrap(), 0.777778),
        four("full at", reaches(start, now, 25.0).unwrap().unwrap(), 32.1429),
    ];
    hold("arithmetic; porosity from memory", &rows);
}

#[test]
fn settling_and_trend_of_sediment() {
    let speed = settling_m_s(20.0, 9400.0 - 1215.0, 0.00184).unwrap();
    let unsure = |years| rate_uncertainty_mm_year(1.0, years).unwrap();
    let rows = [
        row("m/s", speed, 9.69745e-4, 1e-8),
        row("0.3 m, s", 0.3 / speed, 309.36, 0.01),
        row("1 year", unsure(1.0), 1.414214, 1e-6),
        row("2 years", unsure(2.0), 0.707107, 1e-6),
        row("4 years", unsure(4.0), 0.353553, 1e-6),
    ];
    hold("arithmetic", &rows);
}

#[test]
fn plate_counts() {
    let rows = [
        row("3", plates(3.0).unwrap(), 7.0, 0.0),
        row("7", plates(7.0).unwrap(), 15.0, 0.0),
        row("12", plates(12.0).unwrap(), 25.0, 0.0),
        row("840 Ah", per_positive_ah(840.0, 7.0).unwrap(), 120.0, 1e-9),
        four("mA/cm²", current_density_ma_cm2(105.0, 7.0, 38.0, 33.0).unwrap(), 5.98086),
    ];
    hold("arithmetic", &rows);
}

#[test]
fn short_circuits_and_arc() {
    let circuit = |cells, rest_v, internal_mohm, connection_uohm, outside_mohm| Circuit {
        cells,
        rest_v,
        internal_mohm,
        connection_uohm,
        outside_mohm,
    };
    let string = circuit(60.0, 2.05, 0.15, 30.0, 5.0);
    let amps = |c: Circuit| c.short_circuit_a().unwrap();
    let rows = [
        four("two steps, mΩ", two_step_mohm(1.985, 225.0, 1.955, 425.0).unwrap(), 0.15),
        four("string, V", string.voltage_v().unwrap(), 123.0),
        four("string, Ω", string.loop_ohm().unwrap(), 0.015770),
        four("string, A", amps(string), 7799.62),
        four("one cell, A", amps(circuit(1.0, 2.05, 0.15, 30.0, 0.0)), 13666.7),
        four("bolted, A", amps(circuit(60.0, 2.06, 0.25, 0.0, 0.0)), 8240.0),
        four("with a cable, A", amps(circuit(60.0, 2.06, 0.25, 0.0, 5.0)), 6180.0),
        four("greatest power, W", string.greatest_power_w().unwrap(), 239_838.0),
        four("arc, cal/cm²", arc_cal_cm2(120.0, 4000.0, 0.3, 45.7).unwrap(), 0.344747),
    ];
    hold("arithmetic; form of the arc from memory", &rows);
}
