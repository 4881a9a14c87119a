//! Kinds of reading about temperature, water, gas and air.

use super::super::ageing::{self, Stretch};
use super::super::gas::{self, Duty};
use super::super::gravity;
use super::super::range::Range;
use super::{Given, Kind, ReadingError, Work, called, extra, needed, usual};

type Done = Result<Work, ReadingError>;

const RETURNED: Range = Range::new("share turned back into water by the vent", "", 0.0, 1.0);
const DOUBLING: Range = Range::new("degrees that double the current", "°C", 7.0, 11.0);
const FLOAT_TEMPERATURE: Range = Range::new("electrolyte temperature", "°C", 5.0, 50.0);
const WARMTH: Range = Range::new("electrolyte temperature", "°C", -20.0, 80.0);
const MONTHS: Range = Range::new("months of the year at that temperature", "months", 0.0, 12.0);
const USE: Range = Range::new("water use of one cell", "mL a month", 0.0, 50_000.0);
const WATER_SOURCE: &str = "Faraday's law, 0.3361 g of water for each Ah";
const GAS_SOURCE: &str = "Faraday's law and the ideal gas; the local code decides on ventilation";

/// Kinds about temperature, water, gas and air.
pub(super) const KINDS: &[Kind] = &[
    Kind {
        id: "temperature",
        title: "Temperature of a cell against its string, or of the battery",
        inputs: &[
            extra("cell_c", called(WARMTH, "electrolyte temperature of the cell")),
            needed("average_c", called(WARMTH, "average electrolyte temperature")),
        ],
        outputs: &[("against_average", "°C")],
        formula: "against average = cell − average",
        source: "Common practice: 3 °C of spread; UFGS 16265A: 30 °C",
        work: temperature,
    },
    Kind {
        id: "ageing",
        title: "Ageing factor and life by temperature history",
        inputs: &[
            needed("temperature_1_c", ageing::TEMPERATURE),
            usual("months_1", MONTHS, 12.0),
            usual("temperature_2_c", ageing::TEMPERATURE, 25.0),
            usual("months_2", MONTHS, 0.0),
            usual("temperature_3_c", ageing::TEMPERATURE, 25.0),
            usual("months_3", MONTHS, 0.0),
            usual("temperature_4_c", ageing::TEMPERATURE, 25.0),
            usual("months_4", MONTHS, 0.0),
            usual("design_years", ageing::LIFE, 20.0),
            usual("halving_c", ageing::HALVING, ageing::HALVING_NORTH_AMERICA_C),
        ],
        outputs: &[("factor", ""), ("life", "years"), ("equal_temperature", "°C")],
        formula: "factor = mean over the months of 2^((temperature − 25 °C) ÷ halving); life = \
                 design life ÷ factor, at most the design life",
        source: "Common practice: each 15 °F (8.33 °C) halves life; 10 °C in European practice",
        work: age,
    },
    Kind {
        id: "float_current",
        title: "Float current against its record, with temperature",
        inputs: &[
            needed("now_a", gas::FLOAT_CURRENT),
            needed("recorded_a", Range::new("recorded float current", "A", 0.0001, 100.0)),
            usual("temperature_c", FLOAT_TEMPERATURE, 25.0),
            usual("doubling_c", DOUBLING, 8.0),
        ],
        outputs: &[("times_recorded", ""), ("expected", "A")],
        formula: "expected = recorded × 2^((temperature − 25 °C) ÷ doubling); times = now ÷ \
                 recorded",
        source: "A seen installation manual: doubles for each 8 °C (15 °F)",
        work: float_current,
    },
    Kind {
        id: "water_loss",
        title: "Water that a gassing current takes from a cell",
        inputs: &[
            needed("current_a", gas::CURRENT),
            needed("days", Range::new("time", "days", 0.0, 15_000.0)),
            usual("share_returned", RETURNED, 0.0),
        ],
        outputs: &[("water", "g"), ("volume", "mL")],
        formula: "water = 0.336087 g × current × hours × (1 − share returned)",
        source: WATER_SOURCE,
        work: water_loss,
    },
    Kind {
        id: "watering_interval",
        title: "Months between waterings",
        inputs: &[
            needed("area_cm2", gravity::AREA),
            needed("between_mm", Range::new("height between the level lines", "mm", 1.0, 300.0)),
            needed("current_a", Range { min: 0.001, ..gas::CURRENT }),
        ],
        outputs: &[("interval", "months")],
        formula: "months = area × height × 0.997 g/cm³ ÷ (0.336087 g × current × 730.5 h)",
        source: WATER_SOURCE,
        work: watering,
    },
    Kind {
        id: "water_use",
        title: "Water use against its record",
        inputs: &[
            needed("now_ml_month", USE),
            needed("recorded_ml_month", Range::new("recorded use", "mL a month", 0.1, 50_000.0)),
        ],
        outputs: &[("times_recorded", ""), ("gassing_current", "A")],
        formula: "times = now ÷ recorded; current = grams a month ÷ (0.336087 g × 730.5 h)",
        source: WATER_SOURCE,
        work: water_use,
    },
    Kind {
        id: "hydrogen",
        title: "Hydrogen that a current makes",
        inputs: &[
            needed("current_a", gas::CURRENT),
            needed("cells", gas::CELLS),
            usual("temperature_c", gas::TEMPERATURE, 25.0),
        ],
        outputs: &[("flow", "m³/h"), ("flow_cubic_feet", "ft³/min")],
        formula: "flow = current × cells × 0.456419 L for each Ah at 25 °C, in proportion to the \
                 absolute temperature",
        source: GAS_SOURCE,
        work: hydrogen,
    },
    Kind {
        id: "ventilation",
        title: "Air to keep hydrogen under a limit, from a current",
        inputs: &[
            needed("current_a", gas::CURRENT),
            needed("cells", gas::CELLS),
            usual("temperature_c", gas::TEMPERATURE, 25.0),
            usual("limit_percent", gas::SHARE, 1.0),
            extra("room_m3", gas::ROOM),
        ],
        outputs: &[("air", "m³/h"), ("hours_without_air", "h")],
        formula: "air = hydrogen ÷ limit; hours without air = −room ÷ hydrogen × ln(1 − limit)",
        source: "Dilution: 1 % in fire codes, 2 % in stationary practice, 4 % flammable; the local \
                 code decides",
        work: ventilation,
    },
    Kind {
        id: "ventilation_rated",
        title: "Air, openings and spark distance from rated gassing currents",
        inputs: &[
            needed("cells", gas::CELLS),
            needed("capacity_ah", gas::CAPACITY),
            usual("ma_per_ah", gas::SPECIFIC, 5.0),
        ],
        outputs: &[("air", "m³/h"), ("each_opening", "cm²"), ("spark_distance", "mm")],
        formula: "air = 0.05 × cells × mA/Ah × capacity ÷ 1000; opening = 28 × air; distance = \
                 28.8 × ∛(mA/Ah) × ∛capacity",
        source: "EN/IEC 62485-2, openings and distance from memory; the local code decides",
        work: rated,
    },
    Kind {
        id: "room_hydrogen",
        title: "Hydrogen in a room after some hours",
        inputs: &[
            needed("hydrogen_m3_h", gas::HYDROGEN),
            needed("air_m3_h", gas::FLOW),
            needed("room_m3", gas::ROOM),
            needed("hours", gas::HOURS),
        ],
        outputs: &[("hydrogen", "%"), ("settled", "%")],
        formula: "share = q ÷ (Q + q) × (1 − exp(−(Q + q) × hours ÷ room)), q hydrogen, Q air",
        source: GAS_SOURCE,
        work: room,
    },
];

