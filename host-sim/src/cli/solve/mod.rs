//! `milliglow solve`: from a colour to channel shares.

mod options;
mod values;
mod work;

pub(super) use options::Solve;

use std::fs;

use super::{ALL_PASS, Failure, luminaire, print, spectral_locus, width};
use crate::report::gamut;
use crate::report::solved::{Recipes, json, toml_text, words};

impl Solve {
    pub(super) fn run(&self) -> Result<u8, Failure> {
        let (description, _, origin) = luminaire(self.file.as_deref())?;
        let solved = work::solve(self, &description, &origin)?;
        self.draw(&solved)?;
        if self.json {
            print(&format!("{:#}\n", json(&solved)))?;
        } else if self.toml {
            print(&toml_text(&solved))?;
        } else if !self.quiet {
            print(&words(&solved, width()))?;
        }
        Ok(ALL_PASS)
    }

    fn draw(&self, solved: &Recipes) -> Result<(), Failure> {
        let Some(file) = &self.svg else {
            return Ok(());
        };
        fs::write(file, gamut(solved, &spectral_locus())).map_err(|error| {
            Failure::plain(format!("{}: cannot be written: {error}", file.display()))
        })
    }
}
