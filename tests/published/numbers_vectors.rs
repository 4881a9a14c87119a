//! One value of each reading to ten figures, in a table that other programs could share.

use jarlight_rules::reading::acid::{Water, celsius};
use jarlight_rules::reading::capacity::Length;
use jarlight_rules::reading::gravity::{Compensated, TemperatureRule, at_reference};
use jarlight_rules::reading::joint::Circuit;
use jarlight_rules::reading::plates::Reading;
use jarlight_rules::reading::{
    OutOfRange, acid, ageing, capacity, charge, gas, gravity, joint, plates, voltage,
};

use super::{hold, row};

/// Where an expected value comes from.
#[derive(Clone, Copy, Debug)]
enum Origin {
    /// The published polynomial or fit, evaluated apart: checks the code, not the physics.
    Own,
    /// A formula with the constants of the program, worked apart.
    Arithmetic,
    /// A formula only remembered, evaluated apart.
    Remembered,
    /// pybamm 26.10.1.1.
    Pybamm,
}

use Origin::{Arithmetic, Own, Pybamm, Remembered};

/// Diffusivity at 3.7 mol/L of pybamm 26.10.1.1, m²/s.
const D: f64 = 2.712e-9;

const STRING: Circuit = Circuit {
    cells: 60.0,
    rest_v: 2.05,
    internal_mohm: 0.15,
    connection_uohm: 30.0,
    outside_mohm: 5.0,
};

type Met = Result<f64, OutOfRange>;

fn corrected(reading: f64, fahrenheit: f64) -> Met {
    let rule = TemperatureRule::NORTH_AMERICA;
    at_reference(reading, celsius(fahrenheit), rule, Compensated::NotYet)
}

fn mixed_life(halving_c: f64) -> Met {
    let year = [(7.0, 25.0), (3.0, 32.0), (2.0, 38.0)]
        .map(|(length, celsius)| ageing::Stretch { length, celsius });
    ageing::mean_factor(&year, |c| ageing::factor(c, halving_c)).map(|factor| 20.0 / factor)
}

fn growth_reaches(limit_mm: f64) -> Met {
    let (first, second) = (Reading { years: 4.0, mm: 2.1 }, Reading { years: 11.0, mm: 6.8 });
    plates::reaches(first, second, limit_mm).map(|age| age.unwrap())
}

