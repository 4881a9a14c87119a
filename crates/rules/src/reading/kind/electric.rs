//! Kinds of reading about voltage, capacity, connections and faults.

use super::super::acid::Water;
use super::super::capacity::{self, Length, Verdict};
use super::super::charge;
use super::super::joint::{self, Circuit};
use super::super::range::Range;
use super::super::voltage::{self, FloatState};
use super::{Given, Kind, ReadingError, Work, called, extra, needed, usual};

type Done = Result<Work, ReadingError>;

const FIT: &str = "Rest-voltage fit of Bode 1977 as in pybamm 26.10.1.1; rule: common practice";
const OUTSIDE: Range = Range::new("resistance outside the string", "mΩ", 0.0, 10_000.0);

/// Kinds about voltage, capacity, connections and faults.
pub(super) const KINDS: &[Kind] = &[
    Kind {
        id: "open_circuit",
        title: "Voltage of a rested cell from specific gravity",
        inputs: &[needed("gravity", Range::new("specific gravity", "", 1.064, 1.32))],
        outputs: &[("voltage", "V"), ("by_rule", "V")],
        formula: "E = 1.922 + powers of log10(molality) of the fit; by rule gravity + 0.84",
        source: FIT,
        work: open_circuit,
    },
    Kind {
        id: "float_cell",
        title: "Float voltage of one cell, against its string and its limits",
        inputs: &[
            needed("volts", voltage::CELL),
            usual("temperature_c", voltage::TEMPERATURE, 25.0),
            usual("per_c", voltage::PER_C, voltage::USUAL_PER_C),
            extra("average_v", called(voltage::FLOAT, "average float voltage of the string")),
        ],
        outputs: &[("at_25", "V"), ("against_average", "V")],
        formula: "at 25 °C = volts − slope × (temperature − 25 °C); against average = volts − \
                 average",
        source: "Slope and limits of 2.13 V and 2.07 V for nominal 1.215 from memory (IEEE 450 \
                 class)",
        work: float_cell,
    },
    Kind {
        id: "float_string",
        title: "Float voltage per cell of a string",
        inputs: &[
            needed("string_v", voltage::STRING),
            needed("cells", voltage::CELLS),
            usual("low_v", called(voltage::FLOAT, "lower end of the set range per cell"), 2.17),
            usual("high_v", called(voltage::FLOAT, "upper end of the set range per cell"), 2.26),
        ],
        outputs: &[("per_cell", "V")],
        formula: "per cell = string voltage ÷ cells",
        source: "UFGS 16265A, 2.17 to 2.26 V for nominal 1.215; the maker's range decides",
        work: float_string,
    },
    Kind {
        id: "float_setting",
        title: "Float voltage to set at a temperature",
        inputs: &[
            needed("at_25_v", voltage::FLOAT),
            needed("temperature_c", voltage::TEMPERATURE),
            usual("per_c", voltage::PER_C, voltage::USUAL_PER_C),
        ],
        outputs: &[("setting", "V")],
        formula: "setting = volts at 25 °C + slope × (temperature − 25 °C)",
        source: "Common practice, slope from memory; the maker's own slope decides",
        work: float_setting,
    },
    Kind {
        id: "other_cells",
        title: "Voltage that one weak cell leaves to the others",
        inputs: &[
            needed("string_v", voltage::STRING),
            needed("cells", Range { min: 2.0, ..voltage::CELLS }),
            needed("one_v", voltage::CELL),
        ],
        outputs: &[("others", "V")],
        formula: "others = (string voltage − one cell) ÷ (cells − 1)",
        source: "Arithmetic: the charger holds the sum",
        work: others,
    },
    Kind {
        id: "capacity_by_time",
        title: "Capacity from the time a long test lasted",
        inputs: &[
            needed("actual_min", capacity::ACTUAL_MIN),
            needed("rated_min", capacity::RATED_MIN),
            needed("temperature_c", capacity::TIME_TEMPERATURE),
            extra("previous_percent", called(capacity::PERCENT, "capacity at the previous test")),
        ],
        outputs: &[("capacity", "%"), ("uncorrected", "%")],
        formula: "capacity = 100 × actual time ÷ (rated time × factor of the temperature)",
        source: "IEEE 450-2002, table from memory, to be checked before official use",
        work: by_time,
    },
    Kind {
        id: "capacity_by_rate",
        title: "Capacity from the current of a short test",
        inputs: &[
            needed("actual_a", called(capacity::RATE, "current of the test")),
            needed("published_a", called(capacity::RATE, "published current for the time reached")),
            needed("temperature_c", capacity::RATE_TEMPERATURE),
            extra("previous_percent", called(capacity::PERCENT, "capacity at the previous test")),
        ],
        outputs: &[("capacity", "%"), ("uncorrected", "%")],
        formula: "capacity = 100 × actual current × factor of the temperature ÷ published current",
        source: "IEEE 450 and IEEE 485, table from memory, to be checked before official use",
        work: by_rate,
    },
    Kind {
        id: "capacity_at_20",
        title: "Measured ampere-hours brought to 20 °C",
        inputs: &[
            needed("measured_ah", capacity::CAPACITY),
            needed("temperature_c", Range::new("electrolyte temperature", "°C", 15.0, 35.0)),
            needed("rate_h", Range::new("rate of the test", "h", 0.25, 24.0)),
        ],
        outputs: &[("capacity", "Ah")],
        formula: "at 20 °C = measured ÷ (1 + coefficient × (temperature − 20 °C))",
        source: "IEC 60896-11, from memory: 0.006 for long, 0.010 for short rates",
        work: at_20,
    },
    Kind {
        id: "runtime",
        title: "Hours at another current",
        inputs: &[
            needed("capacity_ah", capacity::CAPACITY),
            needed("rated_h", Range::new("rated time", "h", 1.0, 100.0)),
            needed("current_a", capacity::RATE),
            usual("exponent", Range::new("Peukert exponent", "", 1.0, 1.5), 1.15),
        ],
        outputs: &[("time", "h"), ("charge", "Ah")],
        formula: "time = rated time × (capacity ÷ (current × rated time))^exponent",
        source: "Peukert's law; the exponent is the cell's own",
        work: runtime,
    },
    Kind {
        id: "connection",
        title: "Connection resistance against its baseline",
        inputs: &[
            needed("now_uohm", joint::RESISTANCE),
            needed("baseline_uohm", called(joint::RESISTANCE, "baseline")),
            extra("current_a", joint::CURRENT),
            usual("connections", joint::COUNT, 1.0),
        ],
        outputs: &[("rise", "%"), ("voltage_lost", "V"), ("heat", "W")],
        formula: "rise = 100 × (now ÷ baseline − 1); loss = current × resistance × number; heat \
                 = current² × resistance × number",
        source: "IEEE 450, from memory: act over 1.2 times the baseline",
        work: connection,
    },
    Kind {
        id: "connection_at_20",
        title: "Copper connection resistance brought to 20 °C",
        inputs: &[
            needed("now_uohm", joint::RESISTANCE),
            needed("temperature_c", joint::TEMPERATURE),
        ],
        outputs: &[("at_20", "µΩ")],
        formula: "at 20 °C = now ÷ (1 + 0.00393 × (temperature − 20 °C))",
        source: "Temperature coefficient of copper, from memory",
        work: connection_at_20,
    },
    Kind {
        id: "ohmic",
        title: "Internal ohmic value against its baseline",
        inputs: &[
            needed("now_mohm", joint::OHMIC),
            needed("baseline_mohm", called(joint::OHMIC, "baseline")),
        ],
        outputs: &[("rise", "%")],
        formula: "rise = 100 × (now ÷ baseline − 1)",
        source: "Estimate: warning at 30 %; compare one meter with itself only",
        work: ohmic,
    },
    Kind {
        id: "internal_resistance",
        title: "Internal resistance from two loads",
        inputs: &[
            needed("first_v", Range::new("voltage at the first load", "V", 0.5, 2.5)),
            needed("first_a", joint::CURRENT),
            needed("second_v", Range::new("voltage at the second load", "V", 0.5, 2.5)),
            needed("second_a", joint::CURRENT),
        ],
        outputs: &[("resistance", "mΩ")],
        formula: "resistance = (first volts − second volts) ÷ (second current − first current)",
        source: "Two-step method",
        work: internal,
    },
    Kind {
        id: "short_circuit",
        title: "Current that a short circuit could draw",
        inputs: &[
            needed("cells", voltage::CELLS),
            usual("rest_v", Range::new("rest voltage", "V", 1.8, 2.2), 2.05),
            needed("internal_mohm", joint::OHMIC),
            usual("connection_uohm", Range { min: 0.0, ..joint::RESISTANCE }, 30.0),
            usual("outside_mohm", OUTSIDE, 0.0),
        ],
        outputs: &[("current", "A"), ("greatest_power", "W")],
        formula: "current = cells × rest voltage ÷ (cells × inside + (cells − 1) × connection + \
                 outside); greatest power = voltage² ÷ (4 × resistance)",
        source: "Ohm's law; a matched load for the greatest power",
        work: short_circuit,
    },
    Kind {
        id: "arc",
        title: "Size of the heat of an arc, for teaching only",
        inputs: &[
            needed("string_v", Range::new("string voltage", "V", 12.0, 1000.0)),
            needed("short_circuit_a", Range::new("short-circuit current", "A", 0.0, 100_000.0)),
            needed("seconds", Range::new("time of the arc", "s", 0.0, 2.0)),
            needed("distance_mm", Range::new("working distance", "mm", 100.0, 5000.0)),
        ],
        outputs: &[("heat", "cal/cm²")],
        formula: "heat = 0.01 × volts × current ÷ 2 × seconds ÷ distance²",
        source: "NFPA 70E annex D, from memory",
        work: arc,
    },
    Kind {
        id: "ground",
        title: "Unwanted voltage between the string and ground",
        inputs: &[
            needed("volts", Range::new("unwanted voltage to ground", "V", 0.0, 1200.0)),
            needed("accepted_v", Range::new("voltage that the site accepts", "V", 0.0, 1200.0)),
        ],
        outputs: &[("over", "V")],
        formula: "over = volts − accepted",
        source: "Estimate: the site's own limit decides",
        work: ground,
    },
    Kind {
        id: "self_discharge",
        title: "Charge lost on open circuit",
        inputs: &[
            usual(
                "percent_month",
                Range::new("self-discharge at 25 °C", "% a month", 0.1, 20.0),
                2.0,
            ),
            needed("months", charge::MONTHS),
            usual("temperature_c", Range::new("temperature", "°C", 0.0, 45.0), 25.0),
        ],
        outputs: &[("lost", "%")],
        formula: "lost = 1 − (1 − rate)^months, rate × 2^((temperature − 25 °C) ÷ 10 °C)",
        source: "Arithmetic; rate from memory, doubling for each 10 °C",
        work: self_discharge,
    },
];

