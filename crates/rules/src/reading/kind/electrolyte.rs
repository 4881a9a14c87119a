//! Kinds of reading about the electrolyte.

use super::super::acid::{self, Water};
use super::super::gravity::{self, Compensated, Level, TemperatureRule};
use super::super::range::Range;
use super::super::{charge, voltage};
use super::{Given, Kind, ReadingError, Work, called, extra, needed, usual};

type Done = Result<Work, ReadingError>;

const WATER_REFERENCE: Range = Range::new("water compared with (4 or 25)", "°C", 4.0, 25.0);
const NOMINAL: Range = called(gravity::READING, "nominal specific gravity");
const PERCENT: Range = Range::new("acid by mass", "%", 10.0, 90.0);
/// Temperature widened to what any of the rules takes; each rule then refuses for itself.
const SAMPLE: Range = Range::new("electrolyte temperature", "°C", -20.0, 45.0);
const RULE_REFERENCE: Range = Range::new("reference temperature (20, 25 or 27)", "°C", 20.0, 27.0);

/// Kinds about the electrolyte.
pub(super) const KINDS: &[Kind] = &[
    Kind {
        id: "gravity",
        title: "Specific gravity brought to its reference temperature and level",
        inputs: &[
            needed("gravity", gravity::CORRECTED),
            needed("temperature_c", SAMPLE),
            usual("reference_c", RULE_REFERENCE, 25.0),
            usual(
                "compensated",
                Range::new("meter corrects by itself (1 yes, 0 no)", "", 0.0, 1.0),
                0.0,
            ),
            extra("nominal", NOMINAL),
            extra("average", called(gravity::READING, "average specific gravity of the string")),
        ],
        outputs: &[("corrected", ""), ("correction", "")],
        formula: "corrected = gravity + 0.0006 × (temperature − 25 °C); 0.0007 to 20 °C, 0.00072 \
                 to 26.7 °C",
        source: "Common practice: 0.001 for each 3 °F to 77 °F; 0.0007 for each °C to 20 °C; \
                 0.004 for each 10 °F to 80 °F (US Army TM 5-4210-230)",
        work: corrected,
    },
    Kind {
        id: "gravity_level",
        title: "Specific gravity brought to the level mark",
        inputs: &[
            needed("gravity", gravity::READING),
            needed("volume_l", called(gravity::VOLUME, "electrolyte volume at the mark")),
            needed("area_cm2", gravity::AREA),
            needed("drop_mm", gravity::DROP),
        ],
        outputs: &[("at_mark", ""), ("water_lost", "kg")],
        formula: "acid share at the mark = acid share × (mass left ÷ mass at the mark); water \
                 lost = area × drop × 0.997 g/cm³",
        source: "Mass balance: only water is lost, acid stays",
        work: level,
    },
    Kind {
        id: "gravity_layers",
        title: "Specific gravity at top and bottom",
        inputs: &[
            needed("top", called(gravity::READING, "specific gravity at the top")),
            needed("bottom", called(gravity::READING, "specific gravity at the bottom")),
            usual("share_of_top", called(gravity::PART, "share of the upper layer"), 0.5),
        ],
        outputs: &[("difference", ""), ("mean", "")],
        formula: "difference = bottom − top; mean = share × top + (1 − share) × bottom",
        source: "Arithmetic",
        work: layers,
    },
    Kind {
        id: "acid",
        title: "Strength of the acid from specific gravity at 25 °C",
        inputs: &[
            needed("gravity", Range::new("specific gravity", "", 1.064, 1.32)),
            usual("water_c", WATER_REFERENCE, 4.0),
        ],
        outputs: &[
            ("acid_by_mass", "%"),
            ("density", "kg/m³"),
            ("molarity", "mol/L"),
            ("molality", "mol/kg"),
        ],
        formula: "acid share from gravity × density of the water compared with, density \
                 polynomial turned round; mol/L = density × share ÷ 98.079",
        source: "Density polynomial of Myhre and co-workers 1998, one sign inferred from tables",
        work: strength,
    },
    Kind {
        id: "acid_density",
        title: "Density and specific gravity from the strength of the acid",
        inputs: &[needed("acid_percent", PERCENT), usual("temperature_c", acid::TEMPERATURE, 25.0)],
        outputs: &[("density", "kg/m³"), ("gravity_water_4", ""), ("gravity_water_25", "")],
        formula: "density = Σ c(i,j) × share^i × °C^j; gravity = density ÷ density of the water \
                 compared with",
        source: "Density polynomial of Myhre and co-workers 1998, one sign inferred from tables",
        work: density,
    },
    Kind {
        id: "freezing",
        title: "Temperature at which the electrolyte begins to freeze",
        inputs: &[needed("gravity", acid::FREEZING_GRAVITY)],
        outputs: &[("freezing", "°C"), ("freezing_fahrenheit", "°F")],
        formula: "straight lines between the rows of a table of freezing points by gravity",
        source: "US Army TM 5-1185 and OD 1002",
        work: freezing,
    },
    Kind {
        id: "conductivity",
        title: "Conductivity of the electrolyte",
        inputs: &[
            needed("gravity", Range::new("specific gravity", "", 1.064, 1.32)),
            usual("temperature_c", acid::CONDUCTION_TEMPERATURE, 25.0),
        ],
        outputs: &[("conductivity", "S/cm")],
        formula: "κ = x · exp(1.1104 + 199.475 x − 16097.781 x² + (3916.95 − 99406 x − 721860 ÷ \
                 T) ÷ T), x in mol/cm³, T in K",
        source: "Form used in lead-acid porous-electrode models, from memory; within 1.5 % of a \
                 handbook row from 5 to 40 % acid",
        work: conductivity,
    },
    Kind {
        id: "state_of_charge",
        title: "State of charge from specific gravity",
        inputs: &[
            needed("gravity", gravity::READING),
            needed("empty", called(gravity::READING, "specific gravity when discharged")),
            needed("full", called(gravity::READING, "specific gravity when full")),
        ],
        outputs: &[("charge", "%")],
        formula: "charge = (gravity − empty) ÷ (full − empty)",
        source: "Straight line, as on the scale of US Army TM 5-1185 table II",
        work: state,
    },
    Kind {
        id: "discharge",
        title: "Electrolyte after a discharge",
        inputs: &[
            needed("gravity", Range::new("specific gravity before", "", 1.064, 1.32)),
            needed("mass_kg", gravity::MASS),
            needed("charge_ah", gravity::CHARGE),
        ],
        outputs: &[("gravity", ""), ("acid_by_mass", "%"), ("mass", "kg"), ("volume", "L")],
        formula: "acid share = (share × mass − 3.65946 g × Ah) ÷ (mass − 2.98729 g × Ah)",
        source: "Mass balance of the cell reaction, 3.65946 g of acid for each Ah",
        work: discharge,
    },
    Kind {
        id: "charge_missing",
        title: "Charge and sulfate behind a gravity that will not rise",
        inputs: &[
            needed("full", Range::new("specific gravity when full", "", 1.064, 1.32)),
            needed("gravity", Range::new("specific gravity", "", 1.064, 1.32)),
            needed("mass_kg", gravity::MASS),
        ],
        outputs: &[("charge", "Ah"), ("sulfate_each_plate_group", "g")],
        formula: "Ah = mass × (share when full − share now) ÷ (3.65946 g − share now × 2.98729 \
                 g); sulfate on each plate group 5.6575 g for each Ah",
        source: "Mass balance of the cell reaction",
        work: missing,
    },
    Kind {
        id: "gravity_from_voltage",
        title: "Specific gravity from the voltage of a rested cell",
        inputs: &[needed("volts", voltage::RESTED)],
        outputs: &[("gravity", "")],
        formula: "E(molality) of the rest-voltage fit, turned round by halving",
        source: "Rest-voltage fit of Bode 1977 as in pybamm 26.10.1.1, turned round",
        work: from_voltage,
    },
    Kind {
        id: "layering",
        title: "How far diffusion alone has evened out layered acid",
        inputs: &[needed("height_m", charge::HEIGHT), needed("days", charge::DAYS)],
        outputs: &[("time_constant", "days"), ("evened_out", "%")],
        formula: "time constant = height² ÷ (π² × diffusivity); evened out by the series of the \
                 diffusion equation",
        source: "Diffusion between closed ends, diffusivity of pybamm 26.10.1.1 at 3.7 mol/L",
        work: layering,
    },
    Kind {
        id: "gravity_lag",
        title: "Specific gravity some days after a recharge",
        inputs: &[
            needed("from", called(gravity::READING, "specific gravity at the start")),
            needed("to", called(gravity::READING, "specific gravity in the end")),
            usual("tau_days", Range::new("time constant of the lag", "days", 0.5, 60.0), 10.0),
            needed("days", charge::DAYS),
        ],
        outputs: &[("gravity", "")],
        formula: "gravity = to + (from − to) × exp(−days ÷ time constant)",
        source: "Estimate: one exponential",
        work: lag,
    },
];

