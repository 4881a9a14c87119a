//! Kinds of reading about plates, growth and sediment.

use super::super::gravity;
use super::super::plates::{self, Reading};
use super::super::range::Range;
use super::{Given, Kind, ReadingError, Work, called, extra, needed, usual};

type Done = Result<Work, ReadingError>;

const FIRST_YEARS: Range = called(plates::YEARS, "age at the first reading");
const SECOND_YEARS: Range = called(plates::YEARS, "age at the second reading");

/// Kinds about plates, growth and sediment.
pub(super) const KINDS: &[Kind] = &[
    Kind {
        id: "plates",
        title: "Plates of a cell and capacity of each positive",
        inputs: &[
            needed("positives", plates::POSITIVES),
            extra("rated_ah", super::super::capacity::CAPACITY),
        ],
        outputs: &[("plates", ""), ("per_positive", "Ah")],
        formula: "plates = 2 × positives + 1; of each positive = rating ÷ positives",
        source: "Construction of stationary cells: one negative more than positives",
        work: count,
    },
    Kind {
        id: "corrosion",
        title: "Lead eaten away by a corrosion current",
        inputs: &[
            needed("ua_cm2", plates::CORROSION),
            usual("electrons", Range::new("electrons for each lead atom", "", 2.0, 4.0), 4.0),
            usual("radius_mm", Range::new("radius of a grid wire", "mm", 0.2, 10.0), 2.0),
            usual("lost_share", called(gravity::PART, "share of the wire lost"), 0.25),
        ],
        outputs: &[("penetration", "µm/year"), ("time", "years")],
        formula: "rate = current density × 207.2 g/mol ÷ (electrons × F × 11.34 g/cm³); time = \
                 radius × (1 − √(1 − share lost)) ÷ rate",
        source: "Faraday's law; typical rates 10 to 50 µm/year from memory",
        work: corrosion,
    },
    Kind {
        id: "growth",
        title: "Growth of the positives between two readings",
        inputs: &[
            needed("first_mm", called(plates::GROWTH, "growth at the first reading")),
            needed("first_years", FIRST_YEARS),
            needed("second_mm", called(plates::GROWTH, "growth at the second reading")),
            needed("second_years", SECOND_YEARS),
            needed("plate_mm", plates::PLATE),
            usual("limit_percent", Range::new("limit of growth", "% of height", 0.5, 8.0), 4.0),
        ],
        outputs: &[("rate", "mm/year"), ("share_a_year", "%"), ("reached_at", "years")],
        formula: "rate = (second − first) ÷ years between; the limit is reached on the same \
                 straight line",
        source: "Arithmetic; end of life near 3 to 5 % of height for lead-calcium, from memory. \
                 No percentage limit for round pure-lead designs",
        work: growth,
    },
    Kind {
        id: "growth_expected",
        title: "Growth expected at a yearly rate",
        inputs: &[
            needed("plate_mm", plates::PLATE),
            needed("percent_year", Range::new("growth", "% a year", 0.0, 2.0)),
            needed("years", plates::YEARS),
        ],
        outputs: &[("straight", "mm"), ("compound", "mm")],
        formula: "straight = height × rate × years; compound = height × ((1 + rate)^years − 1)",
        source: "Arithmetic",
        work: growth_expected,
    },
    Kind {
        id: "sediment",
        title: "Height of sediment from the mass shed",
        inputs: &[
            needed("mass_g", plates::SHED),
            needed("area_cm2", called(gravity::AREA, "area of the floor without ribs")),
            usual("density_g_cm3", plates::DENSITY, 9.4),
            usual("porosity", plates::POROSITY, 0.65),
        ],
        outputs: &[("height", "mm")],
        formula: "height = mass ÷ (density × (1 − porosity) × area)",
        source: "Volume balance; porosity from memory, 9.4 g/cm³ for dioxide, 6.3 for sulfate",
        work: sediment,
    },
    Kind {
        id: "sediment_rate",
        title: "Rise of the sediment between two readings",
        inputs: &[
            needed("first_mm", called(plates::HEIGHT, "height at the first reading")),
            needed("first_years", FIRST_YEARS),
            needed("second_mm", called(plates::HEIGHT, "height at the second reading")),
            needed("second_years", SECOND_YEARS),
            needed("space_mm", called(plates::HEIGHT, "height of the sediment space")),
            usual("reading_mm", Range::new("uncertainty of one reading", "mm", 0.0, 20.0), 1.0),
        ],
        outputs: &[("rate", "mm/year"), ("uncertainty", "mm/year"), ("full_at", "years")],
        formula: "rate = (second − first) ÷ years between; uncertainty = √2 × uncertainty of a \
                 reading ÷ years between",
        source: "Arithmetic; leave out what fell in the first months",
        work: sediment_rate,
    },
    Kind {
        id: "settling",
        title: "How fast a fine particle sinks",
        inputs: &[
            needed("diameter_um", Range::new("particle diameter", "µm", 0.1, 80.0)),
            usual(
                "heavier_kg_m3",
                Range::new("density over the acid's", "kg/m³", 0.0, 11e3),
                8185.0,
            ),
            usual("viscosity_mpa_s", Range::new("viscosity", "mPa s", 0.5, 10.0), 1.84),
        ],
        outputs: &[("speed", "mm/s")],
        formula: "speed = 9.81 m/s² × density difference × diameter² ÷ (18 × viscosity)",
        source: "Stokes' law; viscosity of 30 % acid at 25 °C by thermo 0.6.1",
        work: settling,
    },
];

