//! The scenario files that the program carries with it.

use jarlight_model::diag::Source;

macro_rules! embedded {
    ($($file:literal),* $(,)?) => {
        &[$( (concat!("scenarios/", $file), include_str!(concat!("../../../scenarios/", $file))) ),*]
    };
}

const FILES: &[(&str, &str)] = embedded![
    "01_parts/parts.scenario.ron",
    "02_polarity/polarity.scenario.ron",
    "03_first_conditions/first_conditions.scenario.ron",
];

/// The shipped scenario files in the order of the course.
pub fn shipped() -> Vec<Source> {
    FILES.iter().map(|(name, text)| Source::new(name, text)).collect()
}
