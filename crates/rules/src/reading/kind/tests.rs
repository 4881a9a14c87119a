//! Each kind by name: an example, refusals, other units, JSON.

use std::collections::{BTreeMap, BTreeSet};

use super::*;

/// An example of each kind: what is given, and one number that must come out, to 1e-4 of itself.
///
/// Numbers are those of the tests in `tests/published`, where their sources stand; this table
/// checks that names are joined to the right formula.
const EXAMPLES: &[(&str, &str, &str, f64)] = &[
    ("gravity", "gravity=1.208 temperature_f=90", "corrected", 1.212333),
    ("gravity_level", "gravity=1.219315 volume_l=12 area_cm2=400 drop_in=0.25", "at_mark", 1.215),
    ("gravity_layers", "top=1.18 bottom=1.26 share_of_top=0.4", "mean", 1.228),
    ("acid", "gravity=1.215", "acid_by_mass", 29.98147),
    ("acid_density", "acid_percent=30", "density", 1215.1166),
    ("freezing", "gravity=1.2", "freezing", -26.6667),
    ("conductivity", "gravity=1.215 temperature_c=25", "conductivity", 0.82885),
    ("state_of_charge", "gravity=1.22 empty=1.16 full=1.28", "charge", 50.0),
    ("discharge", "gravity=1.215 mass_kg=20 charge_ah=100", "gravity", 1.203637632),
    ("charge_missing", "full=1.215 gravity=1.203 mass_kg=20", "charge", 105.545998),
    ("gravity_from_voltage", "volts=2.067650432", "gravity", 1.215),
    ("layering", "height_m=0.3 days=30", "evened_out", 41.13988),
    ("gravity_lag", "from=1.19 to=1.215 days=7", "gravity", 1.202585),
    ("open_circuit", "gravity=1.215", "voltage", 2.067650432),
    ("float_cell", "volts=2.12 temperature_c=31", "at_25", 2.1398),
    ("float_string", "string_v=134.4 cells=60", "per_cell", 2.24),
    ("float_setting", "at_25_v=2.25 temperature_c=15", "setting", 2.283),
    ("other_cells", "string_v=134.4 cells=60 one_v=2", "others", 2.244067797),
    ("capacity_by_time", "actual_min=432 rated_min=480 temperature_c=22.2", "capacity", 92.7835),
    ("capacity_by_rate", "actual_a=85 published_a=100 temperature_c=20", "capacity", 89.76),
    ("capacity_at_20", "measured_ah=380 temperature_c=15 rate_h=10", "capacity", 391.753),
    ("runtime", "capacity_ah=400 rated_h=8 current_a=100", "time", 3.605002),
    ("connection", "now_uohm=36.1 baseline_uohm=30 current_a=500", "rise", 20.3333),
    ("connection_at_20", "now_uohm=30 temperature_c=40", "at_20", 27.8138),
    ("ohmic", "now_mohm=0.372 baseline_mohm=0.31", "rise", 20.0),
    (
        "internal_resistance",
        "first_v=1.985 first_a=225 second_v=1.955 second_a=425",
        "resistance",
        0.15,
    ),
    ("short_circuit", "cells=60 internal_mohm=0.15 outside_mohm=5", "current", 7799.62),
    ("arc", "string_v=120 short_circuit_a=4000 seconds=0.3 distance_mm=457", "heat", 0.344747),
    ("ground", "volts=3 accepted_v=1", "over", 2.0),
    ("self_discharge", "percent_month=1 months=6", "lost", 5.852),
    ("temperature", "cell_c=29 average_c=25", "against_average", 4.0),
    (
        "ageing",
        "temperature_1_c=25 months_1=7 temperature_2_c=32 months_2=3 temperature_3_c=38 months_3=2",
        "life",
        13.1383,
    ),
    ("float_current", "now_a=0.7 recorded_a=0.3 temperature_c=35", "expected", 0.71352),
    ("water_loss", "current_a=0.5 days=365.25", "water", 1473.07),
    ("watering_interval", "area_cm2=420 between_mm=40 current_a=0.5", "interval", 13.645),
    ("water_use", "now_ml_month=123.12 recorded_ml_month=50", "gassing_current", 0.5),
    ("hydrogen", "current_a=0.3 cells=60", "flow", 0.00821554),
    ("ventilation", "current_a=0.3 cells=60 room_m3=60", "hours_without_air", 73.3999),
    ("ventilation_rated", "cells=60 capacity_ah=500", "spark_distance", 390.876),
    (
        "room_hydrogen",
        "hydrogen_m3_h=0.00821554 air_m3_h=2 room_m3=60 hours=24",
        "hydrogen",
        0.225881,
    ),
    ("plates", "positives=7 rated_ah=840", "per_positive", 120.0),
    ("corrosion", "ua_cm2=1", "penetration", 14.9403),
    (
        "growth",
        "first_mm=2.1 first_years=4 second_mm=6.8 second_years=11 plate_mm=380",
        "reached_at",
        23.5106,
    ),
    ("growth_expected", "plate_mm=380 percent_year=0.18 years=10", "compound", 6.8957),
    ("sediment", "mass_g=900 area_cm2=420", "height", 6.5132),
    (
        "sediment_rate",
        "first_mm=0 first_years=0 second_mm=7 second_years=9 space_mm=25",
        "full_at",
        32.1429,
    ),
    ("settling", "diameter_um=20", "speed", 0.969745),
];