fn corrected(given: &Given) -> Done {
    let (reading, celsius) = (given.get("gravity")?, given.get("temperature_c")?);
    let reference = given.get("reference_c")?;
    let rules =
        [TemperatureRule::EUROPE, TemperatureRule::NORTH_AMERICA, TemperatureRule::PORTABLE];
    // 80 °F is 26.67 °C, which people give as 27.
    let rule = rules.into_iter().find(|rule| (rule.reference_c - reference).abs() < 0.4);
    let rule = rule.ok_or_else(|| RULE_REFERENCE.refuse(reference))?;
    let compensated =
        if given.get("compensated")? == 0.0 { Compensated::NotYet } else { Compensated::Already };
    let at = gravity::at_reference(reading, celsius, rule, compensated)?;
    let sentence =
        format!("{reading:.3} read at {celsius:.1} °C is {at:.4} at {:.1} °C.", rule.reference_c);
    let mut work = Work::new([at, at - reading], sentence);
    if let Some(average) = given.maybe("average") {
        work = work.compare("q_sg_low_cell", at, Some(average))?;
        work = work.compare("q_sg_high", at, Some(average))?;
    } else if let Some(nominal) = given.maybe("nominal") {
        work = work.compare("q_sg_low_string", at, Some(nominal))?;
        work = work.compare("q_sg_high", at, Some(nominal))?;
    }
    Ok(work)
}