fn open_circuit(given: &Given) -> Done {
    let gravity = given.get("gravity")?;
    let volts = voltage::open_circuit_v(gravity, Water::At4)?;
    let rule = voltage::open_circuit_by_rule_v(gravity, 0.84)?;
    let sentence = format!(
        "A rested, mixed cell of {gravity:.3} shows {volts:.3} V at 25 °C; the rule of gravity \
         plus 0.84 says {rule:.3} V."
    );
    Ok(Work::new([volts, rule], sentence))
}

fn float_cell(given: &Given) -> Done {
    let volts = given.get("volts")?;
    let at_25 = voltage::at_25(volts, given.get("temperature_c")?, given.get("per_c")?)?;
    let average = given.maybe("average_v");
    let state = match voltage::judge_float(if volts < 0.0 { volts } else { at_25 })? {
        FloatState::Reversed => "plus and minus are exchanged; ask authorised staff at once",
        FloatState::Failed => "under 2.07 V, which counts as failed",
        FloatState::Attention => "at or under 2.13 V, which asks for attention",
        FloatState::Sound => "above 2.13 V",
    };
    let sentence = format!(
        "{volts:.3} V is {at_25:.4} V at 25 °C; for a nominal 1.215 cell that is: {state}."
    );
    let against = average.map_or(f64::NAN, |average| volts - average);
    let work = Work::new([at_25, against], sentence).compare("q_pol_neg", volts, None)?;
    match average {
        Some(average) => work.compare("q_v_low_cell", volts, Some(average)),
        None => Ok(work),
    }
}