#[test]
fn vectors() {
    let vectors: [(&str, Met, f64, f64, Origin); 114] = [
        ("sg_t_90F", corrected(1.208, 90.0), 1.212333333, 1e-06, Arithmetic),
        ("sg_t_62F", corrected(1.222, 62.0), 1.217, 1e-06, Arithmetic),
        ("sg_t_77F", corrected(1.215, 77.0), 1.215, 1e-06, Arithmetic),
        ("sg_t_104F", corrected(1.18, 104.0), 1.189, 1e-06, Arithmetic),
        ("rho_10_25", acid::density_kg_m3(0.10, 25.0), 1063.629869, 0.01, Own),
        ("rho_20_20", acid::density_kg_m3(0.20, 20.0), 1139.358839, 0.01, Own),
        ("rho_25_25", acid::density_kg_m3(0.25, 25.0), 1175.044119, 0.01, Own),
        ("rho_30_15", acid::density_kg_m3(0.30, 15.0), 1222.036825, 0.01, Own),
        ("rho_30_25", acid::density_kg_m3(0.30, 25.0), 1215.116614, 0.01, Own),
        ("rho_30_40", acid::density_kg_m3(0.30, 40.0), 1204.792582, 0.01, Own),
        ("rho_36_25", acid::density_kg_m3(0.36, 25.0), 1264.730318, 0.01, Own),
        ("rho_40_25", acid::density_kg_m3(0.40, 25.0), 1298.965454, 0.01, Own),
        ("rho_45_30", acid::density_kg_m3(0.45, 30.0), 1339.953034, 0.01, Own),
        ("rho_50_40", acid::density_kg_m3(0.50, 40.0), 1379.564284, 0.01, Own),
        ("w_of_sg4_1.100", acid::share(1.100, Water::At4), 0.1506573368, 1e-06, Own),
        ("w_of_sg4_1.170", acid::share(1.170, Water::At4), 0.2435470646, 1e-06, Own),
        ("w_of_sg4_1.200", acid::share(1.200, Water::At4), 0.2812715862, 1e-06, Own),
        ("w_of_sg4_1.215", acid::share(1.215, Water::At4), 0.2998147284, 1e-06, Own),
        ("w_of_sg4_1.225", acid::share(1.225, Water::At4), 0.3120741164, 1e-06, Own),
        ("w_of_sg4_1.240", acid::share(1.240, Water::At4), 0.3303121082, 1e-06, Own),
        ("w_of_sg4_1.250", acid::share(1.250, Water::At4), 0.3423664471, 1e-06, Own),
        ("w_of_sg4_1.265", acid::share(1.265, Water::At4), 0.3602780744, 1e-06, Own),
        ("w_of_sg4_1.280", acid::share(1.280, Water::At4), 0.3779636027, 1e-06, Own),
        ("w_of_sg4_1.300", acid::share(1.300, Water::At4), 0.401145329, 1e-06, Own),
        ("w_of_sg25_1.200", acid::share(1.200, Water::At25), 0.2769042337, 1e-06, Own),
        ("w_of_sg25_1.215", acid::share(1.215, Water::At25), 0.2954383004, 1e-06, Own),
        ("w_of_sg25_1.250", acid::share(1.250, Water::At25), 0.337969002, 1e-06, Own),
        ("w_of_sg25_1.280", acid::share(1.280, Water::At25), 0.3735718438, 1e-06, Own),
        (
            "m_of_sg4_1.170",
            acid::share(1.170, Water::At4).and_then(acid::molality_mol_kg),
            3.282652854,
            1e-05,
            Own,
        ),
        ("ocv_of_sg4_1.170", voltage::open_circuit_v(1.170, Water::At4), 2.027784615, 2e-06, Own),
        (
            "m_of_sg4_1.200",
            acid::share(1.200, Water::At4).and_then(acid::molality_mol_kg),
            3.99011138,
            1e-05,
            Own,
        ),
        ("ocv_of_sg4_1.200", voltage::open_circuit_v(1.200, Water::At4), 2.054198571, 2e-06, Own),
        (
            "m_of_sg4_1.215",
            acid::share(1.215, Water::At4).and_then(acid::molality_mol_kg),
            4.365801277,
            1e-05,
            Own,
        ),
        ("ocv_of_sg4_1.215", voltage::open_circuit_v(1.215, Water::At4), 2.067650432, 2e-06, Own),
        (
            "m_of_sg4_1.250",
            acid::share(1.250, Water::At4).and_then(acid::molality_mol_kg),
            5.308003538,
            1e-05,
            Own,
        ),
        ("ocv_of_sg4_1.250", voltage::open_circuit_v(1.250, Water::At4), 2.099979674, 2e-06, Own),
        (
            "m_of_sg4_1.300",
            acid::share(1.300, Water::At4).and_then(acid::molality_mol_kg),
            6.829741542,
            1e-05,
            Own,
        ),
        ("ocv_of_sg4_1.300", voltage::open_circuit_v(1.300, Water::At4), 2.148824795, 2e-06, Own),
        ("ocv_m_1", voltage::rest(1.0).map(|rest| rest.cell_v()), 1.922, 1e-06, Pybamm),
        ("ocv_m_2", voltage::rest(2.0).map(|rest| rest.cell_v()), 1.974559292, 1e-06, Pybamm),
        ("ocv_m_3", voltage::rest(3.0).map(|rest| rest.cell_v()), 2.016754958, 1e-06, Pybamm),
        ("ocv_m_4", voltage::rest(4.0).map(|rest| rest.cell_v()), 2.054557308, 1e-06, Pybamm),
        ("ocv_m_5", voltage::rest(5.0).map(|rest| rest.cell_v()), 2.089612362, 1e-06, Pybamm),
        ("ocv_m_6", voltage::rest(6.0).map(|rest| rest.cell_v()), 2.12264807, 1e-06, Pybamm),
        (
            "kappa_1_298.15",
            acid::conductivity_s_cm(1.0, 298.15 - 273.15),
            0.3944023995,
            1e-06,
            Remembered,
        ),
        (
            "kappa_2_298.15",
            acid::conductivity_s_cm(2.0, 298.15 - 273.15),
            0.6573990304,
            1e-06,
            Remembered,
        ),
        (
            "kappa_3_298.15",
            acid::conductivity_s_cm(3.0, 298.15 - 273.15),
            0.7957881696,
            1e-06,
            Remembered,
        ),
        (
            "kappa_3.7_298.15",
            acid::conductivity_s_cm(3.7, 298.15 - 273.15),
            0.8286525265,
            1e-06,
            Remembered,
        ),
        (
            "kappa_3.7_291.15",
            acid::conductivity_s_cm(3.7, 291.15 - 273.15),
            0.7431004675,
            1e-06,
            Remembered,
        ),
        (
            "kappa_5_298.15",
            acid::conductivity_s_cm(5.0, 298.15 - 273.15),
            0.7842481155,
            1e-06,
            Remembered,
        ),
        ("h2_g_per_Ah", Ok(gas::HYDROGEN_G_PER_AH), 0.03760762305, 1e-07, Arithmetic),
        ("h2_L_0C", gas::hydrogen_l_per_ah(0.0), 0.418147964, 1e-06, Arithmetic),
        ("h2_L_25C", gas::hydrogen_l_per_ah(25.0), 0.4564188741, 1e-06, Arithmetic),
        (
            "h2_cfm_per_A_25C",
            gas::hydrogen_m3_h(1.0, 1.0, 25.0).map(gas::cubic_feet_per_minute),
            0.000268638007,
            1e-09,
            Arithmetic,
        ),
        ("water_g_per_Ah", Ok(gas::WATER_G_PER_AH), 0.3360873957, 1e-07, Arithmetic),
        ("o2_g_per_Ah", Ok(gas::OXYGEN_G_PER_AH), 0.2984797727, 1e-07, Arithmetic),
        ("pbo2_g_per_Ah", Ok(plates::DIOXIDE_G_PER_AH), 4.462417557, 1e-06, Arithmetic),
        ("pb_g_per_Ah", Ok(plates::LEAD_G_PER_AH), 3.865458011, 1e-06, Arithmetic),
        ("h2so4_g_per_Ah", Ok(gravity::ACID_KG_PER_AH * 1000.0), 3.659461933, 1e-06, Arithmetic),
        ("vent_float_60_500", gas::rated_flow_m3_h(60.0, 5.0, 500.0), 7.5, 1e-09, Arithmetic),
        ("vent_dist_float", gas::spark_distance_mm(5.0, 500.0), 390.8761368, 0.0001, Arithmetic),
        ("vent_dist_boost", gas::spark_distance_mm(20.0, 500.0), 620.4771907, 0.0001, Arithmetic),
        ("h2_m3h_60_0.3A", gas::hydrogen_m3_h(0.3, 60.0, 25.0), 0.008215539734, 1e-09, Arithmetic),
        (
            "vent_2pct",
            gas::hydrogen_m3_h(0.3, 60.0, 25.0).and_then(|q| gas::dilution_flow_m3_h(q, 2.0)),
            0.4107769867,
            1e-07,
            Arithmetic,
        ),
        (
            "t_1pct_60m3",
            gas::hydrogen_m3_h(0.3, 60.0, 25.0).and_then(|q| gas::hours_to(q, 60.0, 1.0)),
            73.39994337,
            0.0001,
            Arithmetic,
        ),
        (
            "life_20_k10.000",
            ageing::life_unclamped_years(20.0, 20.0, 10.0),
            28.28427125,
            1e-05,
            Arithmetic,
        ),
        (
            "life_30_k10.000",
            ageing::life_unclamped_years(20.0, 30.0, 10.0),
            14.14213562,
            1e-05,
            Arithmetic,
        ),
        (
            "life_35_k10.000",
            ageing::life_unclamped_years(20.0, 35.0, 10.0),
            10.0,
            1e-05,
            Arithmetic,
        ),
        (
            "life_40_k10.000",
            ageing::life_unclamped_years(20.0, 40.0, 10.0),
            7.071067812,
            1e-05,
            Arithmetic,
        ),
        ("life_mix_k10.000", mixed_life(10.0), 14.28733689, 1e-05, Arithmetic),
        (
            "life_20_k8.333",
            ageing::life_unclamped_years(20.0, 20.0, 25.0 / 3.0),
            30.31433133,
            1e-05,
            Arithmetic,
        ),
        (
            "life_30_k8.333",
            ageing::life_unclamped_years(20.0, 30.0, 25.0 / 3.0),
            13.19507911,
            1e-05,
            Arithmetic,
        ),
        (
            "life_35_k8.333",
            ageing::life_unclamped_years(20.0, 35.0, 25.0 / 3.0),
            8.705505633,
            1e-05,
            Arithmetic,
        ),
        (
            "life_40_k8.333",
            ageing::life_unclamped_years(20.0, 40.0, 25.0 / 3.0),
            5.743491775,
            1e-05,
            Arithmetic,
        ),
        ("life_mix_k8.333", mixed_life(25.0 / 3.0), 13.1382829, 1e-05, Arithmetic),
        ("Ea_10C", ageing::activation_j_mol(10.0), 52948.86216, 0.1, Arithmetic),
        (
            "life_sin_8C",
            ageing::swing_factor(8.0, 10.0).map(|factor| 20.0 / factor),
            18.54663889,
            0.0001,
            Arithmetic,
        ),
        ("cap_time", capacity::by_time_percent(432.0, 480.0, 22.2), 92.78350515, 1e-06, Arithmetic),
        ("cap_rate", capacity::by_rate_percent(85.0, 100.0, 20.0), 89.76, 1e-09, Arithmetic),
        (
            "cap_iec_15C",
            capacity::at_20_ah(380.0, 15.0, Length::Long),
            391.7525773,
            1e-06,
            Arithmetic,
        ),
        (
            "peukert_100A",
            capacity::peukert_hours(400.0, 8.0, 100.0, 1.15),
            3.60500185,
            1e-08,
            Arithmetic,
        ),
        (
            "peukert_200A",
            capacity::peukert_hours(400.0, 8.0, 200.0, 1.15),
            1.624504793,
            1e-08,
            Arithmetic,
        ),
        ("conn_P", joint::heat_w(500.0, 30.0, 1.0), 7.5, 1e-09, Arithmetic),
        ("conn_dV_string", joint::drop_v(500.0, 30.0, 59.0), 0.885, 1e-09, Arithmetic),
        ("strap_uohm", joint::bar_uohm(1.724e-8, 150.0, 75.0), 34.48, 1e-06, Arithmetic),
        ("R_cu_20", joint::copper_at_20_uohm(30.0, 40.0), 27.81383275, 1e-06, Arithmetic),
        ("corr_um_yr_n4", plates::penetration_um_year(1.0, 4.0), 14.940302, 1e-05, Arithmetic),
        ("pbr_pbo2", Ok(plates::DIOXIDE_M3_MOL / plates::LEAD_M3_MOL), 1.395846853, 1e-09, Pybamm),
        ("pbr_pbso4", Ok(plates::SULFATE_M3_MOL / plates::LEAD_M3_MOL), 2.638971452, 1e-09, Pybamm),
        ("wire_25pct_30um", plates::years_to_lose(0.25, 2.0, 30.0), 8.931639748, 1e-06, Arithmetic),
        ("sed_mm", plates::sediment_mm(900.0, 9.4, 0.65, 420.0), 6.513243595, 1e-06, Arithmetic),
        ("growth_cross", growth_reaches(15.2), 23.5106383, 1e-06, Arithmetic),
        (
            "selfd_pow",
            charge::lost_on_open_circuit(0.01, 6.0, 25.0),
            0.0585198506,
            1e-09,
            Arithmetic,
        ),
        ("selfd_exp", charge::lost_continuously(0.01, 6.0, 25.0), 0.05823546642, 1e-09, Arithmetic),
        ("D_3700", acid::diffusivity_m2_s(3.7), 2.712e-09, 1e-14, Pybamm),
        (
            "tau_0.2",
            charge::layering_days(0.2, D).map(|days| days * 86_400.0),
            1494412.738,
            1.0,
            Arithmetic,
        ),
        (
            "tau_0.3",
            charge::layering_days(0.3, D).map(|days| days * 86_400.0),
            3362428.661,
            1.0,
            Arithmetic,
        ),
        (
            "tau_0.5",
            charge::layering_days(0.5, D).map(|days| days * 86_400.0),
            9340079.613,
            1.0,
            Arithmetic,
        ),
        ("top_mix_7d", charge::top_share(0.30, D, 7.0), 0.008820349332, 1e-07, Arithmetic),
        ("top_mix_14d", charge::top_share(0.30, D, 14.0), 0.06404444472, 1e-07, Arithmetic),
        ("top_mix_30d", charge::top_share(0.30, D, 30.0), 0.2056993793, 1e-07, Arithmetic),
        ("top_mix_60d", charge::top_share(0.30, D, 60.0), 0.3637585935, 1e-07, Arithmetic),
        ("top_mix_120d", charge::top_share(0.30, D, 120.0), 0.4708432316, 1e-07, Arithmetic),
        (
            "sg_after_100Ah",
            gravity::discharge(1.215, 20.0, 100.0).map(|after| after.gravity),
            1.203637632,
            2e-06,
            Arithmetic,
        ),
        (
            "sg_after_200Ah",
            gravity::discharge(1.215, 20.0, 200.0).map(|after| after.gravity),
            1.192019328,
            2e-06,
            Arithmetic,
        ),
        (
            "sg_after_300Ah",
            gravity::discharge(1.215, 20.0, 300.0).map(|after| after.gravity),
            1.180145868,
            2e-06,
            Arithmetic,
        ),
        (
            "sg_after_400Ah",
            gravity::discharge(1.215, 20.0, 400.0).map(|after| after.gravity),
            1.168023025,
            2e-06,
            Arithmetic,
        ),
        ("held_Ah", gravity::charge_between_ah(20.0, 1.215, 1.203), 105.545998, 0.01, Arithmetic),
        ("isc_string", STRING.short_circuit_a(), 7799.619531, 0.001, Arithmetic),
        ("pmax", STRING.greatest_power_w(), 239838.3006, 1.0, Arithmetic),
        ("arc_cal", joint::arc_cal_cm2(120.0, 4000.0, 0.3, 45.7), 0.344746683, 1e-07, Arithmetic),
        ("other_cells", voltage::others_v(134.4, 60.0, 2.0), 2.244067797, 1e-08, Arithmetic),
        (
            "grid_current",
            plates::current_density_ma_cm2(105.0, 7.0, 38.0, 33.0),
            5.980861244,
            1e-06,
            Arithmetic,
        ),
        ("stokes", plates::settling_m_s(20.0, 8185.0, 0.00184), 0.0009697445652, 1e-09, Arithmetic),
    ];
    let rows = vectors.map(|(id, met, stated, within, from)| {
        row(format!("{id} ({from:?})"), met.unwrap(), stated, within)
    });
    hold("evaluated apart by script; see each row", &rows);
}