fn level(given: &Given) -> Done {
    let level = Level {
        volume_l: given.get("volume_l")?,
        area_cm2: given.get("area_cm2")?,
        drop_mm: given.get("drop_mm")?,
    };
    let reading = given.get("gravity")?;
    let (at, lost) = (level.gravity_at_mark(reading)?, level.water_lost_kg()?);
    let sentence = format!(
        "{reading:.3} read {:.1} mm under the mark would be {at:.4} at the mark, once {:.0} g of \
         water is back and mixed.",
        level.drop_mm,
        lost * 1000.0
    );
    Ok(Work::new([at, lost], sentence))
}

fn layers(given: &Given) -> Done {
    let (top, bottom) = (given.get("top")?, given.get("bottom")?);
    let mean = gravity::layers_mean(top, bottom, given.get("share_of_top")?)?;
    let sentence = format!(
        "The bottom reads {bottom:.3} against {top:.3} at the top; by volume the mean is {mean:.4}."
    );
    Work::new([bottom - top, mean], sentence).compare("q_sg_gradient", bottom, Some(top))
}

fn water(given: &Given) -> Result<Water, ReadingError> {
    match given.get("water_c")? {
        4.0 => Ok(Water::At4),
        25.0 => Ok(Water::At25),
        other => Err(WATER_REFERENCE.refuse(other).into()),
    }
}

fn strength(given: &Given) -> Done {
    let (gravity, water) = (given.get("gravity")?, water(given)?);
    let share = acid::share(gravity, water)?;
    let (molarity, molality) = (acid::molarity_mol_l(share, 25.0)?, acid::molality_mol_kg(share)?);
    let density = acid::density_kg_m3(share, 25.0)?;
    let sentence = format!(
        "{gravity:.3} is {:.2} % acid by mass, {molarity:.3} mol/L, with {} as the comparison.",
        share * 100.0,
        match water {
            Water::At4 => "water at 4 °C",
            Water::At25 => "water at 25 °C",
        }
    );
    Ok(Work::new([share * 100.0, density, molarity, molality], sentence))
}

