//! How cost grows, as a plot of straight axes from 0.

use std::io;
use std::path::Path;

use plotters::prelude::*;

/// A quantity against a size.
pub(super) struct Curve {
    pub(super) name: &'static str,
    pub(super) points: Vec<(f64, f64)>,
}

const SIZE: (u32, u32) = (640, 400);

/// Draws curves, black and grey, each with its name beside its last point.
pub(super) fn draw(file: &Path, axis: &str, curves: &[Curve]) -> io::Result<()> {
    drawn(file, axis, curves).map_err(|error| io::Error::other(error.to_string()))
}

fn drawn(file: &Path, axis: &str, curves: &[Curve]) -> Result<(), Box<dyn std::error::Error>> {
    let root = SVGBackend::new(file, SIZE).into_drawing_area();
    root.fill(&WHITE)?;
    let all = || curves.iter().flat_map(|curve| curve.points.iter().copied());
    let (right, high) = (
        most(all().map(|point| point.0)),
        most(all().map(|point| point.1)),
    );
    let mut chart = ChartBuilder::on(&root)
        .margin(12)
        .x_label_area_size(36)
        .y_label_area_size(56)
        .build_cartesian_2d(0.0..1.03 * right, 0.0..1.2 * high)?;
    chart
        .configure_mesh()
        .x_desc(axis)
        .light_line_style(WHITE)
        .label_style(("sans-serif", 13))
        .draw()?;
    for (curve, colour) in curves.iter().zip([BLACK, RGBColor(0, 90, 160)]) {
        let points = || curve.points.iter().copied();
        chart
            .draw_series(LineSeries::new(points(), colour.stroke_width(2)))?
            .label(curve.name)
            .legend(move |(x, y)| PathElement::new([(x, y), (x + 18, y)], colour.stroke_width(2)));
        chart.draw_series(points().map(|point| Circle::new(point, 3, colour.filled())))?;
    }
    chart
        .configure_series_labels()
        .position(SeriesLabelPosition::UpperLeft)
        .label_font(("sans-serif", 13))
        .border_style(WHITE)
        .background_style(WHITE)
        .draw()?;
    root.present()?;
    Ok(())
}

fn most(values: impl Iterator<Item = f64>) -> f64 {
    values.fold(0.0, f64::max)
}