fn float_string(given: &Given) -> Done {
    let cells = given.get("cells")?;
    let per_cell = voltage::per_cell_v(given.get("string_v")?, cells)?;
    let (low, high) = (given.get("low_v")?, given.get("high_v")?);
    let sentence = format!(
        "{cells:.0} cells float at {per_cell:.4} V each; the set range is {low:.2} to {high:.2} V."
    );
    Work::new([per_cell], sentence).compare("q_v_low_string", per_cell, Some(low))?.compare(
        "q_v_high_string",
        per_cell,
        Some(high),
    )
}

fn float_setting(given: &Given) -> Done {
    let (at_25, celsius) = (given.get("at_25_v")?, given.get("temperature_c")?);
    let setting = voltage::float_at(at_25, celsius, given.get("per_c")?)?;
    let sentence = format!(
        "{at_25:.3} V at 25 °C becomes {setting:.4} V per cell at {celsius:.1} °C; the maker's \
         table decides."
    );
    Ok(Work::new([setting], sentence))
}

fn others(given: &Given) -> Done {
    let one = given.get("one_v")?;
    let others = voltage::others_v(given.get("string_v")?, given.get("cells")?, one)?;
    let sentence = format!("With one cell at {one:.2} V the others float at {others:.4} V.");
    Ok(Work::new([others], sentence))
}

