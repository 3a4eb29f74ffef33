//! The options of `milliglow solve`.

use std::path::PathBuf;

use clap::{ArgGroup, Args};

use super::values::{Range, named, pair, range, step, triple};
use crate::colour::Xy;

/// From a wanted colour to channel shares: recipes, reachable flux, gamut
///
/// A colour outside the gamut gives the nearest one that can be reached, and says so.
#[derive(Args)]
#[command(group(ArgGroup::new("colour").required(true)))]
pub(in crate::cli) struct Solve {
    /// The luminaire; without one, the built-in cove light
    #[arg(value_name = "LUMINAIRE.toml")]
    pub(super) file: Option<PathBuf>,

    /// The colour as CIE 1931 chromaticity
    #[arg(long, group = "colour", value_name = "X,Y", allow_hyphen_values = true, value_parser = pair)]
    pub(super) xy: Option<Xy>,

    /// The colour as correlated colour temperature, 1000 to 25000 K, on the Planckian locus or at --duv (two channels
    /// without --duv: on their own line)
    #[arg(long, group = "colour", value_name = "K")]
    pub(super) cct: Option<f64>,

    /// The colour as a white by name: a nominal white of ANSI C78.377 (2700 K to 6500 K), or A, D50, D55, D65, D75, E
    #[arg(long, group = "colour", value_name = "NAME", value_parser = named)]
    pub(super) white: Option<(String, Xy)>,

    /// The colour as tristimulus values; with --least-power or --even-load and no --flux-lm, Y is the flux in lm
    #[arg(long, group = "colour", value_name = "X,Y,Z", allow_hyphen_values = true, value_parser = triple)]
    pub(super) xyz: Option<[f64; 3]>,

    /// A table of recipes over a range of CCTs
    #[arg(long, group = "colour", value_name = "K..K", value_parser = range)]
    pub(super) sweep: Option<Range>,

    /// Recipes against Level, all of one flux: from the CCT at full light to the one at the lowest; with --toml one recipe through
    /// knots
    #[arg(long, group = "colour", value_name = "K..K", value_parser = range)]
    pub(super) dim_to_warm: Option<Range>,

    /// Recipes for a fade along the Planckian locus, all of one flux, and how far from the locus it strays with and
    /// without those in between; with --toml a fade of the script through them
    #[arg(long, group = "colour", value_name = "K..K", value_parser = range)]
    pub(super) fade: Option<Range>,

    /// Distance from the Planckian locus in CIE 1960 u, v, -0.05 to 0.05: above it positive
    #[arg(long, value_name = "D", allow_negative_numbers = true, conflicts_with_all = ["xy", "white", "xyz"])]
    pub(super) duv: Option<f64>,

    /// Step of the table
    #[arg(long, value_name = "K", default_value_t = 100.0, value_parser = step)]
    pub(super) step: f64,

    /// How many recipes --dim-to-warm and --fade give, 2 to 16
    #[arg(long, value_name = "COUNT", default_value_t = 8, value_parser = clap::value_parser!(u8).range(2..=16))]
    pub(super) knots: u8,

    /// The most flux (the default)
    #[arg(long, conflicts_with_all = ["flux_lm", "least_power", "even_load", "dim_to_warm", "fade"])]
    pub(super) most_flux: bool,

    /// This flux in lm
    #[arg(long, value_name = "LM")]
    pub(super) flux_lm: Option<f64>,

    /// The flux asked for with the least electrical power: every channel needs its power_w
    #[arg(long, conflicts_with = "even_load")]
    pub(super) least_power: bool,

    /// The flux asked for with the largest share smallest (the default with a flux)
    #[arg(long)]
    pub(super) even_load: bool,

    /// Print one JSON document instead of the table
    #[arg(long)]
    pub(super) json: bool,

    /// Print the recipes as TOML, to paste below [recipes]
    #[arg(long, conflicts_with = "json")]
    pub(super) toml: bool,

    /// Print nothing
    #[arg(long, conflicts_with_all = ["json", "toml"])]
    pub(super) quiet: bool,

    /// Draw gamut, Planckian locus and recipes
    #[arg(long, value_name = "FILE")]
    pub(super) svg: Option<PathBuf>,
}
