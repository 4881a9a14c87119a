//! What was typed, before anything is looked up.

use clap::{Args, Parser, Subcommand, ValueEnum, builder::PossibleValuesParser};
use jarlight_geometry::{draw::View, palette::Theme};
use std::path::PathBuf;

/// Practise looking at vented lead-acid cells.
///
/// Without a command the window opens.
#[derive(Debug, Parser)]
#[command(
    name = "jarlight",
    version,
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
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    jarlight draw --design medium_pasted --view edge -o edge.svg\n  \
    jarlight draw --design medium_pasted --view edge --condition sediment_dark=0.6 -o mud.png")]
pub struct DrawArgs {
    /// Id of a design, or a design file
    #[arg(long, value_name = "NAME|FILE")]
    pub design: String,

    /// From where the cell is looked at
    #[arg(long, default_value = "edge", value_parser = views())]
    pub view: String,

    /// A condition with its severity from 0 to 1; may be given several times
    #[arg(long = "condition", value_name = "ID=SEVERITY", value_parser = condition)]
    pub conditions: Vec<(String, f64)>,

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

    /// The figure to write; its ending .svg, .png or .pdf says what it becomes
    #[arg(short, long, value_name = "FILE")]
    pub output: PathBuf,
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

fn condition(text: &str) -> Result<(String, f64), String> {
    let (id, severity) = text
        .split_once('=')
        .ok_or("expected an id, `=` and a severity, such as sediment_dark=0.6")?;
    match severity.trim().parse::<f64>() {
        Ok(s) if (0.0..=1.0).contains(&s) => Ok((id.trim().to_owned(), s)),
        _ => Err(format!("severity must be a number from 0 to 1, met `{severity}`")),
    }
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
        assert_eq!(condition("level_low=0.5"), Ok(("level_low".to_owned(), 0.5)));
        for bad in ["level_low", "level_low=", "level_low=1.1", "level_low=-0.1", "x=NaN"] {
            assert!(condition(bad).is_err(), "{bad}");
        }
    }
}
