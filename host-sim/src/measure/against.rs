//! A capture beside a simulated light, metric by metric.

use serde_json::Value;

use super::Series;

/// A metric in both.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared {
    /// Identifier of the metric.
    pub id: &'static str,
    /// Its plain name.
    pub name: &'static str,
    /// Its unit.
    pub unit: &'static str,
    /// Where in the simulation.
    pub at: String,
    /// The worst of the capture.
    pub measured: f64,
    /// The simulation's.
    pub simulated: f64,
}

/// The verdicts of a document that `check` or `measure` wrote.
#[derive(Clone, Debug)]
pub struct Against {
    verdicts: Vec<Value>,
}

impl Against {
    /// From the document's text.
    ///
    /// # Errors
    /// What it is not.
    pub fn parse(text: &str) -> Result<Self, String> {
        let document: Value =
            serde_json::from_str(text).map_err(|error| format!("no JSON: {error}"))?;
        match document.get("verdicts").and_then(Value::as_array) {
            Some(verdicts) if document["schema_version"] == 1 => Ok(Self { verdicts: verdicts.clone() }),
            _ => Err("no document of milliglow; allowed is one that check or measure wrote with --json, of schema_version 1".to_owned()),
        }
    }

    /// Every figure of the document that the capture has too; of one place alone if it is given.
    ///
    /// # Errors
    /// When nothing can be compared.
    pub fn compare(&self, series: &[Series], at: Option<&str>) -> Result<Vec<Compared>, String> {
        let compared: Vec<_> = series
            .iter()
            .flat_map(|series| {
                self.verdicts
                    .iter()
                    .filter_map(|verdict| beside(series, verdict))
            })
            .filter(|compared| at.is_none_or(|at| compared.at == at))
            .collect();
        if !compared.is_empty() {
            return Ok(compared);
        }
        let mut places: Vec<_> = self
            .verdicts
            .iter()
            .filter_map(|verdict| verdict["at"].as_str())
            .collect();
        places.sort_unstable();
        places.dedup();
        places.truncate(30);
        Err(format!(
            "no metric that both have; its places are {}",
            places.join("; ")
        ))
    }
}

fn beside(series: &Series, verdict: &Value) -> Option<Compared> {
    (verdict["id"] == series.id).then_some(())?;
    Some(Compared {
        id: series.id,
        name: series.name,
        unit: series.unit,
        at: verdict["at"].as_str()?.to_owned(),
        measured: series.worst?,
        simulated: verdict["value"].as_f64()?,
    })
}
