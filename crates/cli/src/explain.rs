//! `jarlight explain`: from the findings of a case to causes, their weights and ages.

use crate::{
    args::ExplainArgs,
    assets::{self, Assets},
    draw::listed,
    files,
    out::Out,
};
use anyhow::{Context as _, Result};
use jarlight_rules::{
    Case, Cell, Network, Rules,
    explain::{Question, explain, reason},
    json,
};
use std::path::Path;

/// Reasons about the case and prints the result.
pub fn run(args: &ExplainArgs, assets_dir: Option<&Path>, out: &mut Out<'_>) -> Result<()> {
    let source = files::read(&args.case).map_err(|d| listed(&[d]))?;
    let (case, warnings) = Case::read(&source).into_result().map_err(|found| listed(&found))?;
    for d in warnings {
        out.message(&d.to_string());
    }
    let assets = assets::load(assets_dir).map_err(|found| listed(&found))?;
    let rules = match &args.rules {
        None => None,
        Some(path) => {
            let source = files::read(path).map_err(|d| listed(&[d]))?;
            let (rules, warnings) =
                Rules::read(&source).into_result().map_err(|found| listed(&found))?;
            for d in warnings {
                out.message(&d.to_string());
            }
            Some(rules)
        }
    };
    let network = match &rules {
        Some(rules) => rules.network().context("the rules make no network")?,
        None => of_catalogue(&case, &assets)?,
    };
    if args.network {
        out.line(&json::network(&network))?;
        return Ok(());
    }
    let evidence = case.evidence(&network).map_err(|found| listed(&found))?;
    let reasoned = reason(&network, &evidence)?;
    if args.json {
        let next = &reasoned.next;
        out.line(&json::result(&network, &reasoned.posterior, &reasoned.weights, next))?;
        return Ok(());
    }
    let question = Question {
        network: &network,
        evidence: &evidence,
        catalogue: rules.is_none().then_some(&assets.catalogue),
        names: rules.as_ref().map(|r| &r.names),
        age_months: case.age_months,
    };
    if let Some(title) = &case.title {
        out.line(&format!("{title}\n"))?;
    }
    out.line(&explain(&question, &reasoned)?.text())?;
    Ok(())
}

fn of_catalogue(case: &Case, assets: &Assets) -> Result<Network> {
    let cell = Cell::from_case(case, &assets.catalogue).map_err(|found| listed(&found))?;
    Network::from_catalogue(&assets.catalogue, &cell).context("the catalogue makes no network")
}
