//! Sheets of one condition by grade or by age, beside the normal and what it is mistaken for.

use super::{Kind, Output, cell, lamp_of, window};
use crate::{
    args::{DrawArgs, SheetArg},
    assets::Assets,
};
use anyhow::{Context as _, Result, bail};
use jarlight_geometry::{
    draw::View,
    scene::Scene,
    sheet::{self, Ask, Card, Mark, Shot, Tile, Window},
    svg::Lamp,
};
use jarlight_model::{
    catalogue::{Catalogue, Condition, ConditionKind, Link, Look},
    design::Design,
    diag::closest,
    specimen::{Occurrence, Specimen},
    text::{tr, tr_with},
    unit::{Grade, Severity, months_text, trimmed},
};
use kurbo::Size;

/// Ages of the film strip in months: half a year to 20 years, twice as long each time at first.
const AGES: [f64; 8] = [0.0, 6.0, 12.0, 24.0, 48.0, 96.0, 168.0, 240.0];

/// Look-alikes of a comparison when none is named.
const LOOK_ALIKES: usize = 2;

/// The sheet as the bytes of its file.
pub fn render(args: &DrawArgs, what: SheetArg, kind: Kind, assets: &Assets) -> Result<Vec<u8>> {
    let bench = Bench { args, assets };
    let (title, subtitle, cards, across) = match what {
        SheetArg::Years => {
            let (title, card) = bench.years()?;
            // A whole cell is narrow, so all ages stand in one row.
            let across = if args.mechanism.is_some() { AGES.len() } else { 4 };
            (title, tr("sheet-years"), vec![card], across)
        }
        SheetArg::Severities => {
            let condition = bench.first()?;
            let card = bench.severities(condition)?;
            (condition.name.clone(), condition.see.text.clone(), vec![card], 3)
        }
        SheetArg::Compare => {
            let condition = bench.first()?;
            let card = bench.compare(condition, args.look_alike.as_deref())?;
            (condition.name.clone(), condition.see.text.clone(), vec![card], 4)
        }
        SheetArg::Designs | SheetArg::Atlas => bail!("this sheet is a folder"),
    };
    let caption = tr("sheet-estimate");
    let ask = Ask {
        title: &title,
        subtitle: &subtitle,
        caption: &caption,
        cards: &cards,
        across: 1,
        tiles_across: across,
        text_scale: f64::from(args.text) / 100.0,
    };
    Output { args, assets, kind, title: &title }.bytes(&sheet::compose(&ask).scene, None)
}

/// A sheet of comparisons for each place that is looked at, in a folder.
pub fn atlas(args: &DrawArgs, assets: &Assets) -> Result<()> {
    const PLACES: [(Look, &str); 8] = [
        (Look::Top, "top"),
        (Look::Seals, "seals"),
        (Look::Plates, "plates"),
        (Look::Bottom, "bottom"),
        (Look::Acid, "acid"),
        (Look::Connections, "connections"),
        (Look::Rack, "rack"),
        (Look::Shell, "shell"),
    ];
    let bench = Bench { args, assets };
    make_folder(args)?;
    for (look, name) in PLACES {
        let shown = assets.catalogue.conditions.iter().filter(|c| {
            c.look == look && c.kind == ConditionKind::Condition && !c.overlay.is_empty()
        });
        let mut cards = Vec::new();
        for condition in shown {
            let fits = match &args.design {
                None => true,
                Some(_) => {
                    let design = cell::design(args, &[], &assets.catalogue)?;
                    cell::has(&assets.catalogue, &design, condition)
                }
            };
            if fits {
                let mut card = bench.compare(condition, None)?;
                card.title.clone_from(&condition.name);
                card.note = format!("{} {}", condition.see.text, card.note);
                cards.push(card);
            }
        }
        if cards.is_empty() {
            continue;
        }
        let title = tr(&format!("sheet-atlas-{name}"));
        let caption = tr("sheet-estimate");
        let ask = Ask {
            title: &title,
            subtitle: "",
            caption: &caption,
            cards: &cards,
            across: 2,
            tiles_across: 4,
            text_scale: f64::from(args.text) / 100.0,
        };
        let output = Output { args, assets, kind: Kind::Svg, title: &title };
        let bytes = output.bytes(&sheet::compose(&ask).scene, None)?;
        super::save(&args.output.join(format!("{name}.svg")), &bytes)?;
    }
    Ok(())
}

/// Makes the folder of a sheet that has many files.
pub fn make_folder(args: &DrawArgs) -> Result<()> {
    std::fs::create_dir_all(&args.output)
        .with_context(|| format!("the folder `{}` cannot be made", args.output.display()))
}

struct Bench<'a> {
    args: &'a DrawArgs,
    assets: &'a Assets,
}

/// One frame of a sheet before it is drawn.
struct Plan {
    mark: Mark,
    title: String,
    grade: Option<Grade>,
    specimen: Specimen,
}

