//! Every design from every side in every theme, with an index.

use super::{Kind, Output, cell, compose};
use crate::{args::DrawArgs, assets::Assets};
use anyhow::Result;
use jarlight_geometry::{draw::View, palette::Theme};
use jarlight_model::text::{tr, tr_with};
use std::fmt::Write as _;

/// Writes the drawings and `index.html` into the folder.
pub fn write(args: &DrawArgs, assets: &Assets) -> Result<()> {
    let catalogue = &assets.catalogue;
    super::sheets::make_folder(args)?;
    let designs = match &args.design {
        Some(_) => vec![cell::design(args, &[], catalogue)?],
        None => catalogue.designs.values().cloned().collect(),
    };
    let mut index = String::new();
    for design in &designs {
        let _ = write!(index, "<h2>{}</h2>\n<table>\n", escaped(&design.name));
        for view in View::ALL {
            let specimen = cell::specimen(args, design, catalogue)?;
            let drawn = compose(args, catalogue, design, &specimen, view)?;
            let words = tr(&format!("figure-title-{}", view.name()));
            let title = format!("{}: {words}", design.name);
            let _ = write!(index, "<tr><th>{}</th>", escaped(&words));
            for theme in Theme::ALL {
                let own = DrawArgs { theme: theme.name().to_owned(), ..args.clone() };
                let stem = format!("{}-{}-{}", design.id, view.name(), theme.name());
                for (kind, ending) in [(Kind::Svg, "svg"), (Kind::Png, "png")] {
                    let output = Output { args: &own, assets, kind, title: &title };
                    let bytes = output.bytes(&drawn.figure.scene, drawn.lamp(args.lamp))?;
                    super::save(&args.output.join(format!("{stem}.{ending}")), &bytes)?;
                }
                let _ = write!(
                    index,
                    "<td><a href=\"{stem}.svg\"><img src=\"{stem}.png\" alt=\"{}, {}\"></a></td>",
                    escaped(&title),
                    theme.name()
                );
            }
            index.push_str("</tr>\n");
        }
        index.push_str("</table>\n");
    }
    let count = (designs.len() * View::ALL.len() * Theme::ALL.len()).to_string();
    let page = format!(
        "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>{title}</title>\n\
         <style>body {{ font-family: sans-serif; margin: 2em }} img {{ width: 26em }} \
         th {{ text-align: left; vertical-align: top; font-weight: normal }}</style></head>\n\
         <body><h1>{title}</h1>\n<p>{}</p>\n{index}</body></html>\n",
        escaped(&tr_with("sheet-designs-count", &[("count", &count)])),
        title = escaped(&tr("sheet-designs")),
    );
    super::save(&args.output.join("index.html"), page.as_bytes())
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('"', "&quot;")
}
