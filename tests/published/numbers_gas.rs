//! Gas, water and ventilation.

use jarlight_rules::reading::gas::*;

use super::{four, hold, row};

#[test]
fn gas_for_each_ampere_hour() {
    let litres = |celsius| hydrogen_l_per_ah(celsius).unwrap();
    let feet = |celsius| cubic_feet_per_minute(hydrogen_m3_h(1.0, 1.0, celsius).unwrap());
    let rows = [
        four("mol", HYDROGEN_MOL_PER_AH, 0.0186557),
        four("g hydrogen", HYDROGEN_G_PER_AH, 0.0376076),
        four("L at 0 °C", litres(0.0), 0.418148),
        four("L at 20 °C", litres(20.0), 0.448765),
        four("L at 25 °C", litres(25.0), 0.456419),
        four("g oxygen", OXYGEN_G_PER_AH, 0.298480),
        // Half the moles of hydrogen.
        four("L oxygen at 25 °C", litres(25.0) / 2.0, 0.228209),
        four("g water", WATER_G_PER_AH, 0.336087),
        four("g of both gases", HYDROGEN_G_PER_AH + OXYGEN_G_PER_AH, 0.336087),
        four("ft³/min at 25 °C", feet(25.0), 0.000268638),
        four("ft³/h at 25 °C", feet(25.0) * 60.0, 0.0161183),
        four("ft³/min at 0 °C", feet(0.0), 0.000246113),
        four("ft³/Ah at 0 °C", feet(0.0) * 60.0, 0.0147668),
    ];
    hold("arithmetic from CODATA constants", &rows);
}

#[test]
fn gas_rates_of_published_pages() {
    let feet = |celsius| cubic_feet_per_minute(hydrogen_m3_h(1.0, 1.0, celsius).unwrap());
    let rows = [
        row("ft³/min", feet(25.0), 0.000269, 5e-7),
        row("ft³/h", feet(25.0) * 60.0, 0.016, 5e-4),
        row("ft³/Ah, an industrial note", feet(0.0) * 60.0, 0.01474, 4e-5),
        // The page that prints 0.016 ft³/h gives 0.000045 m³/h beside it, ten times too little.
        row("m³/h", hydrogen_m3_h(1.0, 1.0, 25.0).unwrap(), 0.000453, 5e-6),
        row("L/Ah sometimes quoted", hydrogen_l_per_ah(25.0).unwrap(), 0.457, 7e-4),
    ];
    hold("an article that quotes IEEE 484-2019; UFGS 16720N; an industrial battery note", &rows);
}

#[test]
fn water_lost() {
    let half = water_g(0.5, HOURS_PER_YEAR, 0.0).unwrap();
    let rows = [
        four("1 A for a year, g", water_g(1.0, HOURS_PER_YEAR, 0.0).unwrap(), 2946.1),
        four("0.3 A for a year, g", water_g(0.3, HOURS_PER_YEAR, 0.0).unwrap(), 883.84),
        four("0.5 A for a year, g", half, 1473.07),
        four("0.5 A for a year, mL", water_ml(half), 1477.4),
        four("months", watering_months(420.0, 40.0, 0.5).unwrap(), 13.645),
        four("the reserve, mL", water_ml(1675.04), 1680.0),
    ];
    hold("arithmetic", &rows);
    // A vent that returns three quarters of the gas leaves one quarter of the loss.
    let saved = water_g(0.5, HOURS_PER_YEAR, 0.75).unwrap();
    hold("arithmetic", &[four("saved", saved, half / 4.0)]);
}

#[test]
fn float_current_by_temperature() {
    let at = |celsius, doubling| float_current_at(0.30, celsius, doubling).unwrap();
    let rows = [
        four("35 by 8", at(35.0, 8.0), 0.71352),
        four("17 by 8", at(17.0, 8.0), 0.15000),
        four("33 by 8", at(33.0, 8.0), 0.60000),
        four("35 by 25/3", at(35.0, 25.0 / 3.0), 0.68922),
    ];
    hold("arithmetic; doubling for each 8 °C seen in an installation manual", &rows);
}