impl<'a> Bench<'a> {
    fn catalogue(&self) -> &'a Catalogue {
        &self.assets.catalogue
    }

    fn first(&self) -> Result<&'a Condition> {
        match self.args.conditions.first() {
            Some(typed) => cell::condition(&typed.id, self.catalogue()),
            None => bail!("this sheet needs a --condition"),
        }
    }

    /// The cell with everything that was typed behind the first condition.
    fn around(&self, design: &Design) -> Result<Specimen> {
        let mut specimen = cell::bare(self.args, design);
        for typed in self.args.conditions.iter().skip(1) {
            let more = cell::occurrence(typed, self.args.age, self.catalogue())?;
            specimen.occurrences.push(more);
        }
        Ok(specimen)
    }

    fn place(&self) -> Option<&'a str> {
        self.args.conditions.first().and_then(|c| c.place.as_deref())
    }

    fn size(&self) -> Size {
        let usual = if self.args.mechanism.is_some() { (170.0, 400.0) } else { (300.0, 225.0) };
        let (w, h) = self.args.size.unwrap_or(usual);
        Size::new(w, h)
    }

    fn window(&self, design: &Design, condition: &Condition) -> Result<Window> {
        let size = self.size();
        let aspect = size.width / size.height;
        window(self.args, self.assets, design, condition.id.as_str(), self.place(), aspect)
    }

    fn with(&self, base: &Specimen, condition: &Condition, severity: Severity) -> Specimen {
        let mut specimen = base.clone();
        let own = self.args.conditions.first().is_some_and(|c| c.id == condition.id.as_str());
        specimen.occurrences.push(Occurrence {
            condition: condition.id.value.clone(),
            severity,
            place: self.place().filter(|_| own).map(str::to_owned),
        });
        specimen
    }

    fn shot<'s>(&'s self, design: &'s Design, window: Window, specimen: &'s Specimen) -> Shot<'s> {
        let size = self.size();
        Shot { catalogue: self.catalogue(), design, specimen, window, size, lamp: None }
    }

    /// The lamp that shows what glints on any of the cells.
    fn lamp(&self, design: &Design, window: Window, plans: &[Plan]) -> Result<Option<Lamp>> {
        for plan in plans.iter().rev() {
            let lamp = lamp_of(&self.shot(design, window, &plan.specimen), self.args.lamp)?;
            if lamp.is_some() {
                return Ok(lamp);
            }
        }
        Ok(None)
    }

    /// The frames of one card, all through the same window and under the same lamp.
    fn card(
        &self,
        design: &Design,
        window: Window,
        lamp: Option<Lamp>,
        plans: Vec<Plan>,
    ) -> Result<Card> {
        let mut tiles = Vec::new();
        for plan in plans {
            let shot = Shot { lamp, ..self.shot(design, window, &plan.specimen) };
            let picture: Scene = sheet::picture(&shot).map_err(|f| cell::impossible(&f))?;
            let grade = plan.grade.map(|g| (g, tr(&g.text_id())));
            tiles.push(Tile { mark: plan.mark, title: plan.title, grade, picture });
        }
        let stretch = window.stretch(self.size());
        let note = if (stretch - 1.0).abs() > 0.01 {
            tr_with("sheet-stretched", &[("times", &trimmed(stretch, 1))])
        } else {
            String::new()
        };
        Ok(Card { title: String::new(), note, tiles })
    }

    fn severities(&self, condition: &Condition) -> Result<Card> {
        let design = cell::design(self.args, &[condition], self.catalogue())?;
        let base = self.around(&design)?;
        let mut plans = vec![normal(base.clone())];
        for step in 1..=5u8 {
            let grade = Grade::new(step)?;
            let title = condition.steps.get(usize::from(step) - 1).cloned();
            plans.push(Plan {
                mark: Mark::Affected,
                title: title.unwrap_or_else(|| tr("sheet-affected")),
                grade: Some(grade),
                specimen: self.with(&base, condition, grade.severity()),
            });
        }
        let window = self.window(&design, condition)?;
        let lamp = self.lamp(&design, window, &plans)?;
        self.card(&design, window, lamp, plans)
    }

    /// Normal, affected, and what it is mistaken for.
    fn compare(&self, condition: &Condition, named: Option<&str>) -> Result<Card> {
        let catalogue = self.catalogue();
        let design = cell::design(self.args, &[condition], catalogue)?;
        let base = self.around(&design)?;
        let typed = self.args.conditions.first();
        let severity = match typed.filter(|c| c.severity.is_some() || self.args.age.is_some()) {
            Some(typed) => cell::occurrence(typed, self.args.age, catalogue)?.severity,
            None => Severity::clamped(cell::MODERATE),
        };
        let plans = vec![
            normal(base.clone()),
            Plan {
                mark: Mark::Affected,
                title: tr("sheet-affected"),
                grade: Some(severity.grade()),
                specimen: self.with(&base, condition, severity),
            },
        ];
        let window = self.window(&design, condition)?;
        let lamp = self.lamp(&design, window, &plans)?;
        let mut card = self.card(&design, window, lamp, plans)?;
        let lookalikes: Vec<&Condition> = match named {
            Some(id) => vec![cell::condition(id, catalogue)?],
            None => condition
                .confused
                .iter()
                .filter_map(|c| catalogue.condition(&c.with.value))
                .filter(|c| !c.overlay.is_empty() && cell::has(catalogue, &design, c))
                .filter(|c| c.kind == ConditionKind::Harmless)
                .collect(),
        };
        let mut elsewhere = Vec::new();
        for other in lookalikes {
            if card.tiles.len() >= 2 + LOOK_ALIKES {
                break;
            }
            let plan = || Plan {
                mark: if other.kind == ConditionKind::Harmless {
                    Mark::Harmless
                } else {
                    Mark::Affected
                },
                title: other.name.clone(),
                grade: None,
                specimen: self.with(&base, other, Severity::clamped(cell::MODERATE)),
            };
            let both = vec![normal(base.clone()), plan()];
            let own = self.card(&design, window, lamp, both)?;
            // What cannot be seen in this window is shown at a place of its own.
            if own.tiles[0].picture == own.tiles[1].picture {
                elsewhere.push((other, plan()));
            } else {
                card.tiles.extend(own.tiles.into_iter().nth(1));
            }
        }
        if card.tiles.len() == 2
            && let Some((other, mut plan)) = elsewhere.into_iter().next()
        {
            plan.title = tr_with("sheet-elsewhere", &[("name", &plan.title)]);
            let place = self.window(&design, other)?;
            card.tiles.extend(self.card(&design, place, None, vec![plan])?.tiles);
        }
        Ok(card)
    }

    fn years(&self) -> Result<(String, Card)> {
        let catalogue = self.catalogue();
        let Some(id) = &self.args.mechanism else {
            let condition = self.first()?;
            let design = cell::design(self.args, &[condition], catalogue)?;
            let base = self.around(&design)?;
            if condition.growth.severity_after(0.0, 1.0).is_none() {
                bail!(
                    "`{}` does not grow with time, so there is no strip of years",
                    condition.id.value
                );
            }
            let plans = AGES.iter().map(|months| {
                let severity = condition.growth.severity_after(*months, 1.0).unwrap_or_default();
                Plan {
                    mark: Mark::Plain,
                    title: age_text(*months),
                    grade: Some(severity.grade()),
                    specimen: self.with(&base, condition, severity),
                }
            });
            let plans: Vec<Plan> = plans.collect();
            let window = self.window(&design, condition)?;
            let lamp = self.lamp(&design, window, &plans)?;
            return Ok((condition.name.clone(), self.card(&design, window, lamp, plans)?));
        };
        let Some(mechanism) = catalogue.mechanism(id) else {
            let known: Vec<&str> =
                catalogue.mechanisms.iter().map(|m| m.id.value.as_str()).collect();
            let near =
                closest(id, known).map_or(String::new(), |n| format!("; did you mean `{n}`?"));
            bail!("no cause has the id `{id}`{near}");
        };
        let design = cell::design(self.args, &[], catalogue)?;
        // What it shows often, as far as time tells how much of it there is.
        let shown: Vec<&Condition> = mechanism
            .links
            .iter()
            .filter(|(_, link)| matches!(link, Link::AlmostAlways | Link::Often | Link::Sometimes))
            .filter_map(|(finding, _)| catalogue.condition(finding))
            .filter(|c| !c.overlay.is_empty() && cell::has(catalogue, &design, c))
            .filter(|c| c.growth.severity_after(0.0, 1.0).is_some())
            .collect();
        if shown.is_empty() {
            bail!("nothing that `{id}` shows grows with time on this design");
        }
        let base = cell::bare(self.args, &design);
        let plans = AGES.iter().map(|months| {
            let mut specimen = base.clone();
            for condition in &shown {
                let severity = condition.growth.severity_after(*months, 1.0).unwrap_or_default();
                specimen = self.with(&specimen, condition, severity);
            }
            Plan { mark: Mark::Plain, title: age_text(*months), grade: None, specimen }
        });
        let plans: Vec<Plan> = plans.collect();
        let names: Vec<&str> = shown.iter().map(|c| c.name.as_str()).collect();
        let size = self.size();
        let view = super::view(self.args, View::Edge)?;
        let whole = cell::scene(catalogue, &design, &base, view, 1.0)?;
        let window = Window::whole(&whole, view, size.width / size.height);
        let lamp = self.lamp(&design, window, &plans)?;
        let mut card = self.card(&design, window, lamp, plans)?;
        card.note = tr_with("sheet-shows", &[("list", &names.join("; "))]);
        Ok((mechanism.name.clone(), card))
    }
}

fn normal(specimen: Specimen) -> Plan {
    Plan { mark: Mark::Normal, title: tr("sheet-normal"), grade: None, specimen }
}

fn age_text(months: f64) -> String {
    if months > 0.0 { months_text(months) } else { tr("sheet-new") }
}
