//! What was typed, before anything is looked up.

use clap::{
    Args, Parser, Subcommand, ValueEnum,
    builder::{PossibleValuesParser, RangedI64ValueParser},
};
use jarlight_geometry::{draw::View, palette::Theme};
use std::path::PathBuf;

/// Practise looking at vented lead-acid cells.
///
/// Without a command the window opens.
#[derive(Debug, Parser)]
#[command(
    name = "jarlight",
    version = crate::version(),
    after_help = "Examples:\n  jarlight\n  jarlight check scenarios\n\n\
        Exit codes: 0 done, nothing wrong found; 1 the checked files have errors (or warnings \
        with --deny-warnings); 2 the command could not be carried out."
)]
pub struct Typed {
    /// What to do; without it the window opens.
    #[command(subcommand)]
    pub command: Option<Command>,

    /// Settings of the window.
    #[command(flatten)]
    pub window: WindowArgs,
}

/// How the window is opened.
#[derive(Debug, Args)]
pub struct WindowArgs {
    /// Folder whose catalogue and designs replace or extend those of the program
    #[arg(long, value_name = "DIR", global = true)]
    pub assets: Option<PathBuf>,

    /// Folder for answers and settings of the window [default: the user's data folder]
    #[arg(long, value_name = "DIR")]
    pub home: Option<PathBuf>,
}

/// The terminal commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Check scenarios, catalogue, designs, rules and cases, with line, column and likely fix
    Check(CheckArgs),
    /// Draw a cell as SVG, PNG or PDF
    Draw(DrawArgs),
    /// Reason from the findings of a case to causes and how long ago they began
    Explain(ExplainArgs),
    /// Correct a reading, hold it against its limits, and say what follows
    Reading(ReadingArgs),
    /// Say what the code of an error or warning means
    ExplainCode(ExplainCodeArgs),
    /// Print what a kind of file looks like, for editors and other programs
    Schema(SchemaArgs),
}

/// `check`
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  jarlight check scenarios\n  \
    jarlight check my_case.ron my_rules.ron --deny-warnings\n  \
    jarlight check scenarios --format sarif > found.sarif")]
pub struct CheckArgs {
    /// Files, or folders in which all files ending in .ron are checked
    #[arg(required = true, value_name = "PATH")]
    pub paths: Vec<PathBuf>,

    /// Exit with 1 on warnings too
    #[arg(long)]
    pub deny_warnings: bool,

    /// How the report is written
    #[arg(long, value_enum, default_value_t = FormatArg::Text)]
    pub format: FormatArg,
}

/// How a report is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum FormatArg {
    /// For people: excerpt, place and likely fix
    Text,
    /// JSON, one object
    Json,
    /// SARIF 2.1.0, which editors and servers read
    Sarif,
}

/// `draw`
#[derive(Clone, Debug, Args)]
#[command(after_help = "Examples:\n  \
    jarlight draw --view edge -o edge.svg\n  \
    jarlight draw --condition sediment_dark=0.6 --condition level_low=0.4 -o mud.png\n  \
    jarlight draw --condition plate_cupping=0.8@positive_plate-3 --close-up -o bow.png\n  \
    jarlight draw --design plante --scale true -o print.pdf\n  \
    jarlight draw --sheet compare --condition pos_sulfate_sparkle=0.6 -o compare.png\n  \
    jarlight draw --sheet years --mechanism m_overcharge -o years.png\n  \
    jarlight draw --sheet designs -o drawings")]
pub struct DrawArgs {
    /// Id of a design, or a design file [default: medium_pasted, or one that has what is drawn]
    #[arg(long, value_name = "NAME|FILE")]
    pub design: Option<String>,

    /// From where the cell is looked at [default: edge; a sheet takes what shows it best]
    #[arg(long, value_parser = views())]
    pub view: Option<String>,

    /// A condition with its severity from 0 to 1, and where, as an id in the SVG such as
    /// positive_plate-3; may be given several times. Without a severity --age tells it
    #[arg(long = "condition", value_name = "ID[=SEVERITY][@PLACE]", value_parser = condition)]
    pub conditions: Vec<ConditionArg>,

    /// A harmless look-alike, drawn beside the conditions or, in a comparison, after them
    #[arg(long, value_name = "ID")]
    pub look_alike: Option<String>,

    /// Months since installation, from which conditions without a severity grow by their law
    #[arg(long, value_name = "MONTHS", value_parser = months)]
    pub age: Option<f64>,

    /// Draw a sheet of several pictures instead of one figure
    #[arg(long, value_enum)]
    pub sheet: Option<SheetArg>,