fn temperature(given: &Given) -> Done {
    let average = given.get("average_c")?;
    let Some(cell) = given.maybe("cell_c") else {
        let sentence = format!("The battery averages {average:.1} °C.");
        return Work::new([f64::NAN], sentence).compare("q_t_high_room", average, None);
    };
    let over = cell - average;
    let sentence = format!(
        "The cell is at {cell:.1} °C, {over:+.1} °C against the average of {average:.1} °C."
    );
    Work::new([over], sentence).compare("q_t_high_cell", cell, Some(average))?.compare(
        "q_t_high_room",
        average,
        None,
    )
}

fn age(given: &Given) -> Done {
    let parts = [
        ("months_1", "temperature_1_c"),
        ("months_2", "temperature_2_c"),
        ("months_3", "temperature_3_c"),
        ("months_4", "temperature_4_c"),
    ];
    let mut history = Vec::with_capacity(parts.len());
    for (months, celsius) in parts {
        history.push(Stretch { length: given.get(months)?, celsius: given.get(celsius)? });
    }
    let halving = given.get("halving_c")?;
    let factor = ageing::mean_factor(&history, |celsius| ageing::factor(celsius, halving))?;
    let design = given.get("design_years")?;
    let equal = ageing::equal_temperature_c(factor, halving)?;
    // A cool year is not allowed to promise more than the design life.
    let life = (design / factor).min(design);
    let sentence = format!(
        "The cell ages {factor:.2} times as fast as at 25 °C, as at a steady {equal:.1} °C; of \
         {design:.0} years that leaves {life:.1}."
    );
    Ok(Work::new([factor, life, equal], sentence))
}

