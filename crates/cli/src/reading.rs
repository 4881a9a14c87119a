//! `jarlight reading`: a reading corrected, held against its limits, and what follows from it.

use crate::{args::ReadingArgs, assets, draw::listed, out::Out};
use anyhow::Result;
use jarlight_model::catalogue::Catalogue;
use jarlight_rules::reading::{self, CLOSING, Evaluation, Input, Kind, figures, kinds};
use std::{fmt::Write as _, path::Path};

/// Prints the result of a reading, or which readings there are.
pub fn run(args: &ReadingArgs, assets_dir: Option<&Path>, out: &mut Out<'_>) -> Result<()> {
    let Some(wanted) = &args.kind else {
        if args.json {
            let all: Vec<String> = kinds().map(Kind::to_json).collect();
            out.line(&format!("[{}]", all.join(",")))?;
            return Ok(());
        }
        for kind in kinds() {
            out.line(&format!("{}\n", about(kind)))?;
        }
        out.line(CLOSING)?;
        return Ok(());
    };
    let kind = reading::find(wanted)?;
    if args.given.is_empty() {
        out.line(&if args.json { kind.to_json() } else { about(kind) })?;
        return Ok(());
    }
    let given = kind.read(args.given.iter().map(|(n, v)| (n.as_str(), v.as_str())))?;
    let met = kind.evaluate(&given)?;
    if args.json {
        out.line(&met.to_json())?;
    } else {
        let assets = assets::load(assets_dir).map_err(|found| listed(&found))?;
        out.line(&told(kind, &met, &assets.catalogue))?;
    }
    Ok(())
}

/// What a kind takes and gives.
fn about(kind: &Kind) -> String {
    let mut text = format!("{}: {}\n", kind.id, kind.title);
    for input in kind.inputs {
        let _ = writeln!(text, "    {:26} {}", as_typed(input), takes(input));
    }
    let gives: Vec<String> = kind
        .outputs
        .iter()
        .map(
            |(name, unit)| {
                if unit.is_empty() { (*name).to_owned() } else { format!("{name} in {unit}") }
            },
        )
        .collect();
    let _ = writeln!(text, "    gives    {}", gives.join(", "));
    let _ = writeln!(text, "    formula  {}", kind.formula);
    let _ = write!(text, "    source   {}", kind.source);
    text
}

/// An input as it is typed, in brackets where it may be left out.
fn as_typed(input: &Input) -> String {
    match input.usual {
        None => format!("{}=…", input.name),
        Some(usual) if usual.is_nan() => format!("[{}=…]", input.name),
        Some(usual) => format!("[{}={}]", input.name, figures(usual)),
    }
}

/// The range of an input, and the units in which it may be typed.
fn takes(input: &Input) -> String {
    match input.units().as_slice() {
        [] => input.range.words(),
        units => format!("{}; also in {}", input.range.words(), units.join(", ")),
    }
}

/// A result with its numbers, limits, formula, source and ranges.
fn told(kind: &Kind, met: &Evaluation, catalogue: &Catalogue) -> String {
    let mut text = format!("{}\n\n{}\n\n", kind.title, met.sentence);
    for value in &met.values {
        let number = format!("{} {}", figures(value.value), value.unit);
        let _ = writeln!(text, "  {:24} {}", value.name.replace('_', " "), number.trim_end());
    }
    for found in &met.findings {
        let side = if found.beyond.is_some() { "beyond its limit" } else { "within its limit" };
        let name = catalogue.name_of(found.finding);
        let _ = writeln!(text, "\n{name} ({}): {side}\n  limit    {}", found.finding, found.words);
        let _ = writeln!(text, "  source   {}", found.source);
    }
    let _ =
        writeln!(text, "\nFormula: {}\nSource: {}\nRange: {}", met.formula, met.source, met.range);
    let _ = write!(text, "\n{CLOSING}");
    text
}