/// Capacity with its verdict and its finding.
fn judged(given: &Given, percent: f64, plain: f64) -> Done {
    let verdict = match capacity::judge(percent, given.maybe("previous_percent"))? {
        Verdict::EndOfLife => "under 80 %, which ends service life",
        Verdict::Degraded => "degraded, which asks for a test every year",
        Verdict::Sound => "not degraded",
    };
    let sentence =
        format!("Capacity is {percent:.1} % of rating ({plain:.1} % uncorrected): {verdict}.");
    Work::new([percent, plain], sentence).compare("q_cap_low", percent, None)
}

fn by_time(given: &Given) -> Done {
    let (actual, rated) = (given.get("actual_min")?, given.get("rated_min")?);
    let percent = capacity::by_time_percent(actual, rated, given.get("temperature_c")?)?;
    judged(given, percent, 100.0 * actual / rated)
}

fn by_rate(given: &Given) -> Done {
    let (actual, published) = (given.get("actual_a")?, given.get("published_a")?);
    let percent = capacity::by_rate_percent(actual, published, given.get("temperature_c")?)?;
    judged(given, percent, 100.0 * actual / published)
}

fn at_20(given: &Given) -> Done {
    let rate = given.get("rate_h")?;
    // At three hours sources disagree on the coefficient, so neither is guessed.
    let length = if rate > 3.0 {
        Length::Long
    } else if rate < 3.0 {
        Length::Short
    } else {
        return Err(Range::new("rate of the test, other than 3 h", "h", 3.01, 24.0)
            .refuse(rate)
            .into());
    };
    let (measured, celsius) = (given.get("measured_ah")?, given.get("temperature_c")?);
    let ah = capacity::at_20_ah(measured, celsius, length)?;
    let sentence = format!("{measured:.0} Ah at {celsius:.1} °C are {ah:.1} Ah at 20 °C.");
    Ok(Work::new([ah], sentence))
}

fn runtime(given: &Given) -> Done {
    let current = given.get("current_a")?;
    let hours = capacity::peukert_hours(
        given.get("capacity_ah")?,
        given.get("rated_h")?,
        current,
        given.get("exponent")?,
    )?;
    let sentence = format!("At {current:.0} A the cell lasts about {hours:.2} h.");
    Ok(Work::new([hours, hours * current], sentence))
}

