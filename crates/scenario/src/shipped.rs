//! The scenario files that the program carries with it.

use jarlight_model::diag::Source;

macro_rules! embedded {
    ($($file:literal),* $(,)?) => {
        &[$( (concat!("scenarios/", $file), include_str!(concat!("../../../scenarios/", $file))) ),*]
    };
}

const FILES: &[(&str, &str)] = embedded![
    "01_parts/parts.scenario.ron",
    "01_parts/inside.scenario.ron",
    "01_parts/outside.scenario.ron",
    "02_polarity/polarity.scenario.ron",
    "02_polarity/string.scenario.ron",
    "01_parts/constructions.scenario.ron",
    "01_parts/inside_again.scenario.ron",
    "01_parts/outside_again.scenario.ron",
    "03_first_conditions/first_conditions.scenario.ron",
    "04_look_alikes/look_alikes.scenario.ron",
    "04_look_alikes/twins.scenario.ron",
    "05_plates/colour_and_sulfate.scenario.ron",
    "05_plates/growth_and_wear.scenario.ron",
    "05_plates/rare_and_grave.scenario.ron",
    "06_sediment_and_shorts/sediment_and_dating.scenario.ron",
    "06_sediment_and_shorts/ways_to_a_short.scenario.ron",
    "07_seals_and_connections/seals_and_posts.scenario.ron",
    "07_seals_and_connections/connections.scenario.ron",
    "08_acid_and_gas/acid_and_gas.scenario.ron",
    "08_acid_and_gas/vents_and_gas.scenario.ron",
    "09_jar_and_rack/jar_and_rack.scenario.ron",
    "10_readings/readings.scenario.ron",
    "11_safety/safety_and_walk.scenario.ron",
    "12_cases/cases.scenario.ron",
    "13_refresher/refresher.scenario.ron",
];

/// The shipped scenario files in the order of the course.
pub fn shipped() -> Vec<Source> {
    FILES.iter().map(|(name, text)| Source::new(name, text)).collect()
}