fn density(given: &Given) -> Done {
    let (percent, celsius) = (given.get("acid_percent")?, given.get("temperature_c")?);
    let density = acid::density_kg_m3(percent / 100.0, celsius)?;
    let by = |water: Water| density / water.kg_m3();
    let sentence = format!("Acid of {percent:.1} % weighs {density:.1} kg/m³ at {celsius:.1} °C.");
    Ok(Work::new([density, by(Water::At4), by(Water::At25)], sentence))
}

fn freezing(given: &Given) -> Done {
    let gravity = given.get("gravity")?;
    let celsius = acid::freezing_c(gravity)?;
    let sentence = format!("Electrolyte of {gravity:.3} begins to freeze near {celsius:.0} °C.");
    Ok(Work::new([celsius, acid::fahrenheit(celsius)], sentence))
}

fn conductivity(given: &Given) -> Done {
    let (gravity, celsius) = (given.get("gravity")?, given.get("temperature_c")?);
    let molarity = acid::molarity_mol_l(acid::share(gravity, Water::At4)?, 25.0)?;
    let conductivity = acid::conductivity_s_cm(molarity, celsius)?;
    let sentence =
        format!("Electrolyte of {gravity:.3} conducts {conductivity:.3} S/cm at {celsius:.1} °C.");
    Ok(Work::new([conductivity], sentence))
}

fn state(given: &Given) -> Done {
    let gravity = given.get("gravity")?;
    let state = gravity::state_of_charge(gravity, given.get("empty")?, given.get("full")?)?;
    let sentence = format!(
        "{gravity:.3} is {:.0} % of the charge, if no acid was lost or added and the acid is \
         mixed.",
        state * 100.0
    );
    Ok(Work::new([state * 100.0], sentence))
}

fn discharge(given: &Given) -> Done {
    let (before, ah) = (given.get("gravity")?, given.get("charge_ah")?);
    let after = gravity::discharge(before, given.get("mass_kg")?, ah)?;
    let sentence = format!(
        "{ah:.0} Ah bring {before:.3} down to {:.4}, once the acid is mixed.",
        after.gravity
    );
    let values = [after.gravity, after.share * 100.0, after.mass_kg, after.volume_l];
    Ok(Work::new(values, sentence))
}

fn missing(given: &Given) -> Done {
    let (full, now) = (given.get("full")?, given.get("gravity")?);
    let full = called(gravity::READING, "specific gravity when full").check(full)?;
    let now = Range { max: full, ..gravity::READING }.check(now)?;
    let ah = gravity::charge_between_ah(given.get("mass_kg")?, full, now)?;
    let sulfate = charge::sulfate_each_plate_g(ah)?;
    let sentence = format!(
        "A gravity that stays at {now:.3} instead of {full:.3} holds back {ah:.0} Ah as sulfate."
    );
    Ok(Work::new([ah, sulfate], sentence))
}

fn from_voltage(given: &Given) -> Done {
    let volts = given.get("volts")?;
    let gravity = voltage::gravity_from_rested(volts)?;
    let sentence = format!(
        "{volts:.3} V after a day of rest at 25 °C fits a gravity of {gravity:.3}; 5 mV is 0.0055."
    );
    Ok(Work::new([gravity], sentence))
}

fn layering(given: &Given) -> Done {
    let (height, days) = (given.get("height_m")?, given.get("days")?);
    let diffusivity = charge::usual_diffusivity_m2_s()?;
    let tau = charge::layering_days(height, diffusivity)?;
    let evened = charge::top_share(height, diffusivity, days)? * 200.0;
    let sentence = format!(
        "Without gas to stir it, acid {height:.2} m deep is {evened:.0} % evened out after \
         {days:.0} days."
    );
    Ok(Work::new([tau, evened], sentence))
}

fn lag(given: &Given) -> Done {
    let (from, to) = (given.get("from")?, given.get("to")?);
    let days = given.get("days")?;
    let gravity = charge::lagging_gravity(from, to, given.get("tau_days")?, days)?;
    let sentence = format!(
        "{days:.0} days after the recharge the sample reads about {gravity:.4} on its way to \
         {to:.3}."
    );
    Ok(Work::new([gravity], sentence))
}