fn connection(given: &Given) -> Done {
    let (now, baseline) = (given.get("now_uohm")?, given.get("baseline_uohm")?);
    let rise = joint::rise(now, baseline)? * 100.0;
    let count = given.get("connections")?;
    let (drop, heat) = match given.maybe("current_a") {
        Some(amps) => (joint::drop_v(amps, now, count)?, joint::heat_w(amps, now, count)?),
        None => (f64::NAN, f64::NAN),
    };
    let act = if joint::over_action_limit(now, baseline)? {
        "over the limit of 20 % at which authorised staff act"
    } else {
        "not over the limit of 20 %"
    };
    let sentence = format!("{now:.1} µΩ is {rise:+.1} % against the baseline: {act}.");
    Work::new([rise, drop, heat], sentence).compare("q_rc_high", now, Some(baseline))
}

fn connection_at_20(given: &Given) -> Done {
    let (now, celsius) = (given.get("now_uohm")?, given.get("temperature_c")?);
    let at = joint::copper_at_20_uohm(now, celsius)?;
    Ok(Work::new([at], format!("{now:.1} µΩ at {celsius:.0} °C is {at:.2} µΩ at 20 °C.")))
}

fn ohmic(given: &Given) -> Done {
    let (now, baseline) = (given.get("now_mohm")?, given.get("baseline_mohm")?);
    let rise = 100.0 * (now / baseline - 1.0);
    let sentence = format!("{now:.3} mΩ is {rise:+.1} % against the baseline of this cell.");
    Work::new([rise], sentence).compare("q_ohm_high", now, Some(baseline))
}

fn internal(given: &Given) -> Done {
    let mohm = joint::two_step_mohm(
        given.get("first_v")?,
        given.get("first_a")?,
        given.get("second_v")?,
        given.get("second_a")?,
    )?;
    Ok(Work::new([mohm], format!("The cell has {mohm:.4} mΩ inside.")))
}

fn short_circuit(given: &Given) -> Done {
    let circuit = Circuit {
        cells: given.get("cells")?,
        rest_v: given.get("rest_v")?,
        internal_mohm: given.get("internal_mohm")?,
        connection_uohm: given.get("connection_uohm")?,
        outside_mohm: given.get("outside_mohm")?,
    };
    let (amps, watts) = (circuit.short_circuit_a()?, circuit.greatest_power_w()?);
    let sentence = format!(
        "A short circuit could draw about {amps:.0} A: never bridge terminals, and keep metal \
         away. A qualified study decides on protection."
    );
    Ok(Work::new([amps, watts], sentence))
}

fn arc(given: &Given) -> Done {
    let heat = joint::arc_cal_cm2(
        given.get("string_v")?,
        given.get("short_circuit_a")?,
        given.get("seconds")?,
        given.get("distance_mm")? / 10.0,
    )?;
    let sentence = format!(
        "About {heat:.3} cal/cm² in the open. This shows the size of the hazard; protective \
         equipment is chosen by a qualified study of the site."
    );
    Ok(Work::new([heat], sentence))
}

fn ground(given: &Given) -> Done {
    let (volts, accepted) = (given.get("volts")?, given.get("accepted_v")?);
    let sentence = format!("{volts:.1} V to ground; the site accepts {accepted:.1} V.");
    Work::new([volts - accepted], sentence).compare("q_gnd", volts, Some(accepted))
}

fn self_discharge(given: &Given) -> Done {
    let (months, celsius) = (given.get("months")?, given.get("temperature_c")?);
    let rate = given.get("percent_month")? / 100.0;
    let lost = charge::lost_on_open_circuit(rate, months, celsius)? * 100.0;
    let sentence = format!(
        "After {months:.1} months at {celsius:.0} °C about {lost:.1} % of the charge is gone."
    );
    Ok(Work::new([lost], sentence))
}