#[test]
fn ventilation_by_rated_current() {
    let (float, boost) = (Duty::Float.ma_per_ah(), Duty::Boost.ma_per_ah());
    let flow = |cells, current, capacity| rated_flow_m3_h(cells, current, capacity).unwrap();
    let rows = [
        row("float", flow(60.0, float, 500.0), 7.5, 1e-9),
        row("float opening", opening_cm2(flow(60.0, float, 500.0)).unwrap(), 210.0, 1e-9),
        row("float distance", spark_distance_mm(float, 500.0).unwrap(), 390.876, 6e-4),
        row("boost", flow(60.0, boost, 500.0), 30.0, 1e-9),
        row("boost opening", opening_cm2(flow(60.0, boost, 500.0)).unwrap(), 840.0, 1e-9),
        row("boost distance", spark_distance_mm(boost, 500.0).unwrap(), 620.477, 6e-4),
        row("24 cells", flow(24.0, float, 100.0), 0.6, 1e-9),
        row("24 cells opening", opening_cm2(flow(24.0, float, 100.0)).unwrap(), 16.8, 1e-9),
        // The unrounded factor 0.0504 would give 7.560; the printed 0.05 is the one used.
        row("unrounded over rounded", 7.560 / flow(60.0, float, 500.0), 0.0504 / 0.05, 1e-12),
        row("factor", 24.0 * 0.42e-3 * 5.0, 0.0504, 1e-12),
    ];
    hold("EN/IEC 62485-2, openings and distance from memory; arithmetic", &rows);
}

#[test]
fn ventilation_by_dilution() {
    let q = hydrogen_m3_h(0.30, 60.0, 25.0).unwrap();
    let flow = |limit| dilution_flow_m3_h(q, limit).unwrap();
    let rows = [
        four("hydrogen", q, 0.00821554),
        four("1 %", flow(1.0), 0.821554),
        four("2 %", flow(2.0), 0.410777),
        four("4 %", flow(4.0), 0.205388),
        four("hours to 1 %", hours_to(q, 60.0, 1.0).unwrap(), 73.3999),
        four("hours to 1 %, in a straight line", 0.01 * 60.0 / q, 73.0323),
        four("hours to 4 %", hours_to(q, 60.0, 4.0).unwrap(), 298.133),
        four("settles at", settled_share(q, 2.0).unwrap(), 0.00409097),
        four("after 6 h", hydrogen_share(q, 2.0, 60.0, 6.0).unwrap(), 0.000744317),
        four("after 24 h", hydrogen_share(q, 2.0, 60.0, 24.0).unwrap(), 0.00225881),
    ];
    hold("arithmetic", &rows);
}

#[test]
fn ventilation_of_published_pages() {
    let forced = cubic_feet_per_minute(hydrogen_m3_h(25.0, 24.0, 25.0).unwrap());
    let litres_s =
        |celsius| dilution_flow_m3_h(hydrogen_m3_h(1.0, 1.0, celsius).unwrap(), 2.0).unwrap() / 3.6;
    let vendor = 0.000013 * 960.0 * 24.0;
    let implied_a = 0.000013 / cubic_feet_per_minute(hydrogen_m3_h(1.0, 1.0, 25.0).unwrap());
    let rows = [
        row("25 A, 24 cells, ft³/min", forced, 0.161, 5e-4),
        four("own 2 % form at 25 °C, L/s", litres_s(25.0), 0.0063392),
        four("own 2 % form at 0 °C, L/s", litres_s(0.0), 0.0058076),
        row("vendor form, ft³/min", vendor, 0.30, 0.005),
        four("which stands for, mA/Ah", implied_a * 1000.0, 48.39),
    ];
    hold("an article that prints 0.161; an Australian form; a vendor form", &rows);
}