fn float_current(given: &Given) -> Done {
    let (now, recorded) = (given.get("now_a")?, given.get("recorded_a")?);
    let celsius = given.get("temperature_c")?;
    let expected = gas::float_current_at(recorded, celsius, given.get("doubling_c")?)?;
    let times = now / recorded;
    let sentence = format!(
        "{now:.3} A is {times:.2} times the record; {celsius:.1} °C alone would make it \
         {expected:.3} A. A higher voltage raises it too."
    );
    Work::new([times, expected], sentence).compare("q_fi_high", now, Some(recorded))
}

fn water_loss(given: &Given) -> Done {
    let (amps, days) = (given.get("current_a")?, given.get("days")?);
    let grams = gas::water_g(amps, days * 24.0, given.get("share_returned")?)?;
    let ml = gas::water_ml(grams);
    let sentence = format!(
        "{amps:.3} A of gassing take {ml:.0} mL from each cell in {days:.0} days; evaporation \
         comes on top."
    );
    Ok(Work::new([grams, ml], sentence))
}

fn watering(given: &Given) -> Done {
    let months = gas::watering_months(
        given.get("area_cm2")?,
        given.get("between_mm")?,
        given.get("current_a")?,
    )?;
    Ok(Work::new([months], format!("Water between the lines lasts about {months:.1} months.")))
}

fn water_use(given: &Given) -> Done {
    let (now, recorded) = (given.get("now_ml_month")?, given.get("recorded_ml_month")?);
    let grams = now * gas::water_g(1.0, 1.0, 0.0)? / gas::water_ml(gas::water_g(1.0, 1.0, 0.0)?);
    let amps = grams / (gas::WATER_G_PER_AH * gas::HOURS_PER_MONTH);
    let times = now / recorded;
    let sentence = format!(
        "{now:.0} mL a month is {times:.2} times the record, and would take {amps:.3} A of \
         gassing."
    );
    Work::new([times, amps], sentence).compare("q_water_high", now, Some(recorded))
}

fn hydrogen(given: &Given) -> Done {
    let (amps, cells) = (given.get("current_a")?, given.get("cells")?);
    let flow = gas::hydrogen_m3_h(amps, cells, given.get("temperature_c")?)?;
    let sentence = format!(
        "{amps:.2} A through {cells:.0} cells make {:.2} L of hydrogen an hour, if all of it \
         decomposes water.",
        flow * 1000.0
    );
    Ok(Work::new([flow, gas::cubic_feet_per_minute(flow)], sentence))
}

fn ventilation(given: &Given) -> Done {
    let celsius = given.get("temperature_c")?;
    let hydrogen = gas::hydrogen_m3_h(given.get("current_a")?, given.get("cells")?, celsius)?;
    let limit = given.get("limit_percent")?;
    let air = gas::dilution_flow_m3_h(hydrogen, limit)?;
    let hours = match given.maybe("room_m3") {
        Some(room) => gas::hours_to(hydrogen, room, limit)?,
        None => f64::NAN,
    };
    let sentence = format!(
        "{air:.2} m³/h of air keep hydrogen at {limit:.1} %; the local code decides what is \
         needed."
    );
    Ok(Work::new([air, hours], sentence))
}

fn rated(given: &Given) -> Done {
    let (capacity, current) = (given.get("capacity_ah")?, given.get("ma_per_ah")?);
    let air = gas::rated_flow_m3_h(given.get("cells")?, current, capacity)?;
    let (opening, distance) = (gas::opening_cm2(air)?, gas::spark_distance_mm(current, capacity)?);
    let sentence = format!(
        "At {current:.0} mA/Ah ({:.0} on float, {:.0} on boost charge) {air:.2} m³/h, {opening:.0} \
         cm² for each opening, no spark within {distance:.0} mm of a vent; the local code decides.",
        Duty::Float.ma_per_ah(),
        Duty::Boost.ma_per_ah()
    );
    Ok(Work::new([air, opening, distance], sentence))
}

fn room(given: &Given) -> Done {
    let (gas_flow, air) = (given.get("hydrogen_m3_h")?, given.get("air_m3_h")?);
    let hours = given.get("hours")?;
    let share = gas::hydrogen_share(gas_flow, air, given.get("room_m3")?, hours)? * 100.0;
    let settled = gas::settled_share(gas_flow, air)? * 100.0;
    let sentence = format!(
        "After {hours:.1} h the room holds {share:.3} % hydrogen on its way to {settled:.3} %; \
         4 % can burn."
    );
    Ok(Work::new([share, settled], sentence))
}