    /// The cause whose marks the sheet of years shows
    #[arg(long, value_name = "ID", conflicts_with = "conditions")]
    pub mechanism: Option<String>,

    /// Only the place where the first condition shows, without words round it
    #[arg(long, conflicts_with = "sheet")]
    pub close_up: bool,

    /// The inspector's lamp: where something glints, not lit, or at X,Y in mm to the right and
    /// up from the inside bottom left corner of the jar
    #[arg(long, value_name = "auto|off|X,Y", default_value = "auto", value_parser = lamp,
        allow_hyphen_values = true)]
    pub lamp: LampArg,

    /// Colours
    #[arg(long, default_value = "light", value_parser = themes())]
    pub theme: String,

    /// Seed of everything random in the look
    #[arg(long, default_value_t = 0)]
    pub seed: u64,

    /// What stands beside the drawing
    #[arg(long, value_enum, default_value_t = LabelsArg::Names)]
    pub labels: LabelsArg,

    /// Size of the figure in pixels, or of each picture of a sheet
    #[arg(long, value_name = "WxH", value_parser = size)]
    pub size: Option<(f64, f64)>,

    /// A millimetre of the cell becomes a millimetre on paper
    #[arg(long, value_enum, conflicts_with_all = ["size", "sheet", "close_up"])]
    pub scale: Option<ScaleArg>,

    /// Size of all text in percent, from 50 to 300
    #[arg(long, value_name = "PERCENT", default_value_t = 100, value_parser = percent())]
    pub text: u32,

    /// The figure to write; its ending .svg, .png or .pdf says what it becomes. For the sheets
    /// `designs` and `atlas` a folder
    #[arg(short, long, value_name = "FILE|DIR")]
    pub output: PathBuf,
}

/// Several pictures in one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum SheetArg {
    /// Every design from every side in every theme, as SVG and PNG, with an index
    Designs,
    /// One condition at five grades
    Severities,
    /// One condition or cause from 0 to 20 years
    Years,
    /// Normal, affected and look-alike at the same place and scale
    Compare,
    /// A comparison of every condition, a sheet for each place that is looked at
    Atlas,
}

/// The scale as typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum ScaleArg {
    /// One to one
    True,
}

/// A condition as typed.
#[derive(Clone, Debug, PartialEq)]
pub struct ConditionArg {
    /// Its id.
    pub id: String,
    /// How far it has gone; by its growth law when left out.
    pub severity: Option<f64>,
    /// Where it is.
    pub place: Option<String>,
}

/// `explain`
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  jarlight explain case.ron\n  \
    jarlight explain case.ron --rules rules.ron --json")]
pub struct ExplainArgs {
    /// The case: what was looked at
    #[arg(value_name = "CASE.ron")]
    pub case: PathBuf,

    /// Rules to use instead of the catalogue's
    #[arg(long, value_name = "FILE.ron")]
    pub rules: Option<PathBuf>,

    /// Print the result as JSON
    #[arg(long)]
    pub json: bool,

    /// Print the whole network as JSON instead of a result
    #[arg(long)]
    pub network: bool,
}

/// `reading`
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  jarlight reading\n  jarlight reading gravity\n  \
    jarlight reading gravity gravity=1.208 temperature=90F nominal=1.215\n  \
    jarlight reading connection now=36uOhm baseline=30uOhm --json")]
pub struct ReadingArgs {
    /// What to work out; all kinds with their numbers when left out
    #[arg(value_name = "KIND")]
    pub kind: Option<String>,

    /// Numbers, with their units or in the unit of the name; without any, what the kind takes
    #[arg(value_name = "NAME=VALUE", value_parser = pair)]
    pub given: Vec<(String, String)>,

    /// Print the result as JSON
    #[arg(long)]
    pub json: bool,
}

/// `explain-code`
#[derive(Debug, Args)]
pub struct ExplainCodeArgs {
    /// The code in the brackets, such as unknown-part; all codes when left out
    #[arg(value_name = "CODE")]
    pub code: Option<String>,
}

/// `schema`
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  jarlight schema scenario > scenario.schema.json\n  \
    jarlight schema scenario --snippets > jarlight.code-snippets\n  \
    jarlight schema --view my_lesson.scenario.ron")]
pub struct SchemaArgs {
    /// Kind of file, such as scenario; all kinds are listed when left out
    #[arg(value_name = "KIND")]
    pub kind: Option<String>,

    /// Print snippets that a text editor offers while you type, instead of the JSON Schema
    #[arg(long, requires = "kind")]
    pub snippets: bool,

    /// Print a file as the JSON that the schema describes
    #[arg(long, value_name = "FILE", conflicts_with_all = ["kind", "snippets"])]
    pub view: Option<PathBuf>,
}