fn given(text: &str) -> BTreeMap<String, f64> {
    text.split_whitespace()
        .filter_map(|pair| pair.split_once('='))
        .map(|(name, value)| (name.to_owned(), value.parse().unwrap()))
        .collect()
}

#[test]
fn each_kind_has_an_example_that_comes_out() {
    let named: BTreeSet<&str> = EXAMPLES.iter().map(|example| example.0).collect();
    let offered: BTreeSet<&str> = kinds().map(|kind| kind.id).collect();
    assert_eq!(named, offered);
    assert_eq!(kinds().count(), offered.len(), "two kinds share a name");
    for (id, text, output, stated) in EXAMPLES {
        let met = evaluate(id, &given(text)).unwrap_or_else(|e| panic!("{id}: {e}"));
        let value = met.value(output).unwrap_or_else(|| panic!("{id} gives no {output}"));
        assert!((value - stated).abs() <= 1e-4 * stated.abs(), "{id}: {output} is {value}");
        assert!(met.values.iter().all(|v| v.value.is_finite()), "{id}: {:?}", met.values);
        assert!(met.sentence.ends_with('.') && !met.sentence.contains("NaN"), "{}", met.sentence);
    }
}

#[test]
fn each_kind_gives_as_many_numbers_as_it_names() {
    for (id, text, ..) in EXAMPLES {
        let kind = kind(id).unwrap();
        let work = (kind.work)(&kind.take(&given(text)).unwrap()).unwrap();
        assert_eq!(work.values.len(), kind.outputs.len(), "{id}");
    }
}

#[test]
fn each_number_outside_its_range_is_refused_with_the_range() {
    for (id, text, ..) in EXAMPLES {
        let kind = kind(id).unwrap();
        for input in kind.inputs {
            for beyond in [input.range.min - 1e-3, f64::NAN, f64::INFINITY] {
                let mut given = given(text);
                if let Some((also, _)) = input.also() {
                    given.remove(&also);
                }
                given.insert(input.name.to_owned(), beyond);
                let Err(ReadingError::OutOfRange(refused)) = kind.evaluate(&given) else {
                    panic!("{id} takes {} of {beyond}", input.name);
                };
                assert_eq!((refused.what, refused.min), (input.range.what, input.range.min));
            }
        }
    }
}

