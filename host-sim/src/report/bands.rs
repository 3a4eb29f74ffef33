//! Band and resolution of each figure of flicker, as the metrics state them.

use crate::metrics::flicker::{
    filtered_modulation, ieee1789, modulation, phantom_array, pst_lm, spectrum, svm,
    temporal_visibility,
};

/// Key in the document, name for people, band and resolution.
pub(super) const BANDS: [(&str, &str, &str); 8] = [
    (
        "modulation",
        "percent flicker and flicker index",
        modulation::BAND,
    ),
    (
        "filtered_modulation",
        "filtered modulation",
        filtered_modulation::BAND,
    ),
    ("lines", "lines and dominant frequency", spectrum::BAND),
    ("svm", "SVM", svm::BAND),
    ("pst_lm", "PstLM", pst_lm::BAND),
    ("ieee1789", "IEEE 1789-2015", ieee1789::BAND),
    (
        "visibility",
        "temporal visibility",
        temporal_visibility::BAND,
    ),
    ("phantom_array", "phantom array", phantom_array::BAND),
];
