//! The least firmware that runs a luminaire of N channels: for its size.

/// A firmware whose targets come from nowhere in particular and whose streams go there.
#[macro_export]
macro_rules! minimal_luminaire {
    ($channels:literal) => {
        $crate::minimal_luminaire!($channels, new);
    };
    ($channels:literal, $new:ident) => {
        use core::hint::black_box;

        use milliglow::curve::{Curve, Exponential};
        use milliglow::density::Modulation;
        use milliglow::fade::Pace;
        use milliglow::luminaire::{Configuration, Luminaire, Target};
        use milliglow::{Level, Recipe, Share, constant};
        use milliglow_firmware as _;

        const CONFIGURATION: Configuration<$channels> = Configuration::new(
            Curve::Exponential(constant!(Exponential::new(1_000, 2_048))),
            [Modulation::FirstOrder; $channels],
            1,
        );

        #[cortex_m_rt::entry]
        fn main() -> ! {
            let mut luminaire = constant!(Luminaire::$new(&CONFIGURATION));
            let mut words = [[0_u32; 32]; $channels];
            loop {
                if let Some((level, shares, steps)) =
                    black_box(None::<(u16, [u32; $channels], u32)>)
                {
                    let target = Target {
                        level: Level::from_bits(level),
                        recipe: Recipe::new(shares.map(Share::from_bits)),
                    };
                    luminaire.fade_to(&target, Pace::new(steps));
                }
                luminaire.control_step();
                luminaire.fill(words.each_mut().map(<[u32; 32]>::as_mut_slice));
                black_box(&words);
            }
        }
    };
}