fn count(given: &Given) -> Done {
    let positives = given.get("positives")?;
    let total = plates::plates(positives)?;
    let each = match given.maybe("rated_ah") {
        Some(rated) => plates::per_positive_ah(rated, positives)?,
        None => f64::NAN,
    };
    let sentence = format!("{positives:.0} positives make a cell of {total:.0} plates.");
    Ok(Work::new([total, each], sentence))
}

fn corrosion(given: &Given) -> Done {
    let rate = plates::penetration_um_year(given.get("ua_cm2")?, given.get("electrons")?)?;
    let share = given.get("lost_share")?;
    let years = plates::years_to_lose(share, given.get("radius_mm")?, rate)?;
    let sentence = format!(
        "The grid loses {rate:.1} µm a year; a wire has lost {:.0} % after {years:.1} years.",
        share * 100.0
    );
    Ok(Work::new([rate, years], sentence))
}

/// Two heights with their ages.
fn pair(given: &Given) -> Result<(Reading, Reading), ReadingError> {
    let first = Reading { years: given.get("first_years")?, mm: given.get("first_mm")? };
    let second = Reading { years: given.get("second_years")?, mm: given.get("second_mm")? };
    Ok((first, second))
}

fn growth(given: &Given) -> Done {
    let (first, second) = pair(given)?;
    let (height, percent) = (given.get("plate_mm")?, given.get("limit_percent")?);
    let rate = plates::rate_mm_year(first, second)?;
    let reached = plates::reaches(first, second, height * percent / 100.0)?;
    let until = match reached {
        Some(years) => format!(
            "; in a straight line {percent:.0} % is reached at {years:.1} years, likely sooner, \
             because growth gathers speed"
        ),
        None => String::new(),
    };
    let sentence = format!("The plates grow {rate:.3} mm a year{until}.");
    let share = 100.0 * rate / height;
    Ok(Work::new([rate, share, reached.unwrap_or(f64::NAN)], sentence))
}

fn growth_expected(given: &Given) -> Done {
    let years = given.get("years")?;
    let (straight, compound) =
        plates::growth_mm(given.get("plate_mm")?, given.get("percent_year")?, years)?;
    let sentence = format!("After {years:.0} years about {straight:.1} mm of growth.");
    Ok(Work::new([straight, compound], sentence))
}

fn sediment(given: &Given) -> Done {
    let mass = given.get("mass_g")?;
    let height = plates::sediment_mm(
        mass,
        given.get("density_g_cm3")?,
        given.get("porosity")?,
        given.get("area_cm2")?,
    )?;
    Ok(Work::new([height], format!("{mass:.0} g shed lie about {height:.1} mm high.")))
}

fn sediment_rate(given: &Given) -> Done {
    let (first, second) = pair(given)?;
    let rate = plates::rate_mm_year(first, second)?;
    let years = second.years - first.years;
    let unsure = plates::rate_uncertainty_mm_year(given.get("reading_mm")?, years)?;
    let space = given.get("space_mm")?;
    let full = plates::reaches(first, second, space)?;
    let trend = if rate.abs() < unsure {
        " No trend can be claimed from these two readings."
    } else if rate < 0.0 {
        " Sediment does not fall by itself: it was moved, it packed down, or a reading is off."
    } else {
        ""
    };
    let sentence =
        format!("The sediment rises {rate:.3} mm a year, give or take {unsure:.3}.{trend}");
    Ok(Work::new([rate, unsure, full.unwrap_or(f64::NAN)], sentence))
}

fn settling(given: &Given) -> Done {
    let diameter = given.get("diameter_um")?;
    let speed = plates::settling_m_s(
        diameter,
        given.get("heavier_kg_m3")?,
        given.get("viscosity_mpa_s")? / 1000.0,
    )? * 1000.0;
    let sentence = format!("A particle of {diameter:.0} µm sinks {speed:.3} mm in a second.");
    Ok(Work::new([speed], sentence))
}