#[test]
fn each_number_that_must_be_given_is_asked_for() {
    for (id, text, ..) in EXAMPLES {
        let kind = kind(id).unwrap();
        for input in kind.inputs.iter().filter(|input| !input.optional()) {
            let mut given = given(text);
            given.remove(input.name);
            if let Some((also, _)) = input.also() {
                given.remove(&also);
            }
            let missing = kind.evaluate(&given).unwrap_err();
            let ReadingError::MissingInput { name, .. } = missing else {
                panic!("{id} without {}: {missing}", input.name);
            };
            assert_eq!(name, input.name);
        }
    }
}

#[test]
fn numbers_may_be_left_out_when_they_only_add_to_the_result() {
    let met = evaluate("connection", &given("now_uohm=36 baseline_uohm=30")).unwrap();
    assert_eq!(met.values.len(), 1);
    let met = evaluate("temperature", &given("average_c=31")).unwrap();
    assert!(met.values.is_empty());
    assert_eq!(met.findings[0].beyond, Some(Beyond::Over));
}

#[test]
fn unknown_names_are_told() {
    assert_eq!(
        evaluate("gravty", &given("")).unwrap_err().to_string(),
        "no reading is called `gravty`"
    );
    assert_eq!(
        evaluate("freezing", &given("gravty=1.2")).unwrap_err().to_string(),
        "`freezing` does not take `gravty`; it takes gravity"
    );
    assert_eq!(
        evaluate("freezing", &given("")).unwrap_err().to_string(),
        "`freezing` needs `gravity`: specific gravity 1 to 1.28"
    );
}

#[test]
fn one_number_in_two_units_is_refused() {
    let twice = given("gravity=1.215 temperature_c=25 temperature_f=77");
    let refused = evaluate("gravity", &twice).unwrap_err();
    assert_eq!(refused, ReadingError::GivenTwice { name: "temperature_c" });
}

#[test]
fn findings_follow_the_limits() {
    let found = |id: &str, text: &str| -> Vec<(&str, Option<Beyond>)> {
        let met = evaluate(id, &given(text)).unwrap();
        met.findings.iter().map(|f| (f.finding, f.beyond)).collect()
    };
    assert_eq!(
        found("gravity", "gravity=1.200 temperature_c=25 nominal=1.215"),
        [("q_sg_low_string", Some(Beyond::Under)), ("q_sg_high", None)]
    );
    assert_eq!(
        found("gravity", "gravity=1.228 temperature_c=25 average=1.215"),
        [("q_sg_low_cell", None), ("q_sg_high", Some(Beyond::Over))]
    );
    assert_eq!(
        found("float_cell", "volts=-0.4 average_v=2.23"),
        [("q_pol_neg", Some(Beyond::Under)), ("q_v_low_cell", Some(Beyond::Under))]
    );
    assert_eq!(
        found("float_string", "string_v=138 cells=60"),
        [("q_v_low_string", None), ("q_v_high_string", Some(Beyond::Over))]
    );
}

#[test]
fn three_hours_is_not_guessed() {
    let at = |hours| {
        evaluate(
            "capacity_at_20",
            &given(&format!("measured_ah=380 temperature_c=25 rate_h={hours}")),
        )
    };
    assert!(at(3.0).is_err() && at(1.0).is_ok() && at(10.0).is_ok());
}

#[test]
fn results_as_json() {
    let text = evaluate("ohmic", &given("now_mohm=0.403 baseline_mohm=0.31")).unwrap().to_json();
    let json: serde_json::Value = serde_json::from_str(&text).unwrap();
    assert_eq!(json["kind"], "ohmic");
    assert_eq!(json["values"][0]["unit"], "%");
    assert!((json["values"][0]["value"].as_f64().unwrap() - 30.0).abs() < 1e-9);
    assert_eq!(json["findings"][0]["finding"], "q_ohm_high");
    assert_eq!(json["findings"][0]["beyond"], "over");
}