/// What stands beside the drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum LabelsArg {
    /// Names with notes
    Names,
    /// Numbers with a key
    Numbers,
    /// Nothing
    None,
}

/// The lamp as typed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LampArg {
    /// Where something glints.
    Auto,
    /// Not lit.
    Off,
    /// At this place, in millimetres.
    At(f64, f64),
}

fn views() -> PossibleValuesParser {
    PossibleValuesParser::new(View::ALL.map(View::name))
}

fn themes() -> PossibleValuesParser {
    PossibleValuesParser::new(Theme::ALL.map(Theme::name))
}

fn lamp(text: &str) -> Result<LampArg, String> {
    match text {
        "auto" => return Ok(LampArg::Auto),
        "off" => return Ok(LampArg::Off),
        _ => {}
    }
    let number = |t: &str| t.trim().parse::<f64>().ok().filter(|n| n.is_finite());
    text.split_once(',')
        .and_then(|(x, y)| Some(LampArg::At(number(x)?, number(y)?)))
        .ok_or_else(|| "expected auto, off, or two numbers such as 80,200".to_owned())
}

fn pair(text: &str) -> Result<(String, String), String> {
    let (name, value) =
        text.split_once('=').ok_or("expected a name, `=` and a value, such as temperature=25C")?;
    Ok((name.trim().to_owned(), value.trim().to_owned()))
}

fn condition(text: &str) -> Result<ConditionArg, String> {
    let (text, place) = match text.split_once('@') {
        Some((text, place)) if !place.trim().is_empty() => (text, Some(place.trim().to_owned())),
        Some(_) => return Err("expected a place behind `@`, such as positive_plate-3".to_owned()),
        None => (text, None),
    };
    let (id, severity) = match text.split_once('=') {
        None => (text, None),
        Some((id, severity)) => match severity.trim().parse::<f64>() {
            Ok(s) if (0.0..=1.0).contains(&s) => (id, Some(s)),
            _ => return Err(format!("severity must be a number from 0 to 1, met `{severity}`")),
        },
    };
    Ok(ConditionArg { id: id.trim().to_owned(), severity, place })
}

fn months(text: &str) -> Result<f64, String> {
    let months = text.trim().parse::<f64>().ok().filter(|m| (0.0..=1200.0).contains(m));
    months.ok_or_else(|| "expected months from 0 to 1200".to_owned())
}

fn size(text: &str) -> Result<(f64, f64), String> {
    let side = |t: &str| t.trim().parse::<u32>().ok().filter(|n| (100..=10_000).contains(n));
    text.split_once(['x', '×'])
        .and_then(|(w, h)| Some((f64::from(side(w)?), f64::from(side(h)?))))
        .ok_or_else(|| "expected width x height from 100 to 10000, such as 1280x800".to_owned())
}

fn percent() -> RangedI64ValueParser<u32> {
    RangedI64ValueParser::new().range(50..=300)
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory as _;

    #[test]
    fn the_commands_are_declared_soundly() {
        Typed::command().debug_assert();
    }

    #[test]
    fn lamp_and_condition_are_read_strictly() {
        assert_eq!(lamp("80,200.5"), Ok(LampArg::At(80.0, 200.5)));
        assert_eq!(lamp("-3, 0"), Ok(LampArg::At(-3.0, 0.0)));
        for bad in ["on", "80", "80,", "NaN,1", "1,inf", "1,2,3"] {
            assert!(lamp(bad).is_err(), "{bad}");
        }
        let read = |text: &str| {
            let c = condition(text).unwrap();
            (c.id, c.severity, c.place)
        };
        let id = || "level_low".to_owned();
        assert_eq!(read("level_low=0.5"), (id(), Some(0.5), None));
        assert_eq!(read("level_low"), (id(), None, None));
        let place = || Some("jar-1".to_owned());
        assert_eq!(read("level_low=1@jar-1"), (id(), Some(1.0), place()));
        assert_eq!(read("level_low@jar-1"), (id(), None, place()));
        for bad in ["level_low=", "level_low=1.1", "level_low=-0.1", "x=NaN", "x=0.1@"] {
            assert!(condition(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn sizes_and_ages_have_limits() {
        assert_eq!(size("1280x800"), Ok((1280.0, 800.0)));
        for bad in ["1280", "x", "0x10", "1e3x100", "99x100", "10001x100", "-5x100"] {
            assert!(size(bad).is_err(), "{bad}");
        }
        assert_eq!(months("84.5"), Ok(84.5));
        for bad in ["-1", "x", "NaN", "1201"] {
            assert!(months(bad).is_err(), "{bad}");
        }
    }
}
